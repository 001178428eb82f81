package patternkit

import (
	"fmt"
	"math"
	"slices"

	"patternkit/patternkit/geom"
)

// kinkTolerance is how far a curve may turn at a joint of its segments and
// still be called smooth (common practice, no source).
const kinkTolerance = 1 * Degree

// SmoothEdge returns p with an edge redrawn without the kinks that spreading
// or a closed dart has left: one fair curve through the middle of each opening
// that spreading has left, or of each stretch between kinks where there is no
// opening, with the same ends, which it leaves in the same direction. So the
// edge cuts the corners of the kinked one, and its length changes a little.
// Notches keep their share of it.
//
// Between names two notches of the edge: then the edge is redrawn from the one
// to the other alone. It runs on from what lies outside them, which stays as
// it is, with its notches and the two; notches within keep their share of what
// is redrawn.
//
// Where there are no kinks the edge stays as it is. It is an error where the
// edge is in parts, where it has no such notch, and where one notch is named or
// more than two.
func (p Piece) SmoothEdge(edge string, between ...string) (Piece, error) {
	parts, err := p.run(edge)
	if err != nil {
		return Piece{}, err
	}
	if len(parts) != 1 {
		return Piece{}, fmt.Errorf("piece %q: edge %q is in %d parts with darts or pleats between them, want one part to redraw", p.name, edge, len(parts))
	}
	path := p.edges[parts[0]].Path
	from, to, err := p.stretchBetween(edge, path.Length(), between)
	if err != nil {
		return Piece{}, err
	}
	s, err := stretchOf(path, from, to)
	if err != nil {
		return Piece{}, fmt.Errorf("piece %q: edge %q: %w", p.name, edge, err)
	}
	if len(unkinked(s.within)) < 2 {
		return p, nil
	}
	fair := s.fair()
	c := opened(p)
	e := &c.edges[parts[0]]
	if e.Path, err = s.before.Append(fair, s.after); err != nil {
		return Piece{}, fmt.Errorf("edge %q redrawn: %w", edge, err)
	}
	for i := range e.notches {
		e.notches[i].s = redrawnAt(e.notches[i].s, from, to, fair.Length())
	}
	out, err := c.piece(p)
	if err != nil {
		return Piece{}, fmt.Errorf("edge %q redrawn: %w", edge, err)
	}
	return out, nil
}

// stretchBetween returns from where to where along an edge the two named
// notches lie, the whole edge where none is named.
func (p Piece) stretchBetween(edge string, length Length, between []string) (from, to Length, err error) {
	if len(between) == 0 {
		return 0, length, nil
	}
	if len(between) != 2 {
		return 0, 0, fmt.Errorf("piece %q: edge %q is to be redrawn between %s, want two of its notches, or none for all of it", p.name, edge, quoted(between))
	}
	var at [2]Length
	for i, name := range between {
		k := slices.IndexFunc(p.notches, func(n Notch) bool { return n.Edge == edge && n.Name == name })
		if k < 0 {
			return 0, 0, fmt.Errorf("piece %q: edge %q has no notch %q, it has %s", p.name, edge, name, quoted(p.notchNames(edge)))
		}
		at[i] = p.notches[k].At
	}
	return min(at[0], at[1]), max(at[0], at[1]), nil
}

func (p Piece) notchNames(edge string) []string {
	var names []string
	for _, n := range p.notches {
		if n.Edge == edge {
			names = append(names, n.Name)
		}
	}
	return names
}

// An edgeStretch is a stretch of an edge with what lies before it and after it,
// either of them empty at an end of the edge.
type edgeStretch struct{ before, within, after Path }

func stretchOf(path Path, from, to Length) (edgeStretch, error) {
	var s edgeStretch
	var err error
	if s.within, err = path.Between(from, to); err != nil {
		return s, err
	}
	if from > joinTolerance {
		if s.before, err = path.Between(0, from); err != nil {
			return s, err
		}
	}
	if length := path.Length(); to < length-joinTolerance {
		s.after, err = path.Between(to, length)
	}
	return s, err
}

// fair is one curve through the knots of the stretch. It runs on from what lies
// before it and into what lies after it; at an end of the edge it keeps the
// direction.
func (s edgeStretch) fair() Path {
	points := append([]Point{s.within.Start()}, s.knots()...)
	points = append(points, s.within.End())
	first, last := s.within.TangentAt(0), s.within.TangentAt(s.within.Length())
	if !s.before.Empty() {
		first = s.before.TangentAt(s.before.Length())
	}
	if !s.after.Empty() {
		last = s.after.TangentAt(0)
	}
	return geom.Spline(points, &first, &last)
}

// knots are the middles of what lies between kinks: of the openings, which are
// straight, and where there are none of every part. A part that is joined to
// the rest of the edge has none, so that the curve is free to leave it.
func (s edgeStretch) knots() []Point {
	parts := unkinked(s.within)
	if !s.after.Empty() {
		parts = parts[:len(parts)-1]
	}
	if !s.before.Empty() {
		parts = parts[1:]
	}
	openings := slices.DeleteFunc(slices.Clone(parts), func(p Path) bool { return !isStraight(p) })
	if len(openings) > 0 {
		parts = openings
	}
	points := make([]Point, len(parts))
	for i, p := range parts {
		points[i] = p.At(p.Length() / 2)
	}
	return points
}

func isStraight(p Path) bool { return p.Length()-p.Start().Dist(p.End()) < joinTolerance }

// redrawnAt is where a notch lies once the stretch from one length to another
// has a new length: those outside stay in their places.
func redrawnAt(at, from, to, length Length) Length {
	switch {
	case at <= from:
		return at
	case at >= to:
		return at + length - (to - from)
	}
	return from + (at-from)*length/(to-from)
}

// unkinked parts a path at its kinks.
func unkinked(path Path) []Path {
	var out []Path
	for _, g := range path.Segments() {
		next, err := geom.PathOf(g)
		if err != nil || next.Length() <= joinTolerance {
			continue
		}
		if len(out) > 0 {
			last := &out[len(out)-1]
			turn := last.TangentAt(last.Length()).AngleTo(next.TangentAt(0))
			if joined, err := last.Append(next); err == nil && math.Abs(float64(turn)) <= float64(kinkTolerance) {
				*last = joined
				continue
			}
		}
		out = append(out, next)
	}
	return out
}
