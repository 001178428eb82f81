package patternkit

import (
	"fmt"
	"slices"

	"patternkit/patternkit/geom"
)

// A Comparison is two patterns of a top held against one body, side by side: a
// garment that fits and the body's block.
type Comparison struct {
	one, other Pattern
	rows       []CompareRow
}

// A CompareRow is one measure of both patterns, and of the body where the body
// has it. Zero is what a pattern, or the body, does not have.
type CompareRow struct {
	Level            string
	Body, One, Other Length
}

// Difference is how much more the one pattern has than the other; ok is false
// where either lacks the measure.
func (r CompareRow) Difference() (more Length, ok bool) {
	return r.One - r.Other, r.One != 0 && r.Other != 0
}

// Compare measures two patterns of tops, with pieces "back", "front" and
// "sleeve" and the names of a block, at the same levels, and the body there:
// around bust, waist, hip, biceps and armhole, across back and front, along
// shoulder, neckline, centre back, side and sleeve. A pattern without a line
// for waist or hip is measured where that level of the body lies when it hangs
// from the back neck point. Darts are closed. What a pattern or the body does
// not have is left out. It is an error where a pattern has no such pieces or
// the two share no measure.
func Compare(b Body, one, other Pattern) (Comparison, error) {
	c := Comparison{one: one, other: other}
	m, err := measureTop(one)
	if err != nil {
		return Comparison{}, err
	}
	n, err := measureTop(other)
	if err != nil {
		return Comparison{}, err
	}
	both := 0
	for _, level := range compareLevels {
		row := CompareRow{Level: level.name, One: level.of(m, b), Other: level.of(n, b)}
		if level.field != "" {
			row.Body = Length(b.field(fieldIndex(level.field)))
		}
		if row.One == 0 && row.Other == 0 {
			continue
		}
		if _, ok := row.Difference(); ok {
			both++
		}
		c.rows = append(c.rows, row)
	}
	if both == 0 {
		return Comparison{}, fmt.Errorf("%q and %q have no measure in common, want two tops with the names of a block", one.name, other.name)
	}
	return c, nil
}

// A topMeasure measures the pieces of one top.
type topMeasure struct {
	p                   Pattern
	back, front, sleeve Piece
	sleeved             bool
}

func measureTop(p Pattern) (m topMeasure, err error) {
	m.p = p
	if m.back, err = p.Piece("back"); err != nil {
		return m, err
	}
	if m.front, err = p.Piece("front"); err != nil {
		return m, err
	}
	for _, piece := range []Piece{m.back, m.front} {
		if piece.fold == "" {
			return m, fmt.Errorf("pattern %q: piece %q lies on no fold, want halves to compare", p.name, piece.name)
		}
		if _, err := piece.Point("underarm point"); err != nil {
			return m, fmt.Errorf("pattern %q: %w", p.name, err)
		}
	}
	m.sleeve, err = p.Piece("sleeve")
	m.sleeved = err == nil
	return m, nil
}

// foldLine is the centre line of a half, downward or upward as it is drawn.
func (p Piece) foldLine() (at, along Point) {
	parts, _ := p.Edge(p.fold)
	path := parts[0].Path
	return path.Start(), path.TangentAt(0)
}

// footOn is where a point of a half lies on its centre line.
func (p Piece) footOn(q Point) Point {
	at, along := p.foldLine()
	return at.Add(along.Scale(float64(q.Sub(at).Dot(along))))
}

// down is the way down the centre line.
func (p Piece) down() Point {
	_, along := p.foldLine()
	if p.at("side neck point").Sub(p.at("underarm point")).Dot(along) > 0 {
		return along.Neg()
	}
	return along
}

// Rows returns the measures.
func (c Comparison) Rows() []CompareRow { return append([]CompareRow(nil), c.rows...) }

// Row returns the named measure: "bust", "across back".
func (c Comparison) Row(level string) (CompareRow, error) {
	names := make([]string, len(c.rows))
	for i, r := range c.rows {
		if r.Level == level {
			return r, nil
		}
		names[i] = r.Level
	}
	return CompareRow{}, fmt.Errorf("the comparison of %q and %q has no level %q, it has %s", c.one.name, c.other.name, level, quoted(names))
}

