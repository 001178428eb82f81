package patternkit

import (
	"math/rand/v2"
	"strings"
	"testing"
)

// Pleats of every kind at random places: the edge they are folded into keeps
// its length, the edge where they hang free gains what they take, everything
// else stays, and the pattern walks as before.
func TestPleatedKeepsEdges(t *testing.T) {
	slashTrial(t, 9, 8, func(r *rand.Rand, pattern Pattern, p Piece, from, to OnEdge) error {
		kind := PleatKind(r.IntN(4))
		depth, widens := Length(5+20*r.Float64()), Length(10*r.Float64())-5
		at := PleatAt{Name: "new pleat", Kind: kind, From: from, To: to, Depth: depth, Widens: widens, TowardStart: r.IntN(2) == 0}
		q, err := p.Pleated(at)
		if err != nil {
			return err
		}
		styleSameLengths(t, "pleated", p, q, to.Edge)
		take := map[PleatKind]Length{KnifePleat: 2, BoxPleat: 4, InvertedPleat: 4, Tuck: 2}[kind]
		if got := styleMust[Length](t)(q.PleatTake("new pleat")); (got - take*depth).Abs() > 1e-6 {
			t.Errorf("%v of depth %v takes %v, want %v", kind, depth, got, take*depth)
		}
		if got := gained(t, p, q, to.Edge); (got - take*(depth+widens)).Abs() > 1e-6 {
			t.Errorf("%v: hem gains %v, want %v", kind, got, take*(depth+widens))
		}
		at.BothEnds = true
		both := styleMust[Piece](t)(p.Pleated(at))
		styleSameLengths(t, "pleated at both ends", p, both)
		sameWalk(t, pattern, styleMust[Pattern](t)(pattern.WithPiece(both)))
		return nil
	})
}

// A skirt panel 60 cm wide in n knife pleats side by side, each as deep as it
// is wide, is three times as wide before it is pleated; half as deep, twice as
// wide (cloth = n · (visible + 2 · depth): full 3:1, half 2:1, exact for equal
// pleats).
func TestPleatedCloth(t *testing.T) {
	panel := styleMust[Piece](t)(NewPiece("panel", Edge{"hem", Line(Pt(0, 0), Pt(600, 0))}, Edge{"side", Line(Pt(600, 0), Pt(600, 500))},
		Edge{"waist", Line(Pt(600, 500), Pt(0, 500))}, Edge{"other side", Line(Pt(0, 500), Pt(0, 0))}))
	const n = 6
	for _, tt := range []struct {
		kind         PleatKind
		depth, cloth Length
	}{
		{KnifePleat, 100, 1800}, {KnifePleat, 50, 1200}, {BoxPleat, 50, 1800}, {InvertedPleat, 50, 1800}, {Tuck, 10, 720},
	} {
		var pleats []PleatAt
		for i := 0; i < n; i++ {
			x := Length(i)*100 + 50
			pleats = append(pleats, PleatAt{Name: "pleat " + string(rune('1'+i)), Kind: tt.kind,
				From: OnEdge{"waist", 600 - x}, To: OnEdge{"hem", x}, Depth: tt.depth})
		}
		q := styleMust[Piece](t)(panel.Pleated(pleats...))
		if got := q.Bounds().Width(); (got - tt.cloth).Abs() > 1e-6 {
			t.Errorf("%d %vs of %v: cloth %v, want %v", n, tt.kind, tt.depth, got, tt.cloth)
		}
		if got := styleMust[Length](t)(q.EdgeLength("waist")); (got - 600).Abs() > 1e-6 {
			t.Errorf("%v: waist %v, want 60 cm", tt.kind, got)
		}
		for i, want := range tt.kind.foldLines(false) {
			line := q.Internals()[i]
			if !strings.HasPrefix(line.Name, "pleat 1 "+want.name) {
				t.Errorf("%v: line %d is %q, want pleat 1 %s", tt.kind, i, line.Name, want.name)
			}
			if (line.Path.Length() - 500).Abs() > 1e-6 {
				t.Errorf("%v: %q is %v long, want 50 cm", tt.kind, line.Name, line.Path.Length())
			}
		}
		if got, want := len(q.Internals()), n*len(tt.kind.foldLines(false)); got != want {
			t.Errorf("%v: %d lines, want %d", tt.kind, got, want)
		}
	}
}

// Folding along the lines brings the two sides of the slash together: each
// fold line turns the cloth over, so distances along the waist alternate.
func TestFoldLinesCloseThePleat(t *testing.T) {
	for _, kind := range []PleatKind{KnifePleat, BoxPleat, InvertedPleat, Tuck} {
		for _, towardStart := range []bool{false, true} {
			at, side, last := 0.0, 1.0, 0.0
			for _, l := range kind.foldLines(towardStart) {
				at += side * (l.at - last)
				last = l.at
				if l.name != "placement line" || l.at == 0 || l.at == 1 {
					side = -side
				}
			}
			if at > 1e-12 || at < -1e-12 {
				t.Errorf("a folded %v ends %v of its cloth away from its start, want 0", kind, at)
			}
		}
	}
}

func TestPleatedErrors(t *testing.T) {
	p := styleMust[Piece](t)(stylePatterns(t)[0].Piece("sleeve"))
	ok := PleatAt{Name: "pleat", From: OnEdge{"hem", 5 * CM}, To: OnEdge{"cap", 20 * CM}, Depth: 1 * CM}
	change := func(f func(*PleatAt)) PleatAt {
		pl := ok
		f(&pl)
		return pl
	}
	if _, err := p.Pleated(ok); err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		pleat PleatAt
		want  string
	}{
		{change(func(pl *PleatAt) { pl.Name = "" }), "has no name"},
		{change(func(pl *PleatAt) { pl.Kind = 7 }), "want KnifePleat"},
		{change(func(pl *PleatAt) { pl.Depth = 0 }), "Depth is 0 cm"},
		{change(func(pl *PleatAt) { pl.Widens = -2 * CM }), "Widens is -2 cm"},
		{change(func(pl *PleatAt) { pl.Widens, pl.BothEnds = -1*CM, true }), "can't be folded in there"},
		{change(func(pl *PleatAt) { pl.Sewn = 3 * CM }), "want a Tuck"},
		{change(func(pl *PleatAt) { pl.From.Edge = "waist" }), `has no edge "waist"`},
	} {
		if _, err := p.Pleated(tt.pleat); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%+v: %v, want %q", tt.pleat, err, tt.want)
		}
	}
	if _, err := p.Pleated(); err == nil {
		t.Error("no pleats are taken")
	}
	if _, err := p.Pleated(ok, ok); err == nil {
		t.Error("two pleats at one place are taken")
	}
}
