package patternkit

import (
	"fmt"
	"math"

	"patternkit/patternkit/geom"
)

// A Slash is a straight cut across a piece and how far it is spread: by AtFrom
// and AtTo between the cut edges at its two ends. With 0 at one end the cloth
// pivots there; with the same at both it is spread parallel. Less than 0 laps
// the cut edges over each other by so much: width is taken out.
type Slash struct {
	From, To     OnEdge
	AtFrom, AtTo Length
}

// SlashAndSpread returns p cut along each line and spread. An edge gains what
// the cuts open at it, bridged by straight lines, and exactly that; at a pivot
// nothing changes. Every other edge keeps its length, and notches, darts and
// points move with their cloth; lines drawn on the piece are carried on across
// the openings. The part on the fold stays in place, else that with the
// grainline, else the larger.
//
// Where a cut is lapped over, the edges at its ends lose exactly what it says;
// half goes on each side of the cut, and lines drawn across go on without it.
// Where the cut is not square to an edge, the two stretches of the edge are led
// to a common end. It is an error where a notch, a point or the end of an edge
// or a line would go, and where the cut leans so much that its sides would
// differ by more than a quarter of what is taken out.
//
// Cuts must lie inside the piece, cross no dart and not each other; they may
// share a pivot. SmoothEdge redraws an edge that was spread. In a pattern,
// WithPieceEased takes a longer edge into its seams as ease.
func (p Piece) SlashAndSpread(slashes ...Slash) (Piece, error) {
	if len(slashes) == 0 {
		return Piece{}, fmt.Errorf("piece %q is to be slashed nowhere, want at least one cut", p.name)
	}
	c := opened(p)
	cuts := make([]openSlash, len(slashes))
	for i, s := range slashes {
		var err error
		if cuts[i], err = c.markSlash(s, p.fold); err != nil {
			return Piece{}, err
		}
	}
	if err := c.checkSlashes(cuts); err != nil {
		return Piece{}, err
	}
	for _, s := range cuts {
		var err error
		if s.laps() {
			c, err = c.overlapped(s, p.fold)
		} else {
			c, _, err = c.slashed(s, p.fold)
		}
		if err != nil {
			return Piece{}, err
		}
	}
	out, err := c.startingAt(0).piece(p)
	if err != nil {
		return Piece{}, fmt.Errorf("slashed and spread: %w", err)
	}
	return out, nil
}

// An openSlash is a slash whose ends are corners of an open piece. The edges
// that bridge it have the names given.
type openSlash struct {
	Slash
	from, to         int
	fromName, toName string
}

// laps reports whether a slash takes width out.
func (s Slash) laps() bool { return s.AtFrom < 0 || s.AtTo < 0 }

func (s openSlash) String() string { return fmt.Sprintf("the cut from %s to %s", s.From, s.To) }

// markSlash makes corners at the ends of a cut and checks that it can be cut.
func (c *openPiece) markSlash(s Slash, fold string) (openSlash, error) {
	out := openSlash{Slash: s, fromName: s.From.Edge, toName: s.To.Edge}
	for _, opening := range []Length{s.AtFrom, s.AtTo} {
		if !opening.Finite() || s.laps() && opening > 0 {
			return openSlash{}, fmt.Errorf("piece %q: %s is to be spread by %s and %s, want 0 or more at both ends, or 0 or less to lap it over", c.name, out, s.AtFrom, s.AtTo)
		}
	}
	if s.AtFrom.Abs() < shortestEdge && s.AtTo.Abs() < shortestEdge {
		return openSlash{}, fmt.Errorf("piece %q: %s is spread by nothing at both ends, want at least %s at one", c.name, out, shortestEdge)
	}
	var err error
	for _, end := range []OnEdge{s.From, s.To} {
		if c.mouthNamed(end.Edge) {
			return openSlash{}, fmt.Errorf("piece %q: %s ends in the mouth of a dart or pleat, want an edge beside it", c.name, out)
		}
	}
	if out.from, err = c.vertex(s.From); err != nil {
		return openSlash{}, err
	}
	if out.to, err = c.vertex(s.To); err != nil {
		return openSlash{}, err
	}
	if run, _ := c.namedRun(fold); fold != "" && len(run) > 1 {
		return openSlash{}, fmt.Errorf("piece %q: %s cuts %q, which lies on the fold: take the piece off the fold first (WithoutFold)", c.name, out, fold)
	}
	if out.from == out.to {
		return openSlash{}, fmt.Errorf("piece %q: %s starts where it ends, want two places", c.name, out)
	}
	line := c.slashLine(out)
	if err := c.checkSlit(out.String(), line); err != nil {
		return openSlash{}, err
	}
	if wider := (s.AtTo - s.AtFrom).Abs(); wider > line.Length() {
		return openSlash{}, fmt.Errorf("piece %q: %s is %s long and opens %s more at one end than at the other, want at most its length: divide it among several cuts",
			c.name, out, line.Length(), wider)
	}
	return out, nil
}

func (c openPiece) slashLine(s openSlash) Path { return Line(c.corner(s.from), c.corner(s.to)) }

// mouthNamed reports whether an edge is the mouth of a dart or a pleat.
func (c openPiece) mouthNamed(edge string) bool {
	for _, d := range c.darts {
		if d.Mouth == edge {
			return true
		}
	}
	return Piece{pleats: c.pleats}.isFoldedAway(edge)
}

