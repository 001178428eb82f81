package drawing

import (
	"fmt"
	"strings"

	"patternkit/patternkit/geom"
)

// The first page of a printed drawing has squares of 10 cm and of 4 in and a
// map of the other pages.
const (
	squareCM = 100 * geom.MM
	squareIn = 4 * geom.Inch
	coverGap = 8 * geom.MM
)

var (
	titleFont  = Font{Size: 6, Bold: true}
	coverFont  = Font{Size: 3.5}
	squarePen  = Pen{Width: 0.25}
	mapPen     = Pen{Width: 0.2, Color: frameInk}
	mapFont    = Font{Size: 3.5, Bold: true}
	mapMinimum = 40 * geom.MM
)

// cover draws the first page.
func (w *pdfWriter) cover(t *tiling) error {
	m := t.sheets.Margin
	room := geom.Rect{Min: geom.Pt(m, m), Max: geom.Pt(t.width-m, t.height-m)}
	w.addPage(t.width, t.height)
	top := w.heading(t, room)

	// Both squares beside each other where the paper is wide, else one above
	// the other; the map takes what is left.
	first := geom.Rect{Min: geom.Pt(room.Min.X+1, top-squareCM), Max: geom.Pt(room.Min.X+1+squareCM, top)}
	second, beside := first, room
	beside.Max.Y = top
	if room.Width() >= squareCM+squareIn+2*coverGap+mapMinimum {
		second.Min = geom.Pt(first.Max.X+coverGap, top-squareIn)
		beside.Min.X = second.Min.X + squareIn + coverGap
	} else {
		second.Min = geom.Pt(first.Min.X, first.Min.Y-coverGap-squareIn)
		beside.Min.X = first.Min.X + squareIn + coverGap
	}
	second.Max = second.Min.Add(geom.Pt(squareIn, squareIn))
	if second.Min.Y < room.Min.Y || beside.Width() < mapMinimum {
		return fmt.Errorf("%v paper of %v by %v is too small for its first page, which has the test squares: want at least 17 cm by 25 cm, or A4", t.sheets.Paper, t.width, t.height)
	}
	below := room
	below.Max.Y = second.Min.Y - coverGap
	plan := beside
	if t.mapScale(below) > t.mapScale(beside) {
		plan = below
	}
	w.square(first, "10 cm")
	w.square(second, "4 in")
	w.plan(t, plan)
	return nil
}

// heading writes the title and how to print and join, and returns where the
// room below begins.
func (w *pdfWriter) heading(t *tiling, room geom.Rect) geom.Length {
	lines := []string{
		"Print at 100 %, not fitted to the page. Measure both squares before you cut.",
		fmt.Sprintf("%s in %s, %s paper. The drawing is true to scale.", count(t.pages, "page"), grid(t), t.sheets.describe()),
	}
	if t.pages > 1 {
		lines = append(lines, t.howToJoin()...)
	}
	y := room.Max.Y - titleFont.Size
	title := w.printable(w.page.title)
	f := titleFont
	f.Size = min(f.Size, f.Size*room.Width()/max(TextWidth(title, f), 1))
	w.write(geom.Pt(room.Min.X, y), title, f)
	y -= titleFont.Size * 0.4
	for _, line := range lines {
		for _, part := range wrap(line, coverFont, room.Width()) {
			y -= coverFont.Size * 1.35
			w.write(geom.Pt(room.Min.X, y), part, coverFont)
		}
	}
	return y - coverGap
}

func (w *pdfWriter) write(at geom.Point, s string, f Font) {
	w.element(element{kind: textKind, text: Text{At: at, S: s, Font: f}})
}

func (s Sheets) describe() string {
	name := s.Paper.String()
	if s.Landscape {
		return name + " landscape"
	}
	return name
}

// howToJoin says how the pages are put together.
func (t *tiling) howToJoin() []string {
	if t.sheets.Overlap == 0 {
		return []string{"Trim every page along its frame and lay the pages edge to edge, as the map shows: halves of the crosses meet."}
	}
	return []string{"Trim the left and the upper edge of each page along its frame. Lay it on the pages before it so that the cut edges lie on the dashed lines and the crosses on each other, as the map shows."}
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func grid(t *tiling) string {
	return count(t.rows, "row") + " and " + count(t.columns, "column")
}

// wrap breaks text into lines of at most width.
func wrap(s string, f Font, width geom.Length) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(s) {
		longer := strings.TrimSpace(line + " " + word)
		if line != "" && TextWidth(longer, f) > width {
			lines, longer = append(lines, line), word
		}
		line = longer
	}
	return append(lines, line)
}

// square draws a square to measure.
func (w *pdfWriter) square(box geom.Rect, size string) {
	w.stroke([]geom.Path{box.Outline()}, squarePen)
	w.element(element{kind: textKind, text: Text{
		At: box.Center(), S: size + " square\nmeasure each side", Anchor: MiddleCenter, Font: Font{Size: 4.5},
	}})
}

// mapHeading is the height of the words over the map.
const mapHeading = 7 * geom.MM

// mapScale returns how large the map is in room.
func (t *tiling) mapScale(room geom.Rect) float64 {
	area := t.area()
	return min(float64(room.Width()/area.Width()), float64((room.Height()-mapHeading)/area.Height()), 1)
}

// plan draws the map: the drawing, small, with the pages over it.
func (w *pdfWriter) plan(t *tiling, room geom.Rect) {
	w.write(geom.Pt(room.Min.X, room.Max.Y-coverFont.Size), "Map of the pages", Font{Size: coverFont.Size, Bold: true})
	area, scale := t.area(), t.mapScale(room)
	room.Max.Y -= mapHeading
	low := geom.Pt(room.Min.X, room.Max.Y-area.Height()*geom.Length(scale))
	toPlan := geom.Translate(area.Min.Neg()).Then(geom.Scale(scale)).Then(geom.Translate(low))
	for _, e := range w.elements {
		if e.kind == strokeKind {
			pen := Pen{Width: 0.1, Color: e.pen.Color}
			paths := make([]geom.Path, len(e.paths))
			for i, p := range e.paths {
				paths[i] = p.Transformed(toPlan)
			}
			w.stroke(paths, pen)
		}
	}
	for _, one := range t.tiles {
		if one.number == 0 {
			continue
		}
		// The parts that overlap are left out of the map: the frame of a page
		// reaches to where the next begins.
		box := geom.Rect{Min: toPlan.Apply(one.area.Min), Max: toPlan.Apply(one.area.Max)}
		shrink := t.sheets.Overlap * geom.Length(scale) / 2
		w.stroke([]geom.Path{box.Grow(-shrink).Outline()}, mapPen)
		f := mapFont
		f.Size = min(f.Size, box.Width()/3, box.Height()/3)
		w.element(element{kind: textKind, text: Text{At: box.Center(), S: one.name(), Anchor: MiddleCenter, Font: f, Halo: f.Size / 6}})
	}
}
