package programs

import "patternkit/patternkit"

// Lengths lets n lengths out by a growing ease, and adds up those that stay
// within a bound.
func Lengths(n int) float64 {
	girths := make([]patternkit.Length, n)
	for i := range girths {
		girths[i] = 80*patternkit.CM + patternkit.Length(i%40)*patternkit.CM
	}
	for i := range girths {
		girths[i] += patternkit.Length(i%7) * patternkit.MM / 4
	}
	var sum patternkit.Length
	for _, g := range girths {
		if g > 110*patternkit.CM {
			continue
		}
		sum += g / 2
	}
	return float64(sum)
}
