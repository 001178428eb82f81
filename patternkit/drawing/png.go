package drawing

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"

	"golang.org/x/image/draw"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"

	"patternkit/patternkit/geom"
)

// maxPixels is the largest picture that is made, in pixels: more would need
// more memory than a notebook should take.
const maxPixels = 200e6

// A raster draws elements into pixels.
type raster struct {
	img   *image.RGBA
	scale float64   // pixels by the millimetre
	paper geom.Rect // its upper left corner is pixel 0, 0
	areas [][]vec   // of one colour, not yet drawn
	color color.NRGBA
	fill  vector.Rasterizer
	cover image.Alpha // how much of each pixel the areas cover
}

// PNG returns the page as a picture of dpi pixels to the inch: 96 shows it at
// true scale on a web page. It has as many pixels as cover the paper.
// A resolution that is not above zero, or one that makes a picture of over
// 200 million pixels, is a mistake of the program and panics.
func (p *Page) PNG(dpi float64) []byte {
	var file bytes.Buffer
	encoder := png.Encoder{CompressionLevel: png.BestSpeed}
	var img image.Image = p.Pixels(dpi)
	if few := withPalette(img.(*image.RGBA)); few != nil {
		img = few // a quarter of the bytes to pack
	}
	if err := encoder.Encode(&file, img); err != nil {
		panic(fmt.Sprintf("drawing: a picture can't be written: %v", err)) // a buffer takes everything
	}
	return file.Bytes()
}

// Pixels returns the picture that PNG writes.
func (p *Page) Pixels(dpi float64) *image.RGBA {
	paper := p.paper()
	scale := dpi / 25.4
	w, h := math.Ceil(float64(paper.Width())*scale-1e-6), math.Ceil(float64(paper.Height())*scale-1e-6)
	if !(dpi > 0) || !(w*h <= maxPixels) {
		panic(fmt.Sprintf("drawing: a page of %v by %v at %v pixels to the inch, want a resolution above 0 and a picture of at most %.0f pixels", paper.Width(), paper.Height(), dpi, maxPixels))
	}
	r := raster{img: image.NewRGBA(image.Rect(0, 0, int(w), int(h))), scale: scale, paper: paper}
	draw.Draw(r.img, r.img.Bounds(), image.White, image.Point{}, draw.Src)
	for _, e := range p.settled() {
		r.element(e)
	}
	r.flush()
	return r.img
}

// pixel returns where a place of the page is in the picture.
func (r *raster) pixel(q geom.Point) vec {
	return vec{float64(q.X-r.paper.Min.X) * r.scale, float64(r.paper.Max.Y-q.Y) * r.scale}
}

func (r *raster) element(e element) {
	switch e.kind {
	case strokeKind:
		r.stroke(e.paths, e.pen)
	case fillKind:
		r.flush() // its holes must not be filled by what was there before
		r.color = e.fill
		for _, p := range e.paths {
			r.areas = append(r.areas, r.flattenTo(nil, p))
		}
		r.flush()
	case textKind:
		r.text(e.text)
	case imageKind:
		r.flush()
		a, b := r.pixel(geom.Pt(e.frame.Min.X, e.frame.Max.Y)), r.pixel(geom.Pt(e.frame.Max.X, e.frame.Min.Y))
		box := image.Rect(int(math.Round(a.x)), int(math.Round(a.y)), int(math.Round(b.x)), int(math.Round(b.y)))
		draw.ApproxBiLinear.Scale(r.img, box, e.image, e.image.Bounds(), draw.Over, nil)
	}
}

func (r *raster) stroke(paths []geom.Path, pen Pen) {
	r.use(pen.color())
	o := outliner{half: float64(pen.Width) * r.scale / 2, area: r.area}
	var pattern []float64
	for _, d := range pen.Dash {
		pattern = append(pattern, float64(d)*r.scale)
	}
	for _, p := range paths {
		pts := r.flattenTo(nil, p)
		switch {
		case len(pts) < 2:
		case len(pattern) > 0:
			dashes(pts, pattern, float64(pen.Phase)*r.scale, func(dash []vec) { o.line(dash, false) })
		default:
			o.line(pts, p.Closed())
		}
	}
}

// use begins areas of a colour. Those of the same colour that follow each
// other are drawn at once, if the colour hides what is below.
func (r *raster) use(c color.NRGBA) {
	if c != r.color || c.A != 0xff {
		r.flush()
		r.color = c
	}
}

func (r *raster) area(poly []vec) { r.areas = append(r.areas, append([]vec(nil), poly...)) }

// flush draws the areas.
func (r *raster) flush() {
	if len(r.areas) == 0 {
		return
	}
	low, high := vec{math.Inf(1), math.Inf(1)}, vec{math.Inf(-1), math.Inf(-1)}
	for _, poly := range r.areas {
		for _, q := range poly {
			low = vec{min(low.x, q.x), min(low.y, q.y)}
			high = vec{max(high.x, q.x), max(high.y, q.y)}
		}
	}
	box := image.Rect(int(math.Floor(low.x)), int(math.Floor(low.y)), int(math.Ceil(high.x))+1, int(math.Ceil(high.y))+1)
	box = box.Intersect(r.img.Bounds())
	if !box.Empty() {
		r.fill.Reset(box.Dx(), box.Dy())
		for _, poly := range r.areas {
			addPolygon(&r.fill, poly, vec{float64(box.Min.X), float64(box.Min.Y)})
		}
		r.blend(box)
	}
	r.areas = r.areas[:0]
}

