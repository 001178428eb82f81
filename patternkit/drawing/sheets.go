package drawing

import (
	"fmt"
	"math"

	"patternkit/patternkit/geom"
)

// A Paper is a size of paper.
type Paper uint8

// Papers of ISO 216 and of ANSI/ASME Y14.1; the zero value is Fitted.
const (
	Fitted Paper = iota // one page as large as the drawing
	A4
	A3
	A2
	A1
	A0
	Letter
	Tabloid
	CustomPaper // Sheets.Width by Sheets.Height
	Roll        // Sheets.Width wide and as long as the drawing
)

var paperNames = [...]string{"fitted", "A4", "A3", "A2", "A1", "A0", "Letter", "Tabloid", "paper of your own", "roll"}

// paperSizes are the sizes of upright papers.
var paperSizes = [...][2]geom.Length{
	A4: {210, 297}, A3: {297, 420}, A2: {420, 594}, A1: {594, 841}, A0: {841, 1189},
	Letter: {8.5 * geom.Inch, 11 * geom.Inch}, Tabloid: {11 * geom.Inch, 17 * geom.Inch},
}

// String returns the name of the paper.
func (p Paper) String() string {
	if int(p) < len(paperNames) {
		return paperNames[p]
	}
	return fmt.Sprintf("Paper(%d)", p)
}

// Sheets are the pages on which a drawing is printed at true scale. The zero
// value is one page as large as the drawing.
type Sheets struct {
	Paper         Paper
	Width, Height geom.Length // of CustomPaper, upright or not; Width of Roll
	Landscape     bool        // papers lie on their long side
	Margin        geom.Length // that the printer leaves blank; zero is 10 mm
	Overlap       geom.Length // of neighbouring pages; zero is 15 mm
	Butt          bool        // pages meet edge to edge, without overlap

	// Breaks are heights of the drawing, rising, at which a Roll is cut: what
	// lies between two is a page by itself, the lowest first. Nothing should
	// be drawn across one.
	Breaks []geom.Length
}

// A tile is what one page shows of a drawing.
type tile struct {
	row, column int
	area        geom.Rect // of the drawing
	number      int       // of the page, from 1; 0 where there is nothing to print
}

// name returns the letter of the row and the number of the column: "B3".
func (t tile) name() string { return rowName(t.row) + fmt.Sprint(t.column+1) }

// rowName counts A … Z, AA, AB …
func rowName(row int) string {
	s := ""
	for row++; row > 0; row = (row - 1) / 26 {
		s = string(rune('A'+(row-1)%26)) + s
	}
	return s
}

// A tiling is a drawing parted into pages.
type tiling struct {
	sheets        Sheets
	width, height geom.Length // of the paper
	tiles         []tile      // row by row from the top left
	rows, columns int
	pages         int // that are printed, without the first with the test squares
}

// maxTiles keeps a drawing in wrong units from filling the memory.
const maxTiles = 2000

// size returns the width and the height of the paper as it lies.
func (s Sheets) size() (w, h geom.Length, err error) {
	switch {
	case s.Paper == CustomPaper:
		w, h = s.Width, s.Height
		if !(w > 0 && h > 0) || w > maxPage || h > maxPage {
			return 0, 0, fmt.Errorf("paper of %v by %v, want Width and Height of up to %v", w, h, geom.Length(maxPage))
		}
	case s.Paper > Fitted && s.Paper < CustomPaper:
		w, h = paperSizes[s.Paper][0], paperSizes[s.Paper][1]
	default:
		return 0, 0, fmt.Errorf("%v is not a paper to print pages on, want A4, A3, A2, A1, A0, Letter, Tabloid or CustomPaper", s.Paper)
	}
	if s.Landscape && w < h {
		w, h = h, w
	}
	return w, h, nil
}

// withDefaults returns s with the margin and overlap that zero stands for.
func (s Sheets) withDefaults() Sheets {
	if s.Margin == 0 {
		s.Margin = 10
	}
	if s.Butt {
		s.Overlap = 0
	} else if s.Overlap == 0 {
		s.Overlap = 15
	}
	return s
}

// tiling parts box into pages of s; drawn are the boxes of what is on it.
func (s Sheets) tiling(box geom.Rect, drawn []geom.Rect) (*tiling, error) {
	w, h, err := s.size()
	if err != nil {
		return nil, err
	}
	s = s.withDefaults()
	room := geom.Pt(w-2*s.Margin, h-2*s.Margin)
	if !(s.Margin >= 0 && s.Overlap >= 0 && s.Overlap < min(room.X, room.Y)/2) {
		return nil, fmt.Errorf("%v paper with a margin of %v and an overlap of %v, want both from 0 cm on and less than half the paper", s.Paper, s.Margin, s.Overlap)
	}
	t := &tiling{sheets: s, width: w, height: h}
	columns := math.Max(1, math.Ceil(float64((box.Width()-s.Overlap)/(room.X-s.Overlap))-1e-9))
	rows := math.Max(1, math.Ceil(float64((box.Height()-s.Overlap)/(room.Y-s.Overlap))-1e-9))
	if !(rows*columns <= maxTiles) {
		return nil, fmt.Errorf("a drawing of %v by %v needs %.0f pages of %v, more than %d", box.Width(), box.Height(), rows*columns, s.Paper, maxTiles)
	}
	t.columns, t.rows = int(columns), int(rows)
	// The drawing lies in the middle of its pages.
	across := room.X + geom.Length(columns-1)*(room.X-s.Overlap)
	down := room.Y + geom.Length(rows-1)*(room.Y-s.Overlap)
	left, top := box.Center().X-across/2, box.Center().Y+down/2
	for r := range t.rows {
		for c := range t.columns {
			x := left + geom.Length(c)*(room.X-s.Overlap)
			y := top - geom.Length(r)*(room.Y-s.Overlap)
			t.add(tile{row: r, column: c, area: geom.Rect{Min: geom.Pt(x, y-room.Y), Max: geom.Pt(x+room.X, y)}}, drawn)
		}
	}
	return t, nil
}

// add appends a tile and numbers its page if anything is on it. What lies
// inside an outline counts: the paper is needed to hold the outline together.
func (t *tiling) add(one tile, drawn []geom.Rect) {
	for _, box := range drawn {
		if box.Overlaps(one.area) {
			t.pages++
			one.number = t.pages
			break
		}
	}
	t.tiles = append(t.tiles, one)
}

// at returns the tile of a row and a column, false where there is none or
// nothing is on it.
func (t *tiling) at(row, column int) (tile, bool) {
	if row < 0 || row >= t.rows || column < 0 || column >= t.columns {
		return tile{}, false
	}
	one := t.tiles[row*t.columns+column]
	return one, one.number > 0
}

// area returns the box that all tiles cover.
func (t *tiling) area() geom.Rect {
	return t.tiles[0].area.Union(t.tiles[len(t.tiles)-1].area)
}
