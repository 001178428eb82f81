package programs

import (
	"math"

	"patternkit/patternkit"
)

// Points goes round an outline of n points: its length, by a method, and its
// area, by their fields.
func Points(n int) float64 {
	outline := make([]patternkit.Point, n)
	for i := range outline {
		turn := 2 * math.Pi * float64(i) / float64(n)
		outline[i] = patternkit.Pt(patternkit.Length(300*math.Cos(turn)), patternkit.Length(200*math.Sin(turn)))
	}
	var around patternkit.Length
	area := 0.0
	for i, p := range outline {
		q := outline[(i+1)%n]
		around += p.Dist(q)
		area += float64(p.X*q.Y - q.X*p.Y)
	}
	return area/2 + float64(around)
}
