package patternkit

import "fmt"

// Table lists the measurements that the body has: whether each was given or
// estimated, with its ± (one standard deviation) and where it is from.
func (b Body) Table() Table {
	t := Table{
		Title: "Body",
		Columns: []Column{{Head: "measurement"}, {Head: "cm", Number: true}, {Head: "± cm", Number: true},
			{Head: "given or estimated"}, {Head: "from"}},
	}
	for i, f := range bodyFields {
		if v := Length(b.field(i)); v != 0 {
			e, estimated := b.estimate(i)
			t.Rows = append(t.Rows, bodyRow(f.words, oneDecimal(v.CM()), oneDecimal(e.PlusMinus.CM()), e.From, estimated))
		}
	}
	if s := b.ShoulderSlope; s != 0 {
		e, estimated := b.estimate(shoulderSlope)
		t.Rows = append(t.Rows, bodyRow("shoulder slope, in degrees", oneDecimal(s.Degrees()), oneDecimal(e.AnglePlusMinus.Degrees()), e.From, estimated))
	}
	if b.notes != nil {
		t.Notes = []string{fmt.Sprintf("ANSUR II: %d women measured in 2012. ANSUR 1988: published means of 2208 women (Natick/TR-89/044).", measuredWomen),
			"± is one standard deviation: of three women, two are nearer to the estimate. Measure what matters to the fit."}
	}
	return t
}

func bodyRow(words, value, plus, from string, estimated bool) []string {
	switch {
	case !estimated:
		return []string{words, value, "", "given", ""}
	case plus == "0.0":
		plus = "unknown"
	}
	return []string{words, value, plus, "estimated", from}
}

func oneDecimal(v float64) string { return fmt.Sprintf("%.1f", v) }

// HTML returns Table as markup.
func (b Body) HTML() string { return b.Table().HTML() }

// Markdown returns Table in the pipe notation.
func (b Body) Markdown() string { return b.Table().Markdown() }

// String returns Table as aligned text.
func (b Body) String() string { return b.Table().String() }
