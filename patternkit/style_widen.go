package patternkit

import (
	"fmt"

	"patternkit/patternkit/geom"
)

// WidenAtSide returns p with an edge, such as the side seam, laid out by a
// distance square to the grain: it keeps its shape and its length, and the two
// edges that end on it are carried on to it straight, each by exactly that
// distance. So an armhole and a sleeve head widened by the same still walk to
// each other. Lines that end on the edge are led on to it, and points on it go
// along. Without a grainline the distance is square to the line between the
// ends of the edge.
//
// It is an error where the edge lies on the fold (use WidenAtFold), where it is
// in parts with darts or pleats between, which would no longer close: pivot them
// away first; and where a mouth opens beside it.
func (p Piece) WidenAtSide(edge string, by Length) (Piece, error) {
	what := fmt.Sprintf("piece %q widened at edge %q", p.name, edge)
	if edge == p.fold {
		return Piece{}, fmt.Errorf("%s, which lies on the fold: use WidenAtFold", what)
	}
	if err := checkRange(what, "by", by, 1*MM, 2*M); err != nil {
		return Piece{}, err
	}
	run, err := p.run(edge)
	if err != nil {
		return Piece{}, err
	}
	if len(run) != 1 {
		return Piece{}, fmt.Errorf("%s, which is in %d parts with darts or pleats between, want one part: pivot them away first", what, len(run))
	}
	c := opened(p)
	k, n := run[0], len(c.edges)
	before, after := &c.edges[(k+n-1)%n], &c.edges[(k+1)%n]
	for _, e := range []*openEdge{before, after} {
		if p.isMouth(e.Name) {
			return Piece{}, fmt.Errorf("%s: the mouth %q opens beside it, want an edge there that can be carried on", what, e.Name)
		}
	}
	side := c.edges[k].Path
	out := geom.Translate(p.outwardAt(side).Scale(float64(by)))
	moved := side.Transformed(out)
	after.glued = true
	id, beforeName, afterName := c.edges[k].id, before.Name, after.Name
	c.edges[k].Path = moved
	c.insert(id, Edge{beforeName, Line(side.Start(), moved.Start())}, true)
	c.insert(c.after(id), Edge{afterName, Line(moved.End(), side.End())}, false)
	for i, q := range c.points {
		if side.Dist(q.At) <= joinTolerance {
			c.points[i].At = out.Apply(q.At)
		}
	}
	for i, line := range c.internals {
		if c.internals[i].Path, err = ledTo(line.Path, []Edge{{edge, side}}, out); err != nil {
			return Piece{}, err
		}
	}
	return c.piece(p)
}

// outwardAt is the direction out of a piece at a stretch of its outline, square
// to the grain where it has one.
func (p Piece) outwardAt(side Path) Point {
	chord := side.End().Sub(side.Start()).Perp().Neg() // the outline runs counterclockwise
	if !p.hasGrain {
		return chord.Unit()
	}
	out := p.grain[1].Sub(p.grain[0]).Unit().Perp()
	if out.Dot(chord) < 0 {
		return out.Neg()
	}
	return out
}
