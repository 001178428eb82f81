package patternkit

import (
	"cmp"
	"fmt"
	"slices"

	"patternkit/patternkit/geom"
)

const (
	// shortestDart is what a line must leave of a dart that it crosses, from
	// itself to the tip, and shortestLeg what it must take of its legs (common
	// practice, no source).
	shortestDart = 1 * CM
	shortestLeg  = 1 * MM
	// grazing is the sine of the least angle at which a line crosses a leg.
	grazing = 0.02
)

// A shutLine runs across a piece as it was ruled with the darts in its way
// folded shut, laid out flat again: in stretches from dart to dart.
type shutLine struct {
	stretches []Path
	darts     []shutDart // between the stretches
	from, to  Length     // where on the outline it starts and ends
}

// A shutDart lies in the way of a line.
type shutDart struct {
	Dart
	turn, back Transform // about its tip, from the leg where the line comes to that where it goes on, and back
	tipLeft    bool      // the tip lies to the left of the line, the mouth to the right
}

// reversed is the line run from its end to its start.
func (l shutLine) reversed() shutLine {
	out := shutLine{from: l.to, to: l.from}
	for _, s := range slices.Backward(l.stretches) {
		out.stretches = append(out.stretches, s.Reversed())
	}
	for _, d := range slices.Backward(l.darts) {
		out.darts = append(out.darts, shutDart{d.Dart, d.back, d.turn, !d.tipLeft})
	}
	return out
}

// grazed is how far a line and the stitch line may miss each other where they
// meet nearly along each other.
const grazed = 1e-3 * MM

// settled ends the line exactly in two corners of the outline.
func (l shutLine) settled(start, end Point) shutLine {
	l.stretches = slices.Clone(l.stretches)
	first, last := &l.stretches[0], &l.stretches[len(l.stretches)-1]
	if to, ok := carries(first.Start(), first.End(), start, first.End()); ok && first.Start().Dist(start) <= grazed {
		*first = first.Transformed(to)
	}
	if to, ok := carries(last.Start(), last.End(), last.Start(), end); ok && last.End().Dist(end) <= grazed {
		*last = last.Transformed(to)
	}
	return l
}

func (l shutLine) end() Point { return l.stretches[len(l.stretches)-1].End() }

// A legCrossing is where a line meets a leg of a dart.
type legCrossing struct {
	s     Length
	at    Point
	dart  int
	start bool // the leg from the start of the mouth
	left  bool // the tip lies to the left of the line there
}

// legCrossings are the places where a line crosses legs of darts, in order.
// To touch a tip or the end of a mouth is not to cross.
func (p Piece) legCrossings(line Path) ([]legCrossing, error) {
	var out []legCrossing
	for i, d := range p.darts {
		start, end := p.mouth(d)
		for k, from := range [2]Point{start, end} {
			leg := d.Tip.Sub(from).Unit()
			for _, x := range line.Intersections(Line(from, d.Tip)) {
				if x.Shared == 0 && (x.At.Dist(d.Tip) <= joinTolerance || x.At.Dist(from) <= joinTolerance) {
					continue
				}
				side := line.TangentAt(x.S).Cross(leg)
				if x.Shared > 0 || !(side > grazing || side < -grazing) {
					return nil, fmt.Errorf("piece %q: the line runs along a leg of the %s at %s, want it across the dart or clear of it", p.name, d.Name, place(x.At))
				}
				out = append(out, legCrossing{x.S, x.At, i, k == 0, side > 0})
			}
		}
	}
	slices.SortFunc(out, func(a, b legCrossing) int { return cmp.Compare(a.s, b.s) })
	return out, nil
}

// checkLeft says where a line leaves too little of a dart on one of its sides.
func (p Piece) checkLeft(x legCrossing) error {
	d, err := p.equalDart(p.darts[x.dart].Name)
	if err != nil {
		return err
	}
	leg, _ := p.legs(d)
	if toTip := x.at.Dist(d.Tip); toTip < shortestDart || leg-toTip < shortestLeg {
		return fmt.Errorf("piece %q: the line runs through the %s %s from its tip and %s from its mouth, want at least %s and %s, or a line clear of it: pivot or shorten the dart first",
			p.name, d.Name, toTip, leg-toTip, shortestDart, shortestLeg)
	}
	return nil
}

