package patternkit

import (
	"fmt"
	"strings"
)

// Origin returns the name that an edge of p had when it was drafted: its own,
// or that of the edge which it was cut from or renamed from.
func (p Piece) Origin(edge string) string {
	if from, ok := p.origins[edge]; ok {
		return from
	}
	return edge
}

// withOrigin returns p knowing that an edge comes from another.
func (p Piece) withOrigin(edge, from string) Piece {
	origins := make(map[string]string, len(p.origins)+1)
	for k, v := range p.origins {
		origins[k] = v
	}
	if origins[edge] = p.Origin(from); origins[edge] == edge {
		delete(origins, edge)
	}
	p.origins = origins
	return p.withAllowanceFrom(edge, from)
}

// RenamedEdge returns p with an edge, all its parts, under another name: its
// notches, its dart, the fold come along, and Origin tells the old name. The
// new name must not be that of another edge.
func (p Piece) RenamedEdge(edge, to string) (Piece, error) {
	if _, err := p.Edge(edge); err != nil {
		return Piece{}, err
	}
	if strings.TrimSpace(to) == "" {
		return Piece{}, fmt.Errorf("piece %q: edge %q is to have an empty name, want one such as \"side seam\"", p.name, edge)
	}
	if edge == to {
		return p, nil
	}
	if _, err := p.Edge(to); err == nil {
		return Piece{}, fmt.Errorf("piece %q already has an edge %q, want another name for %q", p.name, to, edge)
	}
	out := p.withOrigin(to, edge)
	out.edges = p.Edges()
	for i := range out.edges {
		if out.edges[i].Name == edge {
			out.edges[i].Name = to
		}
	}
	out.notches, out.darts = p.Notches(), p.Darts()
	for i := range out.notches {
		if out.notches[i].Edge == edge {
			out.notches[i].Edge = to
		}
	}
	for i := range out.darts {
		if out.darts[i].Mouth == edge {
			out.darts[i].Mouth = to
		}
	}
	out.pleats = p.Pleats()
	for i := range out.pleats {
		pl := &out.pleats[i]
		if pl.Mouth == edge {
			pl.Mouth = to
		}
		if pl.End == edge {
			pl.End = to
		}
	}
	if out.fold == edge {
		out.fold = to
	}
	return out.withOnlyOwnEdges(), nil
}

// RenamedEdge returns p with an edge of one piece renamed, and the seams with
// it.
func (p Pattern) RenamedEdge(piece, edge, to string) (Pattern, error) {
	q, err := p.Piece(piece)
	if err != nil {
		return Pattern{}, err
	}
	if q, err = q.RenamedEdge(edge, to); err != nil {
		return Pattern{}, err
	}
	seams := mapAlongs(p.seams, func(a Along) []Along {
		if a.Piece == piece && a.Edge == edge {
			a.Edge = to
		}
		return []Along{a}
	})
	return p.withSeams(seams, q)
}

// SplitEdge returns p with an edge split in two at a length along it, darts
// closed: first runs from its start, second to its end. Origin tells of both
// what they come from. first and second may be the same name, or one of them
// the old one. An edge on the fold can't be split under two names.
func (p Piece) SplitEdge(edge string, at Length, first, second string) (Piece, error) {
	parts, err := p.run(edge)
	if err != nil {
		return Piece{}, err
	}
	if p.isMouth(edge) {
		return Piece{}, fmt.Errorf("piece %q: edge %q is the mouth of a dart or pleat and can't be split", p.name, edge)
	}
	c := opened(p)
	start, end := parts[0], c.after(parts[len(parts)-1]) // opened numbers the edges in outline order
	id, err := c.vertex(OnEdge{edge, at})
	if err != nil {
		return Piece{}, err
	}
	if id == start || id == end {
		length, _ := p.EdgeLength(edge)
		return Piece{}, fmt.Errorf("piece %q: edge %q is to be split at %s, want a place inside its %s", p.name, edge, at, length)
	}
	if p.fold == edge && first != second {
		return Piece{}, fmt.Errorf("piece %q: edge %q is on the fold and can't be split under the names %q and %q, want one name", p.name, edge, first, second)
	}
	for _, name := range []string{first, second} {
		if strings.TrimSpace(name) == "" {
			return Piece{}, fmt.Errorf("piece %q: a part of edge %q has no name, want one such as \"side seam below the notch\"", p.name, edge)
		}
		if _, err := p.Edge(name); err == nil && name != edge {
			return Piece{}, fmt.Errorf("piece %q already has an edge %q, want another name for a part of %q", p.name, name, edge)
		}
	}
	name := first
	for k, n := c.index(start), 0; n < len(c.edges); k, n = (k+1)%len(c.edges), n+1 {
		e := &c.edges[k]
		if e.id == id {
			name = second
		}
		if e.Name == edge {
			e.Name, e.glued = name, false
		}
	}
	out, err := c.piece(p.withOrigin(first, edge).withOrigin(second, edge))
	if err != nil {
		return Piece{}, err
	}
	return out, out.checkParts()
}

// SplitEdge returns p with an edge of one piece split in two. A seam along the
// edge then runs along both parts.
func (p Pattern) SplitEdge(piece, edge string, at Length, first, second string) (Pattern, error) {
	q, err := p.Piece(piece)
	if err != nil {
		return Pattern{}, err
	}
	if q, err = q.SplitEdge(edge, at, first, second); err != nil {
		return Pattern{}, err
	}
	seams := p.seams
	if first != second {
		seams = mapAlongs(seams, func(a Along) []Along {
			if a.Piece != piece || a.Edge != edge {
				return []Along{a}
			}
			return a.inParts(Along{Piece: piece, Edge: first}, Along{Piece: piece, Edge: second})
		})
	}
	return p.withSeams(seams, q)
}
