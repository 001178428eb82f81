package programs

import "math"

// Calls adds up n cube roots, each a call into compiled code.
func Calls(n int) float64 {
	sum := 0.0
	for i := 0; i < n; i++ {
		sum += math.Cbrt(float64(i))
	}
	return sum
}
