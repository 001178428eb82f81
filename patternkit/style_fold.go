package patternkit

import (
	"fmt"
	"math"

	"patternkit/patternkit/geom"
)

// WithoutFold returns p taken off the fold: its fold edge becomes an edge like
// the others, along which it may be cut or sewn.
func (p Piece) WithoutFold() Piece {
	p.fold = ""
	return p
}

// WidenAtFold returns a half piece laid by away from the fold: the fold edge
// moves out and the edges that end on it are carried on to it at a right
// angle. Across the whole piece that is twice by: laid 2 in from the fold, it
// gains 4 in. So are lines drawn inside that end on the fold, and a point at an
// end of it goes along; all else keeps its place. In a pattern, WithPieceEased
// takes the longer edges into their seams as ease.
func (p Piece) WidenAtFold(by Length) (Piece, error) {
	if p.fold == "" {
		return Piece{}, fmt.Errorf("piece %q has no edge on the fold, want one to widen it there: use SlashAndSpread for others", p.name)
	}
	if err := checkRange(fmt.Sprintf("piece %q", p.name), "the width added at the fold", by, 1*MM, 2*M); err != nil {
		return Piece{}, err
	}
	c := opened(p)
	run, err := c.namedRun(p.fold)
	if err != nil {
		return Piece{}, err
	}
	k, n := run[0], len(c.edges)
	before, after := &c.edges[(k+n-1)%n], &c.edges[(k+1)%n]
	for _, e := range []*openEdge{before, after} {
		if p.isMouth(e.Name) {
			return Piece{}, fmt.Errorf("piece %q: the dart mouth %q opens at the fold, want an edge there that can be carried on", p.name, e.Name)
		}
	}
	fold := c.edges[k].Path
	out := fold.End().Sub(fold.Start()).Unit().Perp().Scale(-float64(by))
	moved := fold.Transformed(geom.Translate(out))
	after.glued = true
	id, beforeName, afterName := c.edges[k].id, before.Name, after.Name
	c.edges[k].Path = moved
	c.insert(id, Edge{beforeName, Line(fold.Start(), moved.Start())}, true)
	c.insert(c.after(id), Edge{afterName, Line(moved.End(), fold.End())}, false)
	if err := c.leadToFold(Edge{p.fold, fold}, geom.Translate(out)); err != nil {
		return Piece{}, err
	}
	return c.piece(p)
}

// leadToFold carries what ends on a fold on to where the fold has moved: lines
// across the piece and the points at both ends.
func (c *openPiece) leadToFold(fold Edge, to Transform) error {
	for i, line := range c.internals {
		if fold.Path.Dist(line.Path.Start()) <= joinTolerance && fold.Path.Dist(line.Path.End()) <= joinTolerance {
			continue // the old fold itself, drawn in
		}
		var err error
		if c.internals[i].Path, err = ledTo(line.Path, []Edge{fold}, to); err != nil {
			return err
		}
	}
	for i, q := range c.points {
		if q.At.Dist(fold.Path.Start()) <= joinTolerance || q.At.Dist(fold.Path.End()) <= joinTolerance {
			c.points[i].At = to.Apply(q.At)
		}
	}
	return nil
}

// kinkTolerance is how far a curve may turn at a joint of its segments and
// still be called smooth (common practice, no source).
const kinkTolerance = 1 * Degree

// SmoothEdge returns p with an edge redrawn without the kinks that spreading
// or a closed dart has left: one fair curve through the middle of each stretch
// between kinks, with the same ends, which it leaves in the same direction. So
// the edge cuts the corners of the kinked one, and its length changes a
// little. Notches keep their share of it. An edge without kinks stays as it
// is; one in parts is an error.
func (p Piece) SmoothEdge(edge string) (Piece, error) {
	parts, err := p.run(edge)
	if err != nil {
		return Piece{}, err
	}
	if len(parts) != 1 {
		return Piece{}, fmt.Errorf("piece %q: edge %q is in %d parts with darts or pleats between them, want one part to redraw", p.name, edge, len(parts))
	}
	path := p.edges[parts[0]].Path
	stretches := unkinked(path)
	if len(stretches) < 2 {
		return p, nil
	}
	points := []Point{path.Start()}
	for _, s := range stretches {
		points = append(points, s.At(s.Length()/2))
	}
	points = append(points, path.End())
	first, last := path.TangentAt(0), path.TangentAt(path.Length())
	c := opened(p)
	e := &c.edges[parts[0]]
	e.Path = geom.Spline(points, &first, &last)
	k := e.Path.Length() / path.Length()
	for i := range e.notches {
		e.notches[i].s *= k
	}
	out, err := c.piece(p)
	if err != nil {
		return Piece{}, fmt.Errorf("edge %q redrawn: %w", edge, err)
	}
	return out, nil
}

// unkinked parts a path at its kinks.
func unkinked(path Path) []Path {
	var out []Path
	for _, g := range path.Segments() {
		next, err := geom.PathOf(g)
		if err != nil || next.Length() <= joinTolerance {
			continue
		}
		if len(out) > 0 {
			last := &out[len(out)-1]
			turn := last.TangentAt(last.Length()).AngleTo(next.TangentAt(0))
			if joined, err := last.Append(next); err == nil && math.Abs(float64(turn)) <= float64(kinkTolerance) {
				*last = joined
				continue
			}
		}
		out = append(out, next)
	}
	return out
}
