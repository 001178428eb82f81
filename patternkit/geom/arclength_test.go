package geom

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mathext"
)

// exact is the accuracy that the package promises, in millimetres.
const exact = 1e-6

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s is %.10f, want %.10f ± %g", what, got, want, tol)
	}
}

// twisted are cubics that lengths are easily wrong on: hooks, loops, a cusp,
// handles of no length, and ends far from even.
var twisted = map[string]Path{
	"hook":           Cubic(Pt(0, 0), Pt(400, 0), Pt(5, 3), Pt(0, 60)),
	"loop":           Cubic(Pt(0, 0), Pt(300, 200), Pt(-200, 200), Pt(100, 0)),
	"cusp":           Cubic(Pt(0, 0), Pt(100, 100), Pt(0, 100), Pt(100, 0)),
	"near cusp":      Cubic(Pt(0, 0), Pt(100, 100), Pt(0.01, 100), Pt(100, 0)),
	"handle on end":  Cubic(Pt(0, 0), Pt(0, 0), Pt(90, 40), Pt(100, 200)),
	"both on ends":   Cubic(Pt(0, 0), Pt(0, 0), Pt(100, 200), Pt(100, 200)),
	"back and forth": Cubic(Pt(0, 0), Pt(200, 0), Pt(-100, 0), Pt(100, 0)),
	"S":              Cubic(Pt(0, 0), Pt(180, 10), Pt(-80, 140), Pt(100, 150)),
	"armhole-like":   Cubic(Pt(0, 0), Pt(62, -3), Pt(38, 95), Pt(45, 190)),
	"tiny":           Cubic(Pt(0, 0), Pt(0.001, 0), Pt(0.001, 0.002), Pt(0, 0.001)),
	"long":           Cubic(Pt(0, 0), Pt(9000, 20000), Pt(30000, -500), Pt(50000, 100)),
}

// bruteLength halves a cubic until its chord and its control polygon agree.
func bruteLength(g Segment, depth int) float64 {
	chord, polygon := float64(g.A.Dist(g.B)), float64(g.reach())
	if polygon-chord < 1e-9*polygon && polygon < 1 || polygon-chord < 3e-11*polygon || depth == 0 {
		return (2*chord + 2*polygon) / 4 // Gravesen 1997: the weights for a cubic
	}
	a, b := g.split(0.5)
	return bruteLength(a, depth-1) + bruteLength(b, depth-1)
}

func TestLengthOfTwistedCurves(t *testing.T) {
	for name, p := range twisted {
		near(t, "length of "+name, float64(p.Length()), bruteLength(p.segments()[0], 18), 1e-7)
	}
}

func TestLengthOfRandomCurves(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for range 60 {
		p := randomCubic(random, 300)
		near(t, "length of "+p.describe(), float64(p.Length()), bruteLength(p.segments()[0], 16), 1e-7)
	}
}

func randomPoint(random *rand.Rand, size float64) Point {
	return Pt(Length((random.Float64()-0.5)*size), Length((random.Float64()-0.5)*size))
}

func randomCubic(random *rand.Rand, size float64) Path {
	return Cubic(randomPoint(random, size), randomPoint(random, size), randomPoint(random, size), randomPoint(random, size))
}

func (p Path) describe() string {
	s := ""
	for _, g := range p.segments() {
		s += "[" + g.A.String() + g.C1.String() + g.C2.String() + g.B.String() + "]"
	}
	return s
}

