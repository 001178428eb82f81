package kernel

import (
	"encoding/base64"
	"encoding/xml"
	"fmt"
	"html"
	"math"
	"strconv"
	"strings"
)

// pagePixels is the width of an output area in today's front ends. A wider
// drawing is shown at this width.
const pagePixels = 900

// svgImage wraps an SVG in an <img>, which trusted and untrusted notebooks,
// exporters and viewers all show. The size is in CSS pixels, as the attributes
// of <img> want it; alt is the drawing's title, or else text.
func svgImage(svg, text string) string {
	width, height, title := svgSize(svg)
	if title == "" {
		title = text
	}
	size := ""
	if width > 0 && height > 0 {
		scale := min(1, pagePixels/width)
		size = fmt.Sprintf(` width="%.0f" height="%.0f"`, math.Ceil(width*scale), math.Ceil(height*scale))
	}
	return fmt.Sprintf(`<img src="data:image/svg+xml;base64,%s"%s alt="%s">`,
		base64.StdEncoding.EncodeToString([]byte(svg)), size, html.EscapeString(title))
}

// svgSize reads the size of the root element in pixels, from its width and
// height or else from its viewBox, and the title. What can't be read is zero.
func svgSize(svg string) (width, height float64, title string) {
	d := xml.NewDecoder(strings.NewReader(svg))
	d.Strict = false
	seen := false
	for {
		token, err := d.Token()
		if err != nil {
			return width, height, title
		}
		start, ok := token.(xml.StartElement)
		switch {
		case !ok:
		case !seen && start.Name.Local == "svg":
			seen = true
			width, height = rootSize(start)
		case seen && start.Name.Local == "title":
			var s struct {
				Text string `xml:",chardata"`
			}
			if d.DecodeElement(&s, &start) == nil {
				title = strings.TrimSpace(s.Text)
			}
			return width, height, title
		case seen && start.Name.Local != "desc": // a title comes before the drawing
			return width, height, title
		}
	}
}

func rootSize(root xml.StartElement) (width, height float64) {
	var box []string
	for _, a := range root.Attr {
		switch a.Name.Local {
		case "width":
			width = pixels(a.Value)
		case "height":
			height = pixels(a.Value)
		case "viewBox":
			box = strings.FieldsFunc(a.Value, func(r rune) bool { return r == ' ' || r == ',' })
		}
	}
	if (width == 0 || height == 0) && len(box) == 4 {
		width, height = pixels(box[2]), pixels(box[3])
	}
	return width, height
}

// cssPixels are the units of CSS in pixels, https://www.w3.org/TR/css-values/#absolute-lengths.
var cssPixels = map[string]float64{"": 1, "px": 1, "mm": 96 / 25.4, "cm": 96 / 2.54, "in": 96, "pt": 96.0 / 72, "pc": 16}

func pixels(length string) float64 {
	length = strings.TrimSpace(length)
	end := strings.LastIndexAny(length, "0123456789.") + 1
	n, err := strconv.ParseFloat(length[:end], 64)
	if err != nil || math.IsInf(n, 0) || math.IsNaN(n) {
		return 0
	}
	return n * cssPixels[length[end:]]
}
