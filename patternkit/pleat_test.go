package patternkit

import (
	"strings"
	"testing"

	"patternkit/patternkit/geom"
)

// pleatedStrip is a strip 40 cm wide whose top is folded away from 10 to 16 cm.
func pleatedStrip(t *testing.T) Piece {
	t.Helper()
	p := styleMust[Piece](t)(NewPiece("strip",
		Edge{"hem", Line(Pt(0, 0), Pt(400, 0))}, Edge{"side", Line(Pt(400, 0), Pt(400, 200))},
		Edge{"top", Line(Pt(400, 200), Pt(160, 200))}, Edge{"take", Line(Pt(160, 200), Pt(100, 200))},
		Edge{"top", Line(Pt(100, 200), Pt(0, 200))}, Edge{"centre", Line(Pt(0, 200), Pt(0, 0))}))
	return styleMust[Piece](t)(p.WithPleat(Pleat{Name: "pleat", Mouth: "take"}))
}

// What a pleat takes is not counted in its edge, and its name, its mouth and
// the way it is turned survive.
func TestPleatIsFoldedAway(t *testing.T) {
	p := pleatedStrip(t)
	if got := styleMust[Length](t)(p.EdgeLength("top")); got != 340*MM {
		t.Errorf("top %v, want 34 cm", got)
	}
	if got := styleMust[Length](t)(p.PleatTake("pleat")); got != 60*MM {
		t.Errorf("take %v, want 6 cm", got)
	}
	if _, err := NewPattern("skirt", p); err != nil {
		t.Error(err)
	}
	mirrored := styleMust[Piece](t)(p.Transformed(geom.Mirror(Pt(0, 0), Pt(0, 1))))
	if pl := styleMust[Pleat](t)(mirrored.Pleat("pleat")); !pl.TowardStart {
		t.Error("mirrored, the pleat is not turned toward the start of its edge")
	}
	renamed := styleMust[Piece](t)(p.RenamedEdge("take", "waist pleat mouth"))
	if pl := styleMust[Pleat](t)(renamed.Pleat("pleat")); pl.Mouth != "waist pleat mouth" || !renamed.isMouth("waist pleat mouth") {
		t.Errorf("renamed: %+v", pl)
	}
}

func TestWithPleatErrors(t *testing.T) {
	p := pleatedStrip(t)
	for _, tt := range []struct {
		pleat Pleat
		want  string
	}{
		{Pleat{Mouth: "side"}, "has no name"},
		{Pleat{Name: "pleat", Mouth: "side"}, "already has a pleat"},
		{Pleat{Name: "b", Mouth: "hip"}, `has no edge "hip"`},
		{Pleat{Name: "b"}, `has no edge ""`},
		{Pleat{Name: "b", Mouth: "take"}, "no other dart or pleat takes"},
		{Pleat{Name: "b", Mouth: "top"}, "an edge with a name of its own"},
		{Pleat{Name: "b", Mouth: "side", End: "side"}, "an edge with a name of its own"},
		{Pleat{Name: "b", Mouth: "side", Kind: 9}, "want KnifePleat"},
		{Pleat{Name: "b", Mouth: "side", Sewn: -1}, "want 0 or more"},
	} {
		if _, err := p.WithPleat(tt.pleat); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%+v: %v, want %q", tt.pleat, err, tt.want)
		}
	}
	if _, err := p.Pleat("tuck"); err == nil || !strings.Contains(err.Error(), `has no pleat "tuck", it has "pleat"`) {
		t.Error(err)
	}
}
