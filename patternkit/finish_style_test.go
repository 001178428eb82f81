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

// A pleat's mouth is cut in the shape that lies on the waist once it is folded:
// on a waist that slopes by 1 in 5, with every kind of pleat.
func TestCutLineAcrossPleats(t *testing.T) {
	panel, err := NewPiece("panel", Edge{"hem", Line(Pt(0, 0), Pt(400, 0))}, Edge{"side", Line(Pt(400, 0), Pt(400, 480))},
		Edge{"waist", Line(Pt(400, 480), Pt(0, 400))}, Edge{"centre front", Line(Pt(0, 400), Pt(0, 0))})
	if err != nil {
		t.Fatal(err)
	}
	for _, kind := range []PleatKind{KnifePleat, BoxPleat, InvertedPleat, Tuck} {
		p, err := panel.Pleated(PleatAt{Name: "pleat", Kind: kind, From: OnEdge{"waist", 200}, To: OnEdge{"hem", 200}, Depth: 20})
		if err != nil {
			t.Fatal(err)
		}
		if p, err = p.WithAllowanceEverywhere(15); err != nil {
			t.Fatal(err)
		}
		p = finishWith(t, p, Hem("hem", 30))
		cut := finishChecked(t, p)
		shape, err := p.PleatFold("pleat")
		if err != nil {
			t.Fatal(err)
		}
		for i := range 50 {
			at := shape.At(shape.Length() * (Length(i) + 0.5) / 50)
			if d := cut.Dist(at); d < 15-0.01 {
				t.Errorf("%v: %v of its mouth has %v", kind, at, d)
			}
		}
	}
}
