package patternkit

import (
	"fmt"
	"slices"

	"patternkit/patternkit/geom"
)

// Lengthened returns p with every piece that has the named internal line, such
// as "elbow line" or "lengthen here", cut along it and spread by a distance:
// the edges that the line meets are led across straight, and become longer by
// as much along their direction. A negative distance shortens: the strip below
// the line is folded out and the edges that it parted are led on from the line
// to their lower ends. Pieces sewn to each other there keep meeting when they
// have the line at the same place of their edges. The edges can be smoothed
// afterwards.
//
// A dart that the line runs through becomes longer or shorter with the piece: its
// tip and its mouth keep their places on the two parts, save that the tip of a
// dart which does not stand square to the line goes along sideways with the
// mouth, so that the legs stay equal.
//
// The part of the piece above the line stays in place. It is an error where no
// piece has the line, where it is not straight or ends in the mouth of a dart,
// where a strip to be folded out holds a corner, a notch or the tip of a dart,
// and where less than 1 cm would be left of a dart.
func (p Pattern) Lengthened(line string, by Length) (Pattern, error) {
	out, found := p, false
	for _, piece := range p.pieces {
		if !piece.hasInternal(line) {
			continue
		}
		found = true
		longer, err := piece.Lengthened(line, by)
		if err != nil {
			return Pattern{}, err
		}
		if out, err = out.WithPiece(longer); err != nil {
			return Pattern{}, err
		}
	}
	if !found {
		return Pattern{}, fmt.Errorf("pattern %q: no piece has a line %q to lengthen at, draw one with WithInternal", p.name, line)
	}
	return out, nil
}

// Lengthened returns p longer, or shorter, at the named internal line, as the
// method of Pattern does.
func (p Piece) Lengthened(line string, by Length) (Piece, error) {
	lines := p.linesOf(line)
	if len(lines) != 1 {
		return Piece{}, fmt.Errorf("piece %q has %d lines %q, want one to lengthen at", p.name, len(lines), line)
	}
	if by.Abs() < 1*MM || by.Abs() > 200*CM || !by.Finite() {
		return Piece{}, fmt.Errorf("piece %q lengthened at %q: by is %s, want 1 mm to 200 cm, or as much below zero to shorten", p.name, line, by)
	}
	across, err := p.acrossAt(lines[0], line)
	if err != nil {
		return Piece{}, err
	}
	without := p
	without.internals = slices.DeleteFunc(p.Internals(), func(e Edge) bool { return plainName(e.Name) == line })
	longer, err := without.spreadApart(across, by)
	if err != nil {
		return Piece{}, fmt.Errorf("piece %q lengthened at %q by %s: %w", p.name, line, by, err)
	}
	return longer.WithInternal(line, lines[0])
}

// acrossAt is a straight line of a piece on beyond both its edges, running so
// that what lies above it lies to its left.
func (p Piece) acrossAt(line Path, name string) (Path, error) {
	a, b := line.Start(), line.End()
	if line.Length()-a.Dist(b) > 0.01*MM {
		return Path{}, fmt.Errorf("piece %q: line %q is bent, want a straight one to lengthen at", p.name, name)
	}
	up := Pt(0, 1)
	if p.hasGrain {
		up = p.grain[1].Sub(p.grain[0]).Unit()
	}
	along := b.Sub(a).Unit()
	if along.Perp().Dot(up) < 0 {
		along = along.Neg()
	}
	reach := float64(p.Bounds().Width() + p.Bounds().Height())
	return Line(a.Sub(along.Scale(reach)), a.Add(along.Scale(reach))), nil
}

// levelParts are the parts of a piece above and below a line, and the names of
// the darts that it runs through.
func (p Piece) levelParts(across Path) (above, below openPiece, cut Path, darts []string, err error) {
	fail := func(err error) (openPiece, openPiece, Path, []string, error) {
		return openPiece{}, openPiece{}, Path{}, nil, err
	}
	cut, from, to, err := p.trimmedCut(across)
	if err != nil {
		return fail(err)
	}
	if err = p.checkMouthsClear(cut); err != nil {
		return fail(err)
	}
	crossings, err := p.legCrossings(cut)
	if err != nil {
		return fail(err)
	}
	for _, x := range crossings {
		if name := p.darts[x.dart].Name; !slices.Contains(darts, name) {
			darts = append(darts, name)
		}
	}
	c := opened(p)
	fromID, err := c.vertexAlong(from)
	if err != nil {
		return fail(err)
	}
	toID, err := c.vertexAlong(to)
	if err != nil {
		return fail(err)
	}
	above, below, err = c.halves(toID, fromID, cut)
	return above, below, cut, darts, err
}

