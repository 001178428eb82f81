package patternkit

import (
	"math"
	"testing"
)

func TestRootBetween(t *testing.T) {
	for _, tt := range []struct {
		name         string
		f            func(float64) float64
		lo, hi, want float64
	}{
		{"line", func(x float64) float64 { return x - 3 }, 0, 10, 3},
		{"falling", func(x float64) float64 { return 3 - x }, 0, 10, 3},
		{"root of two", func(x float64) float64 { return x*x - 2 }, 0, 2, math.Sqrt2},
		{"flat root", func(x float64) float64 { return (x - 1) * (x - 1) * (x - 1) }, 0, 2.7, 1},
		{"at an end", func(x float64) float64 { return x }, 0, 1, 0},
		{"steep", func(x float64) float64 { return math.Exp(20*x) - math.Exp(10) }, 0, 1, 0.5},
	} {
		t.Run(tt.name, func(t *testing.T) {
			x, ok := rootBetween(tt.f, tt.lo, tt.hi, 1e-10)
			if !ok || math.Abs(x-tt.want) > 1e-5 || (tt.name != "flat root" && math.Abs(x-tt.want) > 1e-9) {
				t.Errorf("root %v, %v, want %v", x, ok, tt.want)
			}
		})
	}
	if _, ok := rootBetween(func(x float64) float64 { return x*x + 1 }, -1, 1, 1e-9); ok {
		t.Error("a root of x² + 1 is found")
	}
	if _, ok := rootBetween(func(float64) float64 { return math.NaN() }, 0, 1, 1e-9); ok {
		t.Error("a root of no number is found")
	}
}

// The quick length agrees with the exact one of a path to a micron.
func TestBendLength(t *testing.T) {
	for _, b := range []bend{
		{Pt(0, 0), Pt(0, 100), Pt(40, 200), Pt(100, 210)},
		{Pt(0, 0), Pt(-60, -150), Pt(-30, -200), Pt(60, -205)},
		straight(Pt(0, 0), Pt(30, 40)),
	} {
		if off := b.length() - b.path().Length(); off.Abs() > 0.001*MM {
			t.Errorf("%v: length is off by %v", b, off)
		}
	}
}

func TestCornerBend(t *testing.T) {
	b, ok := cornerBend(Pt(0, 0), Pt(1, 0), Pt(100, 60), Pt(0, 1), 0.5)
	if !ok || b[1] != Pt(50, 0) || b[2] != Pt(100, 30) {
		t.Errorf("corner curve %v, %v", b, ok)
	}
	if _, ok := cornerBend(Pt(0, 0), Pt(-1, 0), Pt(100, 60), Pt(0, 1), 0.5); ok {
		t.Error("a curve that starts away from its corner is drawn")
	}
}

// The waist of a plan is as long as wanted, whatever its darts and lean.
func TestWaistPlanKeepsItsWidth(t *testing.T) {
	for _, plan := range []waistPlan{
		{width: 200 * MM},
		{width: 200 * MM, lean: 6 * Degree},
		{width: 200 * MM, lean: -10 * Degree},
		{width: 190 * MM, lean: 5 * Degree, tips: []waistTip{{Pt(90, 160), 40 * MM}}},
		{width: 190 * MM, lean: 5 * Degree, tips: []waistTip{{Pt(80, 160), 40 * MM}, {Pt(150, 140), 25 * MM}}},
	} {
		w := plan.draw()
		if off := w.length() - plan.width; off.Abs() > 0.001*MM {
			t.Errorf("%+v: width is off by %v", plan, off)
		}
		for _, d := range w.darts {
			if d.near.Dist(d.tip)-d.far.Dist(d.tip) > 1e-9 || (d.near.X+d.far.X-2*d.tip.X).Abs() > 1e-6 {
				t.Errorf("%+v: dart %v is not upright with equal legs", plan, d)
			}
		}
	}
}

// An arc of a waist or a hem is one cubic: true to a micron.
func TestFlatArc(t *testing.T) {
	a := flatArc{Pt(10, 20), 0.002}
	b := a.between(0, 200)
	for i := range 21 {
		at := b.at(float64(i) / 20)
		if off := at.Dist(Pt(10, 20-500)) - 500; off.Abs() > 0.001*MM {
			t.Errorf("%v is off the circle by %v", at, off)
		}
	}
	if off := b.length() - 200; off.Abs() > 0.001*MM {
		t.Errorf("length is off by %v", off)
	}
}
