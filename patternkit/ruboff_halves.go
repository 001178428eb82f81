package patternkit

import (
	"fmt"
	"math"
	"strings"

	"patternkit/patternkit/geom"
)

// Halves are the two halves of one garment piece as they were traced, laid on
// each other, and the piece between them: garments are neither symmetrical nor
// exact.
type Halves struct {
	left, right, mean Piece
	table             Table
}

// How far apart two halves of one garment may be: more is a mistake of the
// tracing or of the names (common practice, no source).
const (
	halvesApart = 25 * MM
	halvesShare = 0.12 // of the length of an edge
)

// AverageHalves lays two traced halves of a piece on each other and draws the
// piece in the middle. The right one is turned over; both are laid together on
// their fold and moved along it, or, without a fold, to where their corners lie
// nearest. Edges go by their names, which must be the same and in one order. The
// result has the left half's name, fold and quantity; points, notches and lines
// that both halves have lie in the middle too. It is an error, which says where,
// when a corner is more than 2.5 cm apart or an edge differs by more than an
// eighth: those are not two halves of one garment.
func AverageHalves(left, right Piece) (Halves, error) {
	fail := func(err error) (Halves, error) {
		return Halves{}, fmt.Errorf("halves of %q: %w", left.name, err)
	}
	if len(left.darts)+len(right.darts)+len(left.pleats)+len(right.pleats) > 0 {
		return fail(fmt.Errorf("they have darts or pleats, want plain pieces"))
	}
	over, err := right.Mirrored()
	if err != nil {
		return fail(err)
	}
	h := Halves{left: left, right: over}
	if err := h.order(); err != nil {
		return fail(err)
	}
	if h.right, err = h.right.Transformed(h.onto()); err != nil {
		return fail(err)
	}
	h.compare()
	if err := h.check(right); err != nil {
		return fail(err)
	}
	if h.mean, err = h.middle(); err != nil {
		return fail(err)
	}
	return h, nil
}

// order turns the edges of the right half so that they begin as the left's.
func (h *Halves) order() error {
	n := len(h.left.edges)
	names := func(p Piece) []string {
		out := make([]string, len(p.edges))
		for i, e := range p.edges {
			out[i] = e.Name
		}
		return out
	}
	a, b := names(h.left), names(h.right)
	for k := range b {
		if turned := append(append([]string(nil), b[k:]...), b[:k]...); len(b) == n && strings.Join(turned, "\n") == strings.Join(a, "\n") {
			h.right.edges = append(append([]Edge(nil), h.right.edges[k:]...), h.right.edges[:k]...)
			return nil
		}
	}
	return fmt.Errorf("the edges of the left are %s and of the right, turned over, %s: want the same names in the same order; a half that lies the same way as the other is turned over by Mirrored first",
		quoted(a), quoted(b))
}

// onto lays the right half on the left.
func (h Halves) onto() Transform {
	var from, to []Point
	for i, e := range h.right.edges {
		from, to = append(from, e.Path.Start()), append(to, h.left.edges[i].Path.Start())
	}
	if h.left.fold == "" || h.right.fold == "" {
		return ontoCorners(from, to)
	}
	a, errA := h.right.Edge(h.right.fold)
	b, errB := h.left.Edge(h.left.fold)
	if errA != nil || errB != nil {
		return ontoCorners(from, to)
	}
	p, q := a[0].Path, b[0].Path
	turn := p.TangentAt(0).AngleTo(q.TangentAt(0))
	t := geom.Rotate(p.Start(), turn).Then(geom.Translate(q.Start().Sub(p.Start())))
	along := q.TangentAt(0)
	var slide Length
	for i := range from {
		slide += Length(to[i].Sub(t.Apply(from[i])).Dot(along)) / Length(len(from))
	}
	return t.Then(geom.Translate(along.Scale(float64(slide))))
}

// ontoCorners is the move that brings points nearest to others, by least
// squares (the rigid case of Procrustes' problem in the plane).
func ontoCorners(from, to []Point) Transform {
	var a, b Point
	for i := range from {
		a, b = a.Add(from[i].Scale(1/float64(len(from)))), b.Add(to[i].Scale(1/float64(len(from))))
	}
	var cross, dot float64
	for i := range from {
		p, q := from[i].Sub(a), to[i].Sub(b)
		cross += float64(p.Cross(q))
		dot += float64(p.Dot(q))
	}
	return geom.Rotate(a, Angle(math.Atan2(cross, dot))).Then(geom.Translate(b.Sub(a)))
}

