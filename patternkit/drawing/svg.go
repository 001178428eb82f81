package drawing

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"hash/fnv"
	"html"
	"image/color"
	"math"
	"strconv"
	"strings"
	"unicode"

	"patternkit/patternkit/geom"
)

// An svgWriter writes elements one to a line, with y down from the top of the
// paper.
type svgWriter struct {
	out   bytes.Buffer
	paper geom.Rect
	num   []byte
}

// SVG returns the page as a file at true scale: its width and height are in
// millimetres, and so are its units, rounded to a hundredth. It stands alone
// (no style sheet, no outside font) and on white paper.
func (p *Page) SVG() []byte { return p.svg(p.settled()) }

func (p *Page) svg(elements []element) []byte {
	w := svgWriter{paper: p.paper()}
	w.out.Grow(100 * len(elements))
	for _, e := range elements {
		w.element(e)
	}
	body := w.out.Bytes()
	// Ids are made of the content, so that two drawings in one document do not
	// use the same.
	sum := fnv.New32a()
	sum.Write([]byte(p.title))
	sum.Write(body)
	id := fmt.Sprintf("drawing-%08x", sum.Sum32())
	width, height := w.number(w.paper.Width()), w.number(w.paper.Height())

	var file bytes.Buffer
	file.Grow(len(body) + 1024)
	fmt.Fprintf(&file, `<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="0 0 %s %s" role="img" aria-labelledby="%s-title %s-desc" font-family="%s" fill="none" stroke-linejoin="round">`+"\n",
		width, height, width, height, id, id, family)
	fmt.Fprintf(&file, "<title id=\"%s-title\">%s</title>\n<desc id=\"%s-desc\">%s</desc>\n", id, html.EscapeString(p.title), id, html.EscapeString(p.description))
	fmt.Fprintf(&file, "<rect width=\"%s\" height=\"%s\" fill=\"#fff\"/>\n", width, height)
	file.Write(body)
	file.WriteString("</svg>\n")
	return file.Bytes()
}

func (w *svgWriter) element(e element) {
	switch e.kind {
	case beginKind:
		fmt.Fprintf(&w.out, "<g class=\"%s\" data-layer=\"%s\">\n", className(e.layer), html.EscapeString(e.layer))
	case endKind:
		w.out.WriteString("</g>\n")
	case strokeKind:
		w.stroke(e)
	case fillKind:
		w.out.WriteString(`<path d="`)
		for _, p := range e.paths {
			w.path(p, true)
		}
		w.out.WriteByte('"')
		w.color("fill", e.fill)
		w.out.WriteString("/>\n")
	case textKind:
		for _, line := range e.text.lines() {
			w.text(e.text, line)
		}
	case imageKind:
		w.image(e)
	}
}

func (w *svgWriter) stroke(e element) {
	w.out.WriteString(`<path d="`)
	for _, p := range e.paths {
		w.path(p, false)
	}
	w.out.WriteByte('"')
	w.color("stroke", e.pen.color())
	w.attribute("stroke-width", e.pen.Width)
	if len(e.pen.Dash) > 0 {
		w.out.WriteString(` stroke-dasharray="`)
		for i, d := range e.pen.Dash {
			if i > 0 {
				w.out.WriteByte(' ')
			}
			w.out.WriteString(w.number(d))
		}
		w.out.WriteByte('"')
		if e.pen.Phase != 0 {
			w.attribute("stroke-dashoffset", e.pen.Phase)
		}
	}
	w.out.WriteString("/>\n")
}

// path writes the data of one path: its start, and each further point by its
// steps from the one before, which is half as long. The steps are between
// points that are rounded already, so that nothing adds up.
func (w *svgWriter) path(p geom.Path, area bool) {
	segs := p.Segments()
	if len(segs) == 0 {
		return
	}
	closed := p.Closed()
	x, y := w.place(segs[0].A)
	w.out.WriteByte('M')
	w.out.Write(w.digits(x))
	w.step(y)
	for i, g := range segs {
		bx, by := w.place(g.B)
		switch {
		case g.Curve:
			c1x, c1y := w.place(g.C1)
			c2x, c2y := w.place(g.C2)
			w.out.WriteByte('c')
			w.out.Write(w.digits(c1x - x))
			for _, n := range [...]int64{c1y - y, c2x - x, c2y - y, bx - x, by - y} {
				w.step(n)
			}
		case closed && i == len(segs)-1:
			// z draws the last line.
		case by == y:
			w.out.WriteByte('h')
			w.out.Write(w.digits(bx - x))
		case bx == x:
			w.out.WriteByte('v')
			w.out.Write(w.digits(by - y))
		default:
			w.out.WriteByte('l')
			w.out.Write(w.digits(bx - x))
			w.step(by - y)
		}
		x, y = bx, by
	}
	if closed || area {
		w.out.WriteByte('z')
	}
}

