package patternkit

import (
	"fmt"
	"math"

	"patternkit/patternkit/geom"
)

// letOut widens the sides of body and sleeve alike.
func (g *gathering) letOut() error {
	by := g.o.SideWidth
	if by == 0 {
		return nil
	}
	words := fmt.Sprintf("Front and back gain %s at the side, the sleeve as much at both edges of its underarm seam.", by)
	return g.does("width at the side", words, func(p Pattern) (Pattern, error) {
		for _, h := range g.body {
			var err error
			if p, err = onPiece(p, h.piece, func(q Piece) (Piece, error) { return h.widened(q, by) }); err != nil {
				return Pattern{}, err
			}
		}
		return onPiece(p, "sleeve", func(q Piece) (Piece, error) {
			for _, side := range g.sides {
				var err error
				if q, err = q.WidenAtSide(side, by); err != nil {
					return Piece{}, err
				}
			}
			return q, nil
		})
	})
}

// widened lets out the side seam of a half. Its darts are closed for that, by
// pivoting them to the top edge and back.
func (h topHalf) widened(p Piece, by Length) (Piece, error) {
	var darts []Dart
	for _, d := range p.Darts() {
		if p.besideMouth(d, true).Name == h.side && p.besideMouth(d, false).Name == h.side {
			darts = append(darts, d)
		}
	}
	if len(darts) == 0 {
		return p.WidenAtSide(h.side, by)
	}
	out := p
	var err error
	for _, d := range darts {
		if out, err = h.toTop(out, d); err != nil {
			return Piece{}, err
		}
	}
	if out, err = out.WidenAtSide(h.side, by); err != nil {
		return Piece{}, err
	}
	for _, d := range darts {
		if out, err = out.PivotDart(d.Name, DartMove{To: OnEdge{h.side, p.mouthAlong(d, h.side)}, Name: d.Name}); err != nil {
			return Piece{}, err
		}
	}
	return h.withLinesOf(out, p)
}

// withLinesOf gives a widened half the lines that it had, without the cuts of
// the way there and back, those that ended on the side led on to it.
func (h topHalf) withLinesOf(out, before Piece) (Piece, error) {
	was, err := before.Edge(h.side)
	if err != nil {
		return Piece{}, err
	}
	is, err := out.Edge(h.side)
	if err != nil {
		return Piece{}, err
	}
	lines := before.Internals()
	for i := range lines {
		for k := range min(len(was), len(is)) {
			to := geom.Translate(is[k].Path.Start().Sub(was[k].Path.Start()))
			if lines[i].Path, err = ledTo(lines[i].Path, was[k:k+1], to); err != nil {
				return Piece{}, err
			}
		}
	}
	out.internals = lines
	return out, nil
}

// toTop pivots a dart to the top edge, straight above its tip.
func (h topHalf) toTop(p Piece, d Dart) (Piece, error) {
	_, up, err := h.level(p, 0)
	if err != nil {
		return Piece{}, err
	}
	reach := float64(p.Bounds().Width() + p.Bounds().Height())
	at, err := p.crossedAt(topEdge, Line(d.Tip.Sub(up.Scale(reach)), d.Tip.Add(up.Scale(reach))))
	if err != nil {
		return Piece{}, err
	}
	return p.PivotDart(d.Name, DartMove{To: OnEdge{topEdge, at}, Name: d.Name})
}

// cutSleeve brings the underarm seam of the sleeve to its length.
func (g *gathering) cutSleeve() error {
	want := g.o.SleeveUnderarm
	if want == 0 {
		return nil
	}
	sleeve, err := g.p.Piece("sleeve")
	if err != nil {
		return err
	}
	shortest, err := g.shorterUnderarm(sleeve)
	if err != nil || (shortest-want).Abs() < shortestEdge {
		return err
	}
	hem, err := sleeve.onlyEdge(g.hem)
	if err != nil {
		return err
	}
	clear := want + 2*CM + hem.Bounds().Height() // so that the cut keeps clear of a hem that is hollow
	words := fmt.Sprintf("The sleeve is cut to %s along its underarm seam.", want)
	return g.does("length of the sleeve", words, func(p Pattern) (Pattern, error) {
		if longer := clear - shortest; longer > 0 {
			if p, err = onPiece(p, "sleeve", func(q Piece) (Piece, error) { return q.Extended(g.hem, max(longer, 1*MM)) }); err != nil {
				return Pattern{}, err
			}
		}
		return g.trimSleeve(p, want)
	})
}

