package patternkit

import (
	"errors"
	"fmt"
	"path/filepath"
	"testing"

	sf "github.com/peterstace/simplefeatures/geom"

	"patternkit/patternkit/internal/ansur"
)

// women returns the bodies of the women of ANSUR II: known by the four
// measurements that a designer takes first or, when closely, by all of the
// upper body that the survey has in the block's own terms. The waist is
// brought from the navel to the natural waist.
func women(tb testing.TB, closely bool) []Body {
	tb.Helper()
	table := ansur.TestWomen(tb)
	column := func(name string) []float64 {
		c, err := table.Column(name)
		if err != nil {
			tb.Fatal(err)
		}
		return c
	}
	stature, chest := column("stature"), column("chestcircumference")
	navel, hip := column("waistcircumference"), column("buttockcircumference")
	neck, shoulder := column("neckcircumferencebase"), column("shoulderlength")
	back, arm, wrist := column("interscyei"), column("bicepscircumferenceflexed"), column("wristcircumference")
	bodies := make([]Body, table.Rows())
	for i := range bodies {
		b := Body{Height: Length(stature[i]), BustGirth: Length(chest[i]), WaistGirth: Length(fromNavel(navel[i])), HipGirth: Length(hip[i])}
		if closely {
			b.NeckBaseGirth, b.ShoulderLength, b.BackWidth = Length(neck[i]), Length(shoulder[i]), Length(back[i])
			b.UpperArmGirth, b.WristGirth = Length(arm[i]), Length(wrist[i])
		}
		full, err := b.Estimated()
		if err != nil {
			tb.Fatalf("woman %d: %v", i, err)
		}
		bodies[i] = full
	}
	return bodies
}

// Bust girth to armscye girth of the women of 1988 (Natick/TR-89/044): means
// 907.1 and 371.3 mm, the latter with a standard deviation of 23.0 mm.
const (
	scyeOfChest1988 = 371.3 / 907.1
	scyeSD1988      = 23.0 * MM
)

// Every woman of ANSUR II is drafted by direct measure, or an error names the
// measurement.
func TestAllWomenDraft(t *testing.T) {
	for _, tt := range []struct {
		name    string
		closely bool
		refused map[string]int // by the field that the error names
	}{
		{"by four measurements", false, map[string]int{}},
		{"by all that was measured", true, map[string]int{"ChestWidth": 1}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			refused := map[string]int{}
			drafted, beyondSD := 0, 0
			for i, b := range women(t, tt.closely) {
				bodice, err := DraftBodice(b, DefaultBodice())
				var limit *LimitError
				switch {
				case errors.As(err, &limit):
					refused[limit.Field]++
					continue
				case err != nil:
					t.Errorf("woman %d: the error names no measurement: %v", i, err)
					continue
				}
				drafted++
				if bodice.Armhole().Length() > b.BustGirth*scyeOfChest1988+scyeSD1988 {
					beyondSD++
				}
				checkWoman(t, fmt.Sprintf("woman %d", i), b, bodice)
			}
			t.Logf("%d drafted, refused by field: %v; armhole longer than the expected armscye by more than its standard deviation: %d", drafted, refused, beyondSD)
			if fmt.Sprint(refused) != fmt.Sprint(tt.refused) {
				t.Errorf("refused by field: %v, want %v", refused, tt.refused)
			}
		})
	}
}

func checkWoman(t *testing.T, name string, b Body, bodice Bodice) {
	t.Helper()
	if off := bodice.BustGirth() - b.BustGirth - 8*CM; off.Abs() > 0.1*MM {
		t.Errorf("%s: bust is off by %v", name, off)
	}
	if off := bodice.WaistGirth() - b.WaistGirth - 6*CM; off.Abs() > 0.1*MM {
		t.Errorf("%s: waist is off by %v", name, off)
	}
	if a, expected := bodice.Armhole().Length(), b.BustGirth*scyeOfChest1988; a <= expected {
		t.Errorf("%s: armhole of %v, the armscye is expected to be %v", name, a, expected)
	}
	for _, f := range bodice.Checks().Faults() {
		t.Errorf("%s: %s: %s, want %s", name, f.Name, f.Got, f.Want)
	}
}

