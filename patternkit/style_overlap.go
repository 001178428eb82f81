package patternkit

import (
	"fmt"
	"slices"

	"patternkit/patternkit/geom"
)

// overlapped cuts c along a slash and lays the parts over each other, as width
// is taken out of a pattern. Half of what goes is cut from each side; what the
// parts then differ by in length, where the cut is not square to an edge, is
// led away along that edge.
func (c openPiece) overlapped(s openSlash, fold string) (openPiece, error) {
	wantFrom, wantTo := -s.AtFrom, -s.AtTo
	takeFrom, takeTo := wantFrom, wantTo
	for range 40 {
		out, lostFrom, lostTo, err := c.overlappedBy(s, takeFrom, takeTo, fold)
		if err != nil {
			return openPiece{}, fmt.Errorf("piece %q: %s overlapped: %w", c.name, s, err)
		}
		offFrom, offTo := wantFrom-lostFrom, wantTo-lostTo
		if offFrom.Abs() < 1e-9 && offTo.Abs() < 1e-9 {
			return out, nil
		}
		if wantFrom > 0 {
			takeFrom += offFrom
		}
		if wantTo > 0 {
			takeTo += offTo
		}
	}
	return openPiece{}, fmt.Errorf("piece %q: %s meets its edges too flat to take out %s and %s there, want it nearer to a right angle", c.name, s, wantFrom, wantTo)
}

// overlappedBy cuts half of each length from both sides of a slash and returns
// by how much its two edges have become shorter.
func (c openPiece) overlappedBy(s openSlash, takeFrom, takeTo Length, fold string) (out openPiece, lostFrom, lostTo Length, err error) {
	start, wasFrom, wasTo := c.edges[0].id, c.besideCorner(s.from), c.besideCorner(s.to)
	toRight, toLeft, err := c.trimmedCorner(s.to, s.toName, takeTo)
	if err != nil {
		return out, 0, 0, err
	}
	fromLeft, fromRight, err := c.trimmedCorner(s.from, s.fromName, takeFrom)
	if err != nil {
		return out, 0, 0, err
	}
	sideLeft, sideRight := Line(c.corner(fromLeft), c.corner(toLeft)), Line(c.corner(fromRight), c.corner(toRight))
	for _, side := range []Path{sideLeft, sideRight} {
		if err := c.checkSlit("the side of what is taken out", side); err != nil {
			return out, 0, 0, err
		}
	}
	if off := (sideLeft.Length() - sideRight.Length()).Abs(); off > max(takeFrom, takeTo)/4 {
		return out, 0, 0, fmt.Errorf("its sides would be %s and %s long, want it nearer to a right angle with its edges", sideLeft.Length(), sideRight.Length())
	}
	lines := slices.Clone(c.internals)
	c.internals = nil
	left, right, err := c.twoParts(c.between(toLeft, fromLeft), c.between(fromRight, toRight), sideLeft, sideRight.Reversed())
	if err != nil {
		return out, 0, 0, err
	}
	if err := c.checkTakenOut(left, right, sideLeft, sideRight); err != nil {
		return out, 0, 0, err
	}
	moves := [2]Transform{geom.Translate(Point{}), geom.Translate(Point{})}
	if left.anchored(right, fold) {
		moves[1] = ontoSide(sideRight, sideLeft, takeFrom == 0, takeTo == 0)
	} else {
		moves[0] = ontoSide(sideLeft, sideRight, takeFrom == 0, takeTo == 0)
	}
	sides := [2]clothRegion{regionOf(left.edges, sideLeft), regionOf(right.edges, sideRight.Reversed())}
	for i := range lines {
		if lines[i].Path, err = overlapLine(lines[i], [2]Path{sideLeft, sideRight}, sides, moves); err != nil {
			return out, 0, 0, err
		}
	}
	left, right = left.transformed(moves[0]), right.transformed(moves[1])
	meetTo, meetFrom := left.start().Mid(right.end()), left.end().Mid(right.start())
	left.leadEnds(Line(meetTo, meetFrom))
	right.leadEnds(Line(meetFrom, meetTo))
	lostFrom = wasFrom - left.edges[len(left.edges)-1].Path.Length() - right.edges[0].Path.Length()
	lostTo = wasTo - right.edges[len(right.edges)-1].Path.Length() - left.edges[0].Path.Length()
	left.edges[0].glued = left.edges[0].Name == right.edges[len(right.edges)-1].Name
	right.edges[0].glued = right.edges[0].Name == left.edges[len(left.edges)-1].Name
	out = joinOpen(c.name, left, right)
	out.internals, out.last = lines, c.last
	return out.startingAt(start), lostFrom, lostTo, nil
}

