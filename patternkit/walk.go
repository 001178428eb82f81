package patternkit

import (
	"fmt"
	"slices"
	"strings"
)

// walkTolerance is how far a seam may miss its intended ease and still be
// called right.
const walkTolerance = 0.5 * MM

// A SeamTable is a pattern with every seam walked: one side laid along the
// other from end to end, and what was found.
type SeamTable struct {
	pattern string
	rows    []SeamRow
}

// A SeamRow is what walking one seam found. Lengths are with darts closed.
type SeamRow struct {
	Seam             string
	SideA, SideB     string // the edges, in words
	LengthA, LengthB Length
	Difference       Length // LengthA - LengthB
	Ease             Length // the difference intended
	Fault            bool   // off by more than 0.5 mm, or a notch out of place
	Verdict          string
	Notches          []NotchRow

	gathered string // how much, "" where the ease is none or little
}

// A NotchRow is a notch on a seam and where its partner is.
type NotchRow struct {
	Notch    string
	AtA, AtB Length // from the start of the seam; where OnA and OnB say so
	OnA, OnB bool
	Eased    Length // ease taken between the mark before and this one
	Shared   bool   // the seam says how much is meant there
	Meant    Length // the ease that it says
	Fault    bool
	Verdict  string
}

// Walk measures both sides of every seam and pairs their notches by name.
// A seam off its intended ease by more than 0.5 mm is a fault; so is a notch
// whose partner would have the ease drawn in the wrong direction or, where the
// seam shares its ease out, a stretch between two notches that takes another
// share. An edge is called gathered, not eased, where it takes in an inch or
// more and that is more than a tenth, or a quarter however short it is.
func (p Pattern) Walk() SeamTable {
	t := SeamTable{pattern: p.name}
	for _, s := range p.seams {
		t.rows = append(t.rows, p.walk(s))
	}
	return t
}

func (p Pattern) walk(s Seam) SeamRow {
	a, b := p.side(s, s.A), p.side(s, s.B)
	r := SeamRow{
		Seam: s.Name, SideA: a.words, SideB: b.words,
		LengthA: a.length, LengthB: b.length,
		Difference: a.length - b.length, Ease: s.Ease,
	}
	r.Verdict, r.Fault = lengthVerdict(r.Difference, s.Ease)
	r.Notches = pairNotches(a, b, s.Ease)
	r.judgeShares(s.Shares)
	for _, n := range r.Notches {
		if n.Fault && !r.Fault {
			r.Fault, r.Verdict = true, "FAULT: a notch is out of place"
		}
	}
	r.judgeGathers()
	return r
}

func lengthVerdict(difference, ease Length) (string, bool) {
	off := difference - ease
	switch {
	case off > walkTolerance:
		return fmt.Sprintf("FAULT: A is %s cm too long", inCM(off)), true
	case off < -walkTolerance:
		return fmt.Sprintf("FAULT: A is %s cm too short", inCM(-off)), true
	case ease > walkTolerance:
		return "meets, A eased in", false
	case ease < -walkTolerance:
		return "meets, B eased in", false
	}
	return "meets", false
}

// Rows returns what was found, seam by seam.
func (t SeamTable) Rows() []SeamRow { return append([]SeamRow(nil), t.rows...) }

// OK reports whether every seam meets.
func (t SeamTable) OK() bool { return len(t.Faults()) == 0 }

// Faults returns the seams that do not meet.
func (t SeamTable) Faults() []SeamRow {
	var out []SeamRow
	for _, r := range t.rows {
		if r.Fault {
			out = append(out, r)
		}
	}
	return out
}

// Table returns the walk as rows of text: a row for each seam and, under it,
// one for each of its notches.
func (t SeamTable) Table() Table {
	out := Table{
		Title: "Seams of " + t.pattern,
		Columns: []Column{
			{Head: "Seam"}, {Head: "Side A"}, {Head: "A (cm)", Number: true},
			{Head: "Side B"}, {Head: "B (cm)", Number: true},
			{Head: "A − B (cm)", Number: true}, {Head: "Ease meant (cm)", Number: true}, {Head: "Verdict"},
		},
		Notes: []string{t.summary() + t.howToRead()},
	}
	for _, r := range t.rows {
		out.Rows = append(out.Rows, []string{r.Seam, r.SideA, inCM(r.LengthA), r.SideB, inCM(r.LengthB),
			signedCM(r.Difference), signedCM(r.Ease), r.Verdict})
		for _, n := range r.Notches {
			out.Rows = append(out.Rows, n.cells())
		}
	}
	return out
}

func (n NotchRow) cells() []string {
	row := []string{"· notch " + n.Notch, "", "", "", "", "", "", n.Verdict}
	if n.OnA {
		row[2] = inCM(n.AtA)
	}
	if n.OnB {
		row[4] = inCM(n.AtB)
	}
	if n.OnA && n.OnB {
		row[5] = signedCM(n.AtA - n.AtB)
	}
	if n.Shared {
		row[6] = signedCM(n.Meant)
	}
	return row
}

func (t SeamTable) summary() string {
	if len(t.rows) == 0 {
		return "No seams are named."
	}
	faults := t.Faults()
	if len(faults) == 0 {
		return fmt.Sprintf("Every seam meets within %.1f mm of its intended ease, darts closed.", walkTolerance.MM())
	}
	names := make([]string, len(faults))
	for i, f := range faults {
		names[i] = f.Seam
	}
	verb := "do not meet"
	if len(names) == 1 {
		verb = "does not meet"
	}
	return fmt.Sprintf("Of %d seams %d %s: %s.", len(t.rows), len(names), verb, strings.Join(names, ", "))
}

// howToRead says what the rows of notches count from, where there are any.
func (t SeamTable) howToRead() string {
	if !slices.ContainsFunc(t.rows, func(r SeamRow) bool { return len(r.Notches) > 0 }) {
		return ""
	}
	return " At a notch, A, B and A − B count from the start of the seam, and the ease meant from the notch before."
}

// HTML returns the walk as a table.
func (t SeamTable) HTML() string { return t.Table().HTML() }

// Markdown returns the walk as a table of pipes.
func (t SeamTable) Markdown() string { return t.Table().Markdown() }

// String returns the walk as text in columns.
func (t SeamTable) String() string { return t.Table().String() }