// Seams walk within 0.5 mm on every woman, with a sleeve whose cap is a fourth
// of the armhole high (Baldt, Clothing for Women, 1916: the shirt sleeve).
func TestAllWomenWalk(t *testing.T) {
	var sleeves, narrow int
	for i, b := range women(t, true) {
		bodice, err := DraftBodice(b, DefaultBodice())
		if err != nil {
			continue // counted above
		}
		a := bodice.Armhole()
		sleeve, err := DraftSleeve(a, SleeveOptions{CapHeight: a.Length() / 4, CapEase: 1.5 * CM, Length: b.ArmLength, WristWidth: b.WristGirth + 6*CM})
		var limit *LimitError
		if errors.As(err, &limit) && limit.Field == "CapHeight" {
			narrow++
			continue
		}
		if err != nil {
			t.Errorf("woman %d: %v", i, err)
			continue
		}
		sleeves++
		pattern, err := NewPattern("block", bodice, sleeve)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range pattern.Walk().Faults() {
			t.Errorf("woman %d: seam %s: %s", i, f.Seam, f.Verdict)
		}
		for _, f := range sleeve.Checks().Faults() {
			t.Errorf("woman %d: %s: %s, want %s", i, f.Name, f.Got, f.Want)
		}
		if i%20 == 0 {
			checkSimple(t, fmt.Sprintf("woman %d", i), pattern)
		}
	}
	t.Logf("%d sleeves, %d arms too large for a cap of a fourth of the armhole", sleeves, narrow)
	if narrow > 10 {
		t.Errorf("%d women of 1,986 need a lower cap, want 10 at most", narrow)
	}
}

// checkSimple asks an independent library whether outlines are simple.
func checkSimple(t *testing.T, name string, p Pattern) {
	t.Helper()
	for _, piece := range p.Pieces() {
		line := piece.Outline().Flatten(0.01 * MM)
		var flat []float64
		for _, q := range line {
			flat = append(flat, q[0], q[1])
		}
		ring := sf.NewLineString(sf.NewSequence(flat, sf.DimXY))
		if !ring.IsClosed() || !ring.IsSimple() {
			t.Errorf("%s: %s is closed: %v, simple: %v", name, piece.Name(), ring.IsClosed(), ring.IsSimple())
		}
	}
}

// The table of the proportional method is kept with the open data as well;
// both must say the same.
func TestProportionalTableOfData(t *testing.T) {
	rows := readTable(t, filepath.Join(ansur.TestFolder(t), "bunka_new_bodice_formula_table.csv"))
	if len(rows) != 28 {
		t.Fatalf("%d rows, want busts of 77 to 104", len(rows))
	}
	for _, r := range rows {
		checkProportionalRow(t, r)
	}
}

func BenchmarkDraftBodice(b *testing.B) {
	bodies := women(b, false)
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		if _, err := DraftBodice(bodies[i%len(bodies)], DefaultBodice()); err != nil {
			b.Fatal(err)
		}
		i++
	}
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "bodies/s")
}

func BenchmarkDraftBlock(b *testing.B) {
	bodies := women(b, false)
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		bodice, err := DraftBodice(bodies[i%len(bodies)], DefaultBodice())
		if err != nil {
			b.Fatal(err)
		}
		a := bodice.Armhole()
		if _, err := DraftSleeve(a, SleeveOptions{CapHeight: a.Length() / 4, CapEase: 2 * CM, Length: 58 * CM, WristWidth: 24 * CM}); err != nil {
			b.Fatal(err)
		}
		i++
	}
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "bodies/s")
}