// halfSamples is at how many places along an edge the halves are compared.
const halfSamples = 64

// halvesAway is how far two edges are apart, place by place along them, at most.
func halvesAway(a, b Path) (most Length) {
	la, lb := a.Length(), b.Length()
	for i := range halfSamples + 1 {
		s := Length(i) / halfSamples
		most = max(most, a.At(la*s).Dist(b.At(lb*s)))
	}
	return most
}

func (h *Halves) compare() {
	h.table = Table{Title: "The two halves of the " + h.left.name, Columns: []Column{{Head: "Edge"},
		{Head: "Left (cm)", Number: true}, {Head: "Right (cm)", Number: true}, {Head: "Left − right (mm)", Number: true},
		{Head: "Apart where it begins (mm)", Number: true}, {Head: "Apart at most (mm)", Number: true}}}
	mm := func(l Length) string { return strings.Replace(fmt.Sprintf("%.1f", l.MM()), "-", "−", 1) }
	var most Length
	for i, e := range h.left.edges {
		a, b := e.Path, h.right.edges[i].Path
		d := halvesAway(a, b)
		most = max(most, d)
		h.table.Rows = append(h.table.Rows, []string{e.Name, inCM(a.Length()), inCM(b.Length()), mm(a.Length() - b.Length()), mm(a.Start().Dist(b.Start())), mm(d)})
	}
	h.table.Notes = []string{fmt.Sprintf("The right half is turned over and laid on the left. The piece between them leaves neither by more than %.1f mm.", most.MM()/2)}
}

// check refuses what are not two halves of one garment.
func (h Halves) check(right Piece) error {
	for i, e := range h.left.edges {
		a, b := e.Path, h.right.edges[i].Path
		if d := a.Start().Dist(b.Start()); d > halvesApart {
			return fmt.Errorf("they are %v apart where edge %q begins, at %s of the left, want at most %v: is the scale of both the same, and the corner the same?",
				d, e.Name, place(a.Start()), halvesApart)
		}
		if l, r := a.Length(), b.Length(); (l-r).Abs() > max(l, r)*halvesShare && (l-r).Abs() > 5*MM {
			return fmt.Errorf("edge %q is %v long on the left and %v on the right, want them within an eighth: trace it again", e.Name, l, r)
		}
	}
	return nil
}

// Left returns the left half as it was given.
func (h Halves) Left() Piece { return h.left }

// Right returns the right half, turned over and laid on the left.
func (h Halves) Right() Piece { return h.right }

// Piece returns the piece in the middle.
func (h Halves) Piece() Piece { return h.mean }

// Table lists how far the halves differ, edge by edge.
func (h Halves) Table() Table { return h.table }

// Picture draws the piece in the middle, and under it both halves in thin
// lines of different dashes.
func (h Halves) Picture() (Picture, error) {
	p := standing(h.mean, 0)
	for _, half := range []Piece{h.left, h.right} {
		p.box = p.box.Union(half.outline.Transformed(p.to).Bounds())
	}
	title := "two halves of the " + h.mean.name
	pieces, scale := arrangePlaced([]placed{p}, roomFor(1))
	s := newBoard(title, title+", and the piece between them", screenStyle(), scale)
	left, right := s.style.before, s.style.turn
	for i, e := range h.left.edges {
		if e.Name != h.left.fold { // there all three are one line
			s.stroke(e.Path.Transformed(pieces[0].to), left)
			s.stroke(h.right.edges[i].Path.Transformed(pieces[0].to), right)
		}
	}
	s.sizes = append(s.sizes, keyLine{"left half", left}, keyLine{"right half, turned over", right})
	s.pieces(pieces, PictureOptions{})
	s.frame(pieces, title, linesNote(pieces))
	return Picture{s.page, title}, nil
}

// HTML returns the table of differences.
func (h Halves) HTML() string { return h.table.HTML() }

// Markdown returns the differences as a table of pipes.
func (h Halves) Markdown() string { return h.table.Markdown() }

// String returns the differences as text in columns.
func (h Halves) String() string { return h.table.String() }
