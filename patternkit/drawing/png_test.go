package drawing

import (
	"bytes"
	"image/color"
	"image/png"
	"math"
	"strconv"
	"strings"
	"testing"

	"patternkit/patternkit/geom"
)

// darkness is the sum of ink of a picture, in pixels of black.
func darkness(p *Page, dpi float64) float64 {
	sum, img := 0.0, p.Pixels(dpi)
	for i := 0; i < len(img.Pix); i += 4 {
		sum += float64(255-img.Pix[i]) / 255
	}
	return sum
}

// As much ink is on the picture as the lines and areas cover.
func TestInk(t *testing.T) {
	const dpi = 254 // 10 pixels to the millimetre
	circle := geom.Arc(geom.Pt(0, 0), 20, 0, 360*geom.Degree)
	corner := geom.Polyline(geom.Pt(0, 0), geom.Pt(20, 0), geom.Pt(0, 15))
	tests := []struct {
		name string
		draw func(p *Page)
		want float64 // in square millimetres
	}{
		{"square", func(p *Page) {
			p.Fill(geom.RectAround(geom.Pt(0.33, 0.71), geom.Pt(10.33, 10.71)).Outline(), color.Black)
		}, 100},
		{"disc", func(p *Page) { p.Fill(circle, color.Black) }, math.Pi * 400},
		{"line", func(p *Page) { p.Stroke(geom.Line(geom.Pt(0, 0), geom.Pt(30, 40)), Pen{Width: 0.5}) }, 25},
		{"circle", func(p *Page) { p.Stroke(circle, Pen{Width: 0.5}) }, math.Pi * 40 * 0.5},
		{"half grey", func(p *Page) { p.Fill(circle, color.NRGBA{A: 128}) }, math.Pi * 400 * 128 / 255},
		// 10 dashes of 2 in 40 mm.
		{"dashes", func(p *Page) {
			p.Stroke(geom.Line(geom.Pt(0, 0), geom.Pt(40, 0)), Pen{Width: 0.5, Dash: []geom.Length{2, 2}})
		}, 10},
		// From 3 into the pattern: 10 gaps of 1, 9 dashes of 2, in an odd pattern that takes turns.
		{"dashes of an odd pattern", func(p *Page) {
			p.Stroke(geom.Line(geom.Pt(0, 0), geom.Pt(30, 0)), Pen{Width: 1, Dash: []geom.Length{3}, Phase: 3})
		}, 15},
		// Two sides of 20 and 25 mm; beyond their straight ends the corner is
		// round by 180° - 36.87°, and they cover half a kite there twice.
		{"corner", func(p *Page) { p.Stroke(corner, Pen{Width: 2}) }, 2*45 + 0.5*(math.Pi-math.Atan2(3, 4)) - 1*math.Tan((math.Pi-math.Atan2(3, 4))/2)},
	}
	for _, tt := range tests {
		p := NewPage(tt.name, "")
		tt.draw(p)
		if got := darkness(p, dpi) / 100; math.Abs(got-tt.want) > 0.006*tt.want {
			t.Errorf("%s: %.3f mm² of ink, want %.3f", tt.name, got, tt.want)
		}
	}
}

func TestPNGSizeIsThatOfSVG(t *testing.T) {
	for _, p := range []*Page{samplePage(1), twoPieces(), chartPage(), NewPage("Nothing", "")} {
		img, err := png.Decode(bytes.NewReader(p.PNG(96)))
		if err != nil {
			t.Fatal(err)
		}
		root := parseSVG(t, p.SVG())[0]
		for name, got := range map[string]int{"width": img.Bounds().Dx(), "height": img.Bounds().Dy()} {
			mm, err := strconv.ParseFloat(strings.TrimSuffix(attribute(root, name), "mm"), 64)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(float64(got)-mm*96/25.4) > 1.1 {
				t.Errorf("%s: %s is %d pixels, %v mm", p.Title(), name, got, mm)
			}
		}
	}
}

