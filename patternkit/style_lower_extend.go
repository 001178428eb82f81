package patternkit

import (
	"fmt"
	"slices"
)

// Extended returns p with an edge moved outward by a distance: a hem let down,
// a side seam let out. The edges beside it go on in the direction in which
// they end, so that a flared side seam flares on; the moved edge keeps its
// shape and grows or shrinks with what lies between them. Its notches and the
// mouths of its darts move with it in proportion; a dart whose mouth moves keeps
// its tip and must stay a dart of equal legs. Points at the ends of the edge move
// too, and lines that end on it are led on to it.
//
// The distance is measured square to the line between the ends of the edge.
// It is an error where an edge beside it runs along it rather than away from
// it, by less than 30° to it.
func (p Piece) Extended(edge string, by Length) (Piece, error) {
	if err := checkRange(fmt.Sprintf("piece %q extended at edge %q", p.name, edge), "by", by, 1*MM, 200*CM); err != nil {
		return Piece{}, fmt.Errorf("%w (to take in, use Trim)", err)
	}
	run, err := p.run(edge)
	if err != nil {
		return Piece{}, err
	}
	c := opened(p)
	first, behind := run[0], c.after(run[len(run)-1]) // opened numbers the edges in outline order
	start, end := c.corner(first), c.corner(behind)
	out := start.Sub(end).Perp().Unit() // the outline runs counterclockwise: outward is right of start to end
	before := c.edges[(c.index(first)+len(c.edges)-1)%len(c.edges)]
	after := c.edges[c.index(behind)]
	newStart, err := p.goneOn(before.Edge, before.Path.TangentAt(before.Path.Length()), start, out, edge, by)
	if err != nil {
		return Piece{}, err
	}
	newEnd, err := p.goneOn(after.Edge, after.Path.TangentAt(0).Neg(), end, out, edge, by)
	if err != nil {
		return Piece{}, err
	}
	to, ok := carries(start, end, newStart, newEnd)
	if !ok || newEnd.Sub(newStart).Dot(end.Sub(start)) <= 0 {
		return Piece{}, fmt.Errorf("piece %q: edge %q extended by %s would shrink to nothing, the edges beside it meet before: want less", p.name, edge, by)
	}
	c.carryRun(first, behind, to)
	c.insert(first, Edge{before.Name, Line(start, newStart)}, true)
	c.lead(behind, Edge{after.Name, Line(newEnd, end)})
	for i, q := range c.points {
		if q.At.Dist(start) <= joinTolerance || q.At.Dist(end) <= joinTolerance {
			c.points[i].At = to.Apply(q.At)
		}
	}
	moved, err := p.Edge(edge)
	if err != nil {
		return Piece{}, err
	}
	for i, line := range c.internals {
		if c.internals[i].Path, err = ledTo(line.Path, moved, to); err != nil {
			return Piece{}, err
		}
	}
	return c.piece(p)
}

// ledTo leads a line that ends on edges on to where they have moved.
func ledTo(line Path, edges []Edge, to Transform) (Path, error) {
	ends := func(q Point) bool {
		return slices.ContainsFunc(edges, func(e Edge) bool { return e.Path.Dist(q) <= joinTolerance })
	}
	if q := line.Start(); ends(q) {
		var err error
		if line, err = Line(to.Apply(q), q).Append(line); err != nil {
			return Path{}, err
		}
	}
	if q := line.End(); ends(q) {
		return line.Append(Line(q, to.Apply(q)))
	}
	return line, nil
}

// goneOn is where the edge beside, leaving the old corner in a direction, has
// come as far out as asked.
func (p Piece) goneOn(beside Edge, direction, corner, out Point, edge string, by Length) (Point, error) {
	if p.isMouth(beside.Name) {
		return Point{}, fmt.Errorf("piece %q: a dart, mouth %q, begins where edge %q ends, want it away from there: pivot it first", p.name, beside.Name, edge)
	}
	rise := direction.Dot(out) / float64(direction.Norm())
	if rise < 0.5 {
		return Point{}, fmt.Errorf("piece %q: edge %q goes on too flat beside edge %q to extend it there, want it to lead away by 30° or more", p.name, beside.Name, edge)
	}
	return corner.Add(direction.Unit().Scale(float64(by) / rise)), nil
}

// carryRun moves a run of edges and what is measured along them.
func (c *openPiece) carryRun(first, behind int, to Transform) {
	for _, e := range c.between(first, behind) {
		c.edges[c.index(e.id)] = e.led(to.Apply(e.Path.Start()), to.Apply(e.Path.End()))
	}
}

// lead puts a stretch before an edge, as the beginning of it.
func (c *openPiece) lead(id int, e Edge) {
	c.insert(id, e, false)
	k := c.index(id)
	c.edges[k].glued = true
}
