package patternkit

import (
	"fmt"
	"strings"
)

// pleatLine returns the kind of a line that a pleat is folded along, "" for
// another line on the piece.
func (p Piece) pleatLine(name string) string {
	for _, pl := range p.pleats {
		if kind := pl.line(name); kind != "" {
			return kind
		}
	}
	return ""
}

// line returns the kind of a line of the pleat: "fold line" of "side pleat fold
// line 2".
func (pl Pleat) line(name string) string {
	rest, ok := strings.CutPrefix(name, pl.Name+" ")
	if !ok {
		return ""
	}
	rest = strings.TrimRight(rest, " 0123456789")
	for _, l := range pl.Kind.foldLines(pl.TowardStart) {
		if l.name == rest {
			return rest
		}
	}
	return ""
}

// pleatTurns are the arrows of a pleat, from a line to the line on which it
// comes to lie, by their places across the pleat.
func (pl Pleat) pleatTurns() [][2]float64 {
	switch {
	case pl.Kind == BoxPleat:
		return [][2]float64{{0.25, 0}, {0.75, 1}}
	case pl.Kind == InvertedPleat:
		return [][2]float64{{0, 0.5}, {1, 0.5}}
	case pl.Kind == Tuck && pl.TowardStart:
		return [][2]float64{{0.5, 0}}
	case pl.Kind == Tuck:
		return [][2]float64{{0.5, 1}}
	case pl.TowardStart:
		return [][2]float64{{1, 0}}
	}
	return [][2]float64{{0, 1}}
}

// pleatPaths returns the lines of a pleat in the order of its fold lines, none
// where a cut has taken some away.
func (p Piece) pleatPaths(pl Pleat) []Path {
	var lines []Path
	for _, e := range p.internals {
		if pl.line(e.Name) != "" {
			lines = append(lines, e.Path)
		}
	}
	if len(lines) != len(pl.Kind.foldLines(pl.TowardStart)) {
		return nil
	}
	return lines
}

// pleatPathAt returns the line at a place across a pleat.
func (p Piece) pleatPathAt(pl Pleat, at float64) Path {
	paths := p.pleatPaths(pl)
	for i, l := range pl.Kind.foldLines(pl.TowardStart) {
		if i < len(paths) && l.at == at {
			return paths[i]
		}
	}
	return Path{}
}

// pleats draws which way each pleat is folded: an arrow from its fold to where
// the fold comes to lie.
func (s *board) pleats(p placed) {
	for _, pl := range p.piece.pleats {
		for _, turn := range pl.pleatTurns() {
			from, to := p.piece.pleatPathAt(pl, turn[0]).Transformed(p.to), p.piece.pleatPathAt(pl, turn[1]).Transformed(p.to)
			if from.Empty() || to.Empty() {
				continue
			}
			in := min(8*s.style.mark, from.Length()/3, to.Length()/3)
			a, b := from.At(in), to.At(in)
			along := b.Sub(a)
			head := min(2*s.style.mark, 0.6*along.Norm())
			s.stroke(Line(a, b.Sub(along.Unit().Scale(float64(head)/2))), s.style.grain)
			s.arrow(b, along, head)
			s.shown[meansPressed] = true
		}
	}
}

// pleatLabels writes what each pleat is and what it takes beside one of its
// lines.
func (s *board) pleatLabels(p placed) {
	for _, pl := range p.piece.pleats {
		take, err := p.piece.PleatTake(pl.Name)
		if err != nil {
			continue
		}
		words := fmt.Sprintf("%s takes %s", pl.Name, take)
		var spots []spot
		for _, path := range p.piece.pleatPaths(pl) {
			path = path.Transformed(p.to)
			for _, side := range []float64{1, -1} {
				for t := Length(0.3); t < 0.9; t += 0.1 {
					if at, ok := s.beside(path, path.Length()*t, side, words, s.style.small); ok {
						spots = append(spots, at)
					}
				}
			}
		}
		if !s.roomiest(words, s.style.small, spots) {
			mouth, err := p.piece.Edge(pl.Mouth)
			if err != nil {
				continue
			}
			path := mouth[0].Path.Transformed(p.to)
			s.labelNear(path.At(path.Length()/2), words, s.style.small, path.TangentAt(path.Length()/2).Perp().Neg(), 0)
		}
	}
}
