package patternkit

import (
	"fmt"
	"slices"
)

// DartToFullness returns p with a dart left open: its mouth becomes part of
// the edge that it lies in, so that what the dart took is gathered or, where
// it is little, eased in. Two notches say from where to where: "bust dart from"
// and "bust dart to", each beside the old mouth by that length along the edge.
// A mouth between two edges of different names is an error.
func (p Piece) DartToFullness(dart string, beside Length) (Piece, error) {
	d, edge, err := p.dartWithin(dart)
	if err != nil {
		return Piece{}, err
	}
	if !(beside >= 0) || !beside.Finite() {
		return Piece{}, fmt.Errorf("piece %q: dart %q is to be gathered over %s beside its mouth, want 0 or more", p.name, dart, beside)
	}
	intake, err := p.DartIntake(dart)
	if err != nil {
		return Piece{}, err
	}
	at := p.mouthAlong(d, edge)
	c := opened(p)
	k := c.index(c.mouthOf(d))
	c.edges[k].Name, c.edges[k].glued = edge, true
	c.edges[(k+1)%len(c.edges)].glued = true
	c.darts = slices.DeleteFunc(c.darts, func(o Dart) bool { return o.Name == dart })
	out, err := c.piece(p)
	if err != nil {
		return Piece{}, err
	}
	mouth := p.edges[k].Path.Length()
	if out, err = out.WithNotch(Notch{Name: dart + " from", Edge: edge, At: at - beside}, Notch{Name: dart + " to", Edge: edge, At: at + mouth + beside}); err != nil {
		return Piece{}, fmt.Errorf("dart %q with an intake of %s: %w; want less beside its mouth", dart, intake, err)
	}
	return out, nil
}

// dartWithin returns a dart and the edge that its mouth interrupts.
func (p Piece) dartWithin(dart string) (Dart, string, error) {
	d, err := p.Dart(dart)
	if err != nil {
		return Dart{}, "", err
	}
	before, after := p.besideMouth(d, true).Name, p.besideMouth(d, false).Name
	if before != after {
		return Dart{}, "", fmt.Errorf("piece %q: dart %q opens between %q and %q, want it within one edge: pivot it there first", p.name, dart, before, after)
	}
	return d, before, nil
}

// mouthAlong is how far along its edge, darts closed, a dart's mouth lies.
func (p Piece) mouthAlong(d Dart, edge string) Length {
	start, _ := p.mouth(d)
	var at Length
	parts, _ := p.run(edge)
	for _, k := range parts {
		at += p.edges[k].Path.Length()
		if p.edges[k].Path.End().Dist(start) <= joinTolerance {
			break
		}
	}
	return at
}

// DartToFullness returns p with a dart of one piece left open and gathered or
// eased in: the seams along its edge gain its intake as ease, and the notches
// that say from where to where are set on the other side of them too.
func (p Pattern) DartToFullness(piece, dart string, beside Length) (Pattern, error) {
	before, err := p.Piece(piece)
	if err != nil {
		return Pattern{}, err
	}
	after, err := before.DartToFullness(dart, beside)
	if err != nil {
		return Pattern{}, err
	}
	out, err := p.WithPieceEased(after)
	if err != nil {
		return Pattern{}, err
	}
	d, edge, err := before.dartWithin(dart)
	if err != nil {
		return Pattern{}, err
	}
	at := before.mouthAlong(d, edge)
	marks := [2]Notch{{Name: dart + " from", At: at - beside}, {Name: dart + " to", At: at + beside}}
	for i, s := range p.seams {
		turned := s.Ease*out.seams[i].Ease < 0 // the ease now lies on the other side
		for _, sides := range [2][2][]Along{{s.A, s.B}, {s.B, s.A}} {
			if out, err = out.withPartnerNotches(p, sides, Along{Piece: piece, Edge: edge}, marks, turned); err != nil {
				return Pattern{}, err
			}
		}
	}
	return out, nil
}