// turns are the moves about the tip of a dart from the leg where a line comes
// to the other, and back.
func (p Piece) turns(x legCrossing) (turn, back Transform) {
	d := p.darts[x.dart]
	start, end := p.mouth(d)
	angle := start.Sub(d.Tip).AngleTo(end.Sub(d.Tip))
	if !x.start {
		angle = -angle
	}
	return geom.Rotate(d.Tip, angle), geom.Rotate(d.Tip, -angle)
}

// ruled lays out a line that was ruled with the darts in its way folded shut.
// It starts at a length along the outline, as it lies there, and goes on as
// the parts lie beyond each dart, to where it first meets the stitch line.
func (p Piece) ruled(line Path, from Length) (shutLine, error) {
	out := shutLine{from: from}
	last := -1
	for range 2*len(p.darts) + 1 {
		end := Length(-1)
		for _, x := range line.Intersections(p.outline) {
			if x.S > joinTolerance {
				end, out.to = x.S, x.T
				break
			}
		}
		crossings, err := p.legCrossings(line)
		if err != nil {
			return shutLine{}, err
		}
		crossings = slices.DeleteFunc(crossings, func(x legCrossing) bool { return x.dart == last && x.s <= joinTolerance })
		if len(crossings) == 0 || end >= 0 && end <= crossings[0].s {
			if end < 0 {
				return shutLine{}, fmt.Errorf("piece %q: ruled with its darts folded shut, the line ends inside the piece, want it to run from edge to edge", p.name)
			}
			stretch, err := line.Between(0, end)
			out.stretches = append(out.stretches, stretch)
			return out, err
		}
		x := crossings[0]
		if err := p.checkLeft(x); err != nil {
			return shutLine{}, err
		}
		stretch, rest, err := line.Split(x.s)
		if err != nil {
			return shutLine{}, err
		}
		turn, back := p.turns(x)
		out.stretches = append(out.stretches, stretch)
		out.darts = append(out.darts, shutDart{p.darts[x.dart], turn, back, x.left})
		line, last = rest.Transformed(turn), x.dart
	}
	return shutLine{}, fmt.Errorf("piece %q: the line runs through a dart more than once, want it across each dart once", p.name)
}

// ruledFrom lays out a line that was ruled with darts folded shut, both ways
// from a place inside the piece where it lies as the piece does, to where it
// meets the stitch line.
func (p Piece) ruledFrom(line Path, at Length) (shutLine, error) {
	before, after, err := line.Split(at)
	if err != nil {
		return shutLine{}, err
	}
	middle := after.Start()
	for _, d := range p.darts {
		start, end := p.mouth(d)
		if regionOf([]openEdge{{Edge: Edge{d.Mouth, Line(start, end)}}}, Polyline(end, d.Tip, start)).holds(middle) == 1 {
			return shutLine{}, fmt.Errorf("piece %q: the line lies in the %s at %s, want the dart pivoted away first", p.name, d.Name, place(middle))
		}
	}
	back, err := p.ruled(before.Reversed(), 0)
	if err != nil {
		return shutLine{}, err
	}
	out, onward := back.reversed(), shutLine{}
	if onward, err = p.ruled(after, 0); err != nil {
		return shutLine{}, err
	}
	last := len(out.stretches) - 1
	if onward.stretches[0], err = out.stretches[last].Append(onward.stretches[0]); err != nil {
		return shutLine{}, err
	}
	out.stretches = slices.Concat(out.stretches[:last], onward.stretches)
	out.darts, out.to = slices.Concat(out.darts, onward.darts), onward.to
	return out, nil
}

