package geom

import "math"

// A Segment is one part of a path: a straight line from A to B, or, where
// Curve is set, the cubic Bezier curve from A to B with handles C1 and C2.
type Segment struct {
	A, C1, C2, B Point
	Curve        bool
}

// polygon returns the control points of g as a cubic, a line having its
// handles at thirds.
func (g Segment) polygon() (a, c1, c2, b Point) {
	if g.Curve {
		return g.A, g.C1, g.C2, g.B
	}
	return g.A, g.A.Lerp(g.B, 1.0/3), g.B.Lerp(g.A, 1.0/3), g.B
}

// at returns the point at the parameter t from 0 to 1.
func (g Segment) at(t float64) Point {
	switch {
	case t == 0:
		return g.A
	case t == 1:
		return g.B
	case !g.Curve:
		return g.A.Lerp(g.B, t)
	}
	u := 1 - t
	return g.A.Scale(u * u * u).Add(g.C1.Scale(3 * u * u * t)).Add(g.C2.Scale(3 * u * t * t)).Add(g.B.Scale(t * t * t))
}

// velocity returns the first derivative at t.
func (g Segment) velocity(t float64) Point {
	if !g.Curve {
		return g.B.Sub(g.A)
	}
	u := 1 - t
	return g.C1.Sub(g.A).Scale(3 * u * u).Add(g.C2.Sub(g.C1).Scale(6 * u * t)).Add(g.B.Sub(g.C2).Scale(3 * t * t))
}

// acceleration returns the second derivative at t.
func (g Segment) acceleration(t float64) Point {
	if !g.Curve {
		return Point{}
	}
	first := g.C2.Sub(g.C1).Sub(g.C1.Sub(g.A))
	last := g.B.Sub(g.C2).Sub(g.C2.Sub(g.C1))
	return first.Scale(6 * (1 - t)).Add(last.Scale(6 * t))
}

// tangent returns the unit vector along g at t. Where the curve stands still,
// as at an end whose handle lies on it, it is the direction in which it goes
// on, or came.
func (g Segment) tangent(t float64) Point {
	v := g.velocity(t)
	if n := v.Norm(); n > 1e-9*g.extent() || n > 1e-9*g.reach() {
		return Point{v.X / n, v.Y / n}
	}
	a := g.acceleration(t)
	if t > 0.5 {
		a = a.Neg()
	}
	if a.Norm() > 1e-9*g.reach() {
		return a.Unit()
	}
	return g.B.Sub(g.A).Unit()
}

// reach is the length of the control polygon, never less than the length.
func (g Segment) reach() Length {
	if !g.Curve {
		return g.A.Dist(g.B)
	}
	return g.A.Dist(g.C1) + g.C1.Dist(g.C2) + g.C2.Dist(g.B)
}

// extent is the length of the control polygon counted along the axes, never
// less than its reach.
func (g Segment) extent() Length {
	if !g.Curve {
		return (g.B.X - g.A.X).Abs() + (g.B.Y - g.A.Y).Abs()
	}
	return (g.C1.X - g.A.X).Abs() + (g.C1.Y - g.A.Y).Abs() + (g.C2.X - g.C1.X).Abs() + (g.C2.Y - g.C1.Y).Abs() +
		(g.B.X - g.C2.X).Abs() + (g.B.Y - g.C2.Y).Abs()
}

// curvature returns the curvature at t in 1/mm, positive where g turns left.
func (g Segment) curvature(t float64) float64 {
	if !g.Curve {
		return 0
	}
	v := g.velocity(t)
	speed := float64(v.Norm())
	return v.Cross(g.acceleration(t)) / (speed * speed * speed)
}

// split parts g at t.
func (g Segment) split(t float64) (Segment, Segment) {
	if !g.Curve {
		m := g.at(t)
		return Segment{A: g.A, B: m}, Segment{A: m, B: g.B}
	}
	ab, bc, cd := g.A.Lerp(g.C1, t), g.C1.Lerp(g.C2, t), g.C2.Lerp(g.B, t)
	abc, bcd := ab.Lerp(bc, t), bc.Lerp(cd, t)
	m := abc.Lerp(bcd, t)
	return Segment{g.A, ab, abc, m, true}, Segment{m, bcd, cd, g.B, true}
}

// between returns the part of g from t0 to t1.
func (g Segment) between(t0, t1 float64) Segment {
	if t1 < 1 {
		g, _ = g.split(t1)
	}
	if t0 > 0 {
		_, g = g.split(t0 / t1)
	}
	return g
}

func (g Segment) reversed() Segment {
	return Segment{g.B, g.C2, g.C1, g.A, g.Curve}
}

func (g Segment) transformed(t Transform) Segment {
	h := Segment{A: t.Apply(g.A), B: t.Apply(g.B), Curve: g.Curve}
	if g.Curve {
		h.C1, h.C2 = t.Apply(g.C1), t.Apply(g.C2)
	}
	return h
}

func (g Segment) finite() bool {
	return g.A.Finite() && g.B.Finite() && (!g.Curve || g.C1.Finite() && g.C2.Finite())
}

// bounds returns the exact box around g.
func (g Segment) bounds() Rect {
	r := RectAround(g.A, g.B)
	if !g.Curve || r.Contains(g.C1) && r.Contains(g.C2) {
		return r
	}
	r.Min.X, r.Max.X = extremes(r.Min.X, r.Max.X, g.A.X, g.C1.X, g.C2.X, g.B.X)
	r.Min.Y, r.Max.Y = extremes(r.Min.Y, r.Max.Y, g.A.Y, g.C1.Y, g.C2.Y, g.B.Y)
	return r
}

// extremes widens low to high by the turning values of one coordinate.
func extremes(low, high, a, b, c, d Length) (Length, Length) {
	p, q, r := float64(b-a), float64(c-b), float64(d-c)
	for _, t := range quadraticRoots(p-2*q+r, 2*(q-p), p) {
		if t > 0 && t < 1 {
			u := 1 - t
			x := a*Length(u*u*u) + b*Length(3*u*u*t) + c*Length(3*u*t*t) + d*Length(t*t*t)
			low, high = min(low, x), max(high, x)
		}
	}
	return low, high
}

// quadraticRoots returns the real roots of a*t*t + b*t + c; NaN stands for a
// root that there is not.
func quadraticRoots(a, b, c float64) [2]float64 {
	nan := math.NaN()
	disc := b*b - 4*a*c
	if disc < 0 {
		return [2]float64{nan, nan}
	}
	// The root with the larger numerator first, the other from their product:
	// no digits cancel.
	q := -(b + math.Copysign(math.Sqrt(disc), b)) / 2
	if q == 0 {
		return [2]float64{0, nan}
	}
	return [2]float64{q / a, c / q}
}

// area2 is twice the area between g and the origin o, by Green's theorem:
// exact for a cubic.
func (g Segment) area2(o Point) float64 {
	a, b := g.A.Sub(o), g.B.Sub(o)
	if !g.Curve {
		return a.Cross(b)
	}
	c1, c2 := g.C1.Sub(o), g.C2.Sub(o)
	return (6*a.Cross(c1) + 3*a.Cross(c2) + a.Cross(b) + 3*c1.Cross(c2) + 3*c1.Cross(b) + 6*c2.Cross(b)) / 10
}
