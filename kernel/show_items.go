package kernel

import (
	"fmt"
	"html"
	"reflect"
	"slices"
	"strings"
	"unicode/utf8"
)

// maxRows limits what a slice shows; the text says how many there are.
const maxRows = 200

// items shows a slice by its elements: one below another when they have forms
// of their own, as a table when they are plain structs. A plain struct by
// itself is a table of its fields.
func (s *shower) items(v any) {
	if names, values := fieldsOf(v); len(names) > 0 {
		t := tableOfFields(names, values)
		s.bundle[mimePlain], s.bundle[mimeHTML] = t.text(), t.html()
		return
	}
	shown, n := itemsOf(v, maxRows)
	switch t, plain := tableOf(shown); {
	case slices.ContainsFunc(shown, isRich):
		b := together(shown)
		s.bundle[mimePlain], s.bundle[mimeHTML] = b[mimePlain].(string)+more(n), b[mimeHTML].(string)+more(n)
	case plain:
		s.bundle[mimePlain], s.bundle[mimeHTML] = t.text()+more(n), t.html()+more(n)
	}
}

// An evaluator's value may stand for a slice or a struct of a type that exists
// in cells only. It tells its parts by these methods.
type (
	hasItems interface {
		Items(limit int) (first []any, n int)
	}
	hasFields interface {
		Fields() (names []string, values []any)
	}
)

// itemsOf returns the first elements of a slice or an array and how many there
// are; none of another value.
func itemsOf(v any, limit int) (first []any, n int) {
	if v, ok := v.(hasItems); ok {
		return v.Items(limit)
	}
	r := reflect.ValueOf(v)
	if r.Kind() != reflect.Slice && r.Kind() != reflect.Array {
		return nil, 0
	}
	first = make([]any, min(r.Len(), limit))
	for i := range first {
		first[i] = r.Index(i).Interface()
	}
	return first, r.Len()
}

// fieldsOf returns the exported fields of a struct. One that says itself how
// it is written is not taken apart.
func fieldsOf(v any) (names []string, values []any) {
	switch v := v.(type) {
	case fmt.Stringer, error:
		return nil, nil
	case hasFields:
		return v.Fields()
	}
	r := reflect.ValueOf(v)
	if r.Kind() != reflect.Struct {
		return nil, nil
	}
	for f, value := range r.Fields() {
		if f.IsExported() {
			names, values = append(names, f.Name), append(values, value.Interface())
		}
	}
	return names, values
}

// tableOf makes a table of structs of one type; ok is false for other items.
func tableOf(items []any) (t textTable, ok bool) {
	for _, item := range items {
		names, values := fieldsOf(item)
		if len(names) == 0 || t.heading != nil && !slices.Equal(names, t.heading) {
			return textTable{}, false
		}
		if t.heading == nil {
			t.heading, t.right = names, make([]bool, len(names))
			for i, v := range values {
				t.right[i] = isNumber(v)
			}
		}
		row := make([]string, len(values))
		for i, v := range values {
			row[i] = plainText(v)
		}
		t.rows = append(t.rows, row)
	}
	return t, len(items) > 0
}

func tableOfFields(names []string, values []any) textTable {
	t := textTable{heading: []string{"Field", "Value"}, right: []bool{false, true}}
	for i, name := range names {
		t.rows = append(t.rows, []string{name, plainText(values[i])})
		t.right[1] = t.right[1] && isNumber(values[i])
	}
	return t
}

func more(n int) string {
	if n <= maxRows {
		return ""
	}
	return fmt.Sprintf("\n… and %d more", n-maxRows)
}

// isNumber reports whether a column is set to the right.
func isNumber(v any) bool {
	switch reflect.ValueOf(v).Kind() {
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
