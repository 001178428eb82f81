package geom

import "math"

// Hermite returns the cubic curve from a to b with the derivatives ta and tb
// by a parameter that runs from 0 to 1: its handles are a third of them long.
func Hermite(a, ta, b, tb Point) Path {
	return Cubic(a, a.Add(ta.Scale(1.0/3)), b.Sub(tb.Scale(1.0/3)), b)
}

// Arc returns part of a circle that starts in direction from and turns by
// sweep, counterclockwise where sweep is positive. It is made of as many
// cubics as keep it within 1e-7 mm of the circle.
func Arc(center Point, r Length, from, sweep Angle) Path {
	n := arcPieces(r, sweep)
	step := sweep / Angle(n)
	// With handles of 4/3 tan(step/4) radii a cubic touches the circle at its
	// ends and its middle.
	handle := r * Length(4.0/3*math.Tan(float64(step)/4))
	segs := make([]Segment, n)
	a := Polar(1, from)
	for i := range segs {
		b := Polar(1, from+sweep*Angle(i+1)/Angle(n))
		segs[i] = Segment{
			A:     center.Add(a.Scale(float64(r))),
			C1:    center.Add(a.Scale(float64(r))).Add(a.Perp().Scale(float64(handle))),
			C2:    center.Add(b.Scale(float64(r))).Sub(b.Perp().Scale(float64(handle))),
			B:     center.Add(b.Scale(float64(r))),
			Curve: true,
		}
		a = b
	}
	if math.Abs(float64(sweep)) == 2*math.Pi {
		segs[n-1].B = segs[0].A
	}
	return newPath(segs)
}

// arcPieces returns how many cubics make an arc: at most a quarter circle
// each, and by the series of the radial error, 4/27 sin^6 / cos^2 of a
// quarter of the step, within 1e-7 mm.
func arcPieces(r Length, sweep Angle) int {
	turn := math.Abs(float64(sweep))
	n := max(1, math.Ceil(turn/(math.Pi/2)-1e-9))
	for {
		sin, cos := math.Sincos(turn / n / 4)
		// At a step of no more than 1e-3 the error is rounding only.
		if math.Abs(float64(r))*4/27*math.Pow(sin, 6)/(cos*cos) <= 1e-7 || turn/n < 1e-3 || !(turn <= 1e3) {
			return int(n)
		}
		n++
	}
}

// Spline returns the curve through pts in order whose direction and curvature
// run on smoothly through every point (a cubic spline, twice continuously
// differentiable by a parameter close to the length along it). Where
// startTangent or endTangent is given, the curve leaves or arrives in its
// direction; where it is nil the curvature runs out to zero at that end.
// Points that repeat the one before add nothing; fewer than two make an empty
// path.
func Spline(pts []Point, startTangent, endTangent *Point) Path {
	knots := make([]Point, 0, len(pts))
	for _, p := range pts {
		if len(knots) == 0 || knots[len(knots)-1] != p {
			knots = append(knots, p)
		}
	}
	if len(knots) < 2 {
		return Path{}
	}
	steps := make([]float64, len(knots)-1)
	for i := range steps {
		steps[i] = float64(knots[i].Dist(knots[i+1]))
	}
	// The chords are the first guess of the lengths between the knots; the
	// curve through them gives better ones, so that it is fair where it
	// turns far between two knots.
	segs := make([]Segment, len(steps))
	for range 4 {
		slopes := splineSlopes(knots, steps, startTangent, endTangent)
		for i, h := range steps {
			segs[i] = Segment{
				A:     knots[i],
				C1:    knots[i].Add(slopes[i].Scale(h / 3)),
				C2:    knots[i+1].Sub(slopes[i+1].Scale(h / 3)),
				B:     knots[i+1],
				Curve: true,
			}
			v := speedOf(segs[i])
			steps[i] = v.length(0, 1)
		}
	}
	return newPath(segs)
}

// splineSlopes returns the derivatives at the knots, from the tridiagonal
// equations that make the second derivatives meet (any text on numerical
// methods: the cubic spline with clamped or natural ends).
func splineSlopes(knots []Point, steps []float64, start, end *Point) []Point {
	n := len(knots)
	low, diagonal, high := make([]float64, n), make([]float64, n), make([]float64, n)
	right := make([]Point, n)
	slope := func(i int) Point { return knots[i+1].Sub(knots[i]).Scale(1 / steps[i]) }
	if start != nil {
		diagonal[0], right[0] = 1, start.Unit()
	} else {
		diagonal[0], high[0], right[0] = 2, 1, slope(0).Scale(3)
	}
	for i := 1; i < n-1; i++ {
		h0, h1 := steps[i-1], steps[i]
		low[i], diagonal[i], high[i] = h1, 2*(h0+h1), h0
		right[i] = slope(i - 1).Scale(3 * h1).Add(slope(i).Scale(3 * h0))
	}
	if end != nil {
		diagonal[n-1], right[n-1] = 1, end.Unit()
	} else {
		low[n-1], diagonal[n-1], right[n-1] = 1, 2, slope(n-2).Scale(3)
	}
	for i := 1; i < n; i++ {
		k := low[i] / diagonal[i-1]
		diagonal[i] -= k * high[i-1]
		right[i] = right[i].Sub(right[i-1].Scale(k))
	}
	right[n-1] = right[n-1].Scale(1 / diagonal[n-1])
	for i := n - 2; i >= 0; i-- {
		right[i] = right[i].Sub(right[i+1].Scale(high[i])).Scale(1 / diagonal[i])
	}
	return right
}
