package patternkit

import (
	"math"
	"slices"
	"strings"
	"testing"

	"patternkit/patternkit/geom"
)

// Cut anywhere and joined again, a piece is what it was: outline within 1e-6
// mm, names, notches, darts, points, lines, seams.
func TestJoinUndoesCut(t *testing.T) {
	eachRandomCut(t, 12, func(p Pattern, piece Piece, c Cut) {
		q, err := p.Cut(c)
		if err != nil {
			t.Fatal(err)
		}
		r := styleRandom(uint64(piece.Outline().Length()))
		moved := geom.Rotate(Pt(0, 0), Angle(r.Float64()*6)).Then(geom.Translate(Pt(1*M, Length(r.Float64())*1*M)))
		if q, err = q.WithPieceTransformed("two", moved); err != nil {
			t.Fatal(err)
		}
		back, err := q.Join("style line", piece.Name())
		if err != nil {
			t.Fatalf("%s of %s: %v", piece.Name(), p.Name(), err)
		}
		again := styleMust[Piece](t)(back.Piece(piece.Name()))
		checkSamePiece(t, piece, again)
		checkSameWalk(t, p, back)
		if len(back.Seams()) != len(p.Seams()) || len(back.Pieces()) != len(p.Pieces()) {
			t.Errorf("%d seams and %d pieces", len(back.Seams()), len(back.Pieces()))
		}
	})
}

// checkSamePiece compares two pieces but for where their outline begins and
// the place of their grainline.
func checkSamePiece(t *testing.T, was, is Piece) {
	t.Helper()
	a, b := was.EdgeNames(), is.EdgeNames()
	slices.Sort(a)
	slices.Sort(b)
	if !slices.Equal(a, b) {
		t.Fatalf("edges %q became %q", a, b)
	}
	for _, name := range a {
		p, q := styleMust[[]Edge](t)(was.Edge(name)), styleMust[[]Edge](t)(is.Edge(name))
		if len(p) != len(q) {
			t.Errorf("edge %q in %d parts is in %d", name, len(p), len(q))
			continue
		}
		for i := range p {
			if !styleNear(p[i].Path, q[i].Path, 1e-6) {
				t.Errorf("edge %q does not come back", name)
			}
		}
	}
	if math.Abs(was.Area()-is.Area()) > 1e-3 {
		t.Errorf("area %v became %v", was.Area(), is.Area())
	}
	for _, n := range was.Notches() {
		i := slices.IndexFunc(is.Notches(), func(m Notch) bool { return m.Name == n.Name && m.Edge == n.Edge })
		if i < 0 || (is.Notches()[i].At-n.At).Abs() > 1e-6 {
			t.Errorf("notch %+v became %+v", n, is.Notches())
		}
	}
	for _, q := range was.Points() {
		if at, err := is.Point(q.Name); err != nil || at.Dist(q.At) > 1e-6 {
			t.Errorf("point %q at %v is at %v, %v", q.Name, q.At, at, err)
		}
	}
	for _, d := range was.Darts() {
		if e, err := is.Dart(d.Name); err != nil || e.Mouth != d.Mouth || e.Tip.Dist(d.Tip) > 1e-6 {
			t.Errorf("dart %+v became %+v", d, e)
		}
	}
	if len(was.Internals()) != len(is.Internals()) || (internalLength(was)-internalLength(is)).Abs() > 1e-6 {
		t.Errorf("lines %v became %v", was.Internals(), is.Internals())
	}
	n, note := was.Quantity()
	if m, other := is.Quantity(); n != m || note != other || was.Fold() != is.Fold() || was.Material() != is.Material() {
		t.Errorf("cut %d %q on %q became %d %q on %q", n, note, was.Fold(), m, other, is.Fold())
	}
}