// blend colours the pixels of box as far as they are covered, in sixteenths:
// the eye sees no finer steps in the rim of a line, and a picture of few
// colours is packed several times faster.
func (r *raster) blend(box image.Rectangle) {
	size := box.Dx() * box.Dy()
	if cap(r.cover.Pix) < size {
		r.cover.Pix = make([]uint8, size)
	}
	r.cover.Pix, r.cover.Stride, r.cover.Rect = r.cover.Pix[:size], box.Dx(), image.Rect(0, 0, box.Dx(), box.Dy())
	r.fill.DrawOp = draw.Src
	r.fill.Draw(&r.cover, r.cover.Rect, image.Opaque, image.Point{})
	ink := [3]uint32{uint32(r.color.R), uint32(r.color.G), uint32(r.color.B)}
	for y := range box.Dy() {
		row := r.cover.Pix[y*box.Dx() : (y+1)*box.Dx()]
		pix := r.img.Pix[r.img.PixOffset(box.Min.X, box.Min.Y+y):]
		for x, c := range row {
			if c < 8 {
				continue
			}
			a := (uint32(c) + 8) / 16 * 16
			a = min(a, 255) * uint32(r.color.A) / 255
			for k, v := range ink {
				old := &pix[4*x+k]
				*old = uint8((v*a + uint32(*old)*(255-a) + 127) / 255)
			}
		}
	}
}

// withPalette returns img with a palette, nil where it has more than 256
// colours.
func withPalette(img *image.RGBA) *image.Paletted {
	bounds := img.Bounds()
	out := &image.Paletted{Pix: make([]uint8, bounds.Dx()*bounds.Dy()), Stride: bounds.Dx(), Rect: bounds}
	index := map[uint32]uint8{}
	last, lastIndex := uint32(0), uint8(0) // transparent black is no colour of a page
	for i := range out.Pix {
		c := binary.LittleEndian.Uint32(img.Pix[4*i:])
		if c != last {
			k, known := index[c]
			if !known {
				if len(out.Palette) == 256 {
					return nil
				}
				k = uint8(len(out.Palette))
				index[c] = k
				out.Palette = append(out.Palette, color.RGBA{uint8(c), uint8(c >> 8), uint8(c >> 16), uint8(c >> 24)})
			}
			last, lastIndex = c, k
		}
		out.Pix[i] = lastIndex
	}
	return out
}

func addPolygon(z *vector.Rasterizer, poly []vec, origin vec) {
	for i, q := range poly {
		x, y := float32(q.x-origin.x), float32(q.y-origin.y)
		if i == 0 {
			z.MoveTo(x, y)
		} else {
			z.LineTo(x, y)
		}
	}
	z.ClosePath()
}

// text draws the outlines of characters, with their halo below them.
func (r *raster) text(t Text) {
	lines := t.lines()
	if t.Halo > 0 {
		r.use(white)
		o := outliner{half: float64(t.Halo) * r.scale, area: r.area}
		for _, line := range lines {
			r.glyphs(t, line, func(contour []vec) { o.line(contour, true) })
		}
	}
	// A character's inner contours run against its outer ones: characters must
	// not be added up with lines, but may with each other.
	r.flush()
	r.color = t.Font.color()
	for _, line := range lines {
		r.glyphs(t, line, r.area)
	}
	r.flush()
}

// glyphs takes the contours of the characters of one line.
func (r *raster) glyphs(t Text, line textLine, take func([]vec)) {
	sin, cos := math.Sincos(float64(t.Angle))
	size := float64(t.Font.Size) * r.scale
	pen := r.pixel(line.at)
	face := t.Font.face()
	for _, c := range line.s {
		g := face.glyph(c)
		k := size / unitsPerEm
		place := func(p fixed.Point26_6) vec {
			x, y := float64(p.X)/64*k, -float64(p.Y)/64*k
			return vec{pen.x + x*cos - y*sin, pen.y - x*sin - y*cos}
		}
		contours(g.outline, place, size, take)
		pen = pen.add(vec{cos, -sin}.scale(g.advance * size))
	}
}

// unitsPerEm is the grid of the typeface's outlines.
const unitsPerEm = 2048

// contours flattens the outline of a character of size pixels.
func contours(outline sfnt.Segments, place func(fixed.Point26_6) vec, size float64, take func([]vec)) {
	var contour []vec
	// A quarter of a square root of the size keeps within a tenth of a pixel.
	steps := max(2, math.Ceil(math.Sqrt(size)/2))
	for _, s := range outline {
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			if len(contour) > 0 {
				take(contour)
			}
			contour = append(contour[:0:0], place(s.Args[0]))
		case sfnt.SegmentOpLineTo:
			contour = append(contour, place(s.Args[0]))
		case sfnt.SegmentOpQuadTo:
			a, b, c := contour[len(contour)-1], place(s.Args[0]), place(s.Args[1])
			for k := 1.0; k <= steps; k++ {
				t := k / steps
				contour = append(contour, a.lerp(b, t).lerp(b.lerp(c, t), t))
			}
		}
	}
	if len(contour) > 0 {
		take(contour)
	}
}
