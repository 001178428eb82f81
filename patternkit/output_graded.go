package patternkit

import (
	"fmt"
	"math"
	"strings"

	"patternkit/patternkit/drawing"
	"patternkit/patternkit/geom"
)

// Print lays every piece in all sizes, one over the other as they were
// drafted, those with a fold on their fold, at true scale on as few pages of a
// paper as it can. Each size is a layer of the PDF, "size 10", that a reader can
// hide, so that one size is printed alone. Names, grainlines and the key are on
// every print.
func (g Graded) Print(paper Paper) (Printed, error) {
	return g.PrintWith(PrintOptions{Paper: paper})
}

// PrintWith is Print on pages that lie and meet as the options say. A paper or
// a lie that is none of the constants is an error.
func (g Graded) PrintWith(o PrintOptions) (Printed, error) {
	if len(g.sizes) == 0 {
		return Printed{}, fmt.Errorf("the graded pattern is empty, want one made by Grade")
	}
	nest := g.outputNest()
	printed, err := printJob{name: g.name, lines: nest.lines, boxes: nest.boxes, draw: nest.draw}.print(o)
	if err != nil {
		return Printed{}, fmt.Errorf("graded pattern %q: %w", g.name, err)
	}
	return printed, nil
}

// An outputNest is all sizes of a pattern as they are printed.
type outputNest struct {
	graded Graded
	pieces [][]placed // by piece, then by size
	lines  []string   // which line is cut
	shown  map[string]bool
}

// outputNest stands the pieces of all sizes as the base size stands.
func (g Graded) outputNest() *outputNest {
	n := &outputNest{graded: g}
	for i, base := range g.sizes[g.base].pattern.pieces {
		turn := uprightGrain(base)
		var sizes []placed
		for _, s := range g.sizes {
			piece := s.pattern.pieces[i]
			at := placed{piece: piece, to: geom.Translate(toFold(piece, base)).Then(turn), cut: pictureCutOf(piece)}
			at.box = at.rim().Bounds()
			sizes = append(sizes, at)
		}
		n.pieces = append(n.pieces, sizes)
	}
	n.lines = g.sizes[g.base].pattern.whichLine()
	if n.lines[0] != "Stitch line only: no seam allowance." {
		n.lines = append([]string{"Cut on the heavy line,", "stitch on the thin line."}, n.lines[2:]...)
	}
	return n
}

// boxes are those of the pieces in all sizes and, the last, of the key.
func (n *outputNest) boxes() []boxed {
	var boxes []boxed
	add := func(s *board) {
		around := s.page.Bounds()
		boxes = append(boxes, boxed{width: around.Width(), height: around.Height(), corner: around.Min})
	}
	n.shown = map[string]bool{}
	for i := range n.pieces {
		s := n.board()
		n.drawPiece(s, i, Point{})
		for meaning := range s.shown {
			n.shown[meaning] = true
		}
		add(s)
	}
	s := n.board()
	n.key(s, Point{})
	add(s)
	return boxes
}

func (n *outputNest) draw(boxes []boxed) *drawing.Page {
	s := n.board()
	last := len(boxes) - 1
	n.key(s, boxes[last].move())
	for i, b := range boxes[:last] {
		n.drawPiece(s, i, b.move())
	}
	return s.page
}

func (n *outputNest) board() *board {
	words := fmt.Sprintf("%s in sizes %s, at true scale", n.graded.sizes[n.graded.base].pattern.description(), strings.Join(n.graded.Sizes(), ", "))
	return newBoard(n.graded.name, words, printStyle(), 1)
}

// sizeStyle is the style of a size: the dash says which it is, and the weight
// which line is cut.
func sizeStyle(size int) style {
	s := printStyle()
	dash := sizeDashes[size%len(sizeDashes)]
	s.stitch.Dash, s.cut.Dash, s.sewn.Dash, s.dart.Dash = dash, dash, dash, dash
	s.stitch.Width, s.cut.Width, s.sewn.Width, s.dart.Width = 0.5*MM, 0.5*MM, 0.25*MM, 0.25*MM
	return s
}

