package patternkit

import (
	"fmt"
	"math"
	"strings"
)

// Transformed returns p moved, turned, mirrored or scaled with everything on
// it. A mirroring transform turns the order of the outline round, so that it
// runs counterclockwise still; each edge then starts where it ended, and
// notches are measured from there. A transform that flattens the plane, or
// that makes a dart's legs unequal by more than 1 mm, is an error.
func (p Piece) Transformed(t Transform) (Piece, error) {
	turns := t.Determinant()
	if !(math.Abs(turns) > 1e-9) || math.IsInf(turns, 0) {
		return Piece{}, fmt.Errorf("piece %q: the transform multiplies areas by %v, want one that keeps the piece flat and whole", p.name, turns)
	}
	out := p
	out.edges = transformedEdges(p.edges, t)
	out.internals = make([]Edge, len(p.internals))
	for i, e := range p.internals {
		out.internals[i] = Edge{e.Name, e.Path.Transformed(t)}
	}
	outline, err := checkEdges(p.name, out.edges)
	if err != nil {
		return Piece{}, err
	}
	out.outline = outline
	out.points, out.drills = transformedPoints(p.points, t), transformedPoints(p.drills, t)
	out.pressed = transformedPoints(p.pressed, t)
	out.grain = [2]Point{t.Apply(p.grain[0]), t.Apply(p.grain[1])}
	darts := append([]Dart(nil), p.darts...)
	for i := range darts {
		darts[i].Tip = t.Apply(darts[i].Tip)
	}
	out.darts = nil
	if out, err = out.WithDart(darts...); err != nil {
		return Piece{}, err
	}
	out.pleats = p.Pleats()
	for i := range out.pleats {
		out.pleats[i].TowardStart = out.pleats[i].TowardStart != (turns < 0) // the outline runs the other way
	}
	out.notches = make([]Notch, len(p.notches))
	for i, n := range p.notches {
		if out.notches[i], err = p.transformedNotch(n, t); err != nil {
			return Piece{}, err
		}
	}
	return out, nil
}

// transformedEdges keeps the outline counterclockwise and its start in place.
func transformedEdges(edges []Edge, t Transform) []Edge {
	out := make([]Edge, len(edges))
	for i, e := range edges {
		path := e.Path.Transformed(t)
		if t.Determinant() > 0 {
			out[i] = Edge{e.Name, path}
		} else {
			out[len(out)-1-i] = Edge{e.Name, path.Reversed()}
		}
	}
	return out
}

func transformedPoints(points []NamedPoint, t Transform) []NamedPoint {
	out := make([]NamedPoint, len(points))
	for i, q := range points {
		out[i] = NamedPoint{q.Name, t.Apply(q.At)}
	}
	return out
}

// transformedNotch measures a notch anew: a transform may stretch one stretch
// of an edge more than another.
func (p Piece) transformedNotch(n Notch, t Transform) (Notch, error) {
	parts, err := p.Edge(n.Edge)
	if err != nil {
		return Notch{}, err
	}
	var before, total Length
	left := n.At
	for i, e := range parts {
		here := max(min(left, e.Path.Length()), 0)
		if i == len(parts)-1 {
			here = min(max(left, 0), e.Path.Length())
		}
		stretch, err := stretchedTo(e.Path, here, t)
		if err != nil {
			return Notch{}, err
		}
		before += stretch
		total += e.Path.Transformed(t).Length()
		left -= here
	}
	n.At = before
	if t.Determinant() < 0 {
		n.At = max(total-before, 0)
	}
	return n, nil
}

// stretchedTo is the length that the first s of a path has once transformed.
func stretchedTo(path Path, s Length, t Transform) (Length, error) {
	if s >= path.Length() {
		return path.Transformed(t).Length(), nil
	}
	if s <= 0 {
		return 0, nil
	}
	begin, err := path.Between(0, s)
	return begin.Transformed(t).Length(), err
}

// Renamed returns p under another name. A pattern that holds p does not know
// the new name: gather its parts again.
func (p Piece) Renamed(name string) (Piece, error) {
	if strings.TrimSpace(name) == "" {
		return Piece{}, fmt.Errorf("piece %q: the new name is empty, want one such as \"side front\"", p.name)
	}
	p.name = name
	return p, nil
}

// WithPiece returns p with the piece of that name replaced and every seam
// kept. An edge that a seam names and the new piece lacks is an error. Walk
// says afterwards which seams have changed their length.
func (p Pattern) WithPiece(piece Piece) (Pattern, error) {
	if _, err := p.Piece(piece.name); err != nil {
		return Pattern{}, err
	}
	return p.withSeams(p.seams, piece)
}

// withSeams returns p with the pieces of those names replaced and with other
// seams, all checked.
func (p Pattern) withSeams(seams []Seam, pieces ...Piece) (Pattern, error) {
	out := Pattern{name: p.name, pieces: p.Pieces(), parts: p.parts, seams: append([]Seam(nil), seams...), drawn: &drawnPage{}}
	for _, piece := range pieces {
		for i := range out.pieces {
			if out.pieces[i].name == piece.name {
				out.pieces[i] = piece
			}
		}
	}
	if err := out.checkPieces(); err != nil {
		return Pattern{}, err
	}
	if err := out.checkSeams(); err != nil {
		return Pattern{}, err
	}
	return out, nil
}

// WithPieceEased returns p with the piece of that name replaced. Where an edge
// of it has become longer or shorter, the ease of its seams changes by as
// much, so that what a style operation added is eased or gathered in there.
func (p Pattern) WithPieceEased(piece Piece) (Pattern, error) {
	next, err := p.WithPiece(piece)
	if err != nil {
		return Pattern{}, err
	}
	before, after := p.Walk().rows, next.Walk().rows
	for i := range next.seams {
		if added := after[i].Difference - before[i].Difference; added.Abs() > joinTolerance {
			next.seams[i].Ease += added
			next.seams[i].Shares = nil // it lies where the operation put it
		}
	}
	return next, nil
}

// WithPieceTransformed returns p with the named piece transformed. Where the
// transform mirrors, the seams run along its edges the other way.
func (p Pattern) WithPieceTransformed(name string, t Transform) (Pattern, error) {
	piece, err := p.Piece(name)
	if err != nil {
		return Pattern{}, err
	}
	if piece, err = piece.Transformed(t); err != nil {
		return Pattern{}, err
	}
	seams := p.seams
	if t.Determinant() < 0 {
		seams = mapAlongs(seams, func(a Along) []Along {
			if a.Piece == name {
				a.Reversed = !a.Reversed
			}
			return []Along{a}
		})
	}
	return p.withSeams(seams, piece)
}

// mapAlongs returns the seams with each stretch replaced by those that f says,
// in the direction of sewing.
func mapAlongs(seams []Seam, f func(Along) []Along) []Seam {
	side := func(alongs []Along) []Along {
		var out []Along
		for _, a := range alongs {
			out = append(out, f(a)...)
		}
		return out
	}
	out := make([]Seam, len(seams))
	for i, s := range seams {
		s.A, s.B = side(s.A), side(s.B)
		out[i] = s
	}
	return out
}

// inParts is what takes the place of a stretch once its edge is in parts,
// given in outline order.
func (a Along) inParts(parts ...Along) []Along {
	out := make([]Along, len(parts))
	for i, part := range parts {
		part.Reversed = a.Reversed
		if a.Reversed {
			out[len(out)-1-i] = part
		} else {
			out[i] = part
		}
	}
	return out
}
