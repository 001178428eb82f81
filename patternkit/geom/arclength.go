package geom

import (
	"cmp"
	"math"
	"math/cmplx"
	"slices"

	"gonum.org/v1/gonum/integrate/quad"
)

// gauss16 are the nodes on 0 to 1 and the weights of 16-point Gauss-Legendre
// quadrature.
var gauss16 = func() (rule struct{ node, weight [16]float64 }) {
	quad.Legendre{}.FixedLocations(rule.node[:], rule.weight[:], 0, 1)
	return rule
}()

// gauss4 is the same with 4 points.
var gauss4 = func() (rule struct{ node, weight [4]float64 }) {
	quad.Legendre{}.FixedLocations(rule.node[:], rule.weight[:], 0, 1)
	return rule
}()

// A speed is the derivative of a cubic by its parameter, as a polynomial.
type speed struct{ x0, x1, x2, y0, y1, y2 float64 }

func speedOf(g Segment) speed {
	a, b, c := g.C1.Sub(g.A), g.C2.Sub(g.C1), g.B.Sub(g.C2)
	linear, square := b.Sub(a).Scale(6), a.Sub(b.Scale(2)).Add(c).Scale(3)
	return speed{
		3 * float64(a.X), float64(linear.X), float64(square.X),
		3 * float64(a.Y), float64(linear.Y), float64(square.Y),
	}
}

func (v *speed) at(t float64) float64 {
	x := v.x0 + t*(v.x1+t*v.x2)
	y := v.y0 + t*(v.y1+t*v.y2)
	return math.Sqrt(x*x + y*y)
}

// length integrates the speed from t0 to t1.
func (v *speed) length(t0, t1 float64) float64 {
	h, sum := t1-t0, 0.0
	for i, x := range &gauss16.node {
		sum += gauss16.weight[i] * v.at(t0+h*x)
	}
	return h * sum
}

// gain is the derivative of the speed.
func (v *speed) gain(t float64) float64 {
	x, y := v.x0+t*(v.x1+t*v.x2), v.y0+t*(v.y1+t*v.y2)
	return (x*(v.x1+2*t*v.x2) + y*(v.y1+2*t*v.y2)) / math.Sqrt(x*x+y*y)
}

// shortLength integrates the speed over a short step within a mark.
func (v *speed) shortLength(t0, t1 float64) float64 {
	h, sum := t1-t0, 0.0
	for i, x := range &gauss4.node {
		sum += gauss4.weight[i] * v.at(t0+h*x)
	}
	return h * sum
}

// branches returns the complex parameters at which the speed has a branch
// point: the zeros of the derivative taken as a complex number. Infinity
// stands for one that there is not.
func (v *speed) branches() [2]complex128 {
	a, b, c := complex(v.x2, v.y2), complex(v.x1, v.y1), complex(v.x0, v.y0)
	root := cmplx.Sqrt(b*b - 4*a*c)
	// The root with the larger numerator first, the other from their product:
	// no digits cancel.
	if real(cmplx.Conj(b)*root) < 0 {
		root = -root
	}
	q := -(b + root) / 2
	z := [2]complex128{cmplx.Inf(), cmplx.Inf()}
	if q != 0 {
		z[1] = c / q
		if a != 0 {
			z[0] = q / a
		}
	} else if a != 0 { // both are zero
		z[0] = 0
	}
	return z
}

const (
	// settled is by how much the way over a branch point must be longer than
	// a stretch, from one end to the other. The branch point is then outside
	// the ellipse about the ends whose half axes sum to 2.7 half stretches,
	// and the error of 16 nodes is of the order 2.7^-32 = 2e-14 (Trefethen,
	// Approximation Theory and Approximation Practice, theorem 19.3).
	settled = (2.7 + 1/2.7) / 2
	// shortStep is the part of such a stretch that 4 nodes measure as well: a
	// branch point is at least 0.26 stretches away, 17 half steps, and the error
	// is of the order 35^-8 = 4e-13 of the step.
	shortStep = 0.03
	// onEnd is how near to an end a branch point is harmless: the speed there
	// is a straight line to within the square of it.
	onEnd = 1e-8
)

// smooth reports whether 16 nodes measure from t0 to t1 exactly.
func smooth(z [2]complex128, t0, t1 float64) bool {
	for _, b := range z {
		d0, d1 := cmplx.Abs(b-complex(t0, 0)), cmplx.Abs(b-complex(t1, 0))
		if d0+d1 < settled*(t1-t0) && d0 > onEnd && d1 > onEnd {
			return false
		}
	}
	return true
}

// A mark is a stretch of a segment that 16 nodes measure exactly, and where
// on the path it begins.
type mark struct {
	seg    int
	t0, t1 float64
	s0     float64
}

// A ruler holds the marks of a path in order, so that a length is looked up
// and only the last stretch is integrated.
type ruler struct {
	marks []mark
	total float64
}

func (p Path) ruler() *ruler {
	if r := p.chain.ruler.Load(); r != nil {
		return r
	}
	r := measure(p.chain.segs)
	p.chain.ruler.Store(r) // two goroutines may both measure, with one result
	return r
}

func measure(segs []Segment) *ruler {
	r := &ruler{marks: make([]mark, 0, 2*len(segs)+2)} // most curves take three or fewer
	for i, g := range segs {
		if !g.Curve {
			r.add(i, 0, 1, float64(g.A.Dist(g.B)))
			continue
		}
		v := speedOf(g)
		r.curve(i, &v, v.branches(), 0, 1)
	}
	return r
}

