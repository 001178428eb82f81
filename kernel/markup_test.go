package kernel

import (
	"strings"
	"testing"
)

type (
	cellHTML     string
	cellMarkdown string
	cellLatex    string
)

func (h cellHTML) HTML() string         { return string(h) }
func (m cellMarkdown) Markdown() string { return string(m) }
func (l cellLatex) Latex() string       { return string(l) }

// A fromCell stands for an evaluator's value of a type declared in a cell.
type fromCell struct{ withHTML }

func (fromCell) TypeString() string { return "main.T" }
func (fromCell) HTML() string       { return `<b onclick="x()">bold</b>` }

// What a cell writes itself keeps its look and loses what acts; the ways of
// acting are those of the HTML standard, https://html.spec.whatwg.org/.
func TestMarkupOfCellsIsCleaned(t *testing.T) {
	picture := "data:image/png;base64," + strings.Repeat("QUJD", 40)
	for _, c := range []struct {
		value      any
		mime, want string
	}{
		{cellHTML("<h3>Cut on the <b>fold</b></h3>"), mimeHTML, "<h3>Cut on the <b>fold</b></h3>"},
		{cellHTML(`<script>steal()</script>kept`), mimeHTML, "kept"},
		{cellHTML(`<p onmouseover="steal()">kept</p>`), mimeHTML, "<p>kept</p>"},
		{cellHTML(`<img src="x" onerror="steal()" alt="piece">`), mimeHTML, `<img alt="piece">`},
		{cellHTML(`<img src="https://example.org/seen.png" alt="piece">`), mimeHTML, `<img alt="piece">`},
		{cellHTML(`<img src="` + picture + `" alt="piece">`), mimeHTML, `<img src="` + picture + `" alt="piece">`},
		{cellHTML(`<iframe srcdoc="<script>steal()</script>"></iframe>kept`), mimeHTML, "kept"},
		{cellHTML(`<form action="/api/terminals" method="post"><button>kept</button></form>`), mimeHTML, "kept"},
		{cellHTML(`<style>*{display:none}</style><p>kept</p>`), mimeHTML, "<p>kept</p>"},
		{cellHTML(`<a href="java&#115;cript:steal()">kept</a>`), mimeHTML, "kept"},
		{fromCell{}, mimeHTML, "<b>bold</b>"},
		{withHTML{7}, mimeHTML, "<i>7</i>"}, // compiled types write what they mean
		{cellMarkdown("**fold** at 3 < 4 cm"), mimeMarkdown, "**fold** at 3 < 4 cm"},
		{cellMarkdown("<script>steal()</script>"), mimeMarkdown, "&lt;script>steal()&lt;/script>"},
		{cellMarkdown("[click](java\tscript:steal())"), mimeMarkdown, ""},
		{cellMarkdown("![x](https://example.org/?bust=92) or !![x][y]"), mimeMarkdown, "&#33;[x](https://example.org/?bust=92) or &#33;&#33;[x][y]"},
		{cellMarkdown("![x](data:image/png;base64,QUJD)"), mimeMarkdown, "![x](data:image/png;base64,QUJD)"},
		{cellMarkdown("![a ![b](data:image/png;base64,QUJD)](https://example.org)"), mimeMarkdown, "&#33;[a ![b](data:image/png;base64,QUJD)](https://example.org)"},
		{cellLatex(`$\frac{1}{2}$`), mimeLatex, `$\frac{1}{2}$`},
		{cellLatex(`$\href{javascript:steal()}{x}$`), mimeLatex, ""},
		{cellHTML(`$\href{JavaScript:steal()}{x}$`), mimeHTML, `<pre>$\href{JavaScript:steal()}{x}$</pre>`},
	} {
		got, _ := Show(c.value)[c.mime].(string)
		if got != c.want {
			t.Errorf("%v: %q, want %q", c.value, got, c.want)
		}
	}
}

func BenchmarkMarkupOfCells(b *testing.B) {
	drawing := `<img src="data:image/svg+xml;base64,` + strings.Repeat("QUJD", 12_000) + `" width="900" height="500" alt="bodice">`
	b.ReportAllocs()
	for b.Loop() {
		cleanHTML(drawing)
	}
}
