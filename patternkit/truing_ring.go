package patternkit

import (
	"slices"
	"strings"
)

// An edgeEnd is the start or the end of a trade edge in outline order.
type edgeEnd struct {
	piece, edge string
	last        bool
}

// A ringEdge is an edge that is sewn to nothing, and what its two ends go on to
// once the garment is sewn.
type ringEdge struct {
	Along
	next [2]edgeLink // at its start, at its end
}

type linkKind int

const (
	linkNone   linkKind = iota // a free corner, or a seam whose other side goes on to nothing
	linkMirror                 // the fold, or a seam to the piece's own other half
	linkEdge
)

type edgeLink struct {
	kind linkKind
	to   edgeEnd
}

// A garmentRing is an opening of the sewn garment, or one of two halves of it.
type garmentRing struct {
	edges  []Along
	length Length // around, 0 where it does not close
	round  bool   // closes without a mirrored half: around an armhole or a limb
}

// rings returns the openings that the edges sewn to nothing form, in the order
// of the pieces. Facings and linings are left out.
func (p Pattern) rings() []garmentRing {
	free := p.freeEdges()
	seen := map[Along]bool{}
	var rings []garmentRing
	for _, e := range free {
		if !seen[e.Along] {
			r := p.ringFrom(e, free)
			for _, a := range r.edges {
				seen[a] = true
			}
			rings = append(rings, r)
		}
	}
	return rings
}

// freeEdges returns the edges of the outer pieces that no seam takes, with
// what they go on to.
func (p Pattern) freeEdges() []ringEdge {
	var free []ringEdge
	for _, piece := range p.pieces {
		if piece.within() {
			continue
		}
		for _, name := range piece.EdgeNames() {
			a := Along{Piece: piece.name, Edge: name}
			if name != piece.fold && !piece.isMouth(name) && !p.sewn(a) {
				free = append(free, ringEdge{Along: a, next: [2]edgeLink{p.goesOn(a, false), p.goesOn(a, true)}})
			}
		}
	}
	return free
}

// sewn reports whether a seam joins an edge to another outer piece. One to a
// facing or a lining leaves it open.
func (p Pattern) sewn(edge Along) bool {
	return slices.ContainsFunc(p.seams, func(s Seam) bool { return s.touches(edge) && !p.neatens(s) })
}

// goesOn says what an end of a free edge goes on to.
func (p Pattern) goesOn(a Along, last bool) edgeLink {
	piece, _ := p.Piece(a.Piece)
	beside := p.neighbour(a, last)
	if beside.Edge == piece.fold {
		return edgeLink{kind: linkMirror}
	}
	for _, s := range p.seams {
		if p.neatens(s) {
			continue
		}
		if link := p.acrossSeam(s, edgeEnd{a.Piece, a.Edge, last}); link.kind != linkNone {
			return link
		}
	}
	if !p.sewn(beside) && p.endCorner(a, last) > cornerRunsOn-45*Degree {
		return edgeLink{linkEdge, edgeEnd{beside.Piece, beside.Edge, !last}}
	}
	return edgeLink{}
}

// acrossSeam returns what meets an end of an edge where an end of the seam
// runs into it.
func (p Pattern) acrossSeam(s Seam, end edgeEnd) edgeLink {
	for _, last := range [2]bool{false, true} {
		a, b := s.A[0], s.B[0]
		if last {
			a, b = s.A[len(s.A)-1], s.B[len(s.B)-1]
		}
		at, other := p.besideEnd(a, last), p.besideEnd(b, last)
		if other == end {
			at, other = other, at
		}
		if at != end {
			continue
		}
		if other == end {
			return edgeLink{kind: linkMirror}
		}
		if edge := (Along{Piece: other.piece, Edge: other.edge}); !p.sewn(edge) {
			return edgeLink{linkEdge, other}
		}
	}
	return edgeLink{}
}

// besideEnd is the end of the edge that adjoins a stretch of a seam at the
// seam's start or end.
func (p Pattern) besideEnd(a Along, last bool) edgeEnd {
	atEnd := last != a.Reversed
	beside := p.neighbour(a, atEnd)
	return edgeEnd{beside.Piece, beside.Edge, !atEnd}
}

// ringFrom follows an edge both ways until it closes or ends.
func (p Pattern) ringFrom(e ringEdge, free []ringEdge) garmentRing {
	ring := garmentRing{edges: []Along{e.Along}}
	open := false
	for _, last := range [2]bool{true, false} {
		link := e.next[ringEnd(last)]
		for link.kind == linkEdge {
			at := Along{Piece: link.to.piece, Edge: link.to.edge}
			if slices.Contains(ring.edges, at) {
				ring.round = at == e.Along && link.to.last != last
				if !ring.round && p.twice(at.Piece) { // comes back along its other copy
					link = edgeLink{kind: linkMirror}
				}
				break
			}
			i := slices.IndexFunc(free, func(f ringEdge) bool { return f.Along == at })
			if i < 0 {
				link = edgeLink{}
				break
			}
			ring.edges = append(ring.edges, at)
			link = free[i].next[ringEnd(!link.to.last)]
		}
		if ring.round {
			break
		}
		open = open || link.kind != linkMirror
	}
	if !open {
		ring.length = p.around(ring)
	}
	return ring
}

// twice reports whether a piece is sewn in more than once.
func (p Pattern) twice(name string) bool {
	piece, err := p.Piece(name)
	return err == nil && piece.copies() > 1
}

// ringEnd is the place of an end in a ringEdge.
func ringEnd(last bool) int {
	if last {
		return 1
	}
	return 0
}

// around adds up a ring that closes: its edges once where they close by
// themselves, and otherwise as often as their pieces are sewn in.
func (p Pattern) around(r garmentRing) Length {
	var sum Length
	for _, a := range r.edges {
		piece, _ := p.Piece(a.Piece)
		length, _ := piece.EdgeLength(a.Edge)
		if !r.round {
			length *= Length(piece.copies())
		}
		sum += length
	}
	return sum
}

// has reports whether an edge of the ring bears a word in its name.
func (r garmentRing) has(word string) bool {
	return slices.ContainsFunc(r.edges, func(a Along) bool { return strings.Contains(strings.ToLower(a.Edge), word) })
}

// words name a ring by its edges, each once.
func (r garmentRing) words() string {
	var names []string
	for _, a := range r.edges {
		if !slices.Contains(names, a.Edge) {
			names = append(names, a.Edge)
		}
	}
	return strings.Join(names, " + ")
}
