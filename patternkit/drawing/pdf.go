package drawing

import (
	"bytes"
	"fmt"
	"image/color"
	"slices"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"patternkit/patternkit/geom"
)

// maxPage is the longest side of a page that readers show: 200 inches (ISO
// 32000-1, annex C.2).
const maxPage = 200 * geom.Inch

// PDF returns the page for printing at true scale: on one page as large as the
// drawing or as wide as a roll, or on several of a paper, which are joined
// after printing. Their first page has a map of the others and two squares to measure. The same
// drawing gives the same bytes.
func (p *Page) PDF(s Sheets) ([]byte, error) {
	if err := p.Err(); err != nil {
		return nil, err
	}
	elements := p.settled()
	if err := checkGlyphs(elements); err != nil {
		return nil, fmt.Errorf("drawing %q: %w", p.title, err)
	}
	w := newPDFWriter(p, elements)
	var err error
	switch s.Paper {
	case Fitted:
		err = w.fitted()
	case Roll:
		err = w.roll(s.withDefaults())
	default:
		err = w.tiled(s)
	}
	if err != nil {
		return nil, fmt.Errorf("drawing %q: %w", p.title, err)
	}
	var file bytes.Buffer
	if err := w.f.Output(&file); err != nil {
		return nil, fmt.Errorf("drawing %q: %w", p.title, err)
	}
	return file.Bytes(), nil
}

// checkGlyphs returns an error for text that the embedded typeface can't
// show.
func checkGlyphs(elements []element) error {
	for _, e := range elements {
		if e.kind != textKind {
			continue
		}
		for _, r := range e.text.S {
			if r != '\n' && e.text.Font.face().glyph(r).missing {
				return fmt.Errorf("text %q: the typeface of printed pages has no %q; write it in other letters", e.text.S, r)
			}
		}
	}
	return nil
}

// A pdfWriter draws elements on pages of a document.
type pdfWriter struct {
	page     *Page
	f        *fpdf.Fpdf
	elements []element
	boxes    []geom.Rect // around each element
	layers   map[string]int
	images   int

	// Of the page being drawn: its height, the place of the drawing at its
	// lower left corner, and its scale.
	height geom.Length
	origin geom.Point
	scale  float64
}

var pdfStyles = [4]string{"", "B", "I", "BI"}

func newPDFWriter(p *Page, elements []element) *pdfWriter {
	w := &pdfWriter{page: p, elements: elements, layers: map[string]int{}, scale: 1}
	w.f = fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: 100, Ht: 100}})
	w.f.SetMargins(0, 0, 0)
	w.f.SetAutoPageBreak(false, 0)
	// The same drawing makes the same file: no dates, and a fixed order.
	long := time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
	w.f.SetCreationDate(long)
	w.f.SetModificationDate(long)
	w.f.SetCatalogSort(true)
	w.f.SetProducer("patternkit", true)
	w.f.SetTitle(p.title, true)
	w.f.SetSubject(p.description, true)
	w.f.SetLang("en")
	w.f.SetLineJoinStyle("round")
	w.f.SetLineCapStyle("butt")
	for i, face := range faces {
		if i < 2 || usesStyle(elements, i) { // the first page is set in regular and bold
			w.f.AddUTF8FontFromBytes("sans", pdfStyles[i], face.ttf)
		}
	}
	for _, e := range elements {
		if _, known := w.layers[e.layer]; e.kind == beginKind && !known {
			w.layers[e.layer] = w.f.AddLayer(e.layer, true)
		}
		w.boxes = append(w.boxes, e.bounds())
	}
	return w
}

func usesStyle(elements []element, style int) bool {
	for _, e := range elements {
		if e.kind == textKind && e.text.Font.style() == style {
			return true
		}
	}
	return false
}

// fitted draws everything on one page.
func (w *pdfWriter) fitted() error {
	paper := w.page.paper()
	if paper.Width() > maxPage || paper.Height() > maxPage {
		return fmt.Errorf("one page of %v by %v is larger than readers show, %v; choose a paper to print it on", paper.Width(), paper.Height(), geom.Length(maxPage))
	}
	w.addPage(paper.Width(), paper.Height())
	w.origin = paper.Min
	w.drawIn(paper)
	return nil
}

// roll draws everything on pages of the width of a roll, in its middle: one, or
// what lies between the breaks on one each.
func (w *pdfWriter) roll(s Sheets) error {
	box := w.page.Bounds()
	if box.Empty() {
		return fmt.Errorf("nothing is drawn, so there is nothing to print")
	}
	box = box.Grow(1)
	if !(box.Width()+2*s.Margin <= s.Width && s.Width <= maxPage) {
		return fmt.Errorf("a drawing %v wide on a roll of %v with margins of %v, want a roll from %v to %v", box.Width(), s.Width, s.Margin, box.Width()+2*s.Margin, geom.Length(maxPage))
	}
	low := box.Min.Y
	for _, high := range append(slices.Clone(s.Breaks), box.Max.Y) {
		part := geom.Rect{Min: geom.Pt(box.Min.X, low), Max: geom.Pt(box.Max.X, high)}
		length := high - low + 2*s.Margin
		if !(high > low && length <= maxPage) {
			return fmt.Errorf("a page of a roll of %v would be printed %v long, want up to %v, more than readers do not show; want a wider roll, or breaks that rise", s.Width, length, geom.Length(maxPage))
		}
		w.addPage(s.Width, length)
		w.origin = geom.Pt(box.Center().X-s.Width/2, low-s.Margin)
		w.drawIn(part)
		low = high
	}
	return nil
}

