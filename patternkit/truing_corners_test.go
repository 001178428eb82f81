package patternkit

import (
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"
)

// trapezoid is a panel with the fold at x = 0 and a side seam that leans out by
// a tenth: its hem corner is 90° less 5.71°, atan(1/10), worked by hand.
func trapezoid(t *testing.T, name string) Piece {
	t.Helper()
	p, err := NewPiece(name,
		Edge{"hem", Line(Pt(0, 0), Pt(30*CM, 0))},
		Edge{"side seam", Line(Pt(30*CM, 0), Pt(20*CM, 100*CM))},
		Edge{"waist", Line(Pt(20*CM, 100*CM), Pt(0, 100*CM))},
		Edge{"centre", Line(Pt(0, 100*CM), Pt(0, 0))})
	if err != nil {
		t.Fatal(err)
	}
	if p, err = p.WithFold("centre"); err != nil {
		t.Fatal(err)
	}
	return p
}

func TestCornersOfAFlaredSkirt(t *testing.T) {
	lean := math.Atan(0.1) * 180 / math.Pi
	seam := Seam{Name: "side seam", A: []Along{{Piece: "front", Edge: "side seam"}}, B: []Along{{Piece: "back", Edge: "side seam"}}}
	p, err := NewPattern("skirt", trapezoid(t, "front"), trapezoid(t, "back"), seam)
	if err != nil {
		t.Fatal(err)
	}
	want := []struct {
		place string
		angle float64
		fault bool
	}{
		{"hem across the side seam", 180 - 2*lean, true},
		{"waist across the side seam", 180 + 2*lean, true},
		{"waist at the fold centre", 90, false},
		{"hem at the fold centre", 90, false},
		{"waist at the fold centre", 90, false},
		{"hem at the fold centre", 90, false},
	}
	rows := p.Corners().Rows()
	if len(rows) != len(want) {
		t.Fatalf("%d corners, want %d:\n%s", len(rows), len(want), p.Corners())
	}
	for i, w := range want {
		r := rows[i]
		if r.Place != w.place || math.Abs(r.Angle.Degrees()-w.angle) > 1e-9 || r.Fault != w.fault {
			t.Errorf("corner %d: %s %.4f° fault %t, want %s %.4f° fault %t", i, r.Place, r.Angle.Degrees(), r.Fault, w.place, w.angle, w.fault)
		}
	}
	if p.Corners().OK() || len(p.Corners().Faults()) != 2 {
		t.Error("a hem with a point in it passes")
	}
	for _, s := range []string{p.Corners().HTML(), p.Corners().Markdown(), p.Corners().String()} {
		if !strings.Contains(s, "juts out, 11.4° under") || !strings.Contains(s, "dips in, 11.4° over") {
			t.Errorf("the faults are not told:\n%s", s)
		}
	}
}

// The blocks as they are drafted: every corner that is drafted smooth is found
// smooth, and what must be trued before cutting is named. The proportional
// formulas draw the waist and the back shoulder straight over their darts.
func TestCornersOfTheBlocks(t *testing.T) {
	body, err := Body{Height: 168 * CM, BustGirth: 92 * CM, WaistGirth: 74 * CM, HipGirth: 98 * CM}.Estimated()
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		name string
		o    BodiceOptions
		want []string // the faults
	}{
		{"direct measure", DefaultBodice(), nil},
		{"proportional", BodiceOptions{Method: Proportional}, []string{
			"waist across the side seam", "shoulder across the shoulder dart, closed",
			"waist across the waist dart, closed", "waist across the side waist dart, closed",
			"waist across the waist dart, closed", "waist across the side waist dart, closed",
		}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			bodice, err := DraftBodice(body, tt.o)
			if err != nil {
				t.Fatal(err)
			}
			p := withSleeve(t, bodice, DefaultSleeve())
			corners := p.Corners()
			if n := len(corners.Rows()); n != 14 {
				t.Errorf("%d corners, want 14", n)
			}
			var got []string
			for _, f := range corners.Faults() {
				got = append(got, f.Place)
			}
			if !slices.Equal(got, tt.want) {
				t.Errorf("faults %q, want %q:\n%s", got, tt.want, corners)
			}
		})
	}
}

// A fault is marked where it is: at the lower end of both side seams, where
// the hem comes to a point, and at the upper, with its words once.
func TestCornerFaultsAreMarked(t *testing.T) {
	seam := Seam{Name: "side seam", A: []Along{{Piece: "front", Edge: "side seam"}}, B: []Along{{Piece: "back", Edge: "side seam"}}}
	p, err := NewPattern("skirt", trapezoid(t, "front"), trapezoid(t, "back"), seam)
	if err != nil {
		t.Fatal(err)
	}
	hem, waist := Pt(30*CM, 0), Pt(20*CM, 100*CM)
	want := []truingMark{
		{piece: "front", at: hem, words: "FAULT: juts out, 11.4° under: hem across the side seam"}, {piece: "back", at: hem},
		{piece: "front", at: waist, words: "FAULT: dips in, 11.4° over: waist across the side seam"}, {piece: "back", at: waist},
	}
	if got := p.truingMarks(); !reflect.DeepEqual(got, want) {
		t.Errorf("got %+v\nwant %+v", got, want)
	}
}

// Every corner has its places, and each lies on the outline of its piece.
func TestCornersHavePlaces(t *testing.T) {
	body, err := Body{Height: 168 * CM, BustGirth: 92 * CM, WaistGirth: 74 * CM, HipGirth: 98 * CM}.Estimated()
	if err != nil {
		t.Fatal(err)
	}
	bodice, err := DraftBodice(body, BodiceOptions{Method: Proportional})
	if err != nil {
		t.Fatal(err)
	}
	p := withSleeve(t, bodice, DefaultSleeve())
	places := map[string]bool{}
	for _, row := range p.Corners().Rows() {
		places[row.Place] = true
		if len(row.at) == 0 {
			t.Errorf("%s has no place", row.Place)
		}
		for _, m := range row.at {
			piece, err := p.Piece(m.piece)
			if err != nil {
				t.Fatal(err)
			}
			if off := piece.Outline().Dist(m.at); off > joinTolerance {
				t.Errorf("%s: its mark is %v off the outline of the %s", row.Place, off, m.piece)
			}
		}
	}
	for _, want := range []string{"neckline across the shoulder", "armhole across the shoulder", "armhole across the side seam",
		"waist across the side seam", "hem across the underarm", "cap across the underarm"} {
		if !places[want] {
			t.Errorf("no corner %q among %v", want, places)
		}
	}
}
