package patternkit

import (
	"fmt"
	"slices"
	"strings"
)

// A Cut parts a piece in two along a line or a curve.
type Cut struct {
	Piece string // the piece that is cut
	// Along runs across the piece, from edge to edge or beyond both: it must
	// cross the stitch line twice.
	Along Path
	// Left and Right name the new pieces, as they lie seen along the cut: of a
	// cut from left to right the upper piece is Left.
	Left, Right string
	Seam        string // names the seam that joins them, and its edge on both: "yoke seam"
}

// Cut returns p with a piece cut in two, joined by a new seam. Each edge, dart,
// notch, point and line stays with its side under its own name; an edge that
// is cut is on both pieces, and its seams run along both. Internal lines that
// are cut continue on the other piece. The grainline keeps its direction on
// both. A part that has lost the fold is cut as a pair.
//
// A line that runs through a dart is ruled with the dart folded shut, as one
// traces a yoke (common practice, no source). One that meets the fold and runs
// on beyond the other edge is taken as it lies at the fold, to which it may be
// square, and ruled on from there; any other runs between the same two places
// of the stitch line, in the same shape. The part with the tip keeps the dart,
// which now opens at the new edge. On the other part it is closed for good,
// and what was drawn inside it there is gone; of the stretches beside it, that
// on the fold stays in place, else that with the grainline, else the longest.
//
// It is an error where the cut does not cross the stitch line twice, starts
// and ends on one edge, ends in the mouth of a dart, runs along a leg, or comes
// nearer to a tip than 1 cm without passing clear of it.
func (p Pattern) Cut(c Cut) (Pattern, error) {
	left, right, seams, err := p.cutApart(c)
	if err != nil {
		return Pattern{}, err
	}
	seams = append(seams, Seam{Name: c.Seam,
		A: []Along{{Piece: c.Left, Edge: c.Seam}}, B: []Along{{Piece: c.Right, Edge: c.Seam, Reversed: true}}})
	return p.withPiecesFor(c.Piece, seams, left, right)
}

// cutApart returns both parts of a piece and the seams along them.
func (p Pattern) cutApart(c Cut) (left, right Piece, seams []Seam, err error) {
	piece, err := p.Piece(c.Piece)
	if err != nil {
		return Piece{}, Piece{}, nil, fmt.Errorf("cut: %w", err)
	}
	if err := p.checkCut(c, piece); err != nil {
		return Piece{}, Piece{}, nil, err
	}
	parts, open, err := piece.partedBy(c)
	if err != nil {
		return Piece{}, Piece{}, nil, err
	}
	seams = mapAlongs(p.seams, func(a Along) []Along {
		if a.Piece != c.Piece {
			return []Along{a}
		}
		return a.inParts(piece.alongParts(a.Edge, open, parts)...)
	})
	return parts[0], parts[1], seams, nil
}

func (p Pattern) checkCut(c Cut, piece Piece) error {
	if strings.TrimSpace(c.Left) == "" || strings.TrimSpace(c.Right) == "" || c.Left == c.Right {
		return fmt.Errorf("cut of piece %q: its parts are to be named %q and %q, want two names", c.Piece, c.Left, c.Right)
	}
	if strings.TrimSpace(c.Seam) == "" {
		return fmt.Errorf("cut of piece %q: the seam has no name, want one such as \"yoke seam\"", c.Piece)
	}
	if _, err := piece.run(c.Seam); err == nil {
		return fmt.Errorf("cut of piece %q: it already has an edge %q, want another name for the seam", c.Piece, c.Seam)
	}
	for _, other := range p.pieces {
		if other.name != c.Piece && (other.name == c.Left || other.name == c.Right) {
			return fmt.Errorf("cut of piece %q: pattern %q already has a piece %q, want another name", c.Piece, p.name, other.name)
		}
	}
	if c.Along.Empty() || !c.Along.Finite() {
		return fmt.Errorf("cut of piece %q: there is no line to cut along, want a Path across the piece", c.Piece)
	}
	return nil
}

// partedBy parts a piece; open are its parts while their edges still have
// their numbers.
func (p Piece) partedBy(c Cut) (parts [2]Piece, open [2]openPiece, err error) {
	line, err := p.ruledAcross(c.Along)
	if err != nil {
		return parts, open, err
	}
	return p.partedAlong(line, c)
}

// partedAlong parts a piece at a line that was ruled with darts folded shut.
func (p Piece) partedAlong(line shutLine, c Cut) (parts [2]Piece, open [2]openPiece, err error) {
	o := opened(p)
	o.pressed = p.pressedDarts()
	fromID, err := o.vertexAlong(line.from)
	if err != nil {
		return parts, open, err
	}
	toID, err := o.vertexAlong(line.to)
	if err != nil {
		return parts, open, err
	}
	if err := o.checkOneCut(fromID, toID); err != nil {
		return parts, open, err
	}
	line = line.settled(o.corner(fromID), o.corner(toID))
	if open[0], open[1], err = o.beside(line, fromID, toID, c.Seam, p.fold); err != nil {
		return parts, open, fmt.Errorf("cut of %w", err)
	}
	for i, name := range [2]string{c.Left, c.Right} {
		if parts[i], err = p.partOf(open[i], name); err != nil {
			return parts, open, fmt.Errorf("cut of piece %q: %w", p.name, err)
		}
		if err = p.checkPleatsWhole(parts[i]); err != nil {
			return parts, open, err
		}
	}
	return parts, open, nil
}

