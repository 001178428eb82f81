package patternkit

import (
	"fmt"
	"strings"
	"sync"

	"patternkit/patternkit/drawing"
)

// A Part brings pieces and seams to a pattern: a bodice, a sleeve, one piece,
// one seam, a whole pattern.
type Part interface {
	Pieces() []Piece
	Seams() []Seam
}

// A Pattern is the pieces of a garment and the seams that join their edges.
type Pattern struct {
	name   string
	pieces []Piece
	parts  []int // for each piece, which part brought it: those are drawn level
	seams  []Seam
	drawn  *drawnPage
}

// A drawnPage is the picture of a pattern, drawn when it is first shown and
// then written by every show method.
type drawnPage struct {
	once sync.Once
	page *drawing.Page
}

// NewPattern gathers the pieces and seams of parts. Piece names and seam names
// must each be unique and every edge that a seam names must be there; seams
// may join pieces of different parts.
func NewPattern(name string, parts ...Part) (Pattern, error) {
	if strings.TrimSpace(name) == "" {
		return Pattern{}, fmt.Errorf("a pattern has no name, want one such as \"block\"")
	}
	p := Pattern{name: name}
	for i, part := range parts {
		if part == nil {
			return Pattern{}, fmt.Errorf("pattern %q: part %d is nil, want a piece, a seam or a block", name, i+1)
		}
		p.add(part)
	}
	if len(p.pieces) == 0 {
		return Pattern{}, fmt.Errorf("pattern %q has no pieces, want at least one", name)
	}
	if err := p.checkPieces(); err != nil {
		return Pattern{}, err
	}
	if err := p.checkSeams(); err != nil {
		return Pattern{}, err
	}
	p.drawn = &drawnPage{}
	return p, nil
}

// add takes over the pieces and seams of a part. A pattern within a pattern
// keeps its own parts apart.
func (p *Pattern) add(part Part) {
	next := 0
	if len(p.parts) > 0 {
		next = p.parts[len(p.parts)-1] + 1
	}
	inner, isPattern := part.(Pattern)
	for i, piece := range part.Pieces() {
		p.pieces = append(p.pieces, piece)
		if isPattern {
			p.parts = append(p.parts, next+inner.parts[i])
		} else {
			p.parts = append(p.parts, next)
		}
	}
	p.seams = append(p.seams, part.Seams()...)
}

func (p Pattern) checkPieces() error {
	seen := map[string]bool{}
	for i, piece := range p.pieces {
		if len(piece.edges) == 0 {
			return fmt.Errorf("pattern %q: piece %d is empty, want a piece made by NewPiece", p.name, i+1)
		}
		if seen[piece.name] {
			return fmt.Errorf("pattern %q has two pieces named %q, want a name for each", p.name, piece.name)
		}
		seen[piece.name] = true
		if err := piece.checkParts(); err != nil {
			return fmt.Errorf("pattern %q: %w", p.name, err)
		}
	}
	return nil
}

func (p Pattern) checkSeams() error {
	seen := map[string]bool{}
	for i, s := range p.seams {
		switch {
		case strings.TrimSpace(s.Name) == "":
			return fmt.Errorf("pattern %q: seam %d has no name, want one such as \"side seam\"", p.name, i+1)
		case seen[s.Name]:
			return fmt.Errorf("pattern %q has two seams named %q, want a name for each", p.name, s.Name)
		case len(s.A) == 0 || len(s.B) == 0:
			return fmt.Errorf("pattern %q: seam %q has an empty side, want at least one edge on A and on B", p.name, s.Name)
		case !s.Ease.Finite():
			return fmt.Errorf("pattern %q: seam %q has an ease that is not a number or is infinite", p.name, s.Name)
		}
		seen[s.Name] = true
		for _, a := range append(append([]Along(nil), s.A...), s.B...) {
			piece, err := p.Piece(a.Piece)
			if err != nil {
				return fmt.Errorf("seam %q: %w", s.Name, err)
			}
			if _, err := piece.Edge(a.Edge); err != nil {
				return fmt.Errorf("pattern %q: seam %q: %w", p.name, s.Name, err)
			}
		}
	}
	return nil
}

// Name returns the name of the pattern.
func (p Pattern) Name() string { return p.name }

// Pieces returns the pieces in the order of the parts.
func (p Pattern) Pieces() []Piece { return append([]Piece(nil), p.pieces...) }

// Seams returns the seams in the order of the parts.
func (p Pattern) Seams() []Seam { return append([]Seam(nil), p.seams...) }

// Piece returns the piece of that name.
func (p Pattern) Piece(name string) (Piece, error) {
	names := make([]string, len(p.pieces))
	for i, piece := range p.pieces {
		if piece.name == name {
			return piece, nil
		}
		names[i] = piece.name
	}
	return Piece{}, fmt.Errorf("pattern %q has no piece %q, it has %s", p.name, name, quoted(names))
}

// Seam returns the seam of that name.
func (p Pattern) Seam(name string) (Seam, error) {
	names := make([]string, len(p.seams))
	for i, s := range p.seams {
		if s.Name == name {
			return s, nil
		}
		names[i] = s.Name
	}
	return Seam{}, fmt.Errorf("pattern %q has no seam %q, it has %s", p.name, name, quoted(names))
}
