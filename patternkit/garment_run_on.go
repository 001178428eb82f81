package patternkit

import (
	"fmt"
	"math"

	"patternkit/patternkit/geom"
)

// mostTilt is how far the top edge of the sleeve may lie from square to the
// grain where the two sides of the head are too unlike.
const mostTilt = 10 * Degree

// mostSeamTurn is how far the end of a sleeve head may be turned: beyond a right
// angle it would fall back on itself.
const mostSeamTurn = 90 * Degree

// runOn redraws the upper ends of the sleeve head so that the top edge runs
// straight on from front and back over the sleeve seams.
//
// A sleeve head leans far more than the armhole does, so that a level edge on
// all three pieces has a dip at the seam once it is sewn. In the cutting room a
// dip is filled: here on the sleeve, whose seam turns up until the two corners
// make 180°. What is redrawn keeps its length, so that the seams walk as before,
// and the edge is ruled straight between its new ends: a casing cut in one with
// the piece folds back flat only along a straight line, and its mirrored ends
// then meet those of the next piece.
func (g *gathering) runOn() error {
	if g.o.RunOn == 0 {
		return nil
	}
	words := fmt.Sprintf("The upper %.0f %% of each side of the sleeve head are turned up, at the same length, until the top edge of the sleeve runs straight on from those of front and back.", 100*g.o.RunOn)
	return g.does("edge across the sleeve seams", words, func(p Pattern) (Pattern, error) {
		r, err := g.fairing(p)
		if err != nil {
			return Pattern{}, err
		}
		if err := r.solve(g.o.RunOn); err != nil {
			return Pattern{}, err
		}
		return onPiece(p, "sleeve", r.redrawn)
	})
}

// A fairing is a sleeve head whose ends are turned.
type fairing struct {
	along Point      // the direction of the top edge, square to the grain
	ends  [2]fairEnd // at the start of the top edge and at its end, in outline order
}

// A fairEnd is one end of the top edge of the sleeve, with the side of the head
// that meets it, taken from the underarm up.
type fairEnd struct {
	edge   string
	forth  bool  // the edge runs from the underarm up in outline order
	head   Path  // as it was cut
	corner Angle // that the cloth is to have there
	drawn  Path  // as it is redrawn
}

// fairing looks up the ends of the top edge of the sleeve and the corners that
// they are to have.
func (g *gathering) fairing(p Pattern) (fairing, error) {
	var r fairing
	sleeve, err := p.Piece("sleeve")
	if err != nil {
		return r, err
	}
	centre, err := g.centreLine(sleeve)
	if err != nil {
		return r, err
	}
	r.along = centre.TangentAt(0).Perp()
	for _, h := range g.body {
		s, err := p.Seam(h.piece + " armhole")
		if err != nil {
			return r, err
		}
		edge := s.A[0].Edge
		path, err := sleeve.onlyEdge(edge)
		if err != nil {
			return r, err
		}
		// In outline order the side that runs up leads into the top edge.
		e := fairEnd{edge: edge, head: path, forth: p.neighbour(Along{Piece: "sleeve", Edge: edge}, true).Edge == topEdge}
		e.corner = cornerRunsOn - p.endCorner(Along{Piece: h.piece, Edge: topEdge}, !h.start)
		if turn := p.endCorner(Along{Piece: "sleeve", Edge: topEdge}, !e.forth) - e.corner; turn > mostSeamTurn || turn < -mostSeamTurn {
			return r, fmt.Errorf("the top edge has a bend of %.0f° at the %s seam, more than the 90° by which the end of a sleeve head can be turned: want a TopEdge nearer the middle of the armhole, or RunOn 0 to leave the bend",
				turn.Degrees(), h.piece+" armhole")
		}
		if e.forth {
			r.ends[0] = e
			continue
		}
		e.head = path.Reversed()
		r.ends[1] = e
	}
	if at := r.ends[1].head.End().Sub(r.ends[0].head.End()); r.along.Dot(at) < 0 {
		r.along = r.along.Neg()
	}
	return r, nil
}

// mostRedrawn is the largest share of a side of the head that is redrawn, and
// leastRedrawn the smallest that is left of the share asked for: less would be a
// hook.
const mostRedrawn, leastRedrawn = 0.95, 0.5

// solve turns both ends so that the edge between them makes the wanted corners
// and is square to the grain: for that more than the share is redrawn of the
// side that would end lower, and less of the other when that is not enough.
// What is left then tilts the edge.
func (r *fairing) solve(share float64) error {
	low, high := -2.0, 2.0
	atLow, err := r.rise(share, low)
	if err != nil {
		return err
	}
	atHigh, err := r.rise(share, high)
	if err != nil {
		return err
	}
	if atLow*atHigh > 0 {
		if math.Abs(atLow) < math.Abs(atHigh) {
			high = low
		}
		return r.tilt(share, high)
	}
	for range 60 {
		middle := (low + high) / 2
		at, err := r.rise(share, middle)
		if err != nil {
			return err
		}
		if at*atLow > 0 {
			low = middle
		} else {
			high = middle
		}
	}
	return r.wideEnough()
}

