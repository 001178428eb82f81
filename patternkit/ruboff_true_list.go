package patternkit

import (
	"fmt"
	"slices"
	"strings"
)

// layNotches puts the notches of the one edge on side A over their partners on
// side B, the ease before each as it was shared.
func (t *truing) layNotches(s Seam) error {
	if len(s.A) != 1 {
		return nil
	}
	row, before := t.p.walk(s), t.was.walk(s)
	a := s.A[0]
	piece, _ := t.p.Piece(a.Piece)
	piece.notches = append([]Notch(nil), piece.notches...)
	for i, n := range row.Notches {
		if !n.OnA || !n.OnB || i >= len(before.Notches) {
			continue
		}
		share := 0.0
		if was := before.Notches[i]; before.LengthA > 0 && s.Ease > 0 {
			share = float64((was.AtA - was.AtB) / max(s.Ease, before.Difference, 1*MM))
		}
		at := n.AtB + s.Ease*Length(min(max(share, 0), 1))
		if a.Reversed {
			at = row.LengthA - at
		}
		k := slices.IndexFunc(piece.notches, func(o Notch) bool { return o.Name == n.Notch && o.Edge == a.Edge })
		if k >= 0 && at >= 0 && at <= row.LengthA {
			piece.notches[k].At = at
		}
	}
	return t.set(piece, nil)
}

// list says what was changed, seam by seam and corner by corner.
func (t *truing) list() Table {
	table := Table{Title: "Trued: " + t.p.name, Columns: []Column{{Head: "Where"}, {Head: "Was"}, {Head: "Is"}, {Head: "Changed"}}}
	was, is := t.was.Walk().rows, t.p.Walk().rows
	for i, r := range was {
		off, now := r.Difference-r.Ease, is[i].Difference-is[i].Ease
		if off.Abs() <= truedNear {
			table.Rows = append(table.Rows, []string{r.Seam, "meets", "meets", t.changed(i)})
			continue
		}
		table.Rows = append(table.Rows, []string{r.Seam, fmt.Sprintf("%.1f mm apart", off.Abs().MM()), fmt.Sprintf("%.1f mm apart", now.Abs().MM()), t.changed(i)})
	}
	after := t.p.Corners().rows
	for _, c := range t.was.Corners().rows {
		k := slices.IndexFunc(after, func(o CornerRow) bool { return o.Place == c.Place && o.Pieces == c.Pieces })
		if k < 0 || (c.Angle-after[k].Angle).Degrees() < 0.05 && (after[k].Angle-c.Angle).Degrees() < 0.05 {
			continue
		}
		table.Rows = append(table.Rows, []string{c.Place, fmt.Sprintf("%.1f°", c.Angle.Degrees()), fmt.Sprintf("%.1f°", after[k].Angle.Degrees()), c.Pieces})
	}
	if faults := t.p.Corners().Faults(); len(faults) > 0 {
		words := make([]string, len(faults))
		for i, f := range faults {
			words[i] = f.Place
		}
		table.Notes = append(table.Notes, "Left as it is, straight there or more than "+fmt.Sprintf("%.0f°", truedTurn.Degrees())+" off: "+strings.Join(words, "; ")+".")
	}
	return table
}

// changed says by how much each edge of a seam has changed.
func (t *truing) changed(i int) string {
	var words []string
	s := t.p.seams[i]
	for _, a := range append(append([]Along(nil), s.A...), s.B...) {
		if d := t.p.alongLength(a) - t.was.alongLength(a); d.Abs() > truedNear {
			words = append(words, fmt.Sprintf("%s %s %s mm", a.Piece, a.Edge, signedMM(d)))
		}
	}
	if len(words) == 0 {
		return "nothing"
	}
	return strings.Join(words, ", ")
}

// signedMM is a length in millimetres to a tenth, with its sign.
func signedMM(l Length) string {
	return strings.Replace(fmt.Sprintf("%+.1f", l.MM()), "-", "−", 1)
}
