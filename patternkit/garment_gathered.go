package patternkit

import (
	"fmt"
	"math"
	"slices"

	"patternkit/patternkit/geom"
)

// topEdge is the upper edge of a gathered top on all its pieces.
const topEdge = "top edge"

// A DesignStep is one change on the way from a pattern to a new one: what was
// done, in words, and the pattern before and after it. BeforeAfter draws both.
type DesignStep struct {
	Name, Words   string
	Before, After Pattern
}

// Picture draws the pattern after the step, and dashed under it the pattern
// before.
func (s DesignStep) Picture() (Picture, error) { return BeforeAfter(s.Before, s.After) }

// A GatheredTop is a top whose upper edge runs through front, back and sleeves
// and is gathered by an elastic: as a Part its pieces "front", "back" and
// "sleeve" with casing, hems and allowances, and its seams.
type GatheredTop struct {
	options GatheredTopOptions
	from    Pattern
	pattern Pattern
	steps   []DesignStep
}

// MakeGatheredTop makes a gathered top of a plain one with set-in sleeves: any
// pattern with half a front and half a back on the fold, pieces "front" and
// "back", with a piece "sleeve" and a seam "armhole" that joins its head to
// both armholes, front first. It may come from a garment or from a block.
//
// The top edge is drawn across all three pieces and what lies above is taken
// away; darts that it would cut are turned into the side seam first. Then each
// piece is laid out from its fold, the ends of the sleeve head are turned so that
// the edge runs straight on across its seams, the sides of body and sleeve are
// let out alike, the sleeve is cut to its length and flared, and the edges get their
// casing, hems and allowances. What is left of armhole and sleeve head walks to
// each other exactly. Every change is one of the general style operations, and
// Steps shows them.
func MakeGatheredTop(from Pattern, o GatheredTopOptions) (GatheredTop, error) {
	if err := o.check(); err != nil {
		return GatheredTop{}, err
	}
	g := gathering{o: o, p: from}
	if err := g.find(); err != nil {
		return GatheredTop{}, fmt.Errorf("%s: %w", gatheredWhat, err)
	}
	g.p.name, g.p.drawn = gatheredWhat, &drawnPage{}
	for _, step := range []func() error{g.clearTop, g.lower, g.layOut, g.layOutSleeve, g.runOn, g.letOut, g.cutSleeve, g.flareSleeve, g.finish} {
		if err := step(); err != nil {
			return GatheredTop{}, fmt.Errorf("%s: %w", gatheredWhat, err)
		}
	}
	return GatheredTop{options: o, from: from, pattern: g.p, steps: g.steps}, nil
}

// A gathering is a gathered top in the making.
type gathering struct {
	o     GatheredTopOptions
	p     Pattern
	steps []DesignStep
	body  [2]topHalf // front and back
	head  string     // the edge of the sleeve that is sewn into the armholes
	sides [2]string  // the underarm edges of the sleeve
	hem   string     // of the sleeve
}

// A topHalf is the half front or back with the names of its edges.
type topHalf struct {
	piece, armhole, side, hem string
	start                     bool // the armhole starts at the underarm, in outline order
}

// find looks up the edges of the pieces by how they follow each other.
func (g *gathering) find() error {
	s, err := g.p.Seam("armhole")
	if err != nil {
		return err
	}
	if len(s.A) != 1 || len(s.B) != 2 || s.A[0].Piece != "sleeve" || s.B[0].Piece != "front" || s.B[1].Piece != "back" {
		return fmt.Errorf("seam %q joins %s to %s, want the head of the sleeve on side A and the armholes of front and back on side B", s.Name, sideWords(s.A), sideWords(s.B))
	}
	l := lowering{seam: s}
	for i := range g.body {
		a := s.B[i]
		piece, err := g.p.Piece(a.Piece)
		if err != nil {
			return err
		}
		if piece.fold == "" {
			return fmt.Errorf("piece %q is not on the fold, want half a %s with its centre on the fold", a.Piece, a.Piece)
		}
		h := topHalf{piece: a.Piece, armhole: a.Edge, start: l.underarm(i)}
		h.side = g.p.neighbour(a, !h.start).Edge
		h.hem = g.p.neighbour(Along{Piece: a.Piece, Edge: h.side}, !h.start).Edge
		g.body[i] = h
	}
	g.head = s.A[0].Edge
	for i, last := range []bool{false, true} {
		g.sides[i] = g.p.neighbour(s.A[0], last).Edge
	}
	g.hem = g.p.neighbour(Along{Piece: "sleeve", Edge: g.sides[1]}, true).Edge
	return nil
}

