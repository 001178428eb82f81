package patternkit

import (
	"fmt"
)

// LowerTop returns p with its top edge drawn across bodice and sleeve at a
// fraction of the depth of the armhole, 0 at the underarm and 1 at the
// shoulder: for a neckline worn on or off the shoulders. The seam is that of
// the sleeve, which joins its head on side A to the armholes of two pieces on
// side B, from one underarm over the shoulder to the other: "armhole".
//
// Each piece is trimmed square to its grain, at that fraction of the height of
// its own armhole; where darts are in the way, square to the grain of its far
// side with the darts folded shut, as Cut rules its lines. The sleeve head is cut as far from both underarms as the
// armholes are, so that what is left of them walks to each other exactly, and
// straight across. The seam becomes two, "front armhole" and "back armhole",
// and so does the sleeve head: "front cap" and "back cap". The new edge has the
// given name on all three pieces.
//
// It is an error where a line runs through a dart less than 1 cm from its tip.
func (p Pattern) LowerTop(seam string, fraction float64, edge string) (Pattern, error) {
	fail := func(err error) (Pattern, error) {
		return Pattern{}, fmt.Errorf("top lowered along seam %q: %w", seam, err)
	}
	s, err := p.Seam(seam)
	if err != nil {
		return fail(err)
	}
	if !(fraction >= 0.05 && fraction <= 0.95) {
		return fail(fmt.Errorf("the fraction of the armhole is %v, want 0.05 to 0.95", fraction))
	}
	if len(s.A) != 1 || len(s.B) != 2 || s.B[0].Piece == s.B[1].Piece || s.A[0].Piece == s.B[0].Piece || s.A[0].Piece == s.B[1].Piece {
		return fail(fmt.Errorf("it joins %s to %s, want the head of one sleeve on side A and the armholes of two pieces on side B", sideWords(s.A), sideWords(s.B)))
	}
	l := lowering{seam: s, edge: edge}
	for i := range l.left {
		if p, l.left[i], err = l.bodice(p, i, fraction); err != nil {
			return fail(err)
		}
	}
	if p, err = l.sleeve(p); err != nil {
		return fail(err)
	}
	return p, nil
}

// A lowering is a top edge on its way across the pieces of a seam.
type lowering struct {
	seam Seam
	edge string
	left [2]Length // what is left of each armhole, from its underarm
}

// underarm says whether the armhole of a piece starts at the underarm, in
// outline order: the first piece of the seam is sewn from there, the second
// toward it.
func (l lowering) underarm(i int) bool { return l.seam.B[i].Reversed == (i == 1) }

// bodice trims one piece at its level and returns how much of its armhole is
// left.
func (l lowering) bodice(p Pattern, i int, fraction float64) (Pattern, Length, error) {
	a := l.seam.B[i]
	piece, err := p.Piece(a.Piece)
	if err != nil {
		return Pattern{}, 0, err
	}
	path, err := piece.onlyEdge(a.Edge)
	if err != nil {
		return Pattern{}, 0, err
	}
	if !l.underarm(i) {
		path = path.Reversed()
	}
	up := Pt(0, 1)
	if piece.hasGrain {
		up = piece.grain[1].Sub(piece.grain[0]).Unit()
	}
	if up.Dot(path.End().Sub(path.Start())) < 0 {
		up = up.Neg()
	}
	level := path.Start().Add(up.Scale(fraction * up.Dot(path.End().Sub(path.Start()))))
	reach := float64(piece.Bounds().Width() + piece.Bounds().Height())
	line := Line(level.Sub(up.Perp().Scale(reach)), level.Add(up.Perp().Scale(reach)))
	crossings := path.Intersections(line)
	if len(crossings) != 1 {
		return Pattern{}, 0, fmt.Errorf("the armhole of piece %q crosses the level of the top edge %d times, want once: another fraction", a.Piece, len(crossings))
	}
	if line, err = piece.squareBeyondDarts(line, crossings[0].At); err != nil {
		return Pattern{}, 0, err
	}
	keep := p.neighbour(a, !l.underarm(i)).Edge
	p, err = p.Trim(Trim{Piece: a.Piece, Along: line, Keep: keep, Edge: l.edge})
	return p, crossings[0].S, err
}

// squareBeyondDarts is a line across a piece through a place of its stitch
// line, or, where darts are in its way, one from that place that has the
// direction of the line when it has passed them, ruled with them folded shut.
func (p Piece) squareBeyondDarts(line Path, from Point) (Path, error) {
	inward := line.TangentAt(0)
	if !p.inside(from.Add(inward.Scale(float64(1 * MM)))) {
		inward = inward.Neg()
	}
	reach := float64(line.Length())
	var turned Angle
	for range len(p.darts) + 1 {
		ruled, err := p.ruled(Line(from, from.Add(inward.Rotated(-turned).Scale(reach))), 0)
		if err != nil {
			return Path{}, err
		}
		if len(ruled.darts) == 0 {
			return line, nil
		}
		end := ruled.stretches[len(ruled.darts)]
		off := end.TangentAt(0).AngleTo(inward)
		if Length(off).Abs() < 1e-12 {
			return Line(from, end.End()), nil
		}
		turned -= off
	}
	return Path{}, fmt.Errorf("piece %q: no line square to its grain runs across its darts at %s: pivot one away first", p.name, place(from))
}

// sleeve splits the head of the sleeve and its seam over the shoulder and
// trims it between the places where the armholes end.
func (l lowering) sleeve(p Pattern) (Pattern, error) {
	a := l.seam.A[0]
	piece, err := p.Piece(a.Piece)
	if err != nil {
		return Pattern{}, err
	}
	head, err := piece.onlyEdge(a.Edge)
	if err != nil {
		return Pattern{}, err
	}
	length := head.Length()
	if l.left[0]+l.left[1] > length-1*CM {
		return Pattern{}, fmt.Errorf("edge %q of piece %q is %s long, want more than the %s that is left of the armholes", a.Edge, a.Piece, length, l.left[0]+l.left[1])
	}
	// Cut in the middle of what goes: in outline order the first armhole is at
	// the start of the head, unless the seam runs against it.
	start, end := l.left[0], l.left[1]
	names := [2]string{l.seam.B[0].Piece + " " + a.Edge, l.seam.B[1].Piece + " " + a.Edge}
	if a.Reversed {
		start, end = end, start
		names[0], names[1] = names[1], names[0]
	}
	p, err = p.SplitEdge(a.Piece, a.Edge, (start+length-end)/2, names[0], names[1])
	if err != nil {
		return Pattern{}, err
	}
	if p, err = p.SplitSeam(l.seam.Name, 1, 1, l.half(0), l.half(1)); err != nil {
		return Pattern{}, err
	}
	keep := p.neighbour(Along{Piece: a.Piece, Edge: names[0]}, false).Edge
	p, err = p.Trim(Trim{Piece: a.Piece, Along: Line(head.At(start), head.At(length-end)), Keep: keep, Edge: l.edge})
	if err != nil {
		return Pattern{}, err
	}
	for i := range l.left { // what was eased in lay higher
		s, err := p.Seam(l.half(i))
		if err != nil {
			return Pattern{}, err
		}
		s.Ease, s.Shares = 0, nil
		if p, err = p.WithSeam(s); err != nil {
			return Pattern{}, err
		}
	}
	return p, nil
}

// half names the seam of one armhole.
func (l lowering) half(i int) string { return l.seam.B[i].Piece + " " + l.seam.Name }
