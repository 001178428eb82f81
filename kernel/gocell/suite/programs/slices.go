package programs

// Slices fills a slice of n numbers and adds them up.
func Slices(n int) int {
	var s []int
	for i := 0; i < n; i++ {
		s = append(s, i&15)
	}
	sum := 0
	for _, x := range s {
		sum += x
	}
	return sum
}