// ruledAcross rules a line anew with the darts that it crosses folded shut. One
// that meets the fold of the cloth and runs on beyond the other edge keeps its
// direction at the fold; any other runs between the same two places of the
// stitch line and in the same shape.
func (p Piece) ruledAcross(along Path) (shutLine, error) {
	cut, from, to, err := p.trimmedCut(along)
	if err != nil {
		return shutLine{}, err
	}
	if err := p.checkMouthsClear(cut); err != nil {
		return shutLine{}, err
	}
	crossings, err := p.legCrossings(cut)
	if err != nil {
		return shutLine{}, fmt.Errorf("cut of %w", err)
	}
	if len(crossings) == 0 {
		return shutLine{stretches: []Path{cut}, from: from, to: to}, nil
	}
	shut, err := p.shutBeyond(crossings)
	if err != nil {
		return shutLine{}, err
	}
	var line shutLine
	switch onFold := [2]bool{edgeAt(p.edges, from) == p.fold, edgeAt(p.edges, to) == p.fold}; {
	case onFold[0] && !onFold[1] && along.End().Dist(cut.End()) > joinTolerance:
		line, err = p.ruledOn(along, cut.Start(), from)
	case onFold[1] && !onFold[0] && along.Start().Dist(cut.Start()) > joinTolerance:
		line, err = p.ruledOn(along.Reversed(), cut.End(), to)
		line = line.reversed()
	default:
		line, err = p.ruledBetween(cut, from, shut)
		line.to = to
	}
	if err == nil && 2*len(line.darts) != len(crossings) {
		err = fmt.Errorf("piece %q: ruled with its darts folded shut, the line passes some of them by, want it across them or clear of them", p.name)
	}
	if err != nil {
		return shutLine{}, fmt.Errorf("cut of %w", err)
	}
	return line, nil
}

// ruledOn rules a line on from a place on the outline, beyond which it runs.
func (p Piece) ruledOn(along Path, start Point, from Length) (shutLine, error) {
	at, _ := along.Nearest(start)
	_, rest, err := along.Split(at)
	if err != nil {
		return shutLine{}, err
	}
	return p.ruled(rest, from)
}

// ruledBetween rules a line between its two ends; shut brings the second to
// where it lies with the darts folded shut.
func (p Piece) ruledBetween(cut Path, from Length, shut Transform) (shutLine, error) {
	onto, ok := carries(cut.Start(), cut.End(), cut.Start(), shut.Apply(cut.End()))
	if !ok {
		return shutLine{}, fmt.Errorf("piece %q: the line ends where it starts, want it to run from edge to edge", p.name)
	}
	line, err := p.ruled(cut.Transformed(onto), from)
	if err == nil && line.end().Dist(cut.End()) > joinTolerance {
		err = fmt.Errorf("piece %q: ruled from %s to %s with its darts folded shut, the line meets the stitch line at %s first, want a line wholly inside the piece",
			p.name, place(cut.Start()), place(cut.End()), place(line.end()))
	}
	return line, err
}

// shutBeyond is the move from where the piece lies beyond the darts that a
// line crosses to where it lies with them folded shut.
func (p Piece) shutBeyond(crossings []legCrossing) (Transform, error) {
	shut := geom.Translate(Point{})
	for i := 0; i < len(crossings); i += 2 {
		x := crossings[i]
		if i+1 == len(crossings) || x.dart != crossings[i+1].dart || x.start == crossings[i+1].start {
			return shut, fmt.Errorf("cut of piece %q: the line runs into the %s at %s and not straight out on its other side, want it across the dart or clear of it",
				p.name, p.darts[x.dart].Name, place(x.at))
		}
		_, back := p.turns(x)
		shut = back.Then(shut)
	}
	return shut, nil
}

// checkMouthsClear says which mouth a cut starts or ends in; it may at an end
// of the mouth.
func (p Piece) checkMouthsClear(cut Path) error {
	for _, e := range p.edges {
		for _, q := range []Point{cut.Start(), cut.End()} {
			if p.isMouth(e.Name) && e.Path.Dist(q) <= joinTolerance && e.Path.Start().Dist(q) > joinTolerance && e.Path.End().Dist(q) > joinTolerance {
				return fmt.Errorf("cut of piece %q: the line runs into %q at %s, which is folded away, want it to end beside it", p.name, e.Name, place(q))
			}
		}
	}
	return nil
}