// does makes one step and records it.
func (g *gathering) does(name, words string, f func(Pattern) (Pattern, error)) error {
	after, err := f(g.p)
	if err != nil {
		return err
	}
	g.steps = append(g.steps, DesignStep{Name: name, Words: words, Before: g.p, After: after})
	g.p = after
	return nil
}

// onPiece is a step that changes one piece.
func onPiece(p Pattern, name string, f func(Piece) (Piece, error)) (Pattern, error) {
	piece, err := p.Piece(name)
	if err != nil {
		return Pattern{}, err
	}
	out, err := f(piece)
	if err != nil {
		return Pattern{}, err
	}
	return p.WithPiece(out.withPointsInOrderOf(piece))
}

// withPointsInOrderOf lists the points as they were listed before, so that they
// stand alike at every size, however a cut has dealt them out.
func (p Piece) withPointsInOrderOf(before Piece) Piece {
	place := func(q NamedPoint) int {
		return slices.IndexFunc(before.points, func(b NamedPoint) bool { return b.Name == q.Name })
	}
	p.points = p.Points()
	slices.SortStableFunc(p.points, func(a, b NamedPoint) int { return place(a) - place(b) })
	return p
}

// clearTop turns the darts that the top edge would cut into the side seam.
func (g *gathering) clearTop() error {
	for _, h := range g.body {
		piece, err := g.p.Piece(h.piece)
		if err != nil {
			return err
		}
		level, up, err := h.level(piece, g.o.TopEdge)
		if err != nil {
			return err
		}
		for _, d := range piece.darts {
			start, end := piece.mouth(d)
			if start.Sub(level).Dot(up) <= 0 && end.Sub(level).Dot(up) <= 0 || d.Tip.Sub(level).Dot(up) >= 0 {
				continue // it opens below the line, or ends above it
			}
			words := fmt.Sprintf("The top edge would cut the %s of the %s: it is pivoted into the side seam.", d.Name, h.piece)
			err := g.does(d.Name+" of the "+h.piece, words, func(p Pattern) (Pattern, error) {
				return onPiece(p, h.piece, func(q Piece) (Piece, error) { return h.toSide(q, d.Name, 0.3) })
			})
			if err != nil {
				return err
			}
		}
	}
	return nil
}

// belowNeckline refuses a top edge that would end in the neckline rather than at
// the fold.
func (h topHalf) belowNeckline(pattern Pattern, fraction float64) error {
	p, err := pattern.Piece(h.piece)
	if err != nil {
		return err
	}
	fold, err := p.onlyEdge(p.fold)
	if err != nil {
		return err
	}
	level, up, err := h.level(p, fraction)
	if err != nil {
		return err
	}
	bottom, _, err := h.level(p, 0)
	if err != nil {
		return err
	}
	top := fold.Start()
	if fold.End().Sub(top).Dot(up) > 0 {
		top = fold.End()
	}
	rise, most := level.Sub(bottom).Dot(up)/fraction, top.Sub(bottom).Dot(up)
	if level.Sub(top).Dot(up) < 0 {
		return nil
	}
	return fmt.Errorf("TopEdge is %.2f, and so high the edge would run into the neckline of the %s: want at most %.2f",
		fraction, h.piece, math.Floor(100*most/rise-1e-9)/100)
}

