package geom

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

func checkCrossings(t *testing.T, what string, p, q Path, want ...Point) []Crossing {
	t.Helper()
	got := p.Intersections(q)
	if len(got) != len(want) {
		t.Errorf("%s: %d crossings %v, want %d at %v", what, len(got), got, len(want), want)
		return got
	}
	tol := Length(exact)
	if strings.Contains(what, "touch") && strings.Contains(what, "circle") {
		tol = 0.005 // along the circle, whose curves are within 1e-7 mm of it
	}
	for i, c := range got {
		if d := c.At.Dist(want[i]); d > tol {
			t.Errorf("%s: crossing %d at %v, %v from %v", what, i, c.At, d, want[i])
		}
	}
	checkOnBoth(t, what, p, q, got)
	return got
}

func checkOnBoth(t *testing.T, what string, p, q Path, got []Crossing) {
	t.Helper()
	for _, c := range got {
		if d := p.At(c.S).Dist(c.At); !(d <= exact) {
			t.Errorf("%s: crossing %v is %v off the first path", what, c, d)
		}
		if d := q.At(c.T).Dist(c.At); !(d <= exact) {
			t.Errorf("%s: crossing %v is %v off the second path", what, c, d)
		}
	}
}

func TestIntersections(t *testing.T) {
	x := Line(Pt(-100, 0), Pt(100, 0))
	circle := Arc(Point{}, 50, 0, 360*Degree)
	parabola := Cubic(Pt(-100, 50), Pt(-100.0/3, -50.0/3), Pt(100.0/3, -50.0/3), Pt(100, 50)) // y = x*x/200
	s := Cubic(Pt(-90, -60), Pt(60, 120), Pt(-60, -120), Pt(90, 60))

	checkCrossings(t, "lines", x, Line(Pt(10, -10), Pt(30, 10)), Pt(20, 0))
	checkCrossings(t, "lines apart", x, Line(Pt(10, 1), Pt(30, 10)))
	checkCrossings(t, "a line that ends on another", x, Line(Pt(10, 0), Pt(30, 10)), Pt(10, 0))
	checkCrossings(t, "a line that ends a billionth before another", x, Line(Pt(10, 1e-9), Pt(30, 10)), Pt(10, 0))
	checkCrossings(t, "lines end to end", x, Line(Pt(100, 0), Pt(150, 0)), Pt(100, 0))
	checkCrossings(t, "parallel lines", x, Line(Pt(-50, 1e-3), Pt(80, 1e-3)))
	checkCrossings(t, "line through a circle", x, circle, Pt(-50, 0), Pt(50, 0))
	checkCrossings(t, "line touching a circle", Line(Pt(-80, 50), Pt(90, 50)), circle, Pt(0, 50))
	checkCrossings(t, "line just off a circle", Line(Pt(-80, 50.00001), Pt(90, 50.00001)), circle)
	checkCrossings(t, "line touching a parabola", x, parabola, Pt(0, 0))
	checkCrossings(t, "line through a parabola", Line(Pt(-100, 12.5), Pt(100, 12.5)), parabola, Pt(-50, 12.5), Pt(50, 12.5))
	checkCrossings(t, "circles", circle, Arc(Pt(60, 0), 50, 0, 360*Degree), Pt(30, 40), Pt(30, -40))
	checkCrossings(t, "circles that touch", circle, Arc(Pt(100, 0), 50, 90*Degree, 360*Degree), Pt(50, 0))
	checkCrossings(t, "circle touching from inside", Arc(Pt(20, 0), 30, 90*Degree, 360*Degree), circle, Pt(50, 0))
	got := checkCrossings(t, "an S and a line", x, s, Pt(x.At(s0(x, s, 0)).X, 0), Pt(0, 0), Pt(x.At(s0(x, s, 2)).X, 0))
	if len(got) == 3 && got[0].At.X+got[2].At.X != 0 {
		near(t, "an S is the same on both sides", float64(got[0].At.X+got[2].At.X), 0, exact)
	}
	// An S and the same S mirrored: nine crossings are the most that two
	// cubics have.
	nine := s.Intersections(s.Transformed(Mirror(Pt(0, 0), Pt(1, 1))))
	checkOnBoth(t, "two S", s, s.Transformed(Mirror(Pt(0, 0), Pt(1, 1))), nine)
	if p := (Path{}); p.Intersections(x) != nil || x.Intersections(p) != nil {
		t.Errorf("an empty path has crossings")
	}
}