func TestCircles(t *testing.T) {
	for _, r := range []Length{0.1, 10, 100, 1500, 20000} {
		for _, sweep := range []Angle{360 * Degree, 90 * Degree, -45 * Degree, 1 * Degree, 200 * Degree} {
			arc := Arc(Pt(30, -20), r, 30*Degree, sweep)
			near(t, "length of an arc", float64(arc.Length()), math.Abs(float64(sweep))*float64(r), exact)
			for i := range 41 {
				s := arc.Length() * Length(i) / 40
				near(t, "radius", float64(arc.At(s).Dist(Pt(30, -20))), float64(r), exact)
				turn := 30*Degree + sweep*Angle(i)/40
				near(t, "place on an arc", float64(arc.At(s).Dist(Pt(30, -20).Add(Polar(r, turn)))), 0, exact)
				bend := math.Copysign(1/float64(r), float64(sweep))
				near(t, "curvature by radius", arc.CurvatureAt(s)/bend, 1, 1e-3)
			}
		}
	}
	whole := Arc(Point{}, 100, 0, 360*Degree)
	near(t, "area of a circle", whole.Area(), math.Pi*1e4, 1e-4)
	if !whole.Closed() || !whole.Simple() {
		t.Errorf("a circle: closed %v, simple %v", whole.Closed(), whole.Simple())
	}
	near(t, "area of a circle run clockwise", whole.Reversed().Area(), -math.Pi*1e4, 1e-4)
}

func TestEllipses(t *testing.T) {
	// The perimeter of an ellipse is 4 a E(m) with m = 1 - (b/a)^2. E(0.75) =
	// 1.21105 6028 (Abramowitz and Stegun, table 17.1, from memory), and
	// gonum's CompleteE agrees.
	near(t, "E(0.75)", mathext.CompleteE(0.75), 1.211056028, 5e-10)
	for _, b := range []float64{1, 0.5, 0.1, 3} {
		e := Arc(Point{}, 100, 0, 360*Degree).Transformed(ScaleXY(1, b))
		a, m := 100.0, 1-b*b
		if b > 1 {
			a, m = 100*b, 1-1/(b*b)
		}
		near(t, "perimeter of an ellipse", float64(e.Length()), 4*a*mathext.CompleteE(m), exact)
		near(t, "area of an ellipse", e.Area(), math.Pi*1e4*b, 1e-4)
		box := e.Bounds()
		near(t, "height of an ellipse", float64(box.Height()), 200*b, exact)
		near(t, "width of an ellipse", float64(box.Width()), 200, exact)
	}
	quarter := Arc(Point{}, 100, 0, 90*Degree).Transformed(ScaleXY(2, 1))
	// Part of an ellipse: a E(phi, m), phi from the minor axis.
	for _, turn := range []float64{0.3, 0.8, 1.2} {
		s, _ := quarter.Nearest(Pt(Length(200*math.Sin(turn)), Length(100*math.Cos(turn))))
		near(t, "part of an ellipse", float64(quarter.Length()-s), 200*mathext.EllipticE(turn, 0.75), exact)
	}
}

// A place found by length has that length before it.
func TestInverseOfLength(t *testing.T) {
	for name, p := range twisted {
		total := p.Length()
		for i := 1; i < 50; i++ {
			s := total * Length(i) / 50
			before, after, err := p.Split(s)
			if err != nil {
				t.Errorf("%s: %v", name, err)
				continue
			}
			tol := 1e-7
			near(t, name+": length before a place", float64(before.Length()), float64(s), tol)
			near(t, name+": length after a place", float64(after.Length()), float64(total-s), tol)
			near(t, name+": ends meet", float64(before.End().Dist(p.At(s))), 0, 1e-9)
		}
	}
}

// plainParameter finds a place by length as simply as can be: by Newton's
// method from an even share, each step measured from the start of the stretch.
func plainParameter(g Segment, m mark, s, whole float64) float64 {
	low, high := m.t0, m.t1
	t := low + (high-low)*s/whole
	v := speedOf(g)
	for range 60 {
		off := v.length(m.t0, t) - s
		if math.Abs(off) < 1e-11 {
			break
		}
		if off > 0 {
			high = t
		} else {
			low = t
		}
		next := t - off/v.at(t)
		if !(next > low && next < high) {
			next = (low + high) / 2
		}
		if next == t {
			break
		}
		t = next
	}
	return t
}