// level is where the top edge crosses the armhole of a piece, and the way up.
func (h topHalf) level(p Piece, fraction float64) (at, up Point, err error) {
	path, err := p.onlyEdge(h.armhole)
	if err != nil {
		return Point{}, Point{}, err
	}
	if !h.start {
		path = path.Reversed()
	}
	up = Pt(0, 1)
	if p.hasGrain {
		up = p.grain[1].Sub(p.grain[0]).Unit()
	}
	rise := path.End().Sub(path.Start()).Dot(up)
	if rise < 0 {
		up, rise = up.Neg(), -rise
	}
	return path.Start().Add(up.Scale(fraction * rise)), up, nil
}

// toSide pivots a dart into the side seam at a share of its length below the
// underarm.
func (h topHalf) toSide(p Piece, dart string, share float64) (Piece, error) {
	length, err := p.EdgeLength(h.side)
	if err != nil {
		return Piece{}, err
	}
	if h.start { // then the side seam ends at the underarm
		share = 1 - share
	}
	if p, err = p.PivotDart(dart, DartMove{To: OnEdge{h.side, length * Length(share)}, Name: dart}); err != nil {
		return Piece{}, err
	}
	return p.withBustLineWhole()
}

// withBustLineWhole draws the bust line of a half, which a pivoted dart has
// turned apart, as one line bent where its part at the fold ends. So it is
// measured as it lies once the dart is closed, and is drawn alike at every size.
func (p Piece) withBustLineWhole() (Piece, error) {
	const name = "bust line"
	fold, err := p.onlyEdge(p.fold)
	if err != nil {
		return Piece{}, err
	}
	lines := p.linesOf(name)
	if len(lines) == 0 {
		return p, nil
	}
	var inner, outer, bend Point
	least, most := Length(math.Inf(1)), Length(-1)
	for _, line := range lines {
		for _, ends := range [2][2]Point{{line.Start(), line.End()}, {line.End(), line.Start()}} {
			away := fold.Dist(ends[0])
			if away < least {
				least, inner, bend = away, ends[0], ends[1]
			}
			if away > most {
				most, outer = away, ends[0]
			}
		}
	}
	if bend == outer {
		bend = inner.Mid(outer)
	}
	p.internals = slices.DeleteFunc(p.Internals(), func(e Edge) bool { return plainName(e.Name) == name })
	return p.WithInternal(name, Polyline(inner, bend, outer))
}

// lower draws the top edge.
func (g *gathering) lower() error {
	for _, h := range g.body {
		if err := h.belowNeckline(g.p, g.o.TopEdge); err != nil {
			return err
		}
	}
	words := fmt.Sprintf("The top edge is drawn across front, back and sleeve at %.0f %% of the depth of the armhole; what lies above is taken away.", 100*g.o.TopEdge)
	return g.does("top edge", words, func(p Pattern) (Pattern, error) { return p.LowerTop("armhole", g.o.TopEdge, topEdge) })
}

