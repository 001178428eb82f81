package patternkit

import (
	"fmt"
	"math"
	"strings"
)

// How far a corner may be off and still be cut as it is (common practice, no
// source). At a fold half of it shows, because the cloth mirrors it.
const (
	runOnTolerance  = 3 * Degree
	foldTolerance   = 1.5 * Degree
	cornerRunsOn    = 180 * Degree
	cornerIsSquare  = 90 * Degree
	cornerTableNote = "An edge runs on within 3° across a seam or a closed dart and stands square within 1.5° at a fold (common practice, no source)."
)

// A CornerTable is a pattern with every corner measured where an edge goes on
// across a seam, a closed dart or a fold.
type CornerTable struct {
	pattern string
	rows    []CornerRow
}

// A CornerRow is one corner: the angle of the cloth there, once it is sewn.
type CornerRow struct {
	Place   string // "neckline across the shoulder"
	Pieces  string // "back and front"
	Angle   Angle  // measured through the cloth
	Wanted  Angle  // 180° where the edge runs on, 90° at a fold
	Fault   bool
	Verdict string

	at []truingMark // where the corner is, on each of its pieces
}

// Corners measures the corners of a pattern. Where two edges end in the same
// end of a seam and are one edge once it is sewn, because neither is sewn, or
// both lie on one side of another seam, they must run on: 180° within 3°. So
// must the parts of an edge across a closed dart. An edge at a fold must be
// square, 90° within 1.5°. Both limits are common practice, no source. The seam
// of a piece and its facing or lining has no corners: one is turned in behind
// the other.
func (p Pattern) Corners() CornerTable {
	t := CornerTable{pattern: p.name}
	for _, s := range p.seams {
		if !p.neatens(s) {
			t.rows = append(t.rows, p.seamCorners(s)...)
		}
	}
	for _, piece := range p.pieces {
		t.rows = append(t.rows, piece.dartCorners()...)
		t.rows = append(t.rows, piece.foldCorners()...)
	}
	return t
}

// seamCorners measures both ends of a seam.
func (p Pattern) seamCorners(s Seam) []CornerRow {
	var rows []CornerRow
	ends := [2][2]Along{{s.A[0], s.B[0]}, {s.A[len(s.A)-1], s.B[len(s.B)-1]}}
	for i, end := range ends {
		last := i == 1
		a, b := end[0], end[1]
		nextA, nextB := p.neighbour(a, last != a.Reversed), p.neighbour(b, last != b.Reversed)
		if !p.continued(nextA, nextB) {
			continue
		}
		angle := p.endCorner(a, last != a.Reversed) + p.endCorner(b, last != b.Reversed)
		pieces, edge := a.Piece, nextA.Edge
		if b.Piece != a.Piece {
			pieces += " and " + b.Piece
		}
		if nextB.Edge != nextA.Edge {
			edge += " to " + nextB.Edge
		}
		row := cornerRow(edge+" across the "+s.Name, pieces, angle, cornerRunsOn, runOnTolerance)
		rows = append(rows, row.marked(p.endMark(a, last != a.Reversed), p.endMark(b, last != b.Reversed)))
	}
	return rows
}

// continued reports whether two edges are one edge once the seam between them
// is sewn.
func (p Pattern) continued(a, b Along) bool {
	if a.Piece == b.Piece && a.Edge == b.Edge {
		return true
	}
	free := true
	for _, s := range p.seams {
		for _, side := range [][]Along{s.A, s.B} {
			onA, onB := sideHas(side, a), sideHas(side, b)
			if onA && onB {
				return true
			}
			free = free && !onA && !onB
		}
	}
	return free
}

func sideHas(side []Along, edge Along) bool {
	for _, a := range side {
		if a.Piece == edge.Piece && a.Edge == edge.Edge {
			return true
		}
	}
	return false
}

// endCorner is the angle of the cloth at the end of a trade edge in outline
// order, or at its start. A dart that begins there counts as closed.
func (p Pattern) endCorner(a Along, atEnd bool) Angle {
	piece, _ := p.Piece(a.Piece)
	parts, _ := piece.run(a.Edge)
	n := len(piece.edges)
	before, after := (parts[0]+n-1)%n, parts[0]
	beside := before
	if atEnd {
		before = parts[len(parts)-1]
		after = (before + 1) % n
		beside = after
	}
	for _, d := range piece.darts {
		if d.Mouth == piece.edges[beside].Name {
			return acrossDart(piece, d)
		}
	}
	return corner(piece.edges[before], piece.edges[after])
}