func (g *gathering) shorterUnderarm(sleeve Piece) (Length, error) {
	a, err := sleeve.EdgeLength(g.sides[0])
	if err != nil {
		return 0, err
	}
	b, err := sleeve.EdgeLength(g.sides[1])
	return min(a, b), err
}

// trimSleeve cuts the sleeve straight across at a length from the underarm
// along both edges of its seam.
func (g *gathering) trimSleeve(p Pattern, length Length) (Pattern, error) {
	sleeve, err := p.Piece("sleeve")
	if err != nil {
		return Pattern{}, err
	}
	a, err := sleeve.onlyEdge(g.sides[0])
	if err != nil {
		return Pattern{}, err
	}
	b, err := sleeve.onlyEdge(g.sides[1])
	if err != nil {
		return Pattern{}, err
	}
	from, to := a.At(a.Length()-length), b.At(length)
	out := to.Sub(from).Unit().Scale(float64(20 * CM))
	keep := p.neighbour(Along{Piece: "sleeve", Edge: g.sides[0]}, true).Edge
	const cut = "new hem"
	if p, err = p.Trim(Trim{Piece: "sleeve", Along: Line(from.Sub(out), to.Add(out)), Keep: keep, Edge: cut}); err != nil {
		return Pattern{}, err
	}
	if p, err = p.RenamedEdge("sleeve", cut, g.hem); err != nil {
		return Pattern{}, err
	}
	return onPiece(p, "sleeve", g.grainInCentre)
}

// flareSleeve lets the underarm seams run out toward the hem, whose corners
// swing about the underarm points: so the seams keep their length, and the top
// edge stays straight for its casing.
func (g *gathering) flareSleeve() error {
	by := g.o.SleeveFlare
	if by == 0 {
		return nil
	}
	words := fmt.Sprintf("The hem of the sleeve is widened by %s: both edges of the underarm seam run out to it.", by)
	return g.does("flare of the sleeve", words, func(p Pattern) (Pattern, error) {
		return onPiece(p, "sleeve", func(q Piece) (Piece, error) {
			for i, side := range g.sides {
				var err error
				if q, err = g.swung(q, side, i == 0, by/2); err != nil {
					return Piece{}, err
				}
			}
			return q, nil
		})
	})
}

// swung turns an edge of the underarm seam about the underarm point, at its end
// or its start, until its corner at the hem has gone out by a distance. The hem
// is led along.
func (g *gathering) swung(q Piece, side string, last bool, by Length) (Piece, error) {
	c := opened(q)
	sideAt, err := c.namedRun(side)
	if err != nil {
		return Piece{}, err
	}
	hemAt, err := c.namedRun(g.hem)
	if err != nil {
		return Piece{}, err
	}
	if len(sideAt) != 1 || len(hemAt) != 1 {
		return Piece{}, fmt.Errorf("piece %q: edge %q and edge %q are in parts, want each in one to flare the sleeve", q.name, side, g.hem)
	}
	e, hem := &c.edges[sideAt[0]], &c.edges[hemAt[0]]
	pivot, corner := e.Path.Start(), e.Path.End()
	if last {
		pivot, corner = corner, pivot
	}
	radius := pivot.Dist(corner)
	if by > radius/2 {
		return Piece{}, fmt.Errorf("piece %q: SleeveFlare is %s, want at most the length of the underarm seam, %s", q.name, 2*by, radius)
	}
	turn := Angle(2 * math.Asin(float64(by/(2*radius))))
	if !last {
		turn = -turn
	}
	to := geom.Rotate(pivot, turn)
	if last {
		*hem = hem.led(hem.Path.Start(), to.Apply(corner))
	} else {
		*hem = hem.led(to.Apply(corner), hem.Path.End())
	}
	for i, line := range c.internals {
		if c.internals[i].Path, err = ledTo(line.Path, []Edge{e.Edge}, to); err != nil {
			return Piece{}, err
		}
	}
	e.Path = e.Path.Transformed(to)
	for i, p := range c.points {
		if p.At.Dist(corner) <= joinTolerance {
			c.points[i].At = to.Apply(p.At)
		}
	}
	return c.piece(q)
}

