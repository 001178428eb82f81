package patternkit

import (
	"fmt"
	"slices"
)

// GradedBy moves the points of p, which is the base size, by the rules of a
// table and returns every size. Corners and handles of the outline without a
// rule follow the nearest ones with a rule before and after them along the
// stitch line, in proportion to the way between; so do named points and ends
// of inner lines that lie on it. The tip of a dart without a rule follows the
// middle of its mouth; any other point inside the piece without a rule stands
// still. Notches without a step keep their share of their edge. A piece
// without any rule has one size for all.
//
// A rule for a piece or point that p does not have is an error, and so is a
// size whose outline would cross itself. Walk the sizes afterwards: rules made
// by hand need not let seams meet.
func (p Pattern) GradedBy(t RuleTable) (Graded, error) {
	if len(p.pieces) == 0 || len(t.sizes) == 0 {
		return Graded{}, fmt.Errorf("grading pattern %q by a table of %d sizes, want a pattern with pieces and at least 2 sizes", p.name, len(t.sizes))
	}
	if err := t.checkNames(p); err != nil {
		return Graded{}, err
	}
	g := Graded{name: p.name, base: t.base}
	moves := make([][][]Point, len(p.pieces))
	for i, piece := range p.pieces {
		moves[i] = t.moves(piece)
	}
	for size, name := range t.sizes {
		q, err := t.sizeOf(p, moves, size)
		if err != nil {
			return Graded{}, fmt.Errorf("grading by rules, size %s: %w", name, err)
		}
		g.sizes = append(g.sizes, gradedSize{name: name, pattern: q})
	}
	return g, nil
}

func (t RuleTable) checkNames(p Pattern) error {
	for _, r := range t.rules {
		piece, err := p.Piece(r.Piece)
		if err != nil {
			return fmt.Errorf("grade rule of %q: %w", r.Point, err)
		}
		if !slices.ContainsFunc(piece.gradePlaces(), func(q gradePlace) bool { return q.name == r.Point || placeApart(q.name) == r.Point }) {
			return fmt.Errorf("grade rule: piece %q has no point %q, it has %s", r.Piece, r.Point, quoted(piece.GradePoints()))
		}
	}
	return nil
}

// from is what steps add up to from the base size to a size.
func (t RuleTable) from(steps []Length, size int) Length {
	sum := Length(0)
	for i := t.base; i < size; i++ {
		sum += steps[i]
	}
	for i := size; i < t.base; i++ {
		sum -= steps[i]
	}
	return sum
}

// sizeOf builds one size of the whole pattern.
func (t RuleTable) sizeOf(p Pattern, moves [][][]Point, size int) (Pattern, error) {
	pieces := make([]Piece, len(p.pieces))
	for i, piece := range p.pieces {
		places := piece.gradePlaces()
		at := make([]Point, len(places))
		for k, q := range places {
			at[k] = q.at.Add(moves[i][size][k])
		}
		moved, err := piece.withPlaces(at, t.notchesAt(piece, size))
		if err != nil {
			return Pattern{}, err
		}
		if pieces[i], err = t.proportionalNotches(piece, moved); err != nil {
			return Pattern{}, err
		}
	}
	seams := append([]Seam(nil), p.seams...)
	for i := range seams {
		if steps := t.eases[seams[i].Name]; steps != nil {
			seams[i].Ease += t.from(steps, size)
		}
		seams[i].Shares = slices.Clone(seams[i].Shares)
		for k, share := range seams[i].Shares {
			if steps := t.shares[gradeKey{seams[i].Name, share.Upto}]; steps != nil {
				seams[i].Shares[k].Ease += t.from(steps, size)
			}
		}
	}
	return p.withSeams(seams, pieces...)
}

func (t RuleTable) notchesAt(p Piece, size int) []Length {
	at := make([]Length, len(p.notches))
	for i, n := range p.notches {
		at[i] = n.At
		if steps := t.notches[gradeKey{p.name, notchName(n)}]; steps != nil {
			at[i] += t.from(steps, size)
		}
	}
	return at
}

