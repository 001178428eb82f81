package patternkit

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"patternkit/patternkit/geom"
)

// traceRounds is how often a curve is fitted: what is gained falls slowly, and
// after so many it is below what a pencil draws.
const traceRounds = 200

// A traceFit draws a fair line or curve along a traced path with the same
// ends. Leave and arrive are the direction of a fold at its start or end, which
// it meets at a right angle; nil leaves the direction free.
type traceFit struct {
	path          Path
	leave, arrive *Point
}

// fair returns the path drawn fair, how far it leaves the trace, and where.
func (f traceFit) fair(within Length, straight bool) (fair Path, off Length, at Point, err error) {
	fair = Line(f.path.Start(), f.path.End())
	off, at = f.farthest(fair)
	if straight || off <= within && f.square(fair) {
		return fair, off, at, nil
	}
	if fair, err = f.curve(); err != nil {
		return Path{}, 0, Point{}, err
	}
	off, at = f.farthest(fair)
	return fair, off, at, nil
}

// square reports whether a line stands square enough on the folds at its ends.
func (f traceFit) square(line Path) bool {
	for _, fold := range []*Point{f.leave, f.arrive} {
		if fold == nil {
			continue
		}
		if angle := math.Abs(float64(fold.AngleTo(line.TangentAt(0)))); math.Abs(angle-float64(cornerIsSquare)) > float64(foldTolerance) {
			return false
		}
	}
	return true
}

// points are the samples of the trace.
func (f traceFit) points() []Point {
	points := []Point{f.path.Start()}
	for _, g := range f.path.Segments() {
		points = append(points, g.B)
	}
	return points
}

// farthest is how far a fair line and the trace are apart at most, and where:
// points of either from the other, as a curve may sweep out where the trace
// has no point.
func (f traceFit) farthest(fair Path) (off Length, at Point) {
	at = f.path.Start()
	for i, q := range f.points() {
		if d := fair.Dist(q); d > off {
			off, at = d, q
		}
		q = fair.At(fair.Length() * Length(i) / traceSamples)
		if d := f.path.Dist(q); d > off {
			off, at = d, q
		}
	}
	return off, at
}

// curve is the cubic with the least sum of squared distances from the samples.
// Each round solves for its handles with the samples where they are nearest on
// the curve of the round before (any text on fitting curves: least squares
// with parameters corrected by Newton's method).
func (f traceFit) curve() (Path, error) {
	points := f.points()
	ts := make([]float64, len(points))
	for i := range ts {
		ts[i] = float64(i) / float64(len(points)-1)
	}
	var g geom.Segment
	for range traceRounds {
		var err error
		if g, err = f.handles(points, ts); err != nil {
			return Path{}, err
		}
		for i, q := range points {
			ts[i] = traceNearer(g, q, ts[i])
		}
	}
	return Cubic(g.A, g.C1, g.C2, g.B), nil
}

// handles solves for the two handles: each free, of two unknowns, or square to
// a fold, of one, its length.
func (f traceFit) handles(points []Point, ts []float64) (geom.Segment, error) {
	a, b := f.path.Start(), f.path.End()
	first, second := traceHandle{base: a, fold: f.leave}, traceHandle{base: b, fold: f.arrive}
	unknowns := first.unknowns() + second.unknowns()
	left, right := mat.NewDense(2*len(points), unknowns, nil), mat.NewVecDense(2*len(points), nil)
	for i, q := range points {
		t := ts[i]
		u := 1 - t
		w := [4]float64{u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t}
		rest := q.Sub(a.Scale(w[0] + w[1])).Sub(b.Scale(w[2] + w[3]))
		right.SetVec(2*i, rest.X.MM())
		right.SetVec(2*i+1, rest.Y.MM())
		first.fill(left, 2*i, 0, w[1])
		second.fill(left, 2*i, first.unknowns(), w[2])
	}
	var solved mat.VecDense
	if err := solved.SolveVec(left, right); err != nil {
		return geom.Segment{}, fmt.Errorf("no curve fits the trace: %w", err)
	}
	c1, ok1 := first.at(&solved, 0)
	c2, ok2 := second.at(&solved, first.unknowns())
	if !ok1 || !ok2 {
		return geom.Segment{}, errors.New("the trace turns back where it meets the fold, want it to meet the fold about square")
	}
	return geom.Segment{A: a, C1: c1, C2: c2, B: b, Curve: true}, nil
}

// A traceHandle is a handle of a curve to be solved for.
type traceHandle struct {
	base Point
	fold *Point
}

func (h traceHandle) unknowns() int {
	if h.fold == nil {
		return 2
	}
	return 1
}

// fill writes what the handle, weighed by w, gives to one point.
func (h traceHandle) fill(left *mat.Dense, row, column int, w float64) {
	if h.fold == nil {
		left.Set(row, column, w)
		left.Set(row+1, column+1, w)
		return
	}
	into := h.fold.Perp() // the piece lies to the left of its fold
	left.Set(row, column, w*into.X.MM())
	left.Set(row+1, column, w*into.Y.MM())
}

// at is where the handle ends; false when it would point across the fold.
func (h traceHandle) at(solved *mat.VecDense, i int) (Point, bool) {
	if h.fold == nil {
		return h.base.Add(Pt(Length(solved.AtVec(i)), Length(solved.AtVec(i+1)))), true
	}
	length := solved.AtVec(i)
	return h.base.Add(h.fold.Perp().Scale(length)), length > 0
}

// traceNearer moves t by a step of Newton's method to where a curve is nearest
// to q.
func traceNearer(g geom.Segment, q Point, t float64) float64 {
	u := 1 - t
	d1, d2, d3 := g.C1.Sub(g.A), g.C2.Sub(g.C1), g.B.Sub(g.C2)
	at := g.A.Scale(u * u * u).Add(g.C1.Scale(3 * u * u * t)).Add(g.C2.Scale(3 * u * t * t)).Add(g.B.Scale(t * t * t))
	slope := d1.Scale(3 * u * u).Add(d2.Scale(6 * u * t)).Add(d3.Scale(3 * t * t))
	bend := d2.Sub(d1).Scale(6 * u).Add(d3.Sub(d2).Scale(6 * t))
	gap := at.Sub(q)
	down := float64(slope.Dot(slope)) + float64(gap.Dot(bend))
	if down <= 0 {
		return t
	}
	return min(max(t-float64(gap.Dot(slope))/down, 0), 1)
}
