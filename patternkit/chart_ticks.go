package patternkit

import (
	"math"
	"strconv"

	"gonum.org/v1/plot"
)

// roundTicks are ticks at steps of 1, 2 or 5 times a power of ten, as on a
// ruler, labelled with no more decimals than the step has.
type roundTicks struct{ about int }

// Ticks returns some about ticks between min and max.
func (r roundTicks) Ticks(min, max float64) []plot.Tick {
	step := roundStep((max - min) / float64(r.about))
	if !(step > 0) || math.IsInf(step, 0) {
		return plot.DefaultTicks{}.Ticks(min, max) // an axis without extent
	}
	decimals := int(math.Max(0, -math.Floor(math.Log10(step)+1e-9)))
	var ticks []plot.Tick
	first := math.Ceil(min/step-1e-9) + 0 // -0, which would be labelled so, becomes 0
	for n := first; n*step <= max+1e-9*step; n++ {
		ticks = append(ticks, plot.Tick{Value: n * step, Label: strconv.FormatFloat(n*step, 'f', decimals, 64)})
	}
	return ticks
}

// roundStep is the least of 1, 2 or 5 times a power of ten that is not under v.
func roundStep(v float64) float64 {
	unit := math.Pow(10, math.Floor(math.Log10(v)))
	for _, m := range []float64{1, 2, 5} {
		if m*unit >= v*(1-1e-9) {
			return m * unit
		}
	}
	return 10 * unit
}
