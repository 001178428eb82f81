package patternkit

import (
	"fmt"
	"math"
	"strings"
)

// An AllowanceTable is a pattern with the allowances that meet compared: those
// on the two sides of each seam, and each folded back edge with the part of
// the piece that it lies on.
type AllowanceTable struct {
	pattern string
	rows    []AllowanceRow
}

// An AllowanceRow is one seam or folded back edge.
type AllowanceRow struct {
	Place   string // "side seam", "hem across the side seam", "hem of sleeve"
	A, B    string // the allowances of both sides; or how long the turned edge is and what it lies on
	Fault   bool
	Verdict string
}

// foldedEase is how much longer or shorter than what it lies on a folded back
// edge may be, as a share of it, and still be pressed flat (common practice,
// no source).
const foldedEase = 0.02

// CheckAllowances compares the allowances that come to lie on each other. The
// two sides of a seam should have the same, so that the cut edges are laid
// together, and so should the edges that run on across its ends. A folded back edge should be as long as what it lies on, within 2
// %: on a curved edge it is not, by the turn of the edge times twice the width
// (common practice, no source).
func (p Pattern) CheckAllowances() AllowanceTable {
	t := AllowanceTable{pattern: p.name}
	for _, s := range p.seams {
		t.rows = append(t.rows, p.seamAllowances(s))
		t.rows = append(t.rows, p.endAllowances(s)...)
	}
	for _, piece := range p.pieces {
		for _, a := range piece.Allowances() {
			if a.turnedUp() {
				t.rows = append(t.rows, piece.foldedLength(a))
			}
		}
	}
	return t
}

func (p Pattern) seamAllowances(s Seam) AllowanceRow {
	a, b := p.sideAllowances(s.A), p.sideAllowances(s.B)
	row := AllowanceRow{Place: s.Name, A: strings.Join(a, ", "), B: strings.Join(b, ", ")}
	switch {
	case row.A == row.B && len(a) == 1:
		row.Verdict = "right: the cut edges lie together"
	case len(a) > 1 || len(b) > 1:
		row.Fault, row.Verdict = true, "one side has several widths: give it one"
	default:
		row.Fault, row.Verdict = true, "the cut edges do not lie together: give both sides the same, or mark it for the maker"
	}
	return row
}

// endAllowances compares the allowances of edges that run on across the ends
// of a seam, whole: a hem meets one as wide and turned alike.
func (p Pattern) endAllowances(s Seam) []AllowanceRow {
	var rows []AllowanceRow
	ends := [2][2]Along{{s.A[0], s.B[0]}, {s.A[len(s.A)-1], s.B[len(s.B)-1]}}
	for i, end := range ends {
		last := i == 1
		a, b := p.neighbour(end[0], last != end[0].Reversed), p.neighbour(end[1], last != end[1].Reversed)
		if a == b || !p.continued(a, b) {
			continue
		}
		row := AllowanceRow{Place: a.Edge + " across the " + s.Name, A: p.wholeAllowance(a), B: p.wholeAllowance(b)}
		if row.Verdict = "right: it runs on"; row.A != row.B {
			row.Fault, row.Verdict = true, "the cut line steps at the seam: give both edges the same"
		}
		rows = append(rows, row)
	}
	return rows
}

func (p Pattern) wholeAllowance(a Along) string {
	if piece, err := p.Piece(a.Piece); err == nil {
		if own, err := piece.Allowance(a.Edge); err == nil {
			return own.String()
		}
	}
	return "not said"
}

// sideAllowances are the allowances along one side of a seam, each once.
func (p Pattern) sideAllowances(side []Along) []string {
	var all []string
	for _, along := range side {
		words := "not said"
		if piece, err := p.Piece(along.Piece); err == nil {
			if a, err := piece.Allowance(along.Edge); err == nil {
				words = a.Width.String()
			}
		}
		if len(all) == 0 || all[len(all)-1] != words {
			all = append(all, words)
		}
	}
	return all
}

// foldedLength compares an edge that is turned up with what it lies on. Both
// run parallel to the finished edge, at the width of the turn, so that they
// differ by twice the width for each turn of the edge by a radian.
func (p Piece) foldedLength(a Allowance) AllowanceRow {
	row := AllowanceRow{Place: a.Edge + " of " + p.name}
	parts, err := p.Edge(a.Edge)
	if err != nil {
		return row
	}
	var length Length
	var turn Angle
	for _, e := range parts {
		length += e.Path.Length()
		turn += turnOf(e.Path)
	}
	width := a.strips()[0]
	turned, under := length+width*Length(turn), length-width*Length(turn)
	row.A, row.B = turned.String(), under.String()
	off := turned - under
	row.Fault = math.Abs(float64(off)) > foldedEase*float64(under)
	switch {
	case !row.Fault:
		row.Verdict = "right: it lies flat"
	case off < 0:
		row.Verdict = fmt.Sprintf("%s too short to lie flat: stretch it, or take a narrower hem or a facing", -off)
	default:
		row.Verdict = fmt.Sprintf("%s too long to lie flat: ease it in, or take a narrower hem or a facing", off)
	}
	return row
}

// turnOf is by how much a path turns left from its start to its end.
func turnOf(path Path) Angle {
	const steps = 64
	var turn Angle
	for i := range steps {
		a, b := path.Length()*Length(i)/steps, path.Length()*Length(i+1)/steps
		turn += path.TangentAt(a).AngleTo(path.TangentAt(b))
	}
	return turn
}

// Rows returns the seams, then the folded back edges.
func (t AllowanceTable) Rows() []AllowanceRow { return append([]AllowanceRow(nil), t.rows...) }

// OK reports whether all that lies together fits.
func (t AllowanceTable) OK() bool { return len(t.Faults()) == 0 }

// Faults returns the rows that do not fit.
func (t AllowanceTable) Faults() []AllowanceRow {
	var out []AllowanceRow
	for _, r := range t.rows {
		if r.Fault {
			out = append(out, r)
		}
	}
	return out
}

// Table returns the comparison as rows of text.
func (t AllowanceTable) Table() Table {
	out := Table{
		Title:   "Allowances that meet, " + t.pattern,
		Columns: []Column{{Head: "Where"}, {Head: "One side, or turned edge"}, {Head: "Other side, or under it"}, {Head: "Verdict"}},
		Notes:   []string{"A turned edge lies flat within 2 % of what it lies on (common practice, no source)."},
	}
	for _, r := range t.rows {
		out.Rows = append(out.Rows, []string{r.Place, r.A, r.B, r.Verdict})
	}
	return out
}

// HTML returns the comparison as a table.
func (t AllowanceTable) HTML() string { return t.Table().HTML() }

// Markdown returns the comparison as a table of pipes.
func (t AllowanceTable) Markdown() string { return t.Table().Markdown() }

// String returns the comparison as text in columns.
func (t AllowanceTable) String() string { return t.Table().String() }
