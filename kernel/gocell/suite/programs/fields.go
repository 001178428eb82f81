package programs

// A stitch lies at a place of its row, before another one.
type stitch struct {
	x, y float64
	worn int
	next *stitch
}

// Fields walks n times along a row of stitches and moves each a little.
func Fields(n int) float64 {
	var row *stitch
	for i := 0; i < 100; i++ {
		row = &stitch{x: float64(i), next: row}
	}
	for i := 0; i < n; i++ {
		for s := row; s != nil; s = s.next {
			s.x += 0.5
			s.y = s.x - s.y
			s.worn++
		}
	}
	sum := 0.0
	for s := row; s != nil; s = s.next {
		sum += s.x + s.y + float64(s.worn)
	}
	return sum
}