func sizeLayer(name string) string { return "size " + name }

// drawPiece draws one piece in all sizes, each in its layer, and then what all
// have in common.
func (n *outputNest) drawPiece(s *board, piece int, move Point) {
	common := s.style
	sizes := make([]placed, len(n.pieces[piece]))
	for i, p := range n.pieces[piece] {
		p.to = p.to.Then(geom.Translate(move))
		p.box = geom.Rect{Min: p.box.Min.Add(move), Max: p.box.Max.Add(move)}
		sizes[i] = p
	}
	for i, p := range sizes {
		s.style = sizeStyle(i)
		s.page.Begin(sizeLayer(n.graded.sizes[i].name))
		s.internals(p)
		s.pleats(p)
		s.darts(p)
		s.cutLine(p)
		s.outline(p)
		s.marks(p)
		s.writeAll()
		n.sizeNames(s, p, i)
		s.page.End()
	}
	s.style = common
	small := smallest(sizes) // so that what is common lies within every size
	s.grainline(small)
	s.foldMark(small)
	s.foldLabel(small)
	s.nameOf(small)
	s.writeAll()
}

// smallest is the size of a piece that has the least area.
func smallest(sizes []placed) placed {
	least, at := math.Inf(1), 0
	for i, p := range sizes {
		if a := math.Abs(p.piece.outline.Area()); a < least {
			least, at = a, i
		}
	}
	return sizes[at]
}

// sizeNames writes a size into its own line at a few places, each size a step
// further along than the one before.
func (n *outputNest) sizeNames(s *board, p placed, size int) {
	rim, fold := p.rim(), s.foldEdge(p)
	long := rim.Length()
	font := s.style.small
	step := 1.6 * font.Size
	for _, start := range []float64{0.12, 0.37, 0.62, 0.87} {
		at := Length(start)*long + step*(Length(size)-Length(len(n.graded.sizes)-1)/2)
		if at < 0 || at > long || onLine(fold, rim.At(at)) {
			continue
		}
		s.textAt(drawing.Text{At: rim.At(at), S: n.graded.sizes[size].name, Font: font, Anchor: drawing.MiddleCenter, Halo: 0.25 * font.Size})
	}
}

// key writes which line is which size and what the other lines mean.
func (n *outputNest) key(s *board, corner Point) {
	lines := append([]string{n.graded.name}, n.lines...)
	lines = append(lines, "Each size is a layer that can be hidden.", "Make a toile before you cut good cloth.")
	lines = append(lines, n.faults()...)
	s.shown = map[string]bool{}
	for meaning := range n.shown {
		switch meaning {
		case meansCut, meansStitch, meansSewn, meansDart: // drawn in the line of the size
		default:
			s.shown[meaning] = true
		}
	}
	s.column(corner, lines)
	y := s.page.Bounds().Min.Y - 1.2*s.style.edge.Size
	for i, size := range n.graded.sizes {
		words := sizeLayer(size.name)
		if i == n.graded.base {
			words += " (base)"
		}
		s.stroke(Line(Pt(corner.X, y), Pt(corner.X+sizeSample, y)), sizeStyle(i).stitch)
		s.textAt(drawing.Text{At: Pt(corner.X+sizeSample+2*MM, y), S: words, Font: s.style.small, Anchor: drawing.MiddleLeft})
		y -= 1.7 * s.style.edge.Size
	}
}

// sizeSample is how much of its line the key shows for a size.
const sizeSample = 30 * MM

// faults name the sizes at which seams do not meet.
func (n *outputNest) faults() []string {
	var lines []string
	for _, size := range n.graded.sizes {
		for _, f := range size.pattern.Walk().Faults() {
			lines = append(lines, fmt.Sprintf("Do not cut %s: %s does not meet", sizeLayer(size.name), f.Seam))
		}
	}
	return lines
}
