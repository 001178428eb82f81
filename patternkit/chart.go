package patternkit

import (
	"fmt"
	"image/color"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"patternkit/patternkit/drawing"
	"patternkit/patternkit/geom"
)

// A Curve is one line of a Chart: lengths against lengths.
type Curve struct {
	Name string // in the key; none where it is ""
	X, Y []Length
	Dots bool // a dot at each point, and no line
}

// Chart draws lengths against lengths in centimetres, which it adds to the
// labels of the axes. Curves differ in dash, so that they are told apart
// without colour. A curve with no points, or with more of one length than of
// the other, is an error.
func Chart(title, xLabel, yLabel string, curves ...Curve) (Picture, error) {
	pl := plot.New()
	pl.Title.Text, pl.X.Label.Text, pl.Y.Label.Text = title, xLabel+" (cm)", yLabel+" (cm)"
	if len(curves) == 0 {
		return Picture{}, fmt.Errorf("chart %q has no curves, want at least one", title)
	}
	pl.X.Tick.Marker, pl.Y.Tick.Marker = roundTicks{about: 8}, roundTicks{about: 7}
	pl.Add(chartGrid())
	for i, c := range curves {
		if err := c.addTo(pl, i); err != nil {
			return Picture{}, fmt.Errorf("chart %q: %w", title, err)
		}
	}
	placeLegend(pl, curves)
	return ShowPlot(pl, 150*MM, 90*MM)
}

// placeLegend puts the key into the corner where the fewest points are.
func placeLegend(pl *plot.Plot, curves []Curve) {
	var counts [2][2]int // right, top
	for _, c := range curves {
		for k := range c.X {
			right, top := 0, 0
			if c.X[k].CM() > (pl.X.Min+pl.X.Max)/2 {
				right = 1
			}
			if c.Y[k].CM() > (pl.Y.Min+pl.Y.Max)/2 {
				top = 1
			}
			counts[right][top]++
		}
	}
	fewest := counts[1][1]
	pl.Legend.Left, pl.Legend.Top = false, true
	for _, corner := range [][2]int{{0, 1}, {1, 0}, {0, 0}} {
		if n := counts[corner[0]][corner[1]]; n < fewest {
			fewest = n
			pl.Legend.Left, pl.Legend.Top = corner[0] == 0, corner[1] == 1
		}
	}
	pl.Legend.XOffs, pl.Legend.YOffs = vg.Points(-8), vg.Points(-8)
	if pl.Legend.Left {
		pl.Legend.XOffs = vg.Points(8)
	}
	if !pl.Legend.Top {
		pl.Legend.YOffs = vg.Points(8)
	}
	pl.Legend.Padding = vg.Points(3)
}

// ShowPlot draws a plot of gonum.org/v1/plot at a size on a notebook page, in
// the typeface of the drawings.
func ShowPlot(pl *plot.Plot, width, height Length) (Picture, error) {
	if pl == nil {
		return Picture{}, fmt.Errorf("ShowPlot: the plot is nil, want one made by plot.New")
	}
	for _, side := range []struct {
		name string
		got  Length
	}{{"width", width}, {"height", height}} {
		if err := checkRange("ShowPlot", side.name, side.got, 2*CM, 100*CM); err != nil {
			return Picture{}, err
		}
	}
	about := fmt.Sprintf("chart of %s against %s", pl.Y.Label.Text, pl.X.Label.Text)
	page := drawing.NewPage(pl.Title.Text, about)
	page.Chart(geom.Rect{Max: Pt(width, height)}, legible(*pl))
	if err := page.Err(); err != nil {
		return Picture{}, err
	}
	return Picture{page, pl.Title.Text + ": " + about}, nil
}

// legible sets text that the caller left at gonum's sizes to those of the
// drawings, 8 points and more.
func legible(pl plot.Plot) *plot.Plot {
	pl.Title.TextStyle.Font.Size = max(pl.Title.TextStyle.Font.Size, vg.Points(11))
	pl.Title.Padding = max(pl.Title.Padding, vg.Points(6))
	for _, a := range []*plot.Axis{&pl.X, &pl.Y} {
		a.Label.TextStyle.Font.Size = max(a.Label.TextStyle.Font.Size, vg.Points(9))
		a.Tick.Label.Font.Size = max(a.Tick.Label.Font.Size, vg.Points(8))
		a.Label.Padding = max(a.Label.Padding, vg.Points(4))
	}
	pl.Legend.TextStyle.Font.Size = max(pl.Legend.TextStyle.Font.Size, vg.Points(8))
	return &pl
}

func (c Curve) addTo(pl *plot.Plot, i int) error {
	if len(c.X) != len(c.Y) || len(c.X) == 0 {
		return fmt.Errorf("curve %q has %d lengths along x and %d along y, want as many of both, at least one", c.Name, len(c.X), len(c.Y))
	}
	points := make(plotter.XYs, len(c.X))
	for k := range c.X {
		if !c.X[k].Finite() || !c.Y[k].Finite() {
			return fmt.Errorf("curve %q: point %d is not a number or is infinite", c.Name, k+1)
		}
		points[k] = plotter.XY{X: c.X[k].CM(), Y: c.Y[k].CM()}
	}
	if c.Dots {
		return c.addDots(pl, points)
	}
	line, err := plotter.NewLine(points)
	if err != nil {
		return fmt.Errorf("curve %q: %w", c.Name, err)
	}
	line.Width, line.Color = vg.Points(1.4), ink
	line.Dashes = curveDashes[i%len(curveDashes)]
	pl.Add(line)
	if c.Name != "" {
		pl.Legend.Add(c.Name, line)
	}
	return nil
}

func (c Curve) addDots(pl *plot.Plot, points plotter.XYs) error {
	dots, err := plotter.NewScatter(points)
	if err != nil {
		return fmt.Errorf("curve %q: %w", c.Name, err)
	}
	dots.GlyphStyle = draw.GlyphStyle{Color: ink, Radius: vg.Points(2.5), Shape: draw.CircleGlyph{}}
	pl.Add(dots)
	if c.Name != "" {
		pl.Legend.Add(c.Name, dots)
	}
	return nil
}

// curveDashes tell curves apart: solid, long dashes, short dashes, dots.
var curveDashes = [][]vg.Length{nil, {vg.Points(8), vg.Points(3)}, {vg.Points(4), vg.Points(3)}, {vg.Points(1.5), vg.Points(2.5)}}

func chartGrid() *plotter.Grid {
	grid := plotter.NewGrid()
	pale := color.NRGBA{0xcc, 0xcc, 0xcc, 0xff}
	grid.Vertical.Color, grid.Horizontal.Color = pale, pale
	grid.Vertical.Width, grid.Horizontal.Width = vg.Points(0.5), vg.Points(0.5)
	return grid
}
