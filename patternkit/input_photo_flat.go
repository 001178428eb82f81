package patternkit

import (
	"fmt"
	"image"
	"image/color"
	"io"
	"math"

	"patternkit/patternkit/drawing"
	"patternkit/patternkit/drawing/photo"
	"patternkit/patternkit/geom"
)

// A FlatPhoto is a photograph as seen from straight above, at one scale all
// over, with a grid in centimetres from the sheet's lower left corner. It is
// shown as a Picture is; SVGFile has it at true scale.
type FlatPhoto struct {
	Picture
	sheet, box geom.Rect
	img        *image.RGBA
	points     []PhotoPoints
}

// Bounds of a flattened photograph.
const (
	flatMostPixels = 1_500_000
	flatAround     = 1 * M  // shown around the sheet at most
	flatBeside     = 8 * CM // around sheet and points that are given
	flatCoarser    = 4      // times as coarse as at the sheet's middle a pixel may be
	flatFinest     = 0.1 * MM
	flatSamples    = 64 // across the photograph, of what is shown
)

// Flat takes the perspective out of the photograph's file, JPEG or PNG, which
// is turned as the camera says it was held. It shows what lies within 1 m of
// the sheet and is not too coarse to be seen; or sheet and points, with the
// points over it, where some that were read are given. Places can be read off its grid in centimetres. Errors are
// those of Read, a file that is none of these or too large (64 MiB, 50 million
// pixels), and a corner outside the picture.
func (p Photograph) Flat(file io.Reader, points ...PhotoPoints) (FlatPhoto, error) {
	plane, err := p.plane()
	if err != nil {
		return FlatPhoto{}, fmt.Errorf("photograph: %w", err)
	}
	img, err := photo.Read(file)
	if err != nil {
		return FlatPhoto{}, fmt.Errorf("photograph: %w", err)
	}
	size := img.Bounds().Size()
	for i, c := range p.Corners {
		if c.X > float64(size.X) || c.Y > float64(size.Y) {
			return FlatPhoto{}, fmt.Errorf("photograph: the sheet's %s corner is at pixel (%s, %s) of a picture of %d by %d pixels: read it off the picture at its full size",
				photoCornerNames[i], plainNumber(c.X), plainNumber(c.Y), size.X, size.Y)
		}
	}
	f := FlatPhoto{sheet: plane.sheet, box: plane.visible(size), points: points}
	if len(points) > 0 {
		f.box = f.around(f.box)
	}
	alongX, alongY := plane.flat.Inverse().Derivatives(plane.sheet.Center())
	side := max(flatFinest, Length(1/math.Sqrt(math.Abs(alongX.Cross(alongY)))), Length(math.Sqrt(float64(f.box.Width()*f.box.Height())/flatMostPixels)))
	f.img = photo.Flat(img, plane.flat.Inverse(), f.box, max(1, int(f.box.Width()/side)))
	f.Picture = Picture{f.draw(screenStyle(), f.screenScale()), fmt.Sprintf("photograph from straight above, %s by %s", f.box.Width(), f.box.Height())}
	return f, nil
}

// visible is the box around what the photograph shows of the plane: near the
// sheet, and not much coarser than there.
func (p photoPlane) visible(size image.Point) geom.Rect {
	middle, _ := p.flat.Inverse().Apply(p.sheet.Center())
	coarsest := flatCoarser * widestMove(p.flat.Derivatives(middle))
	box := p.sheet
	for i := range flatSamples + 1 {
		for k := range flatSamples + 1 {
			seen := pixelPlace(float64(i*(size.X-1))/flatSamples, float64(k*(size.Y-1))/flatSamples)
			at, ok := p.flat.Apply(seen)
			if ok && widestMove(p.flat.Derivatives(seen)) <= coarsest && p.sheet.Grow(flatAround).Contains(at) {
				box = box.Including(at)
			}
		}
	}
	return box
}

// around is the part of a box near the sheet and the points.
func (f FlatPhoto) around(box geom.Rect) geom.Rect {
	near := f.sheet
	for _, p := range f.points {
		near = near.Union(p.bounds())
	}
	near = near.Grow(flatBeside)
	corner := Pt(max(near.Min.X, box.Min.X), max(near.Min.Y, box.Min.Y))
	return geom.Rect{Min: corner, Max: Pt(min(near.Max.X, box.Max.X), min(near.Max.Y, box.Max.Y))}
}

// SVGFile returns the photograph at true scale in millimetres, with its grid,
// for a drawing program: what is traced over it there has its true size.
func (f FlatPhoto) SVGFile() ([]byte, error) {
	if f.img == nil {
		return nil, fmt.Errorf("a photograph that is empty, want one that Photograph.Flat has made")
	}
	page := f.draw(printStyle(), 1)
	return page.SVG(), page.Err()
}