// trimmedCut returns what of a line lies across the piece, and where on the
// outline it starts and ends.
func (p Piece) trimmedCut(along Path) (cut Path, from, to Length, err error) {
	crossings := along.Intersections(p.outline)
	if len(crossings) != 2 || crossings[0].Shared > 0 || crossings[1].Shared > 0 {
		places := make([]string, len(crossings))
		for i, x := range crossings {
			places[i] = place(x.At)
		}
		return Path{}, 0, 0, fmt.Errorf("cut of piece %q: the line meets the stitch line %d times (%s), want it to cross the piece once, from edge to edge",
			p.name, len(crossings), strings.Join(places, ", "))
	}
	if cut, err = along.Between(crossings[0].S, crossings[1].S); err != nil {
		return Path{}, 0, 0, err
	}
	return cut, crossings[0].T, crossings[1].T, nil
}

// checkPleatsWhole says which pleat a cut has parted.
func (p Piece) checkPleatsWhole(part Piece) error {
	for _, pl := range p.pleats {
		_, mouth := part.run(pl.Mouth)
		_, end := part.run(pl.End)
		if pl.End != "" && (mouth == nil) != (end == nil) {
			return fmt.Errorf("cut of piece %q: the line runs across the pleat %q, want it beside its pleats: cut first and pleat the parts", p.name, pl.Name)
		}
	}
	return nil
}

// vertexAlong makes a corner at a length along the outline.
func (c *openPiece) vertexAlong(at Length) (int, error) {
	s := at
	for k, e := range c.edges {
		l := e.Path.Length()
		switch {
		case s <= joinTolerance:
			return e.id, nil
		case s < l-joinTolerance:
			return c.splitOpen(k, s)
		}
		s -= l
	}
	return c.edges[0].id, nil
}

// checkOneCut refuses a cut that leaves two stretches of one edge on the same
// part, with the cut between them.
func (c openPiece) checkOneCut(from, to int) error {
	after := func(id int) openEdge { return c.edges[c.index(id)] }
	if a, b := after(from), after(to); a.glued && b.glued && a.Name == b.Name {
		return fmt.Errorf("cut of piece %q: the line starts and ends on edge %q, want two edges: split it there under two names first", c.name, a.Name)
	}
	return nil
}

// partOf closes a part of p and sees that it can be cut from cloth by itself.
func (p Piece) partOf(open openPiece, name string) (Piece, error) {
	like, err := p.Renamed(name)
	if err != nil {
		return Piece{}, err
	}
	part, err := open.piece(like)
	if err != nil {
		return Piece{}, err
	}
	if p.fold != "" && part.fold == "" {
		part.quantity, part.cutNote = 2*p.quantity, "a pair"
	}
	if p.hasGrain {
		part.grain, part.hasGrain = part.grainAlong(p.grain), true
	}
	return part.pressedAsBefore(p), nil
}

// pressedAsBefore leaves of the points toward which the darts of a part of p are
// pressed those that have been said, and those that nothing else tells now that
// the fold or the centre is on the other part.
func (part Piece) pressedAsBefore(p Piece) Piece {
	all := part.pressed
	part.pressed = nil
	var kept []NamedPoint
	for _, q := range all {
		said := slices.ContainsFunc(p.pressed, func(o NamedPoint) bool { return o.Name == q.Name })
		if d, err := part.Dart(q.Name); err == nil && !said {
			_, err = part.dartPressed(d)
			said = err != nil
		}
		if said {
			kept = append(kept, q)
		}
	}
	part.pressed = kept
	return part
}

// grainAlong is the grainline where it lies inside, or one of its direction in
// the longest place across the piece.
func (p Piece) grainAlong(grain [2]Point) [2]Point {
	if p.inside(grain[0]) && p.inside(grain[1]) {
		return grain
	}
	along := grain[1].Sub(grain[0]).Unit()
	box := p.Bounds()
	reach := box.Width() + box.Height()
	var best [2]Point
	for i := 1; i < 10; i++ {
		at := Pt(box.Min.X+box.Width()*Length(i)/10, box.Min.Y+box.Height()*Length(i)/10)
		if along.X.Abs() > along.Y.Abs() {
			at.X = box.Center().X
		} else {
			at.Y = box.Center().Y
		}
		line := Line(at.Sub(along.Scale(float64(reach))), at.Add(along.Scale(float64(reach))))
		for _, span := range spansInside(p.outline, line) {
			if margin := (span[1] - span[0]) * 0.15; span[1]-span[0]-2*margin > best[0].Dist(best[1]) {
				best = [2]Point{line.At(span[0] + margin), line.At(span[1] - margin)}
			}
		}
	}
	return best
}

func (p Piece) inside(q Point) bool {
	return len(spansInside(p.outline, Line(q.Sub(Pt(0.01, 0)), q.Add(Pt(0.01, 0))))) > 0
}

// alongParts are the pieces that an edge of p is on once p is cut, in outline
// order from its start.
func (p Piece) alongParts(edge string, open [2]openPiece, parts [2]Piece) []Along {
	run, _ := p.run(edge)
	first := 0
	if open[1].index(run[0]) >= 0 { // what is left of an edge at its start keeps its number
		first = 1
	}
	out := []Along{{Piece: parts[first].name, Edge: edge}}
	if _, err := parts[1-first].run(edge); err == nil {
		out = append(out, Along{Piece: parts[1-first].name, Edge: edge})
	}
	return out
}

// withPiecesFor returns p with a piece replaced by others, and other seams.
func (p Pattern) withPiecesFor(name string, seams []Seam, pieces ...Piece) (Pattern, error) {
	out := Pattern{name: p.name, seams: seams, drawn: &drawnPage{}}
	for i, piece := range p.pieces {
		if piece.name != name {
			out.pieces, out.parts = append(out.pieces, piece), append(out.parts, p.parts[i])
			continue
		}
		for _, part := range pieces {
			out.pieces, out.parts = append(out.pieces, part), append(out.parts, p.parts[i])
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
