package patternkit

import (
	"fmt"
	"slices"

	"patternkit/patternkit/drawing"
)

// A makingPair is edges that are sewn to each other in a step, or turned: they
// are drawn heavy and bear the same letter.
type makingPair struct {
	edges  []Along
	darts  string // the piece whose darts are sewn
	pleats string

	profile *turnedProfile // of what is turned; nil for the others
}

func (m *making) pairs(step []int) []makingPair {
	var out []makingPair
	for _, k := range step {
		t := m.tasks[k]
		switch {
		case t.seam >= 0:
			s := m.pattern.seams[t.seam]
			out = append(out, makingPair{edges: slices.Concat(s.A, s.B)})
		case t.turned != nil:
			out = append(out, makingPair{edges: t.turned.ring.edges, profile: m.profileOf(*t.turned)})
		default:
			out = append(out, makingPair{darts: t.darts, pleats: t.pleats})
		}
	}
	return out
}

// The room of a step's picture, and the weight of what is sewn in it.
const (
	makingWidth  = 150 * MM
	makingHeight = 42 * MM
	makingHeavy  = 0.9 * MM
)

// Picture draws one step, counted from 1: the pieces that are sewn, what is
// sewn heavy, and a letter on edges that are sewn to each other.
func (m Making) Picture(step int) (Picture, error) {
	if step < 1 || step > len(m.steps) {
		return Picture{}, fmt.Errorf("making of %q has no step %d, want 1 to %d", m.pattern.name, step, len(m.steps))
	}
	var pieces []Piece
	var parts []int
	for i, piece := range m.pattern.pieces {
		if m.touches(step, piece.name) {
			pieces = append(pieces, piece)
			parts = append(parts, m.pattern.parts[i])
		}
	}
	all, scale := m.laid(pieces, parts)
	title := m.steps[step-1].Title
	s := newBoard(title, title+", what is sewn drawn heavy", makingStyle(), scale)
	for _, p := range all {
		s.makingPiece(p)
	}
	for i, pair := range m.pairs[step-1] {
		s.makingPair(all, pair, m.letter(step, i))
		if pair.profile != nil {
			s.profileBeside(all, pair)
		}
	}
	for _, p := range all {
		s.makingNotches(p)
		s.later(func() { s.makingName(p) })
	}
	s.writeAll()
	s.page.Bounds()
	return Picture{s.page, title}, nil
}

// letter marks the edges of one seam; a step of one turned run needs none.
func (m Making) letter(step, pair int) string {
	if len(m.steps[step-1].Seams) == 0 {
		return ""
	}
	return string(rune('A' + pair%26))
}

func (m Making) touches(step int, piece string) bool {
	return slices.ContainsFunc(m.pairs[step-1], func(p makingPair) bool {
		return p.darts == piece || p.pleats == piece || slices.ContainsFunc(p.edges, func(a Along) bool { return a.Piece == piece })
	})
}

// laid lays pieces side by side at the scale of all steps: the tallest piece
// of the pattern is as high as a picture.
func (m Making) laid(pieces []Piece, parts []int) ([]placed, float64) {
	tallest := Length(1)
	for _, p := range m.pattern.pieces {
		tallest = max(tallest, p.outline.Transformed(uprightGrain(p)).Bounds().Height())
	}
	size := sheetSize{width: makingWidth, height: makingHeight * 6, gap: 20 * MM, rowGap: 8 * MM, maxScale: float64(makingHeight / tallest)}
	all := make([]placed, len(pieces))
	for i, p := range pieces {
		all[i] = placed{piece: p, part: parts[i], to: uprightGrain(p)}
		all[i].box = p.outline.Transformed(all[i].to).Bounds()
	}
	return arrangePlaced(all, size)
}

func makingStyle() style {
	s := styleOf(0.8, 2.7, -1)
	s.stitch.Width = 0.2
	s.name.Size = s.edge.Size
	return s
}

// makingPiece draws a piece thin, on its stitch line.
func (s *board) makingPiece(p placed) {
	for _, e := range p.piece.edges {
		pen := s.style.stitch
		switch {
		case e.Name == p.piece.fold:
			pen = s.style.fold
		case p.piece.isMouth(e.Name):
			pen = s.style.mouth
		}
		s.stroke(e.Path.Transformed(p.to), pen)
	}
	s.darts(p)
	s.pleats(p)
}

func (s *board) makingNotches(p placed) {
	for _, n := range p.piece.notches {
		if e, at, err := p.piece.locate(n.Edge, n.At); err == nil {
			s.ticks(p.to.Apply(e.Path.At(at)), p.to.ApplyVector(e.Path.TangentAt(at)), n.Double)
		}
	}
}

// makingPair draws what is sewn heavy, and later names it.
func (s *board) makingPair(all []placed, pair makingPair, letter string) {
	heavy := drawing.Pen{Width: makingHeavy, Color: ink}
	for _, p := range all {
		if p.piece.name == pair.darts {
			for _, d := range p.piece.darts {
				a, b := p.piece.mouth(d)
				s.stroke(Polyline(p.to.Apply(a), p.to.Apply(d.Tip), p.to.Apply(b)), heavy)
				s.later(func() {
					s.labelNear(p.to.Apply(d.Tip), d.Name, s.style.edge, d.Tip.Sub(a.Mid(b)), s.style.gap)
				})
			}
		}
		if p.piece.name == pair.pleats {
			for _, pl := range p.piece.pleats {
				mouth, _ := p.piece.Edge(pl.Mouth)
				path := mouth[0].Path.Transformed(p.to)
				s.stroke(path, heavy)
				s.later(func() {
					s.labelNear(path.At(path.Length()/2), pl.Name, s.style.edge, path.TangentAt(path.Length()/2).Perp().Neg(), s.style.gap)
				})
			}
		}
		for _, a := range pair.edges {
			if a.Piece == p.piece.name {
				s.makingEdge(p, a.Edge, letter, heavy)
			}
		}
	}
}

func (s *board) makingEdge(p placed, edge, letter string, heavy drawing.Pen) {
	parts, err := p.piece.Edge(edge)
	if err != nil {
		return
	}
	var longest Path
	for _, e := range parts {
		path := e.Path.Transformed(p.to)
		s.stroke(path, heavy)
		if path.Length() > longest.Length() {
			longest = path
		}
	}
	words := edge
	if letter != "" {
		words = letter + " · " + edge
	}
	s.later(func() {
		if !s.first(words, s.style.edge, s.alongSide(longest, -1, words, s.style.edge)) {
			middle := longest.Length() / 2
			s.labelNear(longest.At(middle), words, s.style.edge, longest.TangentAt(middle).Perp().Neg(), s.style.gap)
		}
	})
}

// makingName writes the name of a piece in its middle.
func (s *board) makingName(p placed) {
	if !s.nameBlock(p, nil, 0, s.style.gap) && !s.nameBlock(p, nil, 90*Degree, s.style.gap) {
		s.labelNear(p.box.Center(), p.piece.name, s.style.name, Point{}, 0)
	}
}