// The place found with few steps is that found plainly: on twisted curves and
// random ones the length between both is below 1e-10 mm.
func TestParameterIsThePlainOne(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	paths := make([]Path, 0, len(twisted)+200)
	for _, p := range twisted {
		paths = append(paths, p)
	}
	for range 200 {
		paths = append(paths, randomCubic(random, 600))
	}
	for _, p := range paths {
		g, r := p.segments()[0], p.ruler()
		v := speedOf(g)
		for i, m := range r.marks {
			end := r.total
			if i+1 < len(r.marks) {
				end = r.marks[i+1].s0
			}
			whole := end - m.s0
			for range 40 {
				s := whole * random.Float64()
				got, want := p.parameter(m, s, whole), plainParameter(g, m, s, whole)
				near(t, "length between both on "+p.describe(), v.length(min(got, want), max(got, want)), 0, 1e-10)
			}
		}
	}
}

func TestOffThePath(t *testing.T) {
	p := Polyline(Pt(0, 0), Pt(100, 0), Pt(100, 50))
	for _, s := range []Length{-1, 151, Length(math.NaN()), Length(math.Inf(1))} {
		if at := p.At(s); at.Finite() {
			t.Errorf("At(%v) of a path of 150 mm is %v, want no number", s, at)
		}
		if d := p.TangentAt(s); d.Finite() {
			t.Errorf("TangentAt(%v) is %v, want no number", s, d)
		}
		if k := p.CurvatureAt(s); !math.IsNaN(k) {
			t.Errorf("CurvatureAt(%v) is %v, want no number", s, k)
		}
	}
	if at := p.At(150 + 1e-9); at != Pt(100, 50) {
		t.Errorf("what rounding leaves past the end is %v, want the end", at)
	}
	if d := p.TangentAt(100); d != Pt(0, 1) {
		t.Errorf("the direction at a corner is %v, want that of the part that begins there", d)
	}
	if d := p.TangentAt(100 - 1e-12); d != Pt(0, 1) {
		t.Errorf("the direction a rounding before a corner is %v, want that at the corner", d)
	}
	var none Path
	if none.Length() != 0 || none.At(0).Finite() || none.Start().Finite() || none.Area() != 0 || !none.Bounds().Empty() || none.Closed() {
		t.Errorf("an empty path has a length, a place or a box")
	}
}

func TestCurvature(t *testing.T) {
	// A parabola y = x*x/200 as a cubic: curvature 1/100 at its vertex.
	p := Cubic(Pt(-100, 50), Pt(-100.0/3, -50.0/3), Pt(100.0/3, -50.0/3), Pt(100, 50))
	near(t, "curvature at the vertex", p.CurvatureAt(p.Length()/2), 0.01, 1e-9)
	near(t, "curvature, mirrored", p.Transformed(ScaleXY(1, -1)).CurvatureAt(p.Length()/2), -0.01, 1e-9)
	near(t, "curvature, reversed", p.Reversed().CurvatureAt(p.Length()/2), -0.01, 1e-9)
	// At (100, 50): y' = 1, y'' = 1/100, so 0.01 / 2^1.5.
	near(t, "curvature at the end", p.CurvatureAt(p.Length()), 0.01/math.Pow(2, 1.5), 1e-9)
}

func BenchmarkLength(b *testing.B) {
	b.ReportAllocs()
	g := twisted["armhole-like"].segments()[0]
	for b.Loop() {
		_ = single(g).Length()
	}
}

// Points at lengths all along a curve, and beside it the same found plainly.
func BenchmarkAt(b *testing.B) {
	p := twisted["armhole-like"]
	g, r := p.segments()[0], p.ruler()
	const places = 64
	b.Run("path", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			for i := range places {
				_ = p.At(p.Length() * Length(i) / places)
			}
		}
	})
	b.Run("plainly", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			for i := range places {
				at, _ := p.find(0)
				s := r.total * float64(i) / places
				for k, m := range r.marks {
					end := r.total
					if k+1 < len(r.marks) {
						end = r.marks[k+1].s0
					}
					if s >= m.s0 && s < end {
						at = place{m.seg, plainParameter(g, m, s-m.s0, end-m.s0)}
					}
				}
				_ = p.chain.segs[at.seg].at(at.t)
			}
		}
	})
}
