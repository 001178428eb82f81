package patternkit

import (
	"fmt"
	"slices"
	"strings"

	"patternkit/patternkit/drawing"
)

// writeOn writes on one piece and beside it, what matters most first.
func (s *board) writeOn(p placed, o PictureOptions) {
	s.foldLabel(p)
	s.nameOf(p)
	s.edgeLabels(p)
	s.dartLabels(p)
	s.pleatLabels(p)
	s.internalLabels(p)
	for _, h := range p.piece.drills {
		s.labelNear(p.to.Apply(h.At), h.Name, s.style.small, Point{}, s.style.gap+s.style.mark/2)
	}
	if o.Points {
		s.pointLabels(p)
	}
}

// foldLabel writes between the fold and its mark, or beside a fold edge that
// is too short for a mark.
func (s *board) foldLabel(p placed) {
	edge := s.foldEdge(p)
	if edge.Empty() {
		return
	}
	if bracket := s.foldBracket(p); !bracket.Empty() {
		along := edge.End().Sub(edge.Start()).Direction()
		s.text(foldWords, s.style.small, spot{bracket.Bounds().Center(), upright(along)})
		return
	}
	if !s.first(foldWords, s.style.small, s.alongSide(edge, 1, foldWords, s.style.small)) {
		s.labelNear(edge.At(edge.Length()/2), foldWords, s.style.small, Point{}, 0)
	}
}

// edgeLabels writes the name and length of each trade edge beside its longest
// part.
func (s *board) edgeLabels(p placed) {
	for _, name := range p.piece.EdgeNames() {
		if p.piece.isMouth(name) {
			continue
		}
		parts, err := p.piece.Edge(name)
		if err != nil {
			continue
		}
		longest := parts[0].Path
		total := Length(0)
		for _, e := range parts {
			total += e.Path.Length()
			if e.Path.Length() > longest.Length() {
				longest = e.Path
			}
		}
		path := longest.Transformed(p.to)
		words := fmt.Sprintf("%s %s", name, total)
		if note := s.edgeNotes[edgeOn{p.group, Along{Piece: p.piece.name, Edge: name}}]; note != "" {
			words += ", " + note
		}
		if s.first(words, s.style.edge, s.alongSide(path, s.nameSide(p), words, s.style.edge)) {
			continue
		}
		middle := path.Length() / 2
		s.labelNear(path.At(middle), words, s.style.edge, path.TangentAt(middle).Perp().Neg(), 0)
	}
}

// dartLabels writes the name and width of each dart along the leg beside
// which there is most room, or at its tip where there is none.
func (s *board) dartLabels(p placed) {
	for _, d := range p.piece.darts {
		a, b := p.piece.mouth(d)
		start, end, tip := p.to.Apply(a), p.to.Apply(b), p.to.Apply(d.Tip)
		words := fmt.Sprintf("%s %s", d.Name, a.Dist(b))
		var spots []spot
		for _, leg := range []struct {
			path Path
			side float64
		}{{Line(start, tip), 1}, {Line(end, tip), -1}} {
			for _, t := range []Length{0.5, 0.4, 0.6, 0.3} {
				if at, ok := s.beside(leg.path, leg.path.Length()*t, leg.side, words, s.style.small); ok {
					spots = append(spots, at)
				}
			}
		}
		if !s.roomiest(words, s.style.small, spots) {
			words = fmt.Sprintf("%s\n%s", d.Name, a.Dist(b))
			s.labelNear(tip, words, s.style.small, tip.Sub(start.Mid(end)), s.style.gap+s.style.mark/2)
		}
	}
}

// internalLabels writes the name of each line beside it, where there is most
// room; that of a line in parts once, beside one of them.
func (s *board) internalLabels(p placed) {
	for _, e := range p.piece.internals {
		if p.piece.pleatLine(e.Name) != "" || p.piece.partOfLine(e.Name) != e.Name {
			continue
		}
		var spots []spot
		longest := Path{}
		for _, part := range p.piece.internals {
			if p.piece.partOfLine(part.Name) != e.Name {
				continue
			}
			path := part.Path.Transformed(p.to)
			spots = append(spots, s.besideLine(path, e.Name)...)
			if path.Length() > longest.Length() {
				longest = path
			}
		}
		if !s.roomiest(e.Name, s.style.small, spots) {
			s.labelNear(longest.At(longest.Length()/2), e.Name, s.style.small, Point{}, 0)
		}
	}
}