// withPartnerNotches sets two notches on the far side of a seam of before,
// where they meet those along an edge of the near side; none where the seam
// does not run along that edge. What ease the seam has is left spread over all
// of it, or, where it is turned, taken between the two notches.
func (p Pattern) withPartnerNotches(before Pattern, sides [2][]Along, edge Along, marks [2]Notch, turned bool) (Pattern, error) {
	var near, far Length
	found := false
	for _, a := range sides[0] {
		length := before.alongLength(a)
		if a.Piece == edge.Piece && a.Edge == edge.Edge {
			found = true
			if a.Reversed {
				marks[0].At, marks[1].At = length-marks[0].At, length-marks[1].At
			}
			marks[0].At, marks[1].At = near+marks[0].At, near+marks[1].At
		}
		near += length
	}
	if !found {
		return p, nil
	}
	for _, a := range sides[1] {
		far += before.alongLength(a)
	}
	for i, m := range marks {
		at := m.At * far / near
		if turned {
			at = m.At
			if m.At > marks[1-i].At { // the later one, measured from the end
				at = far - (near - m.At)
			}
		}
		var err error
		if p, err = p.withNotchAlong(before, sides[1], m.Name, at); err != nil {
			return Pattern{}, err
		}
	}
	return p, nil
}

// withNotchAlong sets a notch at a length along a side of a seam of before.
func (p Pattern) withNotchAlong(before Pattern, side []Along, name string, at Length) (Pattern, error) {
	for i, a := range side {
		length := before.alongLength(a)
		if at > length && i < len(side)-1 {
			at -= length
			continue
		}
		at = min(max(at, 0), length) // beyond the ends only by rounding
		if a.Reversed {
			at = length - at
		}
		piece, err := p.Piece(a.Piece)
		if err != nil {
			return Pattern{}, err
		}
		if piece, err = piece.WithNotch(Notch{Name: name, Edge: a.Edge, At: at}); err != nil {
			return Pattern{}, err
		}
		return p.WithPiece(piece)
	}
	return p, nil
}

// alongLength is the length of a stretch of a seam that NewPattern has checked.
func (p Pattern) alongLength(a Along) Length {
	piece, _ := p.Piece(a.Piece)
	length, _ := piece.EdgeLength(a.Edge)
	return length
}

// DartToTuck returns p with a dart stitched only for a length along its legs
// from the mouth and open beyond, as a tuck of the dart's name. It takes what
// the dart took, so every edge keeps its length. The stitching must be at
// least 5 mm long and end before the dart's tip.
func (p Piece) DartToTuck(dart string, sewn Length) (Piece, error) {
	d, err := p.Dart(dart)
	if err != nil {
		return Piece{}, err
	}
	first, second := p.legs(d)
	if err := checkRange(fmt.Sprintf("piece %q: dart %q as a tuck", p.name, dart), "the stitched length", sewn, 5*MM, min(first, second)); err != nil {
		return Piece{}, err
	}
	start, end := p.mouth(d)
	p.darts = slices.DeleteFunc(p.Darts(), func(o Dart) bool { return o.Name == dart })
	p.pressed = slices.DeleteFunc(slices.Clone(p.pressed), func(o NamedPoint) bool { return o.Name == dart })
	if p, err = p.WithPleat(Pleat{Name: dart, Kind: Tuck, Mouth: d.Mouth, Sewn: sewn}); err != nil {
		return Piece{}, err
	}
	lines := append([]Edge(nil), p.internals...)
	for i, from := range []Point{start, start.Mid(end), end} {
		name := dart + [3]string{" stitch line", " fold line", " stitch line"}[i]
		lines = append(lines, Edge{name, Line(from, from.Lerp(d.Tip, float64(sewn/from.Dist(d.Tip))))})
	}
	middle := &lines[len(lines)-2] // the fold ends level with the stitching
	ends := [2]Point{lines[len(lines)-3].Path.End(), lines[len(lines)-1].Path.End()}
	middle.Path = Line(start.Mid(end), ends[0].Mid(ends[1]))
	p.internals = numbered(lines)
	return p, nil
}
