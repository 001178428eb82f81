package patternkit

import (
	"math"
	"testing"
)

// Whatever two of its measures are, a top is refused or drafted with all of
// them, its seams meeting.
func FuzzFlatTop(f *testing.F) {
	f.Add(uint8(10), 200.0, uint8(13), 480.0)
	f.Add(uint8(0), math.NaN(), uint8(6), 0.0)
	f.Add(uint8(14), 300.0, uint8(16), 310.0)
	f.Add(uint8(11), 240.0, uint8(12), 250.0)
	f.Add(uint8(18), 800.0, uint8(22), -1.0)
	f.Fuzz(func(t *testing.T, i uint8, a float64, j uint8, b float64) {
		top := eveningTop()
		*flatMeasures[int(i)%len(flatMeasures)].of(&top) = Length(a)
		*flatMeasures[int(j)%len(flatMeasures)].of(&top) = Length(b)
		p, err := top.Pattern("top")
		if err != nil {
			return
		}
		checkFlat(t, top, p)
	})
}
