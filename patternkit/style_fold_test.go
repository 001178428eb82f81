package patternkit

import (
	"math"
	"strings"
	"testing"
)

// Laid 2 in from the fold, a half piece gains 4 in across the whole piece
// (period sewing practice; exact by geometry).
func TestWidenAtFold(t *testing.T) {
	r := styleRandom(8)
	for _, pattern := range stylePatterns(t) {
		for _, p := range pattern.Pieces() {
			if p.Fold() == "" {
				if _, err := p.WidenAtFold(2 * Inch); err == nil || !strings.Contains(err.Error(), "no edge on the fold") {
					t.Errorf("%s: %v", p.Name(), err)
				}
				continue
			}
			by := Length(0.5+3*r.Float64()) * Inch
			q := styleMust[Piece](t)(p.WidenAtFold(by))
			if got := 2 * (q.Bounds().Width() - p.Bounds().Width()); (got - 2*by).Abs() > 1e-6 {
				t.Errorf("%s: the whole piece gains %v, want %v", p.Name(), got, 2*by)
			}
			styleSameLengths(t, "widened", p, q, "waist", "neckline")
			for _, edge := range []string{"waist", "neckline"} {
				if got := gained(t, p, q, edge); (got - by).Abs() > 1e-6 {
					t.Errorf("%s: %q gains %v, want %v", p.Name(), edge, got, by)
				}
			}
			fold := styleMust[Length](t)(p.EdgeLength(p.Fold()))
			if got := q.Area() - p.Area(); math.Abs(got-float64(fold*by)) > 1e-3 {
				t.Errorf("%s: area grows by %v, want %v", p.Name(), got, fold*by)
			}
			checkLedToFold(t, p, q, by)
			for _, n := range p.Notches() {
				before := styleMust[Point](t)(p.PointOn(n.Edge, n.At))
				for _, m := range q.Notches() {
					if after := styleMust[Point](t)(q.PointOn(m.Edge, m.At)); m.Name == n.Name && after.Dist(before) > 1e-6 {
						t.Errorf("%s: notch %q moved from %v to %v", p.Name(), n.Name, before, after)
					}
				}
			}
			sameEase(t, pattern, styleMust[Pattern](t)(pattern.WithPieceEased(q)))
			if _, err := p.WidenAtFold(-1 * CM); err == nil {
				t.Error("a negative width is taken")
			}
		}
	}
}

// Smoothing leaves the ends, their directions and all other edges; an edge
// without kinks stays as it is.
func TestSmoothEdgeKeepsEnds(t *testing.T) {
	for _, pattern := range stylePatterns(t) {
		p := styleMust[Piece](t)(pattern.Piece("sleeve"))
		same := styleMust[Piece](t)(p.SmoothEdge("hem"))
		styleSameLengths(t, "no kinks", p, same)
		q := styleMust[Piece](t)(p.Flared("cap", "hem", 20*CM, 5))
		s := styleMust[Piece](t)(q.SmoothEdge("hem"))
		styleSameLengths(t, "smooth hem", q, s, "hem")
		a, b := styleMust[[]Edge](t)(q.Edge("hem"))[0].Path, styleMust[[]Edge](t)(s.Edge("hem"))[0].Path
		if a.Start() != b.Start() || a.End() != b.End() || a.TangentAt(0).Dist(b.TangentAt(0)) > 1e-6 {
			t.Errorf("%s: the smooth hem has other ends", pattern.Name())
		}
		if len(unkinked(a)) < 5 || len(unkinked(b)) != 1 {
			t.Errorf("%s: hem in %d stretches, smooth in %d", pattern.Name(), len(unkinked(a)), len(unkinked(b)))
		}
		if change := (a.Length() - b.Length()).Abs(); change > a.Length()/50 {
			t.Errorf("%s: smoothing changes the hem by %v of %v", pattern.Name(), change, a.Length())
		}
	}
}

// checkLedToFold checks that lines which ended on the fold end on the moved
// one, longer by as much as it moved, and that the points at its ends are there.
func checkLedToFold(t *testing.T, p, q Piece, by Length) {
	t.Helper()
	fold := func(p Piece) Path { return styleMust[[]Edge](t)(p.Edge(p.Fold()))[0].Path }
	ended := 0
	for i, line := range p.Internals() {
		is := q.Internals()[i]
		want := line.Path.Length()
		for k, end := range []Point{line.Path.Start(), line.Path.End()} {
			if fold(p).Dist(end) > 1e-6 {
				continue
			}
			ended++
			want += by
			if off := fold(q).Dist([]Point{is.Path.Start(), is.Path.End()}[k]); off > 1e-6 {
				t.Errorf("%s: line %q ends %v from the fold", p.Name(), line.Name, off)
			}
		}
		if (is.Path.Length()-want).Abs() > 1e-6 || is.Name != line.Name {
			t.Errorf("%s: line %q of %v, want %v", p.Name(), is.Name, is.Path.Length(), want)
		}
	}
	if ended == 0 {
		t.Errorf("%s: no line ends on the fold", p.Name())
	}
	for i, point := range p.Points() {
		moved := q.Points()[i].At.Dist(point.At)
		atEnd := min(point.At.Dist(fold(p).Start()), point.At.Dist(fold(p).End())) <= 1e-6
		if atEnd && (moved-by).Abs() > 1e-6 || !atEnd && moved > 0 {
			t.Errorf("%s: point %q moved by %v", p.Name(), point.Name, moved)
		}
	}
}
