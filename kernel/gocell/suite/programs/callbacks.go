package programs

import "strings"

// Callbacks counts n calls of its closure by compiled code.
func Callbacks(n int) int {
	count := 0
	same := strings.Map(func(r rune) rune {
		if r == '-' {
			count++
		}
		return r
	}, strings.Repeat("-", n))
	return count + n - len(same)
}
