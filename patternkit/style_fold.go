package patternkit

import (
	"fmt"

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
