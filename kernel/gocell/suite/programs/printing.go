package programs

import "fmt"

// Printing words n lines and counts their bytes.
func Printing(n int) int {
	bytes := 0
	for i := 0; i < n; i++ {
		bytes += len(fmt.Sprintf("size %d: %.1f cm, %s", i, float64(i)/10, "front"))
	}
	return bytes
}
