package patternkit

import (
	"fmt"
	"slices"
	"strings"

	"patternkit/patternkit/drawing"
	"patternkit/patternkit/geom"
)

// NestOptions say what a nest shows and on what it is stacked.
type NestOptions struct {
	// Pieces are the names of those to draw; none for all.
	Pieces []string
	// Stack names for a piece what lies over itself in all sizes: a point, an
	// edge, a line inside, or a line and a second reference. The other pieces
	// lie on their fold, as they were drafted.
	Stack []GradeReference
}

// sizeDashes tell the sizes apart without colour: neighbours clearly, and twelve
// in all.
var sizeDashes = [][]Length{
	nil, {9, 2.5}, {3, 1.5}, {9, 2, 1, 2}, {1, 1.5}, {9, 2, 1, 2, 1, 2},
	{18, 2}, {4, 4}, {9, 1.5, 3, 1.5}, {1, 4}, {16, 2, 1, 1.5, 1, 1.5, 1, 2}, {3, 1.5, 1, 1.5},
}

// nestDashScale is how much smaller dashes are on a screen than in print.
const nestDashScale = 0.3

// Nest draws each piece in all sizes, stacked on its references or on its fold:
// the base size in a heavy line, the others in thin ones told apart by their
// dashes, with the names of the smallest, the base and the largest at the
// corner where they are furthest apart, and the darts of these three. It is an
// error where a piece, or a point or line of one, has no such name.
func (g Graded) Nest(o NestOptions) (Picture, error) {
	all, err := g.nested(o)
	if err != nil {
		return Picture{}, err
	}
	bases := make([]placed, len(all))
	for i, sizes := range all {
		bases[i] = sizes[g.base]
		for _, p := range sizes {
			bases[i].box = bases[i].box.Union(p.box)
		}
	}
	laid, scale := arrangePlaced(bases, roomFor(len(bases)))
	words := fmt.Sprintf("nest of %s in sizes %s", g.name, strings.Join(g.Sizes(), ", "))
	s := newBoard(g.name, words, screenStyle(), scale)
	for _, p := range laid {
		sizes := all[slices.IndexFunc(all, func(sizes []placed) bool { return sizes[g.base].piece.name == p.piece.name })]
		s.nest(g, sizes, p, o.Stack)
	}
	for i, size := range g.sizes {
		s.sizes = append(s.sizes, keyLine{g.sizeWords(i, size.name), g.nestPen(s.style, i)})
	}
	s.frame(laid, "nest of "+g.name, linesNote(laid))
	return Picture{s.page, words}, nil
}

func (g Graded) sizeWords(i int, name string) string {
	if i == g.base {
		return "size " + name + " (base)"
	}
	return "size " + name
}

// nested stands the chosen pieces upright in every size, stacked.
func (g Graded) nested(o NestOptions) ([][]placed, error) {
	if len(g.sizes) == 0 {
		return nil, fmt.Errorf("the graded pattern is empty, want one made by Grade")
	}
	base := g.sizes[g.base].pattern
	for _, name := range append(slices.Clone(o.Pieces), namesOf(o.Stack, func(r GradeReference) string { return r.Piece })...) {
		if _, err := base.Piece(name); err != nil {
			return nil, fmt.Errorf("nest: %w", err)
		}
	}
	var all [][]placed
	for i, piece := range base.pieces {
		if len(o.Pieces) > 0 && !slices.Contains(o.Pieces, piece.name) {
			continue
		}
		var sizes []placed
		for _, s := range g.sizes {
			p := s.pattern.pieces[i]
			move, err := nestMove(p, piece, o.Stack)
			if err != nil {
				return nil, fmt.Errorf("nest, size %s: %w", s.name, err)
			}
			at := placed{piece: p, to: geom.Translate(move).Then(uprightGrain(piece))}
			at.box = p.outline.Transformed(at.to).Bounds()
			sizes = append(sizes, at)
		}
		all = append(all, sizes)
	}
	return all, nil
}

// nestMove brings what is held of a size onto that of the base, or its fold.
func nestMove(p, base Piece, stack []GradeReference) (Point, error) {
	frame, held, err := base.gradeFrame(stack)
	switch {
	case err != nil:
		return Point{}, err
	case held:
		return frame.move(p, base)
	}
	return toFold(p, base), nil
}

