package patternkit

import (
	"fmt"
	"testing"
)

func TestRoundTicks(t *testing.T) {
	for _, c := range []struct {
		min, max float64
		want     string
	}{
		{21.8, 37.6, "[22 24 26 28 30 32 34 36]"},
		{9, 15.75, "[9 10 11 12 13 14 15]"},
		{-0.3, 0.3, "[-0.3 -0.2 -0.1 0.0 0.1 0.2 0.3]"},
		{0, 0.02, "[0.000 0.005 0.010 0.015 0.020]"},
		{0, 4000, "[0 500 1000 1500 2000 2500 3000 3500 4000]"},
	} {
		var labels []string
		for _, tick := range (roundTicks{about: 8}).Ticks(c.min, c.max) {
			labels = append(labels, tick.Label)
		}
		if got := fmt.Sprint(labels); got != c.want {
			t.Errorf("ticks of %v to %v: %s, want %s", c.min, c.max, got, c.want)
		}
	}
}
