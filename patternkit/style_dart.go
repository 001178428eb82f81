package patternkit

import (
	"fmt"
	"math"

	"patternkit/patternkit/geom"
)

// A DartMove says to which place of the stitch line a dart goes, and how much
// of it.
type DartMove struct {
	To    OnEdge
	Share float64 // of the dart's angle, above 0 to 1; 0 takes what the other moves leave
	Name  string  // of the dart there; "" names it after its edge: "side seam dart"
}

// PivotDart returns p with a dart moved to another place of the stitch line,
// as when the piece is slit from there to the tip and turned about the tip
// until the old dart is shut. Several moves divide it; what their shares leave
// stays where it is. A dart keeps its angle, so its intake at the new place is
// to the old as the new leg is to the old; every other edge keeps its length
// with darts closed, so seams walk as before.
//
// The part on the fold stays in place, else that with the grainline, else the
// larger. The slit must lie inside the piece and cross no other dart; the legs
// must be equal within 1e-6 mm. Lines drawn inside the piece are cut where the
// slit crosses them: "bust line", "bust line 2".
func (p Piece) PivotDart(dart string, moves ...DartMove) (Piece, error) {
	d, err := p.equalDart(dart)
	if err != nil {
		return Piece{}, err
	}
	shares, err := p.dartShares(d, moves)
	if err != nil {
		return Piece{}, err
	}
	c := opened(p)
	slits := make([]int, len(moves))
	for i, m := range moves {
		if _, err := p.Dart(m.named()); err == nil && (m.named() != dart || sumOf(shares) < 1-shareTolerance) {
			return Piece{}, fmt.Errorf("piece %q already has a dart %q, want another name for that at %s", p.name, m.named(), m.To)
		}
		if slits[i], err = c.dartSlit(d, m, p.fold, slits[:i]); err != nil {
			return Piece{}, err
		}
	}
	whole := c.dartAngle(d)
	left := 1.0
	for i, m := range moves {
		left -= shares[i]
		turn := whole * Angle(shares[i])
		if left < shareTolerance {
			turn = c.dartAngle(d) // all that is left, so that the mouth shuts exactly
		}
		if c, err = c.pivoted(d, slits[i], turn, left < shareTolerance, m.named(), p.fold); err != nil {
			return Piece{}, err
		}
	}
	out, err := c.piece(p)
	if err != nil {
		return Piece{}, fmt.Errorf("dart %q moved to %s: %w", d.Name, moves[0].To, err)
	}
	return out, nil
}

// shareTolerance is what three thirds may miss of a whole.
const shareTolerance = 1e-9

// named is the move with its dart's name.
func (m DartMove) named() string {
	if m.Name != "" {
		return m.Name
	}
	return m.To.Edge + " dart"
}

// equalDart returns a dart whose legs are equal, so that it can be shut
// exactly.
func (p Piece) equalDart(name string) (Dart, error) {
	d, err := p.Dart(name)
	if err != nil {
		return Dart{}, err
	}
	if first, second := p.legs(d); (first - second).Abs() > joinTolerance {
		return Dart{}, fmt.Errorf("piece %q: dart %q has legs of %s and %s (%.4f mm apart), want equal legs",
			p.name, name, first, second, (first - second).Abs().MM())
	}
	return d, nil
}

// dartShares gives each move its share of the dart.
func (p Piece) dartShares(d Dart, moves []DartMove) ([]float64, error) {
	if len(moves) == 0 {
		return nil, fmt.Errorf("piece %q: dart %q is to be moved nowhere, want at least one place", p.name, d.Name)
	}
	shares := make([]float64, len(moves))
	left, rest := 1.0, -1
	for i, m := range moves {
		switch {
		case m.Share == 0 && rest >= 0:
			return nil, fmt.Errorf("piece %q: two moves of dart %q have no share, want at most one to take what the others leave", p.name, d.Name)
		case m.Share == 0:
			rest = i
		case !(m.Share > 0 && m.Share <= 1):
			return nil, fmt.Errorf("piece %q: dart %q is to give a share of %v to %s, want above 0 to 1", p.name, d.Name, m.Share, m.To)
		}
		shares[i] = m.Share
		left -= m.Share
	}
	if left < -shareTolerance || rest >= 0 && left < shareTolerance {
		return nil, fmt.Errorf("piece %q: the shares of dart %q come to %.4g, want at most 1, and something left for a move without a share",
			p.name, d.Name, 1-left)
	}
	if rest >= 0 {
		shares[rest] = left
	}
	return shares, nil
}

