package patternkit

import (
	"fmt"
	"strings"
)

// passClearance is what an opening of unstretching cloth must be wider than
// what passes it: 2 to 3 cm (common practice, no source).
const passClearance = 2 * CM

// toPass is the least ring of the cloth that a girth passes: 2 cm more than
// the girth where the cloth does not stretch; where it does, a ring that
// reaches the girth when it is drawn out by 0.8 of the stretch, the clearance
// giving way as the stretch takes its place.
func (c Cloth) toPass(girth Length) Length {
	k := c.give()
	return max(girth/Length(1+k), (girth+passClearance)/Length(1+2*k))
}

// An Opening is a ring of edges of the sewn garment and the girth that must
// pass it, where a designer knows better than the names of the edges say: a
// waist that opens at a placket, a band.
type Opening struct {
	Name  string
	Edges []Along
	Once  bool   // the edges close by themselves, as around a limb; else halves count twice
	Over  Length // the girth that must pass
}

// A PullOnTable is a pattern with every ring held against what must pass it
// when the garment is put on.
type PullOnTable struct {
	pattern   Pattern
	cloth     Cloth
	rows      []PullOnRow
	estimated []Estimate
}

// A PullOnRow is one ring of the garment. What goes around the trunk may be
// put on over the head or from below; the other rings have one way, which
// stands in OverHead.
type PullOnRow struct {
	Ring            string
	Girth           Length // around, unstretched; 0 where it opens
	OverHead, Below Passage
	Trunk           bool
	Fault           bool
	Verdict         string

	judged Passage      // the way by which it was judged
	how    string       // that way in words: " from below"
	at     []truingMark // its edges or lines
}

// A Passage is the widest of what must pass a ring one way.
type Passage struct {
	Over   string // "shoulders"; empty where there is no such way
	Widest Length // the girth that passes
	Least  Length // the least ring that it passes
	Short  Length // what the ring lacks, 0 for none
}

// PullOn holds the rings of a garment against the girths that must pass them.
// The openings are the edges that no seam takes, followed from piece to piece;
// the bust, the waist and the hip of the garment are rings too, unless it opens
// from end to end. By the names
// of their edges and lines it is known where they sit: "neck…", "top…", "bust
// line", "waist…", "hip…", "hem"; and a hem of a sleeve or a leg by the lines
// of its piece. Openings of your own come after them, and replace a ring of
// the same name.
//
// Over the head a ring must pass the head and all that lies above the place
// where it sits: shoulders, bust, waist, hip; from below all that lies under
// it. The garment goes on if all its rings pass one way. A sleeve's hem must
// pass the hand, one above the elbow the bent elbow, a leg's hem the heel, an
// armhole the upper arm. Cloth that does not stretch needs 2 cm more than the
// girth; else ring × (1 + 0.8 × stretch) must reach it (common practice, no
// source).
//
// It is an error where the body lacks a girth that is asked for; Estimated
// fills them.
func (p Pattern) PullOn(b Body, cloth Cloth, own ...Opening) (PullOnTable, error) {
	fail := func(err error) (PullOnTable, error) {
		return PullOnTable{}, fmt.Errorf("pull-on of %q: %w", p.name, err)
	}
	if err := cloth.check(); err != nil {
		return fail(err)
	}
	c := pullOnCheck{pattern: p, body: b, cloth: cloth}
	c.openings()
	c.levels()
	if err := c.own(own); err != nil {
		return fail(err)
	}
	if len(c.rows) == 0 {
		return fail(fmt.Errorf("no opening is known, want edges named neckline, top, waist, hip or hem, or an Opening of your own"))
	}
	c.judge()
	if len(c.missing) > 0 {
		return fail(fmt.Errorf("the body has no %s, measure it or call Estimated", strings.Join(c.missing, ", ")))
	}
	return PullOnTable{pattern: p, cloth: cloth, rows: c.rows, estimated: c.estimated}, nil
}

