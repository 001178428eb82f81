package patternkit

import "fmt"

// The tolerance of a finished measurement: made jackets are accepted within
// 1/4 in at most places (a published trade table of points of measure), a
// tolerance should be less than half the step between sizes, and less than
// 1 mm cannot be sewn (both common practice, no source).
const (
	finishedTolerance      = Inch / 4
	finishedToleranceLeast = 1 * MM
)

// A gradeMeasure is one place that is measured on a pattern in each size.
type gradeMeasure struct {
	words  string
	values []Length
}

// FinishedMeasurements lists for every size the length of each edge, darts
// closed, and the width of each piece across its grain, darts open, in
// centimetres, with the tolerance. Nothing is added for seams or hems.
func (g Graded) FinishedMeasurements() Table {
	t := Table{Title: "Finished measurements of " + g.name + " (cm)", Columns: g.columns("Measured on the stitch line")}
	t.Columns = append(t.Columns, Column{Head: "±", Number: true})
	for _, m := range g.measures() {
		row := []string{m.words}
		for _, v := range m.values {
			row = append(row, inCM(v))
		}
		t.Rows = append(t.Rows, append(row, inCM(m.tolerance())))
	}
	t.Notes = []string{fmt.Sprintf("Edges with darts closed; no allowance. Tolerance: %s, or 0.45 of the smallest step between sizes where that is less, "+
		"and not under %s (common practice).", inCM(finishedTolerance)+" cm", inCM(finishedToleranceLeast)+" cm")}
	return t
}

// Increments lists by how much each finished measurement grows from the size
// before, in centimetres.
func (g Graded) Increments() Table {
	t := Table{Title: "Increments of " + g.name + " (cm)", Columns: []Column{{Head: "Measured on the stitch line"}}}
	for i := 1; i < len(g.sizes); i++ {
		t.Columns = append(t.Columns, Column{Head: g.sizes[i-1].name + " to " + g.sizes[i].name, Number: true})
	}
	for _, m := range g.measures() {
		row := []string{m.words}
		for i := 1; i < len(m.values); i++ {
			row = append(row, signedCM(m.values[i]-m.values[i-1]))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

func (g Graded) measures() []gradeMeasure {
	if len(g.sizes) == 0 {
		return nil
	}
	var all []gradeMeasure
	for i, base := range g.sizes[g.base].pattern.pieces {
		for _, name := range base.EdgeNames() {
			if base.isMouth(name) {
				continue
			}
			all = append(all, g.measure(i, base.name+" "+name, func(p Piece) Length {
				length, _ := p.EdgeLength(name) // Grade has checked that the edge is there
				return length
			}))
		}
		all = append(all, g.measure(i, base.name+" width", func(p Piece) Length {
			return p.outline.Transformed(uprightGrain(p)).Bounds().Width()
		}))
	}
	return all
}

func (g Graded) measure(piece int, words string, of func(Piece) Length) gradeMeasure {
	m := gradeMeasure{words: words}
	for _, s := range g.sizes {
		m.values = append(m.values, of(s.pattern.pieces[piece]))
	}
	return m
}

func (m gradeMeasure) tolerance() Length {
	tolerance := finishedTolerance
	for i := 1; i < len(m.values); i++ {
		if step := (m.values[i] - m.values[i-1]).Abs(); step > 0.01*MM {
			tolerance = min(tolerance, 0.45*step)
		}
	}
	return max(tolerance, finishedToleranceLeast)
}
