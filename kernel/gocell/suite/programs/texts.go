package programs

import "strings"

// Texts builds labels from parts, n times, and counts their bytes.
func Texts(n int) int {
	bytes := 0
	for i := 0; i < n; i++ {
		label := "piece " + strings.Repeat("i", i%4)
		for _, word := range []string{"front", "back"} {
			label += " " + word
		}
		var b strings.Builder
		for _, r := range label {
			if r != 'i' {
				b.WriteRune(r)
			}
		}
		b.WriteString(", cut 2")
		bytes += b.Len() + len(label)
	}
	return bytes
}
