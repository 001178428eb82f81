package drawing

import (
	"image"
	"image/color"
	"math"
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	xfont "golang.org/x/image/font"

	"patternkit/patternkit/geom"
)

// point is the unit of vg.
const point = geom.Inch / 72

// A Canvas records on a Page what is drawn on it through gonum's vg.Canvas.
type Canvas struct {
	page  *Page
	frame geom.Rect
	state canvasState
	stack []canvasState
}

type canvasState struct {
	width vg.Length
	dash  []vg.Length
	phase vg.Length
	color color.Color
	to    geom.Transform // from points to the page
}

var _ vg.CanvasSizer = (*Canvas)(nil)

// Canvas returns a canvas whose origin is the lower left corner of frame and
// whose size is that of frame.
func (p *Page) Canvas(frame geom.Rect) *Canvas {
	c := &Canvas{page: p, frame: frame}
	c.state.to = geom.Scale(float64(point)).Then(geom.Translate(frame.Min))
	vg.Initialize(c)
	return c
}

// Chart draws a plot of gonum.org/v1/plot into frame, its text in the
// typeface of the page.
func (p *Page) Chart(frame geom.Rect, pl *plot.Plot) {
	if !frame.Min.Finite() || !frame.Max.Finite() || frame.Width() <= 0 || frame.Height() <= 0 {
		p.fail("a chart in a frame of %v by %v, want one with an extent", frame.Width(), frame.Height())
		return
	}
	own := *pl // the caller's plot keeps its fonts
	for _, f := range []*font.Font{
		&own.Title.TextStyle.Font, &own.X.Label.TextStyle.Font, &own.Y.Label.TextStyle.Font,
		&own.X.Tick.Label.Font, &own.Y.Tick.Label.Font, &own.Legend.TextStyle.Font,
	} {
		f.Variant = "Sans"
	}
	own.Draw(draw.New(p.Canvas(frame)))
}

// Size returns the size of the frame.
func (c *Canvas) Size() (x, y vg.Length) {
	return vg.Length(c.frame.Width() / point), vg.Length(c.frame.Height() / point)
}

// SetLineWidth sets the width of lines; without a width none are drawn.
func (c *Canvas) SetLineWidth(w vg.Length) { c.state.width = w }

// SetLineDash sets the dashes and gaps of lines and where in them lines begin.
func (c *Canvas) SetLineDash(pattern []vg.Length, offset vg.Length) {
	c.state.dash, c.state.phase = slices.Clone(pattern), offset
}

// SetColor sets the colour of lines, areas and text; nil is black.
func (c *Canvas) SetColor(clr color.Color) { c.state.color = clr }

// Rotate turns what is drawn from now on about the origin.
func (c *Canvas) Rotate(rad float64) {
	c.state.to = geom.Rotate(geom.Point{}, geom.Angle(rad)).Then(c.state.to)
}

// Translate moves the origin.
func (c *Canvas) Translate(pt vg.Point) {
	c.state.to = geom.Translate(fromVG(pt)).Then(c.state.to)
}

// Scale enlarges what is drawn from now on.
func (c *Canvas) Scale(x, y float64) { c.state.to = geom.ScaleXY(x, y).Then(c.state.to) }

// Push saves the state that the setters, Rotate, Translate and Scale change.
func (c *Canvas) Push() { c.stack = append(c.stack, c.state) }

// Pop restores the state saved last.
func (c *Canvas) Pop() {
	c.state = c.stack[len(c.stack)-1]
	c.stack = c.stack[:len(c.stack)-1]
}

// zoom returns by what lengths in points are multiplied.
func (c *Canvas) zoom() geom.Length {
	return geom.Length(math.Sqrt(math.Abs(c.state.to.Determinant())))
}

// Stroke draws lines along path.
func (c *Canvas) Stroke(path vg.Path) {
	if !(c.state.width > 0) {
		return
	}
	pen := Pen{Width: geom.Length(c.state.width) * c.zoom(), Color: c.state.color, Phase: geom.Length(c.state.phase) * c.zoom()}
	solid := true
	for _, d := range c.state.dash {
		pen.Dash = append(pen.Dash, geom.Length(d)*c.zoom())
		solid = solid && d <= 0
	}
	if solid {
		pen.Dash = nil
	}
	if paths := c.paths(path); len(paths) > 0 {
		c.page.strokeAll(paths, pen)
	}
}

