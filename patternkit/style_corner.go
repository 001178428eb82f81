package patternkit

import (
	"fmt"

	"patternkit/patternkit/geom"
)

// WithCornerAt returns p with the corner at which an edge begins moved, as one
// redraws the end of a seam that does not meet its partner. The two edges that
// meet there are led to the new place: a line stays a line, and a curve keeps
// its far end, and the direction in which it leaves either end. Notches keep
// their share of their edge; a point with a name that lies on the corner goes
// along. The start of an edge is its first point in outline order,
// counterclockwise. A corner at the mouth of a dart or a pleat, and a way of
// more than half the shorter edge, are errors.
func (p Piece) WithCornerAt(edge string, to Point) (Piece, error) {
	run, err := p.run(edge)
	if err != nil {
		return Piece{}, err
	}
	n := len(p.edges)
	next, before := run[0], (run[0]+n-1)%n
	for _, k := range []int{before, next} {
		if name := p.edges[k].Name; p.isMouth(name) {
			return Piece{}, fmt.Errorf("piece %q: the corner where edge %q begins is at the mouth %q, want one between two edges", p.name, edge, name)
		}
	}
	from := p.edges[next].Path.Start()
	way := to.Sub(from)
	most := min(p.edges[before].Path.Length(), p.edges[next].Path.Length()) / 2
	if d := way.Norm(); !to.Finite() || d > most {
		return Piece{}, fmt.Errorf("piece %q: the corner where edge %q begins is to go from %s to %s, want at most %s away, half the shorter edge there",
			p.name, edge, place(from), place(to), most)
	}
	c := opened(p)
	if err := c.leadCorner(before, way, false); err != nil {
		return Piece{}, err
	}
	if err := c.leadCorner(next, way, true); err != nil {
		return Piece{}, err
	}
	for i, q := range c.points {
		if q.At.Dist(from) <= joinTolerance {
			c.points[i].At = to
		}
	}
	out, err := c.piece(p)
	if err != nil {
		return Piece{}, fmt.Errorf("corner where edge %q begins moved to %s: %w", edge, place(to), err)
	}
	return out, nil
}

// leadCorner leads the start or the end of the k-th edge by a way. Each joint
// of its curves goes by the share of the way that its place along the edge
// says, its handles with it.
func (c *openPiece) leadCorner(k int, way Point, start bool) error {
	e := &c.edges[k]
	old := e.Path
	whole := old.Length()
	shift := func(s Length) Point {
		share := float64(s / whole)
		if start {
			share = 1 - share
		}
		return way.Scale(share)
	}
	var path Path
	var s Length
	segments := old.Segments()
	for i, g := range segments {
		end := whole
		if i < len(segments)-1 {
			part, err := geom.PathOf(g)
			if err != nil {
				return err
			}
			end = s + part.Length()
		}
		a, b := shift(s), shift(end)
		g.A, g.C1, g.C2, g.B = g.A.Add(a), g.C1.Add(a), g.C2.Add(b), g.B.Add(b)
		part, err := geom.PathOf(g)
		if err != nil {
			return err
		}
		if path, err = path.Append(part); err != nil {
			return err
		}
		s = end
	}
	e.Path = path
	for i := range e.notches {
		e.notches[i].s *= path.Length() / whole
	}
	return nil
}

// mostTurn is how far the end of an edge may be turned: more than trues it.
const mostTurn = 30 * Degree

// WithEndTurned returns p with the start of a curved edge, or its end, turned
// so that the angle of the cloth at that corner grows by an angle, at most 30°
// either way: a neckline that dips where the shoulders meet is turned by a
// negative one. Both ends of the edge keep their places and the far end its
// direction, so that the edge's length changes a little. Notches keep their
// share of it. An edge that is straight there is an error.
func (p Piece) WithEndTurned(edge string, end bool, by Angle) (Piece, error) {
	run, err := p.run(edge)
	if err != nil {
		return Piece{}, err
	}
	if !(by >= -mostTurn && by <= mostTurn) {
		return Piece{}, fmt.Errorf("piece %q: edge %q is to be turned by %s, want −%s to %s", p.name, edge, by, mostTurn, mostTurn)
	}
	k, where := run[0], "starts"
	if end {
		k, where = run[len(run)-1], "ends"
	}
	c := opened(p)
	e := &c.edges[k]
	segments := e.Path.Segments()
	g, turn := &segments[0], -by
	if end {
		g, turn = &segments[len(segments)-1], by
	}
	if !g.Curve {
		return Piece{}, fmt.Errorf("piece %q: edge %q %s straight, want a curve to turn, or WithCornerAt to move its end", p.name, edge, where)
	}
	if end {
		g.C2 = g.B.Add(g.C2.Sub(g.B).Rotated(turn))
	} else {
		g.C1 = g.A.Add(g.C1.Sub(g.A).Rotated(turn))
	}
	before := e.Path.Length()
	if e.Path, err = geom.PathOf(segments...); err != nil {
		return Piece{}, err
	}
	for i := range e.notches {
		e.notches[i].s *= e.Path.Length() / before
	}
	out, err := c.piece(p)
	if err != nil {
		return Piece{}, fmt.Errorf("edge %q turned by %s where it %s: %w", edge, by, where, err)
	}
	return out, nil
}