func sumOf(shares []float64) float64 {
	var s float64
	for _, x := range shares {
		s += x
	}
	return s
}

// dartSlit makes a corner where a move's slit begins and checks that the slit
// can be cut.
func (c *openPiece) dartSlit(d Dart, m DartMove, fold string, before []int) (int, error) {
	if m.To.Edge != d.Mouth && c.mouthNamed(m.To.Edge) {
		return 0, fmt.Errorf("piece %q: dart %q is to move to %s, the mouth of another dart or pleat, want an edge beside it", c.name, d.Name, m.To)
	}
	at, err := c.vertex(m.To)
	if err != nil {
		return 0, fmt.Errorf("dart %q: %w", d.Name, err)
	}
	mouth := c.mouthOf(d)
	if at == mouth || at == c.after(mouth) || m.To.Edge == d.Mouth {
		return 0, fmt.Errorf("piece %q: dart %q is to move to %s, where its mouth is, want another place", c.name, d.Name, m.To)
	}
	for _, b := range before {
		if at == b {
			return 0, fmt.Errorf("piece %q: two parts of dart %q are to move to %s, want a place for each", c.name, d.Name, m.To)
		}
	}
	from := c.corner(at)
	if line, _ := c.namedRun(fold); fold != "" && m.To.Edge == fold && len(line) > 1 {
		return 0, fmt.Errorf("piece %q: dart %q is to move to %q, which lies on the fold: take the piece off the fold first (WithoutFold)", c.name, d.Name, fold)
	}
	return at, c.checkSlit(fmt.Sprintf("the slit from %s to the tip of dart %q", m.To, d.Name), Line(from, d.Tip))
}

// checkSlit says what stops a line from being cut: it must lie inside the
// piece, meet the stitch line at most with its ends, and cross no dart.
func (c openPiece) checkSlit(what string, slit Path) error {
	inner := func(at Length) bool { return at > joinTolerance && at < slit.Length()-joinTolerance }
	for _, e := range c.edges {
		for _, x := range slit.Intersections(e.Path) {
			if inner(x.S) {
				return fmt.Errorf("piece %q: %s crosses edge %q at %s, want a line inside the piece", c.name, what, e.Name, place(x.At))
			}
		}
	}
	middle := slit.At(slit.Length() / 2)
	if regionOf(c.edges, Path{}).holds(middle) != 1 {
		return fmt.Errorf("piece %q: %s runs outside the piece or along its edge, want a line inside it", c.name, what)
	}
	for _, d := range c.darts {
		mouth := c.edges[c.index(c.mouthOf(d))].Path
		legs := Polyline(mouth.Start(), d.Tip, mouth.End())
		for _, x := range slit.Intersections(legs) {
			if inner(x.S) {
				return fmt.Errorf("piece %q: %s crosses dart %q at %s, want a line beside it", c.name, what, d.Name, place(x.At))
			}
		}
		if regionOf([]openEdge{{Edge: Edge{d.Mouth, mouth}}}, legs.Reversed()).holds(middle) == 1 {
			return fmt.Errorf("piece %q: %s runs inside dart %q, want a line beside it", c.name, what, d.Name)
		}
	}
	return nil
}

// mouthOf returns the number of the edge that is a dart's mouth.
func (c openPiece) mouthOf(d Dart) int {
	for _, e := range c.edges {
		if e.Name == d.Mouth {
			return e.id
		}
	}
	return -1
}

