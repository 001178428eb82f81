package drawing

import (
	"bytes"
	"encoding/base64"
	"encoding/xml"
	"errors"
	"image/color"
	"io"
	"math"
	"regexp"
	"strings"
	"testing"

	"patternkit/patternkit/geom"
)

func chartPage() *Page {
	p := NewPage("Tail against wind", "A curve that rises from 2 to 6 cm.")
	p.Chart(geom.Rect{Max: geom.Pt(110, 80)}, samplePlot())
	return p
}

func TestGoldenDrawings(t *testing.T) {
	checkGolden(t, "kite.svg", samplePage(1).SVG())
	checkGolden(t, "two_kites.svg", twoPieces().SVG())
	checkGolden(t, "chart.svg", chartPage().SVG())
	checkGolden(t, "crowd.svg", crowdedPage().SVG())
}

// parseSVG returns the start tags of a well-formed document.
func parseSVG(t *testing.T, svg []byte) []xml.StartElement {
	t.Helper()
	var tags []xml.StartElement
	d := xml.NewDecoder(bytes.NewReader(svg))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return tags
		}
		if err != nil {
			t.Fatalf("not well-formed: %v\n%s", err, svg)
		}
		if start, ok := token.(xml.StartElement); ok {
			tags = append(tags, start.Copy())
		}
	}
}