// Two arcs of nearly the same radius are within 1e-7 mm of each other for
// centimetres, and touch once.
func TestTouchOfLikeCurves(t *testing.T) {
	flat := func(bend float64) Path { // y = bend * x*x
		k := Length(bend)
		return Cubic(Pt(-90, 8100*k), Pt(-30, -2700*k), Pt(30, -2700*k), Pt(90, 8100*k))
	}
	checkCrossings(t, "like curves that touch", flat(5e-4), flat(5.00001e-4), Pt(0, 0))
	checkCrossings(t, "like curves, moved along", flat(5e-4), flat(5.00001e-4).Transformed(Translate(Pt(0, 1e-9))), Pt(0, 0))
}

// s0 returns the length on p of its k-th crossing with q.
func s0(p, q Path, k int) Length {
	if all := p.Intersections(q); k < len(all) {
		return all[k].S
	}
	return 0
}

// A crossing at a joint of either path is one crossing.
func TestCrossingAtJoint(t *testing.T) {
	zigzag := Polyline(Pt(0, 0), Pt(10, 10), Pt(20, 0), Pt(30, 10))
	checkCrossings(t, "through a corner", Line(Pt(10, -5), Pt(10, 10)), zigzag, Pt(10, 10))
	checkCrossings(t, "through three corners", Line(Pt(-5, 10), Pt(50, 10)), zigzag, Pt(10, 10), Pt(30, 10))
	checkCrossings(t, "two corners", zigzag, Polyline(Pt(20, -20), Pt(20, 0), Pt(30, -10)), Pt(20, 0))
	circle := Arc(Point{}, 50, 0, 360*Degree)
	checkCrossings(t, "through the start of a closed path", Line(Pt(40, 0), Pt(60, 0)), circle, Pt(50, 0))
}

func TestSharedStretches(t *testing.T) {
	check := func(what string, p, q Path, s, t0, shared Length) {
		t.Helper()
		got := p.Intersections(q)
		if len(got) != 1 || (got[0].Shared-shared).Abs() > 1e-5 || (got[0].S-s).Abs() > 1e-5 || (got[0].T-t0).Abs() > 1e-5 {
			t.Errorf("%s: %v, want one stretch of %v mm from %v and %v", what, got, float64(shared), float64(s), float64(t0))
		}
	}
	x := Line(Pt(0, 0), Pt(100, 0))
	check("lines", x, Line(Pt(40, 0), Pt(140, 0)), 40, 0, 60)
	check("lines run against each other", x, Line(Pt(140, 0), Pt(40, 0)), 40, 100, 60)
	check("a line in parts", x, Polyline(Pt(-20, 0), Pt(30, 0), Pt(50, 0), Pt(70, 0), Pt(70, 30)), 0, 20, 70)
	check("the same line", x, x, 0, 0, 100)
	curve := twisted["armhole-like"]
	part, err := curve.Between(50, 150)
	if err != nil {
		t.Fatal(err)
	}
	check("a curve and part of it", curve, part, 50, 0, 100)
	check("a curve and part of it, reversed", curve, part.Reversed(), 50, 100, 100)
	check("the same curve", curve, curve, 0, 0, curve.Length())
	outline := kiteOutline(t)
	if got := outline.Intersections(outline); len(got) == 0 || (got[0].Shared-outline.Length()).Abs() > 1e-5 {
		t.Errorf("an outline and itself: %v", got)
	}
}

// Random cubics cross where their fine flattenings do.
func TestIntersectionsAgainstFlattening(t *testing.T) {
	random := rand.New(rand.NewPCG(9, 10))
	total := 0
	for range 250 {
		p, q := randomCubic(random, 200), randomCubic(random, 200)
		got := p.Intersections(q)
		checkOnBoth(t, p.describe()+" and "+q.describe(), p, q, got)
		want := bruteCrossings(p.segments()[0], q.segments()[0], 300)
		total += len(got)
		if len(got) != len(want) {
			t.Errorf("%s and %s: %d crossings %v, fine flattenings have %v", p.describe(), q.describe(), len(got), got, want)
			continue
		}
		for _, w := range want {
			best := Length(math.Inf(1))
			for _, c := range got {
				best = min(best, c.At.Dist(w))
			}
			if best > 0.2 {
				t.Errorf("%s and %s: flattenings cross at %v, nearest found is %v away", p.describe(), q.describe(), w, best)
			}
		}
	}
	if total < 200 {
		t.Errorf("only %d crossings were compared", total)
	}
}

