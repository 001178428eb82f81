package patternkit

import (
	"slices"

	"patternkit/patternkit/geom"
)

// middle draws the piece between two halves that lie on each other.
func (h Halves) middle() (Piece, error) {
	edges := make([]Edge, len(h.left.edges))
	for i, e := range h.left.edges {
		path, err := pathBetween(e.Path, h.right.edges[i].Path)
		if err != nil {
			return Piece{}, err
		}
		edges[i] = Edge{e.Name, path}
	}
	m := makePiece(h.left.name, edges...)
	if h.left.fold != "" {
		m.fold(h.left.fold)
	}
	for _, p := range h.left.points {
		if q, err := h.right.Point(p.Name); err == nil {
			m.point(p.Name, p.At.Lerp(q, 0.5))
		}
	}
	for _, l := range h.left.internals {
		k := slices.IndexFunc(h.right.internals, func(e Edge) bool { return e.Name == l.Name })
		if k < 0 {
			continue
		}
		// A half that is turned over keeps the direction of its lines.
		path, err := pathBetween(l.Path, h.right.internals[k].Path)
		if err != nil {
			return Piece{}, err
		}
		m.internal(l.Name, path)
	}
	h.middleNotches(m)
	if h.left.hasGrain {
		m.grainline(h.left.grain[0], h.left.grain[1])
	}
	p, err := m.quantity(h.left.quantity, h.left.cutNote).done()
	p.material = h.left.material
	return p, err
}

// middleNotches puts notches of both halves at the mean of their shares of the
// edge.
func (h Halves) middleNotches(m *pieceMaker) {
	if m.err != nil {
		return
	}
	for _, n := range h.left.notches {
		k := slices.IndexFunc(h.right.notches, func(o Notch) bool { return o.Name == n.Name && o.Edge == n.Edge })
		if k < 0 {
			continue
		}
		a, errA := h.left.EdgeLength(n.Edge)
		b, errB := h.right.EdgeLength(n.Edge)
		whole, err := m.piece.EdgeLength(n.Edge)
		if errA != nil || errB != nil || err != nil {
			continue
		}
		n.At = whole * (n.At/a + h.right.notches[k].At/b) / 2
		m.notch(n)
	}
}

// pathBetween is the path half way between two that run alike: both are parted
// at the shares of their length where either has a joint, and each part is the
// mean of two lines or curves.
func pathBetween(a, b Path) (Path, error) {
	la, lb := a.Length(), b.Length()
	var shares []float64
	for _, p := range []Path{a, b} {
		var at Length
		for _, g := range p.Segments() {
			part, err := geom.PathOf(g)
			if err != nil {
				return Path{}, err
			}
			at += part.Length()
			shares = append(shares, float64(at/p.Length()))
		}
	}
	slices.Sort(shares)
	const near = 1e-4 // joints nearer than this, as shares, are one
	var out []geom.Segment
	from := 0.0
	for _, to := range shares {
		if to-from < near || (1-to < near && to < 1) {
			continue
		}
		p, errA := a.Between(la*Length(from), min(la, la*Length(to)))
		q, errB := b.Between(lb*Length(from), min(lb, lb*Length(to)))
		if errA != nil {
			return Path{}, errA
		}
		if errB != nil {
			return Path{}, errB
		}
		g := segmentBetween(longestSegment(p), longestSegment(q))
		if len(out) > 0 {
			g.A = out[len(out)-1].B
		} else {
			g.A = a.Start().Lerp(b.Start(), 0.5)
		}
		out = append(out, g)
		from = to
	}
	out[len(out)-1].B = a.End().Lerp(b.End(), 0.5)
	return geom.PathOf(out...)
}

// longestSegment is the one segment of a part; slivers that rounding left at
// its ends do not count.
func longestSegment(p Path) geom.Segment {
	var best geom.Segment
	most := Length(-1)
	for _, g := range p.Segments() {
		part, err := geom.PathOf(g)
		if err == nil && part.Length() > most {
			best, most = g, part.Length()
		}
	}
	return best
}

// segmentBetween is the mean of two segments. A line beside a curve counts as
// the curve that it is.
func segmentBetween(a, b geom.Segment) geom.Segment {
	if !a.Curve && !b.Curve {
		return geom.Segment{A: a.A.Lerp(b.A, 0.5), B: a.B.Lerp(b.B, 0.5)}
	}
	for _, g := range []*geom.Segment{&a, &b} {
		if !g.Curve {
			g.C1, g.C2, g.Curve = g.A.Lerp(g.B, 1.0/3), g.A.Lerp(g.B, 2.0/3), true
		}
	}
	return geom.Segment{A: a.A.Lerp(b.A, 0.5), C1: a.C1.Lerp(b.C1, 0.5), C2: a.C2.Lerp(b.C2, 0.5), B: a.B.Lerp(b.B, 0.5), Curve: true}
}
