package patternkit

import (
	"fmt"
	"math"
	"strings"
)

// flatSides is how far the readings of two sides may differ: 1.5 cm, or a
// tenth of a longer one. More is a slip of the tape (common practice, no
// source).
const flatSides, flatSidesShare = 15 * MM, 0.1

// AveragedWith returns the top between two readings of one garment: its left
// and its right side, or two pupils' tapes. What only one of them has is taken
// as it is. It is an error, which names the measure, where they differ by more
// than 1.5 cm and by more than a tenth.
func (t FlatTop) AveragedWith(other FlatTop) (FlatTop, error) {
	out := t
	for _, m := range flatMeasures {
		a, b, to := *m.of(&t), *m.of(&other), m.of(&out)
		switch {
		case (a == 0 || b == 0) && m.name != "CapEase": // of which 0 is a reading
			*to = a + b
			continue
		case !((a - b).Abs() <= max(flatSides, max(a, b)*flatSidesShare)) || math.IsInf(float64(a), 0):
			return FlatTop{}, fmt.Errorf("two readings of a top: %s is %v and %v, want them within %v or a tenth: measure it again on both sides", m.name, a, b, flatSides)
		}
		*to = (a + b) / 2
	}
	return out, nil
}

// Differences lists where two readings of one garment differ, and by how much.
func (t FlatTop) Differences(other FlatTop) Table {
	table := Table{Title: "Two readings of one top", Columns: []Column{{Head: "Measure"}, {Head: "One (cm)", Number: true},
		{Head: "Other (cm)", Number: true}, {Head: "One − other (mm)", Number: true}}}
	var most Length
	var widest []string
	same := 0
	for _, m := range flatMeasures {
		a, b := *m.of(&t), *m.of(&other)
		if a == 0 || b == 0 {
			continue
		}
		d := (a - b).Abs()
		if d < 0.05*MM {
			same++
			continue
		}
		table.Rows = append(table.Rows, []string{m.name, inCM(a), inCM(b), signedMM(a - b)})
		if d > most+0.05*MM {
			most, widest = d, nil
		}
		if d > most-0.05*MM {
			widest = append(widest, m.name)
		}
	}
	if most > 0 {
		table.Notes = append(table.Notes, fmt.Sprintf("The farthest apart, %.1f mm: %s.", most.MM(), strings.Join(widest, ", ")))
	}
	table.Notes = append(table.Notes, fmt.Sprintf("%d measures are the same in both.", same))
	return table
}