// A picture with a palette has the same pixels as one without.
func TestPalette(t *testing.T) {
	img := twoPieces().Pixels(96)
	few := withPalette(img)
	if few == nil {
		t.Fatal("a drawing in black and grey has over 256 colours")
	}
	for y := range img.Rect.Dy() {
		for x := range img.Rect.Dx() {
			if few.At(x, y) != img.At(x, y) {
				t.Fatalf("pixel %d, %d is %v, want %v", x, y, few.At(x, y), img.At(x, y))
			}
		}
	}
	p := NewPage("Many colours", "")
	for i := range 300 {
		x := geom.Length(i)
		p.Fill(geom.RectAround(geom.Pt(x, 0), geom.Pt(x+1, 1)).Outline(), color.NRGBA{uint8(i), uint8(i / 2), uint8(255 - i/2), 255})
	}
	if withPalette(p.Pixels(96)) != nil {
		t.Errorf("300 colours fit a palette")
	}
	if _, err := png.Decode(bytes.NewReader(p.PNG(96))); err != nil {
		t.Error(err)
	}
}

// The typeface has the widths of Helvetica, as a browser without it uses:
// space 278, A 667, a 556, i 222, 0 556 of a thousand (Adobe Core 14 AFM files,
// from memory).
func TestTypeface(t *testing.T) {
	for s, want := range map[string]float64{" ": 278, "A": 667, "a": 556, "i": 222, "0": 556, "Ai0": 1445} {
		if got := float64(TextWidth(s, Font{Size: 1000})); math.Abs(got-want) > 0.6 {
			t.Errorf("%q is %.2f thousandths wide, want %v", s, got, want)
		}
	}
	if g := faces[0].glyph('裁'); !g.missing {
		t.Errorf("the typeface has Chinese letters now: say so where texts are checked")
	}
	for i, f := range faces {
		ttf, err := f.open()
		if err != nil {
			t.Fatal(err)
		}
		if n := ttf.UnitsPerEm(); n != unitsPerEm {
			t.Errorf("style %d has %d units, want %d", i, n, unitsPerEm)
		}
		// The top of an H and the depth of a p.
		low, high := inkHeights(f, 'H')
		if math.Abs(low) > 1e-9 || math.Abs(high-capHeight) > 0.002 {
			t.Errorf("style %d: H reaches from %v to %v, want 0 to %v", i, low, high, capHeight)
		}
		if low, _ = inkHeights(f, 'p'); math.Abs(low+descent) > 0.005 {
			t.Errorf("style %d: p reaches down to %v, want %v", i, low, -descent)
		}
	}
}

func inkHeights(f *face, r rune) (low, high float64) {
	for _, s := range f.glyph(r).outline {
		y := -float64(s.Args[0].Y) / 64 / unitsPerEm
		low, high = min(low, y), max(high, y)
	}
	return low, high
}

func TestTextIsAnchored(t *testing.T) {
	f := Font{Size: 10}
	width := TextWidth("HH", f)
	for anchor, want := range map[Anchor][2]geom.Length{
		BaseLeft: {0, 0}, BaseCenter: {-width / 2, 0}, BaseRight: {-width, 0},
		MiddleLeft: {0, -3.44}, TopRight: {-width, -6.88},
	} {
		lines := Text{S: "HH", Font: f, Anchor: anchor}.lines()
		if lines[0].at.Dist(geom.Pt(want[0], want[1])) > 1e-9 {
			t.Errorf("anchor %d: the base line begins at %v, want %v", anchor, lines[0].at, want)
		}
	}
	two := Text{S: "H\nH", Font: f, Anchor: MiddleCenter}.lines()
	if top, bottom := two[0].at.Y+6.88, two[1].at.Y; math.Abs(float64(top+bottom)) > 1e-9 {
		t.Errorf("two lines reach from %v to %v, want the middle at 0", bottom, top)
	}
	if up := (Text{S: "H", Font: f, Angle: 90 * geom.Degree, Anchor: BaseRight}).lines()[0].at; math.Abs(float64(up.Y+TextWidth("H", f))) > 1e-9 {
		t.Errorf("a text upward that ends at the origin begins at %v", up)
	}
}
