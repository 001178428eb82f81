package patternkit

import (
	"fmt"
	"slices"
)

// A NotchMark is a notch as it is cut: from the stitch line, square to it, out
// to the cut line.
type NotchMark struct {
	Notch
	On, Out Point // on the stitch line and on the cut line; the same where the edge is raw
}

// NotchMarks returns the notches of p with where they reach the cut line, in
// the order they were added. Errors are those of CutLine.
func (p Piece) NotchMarks() ([]NotchMark, error) {
	cut, err := p.CutLine()
	if err != nil {
		return nil, err
	}
	return p.notchMarksTo(cut)
}

// notchMarksTo is NotchMarks with the cut line at hand.
func (p Piece) notchMarksTo(cut Path) ([]NotchMark, error) {
	marks := make([]NotchMark, len(p.notches))
	for i, n := range p.notches {
		e, at, err := p.locate(n.Edge, n.At)
		if err != nil {
			return nil, err
		}
		width, err := p.Allowance(n.Edge)
		if err != nil {
			return nil, err
		}
		on := e.Path.At(at)
		marks[i] = NotchMark{Notch: n, On: on, Out: outTo(cut, on, e.Path.TangentAt(at).Perp().Neg(), width.Width)}
	}
	return marks, nil
}

// outTo is where a line out from the stitch line first comes to the cut line,
// which is not much further than the allowance.
func outTo(cut Path, on, out Point, width Length) Point {
	if width == 0 {
		return on
	}
	ray := Line(on, on.Add(out.Scale(float64(3*width))))
	if at, ok := startingOn(cut, ray, on); ok {
		return at.Start()
	}
	_, at := cut.Nearest(on.Add(out.Scale(float64(width))))
	return at
}

// FoldLines returns the lines along which folded back edges are turned up, from
// cut line to cut line, each edge's from the finished edge out: "hem fold", and
// "hem fold 2" where it is turned twice. An edge in parts, with dart mouths
// between, has lines for its first and its last part that end at the mouths.
// Errors are those of CutLine.
func (p Piece) FoldLines() ([]Edge, error) {
	if !slices.ContainsFunc(p.Allowances(), Allowance.turnedUp) {
		return nil, nil
	}
	cut, err := p.CutLine()
	if err != nil {
		return nil, err
	}
	return p.foldLinesTo(cut)
}

// foldLinesTo is FoldLines with the cut line at hand.
func (p Piece) foldLinesTo(cut Path) ([]Edge, error) {
	var lines []Edge
	for _, a := range p.Allowances() {
		if !a.turnedUp() {
			continue
		}
		own, err := p.foldsOf(a, cut)
		if err != nil {
			return nil, err
		}
		lines = append(lines, own...)
	}
	return lines, nil
}

// foldsOf are the fold lines of one edge, numbered.
func (p Piece) foldsOf(a Allowance, cut Path) ([]Edge, error) {
	parts, err := p.Edge(a.Edge)
	if err != nil {
		return nil, err
	}
	var lines []Edge
	for i, part := range parts {
		var depth Length
		for _, width := range a.strips() {
			line, err := part.Path.Parallel(depth, cutTolerance)
			if err != nil {
				return nil, fmt.Errorf("piece %q: fold of %q: %w", p.name, a.Edge, err)
			}
			name := a.Edge + " fold"
			if n := len(lines); n > 0 {
				name = fmt.Sprintf("%s %d", name, n+1)
			}
			lines = append(lines, Edge{name, toCutLine(line, cut, 2*a.Width+5*CM, i == 0, i == len(parts)-1)})
			depth += width
		}
	}
	return lines, nil
}

// toCutLine runs a line on, or cuts it back, to where it crosses the cut line
// at those of its ends that are the ends of its edge.
func toCutLine(line, cut Path, reach Length, first, last bool) Path {
	if first {
		if at, ok := startingOn(cut, lengthened(line, reach), line.Start()); ok {
			line = at
		}
	}
	if last {
		if at, ok := endingOn(cut, lengthenedOn(line, reach), line.End()); ok {
			line = at
		}
	}
	return line
}

// Labels returns what is written on each piece of cloth or paper cut from p:
// its name, how often it is cut, the cloth, and the size where one is given.
func (p Piece) Labels(size string) []string {
	labels := []string{p.name, p.cutWords()}
	if p.material != "" {
		labels = append(labels, p.material)
	}
	if size != "" {
		labels = append(labels, "size "+size)
	}
	return labels
}

// cutWords says how often the piece is cut: "cut 1, on the fold".
func (p Piece) cutWords() string {
	words := fmt.Sprintf("cut %d", p.quantity)
	note := p.cutNote
	if note == "" && p.fold != "" {
		note = "on the fold"
	}
	if note != "" {
		words += ", " + note
	}
	return words
}

// CutArea returns the area of cloth inside the cut line in mm², of the whole
// piece opened out where it is cut on the fold, for each time it is cut. Errors
// are those of CutLine.
func (p Piece) CutArea() (float64, error) {
	cut, err := p.CutLine()
	if err != nil {
		return 0, err
	}
	if p.fold != "" {
		return 2 * cut.Area(), nil
	}
	return cut.Area(), nil
}