func (f FlatPhoto) screenScale() float64 {
	return min(float64(pictureWidth/f.box.Width()), float64(200*MM/f.box.Height()), 1)
}

// draw lays grid, sheet and points over the photograph.
func (f FlatPhoto) draw(s style, scale float64) *drawing.Page {
	page := drawing.NewPage("photograph from straight above", fmt.Sprintf("a photograph, %s by %s, with a grid in centimetres", f.box.Width(), f.box.Height()))
	to := geom.Scale(scale)
	page.Photo(geom.Rect{Min: to.Apply(f.box.Min), Max: to.Apply(f.box.Max)}, f.img)
	over := func(path Path, pen drawing.Pen) { // seen on dark and on light
		path = path.Transformed(to)
		page.Stroke(path, drawing.Pen{Width: pen.Width * 3, Color: color.NRGBA{0xff, 0xff, 0xff, 0x80}})
		page.Stroke(path, pen)
	}
	f.grid(page, s, to, over)
	over(f.sheet.Outline(), s.internal)
	for _, p := range f.points {
		f.mark(page, p, s, to, over)
	}
	return page
}

// grid draws lines at round centimetres, and writes those of the bolder ones
// beside the photograph.
func (f FlatPhoto) grid(page *drawing.Page, s style, to geom.Transform, over func(Path, drawing.Pen)) {
	step := 1 * CM
	if to.ApplyVector(Pt(step, 0)).X < 3*MM {
		step = 5 * CM
	}
	bold := drawing.Pen{Width: s.hair.Width, Color: ink}
	thin := drawing.Pen{Width: s.hair.Width / 2, Color: ink}
	b := f.box
	pen := func(i int) drawing.Pen {
		if i%(int(10*CM/step)) == 0 {
			return bold
		}
		return thin
	}
	gap := s.edge.Size * 0.5
	for i := int(math.Ceil(float64(b.Min.X / step))); Length(i)*step <= b.Max.X; i++ {
		x := Length(i) * step
		over(Line(Pt(x, b.Min.Y), Pt(x, b.Max.Y)), pen(i))
		if pen(i).Width == bold.Width {
			page.Text(drawing.Text{At: to.Apply(Pt(x, b.Min.Y)).Sub(Pt(0, gap)), S: plainNumber(x.CM()), Font: s.edge, Anchor: drawing.TopCenter})
		}
	}
	for i := int(math.Ceil(float64(b.Min.Y / step))); Length(i)*step <= b.Max.Y; i++ {
		y := Length(i) * step
		over(Line(Pt(b.Min.X, y), Pt(b.Max.X, y)), pen(i))
		if pen(i).Width == bold.Width {
			page.Text(drawing.Text{At: to.Apply(Pt(b.Min.X, y)).Sub(Pt(gap, 0)), S: plainNumber(y.CM()), Font: s.edge, Anchor: drawing.MiddleRight})
		}
	}
	page.Text(drawing.Text{At: to.Apply(Pt(b.Min.X, b.Max.Y)).Add(Pt(0, gap)), Font: s.small,
		S: "cm from the sheet's lower left corner, a line every " + plainNumber(step.CM()) + " cm"})
}

// mark rings the points that were read and names them on the outside.
func (f FlatPhoto) mark(page *drawing.Page, p PhotoPoints, s style, to geom.Transform, over func(Path, drawing.Pen)) {
	outline, err := p.Outline()
	if err == nil {
		over(outline, s.stitch)
	}
	side := 1.0
	if err == nil && outline.Area() < 0 { // read clockwise
		side = -1
	}
	radius := Length(float64(s.mark) * 0.4 / to.ApplyVector(Pt(1, 0)).X.MM())
	for i, r := range p.rows {
		over(geom.Arc(r.At, radius, 0, 360*Degree), s.grain)
		name, font := r.Name, s.name
		if name == "" {
			name, font = fmt.Sprint(i+1), s.small
		}
		n := len(p.rows)
		away := p.rows[(i+1)%n].At.Sub(p.rows[(i+n-1)%n].At).Perp().Scale(-side).Unit()
		if !away.Finite() {
			away = Pt(1, 0)
		}
		half := textHalf(name, font)
		reach := s.mark + min(half.X/Length(math.Abs(away.X.MM())), half.Y/Length(math.Abs(away.Y.MM())))
		page.Text(drawing.Text{At: to.Apply(r.At).Add(away.Scale(reach.MM())), S: name, Font: font, Anchor: drawing.MiddleCenter, Halo: s.gap * 0.6})
	}
}

func (p PhotoPoints) bounds() geom.Rect {
	box := geom.EmptyRect()
	for _, r := range p.rows {
		box = box.Including(r.At)
	}
	return box
}
