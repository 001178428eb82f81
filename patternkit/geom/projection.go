package geom

import (
	"errors"
	"math"
)

// A Projection maps one plane onto another as a camera sees it: straight lines
// stay straight, parallels may meet. Either plane may be in any unit. The zero
// value maps no point.
type Projection struct{ m [9]float64 } // row by row, weight above 0 on this side of the horizon

// errNoQuadrilateral says what a projection needs.
var errNoQuadrilateral = errors.New("the four points are not the corners of a convex quadrilateral in turn")

// NewProjection returns the one projection that takes each of four points to
// its partner. Either four must be the corners of a convex quadrilateral, one
// after the other.
func NewProjection(from, to [4]Point) (Projection, error) {
	a, okA := ontoQuadrilateral(from)
	b, okB := ontoQuadrilateral(to)
	if !okA || !okB {
		return Projection{}, errNoQuadrilateral
	}
	back := a.Inverse().m
	var p Projection
	for r := range 3 {
		for c := range 3 {
			for k := range 3 {
				p.m[3*r+c] += b.m[3*r+k] * back[3*k+c]
			}
		}
	}
	return p, nil
}

// ontoQuadrilateral takes the unit square, from the origin counterclockwise,
// to the corners (P. S. Heckbert, Fundamentals of Texture Mapping and Image
// Warping, 1989, section 2.2.3); false where they are not convex.
func ontoQuadrilateral(q [4]Point) (Projection, bool) {
	var left, right int
	for i := range q {
		turn := q[(i+1)%4].Sub(q[i]).Cross(q[(i+2)%4].Sub(q[(i+1)%4]))
		if turn > 0 {
			left++
		}
		if turn < 0 {
			right++
		}
	}
	if left != 4 && right != 4 {
		return Projection{}, false
	}
	s := q[0].Sub(q[1]).Add(q[2]).Sub(q[3])
	d1, d2 := q[1].Sub(q[2]), q[3].Sub(q[2])
	down := d1.Cross(d2)
	g, h := s.Cross(d2)/down, d1.Cross(s)/down
	a := q[1].Sub(q[0]).Add(q[1].Scale(g))
	b := q[3].Sub(q[0]).Add(q[3].Scale(h))
	p := Projection{[9]float64{
		float64(a.X), float64(b.X), float64(q[0].X),
		float64(a.Y), float64(b.Y), float64(q[0].Y),
		g, h, 1,
	}}
	for _, v := range p.m {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return Projection{}, false
		}
	}
	return p, p.determinant() != 0
}

// Apply returns where p comes to lie; false where p is on the horizon or
// beyond it, as seen from the points of which the projection was made.
func (t Projection) Apply(p Point) (Point, bool) {
	x, y, w := t.rows(p)
	out := Pt(Length(x/w), Length(y/w))
	return out, w > 0 && out.Finite()
}

// Derivatives returns how the image of p moves as p moves by one unit along x,
// and along y.
func (t Projection) Derivatives(p Point) (alongX, alongY Point) {
	x, y, w := t.rows(p)
	by := func(c int) Point {
		return Pt(Length((t.m[c]*w-x*t.m[6+c])/(w*w)), Length((t.m[3+c]*w-y*t.m[6+c])/(w*w)))
	}
	return by(0), by(1)
}

// Inverse returns the projection that takes every point back.
func (t Projection) Inverse() Projection {
	m := t.m
	out := Projection{[9]float64{
		m[4]*m[8] - m[5]*m[7], m[2]*m[7] - m[1]*m[8], m[1]*m[5] - m[2]*m[4],
		m[5]*m[6] - m[3]*m[8], m[0]*m[8] - m[2]*m[6], m[2]*m[3] - m[0]*m[5],
		m[3]*m[7] - m[4]*m[6], m[1]*m[6] - m[0]*m[7], m[0]*m[4] - m[1]*m[3],
	}}
	if t.determinant() < 0 { // keeps the weight above 0 on this side
		for i := range out.m {
			out.m[i] = -out.m[i]
		}
	}
	return out
}

func (t Projection) rows(p Point) (x, y, w float64) {
	px, py := float64(p.X), float64(p.Y)
	return t.m[0]*px + t.m[1]*py + t.m[2], t.m[3]*px + t.m[4]*py + t.m[5], t.m[6]*px + t.m[7]*py + t.m[8]
}

func (t Projection) determinant() float64 {
	m := t.m
	return m[0]*(m[4]*m[8]-m[5]*m[7]) - m[1]*(m[3]*m[8]-m[5]*m[6]) + m[2]*(m[3]*m[7]-m[4]*m[6])
}
