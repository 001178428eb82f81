package geom

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// kiteOutline is a closed outline of lines and curves.
func kiteOutline(t testing.TB) Path {
	t.Helper()
	p, err := Polyline(Pt(0, 0), Pt(70, -4), Pt(72, 50)).Append(
		Cubic(Pt(72, 50), Pt(52, 52), Pt(60, 80), Pt(56, 92)),
		Line(Pt(56, 92), Pt(22, 100)),
		Cubic(Pt(22, 100), Pt(22, 86), Pt(14, 80), Pt(0, 80)),
		Line(Pt(0, 80), Pt(0, 0)))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestAppend(t *testing.T) {
	p, err := Line(Pt(0, 0), Pt(10, 0)).Append(Path{}, Line(Pt(10, 5e-7), Pt(10, 10)))
	if err != nil {
		t.Fatal(err)
	}
	if segs := p.Segments(); len(segs) != 2 || segs[1].A != Pt(10, 0) {
		t.Errorf("joined as %v, want the second line to begin exactly at the end of the first", segs)
	}
	if _, err := p.Append(Line(Pt(10, 10.001), Pt(0, 10))); err == nil || !strings.Contains(err.Error(), "0.001 mm away from the end at (1 cm, 1 cm)") {
		t.Errorf("a gap of 0.001 mm gives %v", err)
	}
	if _, err := p.Append(Line(Pt(Length(math.NaN()), 0), Pt(0, 10))); err == nil {
		t.Errorf("a path from nowhere is appended")
	}
	if _, err := PathOf(Segment{A: Pt(0, 0), B: Pt(1, Length(math.Inf(1)))}); err == nil {
		t.Errorf("a path to infinity is made")
	}
	if _, err := PathOf(Segment{A: Pt(0, 0), B: Pt(1, 0)}, Segment{A: Pt(2, 0), B: Pt(1, 0)}); err == nil {
		t.Errorf("parts that do not meet make a path")
	}
}

// What a path hands out can't be used to change it.
func TestImmutable(t *testing.T) {
	p := Polyline(Pt(0, 0), Pt(10, 0), Pt(10, 10))
	p.Segments()[0].A = Pt(5, 5)
	p.Flatten(1)[0][0] = 99
	if p.Start() != Pt(0, 0) {
		t.Errorf("the path begins at %v after its copies were changed", p.Start())
	}
	segs := []Segment{{A: Pt(0, 0), B: Pt(1, 0)}}
	q, err := PathOf(segs...)
	if err != nil {
		t.Fatal(err)
	}
	segs[0].A = Pt(7, 7)
	if q.Start() != Pt(0, 0) {
		t.Errorf("the path begins at %v after the slice that it was made of was changed", q.Start())
	}
}

func TestSplitAndBetween(t *testing.T) {
	p := kiteOutline(t)
	total := p.Length()
	for _, s := range []Length{0, total, -1, total + 1, Length(math.NaN())} {
		if _, _, err := p.Split(s); err == nil {
			t.Errorf("split at %v of %v is no error", s, total)
		}
	}
	for _, s := range [][2]Length{{-1, 5}, {5, total + 1}, {5, 5}, {Length(math.NaN()), 5}} {
		if _, err := p.Between(s[0], s[1]); err == nil {
			t.Errorf("the part from %v to %v of %v is no error", s[0], s[1], total)
		}
	}
	corner := Polyline(Pt(0, 0), Pt(70, -4)).Length()
	a, b, err := p.Split(corner)
	if err != nil {
		t.Fatal(err)
	}
	if len(a.Segments()) != 1 || len(b.Segments()) != 5 {
		t.Errorf("split at a corner leaves %d and %d parts, want 1 and 5: nothing without a length", len(a.Segments()), len(b.Segments()))
	}
	around, err := p.Between(total-20, 30)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "length of the part through the start", float64(around.Length()), 50, exact)
	near(t, "its start", float64(around.Start().Dist(p.At(total-20))), 0, exact)
	near(t, "its end", float64(around.End().Dist(p.At(30))), 0, exact)
	if _, err := a.Between(30, 10); err == nil {
		t.Errorf("the part of an open path from 30 mm back to 10 mm is no error")
	}
	whole, err := p.Between(0, total)
	if err != nil || !whole.Equal(p) {
		t.Errorf("the part from end to end is %v, %v", whole, err)
	}
	if to, err := p.Between(total, 30); err != nil || (to.Length()-30).Abs() > exact {
		t.Errorf("from the end of a closed path on: %v, %v", to, err)
	}
}