// besideLine returns spots all along a line on both sides.
func (s *board) besideLine(path Path, words string) []spot {
	var spots []spot
	for _, side := range []float64{1, -1} {
		for t := Length(0.15); t < 0.9; t += 0.1 {
			if at, ok := s.beside(path, path.Length()*t, side, words, s.style.small); ok {
				spots = append(spots, at)
			}
		}
	}
	return spots
}

// partOfLine is the name of the line that a line is a part of, its own where it
// is whole: an operation that cuts "bust line" calls its further part
// "bust line 2".
func (p Piece) partOfLine(name string) string {
	if plain := plainName(name); p.hasInternal(plain) {
		return plain
	}
	return name
}

func (s *board) pointLabels(p placed) {
	middle := p.box.Center()
	for _, q := range p.piece.points {
		at := p.to.Apply(q.At)
		s.labelNear(at, q.Name, s.style.small, at.Sub(middle), s.style.gap)
	}
}

// nameOf writes what the piece is and how often it is cut into the clearest
// place of the piece: level, or along the grain where there is more room
// between lines, there as two lines if need be. Where not all fits, what the
// edges are cut with goes under the key or beside the piece, and where not even
// its name does, that too.
func (s *board) nameOf(p placed) {
	first, rest := p.piece.cutLines(), s.caption
	if p.hasCut() {
		rest = p.allowanceLines()
	}
	if p.note != "" {
		first = append(strings.Split(p.note, "\n"), first...)
	}
	lines := slices.Concat(first, rest)
	tight := 0.9 * s.style.gap
	roomy := tight
	if s.lists && len(rest) > 0 {
		roomy = s.style.edge.Size + 0.8*s.style.gap // an edge is named beside it
	}
	if s.nameBlock(p, lines, 0, roomy) || s.nameBlock(p, lines, 90*Degree, roomy) ||
		s.nameBlock(p, []string{strings.Join(lines, "; ")}, 90*Degree, roomy) {
		return
	}
	inside := s.nameBlock(p, first, 0, tight) || s.nameBlock(p, first, 90*Degree, tight)
	switch {
	case !inside:
		words := strings.Join(append([]string{p.piece.name}, lines...), "\n")
		s.labelNear(p.box.Center(), words, s.style.small, Point{}, 0)
	case s.lists:
		words := strings.Join(rest, "; ")
		if p.hasCut() {
			words = "allowance " + p.piece.allowanceWords() // not yet broken into lines
		}
		s.outside = append(s.outside, pieceWords{p.piece.name, words})
	case len(rest) > 0:
		s.labelNear(p.box.Center(), strings.Join(rest, "\n"), s.style.small, Point{}, 0)
	}
}

// pieceWords are words about a piece that found no room on it.
type pieceWords struct{ piece, words string }

// listOutside lists them, pieces of which the same is said together.
func (s *board) listOutside() {
	for len(s.outside) > 0 {
		words := s.outside[0].words
		var names []string
		s.outside = slices.DeleteFunc(s.outside, func(w pieceWords) bool {
			if w.words == words {
				names = append(names, w.piece)
			}
			return w.words == words
		})
		if words != "" {
			s.listed = append(s.listed, strings.Join(names, ", ")+": "+words)
		}
	}
}

// nameBlock writes the name of a piece with lines under it into the clearest
// place, and reports whether there is one with so much room around.
func (s *board) nameBlock(p placed, lines []string, angle Angle, clear Length) bool {
	width := drawing.TextWidth(p.piece.name, s.style.name)
	for _, l := range lines {
		width = max(width, drawing.TextWidth(l, s.style.small))
	}
	head, step := s.style.name.Size, s.style.small.Size*1.25
	height := head + step*Length(len(lines))
	half := Pt(width/2, height/2)
	if angle != 0 {
		half = Pt(half.Y, half.X)
	}
	middle, ok := s.clearPlace(p, half, clear)
	if !ok {
		return false
	}
	up := func(y Length) spot { return spot{middle.Add(Pt(0, y).Rotated(angle)), angle} }
	y := height/2 - head*0.45
	s.text(p.piece.name, s.style.name, up(y))
	y -= head * 0.1
	for _, l := range lines {
		y -= step
		s.text(l, s.style.small, up(y))
	}
	return true
}

// cutLines says how often the piece is cut and from what.
func (p Piece) cutLines() []string { return p.Labels("")[1:] }