// checkSlashes says which cuts cross or open at the same corner.
func (c openPiece) checkSlashes(cuts []openSlash) error {
	opens := map[int]string{}
	for i, s := range cuts {
		for k, o := range cuts {
			if lost := s.laps() && (s.AtFrom < 0 && (s.from == o.from || s.from == o.to) || s.AtTo < 0 && (s.to == o.from || s.to == o.to)); lost && k != i {
				return fmt.Errorf("piece %q: %s is lapped over where %s ends, want a place for each", c.name, s, o)
			}
		}
		for _, end := range []struct {
			id int
			by Length
		}{{s.from, s.AtFrom}, {s.to, s.AtTo}} {
			if end.by == 0 {
				continue
			}
			if other, taken := opens[end.id]; taken {
				return fmt.Errorf("piece %q: %s opens where %s does, want a place for each", c.name, s, other)
			}
			opens[end.id] = s.String()
		}
		line := c.slashLine(s)
		for _, o := range cuts[:i] {
			for _, x := range line.Intersections(c.slashLine(o)) {
				if x.S > joinTolerance && x.S < line.Length()-joinTolerance || x.Shared > 0 {
					return fmt.Errorf("piece %q: %s crosses %s at %s, want cuts that lie apart", c.name, s, o, place(x.At))
				}
			}
		}
	}
	return nil
}

// A slashGap is where a slash has opened: from and to are the sides of the
// opening at its ends, in outline order of the piece.
type slashGap struct {
	from, to [2]Point
}

// slashed cuts c along a slash and spreads it.
func (c openPiece) slashed(s openSlash, fold string) (openPiece, slashGap, error) {
	f, h := c.corner(s.from), c.corner(s.to)
	start := c.edges[0].id
	lines := append([]Edge(nil), c.internals...)
	c.internals = nil
	left, right, err := c.halves(s.to, s.from, Line(f, h))
	if err != nil {
		return openPiece{}, slashGap{}, err
	}
	var moveLeft, moveRight Transform
	if left.anchored(right, fold) {
		moveRight = spreadMove(f, h, s.AtFrom, s.AtTo, -1)
	} else {
		moveLeft = spreadMove(f, h, s.AtFrom, s.AtTo, 1)
	}
	sides := [2]clothRegion{regionOf(left.edges, Line(f, h)), regionOf(right.edges, Line(h, f))}
	for i := range lines {
		if lines[i].Path, err = spreadLine(lines[i].Path, Line(f, h), sides, [2]Transform{moveLeft, moveRight}); err != nil {
			return openPiece{}, slashGap{}, err
		}
	}
	left, right = left.transformed(moveLeft), right.transformed(moveRight)
	gap := slashGap{from: [2]Point{left.end(), right.start()}, to: [2]Point{right.end(), left.start()}}
	out := joinOpen(c.name, left, right)
	out.edges, out.last = nil, c.last
	out.internals = lines
	out.append(left.edges)
	out.bridge(s.fromName, gap.from, s.AtFrom, &right.edges[0])
	out.append(right.edges)
	first := out.edges[0]
	out.bridge(s.toName, gap.to, s.AtTo, &first)
	out.edges[0] = first
	return out.startingAt(start), gap, nil
}

func (c *openPiece) append(edges []openEdge) {
	c.edges = append(c.edges[:len(c.edges):len(c.edges)], edges...)
}

// bridge adds the edge across an opening, unless there is none, and glues it
// to the edges of its name beside it.
func (c *openPiece) bridge(name string, across [2]Point, by Length, next *openEdge) {
	if by == 0 {
		return
	}
	before := c.edges[len(c.edges)-1].Name
	c.last++
	c.append([]openEdge{{Edge: Edge{name, Line(across[0], across[1])}, id: c.last, glued: before == name}})
	next.glued = next.Name == name
}

// spreadMove takes one side of a cut from f to h away from the other: the left
// side with side 1, the right with -1. It leaves gaps of a and b at the ends,
// which lie evenly about the cut.
func spreadMove(f, h Point, a, b Length, side float64) Transform {
	turn := Angle(side * 2 * math.Asin(float64((b-a)/(2*f.Dist(h)))))
	away := h.Sub(f).Unit().Perp().Scale(side * float64(a)).Rotated(turn / 2)
	return geom.Rotate(f, turn).Then(geom.Translate(away))
}

// spreadLine moves the parts of a line on the two sides of a cut, left and
// right, and carries it on straight across the opening.
func spreadLine(line, cut Path, sides [2]clothRegion, moves [2]Transform) (Path, error) {
	parts, err := cutLine(line, cut)
	if err != nil {
		return Path{}, err
	}
	var out Path
	for _, part := range parts {
		part = part.Transformed(moves[partFor(part.At(part.Length()/2), sides[:])])
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

// Flared returns p spread along cuts from one edge, which keeps its length, to
// an edge facing it, which gains by: a skirt flared from its waist to its hem.
// The cuts, 1 to 60, stand evenly along both edges, and each gives an equal
// share.
func (p Piece) Flared(from, to string, by Length, cuts int) (Piece, error) {
	if cuts < 1 || cuts > 60 {
		return Piece{}, fmt.Errorf("piece %q is to be flared along %d cuts, want 1 to 60", p.name, cuts)
	}
	top, err := p.EdgeLength(from)
	if err != nil {
		return Piece{}, err
	}
	hem, err := p.EdgeLength(to)
	if err != nil {
		return Piece{}, err
	}
	slashes := make([]Slash, cuts)
	for i := range slashes {
		k := (Length(i) + 0.5) / Length(cuts)
		slashes[i] = Slash{From: OnEdge{from, top * (1 - k)}, To: OnEdge{to, hem * k}, AtTo: by / Length(cuts)}
	}
	return p.SlashAndSpread(slashes...)
}
