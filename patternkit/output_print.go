package patternkit

import (
	"bytes"
	"fmt"
	"strings"

	"patternkit/patternkit/drawing"
)

// A Lie is how printed pages lie.
type Lie uint8

// The ways a page can lie; the zero value is FewestPages.
const (
	FewestPages Lie = iota // upright, or lying where that takes fewer pages
	Upright                // on the short side
	Lying                  // on the long side
)

// PrintOptions say on what, and how, a pattern is printed.
type PrintOptions struct {
	Paper Paper
	Lie   Lie
	Butt  bool // pages meet edge to edge; false lets them overlap by 15 mm
}

// Print lays the pieces at true scale on as few pages of a paper as it can,
// grain upright. The pages overlap and carry marks to join them; the first has
// a 10 cm and a 4 in square to measure.
func (p Pattern) Print(paper Paper) (Printed, error) {
	return p.PrintWith(PrintOptions{Paper: paper})
}

// PrintWith is Print on pages that lie and meet as the options say. A paper or
// a lie that is none of the constants is an error.
func (p Pattern) PrintWith(o PrintOptions) (Printed, error) {
	job := printJob{name: p.name, lines: p.whichLine(), boxes: p.boxes, draw: p.trueScale}
	printed, err := job.print(o)
	if err != nil {
		return Printed{}, fmt.Errorf("pattern %q: %w", p.name, err)
	}
	return printed, nil
}

// A printJob is what is printed: boxes to be laid, and how they are drawn once
// they are.
type printJob struct {
	name  string
	lines []string // which line is cut
	boxes func() []boxed
	draw  func([]boxed) *drawing.Page
}

func (j printJob) print(o PrintOptions) (Printed, error) {
	size, ok := paperSizes[o.Paper]
	if !ok {
		return Printed{}, fmt.Errorf("%v is not a paper to print on, want A4, A3, A2, A1, A0, Letter or Tabloid", o.Paper)
	}
	lies, ok := map[Lie][]bool{FewestPages: {false, true}, Upright: {false}, Lying: {true}}[o.Lie]
	if !ok {
		return Printed{}, fmt.Errorf("pages lie in way %d, want FewestPages, Upright or Lying", o.Lie)
	}
	best := Printed{Pattern: j.name, Paper: o.Paper, lines: strings.Join(j.lines, " ")}
	boxes := j.boxes()
	var laid []boxed
	for _, landscape := range lies {
		room := pageRoom(size, landscape)
		if o.Butt {
			room.overlap = 0
		}
		try := layTrueScale(boxes, room, pieceGap)
		if pages, _ := room.pages(try); laid == nil || pages < best.Pages {
			laid, best.Pages, best.Landscape = try, pages, landscape
		}
	}
	page := j.draw(laid)
	sheets := drawing.Sheets{Paper: o.Paper, Landscape: best.Landscape, Margin: pageMargin, Overlap: pageOverlap, Butt: o.Butt}
	file, err := page.PDF(sheets)
	if err != nil {
		return Printed{}, err
	}
	box := page.Bounds()
	best.Width, best.Height, best.File = box.Width(), box.Height(), file
	best.Pages = bytes.Count(file, []byte("/Type /Page\n")) - 1
	return best, nil
}
