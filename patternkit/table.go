package patternkit

import (
	"fmt"
	"html"
	"strings"
	"unicode/utf8"
)

// A Table is rows of text under headings, shown in a cell as an HTML table, in
// a console as aligned text. Units stand in the headings, so that a column
// holds bare numbers.
type Table struct {
	Title   string
	Columns []Column
	Rows    [][]string // one text per column; missing ones at the end are blank
	Notes   []string   // lines under the table
}

// A Column is a heading of a Table and how what stands under it is set.
type Column struct {
	Head   string
	Number bool // set right, digits under digits
}

// figureSpace is as wide as a digit: padding that keeps numbers aligned in a
// page whose styles have been stripped.
const figureSpace = "\u2007"

// HTML returns the table as markup that needs no style to be read.
func (t Table) HTML() string {
	var b strings.Builder
	b.WriteString("<table>\n")
	if t.Title != "" {
		fmt.Fprintf(&b, "<caption>%s</caption>\n", html.EscapeString(t.Title))
	}
	b.WriteString("<thead><tr>")
	for _, c := range t.Columns {
		fmt.Fprintf(&b, `<th scope="col"%s>%s</th>`, c.align(), html.EscapeString(c.Head))
	}
	b.WriteString("</tr></thead>\n<tbody>\n")
	widths := t.widths()
	for _, row := range t.Rows {
		b.WriteString("<tr>")
		for i, c := range t.Columns {
			b.WriteString(c.cell(i, at(row, i), widths[i]))
		}
		b.WriteString("</tr>\n")
	}
	b.WriteString("</tbody>\n</table>\n")
	for _, n := range t.Notes {
		fmt.Fprintf(&b, "<p>%s</p>\n", html.EscapeString(n))
	}
	return b.String()
}

// align is a style rather than a class: it holds where a style sheet does not
// come along, and is only a nicety where it is stripped.
func (c Column) align() string {
	if c.Number {
		return ` style="text-align:right"`
	}
	return ` style="text-align:left"`
}

func (c Column) cell(i int, text string, width int) string {
	text = html.EscapeString(text)
	if i == 0 {
		return fmt.Sprintf(`<th scope="row"%s>%s</th>`, c.align(), text)
	}
	if c.Number && text != "" {
		text = strings.Repeat(figureSpace, max(0, width-utf8.RuneCountInString(text))) + text
	}
	return fmt.Sprintf(`<td%s>%s</td>`, c.align(), text)
}

// Markdown returns the table in the pipe notation that notebooks and code
// hosts render.
func (t Table) Markdown() string {
	var b strings.Builder
	if t.Title != "" {
		fmt.Fprintf(&b, "**%s**\n\n", markdownText(t.Title))
	}
	b.WriteString("|")
	for _, c := range t.Columns {
		fmt.Fprintf(&b, " %s |", markdownText(c.Head))
	}
	b.WriteString("\n|")
	for _, c := range t.Columns {
		if c.Number {
			b.WriteString("---:|")
		} else {
			b.WriteString(":---|")
		}
	}
	b.WriteString("\n")
	for _, row := range t.Rows {
		b.WriteString("|")
		for i := range t.Columns {
			fmt.Fprintf(&b, " %s |", markdownText(at(row, i)))
		}
		b.WriteString("\n")
	}
	for _, n := range t.Notes {
		fmt.Fprintf(&b, "\n%s\n", markdownText(n))
	}
	return b.String()
}

// markdownText keeps a text from being read as markup, or from ending its cell.
func markdownText(s string) string {
	return strings.NewReplacer(`\`, `\\`, "|", `\|`, "*", `\*`, "_", `\_`, "`", "\\`", "<", "&lt;", "\n", " ").Replace(s)
}

// String returns the table as text in columns.
func (t Table) String() string {
	var b strings.Builder
	if t.Title != "" {
		b.WriteString(t.Title + "\n")
	}
	widths := t.widths()
	heads := make([]string, len(t.Columns))
	rules := make([]string, len(t.Columns))
	for i, c := range t.Columns {
		widths[i] = max(widths[i], utf8.RuneCountInString(c.Head))
		heads[i], rules[i] = c.Head, strings.Repeat("-", widths[i])
	}
	for _, row := range append([][]string{heads, rules}, t.Rows...) {
		b.WriteString(t.line(row, widths) + "\n")
	}
	for _, n := range t.Notes {
		b.WriteString(n + "\n")
	}
	return b.String()
}

func (t Table) line(row []string, widths []int) string {
	var b strings.Builder
	for i, c := range t.Columns {
		text := at(row, i)
		pad := strings.Repeat(" ", max(0, widths[i]-utf8.RuneCountInString(text)))
		if i > 0 {
			b.WriteString("  ")
		}
		if c.Number {
			b.WriteString(pad + text)
		} else {
			b.WriteString(text + pad)
		}
	}
	return strings.TrimRight(b.String(), " ")
}

// widths returns the widest text under each heading, in characters.
func (t Table) widths() []int {
	w := make([]int, len(t.Columns))
	for _, row := range t.Rows {
		for i := range t.Columns {
			w[i] = max(w[i], utf8.RuneCountInString(at(row, i)))
		}
	}
	return w
}

func at(row []string, i int) string {
	if i < len(row) {
		return row[i]
	}
	return ""
}

// inCM is a length as a bare number of centimetres, to a tenth of a millimetre.
func inCM(l Length) string {
	s := fmt.Sprintf("%.2f", l.CM())
	if s == "-0.00" {
		return "0.00"
	}
	return strings.Replace(s, "-", "−", 1)
}

// signedCM is inCM with a plus sign before what is more than nothing.
func signedCM(l Length) string {
	s := inCM(l)
	if s != "0.00" && l > 0 {
		return "+" + s
	}
	return s
}
