package patternkit

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"regexp"
	"strings"
)

// CSVFile returns the rules of the named points as a CSV file (RFC 4180) with a
// row for each size break: piece, point, from, to, x (mm), y (mm).
func (t RuleTable) CSVFile() ([]byte, error) {
	var file bytes.Buffer
	w := csv.NewWriter(&file)
	rows := [][]string{{"piece", "point", "from", "to", "x (mm)", "y (mm)"}}
	for _, r := range t.namedRules() {
		for i, s := range r.Steps {
			rows = append(rows, []string{r.Piece, r.Point, t.sizes[i], t.sizes[i+1], csvNumber(s.X), csvNumber(s.Y)})
		}
	}
	if err := w.WriteAll(rows); err != nil {
		return nil, fmt.Errorf("grade rules as CSV: %w", err)
	}
	return file.Bytes(), nil
}

// ExchangeFile returns the rules of the named points as a grade rule table in
// text, modelled on ASTM D6673-10 from memory and not checked against its
// text: for each rule, numbered in the order of the table, how far its point
// lies in each size from where it lies in the base size, in millimetres to
// three decimals. The standard leaves it open, so far as is known here, whether
// such numbers run from the base size or from size to size: tell the reader of
// the file. Names of sizes must hold no space.
func (t RuleTable) ExchangeFile(name string) ([]byte, error) {
	if strings.TrimSpace(name) == "" || strings.ContainsAny(name, "\r\n") {
		return nil, fmt.Errorf("grade rule table is named %q, want a name in one line", name)
	}
	kind := "NUMERIC SIZES"
	for _, s := range t.sizes {
		if strings.ContainsAny(s, " \t\r\n") {
			return nil, fmt.Errorf("grade rule table %q: size %q has a space, which parts sizes from each other in this file; want it without", name, s)
		}
		if !wholeNumber.MatchString(s) {
			kind = "ALPHA SIZES"
		}
	}
	rules := t.namedRules()
	if len(rules) == 0 {
		return nil, fmt.Errorf("grade rule table %q has no rules of named points, want at least one", name)
	}
	var out strings.Builder
	fmt.Fprintf(&out, "UNITS: METRIC\nGRADE RULE TABLE: %s\n%s\nSIZE LIST: %s\nSAMPLE SIZE: %s\n", name, kind, strings.Join(t.sizes, " "), t.Base())
	for i, r := range rules {
		fmt.Fprintf(&out, "RULE: DELTA %d\n", i+1)
		for size := range t.sizes {
			d := t.pointFrom(r.Steps, size)
			fmt.Fprintf(&out, " %s,%s", threeDecimals(d.X), threeDecimals(d.Y))
		}
		out.WriteByte('\n')
	}
	out.WriteString("END\n")
	return []byte(out.String()), nil
}

var wholeNumber = regexp.MustCompile(`^[0-9]+$`)

// threeDecimals writes a length in millimetres, zero without a sign.
func threeDecimals(l Length) string {
	s := fmt.Sprintf("%.3f", l.MM())
	if s == "-0.000" {
		return "0.000"
	}
	return s
}

// namedRules are the rules without those of handles and joints.
func (t RuleTable) namedRules() []GradeRule {
	var rules []GradeRule
	for _, r := range t.rules {
		if !t.handles[gradeKey{r.Piece, r.Point}] {
			rules = append(rules, r)
		}
	}
	return rules
}
