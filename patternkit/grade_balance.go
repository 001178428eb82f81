package patternkit

import (
	"fmt"
	"strings"
)

// balanceTolerance is how far the girth step of the garment may be from that
// of the body, and the ease of a seam from that of the size before: the width
// of a line on each quarter (common practice, no source).
const balanceTolerance = 2 * MM

// Balance checks the sums of a grade at every size break. A level such as the
// bust grows by as much round the garment, all quarters together, as round the
// body; a seam such as the armhole has as much ease as in the size before. A
// cell holds the difference in millimetres, with an exclamation mark where it
// is more than 2 mm: then the sizes differ in ease, which may be meant, as in
// a sleeve end of one width for all. Sizes made by rules have no body: only
// their seams are checked.
func (g Graded) Balance() Table {
	t := Table{Title: "Balance of " + g.name + ", grows more than it should by (mm)", Columns: []Column{{Head: "Sum"}}}
	for i := 1; i < len(g.sizes); i++ {
		t.Columns = append(t.Columns, Column{Head: g.sizes[i-1].name + " to " + g.sizes[i].name, Number: true})
	}
	t.Columns = append(t.Columns, Column{Head: "Verdict"})
	for _, m := range append(g.levelEases(), g.seamEases()...) {
		t.Rows = append(t.Rows, m.balanceRow(g))
	}
	t.Notes = []string{fmt.Sprintf("Within %.0f mm a sum is balanced (common practice).", balanceTolerance.MM())}
	return t
}

func (m gradeMeasure) balanceRow(g Graded) []string {
	row, off := []string{m.words}, []string{}
	for i := 1; i < len(m.values); i++ {
		step := m.values[i] - m.values[i-1]
		text := gradeMM(step)
		if step.Abs() > balanceTolerance {
			text += " !"
			off = append(off, g.sizes[i-1].name+" to "+g.sizes[i].name)
		}
		row = append(row, text)
	}
	if len(off) > 0 {
		return append(row, "ease differs: "+strings.Join(off, ", "))
	}
	return append(row, "balanced")
}

// levelEases lists, for each level that every size has, the ease there.
func (g Graded) levelEases() []gradeMeasure {
	var all []gradeMeasure
	for i, s := range g.sizes {
		ease, err := s.pattern.Ease(s.body, Cloth{})
		if err != nil { // no body, or nothing on the pattern to compare with it
			return nil
		}
		for _, r := range ease.rows {
			words := r.Level + ": round the garment less round the body"
			if i == 0 {
				all = append(all, gradeMeasure{words: words})
			}
			for k := range all {
				if all[k].words == words && len(all[k].values) == i {
					all[k].values = append(all[k].values, r.Ease)
				}
			}
		}
	}
	complete := all[:0]
	for _, m := range all {
		if len(m.values) == len(g.sizes) {
			complete = append(complete, m)
		}
	}
	return complete
}

func (g Graded) seamEases() []gradeMeasure {
	if len(g.sizes) == 0 {
		return nil
	}
	var all []gradeMeasure
	for k, seam := range g.sizes[g.base].pattern.seams {
		m := gradeMeasure{words: seam.Name + ": one side less the other"}
		for _, s := range g.sizes {
			r := s.pattern.walk(s.pattern.seams[k])
			m.values = append(m.values, r.Difference)
		}
		all = append(all, m)
	}
	return all
}
