package drawing

import (
	"fmt"
	"image/color"

	"patternkit/patternkit/geom"
)

// Lines and text of printed pages that are not of the drawing.
var (
	frameInk  = color.NRGBA{0x70, 0x70, 0x70, 0xff}
	ghostInk  = color.NRGBA{0, 0, 0, 0x12}
	framePen  = Pen{Width: 0.15, Color: frameInk}
	joinPen   = Pen{Width: 0.2, Color: frameInk, Dash: []geom.Length{3, 2}}
	markPen   = Pen{Width: 0.2, Color: black}
	sheetFont = Font{Size: 3, Color: frameInk}
)

// tiled draws the first page and then every tile that has something on it.
func (w *pdfWriter) tiled(s Sheets) error {
	box := w.page.Bounds()
	if box.Empty() {
		return fmt.Errorf("nothing is drawn, so there is nothing to print")
	}
	t, err := s.tiling(box.Grow(1), w.boxes)
	if err != nil {
		return err
	}
	if err := w.cover(t); err != nil {
		return err
	}
	for _, one := range t.tiles {
		if one.number > 0 {
			w.tile(t, one)
		}
	}
	return nil
}

// tile draws one page of the drawing with what is needed to join it to its
// neighbours.
func (w *pdfWriter) tile(t *tiling, one tile) {
	w.addPage(t.width, t.height)
	margin := t.sheets.Margin
	w.origin = one.area.Min.Sub(geom.Pt(margin, margin))
	x, y := w.xy(geom.Pt(one.area.Min.X, one.area.Max.Y))
	w.f.ClipRect(x, y, float64(one.area.Width()), float64(one.area.Height()), false)
	w.drawIn(one.area)
	w.element(element{kind: textKind, text: Text{
		At: one.area.Center(), S: one.name(), Anchor: MiddleCenter,
		Font: Font{Size: min(one.area.Width(), one.area.Height()) / 4, Bold: true, Color: ghostInk},
	}})
	w.marks(t, one)
	w.f.ClipEnd()
	w.stroke([]geom.Path{one.area.Outline()}, framePen)
	w.notes(t, one)
}

// marks draws where the neighbours' edges come to lie, and the crosses that
// both pages of a joint show at the same places of the drawing.
func (w *pdfWriter) marks(t *tiling, one tile) {
	a, overlap := one.area, t.sheets.Overlap
	if _, ok := t.at(one.row, one.column+1); ok {
		w.join(geom.Pt(a.Max.X-overlap, a.Min.Y), geom.Pt(a.Max.X-overlap, a.Max.Y), overlap)
		w.crosses(geom.Pt(a.Max.X-overlap/2, a.Min.Y), geom.Pt(a.Max.X-overlap/2, a.Max.Y))
	}
	if _, ok := t.at(one.row, one.column-1); ok {
		w.crosses(geom.Pt(a.Min.X+overlap/2, a.Min.Y), geom.Pt(a.Min.X+overlap/2, a.Max.Y))
	}
	if _, ok := t.at(one.row+1, one.column); ok {
		w.join(geom.Pt(a.Min.X, a.Min.Y+overlap), geom.Pt(a.Max.X, a.Min.Y+overlap), overlap)
		w.crosses(geom.Pt(a.Min.X, a.Min.Y+overlap/2), geom.Pt(a.Max.X, a.Min.Y+overlap/2))
	}
	if _, ok := t.at(one.row-1, one.column); ok {
		w.crosses(geom.Pt(a.Min.X, a.Max.Y-overlap/2), geom.Pt(a.Max.X, a.Max.Y-overlap/2))
	}
}

// join draws the line on which the cut edge of the next page is laid.
func (w *pdfWriter) join(a, b geom.Point, overlap geom.Length) {
	if overlap > 0 {
		w.stroke([]geom.Path{geom.Line(a, b)}, joinPen)
	}
}

// crosses draws two marks along a joint.
func (w *pdfWriter) crosses(a, b geom.Point) {
	for _, t := range [2]float64{0.25, 0.75} {
		const r = 2.5
		c := a.Lerp(b, t)
		w.stroke([]geom.Path{
			geom.Line(c.Sub(geom.Pt(r, 0)), c.Add(geom.Pt(r, 0))),
			geom.Line(c.Sub(geom.Pt(0, r)), c.Add(geom.Pt(0, r))),
			geom.Arc(c, r*0.6, 0, 360*geom.Degree),
		}, markPen)
	}
}

// notes writes in the margin which page it is and what lies beside it; where
// the margin is too narrow, just inside the frame.
func (w *pdfWriter) notes(t *tiling, one tile) {
	a, size := one.area, sheetFont.Size
	away := size * 0.6
	if t.sheets.Margin < 2*size {
		away = -size * 1.2
	}
	write := func(at geom.Point, s string, anchor Anchor) {
		w.element(element{kind: textKind, text: Text{At: at, S: s, Anchor: anchor, Font: sheetFont, Halo: 0.5}})
	}
	bottom, top := a.Min.Y-away-capHeight*size, a.Max.Y+away
	place := fmt.Sprintf("   row %s, column %d   page %d of %d   true scale", rowName(one.row), one.column+1, one.number, t.pages)
	title := shorten(w.printable(w.page.title), sheetFont, a.Width()-75-TextWidth(place, sheetFont))
	write(geom.Pt(a.Min.X+2, bottom), title+place, BaseLeft)
	if next, ok := t.at(one.row, one.column+1); ok {
		write(geom.Pt(a.Max.X-2, bottom), "to the right: "+next.name(), BaseRight)
	}
	if next, ok := t.at(one.row+1, one.column); ok {
		write(geom.Pt(a.Max.X-45, bottom), "below: "+next.name(), BaseRight)
	}
	if next, ok := t.at(one.row-1, one.column); ok {
		write(geom.Pt(a.Max.X-45, top), "above: "+next.name(), BaseRight)
	}
	if next, ok := t.at(one.row, one.column-1); ok {
		write(geom.Pt(a.Min.X+2, top), "to the left: "+next.name(), BaseLeft)
	}
}

// shorten cuts s to a width, with dots where something is left out.
func shorten(s string, f Font, width geom.Length) string {
	if TextWidth(s, f) <= width {
		return s
	}
	letters := []rune(s)
	for len(letters) > 0 && TextWidth(string(letters)+"…", f) > width {
		letters = letters[:len(letters)-1]
	}
	return string(letters) + "…"
}

// printable returns s without characters that the typeface lacks.
func (w *pdfWriter) printable(s string) string {
	out := []rune{}
	for _, r := range s {
		if !faces[0].glyph(r).missing {
			out = append(out, r)
		}
	}
	return string(out)
}
