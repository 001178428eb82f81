package patternkit

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// A GradeReference is what stands still in a piece from size to size: the rules
// of the piece are measured from it, and its nest is stacked on it. Point names
// one of Piece.GradePoints, or a line: an edge, a line drawn inside such as
// "bust line", or "grainline". A line lies on itself in every size with its end
// that is nearer the fold, without a fold with its start.
//
// A piece may have two references: the first is then a line, which lies on
// itself, and the second, a point or another line, says where along it. The
// sizes are moved and never turned, so a line that slopes otherwise in another
// size touches where it is held.
type GradeReference struct {
	Piece, Point string
}

// leastCrossing is the sine of the least angle at which two lines that stand
// still may cross: under 10° a millimetre of one is six of the other.
var leastCrossing = math.Sin(10 * math.Pi / 180)

// A gradeHold is a point that stands still or a line, with the end at which it
// is held.
type gradeHold struct {
	at    Point
	along Point // direction of a line, zero for a point
}

// gradeHold finds what a reference names.
func (p Piece) gradeHold(name string) (gradeHold, error) {
	for _, q := range p.gradePlaces() {
		if q.name == name {
			return gradeHold{at: q.at}, nil
		}
	}
	for _, e := range p.internals {
		if e.Name == name {
			return p.heldLine(name, e.Path.Start(), e.Path.End())
		}
	}
	if a, b, ok := p.Grainline(); ok && name == "grainline" {
		return p.heldLine(name, a, b)
	}
	if parts, err := p.run(name); err == nil {
		return p.heldLine(name, p.edges[parts[0]].Path.Start(), p.edges[parts[len(parts)-1]].Path.End())
	}
	return gradeHold{}, fmt.Errorf("grade reference: piece %q has no point %q, it has %s; nor is it one of its edges and lines %s",
		p.name, name, quoted(p.GradePoints()), quoted(p.gradeLines()))
}

// gradeLines lists the lines that may stand still.
func (p Piece) gradeLines() []string {
	names := append(p.EdgeNames(), namesOf(p.internals, edgeName)...)
	if p.hasGrain {
		names = append(names, "grainline")
	}
	return names
}

func (p Piece) heldLine(name string, start, end Point) (gradeHold, error) {
	if start.Dist(end) < shortestEdge {
		return gradeHold{}, fmt.Errorf("grade reference: %q of piece %q ends where it starts, want a line that leads somewhere", name, p.name)
	}
	h := gradeHold{at: start, along: end.Sub(start).Unit()}
	if parts, err := p.Edge(p.fold); err == nil && parts[0].Path.Dist(end) < parts[0].Path.Dist(start) {
		h.at = end
	}
	return h, nil
}

// A gradeFrame is what stands still in a piece, as two directions in which its
// sizes are held.
type gradeFrame struct {
	names   []string
	normals [2]Point
}

// gradeFrame returns what references hold in the base size, and false where
// none is of this piece.
func (p Piece) gradeFrame(references []GradeReference) (gradeFrame, bool, error) {
	f := gradeFrame{normals: [2]Point{Pt(1, 0), Pt(0, 1)}}
	for _, r := range references {
		if r.Piece == p.name {
			f.names = append(f.names, r.Point)
		}
	}
	var holds []gradeHold
	for _, name := range f.names {
		h, err := p.gradeHold(name)
		if err != nil {
			return gradeFrame{}, false, err
		}
		holds = append(holds, h)
	}
	switch {
	case len(holds) < 2:
		return f, len(holds) == 1, nil
	case len(holds) > 2:
		return gradeFrame{}, false, fmt.Errorf("grade reference: piece %q has %d, %s, want one or two", p.name, len(holds), quoted(f.names))
	case holds[0].along == (Point{}):
		return gradeFrame{}, false, fmt.Errorf("grade reference: the point %q of piece %q stands still by itself, want no second reference, or a line first", f.names[0], p.name)
	}
	f.normals = [2]Point{holds[0].along.Perp(), holds[0].along}
	if holds[1].along != (Point{}) {
		f.normals[1] = holds[1].along.Perp()
	}
	if crossing := f.normals[0].Cross(f.normals[1]); math.Abs(crossing) < leastCrossing {
		return gradeFrame{}, false, fmt.Errorf("grade reference: %q and %q of piece %q run nearly the same way, want lines that cross by 10° or more", f.names[0], f.names[1], p.name)
	}
	return f, true, nil
}

// still is the point of a size that is held.
func (f gradeFrame) still(p Piece) (Point, error) {
	if len(f.names) == 0 {
		return Point{}, nil
	}
	var holds [2]gradeHold
	for i := range holds {
		var err error
		if holds[i], err = p.gradeHold(f.names[min(i, len(f.names)-1)]); err != nil {
			return Point{}, err
		}
	}
	a, b := f.normals[0], f.normals[1]
	c, d := holds[0].at.Dot(a), holds[1].at.Dot(b)
	det := a.Cross(b)
	return Pt(Length((c*float64(b.Y)-d*float64(a.Y))/det), Length((d*float64(a.X)-c*float64(b.X))/det)), nil
}

// move brings what is held in a size onto where it is in the base.
func (f gradeFrame) move(p, base Piece) (Point, error) {
	from, err := f.still(p)
	if err != nil {
		return Point{}, err
	}
	to, err := f.still(base)
	return to.Sub(from), err
}

// referenceWords say from where the rules of each piece are measured.
func referenceWords(references []GradeReference) string {
	var words, pieces []string
	for _, r := range references {
		if at := slices.Index(pieces, r.Piece); at >= 0 {
			words[at] += " and " + r.Point
			continue
		}
		pieces, words = append(pieces, r.Piece), append(words, fmt.Sprintf("%s from its %s", r.Piece, r.Point))
	}
	return strings.Join(words, ", ")
}