// Front and back joined at the side, as for a wrapped skirt: hem and waist run
// through, what both have otherwise is told apart, and the seams that are left
// walk as they did.
func TestJoinAtTheSide(t *testing.T) {
	half := func(name string, x float64) Piece {
		p := styleMust[Piece](t)(NewPiece(name,
			Edge{"hem", Line(Pt(0, 0), Pt(30*CM, 0))}, Edge{"side seam", Line(Pt(30*CM, 0), Pt(22*CM, 60*CM))},
			Edge{"waist", Line(Pt(22*CM, 60*CM), Pt(0, 60*CM))}, Edge{"centre", Line(Pt(0, 60*CM), Pt(0, 0))}))
		p = styleMust[Piece](t)(p.WithPoint("waist centre point", Pt(0, 60*CM)))
		p = styleMust[Piece](t)(p.WithQuantity(2, "a pair"))
		return styleMust[Piece](t)(p.Transformed(geom.ScaleXY(x, 1)))
	}
	band := styleMust[Piece](t)(NewPiece("band", Edge{"waist", Line(Pt(0, 0), Pt(44*CM, 0))}, Edge{"top", Polyline(Pt(44*CM, 0), Pt(44*CM, 4*CM), Pt(0, 4*CM), Pt(0, 0))}))
	for _, x := range []float64{1, -1} {
		p := styleMust[Pattern](t)(NewPattern("skirt", half("front", 1), half("back", x), band,
			Seam{Name: "side seam", A: []Along{{Piece: "front", Edge: "side seam"}}, B: []Along{{Piece: "back", Edge: "side seam", Reversed: x < 0}}},
			Seam{Name: "waist", A: []Along{{Piece: "front", Edge: "waist", Reversed: true}, {Piece: "back", Edge: "waist", Reversed: x < 0}},
				B: []Along{{Piece: "band", Edge: "waist"}}}))
		q := styleMust[Pattern](t)(p.Join("side seam", "wrap"))
		wrap := styleMust[Piece](t)(q.Piece("wrap"))
		if names := strings.Join(wrap.EdgeNames(), ", "); names != "centre, hem, back centre, waist" {
			t.Errorf("edges %q", names)
		}
		if l := styleMust[Length](t)(wrap.EdgeLength("hem")); l != 60*CM {
			t.Errorf("hem %v, want 60 cm", l)
		}
		if math.Abs(wrap.Area()-2*26*600*10) > 1e-3 {
			t.Errorf("area %v", wrap.Area())
		}
		if _, err := wrap.Point("back waist centre point"); err != nil {
			t.Error(err)
		}
		if got := wrap.Origin("back centre"); got != "centre" {
			t.Errorf("back centre comes from %q", got)
		}
		rows := q.Walk().Rows()
		if len(rows) != 1 || rows[0].Fault || rows[0].LengthA != 44*CM || rows[0].SideA != "wrap waist" {
			t.Errorf("%s", q.Walk())
		}
	}
}

func TestJoinRefuses(t *testing.T) {
	p := stylePatterns(t)[0]
	for _, tt := range []struct{ seam, name, want string }{
		{"yoke", "x", `no seam "yoke"`},
		{"underarm", "x", "of two pieces"},
		{"armhole", "x", "want one edge of one piece"},
		{"shoulder", "x", "with darts between them"},
		{"side seam", "sleeve", `already has a piece "sleeve"`},
		{"side seam", "x", "the folds do not run on"},
		{"side seam", " ", "the new name is empty"},
	} {
		if _, err := p.Join(tt.seam, tt.name); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%q: %v, want %q", tt.seam, err, tt.want)
		}
	}
	straight := styleMust[Piece](t)(NewPiece("a", Edge{"x", Line(Pt(0, 0), Pt(10*CM, 0))}, Edge{"y", Polyline(Pt(10*CM, 0), Pt(5*CM, 9*CM), Pt(0, 0))}))
	bent := styleMust[Piece](t)(NewPiece("b", Edge{"x", Polyline(Pt(0, 0), Pt(4*CM, 3*CM), Pt(8*CM, 0))}, Edge{"y", Polyline(Pt(8*CM, 0), Pt(5*CM, 9*CM), Pt(0, 0))}))
	q := styleMust[Pattern](t)(NewPattern("two", straight, bent, Seam{Name: "s", A: []Along{{Piece: "a", Edge: "x"}}, B: []Along{{Piece: "b", Edge: "x", Reversed: true}}}))
	if _, err := q.Join("s", "c"); err == nil || !strings.Contains(err.Error(), "differ in shape") {
		t.Errorf("a bent edge is joined to a straight one: %v", err)
	}
}