func TestAreaAndBounds(t *testing.T) {
	p := kiteOutline(t)
	// orb counts the area of a fine polygon.
	near(t, "area", p.Area(), planar.Area(orb.Ring(p.Flatten(1e-6))), 1e-4)
	square := Polyline(Pt(1000, 1000), Pt(1010, 1000), Pt(1010, 1010), Pt(1000, 1010), Pt(1000, 1000))
	near(t, "area of a square", square.Area(), 100, 1e-12)
	open := Polyline(Pt(0, 0), Pt(10, 0), Pt(10, 10))
	near(t, "area of an open path", open.Area(), 50, 1e-12)
	box := Cubic(Pt(0, 0), Pt(0, 40), Pt(30, 40), Pt(30, 0)).Bounds()
	near(t, "height of an arch", float64(box.Height()), 30, 1e-12) // 3/4 of the handles
	random := rand.New(rand.NewPCG(3, 4))
	for range 200 {
		p := randomCubic(random, 300)
		box, fine := p.Bounds(), p.Flatten(1e-4).Bound()
		near(t, "left side of "+p.describe(), float64(box.Min.X), fine.Min[0], 2e-4)
		near(t, "top side of "+p.describe(), float64(box.Max.Y), fine.Max[1], 2e-4)
		for _, q := range p.Flatten(0.1) {
			if !box.Grow(1e-9).Contains(Pt(Length(q[0]), Length(q[1]))) {
				t.Errorf("%v of %s is outside its box %v", q, p.describe(), box)
			}
		}
	}
}

// No place of a path is farther from its flattening than the tolerance.
func TestFlattenWithinTolerance(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	for range 200 {
		p := randomCubic(random, 500)
		for _, tol := range []Length{1, 0.1, 0.01} {
			line := p.Flatten(tol)
			pts := make([]Point, len(line))
			for i, q := range line {
				pts[i] = Pt(Length(q[0]), Length(q[1]))
			}
			flat := Polyline(pts...)
			for i := range 60 {
				q := p.segments()[0].at(float64(i) / 59)
				if d := flat.Dist(q); d > tol*(1+1e-9) {
					t.Fatalf("%s flattened to %v is off by %v at %v", p.describe(), tol, d, q)
				}
			}
		}
	}
	if n := len(Line(Pt(0, 0), Pt(100, 0)).Flatten(0.01)); n != 2 {
		t.Errorf("a line is flattened to %d points", n)
	}
	if n := len(Cubic(Pt(0, 0), Pt(50, 80), Pt(90, 80), Pt(100, 0)).Flatten(0)); n < 1000 || n > 100000 {
		t.Errorf("a curve flattened to 0 has %d points, want as many as 1e-6 mm needs", n)
	}
}

func TestNearest(t *testing.T) {
	circle := Arc(Pt(10, 20), 50, 0, 360*Degree)
	s, at := circle.Nearest(Pt(10, 100))
	near(t, "nearest place on a circle", float64(at.Dist(Pt(10, 70))), 0, exact)
	near(t, "its length", float64(s), 50*math.Pi/2, exact)
	if s, at := (Path{}).Nearest(Pt(1, 1)); s.Finite() || at.Finite() {
		t.Errorf("the nearest place on an empty path is %v, %v", s, at)
	}
	random := rand.New(rand.NewPCG(7, 8))
	for range 500 {
		p, q := randomCubic(random, 300), randomPoint(random, 500)
		s, at := p.Nearest(q)
		best := Length(math.Inf(1))
		for i := range 4001 {
			best = min(best, p.segments()[0].at(float64(i)/4000).Dist(q))
		}
		if d := at.Dist(q); d > best+1e-9 {
			t.Fatalf("the nearest place to %v on %s is %v away, but there is one %v away", q, p.describe(), d, best)
		}
		near(t, "place at the nearest length on "+p.describe(), float64(p.At(s).Dist(at)), 0, exact)
	}
}

func TestTransforms(t *testing.T) {
	p := kiteOutline(t)
	turned := p.Transformed(Rotate(Pt(5, 5), 37*Degree).Then(Translate(Pt(100, -3))))
	near(t, "length after a move", float64(turned.Length()), float64(p.Length()), 1e-9)
	near(t, "area after a move", turned.Area(), p.Area(), 1e-8)
	mirrored := p.Transformed(Mirror(Pt(0, 0), Pt(1, 3)))
	near(t, "area after mirroring", mirrored.Area(), -p.Area(), 1e-8)
	near(t, "point mirrored in the y axis", float64(Pt(3, 4).Mirrored(Pt(0, 0), Pt(0, 1)).Dist(Pt(-3, 4))), 0, 1e-12)
	near(t, "turned left", float64(Pt(1, 0).Rotated(90*Degree).Dist(Pt(0, 1))), 0, 1e-12)
	if p := Transform.Apply(Transform{}, Pt(3, 4)); p != Pt(3, 4) {
		t.Errorf("the zero transform takes (3, 4) to %v", p)
	}
	to := Affine(2, 1, 0.5, -3, 7, 8)
	back, err := to.Inverse()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "there and back", float64(back.Apply(to.Apply(Pt(11, 13))).Dist(Pt(11, 13))), 0, 1e-12)
	if _, err := ScaleXY(0, 1).Inverse(); err == nil {
		t.Errorf("flattening the plane can be undone")
	}
	order := Translate(Pt(10, 0)).Then(Rotate(Point{}, 90*Degree)).Apply(Pt(0, 0))
	near(t, "moved first, turned after", float64(order.Dist(Pt(0, 10))), 0, 1e-12)
}

