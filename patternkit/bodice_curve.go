package patternkit

import "math"

// A bend is one cubic by its four points: the curves of a block are found by
// trying many of them, so they stay plain until one is right.
type bend [4]Point

func (b bend) path() Path { return Cubic(b[0], b[1], b[2], b[3]) }

func (b bend) reversed() bend { return bend{b[3], b[2], b[1], b[0]} }

func (b bend) at(t float64) Point {
	u := 1 - t
	w0, w1, w2, w3 := Length(u*u*u), Length(3*u*u*t), Length(3*u*t*t), Length(t*t*t)
	return Point{
		X: w0*b[0].X + w1*b[1].X + w2*b[2].X + w3*b[3].X,
		Y: w0*b[0].Y + w1*b[1].Y + w2*b[2].Y + w3*b[3].Y,
	}
}

// velocity is the derivative at t.
func (b bend) velocity(t float64) Point {
	u := 1 - t
	return b[1].Sub(b[0]).Scale(3 * u * u).Add(b[2].Sub(b[1]).Scale(6 * u * t)).Add(b[3].Sub(b[2]).Scale(3 * t * t))
}

// mapped carries all four points over, which is exact for turns and mirrors.
func (b bend) mapped(f func(Point) Point) bend {
	return bend{f(b[0]), f(b[1]), f(b[2]), f(b[3])}
}

// split cuts the curve at t.
func (b bend) split(t float64) (before, after bend) {
	p, q, r := b[0].Lerp(b[1], t), b[1].Lerp(b[2], t), b[2].Lerp(b[3], t)
	s, u := p.Lerp(q, t), q.Lerp(r, t)
	m := s.Lerp(u, t)
	return bend{b[0], p, s, m}, bend{m, u, r, b[3]}
}

// Nodes and weights of Gauss and Legendre with 16 points, positive half.
var (
	gaussNodes = [...]float64{0.0950125098376374, 0.2816035507792589, 0.4580167776572274, 0.6178762444026438,
		0.7554044083550030, 0.8656312023878318, 0.9445750230732326, 0.9894009349916499}
	gaussWeights = [...]float64{0.1894506104550685, 0.1826034150449236, 0.1691565193950025, 0.1495959888165767,
		0.1246289712555339, 0.0951585116824928, 0.0622535239386479, 0.0271524594117541}
)

// length is good to a micron for the smooth, single curves of a block. Pieces
// are measured by Path.Length, which is exact for any curve.
func (b bend) length() Length {
	var sum float64
	for i, x := range gaussNodes {
		sum += gaussWeights[i] * float64(b.velocity((1+x)/2).Norm()+b.velocity((1-x)/2).Norm())
	}
	return Length(sum / 2)
}

// leftmost returns the smallest x on the curve and where it is.
func (b bend) leftmost() (x Length, t float64) {
	x, t = b[0].X, 0
	if b[3].X < x {
		x, t = b[3].X, 1
	}
	d0, d1, d2 := float64(b[1].X-b[0].X), float64(b[2].X-b[1].X), float64(b[3].X-b[2].X)
	qa, qb, qc := d0-2*d1+d2, 2*(d1-d0), d0
	disc := qb*qb - 4*qa*qc
	if disc < 0 {
		return x, t
	}
	q := -0.5 * (qb + math.Copysign(math.Sqrt(disc), qb))
	for _, r := range [...]float64{q / qa, qc / q} {
		if r > 0 && r < 1 {
			if v := b.at(r).X; v < x {
				x, t = v, r
			}
		}
	}
	return x, t
}

// cornerBend is the fair curve from a, leaving in direction da, to b, arriving
// in direction db, that stays inside the corner of both directions: its
// handles reach the share full of the way to it. Its curvature keeps one sign.
// ok is false where the directions make no corner between a and b.
func cornerBend(a, da, b, db Point, full float64) (c bend, ok bool) {
	cross := da.Cross(db)
	chord := b.Sub(a)
	s, t := chord.Cross(db)/cross, da.Cross(chord)/cross
	if !(s > 0 && t > 0) {
		return bend{}, false
	}
	return bend{a, a.Add(da.Scale(s * full)), b.Sub(db.Scale(t * full)), b}, true
}

// turned is p turned about a point, as a dart turns what lies beside it.
func turned(p, about Point, by Angle) Point { return about.Add(p.Sub(about).Rotated(by)) }

// A turning is a turn whose sine and cosine are worked out once.
type turning struct {
	about    Point
	sin, cos float64
}

func turningBy(about Point, by Angle) turning {
	s, c := math.Sincos(float64(by))
	return turning{about, s, c}
}

func (r turning) apply(p Point) Point {
	x, y := float64(p.X-r.about.X), float64(p.Y-r.about.Y)
	return r.about.Add(Pt(Length(x*r.cos-y*r.sin), Length(x*r.sin+y*r.cos)))
}
