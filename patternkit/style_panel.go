package patternkit

import (
	"fmt"
	"strings"
)

// A DartSeam parts a piece in two through a dart: from its mouth to its tip
// and on, in a straight line, to the tip of a second dart and out at its
// mouth, or to a place on the stitch line.
type DartSeam struct {
	Piece string // the piece that is parted
	Dart  string
	Other string // the second dart, or "" where the seam runs to To
	To    OnEdge
	// Before and After name the new pieces: Before has the stitch line that
	// comes before the mouth of Dart in outline order, After what follows it.
	Before, After string
	Seam          string // names the seam that joins them, and its edge on both: "panel seam"
}

// DartsToSeam returns p with a piece parted through one or two darts, which
// the new seam takes in: its two sides are the legs of the darts and the line
// between their tips, of equal length, with a notch at each tip. All other
// edges keep their lengths with darts closed and their seams run along both
// pieces. Legs must be equal within 1e-6 mm.
func (p Pattern) DartsToSeam(s DartSeam) (Pattern, error) {
	piece, err := p.Piece(s.Piece)
	if err != nil {
		return Pattern{}, err
	}
	if err := p.checkCut(Cut{Piece: s.Piece, Along: piece.outline, Left: s.Before, Right: s.After, Seam: s.Seam}, piece); err != nil {
		return Pattern{}, err
	}
	open, notches, err := piece.panels(s)
	if err != nil {
		return Pattern{}, err
	}
	var parts [2]Piece
	for i, name := range [2]string{s.Before, s.After} {
		if parts[i], err = piece.partOf(open[i], name); err != nil {
			return Pattern{}, fmt.Errorf("piece %q parted along the %q: %w", s.Piece, s.Seam, err)
		}
		if parts[i], err = parts[i].WithNotch(notches[i]...); err != nil {
			return Pattern{}, err
		}
	}
	seams := mapAlongs(p.seams, func(a Along) []Along {
		if a.Piece != s.Piece {
			return []Along{a}
		}
		return a.inParts(piece.alongParts(a.Edge, open, parts)...)
	})
	seams = append(seams, Seam{Name: s.Seam, A: []Along{{Piece: s.Before, Edge: s.Seam}}, B: []Along{{Piece: s.After, Edge: s.Seam, Reversed: true}}})
	return p.withPiecesFor(s.Piece, seams, parts[0], parts[1])
}

// panels parts a piece; the edges along the seam are the last of each part.
func (p Piece) panels(s DartSeam) (open [2]openPiece, notches [2][]Notch, err error) {
	d, err := p.equalDart(s.Dart)
	if err != nil {
		return open, notches, err
	}
	c := opened(p)
	in := c.mouthOf(d)
	out, farTip := 0, d.Tip
	var farStart, farEnd Point
	if strings.TrimSpace(s.Other) != "" {
		far, err := p.equalDart(s.Other)
		if err != nil {
			return open, notches, err
		}
		if s.Other == s.Dart {
			return open, notches, fmt.Errorf("piece %q is to be parted from dart %q to itself, want two darts", p.name, s.Dart)
		}
		out, farTip = c.mouthOf(far), far.Tip
		farStart, farEnd = p.mouth(far)
	} else {
		if out, err = c.vertex(s.To); err != nil {
			return open, notches, fmt.Errorf("dart %q: %w", s.Dart, err)
		}
		if c.mouthNamed(s.To.Edge) || out == in || out == c.after(in) {
			return open, notches, fmt.Errorf("piece %q is to be parted from dart %q to %s, in the mouth of a dart or pleat, want an edge", p.name, s.Dart, s.To)
		}
		farTip = c.corner(out)
		farStart, farEnd = farTip, farTip
	}
	if d.Tip.Dist(farTip) > joinTolerance {
		if err := c.checkSlit(fmt.Sprintf("the line from the tip of dart %q to %s", s.Dart, place(farTip)), Line(d.Tip, farTip)); err != nil {
			return open, notches, err
		}
	}
	next := out
	if s.Other != "" {
		next = c.after(out)
	}
	start, end := p.mouth(d)
	sides := [2]Path{lineThrough(start, d.Tip, farTip, farEnd), lineThrough(farStart, farTip, d.Tip, end)}
	before, after, err := c.twoParts(c.between(next, in), c.between(c.after(in), out), sides[0], sides[1])
	if err != nil {
		return open, notches, err
	}
	open = [2]openPiece{before, after}
	for i, side := range sides {
		open[i].append([]openEdge{{Edge: Edge{s.Seam, side}, id: c.last + 1}})
	}
	leg, whole := start.Dist(d.Tip), sides[0].Length()
	notches[0] = []Notch{{Name: s.Dart, Edge: s.Seam, At: leg}}
	notches[1] = []Notch{{Name: s.Dart, Edge: s.Seam, At: sides[1].Length() - end.Dist(d.Tip)}}
	if s.Other != "" && d.Tip.Dist(farTip) > joinTolerance {
		notches[0] = append(notches[0], Notch{Name: s.Other, Edge: s.Seam, At: whole - farEnd.Dist(farTip)})
		notches[1] = append(notches[1], Notch{Name: s.Other, Edge: s.Seam, At: farStart.Dist(farTip)})
	}
	return open, notches, nil
}

// lineThrough is the line through points, each of those that coincide once.
func lineThrough(points ...Point) Path {
	kept := points[:1:1]
	for _, q := range points[1:] {
		if q.Dist(kept[len(kept)-1]) > joinTolerance {
			kept = append(kept, q)
		}
	}
	return Polyline(kept...)
}
