package geom

import "math"

// Nearest returns the place on p that is nearest to q: its length from the
// start and the point. Of places equally near it is the first. On an empty
// path neither is a number.
func (p Path) Nearest(q Point) (s Length, at Point) {
	best, found := Length(math.Inf(1)), place{seg: -1}
	for i, g := range p.segments() {
		if g.hull().Dist(q) >= best {
			continue
		}
		t := g.nearest(q)
		if d := g.at(t).Dist(q); d < best {
			best, found = d, place{i, t}
		}
	}
	if found.seg < 0 {
		return Length(math.NaN()), nowhere()
	}
	return p.lengthTo(found), p.chain.segs[found.seg].at(found.t)
}

// Dist returns the distance from q to the nearest place on p.
func (p Path) Dist(q Point) Length {
	_, at := p.Nearest(q)
	return at.Dist(q)
}

// sliver is the size in millimetres under which a curve is one place.
const sliver Length = 1e-9

// hull returns a box that holds g: that of its control points.
func (g Segment) hull() Rect {
	r := Rect{
		Point{min(g.A.X, g.B.X), min(g.A.Y, g.B.Y)},
		Point{max(g.A.X, g.B.X), max(g.A.Y, g.B.Y)},
	}
	if g.Curve {
		r.Min.X, r.Max.X = min(r.Min.X, g.C1.X, g.C2.X), max(r.Max.X, g.C1.X, g.C2.X)
		r.Min.Y, r.Max.Y = min(r.Min.Y, g.C1.Y, g.C2.Y), max(r.Max.Y, g.C1.Y, g.C2.Y)
	}
	return r
}

// nearest returns the parameter of the place on g nearest to q.
func (g Segment) nearest(q Point) float64 {
	if !g.Curve {
		d := g.B.Sub(g.A)
		t := q.Sub(g.A).Dot(d) / d.Dot(d)
		if !(t > 0) { // also where the line has no length
			return 0
		}
		return min(t, 1)
	}
	n := nearSearch{g: g, q: q, dist: q.Dist(g.A)}
	n.offer(1)
	// On a curve without extent the polynomial below is noise or zero
	// everywhere, and the search for its roots would not come to an end.
	if h := g.hull(); max(h.Width(), h.Height()) <= sliver {
		return n.t
	}
	n.isolate(approach(g, q), 0, 1, 32)
	return n.t
}

// A nearSearch looks for the nearest place on a cubic among the roots of a
// polynomial of degree 5: the dot product of the way to q and the velocity.
type nearSearch struct {
	g    Segment
	q    Point
	t    float64 // nearest so far
	dist Length
}

func (n *nearSearch) offer(t float64) {
	if d := n.g.at(t).Dist(n.q); d < n.dist {
		n.t, n.dist = t, d
	}
}

// approach returns the Bernstein coefficients of that polynomial.
func approach(g Segment, q Point) [6]float64 {
	w := [4]Point{g.A.Sub(q), g.C1.Sub(q), g.C2.Sub(q), g.B.Sub(q)}
	v := [3]Point{g.C1.Sub(g.A), g.C2.Sub(g.C1), g.B.Sub(g.C2)}
	three, two, five := [4]float64{1, 3, 3, 1}, [3]float64{1, 2, 1}, [6]float64{1, 5, 10, 10, 5, 1}
	var c [6]float64
	for i := range w {
		for j := range v {
			c[i+j] += three[i] * two[j] / five[i+j] * w[i].Dot(v[j])
		}
	}
	return c
}

// isolate offers every root of the polynomial c over t0 to t1. By Descartes'
// rule there are no more roots than changes of sign among the coefficients.
func (n *nearSearch) isolate(c [6]float64, t0, t1 float64, depth int) {
	changes := 0
	last := 0.0
	for _, x := range c {
		if x != 0 && last != 0 && (x > 0) != (last > 0) {
			changes++
		}
		if x != 0 {
			last = x
		}
	}
	switch {
	case changes == 0 && c[0] != 0 && c[5] != 0:
		return
	case changes == 1 && c[0]*c[5] < 0:
		// From more to less distant: a minimum, the other is a maximum.
		if c[0] < 0 {
			n.offer(n.root(t0, t1))
		}
		return
	case depth == 0:
		n.offer((t0 + t1) / 2)
		return
	}
	left, right := halves(c)
	mid := (t0 + t1) / 2
	n.isolate(left, t0, mid, depth-1)
	n.isolate(right, mid, t1, depth-1)
}

// halves parts a polynomial at the middle (de Casteljau).
func halves(c [6]float64) (left, right [6]float64) {
	for i := range c {
		left[i], right[5-i] = c[0], c[5-i]
		for j := 0; j < 5-i; j++ {
			c[j] = (c[j] + c[j+1]) / 2
		}
	}
	return left, right
}

// root returns where the polynomial rises through zero between low and high,
// by Newton's method kept between brackets.
func (n *nearSearch) root(low, high float64) float64 {
	t := (low + high) / 2
	for range 60 {
		away, v := n.g.at(t).Sub(n.q), n.g.velocity(t)
		f := away.Dot(v)
		if f > 0 {
			high = t
		} else {
			low = t
		}
		next := t - f/(v.Dot(v)+away.Dot(n.g.acceleration(t)))
		if !(next > low && next < high) {
			next = (low + high) / 2
		}
		if math.Abs(next-t) < 1e-15 {
			return next
		}
		t = next
	}
	return t
}
