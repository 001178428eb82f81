package patternkit

import (
	"testing"

	"patternkit/patternkit/geom"
)

// Allowances come along when a piece is moved, mirrored or has an edge renamed
// or split: the cut line is the same.
func TestAllowancesComeAlong(t *testing.T) {
	sleeve, err := finishPattern(t).Piece("sleeve")
	if err != nil {
		t.Fatal(err)
	}
	sleeve = finishWith(t, sleeve, Allowance{Edge: "cap", Width: 1 * CM})
	want, err := sleeve.CutLine()
	if err != nil {
		t.Fatal(err)
	}
	moves := []Transform{geom.Rotate(Pt(3, 4), 1), geom.Mirror(Pt(0, 0), Pt(3, 1)), geom.Translate(Pt(100, -50))}
	for i, move := range moves {
		moved, err := sleeve.Transformed(move)
		if err != nil {
			t.Fatal(err)
		}
		sameCut(t, moved, want.Transformed(move), i)
	}
	renamed, err := sleeve.RenamedEdge("hem", "wrist")
	if err != nil {
		t.Fatal(err)
	}
	sameCut(t, renamed, want, "renamed")
	split, err := renamed.SplitEdge("cap", 10*CM, "front cap", "back cap")
	if err != nil {
		t.Fatal(err)
	}
	sameCut(t, split, want, "split")
	if a, err := split.Allowance("back cap"); err != nil || a.Width != 1*CM {
		t.Errorf("back cap has %v, %v", a, err)
	}
}

func sameCut(t *testing.T, p Piece, want Path, which any) {
	t.Helper()
	cut, err := p.CutLine()
	if err != nil {
		t.Fatal(err)
	}
	for i := range 200 {
		if at := cut.At(cut.Length() * Length(i) / 200); want.Dist(at) > 0.005 {
			t.Fatalf("%v: %v is %v beside the cut line", which, at, want.Dist(at))
		}
	}
}