// tilt turns the edge until it runs from the one end to the other.
func (r *fairing) tilt(share, favour float64) error {
	level := r.along
	for range 60 {
		if _, err := r.rise(share, favour); err != nil {
			return err
		}
		if err := r.wideEnough(); err != nil {
			return err
		}
		next := r.ends[1].drawn.End().Sub(r.ends[0].drawn.End())
		off := r.along.AngleTo(next)
		r.along = next.Unit()
		if tilt := level.AngleTo(next); tilt > mostTilt || tilt < -mostTilt {
			break
		}
		if math.Abs(float64(off)) < 1e-12 {
			return nil
		}
	}
	return fmt.Errorf("the two sides of the sleeve head end at different heights, however they are turned, and the edge would lie askew by %.0f°, want at most %.0f°: another TopEdge, or RunOn 0 to leave the bend at the seams",
		math.Abs(level.AngleTo(r.along).Degrees()), mostTilt.Degrees())
}

func (r fairing) wideEnough() error {
	if r.ends[1].drawn.End().Sub(r.ends[0].drawn.End()).Dot(r.along) < float64(shortestEdge) {
		return fmt.Errorf("the sleeve is too narrow at the top edge for the ends of its head to be turned: want a TopEdge nearer the underarm, or RunOn 0 to leave the bend at the seams")
	}
	return nil
}

// rise draws both ends and returns how much higher the second is than the
// first. From 0 to 1 in favour, more of the second side is redrawn, from 1 to 2
// less of the first; below 0 the other way about.
func (r *fairing) rise(share, favour float64) (float64, error) {
	more := share + (mostRedrawn-share)*min(math.Abs(favour), 1)
	less := share * (1 - (1-leastRedrawn)*max(math.Abs(favour)-1, 0))
	if favour < 0 {
		more, less = less, more
	}
	if err := r.ends[0].turn(r.along, less, false); err != nil {
		return 0, err
	}
	if err := r.ends[1].turn(r.along, more, true); err != nil {
		return 0, err
	}
	return r.along.Cross(r.ends[1].drawn.End().Sub(r.ends[0].drawn.End())), nil
}

// turn draws a share of the head anew, down from its end, for an edge that runs
// in a direction: one arc of the length that was there, running on from what
// stays.
func (e *fairEnd) turn(along Point, share float64, last bool) error {
	down := along.Rotated(e.corner) // the cloth lies to the left of the edge
	if last {
		down = along.Neg().Rotated(-e.corner)
	}
	length := e.head.Length() * Length(share)
	stays, err := e.head.Between(0, e.head.Length()-length)
	if err != nil {
		return err
	}
	from, start, end := stays.End(), stays.TangentAt(stays.Length()), down.Neg()
	bend := start.AngleTo(end)
	chord, speed := length, float64(length)
	if half := float64(bend) / 2; math.Abs(half) > 1e-9 {
		chord *= Length(math.Sin(half) / half)
		speed *= math.Tan(half/2) / (half / 2)
	}
	arc := geom.Hermite(from, start.Scale(speed), from.Add(start.Rotated(bend/2).Scale(float64(chord))), end.Scale(speed))
	// A cubic is a little longer or shorter than the arc that it stands for.
	toLength := geom.Scale(float64(length / arc.Length()))
	arc = arc.Transformed(geom.Translate(from.Neg()).Then(toLength).Then(geom.Translate(from)))
	parts := len(e.head.Segments()) + 1 - len(stays.Segments())
	if e.drawn, err = inParts(arc, parts); err == nil {
		e.drawn, err = stays.Append(e.drawn)
	}
	return err
}

// inParts is a curve with joints between equal parts: a side of the head then
// has as many at every size, wherever its new end begins, as grade rules need.
func inParts(curve Path, n int) (Path, error) {
	var out Path
	length := curve.Length()
	for i := range n {
		part, err := curve.Between(length*Length(i)/Length(n), length*Length(i+1)/Length(n))
		if err != nil {
			return Path{}, err
		}
		if out, err = out.Append(part); err != nil {
			return Path{}, err
		}
	}
	return out, nil
}

// redrawn is the sleeve with both ends of its head as they are drawn anew and
// the top edge ruled between them.
func (r fairing) redrawn(q Piece) (Piece, error) {
	c := opened(q)
	topAt, err := c.namedRun(topEdge)
	if err != nil {
		return Piece{}, err
	}
	if len(topAt) != 1 {
		return Piece{}, fmt.Errorf("piece %q: edge %q is in %d parts, want one to rule it anew", q.name, topEdge, len(topAt))
	}
	top := &c.edges[topAt[0]]
	start, end := r.ends[0].drawn.End(), r.ends[1].drawn.End()
	to, ok := carries(top.Path.Start(), top.Path.End(), start, end)
	if !ok {
		return Piece{}, fmt.Errorf("piece %q: edge %q is %s long, too short to be ruled anew", q.name, topEdge, top.Path.Length())
	}
	for i, line := range c.internals {
		if c.internals[i].Path, err = ledTo(line.Path, []Edge{top.Edge}, to); err != nil {
			return Piece{}, err
		}
	}
	was := top.Path.Length()
	top.Path = Line(start, end) // what spreading has bent as well
	for i := range top.notches {
		top.notches[i].s *= top.Path.Length() / was
	}
	for _, e := range r.ends {
		at, err := c.namedRun(e.edge)
		if err != nil {
			return Piece{}, err
		}
		c.edges[at[0]].Path = e.drawn
		if !e.forth {
			c.edges[at[0]].Path = e.drawn.Reversed()
		}
		for i, p := range c.points {
			if p.At.Dist(e.head.End()) <= joinTolerance {
				c.points[i].At = e.drawn.End()
			}
		}
	}
	return c.piece(q)
}
