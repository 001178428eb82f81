package dxf

import (
	"slices"

	"patternkit/patternkit/geom"
)

// mostKnots keeps the work on one spline, which grows with their square,
// within a second.
const mostKnots = 20_000

// spline returns a B-spline of degree 1 to 3 as the cubics that it is made of.
func (e entity) spline() (geom.Path, error) {
	degree, err := e.integer(71, 3)
	if err != nil {
		return geom.Path{}, err
	}
	if degree < 1 || degree > 3 {
		return geom.Path{}, faultAt(e.line, "SPLINE is of degree %d, want 1 to 3", degree)
	}
	knots, err := e.knots()
	if err != nil {
		return geom.Path{}, err
	}
	vertices, err := e.points(10)
	if err != nil {
		return geom.Path{}, err
	}
	controls := make([]geom.Point, len(vertices))
	for i, v := range vertices {
		controls[i] = v.at
	}
	switch {
	case len(controls) < degree+1 || len(knots) != len(controls)+degree+1:
		return geom.Path{}, faultAt(e.line, "SPLINE of degree %d has %d points and %d knots, want at least %d points and %d more knots than points: fit points alone are not read",
			degree, len(controls), len(knots), degree+1, degree+1)
	case len(knots) > mostKnots:
		return geom.Path{}, faultAt(e.line, "SPLINE has %d knots, want at most %d", len(knots), mostKnots)
	case !slices.IsSorted(knots):
		return geom.Path{}, faultAt(e.line, "SPLINE has knots that go back, want each at least the one before")
	}
	return e.pieces(degree, knots, controls)
}

// knots returns the knots; weights other than 1 are an error.
func (e entity) knots() ([]float64, error) {
	var knots []float64
	for _, g := range e.groups {
		if g.code != 40 && g.code != 41 {
			continue
		}
		v, err := g.number()
		if err != nil {
			return nil, err
		}
		if g.code == 40 {
			knots = append(knots, v)
		} else if v != 1 {
			return nil, faultAt(g.line+1, "SPLINE has a point of weight %v, want weights of 1: no cubic draws a rational spline exactly", v)
		}
	}
	return knots, nil
}

// pieces parts a spline at its knots by the blossom (Ramshaw 1987): a handle
// of a piece is the blossom of its ends, each so often as it is near to them.
func (e entity) pieces(degree int, knots []float64, controls []geom.Point) (geom.Path, error) {
	var segments []geom.Segment
	for i := degree; i < len(controls); i++ {
		a, b := knots[i], knots[i+1]
		if !(b > a) {
			continue
		}
		handles := make([]geom.Point, degree+1)
		for k := range handles {
			at := make([]float64, degree)
			for j := range at {
				at[j] = a
				if j >= degree-k {
					at[j] = b
				}
			}
			handles[k] = blossom(degree, knots, controls, i, at)
		}
		g := elevated(handles)
		if n := len(segments); n > 0 {
			gap := segments[n-1].B.Dist(g.A)
			if !(gap <= 1e-3) {
				return geom.Path{}, faultAt(e.line, "SPLINE is torn apart at knot %v, want one curve", a)
			}
			g.A = segments[n-1].B
		}
		segments = append(segments, g)
	}
	return geom.PathOf(segments...)
}

// blossom evaluates the polar form of piece i at as many values as its degree.
func blossom(degree int, knots []float64, controls []geom.Point, i int, at []float64) geom.Point {
	d := slices.Clone(controls[i-degree : i+1])
	for r := 1; r <= degree; r++ {
		for j := degree; j >= r; j-- {
			low, high := knots[i-degree+j], knots[i+1+j-r]
			d[j] = d[j-1].Lerp(d[j], (at[r-1]-low)/(high-low))
		}
	}
	return d[degree]
}

// elevated writes handles of a line, a parabola or a cubic as a segment.
func elevated(h []geom.Point) geom.Segment {
	switch len(h) {
	case 2:
		return geom.Segment{A: h[0], B: h[1]}
	case 3:
		return geom.Segment{A: h[0], C1: h[0].Lerp(h[1], 2.0/3), C2: h[2].Lerp(h[1], 2.0/3), B: h[2], Curve: true}
	}
	return geom.Segment{A: h[0], C1: h[1], C2: h[2], B: h[3], Curve: true}
}