// dartAngle is the angle between a dart's legs.
func (c openPiece) dartAngle(d Dart) Angle {
	mouth := c.edges[c.index(c.mouthOf(d))].Path
	return mouth.Start().Sub(d.Tip).AngleTo(mouth.End().Sub(d.Tip))
}

// pivoted turns one side of the slit from the corner at to the dart's tip, by
// which the dart closes and another opens at the slit.
func (c openPiece) pivoted(d Dart, at int, turn Angle, shut bool, name, fold string) (openPiece, error) {
	mouth := c.edges[c.index(c.mouthOf(d))]
	if shut && len(mouth.notches) > 0 {
		return openPiece{}, fmt.Errorf("piece %q: notch %q lies in the mouth of dart %q, which is to close", c.name, mouth.notches[0].Name, d.Name)
	}
	q := c.corner(at)
	after, before, err := c.twoParts(c.between(c.after(mouth.id), at), c.between(at, mouth.id),
		Polyline(q, d.Tip, mouth.Path.End()), Polyline(mouth.Path.Start(), d.Tip, q))
	if err != nil {
		return openPiece{}, err
	}
	if after.anchored(before, fold) {
		before = before.transformed(geom.Rotate(d.Tip, turn))
	} else {
		after = after.transformed(geom.Rotate(d.Tip, -turn))
	}
	out := joinOpen(c.name, after, before)
	opening := openPiece{edges: []openEdge{{Edge: Edge{name + " mouth", Line(after.end(), before.start())}, id: c.last + 1}}, last: c.last + 1}
	old := openPiece{}
	if shut {
		first, last := &after.edges[0], before.edges[len(before.edges)-1]
		first.glued = first.Name == last.Name
	} else {
		mouth.Path = onChord(mouth.Path, before.end(), after.start())
		old.edges = []openEdge{mouth}
		out.darts = append(out.darts, d)
	}
	out.edges = joinOpen("", after, opening, before, old).edges
	out.last = opening.last
	out.darts = append(out.darts, Dart{name, name + " mouth", d.Tip})
	return out.startingAt(c.edges[0].id), nil
}

func (c openPiece) start() Point { return c.edges[0].Path.Start() }
func (c openPiece) end() Point   { return c.edges[len(c.edges)-1].Path.End() }

// startingAt begins the outline at the edge of that number, if it is there.
func (c openPiece) startingAt(id int) openPiece {
	if k := c.index(id); k > 0 {
		c.edges = append(append([]openEdge(nil), c.edges[k:]...), c.edges[:k]...)
	}
	return c
}

// onChord is the path brought to other ends by a turn and an even scaling.
func onChord(path Path, a, b Point) Path {
	from, to := path.End().Sub(path.Start()), b.Sub(a)
	k := float64(to.Norm() / from.Norm())
	return path.Transformed(geom.Translate(path.Start().Neg()).Then(geom.Scale(k)).
		Then(geom.Rotate(Point{}, from.AngleTo(to))).Then(geom.Translate(a)))
}

// ShortenDart returns p with the tip of a dart drawn back toward its mouth by
// a length, along its centre line, as when a dart pivoted about the bust point
// is to end 2 or 3 cm short of it (common practice, no source); a negative
// length moves it on. What is left must be at least 1 cm long.
func (p Piece) ShortenDart(dart string, by Length) (Piece, error) {
	d, err := p.Dart(dart)
	if err != nil {
		return Piece{}, err
	}
	start, end := p.mouth(d)
	centre := start.Mid(end)
	if left := centre.Dist(d.Tip) - by; !(left >= 1*CM) || math.IsInf(float64(left), 0) {
		return Piece{}, fmt.Errorf("piece %q: dart %q is %s long and is to be shortened by %s, want at least 1 cm left",
			p.name, d.Name, centre.Dist(d.Tip), by)
	}
	darts := p.Darts()
	for i := range darts {
		if darts[i].Name == dart {
			darts[i].Tip = d.Tip.Add(centre.Sub(d.Tip).Unit().Scale(float64(by)))
		}
	}
	p.darts = nil
	return p.WithDart(darts...)
}