// proportionalNotches puts the notches without steps of their own at the same
// share of their edges as in the base.
func (t RuleTable) proportionalNotches(base, moved Piece) (Piece, error) {
	for i, n := range base.notches {
		if t.notches[gradeKey{base.name, notchName(n)}] != nil {
			continue
		}
		was, err := base.EdgeLength(n.Edge)
		if err != nil {
			return Piece{}, err
		}
		is, err := moved.EdgeLength(n.Edge)
		if err != nil {
			return Piece{}, err
		}
		moved.notches[i].At = n.At * is / was
	}
	return moved, nil
}

// moves lists for each size how far each place of a piece is from that of the
// base.
func (t RuleTable) moves(p Piece) [][]Point {
	places := p.gradePlaces()
	ruled := make([]int, len(places)) // the rule of each place, or -1
	taken := map[string]bool{}
	for k, q := range places {
		ruled[k] = -1
		if at := t.find(p.name, q.name); at >= 0 {
			ruled[k] = at
		}
		if apart := t.find(p.name, placeApart(q.name)); apart >= 0 && taken[q.name] {
			ruled[k] = apart
		}
		taken[q.name] = true
	}
	all := make([][]Point, len(t.sizes))
	for size := range all {
		m := gradeMoves{piece: p, places: places, ruled: ruled}
		for _, r := range t.rules {
			m.rules = append(m.rules, t.pointFrom(r.Steps, size))
		}
		all[size] = m.all()
	}
	return all
}

func (t RuleTable) pointFrom(steps []Point, size int) Point {
	var sum Point
	for i := t.base; i < size; i++ {
		sum = sum.Add(steps[i])
	}
	for i := size; i < t.base; i++ {
		sum = sum.Sub(steps[i])
	}
	return sum
}

// gradeMoves finds how far the places of a piece move in one size.
type gradeMoves struct {
	piece  Piece
	places []gradePlace
	ruled  []int
	rules  []Point // how far each rule of the table moves its point
}

func (m gradeMoves) all() []Point {
	out := make([]Point, len(m.places))
	for k, q := range m.places {
		switch {
		case m.ruled[k] >= 0:
			out[k] = m.rules[m.ruled[k]]
		case q.along >= 0:
			out[k] = m.between(q.along)
		default:
			out[k] = m.inside(q)
		}
	}
	return out
}

// between is the move at a length along the outline, from those of the ruled
// places before and after.
func (m gradeMoves) between(along Length) Point {
	total := m.piece.outline.Length()
	before, after := total, total
	var from, to Point
	found := false
	for k, q := range m.places {
		if q.along < 0 || m.ruled[k] < 0 {
			continue
		}
		found = true
		if back := wayRound(along-q.along, total); back < before {
			before, from = back, m.rules[m.ruled[k]]
		}
		if ahead := wayRound(q.along-along, total); ahead < after {
			after, to = ahead, m.rules[m.ruled[k]]
		}
	}
	if !found || before+after == 0 {
		return from
	}
	return from.Lerp(to, float64(before/(before+after)))
}

// wayRound brings a way along an outline into 0 to its length.
func wayRound(s, total Length) Length {
	if s < 0 {
		s += total
	}
	return s
}

// inside is the move of a place without a rule that is no part of the outline.
func (m gradeMoves) inside(q gradePlace) Point {
	for _, d := range m.piece.darts {
		if q.name == "tip of "+d.Name {
			start, end := m.piece.mouth(d)
			return m.onOutline(start).Mid(m.onOutline(end))
		}
	}
	if m.piece.outline.Dist(q.at) <= 0.01*MM {
		return m.onOutline(q.at)
	}
	return Point{}
}

func (m gradeMoves) onOutline(at Point) Point {
	for k, q := range m.places {
		if q.along >= 0 && q.at.Dist(at) <= joinTolerance && m.ruled[k] >= 0 {
			return m.rules[m.ruled[k]]
		}
	}
	s, _ := m.piece.outline.Nearest(at)
	return m.between(s)
}