// step writes a further number of a list; a minus parts it from the one before.
func (w *svgWriter) step(n int64) {
	if n >= 0 {
		w.out.WriteByte(' ')
	}
	w.out.Write(w.digits(n))
}

// place returns a point as hundredths of a millimetre from the paper's top left.
func (w *svgWriter) place(p geom.Point) (x, y int64) {
	return hundredths(p.X - w.paper.Min.X), hundredths(w.paper.Max.Y - p.Y)
}

func (w *svgWriter) text(t Text, line textLine) {
	s := strings.TrimSpace(line.s)
	if s == "" {
		return
	}
	x, y := line.at.X-w.paper.Min.X, w.paper.Max.Y-line.at.Y
	w.out.WriteString("<text")
	if turn := hundredths(geom.Length(-t.Angle.Degrees())); turn == 0 {
		w.attribute("x", x)
		w.attribute("y", y)
	} else {
		w.out.WriteString(` transform="translate(`)
		w.out.Write(w.digits(hundredths(x)))
		w.step(hundredths(y))
		w.out.WriteString(")rotate(")
		w.out.Write(w.digits(turn))
		w.out.WriteString(`)"`)
	}
	w.attribute("font-size", t.Font.Size)
	// Where a browser has to take another typeface, the text keeps its width.
	w.attribute("textLength", TextWidth(s, t.Font))
	w.out.WriteString(` lengthAdjust="spacingAndGlyphs"`)
	if t.Font.Bold {
		w.out.WriteString(` font-weight="bold"`)
	}
	if t.Font.Italic {
		w.out.WriteString(` font-style="italic"`)
	}
	w.color("fill", t.Font.color())
	if t.Halo > 0 {
		w.out.WriteString(` paint-order="stroke" stroke="#fff"`)
		w.attribute("stroke-width", 2*t.Halo)
	}
	w.out.WriteByte('>')
	w.out.WriteString(html.EscapeString(s))
	w.out.WriteString("</text>\n")
}

func (w *svgWriter) image(e element) {
	file, kind, err := e.packed()
	if err != nil {
		panic(fmt.Sprintf("drawing: an image can't be written: %v", err)) // a buffer takes everything
	}
	fmt.Fprintf(&w.out, "<image x=\"%s\" y=\"%s\" width=\"%s\" height=\"%s\" preserveAspectRatio=\"none\" href=\"data:image/%s;base64,%s\"/>\n",
		w.number(e.frame.Min.X-w.paper.Min.X), w.number(w.paper.Max.Y-e.frame.Max.Y),
		w.number(e.frame.Width()), w.number(e.frame.Height()), kind, base64.StdEncoding.EncodeToString(file))
}

func (w *svgWriter) attribute(name string, l geom.Length) {
	w.out.WriteByte(' ')
	w.out.WriteString(name)
	w.out.WriteString(`="`)
	w.out.WriteString(w.number(l))
	w.out.WriteByte('"')
}

// color writes a paint and, where it is not opaque, its opacity.
func (w *svgWriter) color(name string, c color.NRGBA) {
	const hex = "0123456789abcdef"
	w.out.WriteByte(' ')
	w.out.WriteString(name)
	w.out.WriteString(`="#`)
	short := c.R%17 == 0 && c.G%17 == 0 && c.B%17 == 0
	for _, v := range [...]uint8{c.R, c.G, c.B} {
		w.out.WriteByte(hex[v>>4])
		if !short {
			w.out.WriteByte(hex[v&15])
		}
	}
	w.out.WriteByte('"')
	if c.A < 0xff {
		fmt.Fprintf(&w.out, ` %s-opacity="%s"`, name, strconv.FormatFloat(float64(c.A)/255, 'f', 2, 64))
	}
}

// number returns l to a hundredth of a millimetre, without trailing zeros.
func (w *svgWriter) number(l geom.Length) string { return string(w.digits(hundredths(l))) }

func hundredths(l geom.Length) int64 { return int64(math.Round(float64(l) * 100)) }

// digits returns hundredths as a decimal number, until it is called again.
func (w *svgWriter) digits(n int64) []byte {
	w.num = w.num[:0]
	if n < 0 {
		w.num = append(w.num, '-')
		n = -n
	}
	part := n % 100
	if n >= 100 || part == 0 {
		w.num = strconv.AppendInt(w.num, n/100, 10)
	}
	if part != 0 {
		w.num = append(w.num, '.', byte('0'+part/10))
		if part%10 != 0 {
			w.num = append(w.num, byte('0'+part%10))
		}
	}
	return w.num
}

// className makes a class of a layer's name: letters and digits, and hyphens
// for what is between them.
func className(layer string) string {
	words := strings.FieldsFunc(strings.ToLower(layer), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r)
	})
	if len(words) == 0 {
		return "layer"
	}
	return strings.Join(words, "-")
}