// Table returns the measures as rows of text: of each pattern its ease on the
// body, and how they differ.
func (c Comparison) Table() Table {
	one, other := c.one.name, c.other.name
	t := Table{Title: one + " and " + other, Columns: []Column{{Head: "Level"}, {Head: "Body (cm)", Number: true},
		{Head: one + " (cm)", Number: true}, {Head: "Ease (cm)", Number: true},
		{Head: other + " (cm)", Number: true}, {Head: "Ease (cm)", Number: true}, {Head: one + " − " + other + " (cm)", Number: true}}}
	show := func(l Length) string {
		if l == 0 {
			return ""
		}
		return inCM(l)
	}
	for _, r := range c.rows {
		row := []string{r.Level, show(r.Body), show(r.One), "", show(r.Other), "", ""}
		if r.Body > 0 && r.One > 0 {
			row[3] = signedCM(r.One - r.Body)
		}
		if r.Body > 0 && r.Other > 0 {
			row[5] = signedCM(r.Other - r.Body)
		}
		if d, ok := r.Difference(); ok {
			row[6] = signedCM(d)
		}
		t.Rows = append(t.Rows, row)
	}
	t.Notes = []string{"Sewn, darts closed, unstretched. Bust to armhole are around; blank is what a pattern or the body does not have."}
	return t
}

// Picture draws the pieces of the one pattern, and dashed on each that of the
// other: back and front laid together on their centre lines at the level of
// the underarm, the sleeve on its biceps line.
func (c Comparison) Picture() (Picture, error) {
	var all []placed
	for _, p := range standingOf(c.one, 0) {
		old, ok := pieceNamed(c.other.Pieces(), p.piece.name)
		if !ok {
			continue
		}
		laid, err := old.Transformed(compareLaid(old, p.piece))
		if err != nil {
			return Picture{}, err
		}
		p.old = &laid
		p.box = p.box.Union(laid.outline.Transformed(p.to).Bounds())
		all = append(all, p)
	}
	title := c.one.name + " over " + c.other.name
	pieces, scale := arrangePlaced(all, roomFor(len(all)))
	s := newBoard(title, "pieces of "+c.one.name+", and dashed those of "+c.other.name+", laid together at the underarm", screenStyle(), scale)
	for _, p := range pieces {
		s.stroke(p.old.outline.Transformed(p.to), s.style.before)
		for _, d := range p.old.darts {
			a, b := p.old.mouth(d)
			s.stroke(Polyline(p.to.Apply(a), p.to.Apply(d.Tip), p.to.Apply(b)), s.style.before)
		}
	}
	s.sizes = append(s.sizes, keyLine{c.other.name, s.style.before})
	s.pieces(pieces, PictureOptions{})
	s.frame(pieces, title, linesNote(pieces))
	return Picture{s.page, title}, nil
}

// compareLaid lays a piece on another of its name.
func compareLaid(p, on Piece) Transform {
	axis := func(p Piece) (at, along, into Point) {
		if p.fold == "" || !slices.ContainsFunc(p.points, func(q NamedPoint) bool { return q.Name == "underarm point" }) {
			back, errB := p.Point("back underarm point")
			front, errF := p.Point("front underarm point")
			if errB != nil || errF != nil {
				return p.Bounds().Center(), Pt(1, 0), Pt(0, 1)
			}
			return back.Lerp(front, 0.5), front.Sub(back).Unit(), Point{}
		}
		underarm := p.at("underarm point")
		foot := p.footOn(underarm)
		return foot, p.down(), underarm.Sub(foot)
	}
	a, alongA, intoA := axis(p)
	b, alongB, intoB := axis(on)
	t := geom.Rotate(a, alongA.AngleTo(alongB)).Then(geom.Translate(b.Sub(a)))
	turned := t.Apply(a.Add(intoA)).Sub(b)
	if turned.Dot(intoB) < 0 { // drawn the other way round
		t = t.Then(geom.Mirror(b, b.Add(alongB)))
	}
	return t
}

// HTML returns the comparison as a table.
func (c Comparison) HTML() string { return c.Table().HTML() }

// Markdown returns the comparison as a table of pipes.
func (c Comparison) Markdown() string { return c.Table().Markdown() }

// String returns the comparison as text in columns.
func (c Comparison) String() string { return c.Table().String() }