func attribute(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

func TestSVGIsTrueToScale(t *testing.T) {
	p := NewPage("Square", "A square of 10 cm.")
	p.Stroke(geom.RectAround(geom.Pt(-20, 30), geom.Pt(80, 130)).Outline(), Pen{Width: 0.5})
	svg := p.SVG()
	root := parseSVG(t, svg)[0]
	// 100 mm, half a line and a margin of 4 mm on both sides.
	if w, h, box := attribute(root, "width"), attribute(root, "height"), attribute(root, "viewBox"); w != "108.5mm" || h != "108.5mm" || box != "0 0 108.5 108.5" {
		t.Errorf("width %s, height %s, viewBox %s", w, h, box)
	}
	if want := `d="M4.25 104.25h100v-100h-100z"`; !bytes.Contains(svg, []byte(want)) {
		t.Errorf("no path with %s in\n%s", want, svg)
	}
}

func TestSVGStandsAlone(t *testing.T) {
	svg := samplePage(1).SVG()
	tags := parseSVG(t, svg)
	root := tags[0]
	if attribute(root, "role") != "img" || tags[1].Name.Local != "title" || tags[2].Name.Local != "desc" {
		t.Errorf("role %q, then %s and %s; want img, title, desc", attribute(root, "role"), tags[1].Name.Local, tags[2].Name.Local)
	}
	if got, want := attribute(root, "aria-labelledby"), attribute(tags[1], "id")+" "+attribute(tags[2], "id"); got != want {
		t.Errorf("labelled by %q, want %q", got, want)
	}
	if tags[3].Name.Local != "rect" || attribute(tags[3], "fill") != "#fff" {
		t.Errorf("the first mark is %v, want white paper", tags[3])
	}
	for _, word := range []string{"<style", "class=\"kite\"", "url(", "http"} {
		found := bytes.Contains(bytes.Replace(svg, []byte("http://www.w3.org/2000/svg"), nil, 1), []byte(word))
		if found != (word == "class=\"kite\"") {
			t.Errorf("%s in the file: %v", word, found)
		}
	}
	for i, line := range strings.Split(strings.TrimSpace(string(svg)), "\n") {
		if n := strings.Count(line, "<") - strings.Count(line, "</"); n != 1 && line != "</g>" && line != "</svg>" {
			t.Errorf("line %d has %d elements: %s", i+1, n, line)
		}
	}
	// A hundredth of a millimetre, and no finer.
	if fine := regexp.MustCompile(`\d\.\d{3,}`).Find(svg); fine != nil {
		t.Errorf("a number with more than two decimals: %s", fine)
	}
}

// Two drawings in one document use no id twice.
func TestIdsDiffer(t *testing.T) {
	ids := map[string]bool{}
	for _, p := range []*Page{samplePage(1), samplePage(2), twoPieces(), chartPage()} {
		for _, tag := range parseSVG(t, p.SVG()) {
			if id := attribute(tag, "id"); id != "" {
				if ids[id] {
					t.Errorf("id %q is used twice", id)
				}
				ids[id] = true
			}
		}
	}
}

func TestSameSVGAgain(t *testing.T) {
	if !bytes.Equal(samplePage(1).SVG(), samplePage(1).SVG()) {
		t.Errorf("the same drawing gives another file")
	}
}

func TestHTML(t *testing.T) {
	p := samplePage(1)
	got := p.HTML(0)
	found := regexp.MustCompile(`^<img width="(\d+)" height="(\d+)" alt="([^"]*)" src="data:image/svg\+xml;base64,([^"]*)">$`).FindStringSubmatch(got)
	if found == nil {
		t.Fatalf("no image: %.200s", got)
	}
	if want := "A kite &amp; its tail: A kite with a fold line, a bow of &lt;ribbon&gt;, labels and an arrow."; found[3] != want {
		t.Errorf("in words %q, want %q", found[3], want)
	}
	svg, err := base64.StdEncoding.DecodeString(found[4])
	if err != nil || !bytes.Equal(svg, p.SVG()) {
		t.Errorf("the image is not the page's SVG (%v)", err)
	}
	small := p.HTML(200)
	if !strings.HasPrefix(small, `<img width="200" height="`) {
		t.Errorf("limited to 200 pixels: %.80s", small)
	}
}

// The large picture is there once, and not in a drawing that moves; both have
// the line that opens it.
func TestLargeIsOpenedByHand(t *testing.T) {
	p := samplePage(1)
	rest, moving := p.HTMLWithLarge(), p.HTMLMoving()
	const line = "<details><summary>larger</summary>"
	if strings.Count(rest, "<img ") != 2 || strings.Count(rest, line) != 1 || !strings.HasPrefix(rest, p.HTML(0)) {
		t.Errorf("at rest: %.300s", rest)
	}
	// Room for it without a style, which front ends drop in a stranger's notebook.
	room := regexp.MustCompile(`<table role="presentation" width="(\d+)"><tr><td><img width="(\d+)"`).FindStringSubmatch(rest)
	if room == nil || room[1] != room[2] {
		t.Errorf("at rest the large picture has no room: %q", room)
	}
	if strings.Count(moving, "<img ") != 1 || !strings.HasSuffix(moving, "\n"+line+"</details>") {
		t.Errorf("moving: %.300s", moving)
	}
}

// What can't be drawn is told on the page, by Err, and by PDF.
func TestFaultsAreShown(t *testing.T) {
	nan := geom.Length(math.NaN())
	faults := map[string]func(p *Page){
		"coordinate that is not a number": func(p *Page) { p.Stroke(geom.Line(geom.Pt(0, 0), geom.Pt(nan, 1)), thin) },
		"pen of width 0 cm":               func(p *Page) { p.Stroke(kite(1), Pen{}) },
		"dash of -0.1 cm":                 func(p *Page) { p.Stroke(kite(1), Pen{Width: 1, Dash: []geom.Length{-1}}) },
		"want some that have a length":    func(p *Page) { p.Stroke(kite(1), Pen{Width: 1, Dash: []geom.Length{0, 0}}) },
		"gaps of [1e-09 1e-09] mm":        func(p *Page) { p.Stroke(kite(1), Pen{Width: 1, Dash: []geom.Length{1e-9, 1e-9}}) },
		"of size 0 cm":                    func(p *Page) { p.Text(Text{S: "word"}) },
		"want numbers":                    func(p *Page) { p.Label(Label{S: "word", At: geom.Pt(nan, 0), Font: plain}) },
		"characters that are no text":     func(p *Page) { p.Text(Text{S: "a\x00b", Font: plain}) },
		"not begun":                       func(p *Page) { p.End() },
		`layer "cut" is not ended`:        func(p *Page) { p.Begin("cut") },
		"a chart in a frame":              func(p *Page) { p.Chart(geom.Rect{}, samplePlot()) },
		"margin of -0.1 cm":               func(p *Page) { p.SetMargin(-1) },
	}
	for want, draw := range faults {
		p := NewPage("Broken", "")
		p.Stroke(kite(1), thick)
		draw(p)
		if err := p.Err(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want an error with %q", err, want)
		}
		if _, err := p.PDF(Sheets{}); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("printing: %v, want an error with %q", err, want)
		}
		svg := p.SVG()
		parseSVG(t, svg)
		if !bytes.Contains(svg, []byte("This drawing is not complete.")) || regexp.MustCompile(`="[^"]*NaN`).Match(svg) {
			t.Errorf("the picture does not tell %q:\n%s", want, svg)
		}
		if len(p.PNG(50)) == 0 {
			t.Errorf("no picture of pixels")
		}
	}
}

func TestEmptyPage(t *testing.T) {
	p := NewPage("Nothing", "")
	parseSVG(t, p.SVG())
	if size := p.Pixels(96).Bounds().Size(); size.X < 1 || size.Y < 1 {
		t.Errorf("an empty page has %v pixels", size)
	}
	if _, err := p.PDF(Sheets{}); err != nil {
		t.Errorf("an empty page does not print: %v", err)
	}
	if _, err := p.PDF(Sheets{Paper: A4}); err == nil {
		t.Errorf("an empty page is parted into sheets")
	}
}

func TestColors(t *testing.T) {
	p := NewPage("Colours", "")
	p.Fill(kite(1), color.NRGBA{255, 0, 0, 128})
	p.Fill(kite(1), nil)
	p.Stroke(kite(1), Pen{Width: 1})
	svg := string(p.SVG())
	if strings.Count(svg, "<path") != 2 || !strings.Contains(svg, `fill="#f00" fill-opacity="0.50"`) || !strings.Contains(svg, `stroke="#000"`) {
		t.Errorf("colours in\n%s", svg)
	}
}
