package patternkit

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/plot"
)

func TestChart(t *testing.T) {
	// By Pythagoras: a straight cap of 40 cm is twice √(20² − h²) wide.
	var height, width []Length
	for h := 8 * CM; h <= 16*CM; h += 1 * CM {
		height = append(height, h)
		width = append(width, 2*Length(math.Sqrt(float64(20*CM*20*CM-h*h))))
	}
	chart, err := Chart("Straight cap of 40 cm", "cap height", "width", Curve{Name: "by Pythagoras", X: height, Y: width},
		Curve{Name: "3-4-5", X: []Length{12 * CM}, Y: []Length{32 * CM}, Dots: true})
	if err != nil {
		t.Fatal(err)
	}
	svg := chart.SVG()
	texts, _ := readSVG(t, svg)
	got := map[string]bool{}
	for _, w := range texts {
		got[w.text] = true
		if w.size < 9*25.4/96 {
			t.Errorf("%q is %v high, want 9 px", w.text, w.size)
		}
	}
	for _, want := range []string{"Straight cap of 40 cm", "cap height (cm)", "width (cm)", "by Pythagoras", "12"} {
		if !got[want] {
			t.Errorf("the chart does not say %q, it says %v", want, got)
		}
	}
	if len(chart.PNG()) == 0 || !strings.HasPrefix(chart.HTML(), "<img ") {
		t.Error("the chart is not shown")
	}
	checkGolden(t, "chart_cap.svg", []byte(svg))
}

func TestChartErrors(t *testing.T) {
	one := []Length{1 * CM}
	for _, tt := range []struct {
		name   string
		curves []Curve
		want   string
	}{
		{"none", nil, `chart "c" has no curves`},
		{"uneven", []Curve{{Name: "a", X: one}}, `curve "a" has 1 lengths along x and 0 along y`},
		{"empty", []Curve{{Name: "a"}}, `curve "a" has 0 lengths along x and 0 along y`},
		{"not a number", []Curve{{Name: "a", X: one, Y: []Length{Length(math.NaN())}}}, `curve "a": point 1 is not a number`},
	} {
		if _, err := Chart("c", "x", "y", tt.curves...); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: %v, want %s", tt.name, err, tt.want)
		}
	}
	if _, err := ShowPlot(nil, 10*CM, 10*CM); err == nil {
		t.Error("no plot is no error")
	}
	if _, err := ShowPlot(plot.New(), 10, 10*CM); err == nil || !strings.Contains(err.Error(), "width is 1 cm, want 2 cm to 100 cm") {
		t.Errorf("a plot 10 mm wide: %v", err)
	}
}