// layOut lays front and back from the fold.
func (g *gathering) layOut() error {
	for i, h := range g.body {
		by := [2]Length{g.o.FrontFullness, g.o.BackFullness}[i]
		if by == 0 {
			continue
		}
		words := fmt.Sprintf("The %s is laid %s from the fold, so that the whole piece gains %s.", h.piece, by, 2*by)
		err := g.does("fullness at the centre "+h.piece, words, func(p Pattern) (Pattern, error) {
			return onPiece(p, h.piece, func(q Piece) (Piece, error) { return laidFromFold(q, by) })
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// laidFromFold widens a half piece at its fold and leads the lines that ended
// there on to it.
func laidFromFold(p Piece, by Length) (Piece, error) {
	fold, err := p.onlyEdge(p.fold)
	if err != nil {
		return Piece{}, err
	}
	out, err := p.WidenAtFold(by)
	if err != nil {
		return Piece{}, err
	}
	moved, err := out.onlyEdge(out.fold)
	if err != nil {
		return Piece{}, err
	}
	to := geom.Translate(moved.Start().Sub(fold.Start()))
	lines := out.Internals()
	for i, line := range lines {
		if lines[i].Path, err = ledTo(line.Path, []Edge{{p.fold, fold}}, to); err != nil {
			return Piece{}, err
		}
	}
	out.internals = lines
	return out, nil
}

// layOutSleeve spreads the sleeve at its centre fold, from the top edge to the
// hem.
func (g *gathering) layOutSleeve() error {
	by := g.o.SleeveFullness
	if by == 0 {
		return nil
	}
	words := fmt.Sprintf("The sleeve, folded along its centre, is laid %s from the fold, so that it gains %s.", by, 2*by)
	return g.does("fullness at the centre of the sleeve", words, func(p Pattern) (Pattern, error) {
		return onPiece(p, "sleeve", func(q Piece) (Piece, error) { return g.spreadAtCentre(q, by) })
	})
}

func (g *gathering) spreadAtCentre(q Piece, by Length) (Piece, error) {
	centre, err := g.centreLine(q)
	if err != nil {
		return Piece{}, err
	}
	from, err := q.crossedAt(topEdge, centre)
	if err != nil {
		return Piece{}, err
	}
	to, err := q.crossedAt(g.hem, centre)
	if err != nil {
		return Piece{}, err
	}
	out, err := q.SlashAndSpread(Slash{From: OnEdge{topEdge, from}, To: OnEdge{g.hem, to}, AtFrom: 2 * by, AtTo: 2 * by})
	if err != nil {
		return Piece{}, err
	}
	if out, err = g.grainInCentre(out); err != nil {
		return Piece{}, err
	}
	// Spreading holds the larger half, which is not the same one in all sizes.
	spread, err := g.centreLine(out)
	if err != nil {
		return Piece{}, err
	}
	middle := func(line Path) Point { return line.Start().Mid(line.End()) }
	return out.Transformed(geom.Translate(middle(centre).Sub(middle(spread))))
}

// grainInCentre lays the grainline of the sleeve on its centre line.
func (g *gathering) grainInCentre(q Piece) (Piece, error) {
	centre, err := g.centreLine(q)
	if err != nil {
		return Piece{}, err
	}
	spans := spansInside(q.outline, centre)
	if len(spans) != 1 {
		return Piece{}, fmt.Errorf("piece %q: its centre line leaves it, want it inside from the top edge to the hem", q.name)
	}
	margin := (spans[0][1] - spans[0][0]) * 0.15
	return q.WithGrainline(centre.At(spans[0][0]+margin), centre.At(spans[0][1]-margin))
}

// centreLine is the line along the grain half way between the underarm points
// of the sleeve.
func (g *gathering) centreLine(q Piece) (Path, error) {
	var ends [2]Point
	for i, side := range g.sides {
		path, err := q.onlyEdge(side)
		if err != nil {
			return Path{}, err
		}
		ends[i] = path.Start()
		if i == 0 { // it ends where the head begins
			ends[i] = path.End()
		}
	}
	up := ends[1].Sub(ends[0]).Perp().Unit()
	if q.hasGrain {
		up = q.grain[1].Sub(q.grain[0]).Unit()
	}
	reach := float64(q.Bounds().Width() + q.Bounds().Height())
	mid := ends[0].Mid(ends[1])
	return Line(mid.Sub(up.Scale(reach)), mid.Add(up.Scale(reach))), nil
}

// crossedAt is where a line crosses an edge, along it.
func (p Piece) crossedAt(edge string, line Path) (Length, error) {
	path, err := p.onlyEdge(edge)
	if err != nil {
		return 0, err
	}
	crossings := path.Intersections(line)
	if len(crossings) != 1 {
		return 0, fmt.Errorf("piece %q: its centre line crosses edge %q %d times, want once", p.name, edge, len(crossings))
	}
	return crossings[0].S, nil
}
