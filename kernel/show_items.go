package kernel

import (
	"fmt"
	"html"
	"reflect"
	"strings"
	"unicode/utf8"
)

// maxRows limits what a slice shows; the text says how many there are.
const maxRows = 200

// items shows a slice by its elements: one below another when they have forms
// of their own, as a table when they are plain structs.
func (s *shower) items(v any) {
	r := reflect.ValueOf(v)
	if r.Kind() != reflect.Slice && r.Kind() != reflect.Array || r.Len() == 0 {
		return
	}
	switch {
	case isRich(reflect.Zero(r.Type().Elem()).Interface()) || isMixed(r):
		s.sequence(r)
	case tableColumns(r.Type().Elem()) != nil:
		s.table(r)
	}
}

// isMixed reports whether r is a slice of an interface type with a value that
// has forms of its own.
func isMixed(r reflect.Value) bool {
	if r.Type().Elem().Kind() != reflect.Interface {
		return false
	}
	for i := range min(r.Len(), maxRows) {
		if isRich(r.Index(i).Interface()) {
			return true
		}
	}
	return false
}

func (s *shower) sequence(r reflect.Value) {
	values := make([]any, min(r.Len(), maxRows))
	for i := range values {
		values[i] = r.Index(i).Interface()
	}
	b := together(values)
	s.bundle[mimePlain], s.bundle[mimeHTML] = b[mimePlain].(string)+more(r.Len()), b[mimeHTML].(string)+more(r.Len())
}

// tableColumns returns the fields that a table of elem shows, or nil when
// elem is no plain struct: one that says itself how it is written is not
// taken apart.
func tableColumns(elem reflect.Type) []reflect.StructField {
	if elem.Kind() != reflect.Struct || elem.Implements(reflect.TypeFor[fmt.Stringer]()) || elem.Implements(reflect.TypeFor[error]()) {
		return nil
	}
	var columns []reflect.StructField
	for f := range elem.Fields() {
		if f.IsExported() {
			columns = append(columns, f)
		}
	}
	return columns
}

// table writes a slice of structs as text in columns and as a real table.
func (s *shower) table(r reflect.Value) {
	columns := tableColumns(r.Type().Elem())
	t := textTable{heading: make([]string, len(columns)), right: make([]bool, len(columns))}
	for i, c := range columns {
		t.heading[i], t.right[i] = c.Name, isNumber(c.Type)
	}
	for i := range min(r.Len(), maxRows) {
		row := make([]string, len(columns))
		for j, c := range columns {
			row[j] = fmt.Sprint(r.Index(i).FieldByIndex(c.Index).Interface())
		}
		t.rows = append(t.rows, row)
	}
	s.bundle[mimePlain] = t.text() + more(r.Len())
	s.bundle[mimeHTML] = t.html() + more(r.Len())
}

func more(n int) string {
	if n <= maxRows {
		return ""
	}
	return fmt.Sprintf("\n… and %d more", n-maxRows)
}

// isNumber reports whether a column is set to the right.
func isNumber(t reflect.Type) bool {
	switch t.Kind() {
	case reflect.Float32, reflect.Float64, reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64,
		reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		return true
	}
	return false
}

type textTable struct {
	heading []string
	right   []bool // by column
	rows    [][]string
}

func (t textTable) text() string {
	widths := make([]int, len(t.heading))
	for _, row := range append([][]string{t.heading}, t.rows...) {
		for i, cell := range row {
			widths[i] = max(widths[i], utf8.RuneCountInString(cell))
		}
	}
	lines := make([]string, 0, len(t.rows)+1)
	for _, row := range append([][]string{t.heading}, t.rows...) {
		cells := make([]string, len(row))
		for i, cell := range row {
			pad := strings.Repeat(" ", widths[i]-utf8.RuneCountInString(cell))
			if t.right[i] {
				cells[i] = pad + cell
			} else {
				cells[i] = cell + pad
			}
		}
		lines = append(lines, strings.TrimRight(strings.Join(cells, "  "), " "))
	}
	return strings.Join(lines, "\n")
}

// html aligns by attribute: a notebook that is not trusted drops styles.
func (t textTable) html() string {
	var b strings.Builder
	b.WriteString("<table>\n<thead><tr>")
	for i, cell := range t.heading {
		fmt.Fprintf(&b, "<th%s>%s</th>", t.align(i), html.EscapeString(cell))
	}
	b.WriteString("</tr></thead>\n<tbody>\n")
	for _, row := range t.rows {
		b.WriteString("<tr>")
		for i, cell := range row {
			fmt.Fprintf(&b, "<td%s>%s</td>", t.align(i), html.EscapeString(cell))
		}
		b.WriteString("</tr>\n")
	}
	b.WriteString("</tbody>\n</table>")
	return b.String()
}

func (t textTable) align(column int) string {
	if t.right[column] {
		return ` align="right"`
	}
	return ` align="left"`
}