// Fill colours the area within path.
func (c *Canvas) Fill(path vg.Path) {
	if paths := c.paths(path); len(paths) > 0 {
		c.page.fillAll(paths, opaqueOr(c.state.color, black))
	}
}

// FillString writes text from pt on. Text in another typeface than the
// page's keeps its width.
func (c *Canvas) FillString(face font.Face, pt vg.Point, s string) {
	if face.Font.Size <= 0 || s == "" {
		return
	}
	f := Font{
		Size:   geom.Length(face.Font.Size) * c.zoom(),
		Bold:   face.Font.Weight >= xfont.WeightSemiBold,
		Italic: face.Font.Style != xfont.StyleNormal,
		Color:  c.state.color,
	}
	if own, wanted := TextWidth(s, f), geom.Length(face.Width(s))*c.zoom(); own > wanted && wanted > 0 {
		f.Size *= wanted / own
	}
	along := c.state.to.ApplyVector(geom.Pt(1, 0))
	c.page.Text(Text{At: c.state.to.Apply(fromVG(pt)), S: s, Font: f, Angle: along.Direction()})
}

// DrawImage draws img into rect, which may be moved and scaled; turned
// pictures are not drawn, and the page's Err says so.
func (c *Canvas) DrawImage(rect vg.Rectangle, img image.Image) {
	right := c.state.to.ApplyVector(geom.Pt(1, 0))
	if math.Abs(float64(right.Y)) > 1e-9*math.Abs(float64(right.X)) || right.X < 0 || c.state.to.Determinant() < 0 {
		c.page.fail("an image is turned or mirrored, want it upright")
		return
	}
	c.page.Image(geom.RectAround(c.state.to.Apply(fromVG(rect.Min)), c.state.to.Apply(fromVG(rect.Max))), img)
}

func fromVG(p vg.Point) geom.Point { return geom.Pt(geom.Length(p.X), geom.Length(p.Y)) }

// paths returns the parts of a vg.Path, on the page.
func (c *Canvas) paths(path vg.Path) []geom.Path {
	var (
		out  []geom.Path
		segs []geom.Segment
		at   geom.Point
		from geom.Point
	)
	finish := func() {
		if len(segs) == 0 {
			return
		}
		p, err := geom.PathOf(segs...)
		if err != nil {
			c.page.fail("%w", err)
		} else {
			out = append(out, p.Transformed(c.state.to))
		}
		segs = nil
	}
	lineTo := func(b geom.Point) {
		if at != b {
			segs = append(segs, geom.Segment{A: at, B: b})
		}
		at = b
	}
	for _, part := range path {
		pos := fromVG(part.Pos)
		switch part.Type {
		case vg.MoveComp:
			finish()
			at, from = pos, pos
		case vg.LineComp:
			lineTo(pos)
		case vg.ArcComp:
			arc := geom.Arc(pos, geom.Length(part.Radius), geom.Angle(part.Start), geom.Angle(part.Angle))
			if len(segs) == 0 && at == (geom.Point{}) {
				at, from = arc.Start(), arc.Start()
			}
			lineTo(arc.Start())
			segs = append(segs, arc.Segments()...)
			at = arc.End()
		case vg.CurveComp:
			segs = append(segs, curveOf(at, part, pos))
			at = pos
		case vg.CloseComp:
			lineTo(from)
			finish()
		}
	}
	finish()
	return out
}

// curveOf returns a curve with one or two handles as a cubic.
func curveOf(a geom.Point, part vg.PathComp, b geom.Point) geom.Segment {
	if len(part.Control) == 1 {
		q := fromVG(part.Control[0])
		return geom.Segment{A: a, C1: a.Lerp(q, 2.0/3), C2: b.Lerp(q, 2.0/3), B: b, Curve: true}
	}
	return geom.Segment{A: a, C1: fromVG(part.Control[0]), C2: fromVG(part.Control[1]), B: b, Curve: true}
}