func (w *pdfWriter) addPage(width, height geom.Length) {
	w.f.AddPageFormat("P", fpdf.SizeType{Wd: float64(width), Ht: float64(height)})
	w.height, w.origin, w.scale = height, geom.Point{}, 1
}

// drawIn draws all elements that reach into box.
func (w *pdfWriter) drawIn(box geom.Rect) {
	for i, e := range w.elements {
		if e.kind == beginKind || e.kind == endKind || w.boxes[i].Overlaps(box) {
			w.element(e)
		}
	}
}

// xy returns a place on the page, y down from its top.
func (w *pdfWriter) xy(q geom.Point) (x, y float64) {
	d := q.Sub(w.origin).Scale(w.scale)
	return float64(d.X), float64(w.height - d.Y)
}

func (w *pdfWriter) element(e element) {
	switch e.kind {
	case beginKind:
		// The library's own layers can't lie within each other.
		w.f.RawWriteStr(fmt.Sprintf("/OC /OC%d BDC", w.layers[e.layer]))
	case endKind:
		w.f.RawWriteStr("EMC")
	case strokeKind:
		w.stroke(e.paths, e.pen)
	case fillKind:
		w.alpha(e.fill)
		w.f.SetFillColor(int(e.fill.R), int(e.fill.G), int(e.fill.B))
		for _, p := range e.paths {
			w.trace(p, true)
		}
		w.f.DrawPath("F")
	case textKind:
		for _, line := range e.text.lines() {
			w.text(e.text, line)
		}
	case imageKind:
		w.image(e)
	}
}

func (w *pdfWriter) stroke(paths []geom.Path, pen Pen) {
	c := pen.color()
	w.alpha(c)
	w.f.SetDrawColor(int(c.R), int(c.G), int(c.B))
	w.f.SetLineWidth(float64(pen.Width) * w.scale)
	var dash []float64
	for _, d := range pen.Dash {
		dash = append(dash, float64(d)*w.scale)
	}
	w.f.SetDashPattern(dash, float64(pen.Phase)*w.scale)
	for _, p := range paths {
		w.trace(p, false)
	}
	w.f.DrawPath("D")
}

// alpha sets the opacity of what is drawn next.
func (w *pdfWriter) alpha(c color.NRGBA) {
	if now, _ := w.f.GetAlpha(); now != float64(c.A)/255 {
		w.f.SetAlpha(float64(c.A)/255, "Normal")
	}
}

// trace adds p to the path to be drawn.
func (w *pdfWriter) trace(p geom.Path, area bool) {
	for i, g := range p.Segments() {
		if i == 0 {
			w.f.MoveTo(w.xy(g.A))
		}
		x, y := w.xy(g.B)
		if !g.Curve {
			w.f.LineTo(x, y)
			continue
		}
		x1, y1 := w.xy(g.C1)
		x2, y2 := w.xy(g.C2)
		w.f.CurveBezierCubicTo(x1, y1, x2, y2, x, y)
	}
	if !p.Empty() && (area || p.Closed()) {
		w.f.ClosePath()
	}
}

func (w *pdfWriter) text(t Text, line textLine) {
	if strings.TrimSpace(line.s) == "" {
		return
	}
	c := t.Font.color()
	w.alpha(c)
	w.f.SetFont("sans", pdfStyles[t.Font.style()], float64(t.Font.Size)*w.scale*72/25.4)
	x, y := w.xy(line.at)
	w.f.TransformBegin()
	if t.Angle != 0 {
		w.f.TransformRotate(t.Angle.Degrees(), x, y)
	}
	if t.Halo > 0 {
		w.f.SetDrawColor(0xff, 0xff, 0xff)
		w.f.SetLineWidth(2 * float64(t.Halo) * w.scale)
		w.f.SetDashPattern(nil, 0)
		w.f.SetTextRenderingMode(1)
		w.f.Text(x, y, line.s)
		w.f.SetTextRenderingMode(0)
	}
	w.f.SetTextColor(int(c.R), int(c.G), int(c.B))
	w.f.Text(x, y, line.s)
	w.f.TransformEnd()
}

func (w *pdfWriter) image(e element) {
	file, kind, err := e.packed()
	if err != nil {
		w.f.SetError(err)
		return
	}
	w.images++
	name, options := fmt.Sprintf("image%d", w.images), fpdf.ImageOptions{ImageType: kind}
	w.f.RegisterImageOptionsReader(name, options, bytes.NewReader(file))
	x, y := w.xy(geom.Pt(e.frame.Min.X, e.frame.Max.Y))
	w.alpha(black)
	w.f.ImageOptions(name, x, y, float64(e.frame.Width())*w.scale, float64(e.frame.Height())*w.scale, false, options, 0, "")
}
