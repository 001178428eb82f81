package patternkit

import (
	"fmt"
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

// A panelExit is where a seam through a dart leaves the piece: the corners of
// the outline on its two sides, and the tip of the dart there. Without a dart
// all are one place.
type panelExit struct {
	dart            string
	id, next        int // the edges that start at the corners
	start, tip, end Point
}

func (c *openPiece) panelExit(p Piece, d Dart, s DartSeam) (panelExit, error) {
	if s.Other == "" {
		id, err := c.vertex(s.To)
		if err != nil {
			return panelExit{}, fmt.Errorf("dart %q: %w", s.Dart, err)
		}
		if in := c.mouthOf(d); c.mouthNamed(s.To.Edge) || id == in || id == c.after(in) {
			return panelExit{}, fmt.Errorf("piece %q is to be parted from dart %q to %s, in the mouth of a dart or pleat, want an edge", p.name, s.Dart, s.To)
		}
		at := c.corner(id)
		return panelExit{"", id, id, at, at, at}, nil
	}
	if s.Other == s.Dart {
		return panelExit{}, fmt.Errorf("piece %q is to be parted from dart %q to itself, want two darts", p.name, s.Dart)
	}
	other, err := p.equalDart(s.Other)
	if err != nil {
		return panelExit{}, err
	}
	id := c.mouthOf(other)
	start, end := p.mouth(other)
	return panelExit{s.Other, id, c.after(id), start, other.Tip, end}, nil
}

// panels parts a piece; the edge along the seam is the last of each part.
func (p Piece) panels(s DartSeam) (open [2]openPiece, notches [2][]Notch, err error) {
	d, err := p.equalDart(s.Dart)
	if err != nil {
		return open, notches, err
	}
	c := opened(p)
	exit, err := c.panelExit(p, d, s)
	if err != nil {
		return open, notches, err
	}
	if d.Tip.Dist(exit.tip) > joinTolerance {
		what := fmt.Sprintf("the line from the tip of dart %q to %s", s.Dart, place(exit.tip))
		if err := c.checkSlit(what, Line(d.Tip, exit.tip)); err != nil {
			return open, notches, err
		}
	}
	in := c.mouthOf(d)
	start, end := p.mouth(d)
	sides := [2]Path{lineThrough(start, d.Tip, exit.tip, exit.end), lineThrough(exit.start, exit.tip, d.Tip, end)}
	if open[0], open[1], err = c.twoParts(c.between(exit.next, in), c.between(c.after(in), exit.id), sides[0], sides[1]); err != nil {
		return open, notches, err
	}
	for i, side := range sides {
		open[i].append([]openEdge{{Edge: Edge{s.Seam, side}, id: c.last + 1}})
	}
	notches[0] = []Notch{{Name: s.Dart, Edge: s.Seam, At: start.Dist(d.Tip)}}
	notches[1] = []Notch{{Name: s.Dart, Edge: s.Seam, At: sides[1].Length() - end.Dist(d.Tip)}}
	if exit.dart != "" && d.Tip.Dist(exit.tip) > joinTolerance {
		notches[0] = append(notches[0], Notch{Name: exit.dart, Edge: s.Seam, At: sides[0].Length() - exit.end.Dist(exit.tip)})
		notches[1] = append(notches[1], Notch{Name: exit.dart, Edge: s.Seam, At: exit.start.Dist(exit.tip)})
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
