package programs

// Loop adds up n terms of a series for pi.
func Loop(n int) float64 {
	sum, sign := 0.0, 4.0
	for i := 0; i < n; i++ {
		sum += sign / float64(2*i+1)
		sign = -sign
	}
	return sum
}
