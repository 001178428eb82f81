package programs

// A strip of cloth has a width and an area left.
type strip struct{ width, left float64 }

func (s strip) fits(w, h float64) bool { return w <= s.width && w*h <= s.left }

func (s *strip) cut(w, h float64) { s.left -= w * h }

// A cutter is what Methods cuts from.
type cutter interface {
	fits(w, h float64) bool
	cut(w, h float64)
}

// Methods cuts n rectangles, half of them through an interface.
func Methods(n int) float64 {
	s := strip{width: 150, left: float64(n)}
	var c cutter = &s
	for i := 0; i < n; i++ {
		w, h := float64(i%5)+0.5, 0.25
		if i%2 == 0 {
			if s.fits(w, h) {
				s.cut(w, h)
			}
		} else if c.fits(w, h) {
			c.cut(w, h)
		}
	}
	return s.left
}