func (r *ruler) add(seg int, t0, t1, length float64) {
	r.marks = append(r.marks, mark{seg, t0, t1, r.total})
	r.total += length
}

// curve adds the stretches from t0 to t1, parted beside a branch point and
// else in halves.
func (r *ruler) curve(seg int, v *speed, z [2]complex128, t0, t1 float64) {
	if smooth(z, t0, t1) {
		r.add(seg, t0, t1, v.length(t0, t1))
		return
	}
	mid := (t0 + t1) / 2
	for _, b := range z {
		if x := real(b); x > t0+onEnd && x < t1-onEnd {
			mid = x
		}
	}
	r.curve(seg, v, z, t0, mid)
	r.curve(seg, v, z, mid, t1)
}

// Length returns the length along p.
func (p Path) Length() Length {
	if p.Empty() {
		return 0
	}
	return Length(p.ruler().total)
}

// A place is a parameter on a segment of a path.
type place struct {
	seg int
	t   float64
}

// lengthTo returns the length along p up to a place.
func (p Path) lengthTo(at place) Length {
	r, g := p.ruler(), p.chain.segs[at.seg]
	k, exact := slices.BinarySearchFunc(r.marks, at, func(m mark, at place) int {
		return cmp.Or(cmp.Compare(m.seg, at.seg), cmp.Compare(m.t0, at.t))
	})
	if exact {
		return Length(r.marks[k].s0)
	}
	m := r.marks[k-1]
	if !g.Curve {
		return Length(m.s0 + at.t*float64(g.A.Dist(g.B)))
	}
	v := speedOf(g)
	return Length(m.s0 + v.length(m.t0, at.t))
}

// find returns the place at length s, where a joint belongs to the segment
// that begins there; false off the path by more than 1e-6 mm, and on an empty
// path.
func (p Path) find(s Length) (place, bool) {
	if p.Empty() {
		return place{}, false
	}
	r, at := p.ruler(), float64(s)
	if !(at >= -meet && at <= r.total+meet) {
		return place{}, false
	}
	// What rounding leaves of a joint is still the joint.
	k, exact := slices.BinarySearchFunc(r.marks, at+1e-9, func(m mark, s float64) int {
		return cmp.Compare(m.s0, s)
	})
	if !exact {
		k = max(k-1, 0)
	}
	m := r.marks[k]
	end := r.total
	if k+1 < len(r.marks) {
		end = r.marks[k+1].s0
	}
	return place{m.seg, p.parameter(m, at-m.s0, end-m.s0)}, true
}

// parameter returns where on the stretch m of length whole the length is s,
// by Halley's method kept between brackets. It begins near the answer, so that
// one or two steps are enough, and a step is measured with fewer nodes.
func (p Path) parameter(m mark, s, whole float64) float64 {
	if s <= 0 {
		return m.t0
	}
	if s >= whole {
		return m.t1
	}
	g := p.chain.segs[m.seg]
	low, high := m.t0, m.t1
	if !g.Curve {
		return low + (high-low)*s/whole
	}
	v := speedOf(g)
	t := v.guess(m, s, whole)
	length := v.length(m.t0, t)
	for range 60 {
		off := length - s
		if math.Abs(off) < 1e-11 {
			break
		}
		if off > 0 {
			high = t
		} else {
			low = t
		}
		speed, gain := v.at(t), v.gain(t)
		next := t - off/(speed-off*gain/(2*speed))
		if !(next > low && next < high) {
			next = (low + high) / 2
		}
		if next == t {
			break
		}
		if math.Abs(next-t) < shortStep*(m.t1-m.t0) {
			length += v.shortLength(t, next)
		} else {
			length = v.length(m.t0, next)
		}
		t = next
	}
	return t
}

// guess is about where on the stretch m the length is s: on the cubic that
// agrees with the parameter as a function of the length at both ends.
func (v *speed) guess(m mark, s, whole float64) float64 {
	h, x := m.t1-m.t0, s/whole
	d0, d1 := whole/(h*v.at(m.t0)), whole/(h*v.at(m.t1))
	if !(d0 < 3 && d1 < 3) { // such a cubic may turn back, and at a cusp the speed is 0
		return m.t0 + h*x
	}
	return m.t0 + h*x*(d0+x*(3-2*d0-d1+x*(d0+d1-2)))
}

// At returns the point at length s from the start of p. Off the path, with s
// less than 0 or more than Length by over 1e-6 mm, there is no such point:
// the coordinates are not numbers.
func (p Path) At(s Length) Point {
	at, ok := p.find(s)
	if !ok {
		return nowhere()
	}
	return p.chain.segs[at.seg].at(at.t)
}

// TangentAt returns the unit vector along p at length s: at a corner, of the
// part that begins there. Off the path it is not a number.
func (p Path) TangentAt(s Length) Point {
	at, ok := p.find(s)
	if !ok {
		return nowhere()
	}
	return p.chain.segs[at.seg].tangent(at.t)
}

// CurvatureAt returns one over the radius of curvature at length s in 1/mm,
// positive where p turns left: at a joint, of the part that begins there. It
// is infinite or not a number where the curve stands still, and not a number
// off the path.
func (p Path) CurvatureAt(s Length) float64 {
	at, ok := p.find(s)
	if !ok {
		return math.NaN()
	}
	return p.chain.segs[at.seg].curvature(at.t)
}
