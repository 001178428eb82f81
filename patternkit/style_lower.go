package patternkit

import (
	"fmt"
	"slices"
	"strings"
)

// A Trim takes a part of a piece away along a line or a curve: a neckline is
// lowered, a top edge drawn at a level of the armhole, a bodice ended above
// its waist.
type Trim struct {
	Piece string
	Along Path   // across the piece, from edge to edge or beyond both
	Keep  string // an edge that stays, whole: "waist"
	Edge  string // names the new edge: "top edge"
}

// Trim returns p with a part of a piece taken away. What stays keeps its name
// and its place; a seam runs along what is left of its edges, and one that has
// lost all of a side is gone; one that is cut forgets how its ease was shared
// out between notches. A line that runs through a dart is ruled with the dart
// folded shut, as Cut rules it. Walk tells which seams now want the piece on
// their other side trimmed too; cut both at the same length of their edge from
// the end that stays.
func (p Pattern) Trim(t Trim) (Pattern, error) {
	if strings.TrimSpace(t.Edge) == "" {
		return Pattern{}, fmt.Errorf("trim of piece %q: the new edge has no name, want one such as \"top edge\"", t.Piece)
	}
	c := Cut{Piece: t.Piece, Along: t.Along, Left: t.Piece + ", left of the line", Right: t.Piece + ", right of the line", Seam: t.Edge}
	left, right, seams, err := p.cutApart(c)
	if err != nil {
		return Pattern{}, err
	}
	_, inLeft := left.run(t.Keep)
	_, inRight := right.run(t.Keep)
	kept, off := left, right
	switch {
	case inLeft != nil && inRight != nil:
		return Pattern{}, fmt.Errorf("trim of piece %q: there is no edge %q to keep, want one of %s", t.Piece, t.Keep, quoted(slices.DeleteFunc(left.EdgeNames(), func(e string) bool { return e == t.Edge })))
	case inLeft == nil && inRight == nil:
		return Pattern{}, fmt.Errorf("trim of piece %q: the line cuts edge %q, which is to be kept: want an edge that lies wholly on the part that stays", t.Piece, t.Keep)
	case inLeft != nil:
		kept, off = right, left
	}
	out, err := p.withPiecesFor(t.Piece, seamsWithout(seams, off.name, kept.name, t.Piece), kept.calledAgain(t.Piece))
	if err != nil {
		return Pattern{}, err
	}
	for i, s := range out.seams {
		was, err := p.Seam(s.Name)
		if err != nil {
			return Pattern{}, err
		}
		if before, after := p.walk(was), out.walk(s); before.LengthA != after.LengthA || before.LengthB != after.LengthB {
			out.seams[i].Shares = nil
		}
	}
	return out, nil
}

// calledAgain gives a part the name that its piece had.
func (p Piece) calledAgain(name string) Piece {
	p.name = name
	return p
}

// seamsWithout names the part that stays as its piece and drops the other.
func seamsWithout(seams []Seam, off, kept, name string) []Seam {
	mapped := mapAlongs(seams, func(a Along) []Along {
		switch {
		case a.Piece == kept:
			a.Piece = name
		case a.Piece == off:
			return nil
		}
		return []Along{a}
	})
	return slices.DeleteFunc(mapped, func(s Seam) bool { return len(s.A) == 0 || len(s.B) == 0 })
}

// sharesOf keeps the shares of ease that end at a notch which a seam has.
func (p Pattern) sharesOf(s Seam, shares []EaseShare) []EaseShare {
	a, b := p.side(s, s.A), p.side(s, s.B)
	has := func(share EaseShare) bool {
		return slices.ContainsFunc(slices.Concat(a.marks, b.marks), func(m seamMark) bool { return m.name == share.Upto })
	}
	return slices.DeleteFunc(slices.Clone(shares), func(share EaseShare) bool { return !has(share) })
}

// WithSeam returns p with a seam added, or with the one of its name replaced:
// to sew an edge that a style line has made, or to ease more or less in.
func (p Pattern) WithSeam(s Seam) (Pattern, error) {
	seams := p.Seams()
	if i := slices.IndexFunc(seams, func(o Seam) bool { return o.Name == s.Name }); i >= 0 {
		seams[i] = s
	} else {
		seams = append(seams, s)
	}
	return p.withSeams(seams)
}

// WithoutSeam returns p with a seam left open.
func (p Pattern) WithoutSeam(name string) (Pattern, error) {
	if _, err := p.Seam(name); err != nil {
		return Pattern{}, err
	}
	return p.withSeams(slices.DeleteFunc(p.Seams(), func(s Seam) bool { return s.Name == name }))
}

// SplitSeam returns p with a seam split in two behind the first a stretches of
// its side A and the first b of its side B: an armhole seam at the shoulder,
// once the sleeve head has a front and a back edge. The ease goes where it is.
func (p Pattern) SplitSeam(name string, a, b int, first, second string) (Pattern, error) {
	s, err := p.Seam(name)
	if err != nil {
		return Pattern{}, err
	}
	if a < 1 || a >= len(s.A) || b < 1 || b >= len(s.B) {
		return Pattern{}, fmt.Errorf("seam %q is to be split behind stretch %d of %d and stretch %d of %d, want some on each side of both: split an edge first where a side is one edge",
			name, a, len(s.A), b, len(s.B))
	}
	one := Seam{Name: first, A: s.A[:a:a], B: s.B[:b:b]}
	two := Seam{Name: second, A: s.A[a:], B: s.B[b:]}
	one.Ease = p.walk(one).Difference
	two.Ease = s.Ease - one.Ease
	one.Shares, two.Shares = p.sharesOf(one, s.Shares), p.sharesOf(two, s.Shares)
	var seams []Seam
	for _, o := range p.seams {
		if o.Name == name {
			seams = append(seams, one, two)
		} else {
			seams = append(seams, o)
		}
	}
	return p.withSeams(seams)
}