// toFold moves a piece across its fold onto that of the base.
func toFold(p, base Piece) Point {
	parts, err := p.Edge(p.fold)
	onto, errBase := base.Edge(base.fold)
	if err != nil || errBase != nil {
		return Point{} // neither has a fold
	}
	out := onto[0].Path.TangentAt(0).Perp()
	return out.Scale(onto[0].Path.Start().Sub(parts[0].Path.Start()).Dot(out))
}

// nest draws one piece: base is its base size where it lies on the page.
func (s *board) nest(g Graded, sizes []placed, base placed, stack []GradeReference) {
	back, err := sizes[g.base].to.Inverse()
	if err != nil {
		return // never: a turn and a move have an inverse
	}
	s.page.Begin(base.piece.name)
	for i := range sizes {
		sizes[i].to = sizes[i].to.Then(back).Then(base.to)
		if i != g.base {
			s.nestLines(sizes[i], g.nestPen(s.style, i), i == 0 || i == len(sizes)-1)
		}
	}
	s.nestLines(sizes[g.base], s.style.stitch, true)
	s.grainline(base)
	base.note = s.nestHold(base, stack)
	s.page.End()
	s.later(func() {
		s.nameOf(base)
		s.sizeLabels(g, sizes)
	})
}

// nestHold marks on the base size what the sizes are stacked on, a line by
// itself and the place where it is held by a ring, and says so in words.
func (s *board) nestHold(base placed, stack []GradeReference) string {
	frame, held, err := base.piece.gradeFrame(stack)
	if err != nil || !held {
		return ""
	}
	for _, e := range base.piece.internals {
		if slices.Contains(frame.names, e.Name) {
			s.line(e.Path.Transformed(base.to), s.style.internal, meansInternal)
		}
	}
	if at, err := frame.still(base.piece); err == nil {
		s.hole(base.to.Apply(at))
	}
	return "stacked: " + strings.Join(frame.names, "\nand ")
}

// nestLines draws the stitch line of one size and, where asked, its darts:
// those of all sizes would hide each other.
func (s *board) nestLines(p placed, pen drawing.Pen, darts bool) {
	s.stroke(p.piece.outline.Transformed(p.to), pen)
	if !darts {
		return
	}
	pen.Width *= 0.6
	for _, d := range p.piece.darts {
		a, b := p.piece.mouth(d)
		s.stroke(Polyline(p.to.Apply(a), p.to.Apply(d.Tip), p.to.Apply(b)), pen)
	}
}

// nestPen is the line of a size on a screen.
func (g Graded) nestPen(s style, size int) drawing.Pen {
	pen := s.stitch
	if size == g.base {
		return pen
	}
	pen.Width = s.hair.Width * 1.5
	at := size + 1 // the base has a weight of its own and needs no dash
	if size > g.base {
		at--
	}
	for _, d := range sizeDashes[at%len(sizeDashes)] {
		pen.Dash = append(pen.Dash, d*nestDashScale)
	}
	return pen
}

// sizeLabels names the smallest, the base and the largest size at the corner of
// the outline where they lie furthest apart.
func (s *board) sizeLabels(g Graded, sizes []placed) {
	last := len(sizes) - 1
	corner, apart := 0, Length(-1)
	for k := range sizes[0].piece.edges {
		if d := nestCorner(sizes[0], k).Dist(nestCorner(sizes[last], k)); d > apart {
			corner, apart = k, d
		}
	}
	from, to := nestCorner(sizes[0], corner), nestCorner(sizes[last], corner)
	out := to.Sub(from)
	named := []int{0, g.base, last}
	slices.Sort(named)
	for _, i := range slices.Compact(named) {
		way := out
		if i != last {
			way = out.Neg()
		}
		s.labelNear(nestCorner(sizes[i], corner), g.sizes[i].name, s.style.edge, way, s.style.gap)
	}
}

// nestCorner is the start of an edge on paper.
func nestCorner(p placed, edge int) Point { return p.to.Apply(p.piece.edges[edge].Path.Start()) }
