package patternkit

import (
	"fmt"
)

// Table lists the rules of points, without those of the handles of curves: a
// row for each point, and under each size break how far it moves across and
// up, in millimetres.
func (t RuleTable) Table() Table {
	out := Table{Title: "Grade rules (mm across, up)", Columns: []Column{{Head: "Piece"}, {Head: "Point"}}}
	for i := 1; i < len(t.sizes); i++ {
		out.Columns = append(out.Columns, Column{Head: t.sizes[i-1] + " to " + t.sizes[i], Number: true})
	}
	hidden := 0
	for _, r := range t.rules {
		if t.handles[gradeKey{r.Piece, r.Point}] {
			hidden++
			continue
		}
		row := []string{r.Piece, r.Point}
		for _, s := range r.Steps {
			row = append(row, gradeMM(s.X)+", "+gradeMM(s.Y))
		}
		out.Rows = append(out.Rows, row)
	}
	out.Notes = t.notes(hidden)
	return out
}

func (t RuleTable) notes(hidden int) []string {
	notes := []string{fmt.Sprintf("Base size %s. Measured from the origin of the draft; no allowance moves with the rules, it is laid on afterwards.", t.Base())}
	if words := referenceWords(t.references); words != "" {
		notes = []string{fmt.Sprintf("Base size %s. Measured: %s; any other piece from the origin of the draft. No allowance moves with the rules, it is laid on afterwards.",
			t.Base(), words)}
	}
	if hidden > 0 {
		notes = append(notes, fmt.Sprintf("Not listed: %d rules of the handles and joints of curves, of grainlines and of inner lines.", hidden))
	}
	return notes
}

// HTML returns Table as markup.
func (t RuleTable) HTML() string { return t.Table().HTML() }

// Markdown returns Table in the pipe notation.
func (t RuleTable) Markdown() string { return t.Table().Markdown() }

// String returns Table as aligned text.
func (t RuleTable) String() string { return t.Table().String() }