// dartCorners measures each edge that goes on beyond a dart.
func (p Piece) dartCorners() []CornerRow {
	var rows []CornerRow
	n := len(p.edges)
	for _, d := range p.darts {
		for i, e := range p.edges {
			before, after := p.edges[(i+n-1)%n].Name, p.edges[(i+1)%n].Name
			if e.Name == d.Mouth && before == after {
				row := cornerRow(before+" across the "+d.Name+", closed", p.name, acrossDart(p, d), cornerRunsOn, runOnTolerance)
				rows = append(rows, row.marked(truingMark{piece: p.name, at: e.Path.Start()}, truingMark{piece: p.name, at: e.Path.End()}))
			}
		}
	}
	return rows
}

// foldCorners measures both ends of the edge on the fold.
func (p Piece) foldCorners() []CornerRow {
	var rows []CornerRow
	n := len(p.edges)
	for i, e := range p.edges {
		if e.Name != p.fold {
			continue
		}
		before, after := p.edges[(i+n-1)%n], p.edges[(i+1)%n]
		rows = append(rows,
			cornerRow(before.Name+" at the fold "+e.Name, p.name, corner(before, e), cornerIsSquare, foldTolerance).
				marked(truingMark{piece: p.name, at: e.Path.Start()}),
			cornerRow(after.Name+" at the fold "+e.Name, p.name, corner(e, after), cornerIsSquare, foldTolerance).
				marked(truingMark{piece: p.name, at: e.Path.End()}))
	}
	return rows
}

func cornerRow(where, pieces string, got, wanted, tolerance Angle) CornerRow {
	r := CornerRow{Place: where, Pieces: pieces, Angle: got, Wanted: wanted, Verdict: "runs on"}
	if wanted == cornerIsSquare {
		r.Verdict = "square"
	}
	off := (got - wanted).Degrees()
	if math.Abs(off) <= tolerance.Degrees() {
		return r
	}
	r.Fault = true
	r.Verdict = fmt.Sprintf("FAULT: juts out, %.1f° under", -off)
	if off > 0 {
		r.Verdict = fmt.Sprintf("FAULT: dips in, %.1f° over", off)
	}
	return r
}

// Rows returns the corners: those at seams, then those of each piece.
func (t CornerTable) Rows() []CornerRow { return append([]CornerRow(nil), t.rows...) }

// OK reports whether every corner is as wanted.
func (t CornerTable) OK() bool { return len(t.Faults()) == 0 }

// Faults returns the corners that are not as wanted.
func (t CornerTable) Faults() []CornerRow {
	var out []CornerRow
	for _, r := range t.rows {
		if r.Fault {
			out = append(out, r)
		}
	}
	return out
}

// Table returns the corners as rows of text.
func (t CornerTable) Table() Table {
	out := Table{
		Title: "Corners of " + t.pattern,
		Columns: []Column{{Head: "Edge"}, {Head: "Pieces"}, {Head: "Angle (°)", Number: true},
			{Head: "Wanted (°)", Number: true}, {Head: "Verdict"}},
		Notes: []string{t.summary()},
	}
	for _, r := range t.rows {
		out.Rows = append(out.Rows, []string{r.Place, r.Pieces, fmt.Sprintf("%.1f", r.Angle.Degrees()),
			fmt.Sprintf("%.0f", r.Wanted.Degrees()), r.Verdict})
	}
	return out
}

func (t CornerTable) summary() string {
	if len(t.rows) == 0 {
		return "No edge goes on across a seam, a dart or a fold."
	}
	var faults []string
	for _, f := range t.Faults() {
		faults = append(faults, f.Place+" ("+f.Pieces+")")
	}
	found := "Every corner is right."
	if len(faults) > 0 {
		found = fmt.Sprintf("Of %d corners %d to be trued: %s.", len(t.rows), len(faults), strings.Join(faults, "; "))
	}
	return found + " " + cornerTableNote
}

// HTML returns the corners as a table.
func (t CornerTable) HTML() string { return t.Table().HTML() }

// Markdown returns the corners as a table of pipes.
func (t CornerTable) Markdown() string { return t.Table().Markdown() }

// String returns the corners as text in columns.
func (t CornerTable) String() string { return t.Table().String() }