// spreadApart moves what lies below a line down by a distance, or up over the
// strip that is folded out, and leads the edges across.
func (p Piece) spreadApart(across Path, by Length) (Piece, error) {
	above, below, cut, through, err := p.levelParts(across)
	if err != nil {
		return Piece{}, err
	}
	down := cut.TangentAt(0).Perp().Neg().Scale(float64(by))
	if by < 0 {
		lower := across.Transformed(geom.Translate(down.Neg()))
		var both []string
		if _, below, _, both, err = p.levelParts(lower); err != nil {
			return Piece{}, err
		}
		if err := p.checkFoldedOut(above, below, through, both); err != nil {
			return Piece{}, err
		}
	}
	if err := above.tipsApart(through, down, false); err != nil {
		return Piece{}, err
	}
	if err := below.tipsApart(through, down, true); err != nil {
		return Piece{}, err
	}
	below = below.transformed(geom.Translate(down))
	left, right := above.edges[len(above.edges)-1], below.edges[len(below.edges)-1]
	if by < 0 {
		below.leadEnds(cut)
	} else {
		below.edges = slices.Concat(
			[]openEdge{{Edge: Edge{left.Name, Line(cut.Start(), below.edges[0].Path.Start())}, glued: true}},
			below.edges,
			[]openEdge{{Edge: Edge{right.Name, Line(right.Path.End(), cut.End())}, glued: true}})
	}
	whole := joinOpen(p.name, above, below)
	whole.internals = continuedLines(above.internals, below.internals)
	out, err := whole.piece(p)
	if err == nil && p.hasGrain {
		out.grain = out.grainAlong(p.grain)
	}
	return out, err
}

// tipsApart moves the tips of those darts of a part whose tips lie on the other
// part, from which the part moves by a distance: of the lower part, with the
// upper staying, or of the upper, with the lower going down. Either way the
// mouth goes away from the tip, which follows it sideways only.
func (c *openPiece) tipsApart(through []string, down Point, lower bool) error {
	c.darts = slices.Clone(c.darts)
	for i, d := range c.darts {
		if !slices.Contains(through, d.Name) {
			continue
		}
		mouth := c.edges[c.index(c.mouthOf(d))].Path
		along := mouth.End().Sub(mouth.Start()).Unit()
		straight := down.Sub(along.Scale(along.Dot(down)))
		if lower { // the part moves down with its tip, which is to stay but for going sideways
			straight = straight.Neg()
		}
		was := d.Tip.Sub(mouth.Start().Mid(mouth.End()))
		c.darts[i].Tip = d.Tip.Add(straight)
		if is := c.darts[i].Tip.Sub(mouth.Start().Mid(mouth.End())); is.Dot(was.Unit()) < float64(shortestDart) {
			return fmt.Errorf("the %s, %s long, would have less than %s left: shorten by less, or at another line", d.Name, was.Norm(), shortestDart)
		}
	}
	return nil
}

// checkFoldedOut sees that a strip holds nothing but a stretch of one edge on
// each side and of each dart that its upper line runs through.
func (p Piece) checkFoldedOut(above, below openPiece, upper, lower []string) error {
	for _, pair := range [2][2][]string{{upper, lower}, {lower, upper}} {
		for _, name := range pair[0] {
			if !slices.Contains(pair[1], name) {
				return fmt.Errorf("the strip to be folded out holds the tip of the %s, want one that is clear: shorten by less, or at another line", name)
			}
		}
	}
	count := func(c openPiece) int {
		n := len(c.edges) + len(c.points) + len(c.drills) + len(c.darts)
		for _, e := range c.edges {
			n += len(e.notches)
		}
		return n
	}
	// Both cuts part two edges each, so that two parts of each are counted.
	if got, want := count(above)+count(below), len(p.edges)+2+len(p.points)+len(p.drills)+len(p.darts)+len(p.notches); got != want {
		return fmt.Errorf("the strip to be folded out holds a corner, a notch or a point, want one that is clear: shorten by less, or at another line")
	}
	for _, line := range p.internals {
		kept := func(e Edge) bool { return plainName(e.Name) == plainName(line.Name) }
		if !slices.ContainsFunc(above.internals, kept) && !slices.ContainsFunc(below.internals, kept) {
			return fmt.Errorf("the strip to be folded out holds the line %q, want one that is clear: shorten by less, or at another line", line.Name)
		}
	}
	return nil
}

// leadEnds leads the first and the last edge of a part to the ends of a cut,
// their other ends staying in place.
func (c *openPiece) leadEnds(cut Path) {
	c.edges = slices.Clone(c.edges)
	last := len(c.edges) - 1
	c.edges[0] = c.edges[0].led(cut.Start(), c.edges[0].Path.End())
	c.edges[last] = c.edges[last].led(c.edges[last].Path.Start(), cut.End())
}

// led is an edge carried to two ends, its notches in proportion.
func (e openEdge) led(start, end Point) openEdge {
	to, ok := carries(e.Path.Start(), e.Path.End(), start, end)
	if !ok {
		return e
	}
	was := e.Path.Length()
	e.Path = e.Path.Transformed(to)
	e.notches = slices.Clone(e.notches)
	for i := range e.notches {
		e.notches[i].s *= e.Path.Length() / was
	}
	return e
}
