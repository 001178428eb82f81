package patternkit

import (
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
)

// A fittedTop is what became of the gathered top of one woman.
type fittedTop struct {
	err     error
	on      bool   // it goes on with the default fullness
	raises  string // what the table says to raise, where not
	widened bool   // with that it goes on
	gather  [2]float64
	worn    bool // cloth and elastic do on and off the shoulders
}

// fitTop makes a woman's top from her block with the given fullness, or wider
// where it does not go on.
func fitTop(b Body, o GatheredTopOptions) fittedTop {
	plain := DefaultPlainTop()
	plain.SideWidth = min(plain.SideWidth, o.SideWidth)
	from, err := DraftPlainTop(b, plain)
	if err != nil {
		return fittedTop{err: err}
	}
	var f fittedTop
	top, err := MakeGatheredTop(from.Pattern(), o)
	if err != nil {
		return fittedTop{err: err}
	}
	check, err := top.GoesOn(b, Cloth{})
	if err != nil {
		return fittedTop{err: err}
	}
	if f.on = check.OK(); !f.on {
		f.raises = fmt.Sprint(check.Raises())
		if o, err = check.Widened(); err != nil {
			return fittedTop{err: err}
		}
		if top, err = MakeGatheredTop(from.Pattern(), o); err != nil {
			return fittedTop{err: err}
		}
		if check, err = top.GoesOn(b, Cloth{}); err != nil {
			return fittedTop{err: err}
		}
		f.widened = check.OK()
	}
	gathers, err := top.Gathers(b, LightCloth)
	if err != nil {
		return fittedTop{err: err}
	}
	f.worn = gathers.OK()
	for i, r := range gathers.Rows() {
		f.gather[i] = r.Gather
	}
	if faults := top.Pattern().Walk().Faults(); len(faults) > 0 {
		f.err = fmt.Errorf("%s: %s", faults[0].Seam, faults[0].Verdict)
	}
	return f
}

// fitAll fits every so manieth of the bodies, on all cores.
func fitAll(bodies []Body, step int, o GatheredTopOptions) []fittedTop {
	out := make([]fittedTop, (len(bodies)+step-1)/step)
	var work sync.WaitGroup
	const workers = 4
	for w := range workers {
		work.Go(func() {
			for i := w; i < len(out); i += workers {
				out[i] = fitTop(bodies[i*step], o)
			}
		})
	}
	work.Wait()
	return out
}

// A tally counts what became of tops.
type tally struct {
	on, widened, refused, unworn int
	ratios                       [2][]float64
}

func tallyOf(t *testing.T, fitted []fittedTop) tally {
	t.Helper()
	var n tally
	for i, f := range fitted {
		switch {
		case f.err != nil:
			n.refused++
			t.Logf("woman %d: %v", i, f.err)
			continue
		case f.on:
			n.on++
		case f.widened && f.raises != "[]":
			n.widened++
		default:
			t.Errorf("woman %d: with %s raised it does not go on", i, f.raises)
		}
		if !f.worn {
			n.unworn++
		}
		for k := range n.ratios {
			n.ratios[k] = append(n.ratios[k], f.gather[k])
		}
	}
	t.Logf("%d tops: %d go on, %d widened as the table says; %d refused by name; %d where elastic or cloth does not do on and off the shoulders",
		len(fitted), n.on, n.widened, n.refused, n.unworn)
	if n.refused > 1+len(fitted)/500 {
		t.Errorf("%d of %d refused", n.refused, len(fitted))
	}
	return n
}

// All 1,986 women of ANSUR II: the top from the block with the default fullness
// goes on, or the table says by how much to widen it, and so widened it does. A
// close template of the same women, with no width added and its sleeve head as
// it is cut, mostly does not: every fourth is tried. In a short run both are sampled.
func TestGatheredTopOnEveryWoman(t *testing.T) {
	bodies := women(t, true)
	o := DefaultGatheredTop()
	o.SleeveUnderarm = 10 * CM
	full := tallyOf(t, fitAll(bodies, sampleStep(1), o))
	for k, where := range []string{"on the shoulders", "off the shoulders"} {
		mean, sd := stat.MeanStdDev(full.ratios[k], nil)
		t.Logf("gather ratio %s: %.2f ± %.2f", where, mean, sd)
		if mean < 1.25 || mean > 3 {
			t.Errorf("gather ratio %s: %.2f on the mean, want 1.25 to 3", where, mean)
		}
	}
	o.FrontFullness, o.BackFullness, o.SleeveFullness, o.SideWidth, o.RunOn = 0, 0, 0, 0, 0
	scant := tallyOf(t, fitAll(bodies, sampleStep(4), o))
	if scant.widened <= scant.on {
		t.Errorf("%d close templates go on, %d do not", scant.on, scant.widened)
	}
	picture := styleMust[Picture](t)(gatherHistogram(full.ratios))
	if dir := os.Getenv("PATTERNKIT_PICTURES"); dir != "" {
		if err := os.WriteFile(filepath.Join(dir, "gathers.png"), picture.PNG(), 0o644); err != nil {
			t.Error(err)
		}
	}
}

// gatherHistogram draws how often each gather ratio occurs, on and off the
// shoulders.
func gatherHistogram(ratios [2][]float64) (Picture, error) {
	pl := plot.New()
	pl.Title.Text = "Gather ratio at the top edge, women of ANSUR II"
	pl.X.Label.Text, pl.Y.Label.Text = "top edge : girth it lies on", "women"
	const from, width, bins = 1.2, 0.05, 36
	for k, values := range ratios {
		var counts [bins]float64
		for _, v := range values {
			counts[min(bins-1, max(0, int((v-from)/width)))]++
		}
		steps := plotter.XYs{{X: from}}
		for i, n := range counts {
			steps = append(steps, plotter.XY{X: from + float64(i)*width, Y: n}, plotter.XY{X: from + float64(i+1)*width, Y: n})
		}
		line, err := plotter.NewLine(append(steps, plotter.XY{X: from + bins*width}))
		if err != nil {
			return Picture{}, err
		}
		line.Width = vg.Points(1.4)
		if k == 1 {
			line.Dashes = []vg.Length{vg.Points(4), vg.Points(2)}
		}
		pl.Add(line)
		pl.Legend.Add([]string{"on the shoulders", "off the shoulders"}[k], line)
	}
	pl.Legend.Top = true
	return ShowPlot(pl, 150*MM, 90*MM)
}
