package geom

import (
	"math"
	"testing"
)

// fuzzedCubic makes a curve of eight numbers, skipping those that are no
// coordinates of anything that is cut.
func fuzzedCubic(t *testing.T, x [8]float64) Path {
	t.Helper()
	for _, v := range x {
		if !(math.Abs(v) <= 20000) || v != 0 && math.Abs(v) < 1e-6 {
			t.Skip()
		}
	}
	at := func(i int) Point { return Pt(Length(x[i]), Length(x[i+1])) }
	p := Cubic(at(0), at(2), at(4), at(6))
	if p.Length() < 0.01 {
		t.Skip()
	}
	return p
}

func addCurves(f *testing.F, rest ...any) {
	for _, x := range [][8]float64{
		{0, 0, 62, -3, 38, 95, 45, 190}, {0, 0, 300, 200, -200, 200, 100, 0}, {0, 0, 100, 100, 0, 100, 100, 0},
		{0, 0, 0, 0, 90, 40, 100, 200}, {0, 0, 200, 0, -100, 0, 100, 0}, {0, 0, 400, 0, 5, 3, 0, 60},
	} {
		args := []any{x[0], x[1], x[2], x[3], x[4], x[5], x[6], x[7]}
		f.Add(append(args, rest...)...)
	}
}

// Parts add up to the whole, meet where they were cut, and lie on the path.
func FuzzPartsAddUp(f *testing.F) {
	addCurves(f, 0.3, 0.8)
	f.Fuzz(func(t *testing.T, a, b, c, d, e, g, h, i, at1, at2 float64) {
		p := fuzzedCubic(t, [8]float64{a, b, c, d, e, g, h, i})
		if !(at1 >= 0 && at1 < at2 && at2 <= 1 && at2-at1 > 1e-3) {
			t.Skip()
		}
		total := p.Length()
		s1, s2 := total*Length(at1), total*Length(at2)
		part, err := p.Between(s1, s2)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "length of a part", float64(part.Length()), float64(s2-s1), exact)
		near(t, "start of a part", float64(part.Start().Dist(p.At(s1))), 0, exact)
		near(t, "end of a part", float64(part.End().Dist(p.At(s2))), 0, exact)
		middle := part.At(part.Length() / 2)
		near(t, "middle of a part off the path", float64(p.Dist(middle)), 0, exact)
		near(t, "middle of a part", float64(middle.Dist(p.At((s1+s2)/2))), 0, exact)
		if s1 > 0.01 && s1 < total-0.01 {
			left, right, err := p.Split(s1)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "length of both parts", float64(left.Length()+right.Length()), float64(total), exact)
			again, err := left.Append(right)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "area of both parts", again.Area(), p.Area(), 1e-9*float64(total*total))
		}
	})
}

// Reversing twice gives the same path, once the same length and the other
// area.
func FuzzReverse(f *testing.F) {
	addCurves(f, 0.3)
	f.Fuzz(func(t *testing.T, a, b, c, d, e, g, h, i, at float64) {
		p := fuzzedCubic(t, [8]float64{a, b, c, d, e, g, h, i})
		if !(at >= 0 && at <= 1) {
			t.Skip()
		}
		back := p.Reversed()
		if !back.Reversed().Equal(p) {
			t.Errorf("reversed twice: %s", back.Reversed().describe())
		}
		near(t, "length reversed", float64(back.Length()), float64(p.Length()), exact)
		near(t, "area reversed", back.Area(), -p.Area(), 1e-9*math.Pow(float64(p.Length()), 2))
		s := p.Length() * Length(at)
		near(t, "a place, reversed", float64(back.At(back.Length()-s).Dist(p.At(s))), 0, exact)
		if box := p.Bounds(); !box.Grow(exact).Contains(p.At(s)) {
			t.Errorf("%v is outside the box %v", p.At(s), box)
		}
	})
}

// The nearest place to a place of the path is that place.
func FuzzNearest(f *testing.F) {
	addCurves(f, 0.3)
	f.Fuzz(func(t *testing.T, a, b, c, d, e, g, h, i, at float64) {
		p := fuzzedCubic(t, [8]float64{a, b, c, d, e, g, h, i})
		if !(at >= 0 && at <= 1) {
			t.Skip()
		}
		q := p.At(p.Length() * Length(at))
		s, found := p.Nearest(q)
		near(t, "nearest to itself", float64(found.Dist(q)), 0, exact)
		near(t, "place of the nearest", float64(p.At(s).Dist(found)), 0, exact)
	})
}

// Crossings lie on both paths and are the same from either side.
func FuzzCrossings(f *testing.F) {
	addCurves(f, 10.0, 20.0, 80.0, -30.0, -40.0, 90.0, 60.0, 150.0)
	addCurves(f, 0.0, 0.0, 62.0, -3.0, 38.0, 95.0, 45.0, 190.0)
	f.Fuzz(func(t *testing.T, a, b, c, d, e, g, h, i, j, k, l, m, n, o, q, r float64) {
		p1 := fuzzedCubic(t, [8]float64{a, b, c, d, e, g, h, i})
		p2 := fuzzedCubic(t, [8]float64{j, k, l, m, n, o, q, r})
		for _, x := range p1.Intersections(p2) {
			near(t, "a crossing off the first path", float64(p1.At(x.S).Dist(x.At)), 0, 2*exact)
			near(t, "a crossing off the second path", float64(p2.At(x.T).Dist(x.At)), 0, 2*exact)
		}
		for _, x := range p1.SelfCrossings() {
			near(t, "a self-crossing", float64(p1.At(x.S).Dist(p1.At(x.T))), 0, 2*exact)
		}
	})
}
