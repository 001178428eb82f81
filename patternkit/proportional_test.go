package patternkit

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// readTable reads a CSV of numbers by column; other cells are left out.
func readTable(t *testing.T, path string) []map[string]float64 {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var rows []map[string]float64
	for _, r := range records[1:] {
		row := map[string]float64{}
		for i, name := range records[0] {
			if v, err := strconv.ParseFloat(r[i], 64); err == nil {
				row[name] = v
			}
		}
		rows = append(rows, row)
	}
	return rows
}

// quickReference names the step of the draft that holds each column.
var quickReference = map[string]string{
	"half_width": "half width", "A_to_BL": "bust line below A", "back_width": "back width",
	"BL_to_front_top": "front top above the bust line", "chest_width": "chest width", "B_over_32": "B/32",
	"front_neck_width": "front neck width", "front_neck_depth": "front neck depth", "bust_dart_deg": "bust dart",
	"back_neck_width": "back neck width", "shoulder_dart": "shoulder dart",
}

func proportional(t *testing.T, bust, waist, back Length) Bodice {
	t.Helper()
	b, err := DraftBodice(Body{BustGirth: bust, WaistGirth: waist, BackWaistLength: back}, BodiceOptions{Method: Proportional})
	if err != nil {
		t.Fatalf("bust %v: %v", bust, err)
	}
	return b
}

func checkProportionalRow(t *testing.T, row map[string]float64) {
	t.Helper()
	bust := Length(row["B"]) * CM
	draft := proportional(t, bust, bust-19*CM, 38*CM).Draft()
	for column, label := range quickReference {
		want, ok := row[column]
		if !ok {
			t.Fatalf("no column %s", column)
		}
		s, err := draft.Step(label)
		if err != nil {
			t.Fatal(err)
		}
		if s.Kind == TurnStep {
			if math.Abs(s.Turn.Degrees()-want) > 0.005 {
				t.Errorf("B %v: %s is %v, want %v°", bust, label, s.Turn, want)
			}
		} else if (s.Length - Length(want)*CM).Abs() > 0.05*MM {
			t.Errorf("B %v: %s is %v, want %v cm", bust, label, s.Length, want)
		}
	}
}

func TestProportionalQuickReference(t *testing.T) {
	rows := readTable(t, filepath.Join("testdata", "proportional_bodice.csv"))
	if len(rows) != 4 {
		t.Fatalf("%d rows, want 4", len(rows))
	}
	for _, r := range rows {
		checkProportionalRow(t, r)
	}
}

// The worked example of the same source: B 83, W 64, L 38, measured on the
// pieces.
func TestProportionalWorkedExample(t *testing.T) {
	b := proportional(t, 83*CM, 64*CM, 38*CM)
	back, front := b.Back(), b.Front()
	bp := front.at("bust point")
	dart, err := front.Dart("bust dart")
	if err != nil {
		t.Fatal(err)
	}
	upper, lower := front.mouth(dart)
	gLine := 38*CM - lower.Y
	shoulder := func(p Piece) Length { return edgeLength(p, "shoulder") }
	whole := back.at("side neck point").Dist(back.at("shoulder point"))
	for _, tt := range []struct {
		name      string
		got, want Length
	}{
		{"BL below A", 38*CM - bp.Y, 20.617 * CM},
		{"x of CF", front.at("front neck point").X, 47.5 * CM},
		{"x of BP", bp.X, 38.512 * CM},
		{"x of F", lower.X, 28.331 * CM},
		{"x of side seam", back.at("underarm point").X, 23.053 * CM},
		{"y of G line", gLine, 14.808 * CM},
		{"bust-dart leg", lower.Dist(bp), 11.722 * CM},
		{"bust-dart opening", upper.Dist(lower), 3.718 * CM},
		{"front top above BL", front.at("side neck point").Y - bp.Y, 24.9 * CM},
		{"front shoulder", shoulder(front), 12.280 * CM},
		{"back shoulder with dart", whole, 14.074 * CM},
		{"back neck width", back.at("side neck point").X, 7.058 * CM},
		{"back neck height", back.at("side neck point").Y - 38*CM, 2.353 * CM},
		{"back shoulder, dart closed", shoulder(back), 12.280 * CM},
		{"waist", b.WaistGirth(), 70 * CM},
	} {
		if (tt.got - tt.want).Abs() > 0.05*MM {
			t.Errorf("%s is %v, want %v", tt.name, tt.got, tt.want)
		}
	}
}

// Test hooks of the same source: closing the bust dart brings the front
// armhole end to end, and the parts of the waist darts add up.
func TestProportionalHooks(t *testing.T) {
	for bust := 77 * CM; bust <= 104*CM; bust += 1 * CM {
		b := proportional(t, bust, bust-19*CM, 38*CM)
		for _, f := range b.Checks().Faults() {
			t.Errorf("B %v: %s: %s, want %s", bust, f.Name, f.Got, f.Want)
		}
		upper := b.Front().Edges()[3].Path.End()
		dart, err := b.Front().Dart("bust dart")
		if err != nil {
			t.Fatal(err)
		}
		closed := turned(upper, dart.Tip, Angle(bust.CM()/4-2.5)*Degree)
		if _, lower := b.Front().mouth(dart); closed.Dist(lower) > 0.001*MM {
			t.Errorf("B %v: closed, the front armhole gapes by %v", bust, closed.Dist(lower))
		}
	}
	if sum := partA + partB + partC + partD + partE + partF; math.Abs(sum-1) > 1e-12 {
		t.Errorf("the waist darts take %g of the suppression, want 1", sum)
	}
}

func TestProportionalErrors(t *testing.T) {
	body := Body{BustGirth: 83 * CM, WaistGirth: 64 * CM, BackWaistLength: 38 * CM}
	with := func(f func(b *Body, o *BodiceOptions)) error {
		b, o := body, BodiceOptions{Method: Proportional}
		f(&b, &o)
		_, err := DraftBodice(b, o)
		return err
	}
	for _, tt := range []struct {
		name, want string
		err        error
	}{
		{"other ease", "BustEase is 8 cm, but the ease of this method is part of its formulas: want 12 cm or zero", with(func(_ *Body, o *BodiceOptions) { o.BustEase = 8 * CM })},
		{"its own ease", "", with(func(_ *Body, o *BodiceOptions) { o.BustEase, o.WaistEase = 12*CM, 6*CM })},
		{"designer's field", "ArmholeDrop is 1 cm", with(func(_ *Body, o *BodiceOptions) { o.ArmholeDrop = 1 * CM })},
		{"large bust", "BustGirth is 120 cm, want 74 cm to 110 cm", with(func(b *Body, _ *BodiceOptions) { b.BustGirth, b.WaistGirth = 120*CM, 100*CM })},
		{"missing", "not measured: BackWaistLength", with(func(b *Body, _ *BodiceOptions) { b.BackWaistLength = 0 })},
		{"waist too large", "WaistGirth is 95 cm, want", with(func(b *Body, _ *BodiceOptions) { b.WaistGirth = 95 * CM })},
	} {
		t.Run(tt.name, func(t *testing.T) { wantError(t, tt.err, tt.want) })
	}
}

// wantError fails where err is not one that contains want, or is one where
// want is empty.
func wantError(t *testing.T, err error, want string) {
	t.Helper()
	switch {
	case want == "" && err != nil:
		t.Errorf("error %q, want none", err)
	case want != "" && err == nil:
		t.Errorf("no error, want %q", want)
	case want != "" && !strings.Contains(err.Error(), want):
		t.Errorf("error %q, want it to contain %q", err, want)
	}
}
