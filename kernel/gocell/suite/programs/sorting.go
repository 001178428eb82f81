package programs

import "sort"

// Sorting sorts n numbers that are out of order, by a function of the cell.
func Sorting(n int) int {
	type part struct {
		name string
		area float64
	}
	parts := make([]part, n)
	for i := range parts {
		parts[i] = part{"part", float64(i * 7919 % 10_007)}
	}
	sort.Slice(parts, func(i, j int) bool { return parts[i].area < parts[j].area })
	sum := 0
	for i, p := range parts {
		sum += i * int(p.area) % 13
	}
	return sum
}
