package drawing

import (
	"image/color"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"

	"patternkit/patternkit/geom"
)

var (
	thick = Pen{Width: 0.55, Color: color.NRGBA{0x11, 0x11, 0x11, 0xff}}
	thin  = Pen{Width: 0.25, Color: color.NRGBA{0x11, 0x11, 0x11, 0xff}}
	dash  = Pen{Width: 0.3, Color: color.NRGBA{0x11, 0x11, 0x11, 0xff}, Dash: []geom.Length{6, 1.2, 1.2, 1.2}}
	plain = Font{Size: 2.9}
	loud  = Font{Size: 3.6, Bold: true}
)

// kite is an outline with hollow and full curves, sharp corners and straight
// sides, k times as large as fits a small picture.
func kite(k float64) geom.Path {
	up := geom.ScaleXY(k, k)
	path, err := geom.Polyline(geom.Pt(0, 0), geom.Pt(70, -4), geom.Pt(72, 50)).Append(
		geom.Cubic(geom.Pt(72, 50), geom.Pt(52, 52), geom.Pt(60, 80), geom.Pt(56, 92)),
		geom.Line(geom.Pt(56, 92), geom.Pt(22, 100)),
		geom.Cubic(geom.Pt(22, 100), geom.Pt(22, 86), geom.Pt(14, 80), geom.Pt(0, 80)),
		geom.Line(geom.Pt(0, 80), geom.Pt(0, 0)))
	if err != nil {
		panic(err)
	}
	return path.Transformed(up)
}

// samplePage has every kind of element.
func samplePage(k float64) *Page {
	p := NewPage("A kite & its tail", "A kite with a fold line, a bow of <ribbon>, labels and an arrow.")
	outline := kite(k)
	p.Begin("kite")
	p.Fill(outline, color.NRGBA{0xf4, 0xf0, 0xe6, 0xff})
	p.Stroke(outline, thick)
	p.Begin("inner lines")
	p.Stroke(geom.Line(geom.Pt(8, 8), geom.Pt(8, 72)).Transformed(geom.Scale(k)), dash)
	p.Stroke(geom.Arc(geom.Pt(38, 40).Scale(k), geom.Length(10*k), 0, 360*geom.Degree), thin)
	p.End()
	p.End()
	p.Begin("words")
	p.Text(Text{At: geom.Pt(38, 40).Scale(k), S: "bow\nGröße 1 ⅝", Font: loud, Anchor: MiddleCenter})
	p.Text(Text{At: geom.Pt(5, 40).Scale(k), S: "fold", Font: plain, Angle: 90 * geom.Degree, Anchor: BaseCenter, Halo: 0.6})
	s := geom.Length(0)
	for _, g := range outline.Segments() {
		length := geom.Cubic(g.A, g.C1, g.C2, g.B).Length()
		if !g.Curve {
			length = g.A.Dist(g.B)
		}
		middle := s + length/2
		at, out := outline.At(middle), outline.TangentAt(middle).Perp().Neg()
		p.Label(Label{At: at, S: length.String(), Font: plain, Toward: out})
		s += length
	}
	p.End()
	return p
}

// samplePlot is a chart of a curve and a few points.
func samplePlot() *plot.Plot {
	pl := plot.New()
	pl.Title.Text = "Tail against wind"
	pl.X.Label.Text = "wind (m/s)"
	pl.Y.Label.Text = "tail (cm)"
	xys := plotter.XYs{{X: 1, Y: 2}, {X: 2, Y: 3.5}, {X: 3, Y: 4.2}, {X: 5, Y: 4.6}, {X: 8, Y: 6}}
	line, points, err := plotter.NewLinePoints(xys)
	if err != nil {
		panic(err)
	}
	pl.Add(plotter.NewGrid(), line, points)
	pl.Legend.Add("measured", line, points)
	return pl
}
