package patternkit

import (
	"fmt"
	"strings"
)

// An EaseTable is a pattern measured against a body, level by level.
type EaseTable struct {
	pattern Pattern
	cloth   Cloth
	rows    []EaseRow
}

// An EaseRow is one level: what the body measures there, what the garment does
// when it is sewn, and the difference.
type EaseRow struct {
	Level         string // "bust", "biceps"
	Body, Garment Length // around
	Ease          Length // Garment - Body
	Low, High     Length // the ease that is usual in woven cloth
	Fault         bool   // smaller than the cloth can be worn
	Verdict       string

	source string
	least  Length       // that can be worn
	at     []truingMark // where it was measured
}

// Ease measures the garment at the levels that its pieces have and the body
// too: bust, waist, hip, biceps, elbow, wrist, thigh, knee. A piece is measured
// along its internal line "bust line", "waist line", "hip line", "biceps line",
// "elbow line", "wrist line", "thigh line" or "knee line", out to its edges, or
// along an edge "waist" or "hip"; a sleeve that has an elbow line ends at the
// wrist with its "hem". Darts are closed; halves on the fold and pieces cut
// more than once are counted as often as they are sewn; linings and facings
// are not counted. Usual ease is of woven cloth (the table names its sources; elbow,
// wrist and knee are common practice, no source). Only a garment too small to be worn is
// a fault.
//
// It is an error where nothing can be compared, and where the stretch is none.
func (p Pattern) Ease(b Body, cloth Cloth) (EaseTable, error) {
	if err := cloth.check(); err != nil {
		return EaseTable{}, fmt.Errorf("ease of %q: %w", p.name, err)
	}
	t := EaseTable{pattern: p, cloth: cloth}
	var missing, wanted []string
	for _, level := range girthLevels {
		garment, at := p.girthAt(level)
		wanted = append(wanted, level.lines...)
		if len(at) == 0 {
			continue
		}
		body := Length(b.field(fieldIndex(level.field)))
		if body == 0 {
			missing = append(missing, level.field)
			continue
		}
		row := easeRow(level, body, garment, cloth)
		row.at = at
		t.rows = append(t.rows, row)
	}
	switch {
	case len(t.rows) > 0:
		return t, nil
	case len(missing) > 0:
		return EaseTable{}, fmt.Errorf("ease of %q: the body has no %s, measure it or call Estimated", p.name, strings.Join(missing, ", "))
	}
	return EaseTable{}, fmt.Errorf("ease of %q: no piece has a level to be measured at, want a line or an edge named one of %s", p.name, quoted(wanted))
}

func easeRow(level girthLevel, body, garment Length, cloth Cloth) EaseRow {
	r := EaseRow{Level: level.name, Body: body, Garment: garment, Ease: garment - body,
		Low: level.low, High: level.high, source: level.source, least: cloth.toWear(body)}
	short := r.least - garment
	switch {
	case short > walkTolerance:
		r.Fault = true
		r.Verdict = fmt.Sprintf("FAULT: too small, add %s cm around", inCM(short))
	case r.Ease < 0:
		r.Verdict = fmt.Sprintf("stretched by %.0f %% when it is worn", 100*float64(body/garment-1))
	case r.Ease < level.low:
		r.Verdict = fmt.Sprintf("close: %s cm less than usual", inCM(level.low-r.Ease))
	case r.Ease > level.high:
		r.Verdict = fmt.Sprintf("loose: %s cm more than usual", inCM(r.Ease-level.high))
	default:
		r.Verdict = "as is usual"
	}
	return r
}

// Rows returns the levels from the bust down, then those of the limbs.
func (t EaseTable) Rows() []EaseRow { return append([]EaseRow(nil), t.rows...) }

// Row returns the named level: "bust", "waist".
func (t EaseTable) Row(level string) (EaseRow, error) {
	names := make([]string, len(t.rows))
	for i, r := range t.rows {
		if r.Level == level {
			return r, nil
		}
		names[i] = r.Level
	}
	return EaseRow{}, fmt.Errorf("the ease of %q has no level %q, it has %s", t.pattern.name, level, quoted(names))
}

// OK reports whether the garment can be worn at every level.
func (t EaseTable) OK() bool { return len(t.Faults()) == 0 }

// Faults returns the levels where the garment is too small.
func (t EaseTable) Faults() []EaseRow {
	var out []EaseRow
	for _, r := range t.rows {
		if r.Fault {
			out = append(out, r)
		}
	}
	return out
}

// Table returns the levels as rows of text.
func (t EaseTable) Table() Table {
	out := Table{
		Title: "Ease of " + t.pattern.name,
		Columns: []Column{{Head: "Level"}, {Head: "Body (cm)", Number: true}, {Head: "Garment (cm)", Number: true},
			{Head: "Ease (cm)", Number: true}, {Head: "Usual (cm)", Number: true}, {Head: "Verdict"}, {Head: "Usual from"}},
		Notes: []string{"Garment: around, sewn, darts closed, unstretched; " + t.cloth.words() + "."},
	}
	for _, r := range t.rows {
		out.Rows = append(out.Rows, []string{r.Level, inCM(r.Body), inCM(r.Garment), signedCM(r.Ease),
			fmt.Sprintf("%.1f to %.1f", r.Low.CM(), r.High.CM()), r.Verdict, r.source})
	}
	return out
}

// HTML returns the ease as a table.
func (t EaseTable) HTML() string { return t.Table().HTML() }

// Markdown returns the ease as a table of pipes.
func (t EaseTable) Markdown() string { return t.Table().Markdown() }

// String returns the ease as text in columns.
func (t EaseTable) String() string { return t.Table().String() }
