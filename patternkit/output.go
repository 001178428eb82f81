package patternkit

import (
	"fmt"
	"slices"
	"strings"

	"patternkit/patternkit/drawing"
	"patternkit/patternkit/geom"
)

// A Paper is a size of paper to print on.
type Paper = drawing.Paper

// Papers of ISO 216 and of ANSI/ASME Y14.1.
const (
	A4      = drawing.A4
	A3      = drawing.A3
	A2      = drawing.A2
	A1      = drawing.A1
	A0      = drawing.A0
	Letter  = drawing.Letter
	Tabloid = drawing.Tabloid
)

// Printed is a pattern at true scale, laid on pages of a paper.
type Printed struct {
	Pattern       string
	Paper         Paper
	Landscape     bool
	Pages         int    // of pieces; one more before them has the test squares and the map, but on a roll
	Width, Height Length // of all pieces as they are laid
	File          []byte // the PDF

	lines string // which line is cut
}

// String says how many pages there are and what they carry.
func (p Printed) String() string {
	if p.Paper == drawing.Roll {
		return fmt.Sprintf("%s at true scale: %s of a roll, with the test squares", p.Pattern, p.lengths())
	}
	return fmt.Sprintf("%s at true scale: %d pages of %s paper, %s, after a first page with the test squares and the map",
		p.Pattern, p.Pages, p.Paper, p.lie())
}

// lengths says how many pages of a roll there are.
func (p Printed) lengths() string {
	if p.Pages == 1 {
		return "one page"
	}
	return fmt.Sprintf("%d pages, a length each", p.Pages)
}

func (p Printed) lie() string {
	if p.Landscape {
		return "lying"
	}
	return "upright"
}

// Table returns what to put into the printer and what to check.
func (p Printed) Table() Table {
	paper, pages := fmt.Sprintf("%s, %s", p.Paper, p.lie()), fmt.Sprintf("%d, after a first page with the test squares and the map", p.Pages)
	if p.Paper == drawing.Roll {
		paper, pages = "roll", p.lengths()+", with the test squares"
	}
	return Table{
		Title:   p.Pattern + " at true scale",
		Columns: []Column{{Head: "Printing"}, {Head: ""}},
		Rows: [][]string{
			{"paper", paper},
			{"pages", pages},
			{"joined", fmt.Sprintf("%s by %s", p.Width, p.Height)},
		},
		Notes: []string{"Print at 100 %, and measure the squares before you cut. " + p.lines},
	}
}

// HTML returns the table as markup.
func (p Printed) HTML() string { return p.Table().HTML() }

// Markdown returns the table as Markdown.
func (p Printed) Markdown() string { return p.Table().Markdown() }

// PDF returns the file of Print.
func (p Pattern) PDF(paper Paper) ([]byte, error) {
	printed, err := p.Print(paper)
	return printed.File, err
}

// SVGFile returns the pieces at true scale as one SVG document whose units are
// millimetres, beside a square of 10 cm to measure.
func (p Pattern) SVGFile() ([]byte, error) {
	room := pageRoom(paperSizes[A0], true)
	page := p.trueScale(p.lay(room))
	box := page.Bounds()
	square := geom.Rect{Min: Pt(box.Max.X+2*CM, box.Min.Y)}
	square.Max = square.Min.Add(Pt(10*CM, 10*CM))
	page.Stroke(square.Outline(), printStyle().grain)
	page.Text(drawing.Text{At: square.Center(), S: "10 cm square\nmeasure each side", Font: printStyle().edge, Anchor: drawing.MiddleCenter})
	if err := page.Err(); err != nil {
		return nil, err
	}
	return page.SVG(), nil
}

// lay finds places for the boxes of the pattern.
func (p Pattern) lay(room tileRoom) []boxed { return layTrueScale(p.boxes(), room, pieceGap) }

// boxes are those of the pieces and, the last, of the key. Each holds what is
// written beside its piece.
func (p Pattern) boxes() []boxed {
	boxes := make([]boxed, 0, len(p.pieces)+1)
	for _, piece := range p.pieces {
		s := p.printBoard()
		at := inPlace(piece)
		s.drawTrueScale([]placed{at}, p)
		around := s.page.Bounds()
		boxes = append(boxes, boxed{width: around.Width(), height: around.Height(), corner: around.Min})
	}
	key := p.printBoard()
	key.shown = p.meanings()
	key.column(Point{}, p.printNotes())
	around := key.page.Bounds()
	return append(boxes, boxed{width: around.Width(), height: around.Height(), corner: around.Min})
}

// inPlace is a piece at true scale where it was drafted, its grain upright.
func inPlace(piece Piece) placed {
	turn := uprightGrain(piece)
	return placed{piece: piece, to: turn, box: piece.outline.Transformed(turn).Bounds()}
}

// trueScale draws the pieces and the key at the places found for them.
func (p Pattern) trueScale(boxes []boxed) *drawing.Page {
	s := p.printBoard()
	var pieces []placed
	for i, piece := range p.pieces {
		q := inPlace(piece)
		move := boxes[i].move()
		q.to = q.to.Then(geom.Translate(move))
		q.box = geom.Rect{Min: q.box.Min.Add(move), Max: q.box.Max.Add(move)}
		pieces = append(pieces, q)
	}
	key := boxes[len(boxes)-1]
	s.shown = p.meanings()
	s.column(key.move(), p.printNotes())
	s.drawTrueScale(pieces, p)
	return s.page
}

func (s *board) drawTrueScale(pieces []placed, p Pattern) {
	s.seams(pieces, p) // first, so that they are written where they are seen
	s.pieces(pieces, PictureOptions{})
	s.writeAll()
}

func (p Pattern) printBoard() *board {
	s := newBoard(p.name, p.description()+", at true scale", printStyle(), 1)
	s.caption = []string{"stitch line only", "no seam allowance"}
	return s
}

// meanings are those of the lines that a drawing of the pattern shows.
func (p Pattern) meanings() map[string]bool {
	s := p.printBoard()
	var all []placed
	for _, piece := range p.pieces {
		all = append(all, inPlace(piece))
	}
	s.seams(all, p)
	s.pieces(all, PictureOptions{})
	return s.shown
}

// printNotes are the cautions of a printed pattern.
func (p Pattern) printNotes() []string {
	notes := append([]string{p.name}, p.whichLine()...)
	notes = append(notes, "Make a toile before you cut good cloth.")
	if faults := p.Walk().Faults(); len(faults) > 0 {
		names := make([]string, len(faults))
		for i, f := range faults {
			names[i] = f.Seam
		}
		notes = append(notes, "Do not cut: seams do not meet:", strings.Join(names, ", "))
	}
	return notes
}

// whichLine says which line of a printed pattern is cut and which is sewn, and
// which pieces have no cut line.
func (p Pattern) whichLine() []string {
	var bare []string
	for _, piece := range p.pieces {
		if cut := pictureCutOf(piece); cut == nil || cut.err != nil {
			bare = append(bare, piece.name)
		}
	}
	cut := []string{"Cut on the heavy line,", "stitch on the dashed line."}
	add := []string{"Add it to each edge before you cut,", "none at a fold."}
	switch len(bare) {
	case 0:
		return cut
	case len(p.pieces):
		return append([]string{"Stitch line only: no seam allowance."}, add...)
	}
	names := strings.Split(linesOf("No seam allowance: "+strings.Join(bare, ", ")+".", 38), "\n")
	return slices.Concat(cut, names, add)
}