// finish gives the edges their casing, hems and allowances.
func (g *gathering) finish() error {
	return g.does("casing and allowances", g.finishWords(), func(p Pattern) (Pattern, error) {
		var hems []Allowance
		for _, edge := range []string{g.body[0].hem, g.body[1].hem, g.hem} {
			hems = append(hems, DoubleFoldHem(edge, g.o.Hem, g.o.Hem))
		}
		p, err := p.WithAllowances(g.o.SeamAllowance, hems...)
		if err != nil {
			return Pattern{}, err
		}
		casing, err := g.o.casing(topEdge, g.o.Elastic)
		if err != nil {
			return Pattern{}, err
		}
		for _, name := range []string{"front", "back", "sleeve"} {
			if p, err = onPiece(p, name, func(q Piece) (Piece, error) {
				if q, err = q.WithCasing(casing); err != nil {
					return Piece{}, err
				}
				return q.withPlainLines()
			}); err != nil {
				return Pattern{}, err
			}
		}
		if g.o.SleeveElastic == 0 {
			return p, nil
		}
		if casing, err = g.o.casing(g.hem, g.o.SleeveElastic); err != nil {
			return Pattern{}, err
		}
		return onPiece(p, "sleeve", func(q Piece) (Piece, error) { return q.WithCasing(casing) })
	})
}

func (g *gathering) finishWords() string {
	casing, _ := g.o.casing(topEdge, g.o.Elastic) // checked with the options
	words := fmt.Sprintf("The top edge gets a casing of %s, turned by %s and then by %s, the hems two turns of %s, the seams %s.",
		casing.Allowance().Width, casing.Turn, casing.Depth(), g.o.Hem, g.o.SeamAllowance)
	if g.o.SleeveElastic > 0 {
		words += fmt.Sprintf(" The sleeve's hem gets a casing for an elastic of %s.", g.o.SleeveElastic)
	}
	return words
}

// Options returns the options that the top was made with.
func (g GatheredTop) Options() GatheredTopOptions { return g.options }

// From returns the pattern that the top was made from.
func (g GatheredTop) From() Pattern { return g.from }

// Pattern returns the top with its casing, hems and allowances.
func (g GatheredTop) Pattern() Pattern { return g.pattern }

// Pieces returns front, back and sleeve.
func (g GatheredTop) Pieces() []Piece { return g.pattern.Pieces() }

// Seams returns the seams of the top, among them "front armhole" and "back
// armhole".
func (g GatheredTop) Seams() []Seam { return g.pattern.Seams() }

// Steps returns the changes in order.
func (g GatheredTop) Steps() []DesignStep { return append([]DesignStep(nil), g.steps...) }

// Table lists the steps.
func (g GatheredTop) Table() Table { return stepTable("How the "+gatheredWhat+" came about", g.steps) }

func stepTable(title string, steps []DesignStep) Table {
	t := Table{Title: title, Columns: []Column{{Head: "Step", Number: true}, {Head: "What"}, {Head: "How"}}}
	for i, s := range steps {
		t.Rows = append(t.Rows, []string{fmt.Sprint(i + 1), s.Name, s.Words})
	}
	return t
}

// HTML returns the drawing of the top.
func (g GatheredTop) HTML() string { return g.pattern.HTML() }

// MovingHTML returns the drawing for a live view.
func (g GatheredTop) MovingHTML() string { return g.pattern.MovingHTML() }

// SVG returns the drawing of the top.
func (g GatheredTop) SVG() string { return g.pattern.SVG() }

// PNG returns the drawing of the top.
func (g GatheredTop) PNG() []byte { return g.pattern.PNG() }

// Markdown returns the pattern in words.
func (g GatheredTop) Markdown() string { return g.pattern.Markdown() }

// String returns the pattern in words.
func (g GatheredTop) String() string { return g.pattern.String() }

// withPlainLines draws the lines of a piece without the joints that widening
// has left in straight stretches, so that every size has as many.
func (p Piece) withPlainLines() (Piece, error) {
	lines := p.Internals()
	for i, line := range lines {
		var plain Path
		var run []Point // of the straight stretch so far
		flush := func() (err error) {
			if len(run) > 0 {
				plain, err = plain.Append(Line(run[0], run[1]))
				run = nil
			}
			return err
		}
		for _, g := range line.Path.Segments() {
			part, err := geom.PathOf(g)
			if err != nil {
				return Piece{}, err
			}
			a, b := part.Start(), part.End()
			straight := part.Length()-a.Dist(b) < joinTolerance
			if straight && len(run) > 0 && math.Abs(float64(run[1].Sub(run[0]).AngleTo(b.Sub(a)))) < 1e-4 {
				run[1] = b
				continue
			}
			if err := flush(); err != nil {
				return Piece{}, err
			}
			if straight {
				run = []Point{a, b}
			} else if plain, err = plain.Append(part); err != nil {
				return Piece{}, err
			}
		}
		if err := flush(); err != nil {
			return Piece{}, err
		}
		lines[i].Path = plain
	}
	p.internals = lines
	return p, nil
}