// A spline passes its points, and direction and curvature run on there.
func TestSplineIsSmooth(t *testing.T) {
	pts := []Point{Pt(0, 0), Pt(40, 30), Pt(60, 32), Pt(100, 90), Pt(95, 140)}
	up, left := Pt(0, 3), Pt(-1, 1)
	p := Spline(pts, &up, &left)
	segs := p.Segments()
	if len(segs) != 4 {
		t.Fatalf("a spline through 5 points has %d parts", len(segs))
	}
	for i, g := range segs {
		if g.A != pts[i] || g.B != pts[i+1] {
			t.Errorf("part %d runs from %v to %v", i, g.A, g.B)
		}
		if i == 0 {
			continue
		}
		before := segs[i-1]
		near(t, "turn at a knot", float64(before.tangent(1).AngleTo(g.tangent(0))), 0, 1e-12)
		near(t, "change of curvature at a knot", before.curvature(1)-g.curvature(0), 0, 1e-4)
	}
	near(t, "direction at the start", float64(p.TangentAt(0).AngleTo(up)), 0, 1e-12)
	near(t, "direction at the end", float64(p.TangentAt(p.Length()).AngleTo(left)), 0, 1e-12)
	free := Spline(pts, nil, nil)
	near(t, "curvature at a free start", free.CurvatureAt(0), 0, 1e-12)
	near(t, "curvature at a free end", free.CurvatureAt(free.Length()), 0, 1e-12)
	straight := Spline([]Point{Pt(0, 0), Pt(10, 10), Pt(30, 30)}, nil, nil)
	near(t, "length of a straight spline", float64(straight.Length()), 30*math.Sqrt2, exact)
	if !Spline(pts[:1], nil, nil).Empty() || !Spline([]Point{pts[0], pts[0]}, nil, nil).Empty() {
		t.Errorf("a spline through one point is a path")
	}
}

// Points of a circle with its directions at the ends give the circle back.
func TestSplineOfACircle(t *testing.T) {
	var pts []Point
	for i := range 13 {
		pts = append(pts, Polar(100, Angle(i)*15*Degree))
	}
	start, end := Pt(0, 1), Pt(0, -1)
	p := Spline(pts, &start, &end)
	for i := range 100 {
		near(t, "radius of a spline", float64(p.At(p.Length()*Length(i)/99).Norm()), 100, 2e-3)
	}
}

func TestHermite(t *testing.T) {
	p := Hermite(Pt(0, 0), Pt(30, 0), Pt(50, 50), Pt(0, 60))
	g := p.segments()[0]
	near(t, "derivative at the start", float64(g.velocity(0).Dist(Pt(30, 0))), 0, 1e-12)
	near(t, "derivative at the end", float64(g.velocity(1).Dist(Pt(0, 60))), 0, 1e-12)
}

func TestRects(t *testing.T) {
	r := RectAround(Pt(3, 4), Pt(-1, 10))
	if r.Width() != 4 || r.Height() != 6 || r.Center() != Pt(1, 7) || !r.Contains(Pt(3, 10)) || r.Contains(Pt(3.1, 5)) {
		t.Errorf("box %v", r)
	}
	if r.Union(EmptyRect()) != r || EmptyRect().Union(r) != r || EmptyRect().Width() != 0 || !EmptyRect().Empty() {
		t.Errorf("the empty box changes its union with another, or has a width")
	}
	if d := r.Dist(Pt(6, 14)); d != 5 {
		t.Errorf("distance from a box is %v mm, want 5", float64(d))
	}
	if a := r.Outline().Area(); a != 24 {
		t.Errorf("a box run round has the area %v, want 24 counterclockwise", a)
	}
	if g := r.Grow(1); g.Width() != 6 || g.Height() != 8 {
		t.Errorf("grown by 1: %v", g)
	}
}

// A split beside a joint leaves a curve of no length, or of next to none.
func TestNearestOnSliver(t *testing.T) {
	for _, size := range []Length{0, 1e-14, 1e-12, 1e-9, 1e-6} {
		a := Pt(100, 50)
		p := Cubic(a, a.Add(Pt(size, 0)), a.Add(Pt(0, size)), a.Add(Pt(size, size)))
		if d := p.Dist(Pt(103, 54)); (d - 5).Abs() > 2*size+1e-9 {
			t.Errorf("a curve of %g mm is %v away, want 5 mm", size.MM(), d)
		}
	}
}
