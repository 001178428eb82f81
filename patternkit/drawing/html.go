package drawing

import (
	"encoding/base64"
	"fmt"
	"html"
	"math"

	"patternkit/patternkit/geom"
)

// pixelsPerMM is the scale of a web page: 96 pixels are an inch (CSS Values
// and Units Level 4, 5.2).
const pixelsPerMM = 96 / 25.4

// HTML returns the page as an <img> that holds its SVG and says in words what
// it shows. It is shown at true scale, smaller where it would be wider than
// maxWidth pixels; 0 sets no limit.
func (p *Page) HTML(maxWidth float64) string { return p.image(source(p.SVG()), maxWidth) }

// largeTimes is how much larger the large picture is: text of 9 pixels can be
// read across a table.
const largeTimes = 2.5

// HTMLWithLarge is HTML and under it a line that, clicked, opens the drawing
// large. It needs no script, and no link to the drawing as a page of its own:
// browsers open none whose address is the data itself.
func (p *Page) HTMLWithLarge() string {
	source := source(p.SVG())
	w, h := p.size()
	// Front ends draw no picture wider than what it is in, and drop styles in a
	// stranger's notebook: there the table makes room.
	large := fmt.Sprintf(`<table role="presentation" width="%[1]d"><tr><td><img width="%[1]d" height="%[2]d" style="max-width:none" alt="the same, large" src="%[3]s"></td></tr></table>`,
		int(math.Ceil(w*largeTimes)), int(math.Ceil(h*largeTimes)), source)
	return p.image(source, 0) + fmt.Sprintf(largeLine, large)
}

// HTMLMoving is HTMLWithLarge for a drawing that is about to be replaced: the
// line is there, so that nothing under the drawing moves, without the large
// one. The drawing looks the same, but has no layers.
func (p *Page) HTMLMoving() string {
	return p.image(source(p.svg(gathered(p.settled()))), 0) + fmt.Sprintf(largeLine, "")
}

const largeLine = "\n<details><summary>larger</summary>%s</details>"

func source(svg []byte) string {
	return "data:image/svg+xml;base64," + base64.StdEncoding.EncodeToString(svg)
}

func (p *Page) size() (w, h float64) {
	box := p.paper()
	return pixels(box.Width()), pixels(box.Height())
}

func (p *Page) image(source string, maxWidth float64) string {
	w, h := p.size()
	if maxWidth > 0 && w > maxWidth {
		w, h = maxWidth, h*maxWidth/w
	}
	alt := p.title
	if p.description != "" {
		alt += ": " + p.description
	}
	return fmt.Sprintf(`<img width="%.0f" height="%.0f" alt="%s" src="%s">`, math.Ceil(w), math.Ceil(h), html.EscapeString(alt), source)
}

func pixels(l geom.Length) float64 { return l.MM() * pixelsPerMM }
