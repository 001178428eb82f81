package patternkit

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
)

// rulesMostSizes is far more than any range has.
const rulesMostSizes = 200

// RulesFromCSV reads grade rules as RuleTable.CSVFile writes them: a row for
// each size break of each point, with the columns piece, point, from, to, and x
// and y with their unit in brackets, "x (mm)", "x (cm)" or "x (in)". Columns
// may stand in any order, and so may points; the breaks of one point follow
// each other from the first size to the last. The file says neither the base
// size, which is therefore asked for, nor what stands still. An error tells
// line and column: one that is missing, a number that is none or above 1 m, a
// break out of turn or missing, more than 200 sizes, 100,000 rows or 16 MiB.
func RulesFromCSV(r io.Reader, base string) (RuleTable, error) {
	t, err := readRules(r, base)
	if err != nil {
		return RuleTable{}, fmt.Errorf("grade rules in CSV%w", err)
	}
	return t, nil
}

// A csvRule is the rule of a point as its rows are read.
type csvRule struct {
	GradeRule
	sizes []string
	line  int // of its last row
}

// readRules begins its errors with the place, or with a colon.
func readRules(r io.Reader, base string) (RuleTable, error) {
	rows := csv.NewReader(&csvLimited{r: r, left: csvMostBytes})
	rows.TrimLeadingSpace = true
	head, err := rows.Read()
	if errors.Is(err, io.EOF) {
		err = errors.New("it is empty")
	}
	if err != nil {
		return RuleTable{}, fmt.Errorf(": %w", err)
	}
	columns, err := readCSVHead(head, map[string]string{"piece": "piece", "point": "point", "from": "from", "to": "to"})
	if want := []string{"piece", "point", "from", "to", "x", "y"}; err == nil && !columns.has(want...) {
		err = fmt.Errorf("the columns are %s, want piece, point, from, to, x (mm) and y (mm)", quoted(head))
	}
	if err != nil {
		return RuleTable{}, fmt.Errorf(", line 1: %w", err)
	}
	in := ruleRows{head: head, columns: columns, at: map[gradeKey]int{}}
	for n := 1; ; n++ {
		row, err := rows.Read()
		if errors.Is(err, io.EOF) {
			return in.table(base)
		}
		if err != nil {
			return RuleTable{}, fmt.Errorf(": %w", err)
		}
		line, _ := rows.FieldPos(0)
		if n > csvMostRows {
			return RuleTable{}, fmt.Errorf(", line %d: more than %d rows", line, csvMostRows)
		}
		if err := in.add(row, line); err != nil {
			return RuleTable{}, fmt.Errorf(", line %d, %w", line, err)
		}
	}
}

// ruleRows gathers the rows of a file by the points that they are of.
type ruleRows struct {
	head    []string
	columns csvHead
	rules   []csvRule
	at      map[gradeKey]int
}

// add takes one row; its errors begin with the column.
func (in *ruleRows) add(row []string, line int) error {
	text := func(name string) string { return row[in.columns.columns[name]] }
	for _, name := range []string{"piece", "point", "from", "to"} {
		if strings.TrimSpace(text(name)) == "" {
			return fmt.Errorf("column %q: it is empty, want a name", name)
		}
	}
	var step Point
	for name, to := range map[string]*Length{"x": &step.X, "y": &step.Y} {
		column := in.columns.measures[name]
		v, err := csvLength(row[column.column], column.unit)
		if err == nil && v.Abs() > 1*M {
			err = fmt.Errorf("%s is too far for a size break, want less than 1 m", v)
		}
		if err != nil {
			return fmt.Errorf("column %q: %w", in.head[column.column], err)
		}
		*to = v
	}
	key := gradeKey{text("piece"), text("point")}
	i, known := in.at[key]
	if !known {
		i = len(in.rules)
		in.at[key] = i
		in.rules = append(in.rules, csvRule{GradeRule: GradeRule{Piece: key.piece, Point: key.name}, sizes: []string{text("from")}})
	}
	rule := &in.rules[i]
	if last := rule.sizes[len(rule.sizes)-1]; text("from") != last {
		return fmt.Errorf("column %q: %q of piece %q goes on from %q, want %q, up to which the row before has it", "from", key.name, key.piece, text("from"), last)
	}
	if slices.Contains(rule.sizes, text("to")) {
		return fmt.Errorf("column %q: %q of piece %q comes to size %q again, want each once", "to", key.name, key.piece, text("to"))
	}
	if len(rule.sizes) == rulesMostSizes {
		return fmt.Errorf("column %q: more than %d sizes", "to", rulesMostSizes)
	}
	rule.sizes, rule.Steps, rule.line = append(rule.sizes, text("to")), append(rule.Steps, step), line
	return nil
}

// table makes the table of what was read.
func (in *ruleRows) table(base string) (RuleTable, error) {
	if len(in.rules) == 0 {
		return RuleTable{}, errors.New(": there is a heading and no line under it")
	}
	rules := make([]GradeRule, len(in.rules))
	sizes := in.rules[0].sizes
	for i, r := range in.rules {
		if !slices.Equal(r.sizes, sizes) {
			return RuleTable{}, fmt.Errorf(", line %d, column %q: %q of piece %q goes through sizes %s, want those of the first point, %s",
				r.line, "to", r.Point, r.Piece, quoted(r.sizes), quoted(sizes))
		}
		rules[i] = r.GradeRule
	}
	t, err := NewRuleTable(sizes, base, rules...)
	if err != nil {
		return RuleTable{}, fmt.Errorf(": %w", err)
	}
	return t, nil
}
