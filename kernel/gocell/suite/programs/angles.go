package programs

import "math"

// Angles turns n points about the origin, with the functions of math.
func Angles(n int) float64 {
	x, y, sum := 30.0, 40.0, 0.0
	for i := 0; i < n; i++ {
		turn := math.Atan2(y, x) + 0.1
		r := math.Hypot(x, y)
		x, y = r*math.Cos(turn), r*math.Sin(turn)
		sum += math.Max(math.Abs(x), math.Floor(y)) + math.Sqrt(r)
	}
	return sum
}