// bruteCrossings crosses all pairs of n chords.
func bruteCrossings(g, h Segment, n int) []Point {
	var out []Point
	bs := make([]Point, n+1)
	for j := range bs {
		bs[j] = h.at(float64(j) / float64(n))
	}
	for i := range n {
		a0, a1 := g.at(float64(i)/float64(n)), g.at(float64(i+1)/float64(n))
		d, box := a1.Sub(a0), RectAround(a0, a1)
		for j := range n {
			if !box.Overlaps(RectAround(bs[j], bs[j+1])) {
				continue
			}
			e, w := bs[j+1].Sub(bs[j]), bs[j].Sub(a0)
			cross := d.Cross(e)
			t, u := w.Cross(e)/cross, w.Cross(d)/cross
			if t >= 0 && t < 1 && u >= 0 && u < 1 {
				out = append(out, a0.Lerp(a1, t))
			}
		}
	}
	return out
}

func TestSelfCrossings(t *testing.T) {
	simple := map[string]Path{
		"an outline":        kiteOutline(t),
		"a circle":          Arc(Point{}, 50, 0, 360*Degree),
		"an S":              twisted["S"],
		"a hook":            twisted["hook"],
		"a line":            Line(Pt(0, 0), Pt(1, 1)),
		"a spiral":          Spline([]Point{Pt(0, 0), Pt(30, 0), Pt(0, 40), Pt(-50, 0), Pt(0, -60), Pt(70, 0)}, nil, nil),
		"a triangle":        Polyline(Pt(0, 0), Pt(10, 0), Pt(0, 10), Pt(0, 0)),
		"two arcs":          mustAppend(t, Arc(Point{}, 50, 0, 180*Degree), Arc(Point{}, 50, 180*Degree, 180*Degree)),
		"a lens of 2 parts": mustAppend(t, Cubic(Pt(0, 0), Pt(10, 10), Pt(20, 10), Pt(30, 0)), Cubic(Pt(30, 0), Pt(20, -10), Pt(10, -10), Pt(0, 0))),
		"a sharp tip":       Polyline(Pt(0, 0), Pt(100, 0), Pt(0, 0.01)),
		"nothing":           {},
	}
	for name, p := range simple {
		if got := p.SelfCrossings(); len(got) > 0 {
			t.Errorf("%s crosses itself at %v", name, got)
		}
	}
	crossed := map[string]struct {
		p    Path
		want int
	}{
		"a bow":                {Polyline(Pt(0, 0), Pt(10, 10), Pt(10, 0), Pt(0, 10), Pt(0, 0)), 1},
		"a loop":               {twisted["loop"], 1},
		"an eight":             {mustAppend(t, Arc(Pt(-50, 0), 50, 0, 360*Degree), Arc(Pt(50, 0), 50, 180*Degree, -360*Degree)), 1},
		"a path back":          {Polyline(Pt(0, 0), Pt(10, 0), Pt(5, 0)), 1},
		"a corner on the path": {Polyline(Pt(0, 0), Pt(100, 0), Pt(50, 50), Pt(50, 0), Pt(20, 60)), 1},
		"a circle run twice":   {Arc(Point{}, 50, 0, 720*Degree), 1},
	}
	for name, c := range crossed {
		got := c.p.SelfCrossings()
		if len(got) != c.want && !(name == "a circle run twice" && len(got) > 0) {
			t.Errorf("%s crosses itself at %v, want %d times", name, got, c.want)
		}
		checkOnBoth(t, name, c.p, c.p, got)
		for _, x := range got {
			if x.S >= x.T {
				t.Errorf("%s: crossing %v has the later place first", name, x)
			}
		}
	}
}

func mustAppend(t *testing.T, p Path, q ...Path) Path {
	t.Helper()
	out, err := p.Append(q...)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func BenchmarkSelfCrossings(b *testing.B) {
	b.ReportAllocs()
	p := kiteOutline(b)
	for b.Loop() {
		if !p.Simple() {
			b.Fatal("not simple")
		}
	}
}

func BenchmarkIntersections(b *testing.B) {
	b.ReportAllocs()
	p, q := twisted["S"], twisted["armhole-like"]
	for b.Loop() {
		_ = p.Intersections(q)
	}
}

func BenchmarkNearest(b *testing.B) {
	b.ReportAllocs()
	p := twisted["armhole-like"]
	for b.Loop() {
		_, _ = p.Nearest(Pt(100, 80))
	}
}