// Rows returns the rings.
func (t PullOnTable) Rows() []PullOnRow { return append([]PullOnRow(nil), t.rows...) }

// Row returns the named ring: "neckline", "waist".
func (t PullOnTable) Row(ring string) (PullOnRow, error) {
	names := make([]string, len(t.rows))
	for i, r := range t.rows {
		if r.Ring == ring {
			return r, nil
		}
		names[i] = r.Ring
	}
	return PullOnRow{}, fmt.Errorf("the pull-on check of %q has no ring %q, it has %s", t.pattern.name, ring, quoted(names))
}

// OK reports whether the garment goes on.
func (t PullOnTable) OK() bool { return len(t.Faults()) == 0 }

// Faults returns the rings that keep the garment from going on.
func (t PullOnTable) Faults() []PullOnRow {
	var out []PullOnRow
	for _, r := range t.rows {
		if r.Fault {
			out = append(out, r)
		}
	}
	return out
}

// Table returns the rings as rows of text.
func (t PullOnTable) Table() Table {
	out := Table{
		Title: "Pull-on of " + t.pattern.name,
		Columns: []Column{{Head: "Ring"}, {Head: "Around (cm)", Number: true},
			{Head: "Passes, over the head"}, {Head: "Needs (cm)", Number: true},
			{Head: "Passes, from below"}, {Head: "Needs (cm)", Number: true}, {Head: "Verdict"}},
		Notes: []string{t.summary(), "Rings are unstretched, of " + t.cloth.words() + ". " + pullOnRule},
	}
	for _, e := range t.estimated {
		out.Notes = append(out.Notes, fmt.Sprintf("%s is estimated, %.1f cm ± %.1f cm: measure it to be sure.",
			bodyFields[fieldIndex(e.Field)].words, e.Value.CM(), e.PlusMinus.CM()))
	}
	for _, r := range t.rows {
		row := []string{r.Ring, inCM(r.Girth), "", "", "", "", r.Verdict}
		if r.Girth == 0 {
			row[1] = "opens"
		}
		row[2], row[3] = r.OverHead.cells()
		row[4], row[5] = r.Below.cells()
		out.Rows = append(out.Rows, row)
	}
	return out
}

func (w Passage) cells() (over, needs string) {
	if w.Over == "" {
		return "", ""
	}
	return fmt.Sprintf("%s, %.1f cm", w.Over, w.Widest.CM()), inCM(w.Least)
}

const pullOnRule = "Without stretch a ring needs 2 cm more than what passes it; with stretch it must reach it at 0.8 of the stretch (common practice, no source)."

// summary says whether the garment goes on and, where it does not, what to
// raise.
func (t PullOnTable) summary() string {
	faults := t.Faults()
	if len(faults) == 0 {
		return t.pattern.name + " goes on" + t.way() + "."
	}
	var raise []string
	for _, f := range faults {
		raise = append(raise, fmt.Sprintf("the %s by %s cm", f.Ring, inCM(f.judged.Short)))
	}
	return t.pattern.name + " does not go on. Widen " + strings.Join(raise, ", ") + ", all around, or let it open there."
}

// way names the ways that a garment which goes on can be put on.
func (t PullOnTable) way() string {
	trunk, over, below := false, true, true
	for _, r := range t.rows {
		if r.Trunk && r.Girth > 0 {
			trunk = true
			over, below = over && r.OverHead.Short == 0, below && r.Below.Short == 0
		}
	}
	switch {
	case !trunk:
		return ""
	case over && below:
		return ", over the head or from below"
	case over:
		return ", over the head"
	}
	return ", from below"
}

// HTML returns the check as a table.
func (t PullOnTable) HTML() string { return t.Table().HTML() }

// Markdown returns the check as a table of pipes.
func (t PullOnTable) Markdown() string { return t.Table().Markdown() }

// String returns the check as text in columns.
func (t PullOnTable) String() string { return t.Table().String() }
