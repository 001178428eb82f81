package patternkit

import (
	"fmt"
	"slices"
	"strings"
)

// WithLining returns p with a lining for each of the named pieces: "front
// lining", of the material "lining". Where the pattern has facings of the
// piece, the lining ends at their inner edges and is sewn to them; otherwise
// it is the piece again. The seams between lined pieces are there between
// their linings: "side seam of the lining". Room to move, a pleat at the centre
// back or a shorter hem, is given with the other style operations.
func (p Pattern) WithLining(pieces ...string) (Pattern, error) {
	if len(pieces) == 0 {
		return Pattern{}, fmt.Errorf("lining of pattern %q: no pieces are named, want those to be lined", p.name)
	}
	out := Pattern{name: p.name, pieces: p.Pieces(), parts: slices.Clone(p.parts), seams: p.Seams(), drawn: &drawnPage{}}
	var joins []Seam
	for _, name := range pieces {
		i := slices.IndexFunc(p.pieces, func(q Piece) bool { return q.name == name })
		if i < 0 {
			_, err := p.Piece(name)
			return Pattern{}, fmt.Errorf("lining: %w", err)
		}
		if p.pieces[i].within() {
			return Pattern{}, fmt.Errorf("lining: piece %q lies within the garment itself, want an outer piece", name)
		}
		lining, seams, err := p.lining(p.pieces[i])
		if err != nil {
			return Pattern{}, err
		}
		out.pieces, out.parts = append(out.pieces, lining), append(out.parts, p.parts[i])
		joins = append(joins, seams...)
	}
	out.seams = slices.Concat(out.seams, joins, p.innerSeams("lining", pieces, out.pieces))
	if err := out.checkPieces(); err != nil {
		return Pattern{}, err
	}
	return out, out.checkSeams()
}

// lining is a piece without what its facings cover, and the seams to them.
func (p Pattern) lining(piece Piece) (Piece, []Seam, error) {
	name := piece.name + " lining"
	lining := piece.calledAgain(name).WithMaterial("lining")
	var seams []Seam
	for _, s := range p.facingSeams(piece.name) {
		facing, err := p.Piece(s.Name)
		if err != nil {
			return Piece{}, nil, err
		}
		own := strings.TrimPrefix(facing.name, piece.name+" ") + " edge" // "neckline facing edge"
		line, err := lining.ruledAsIn(facing, s)
		if err != nil {
			return Piece{}, nil, fmt.Errorf("lining of piece %q beside %q: %w", piece.name, facing.name, err)
		}
		parts, _, err := lining.partedAlong(line, Cut{Piece: name, Left: name, Right: name, Seam: own})
		if err != nil {
			return Piece{}, nil, fmt.Errorf("lining of piece %q beside %q: %w", piece.name, facing.name, err)
		}
		lining = parts[0]
		if _, err := lining.run(s.A[0].Edge); err == nil {
			lining = parts[1]
		}
		seams = append(seams, Seam{Name: facing.name + " to the lining",
			A: []Along{{Piece: facing.name, Edge: innerEdge}}, B: []Along{{Piece: name, Edge: own, Reversed: true}}})
	}
	return lining, seams, nil
}

// ruledAsIn lays the inner edge of a facing out on the piece that the facing
// was traced from: a part of the faced edge still lies as on the piece.
func (p Piece) ruledAsIn(facing Piece, s Seam) (shutLine, error) {
	inner, err := facing.onlyEdge(innerEdge)
	if err != nil {
		return shutLine{}, err
	}
	for _, a := range s.A {
		faced, err := facing.Edge(a.Edge)
		if err != nil {
			return shutLine{}, err
		}
		parts, err := p.Edge(a.Edge)
		if err != nil {
			return shutLine{}, err
		}
		for _, part := range parts {
			middle := part.Path.At(part.Path.Length() / 2)
			if slices.ContainsFunc(faced, func(e Edge) bool { return e.Path.Dist(middle) <= joinTolerance }) {
				at, _ := inner.Nearest(middle)
				return p.ruledFrom(inner, at)
			}
		}
	}
	return shutLine{}, fmt.Errorf("the facing was moved, want it where it was traced")
}
