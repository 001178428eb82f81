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
func (p *Page) HTML(maxWidth float64) string {
	box := p.paper()
	w, h := pixels(box.Width()), pixels(box.Height())
	if maxWidth > 0 && w > maxWidth {
		w, h = maxWidth, h*maxWidth/w
	}
	alt := p.title
	if p.description != "" {
		alt += ": " + p.description
	}
	return fmt.Sprintf(`<img width="%.0f" height="%.0f" alt="%s" src="data:image/svg+xml;base64,%s">`,
		math.Ceil(w), math.Ceil(h), html.EscapeString(alt), base64.StdEncoding.EncodeToString(p.SVG()))
}

func pixels(l geom.Length) float64 { return l.MM() * pixelsPerMM }