// besideCorner is the length of the two stretches that meet at a corner.
func (c openPiece) besideCorner(id int) Length {
	k := c.index(id)
	return c.edges[k].Path.Length() + c.edges[(k+len(c.edges)-1)%len(c.edges)].Path.Length()
}

// trimmedCorner makes corners half a length before and behind a corner of the
// outline: before is the edge that begins at the first of them, behind that at
// the second. Without a length both are the corner itself.
func (c *openPiece) trimmedCorner(id int, name string, take Length) (before, behind int, err error) {
	if take == 0 {
		return id, id, nil
	}
	k := c.index(id)
	last := (k + len(c.edges) - 1) % len(c.edges)
	for _, e := range []openEdge{c.edges[k], c.edges[last]} {
		if e.Name != name || e.Path.Length() < take/2+shortestEdge {
			return 0, 0, fmt.Errorf("edge %q has not %s on both sides of the cut, want less, or a cut further from its ends and darts", name, take/2)
		}
		for _, n := range e.notches {
			if away := n.s; e.id != id && e.Path.Length()-away < take/2 || e.id == id && away < take/2 {
				return 0, 0, fmt.Errorf("notch %q of edge %q would be taken out, want the cut away from it", n.Name, name)
			}
		}
	}
	if behind, err = c.splitOpen(k, take/2); err != nil {
		return 0, 0, err
	}
	last = (c.index(id) + len(c.edges) - 1) % len(c.edges)
	before, err = c.splitOpen(last, c.edges[last].Path.Length()-take/2)
	return before, behind, err
}

// checkTakenOut says which point lies in what is taken out.
func (c openPiece) checkTakenOut(left, right openPiece, sideLeft, sideRight Path) error {
	strip := regionOf(nil, Polyline(sideLeft.Start(), sideRight.Start(), sideRight.End(), sideLeft.End()))
	kept := [2]clothRegion{regionOf(left.edges, sideLeft), regionOf(right.edges, sideRight.Reversed())}
	for _, points := range [2][]NamedPoint{c.points, c.drills} {
		for _, q := range points {
			if strip.holds(q.At) > 0 && kept[0].holds(q.At) == 0 && kept[1].holds(q.At) == 0 {
				return fmt.Errorf("point %q would be taken out, want the cut away from it", q.Name)
			}
		}
	}
	return nil
}

// ontoSide moves one side of what is taken out onto the other: with its start
// or its end where only one of them stays in place, else with its middle.
func ontoSide(side, onto Path, start, end bool) Transform {
	a, b := side.Start().Mid(side.End()), onto.Start().Mid(onto.End())
	switch {
	case start:
		a, b = side.Start(), onto.Start()
	case end:
		a, b = side.End(), onto.End()
	}
	turn := side.TangentAt(0).AngleTo(onto.TangentAt(0))
	return geom.Rotate(a, turn).Then(geom.Translate(b.Sub(a)))
}

// overlapLine leaves out what of a line is taken out and moves the rest, left
// and right, led on straight between.
func overlapLine(line Edge, cuts [2]Path, sides [2]clothRegion, moves [2]Transform) (Path, error) {
	parts, err := cutLine(line.Path, cuts[:]...)
	if err != nil {
		return Path{}, err
	}
	var out Path
	for i, part := range parts {
		mid := part.At(part.Length() / 2)
		if sides[0].holds(mid) == 0 && sides[1].holds(mid) == 0 {
			if i == 0 || i == len(parts)-1 {
				return Path{}, fmt.Errorf("an end of the line %q would be taken out, want the cut away from it", line.Name)
			}
			continue
		}
		part = part.Transformed(moves[partFor(mid, sides[:])])
		if !out.Empty() && out.End().Dist(part.Start()) > joinTolerance {
			if out, err = out.Append(Line(out.End(), part.Start())); err != nil {
				return Path{}, err
			}
		}
		if out, err = out.Append(part); err != nil {
			return Path{}, err
		}
	}
	return out, nil
}
