package main

import (
	"bytes"
	"strings"
	"testing"

	"patternkit/kernel"
	"patternkit/kernel/controls"
	"patternkit/kernel/notebook"
)

// Texts of a cell keep their kind, and are written as they are where a front
// end shows plain text only.
func TestTextsAreShownAsTheirKind(t *testing.T) {
	for _, c := range []struct {
		value         any
		mime, written string
	}{
		{controls.Markdown("**fold**"), "text/markdown", "**fold**"},
		{controls.Say("the hem is %d cm", 3), "text/markdown", "the hem is 3 cm"},
		{controls.HTML("<b>fold</b>"), "text/html", "<b>fold</b>"},
		{controls.Latex(`$\frac{w}{2\pi}$`), "text/latex", `$\frac{w}{2\pi}$`},
	} {
		b := kernel.Show(c.value)
		if len(b) != 2 || b[c.mime] != c.written || b["text/plain"] != c.written {
			t.Errorf("%T is shown as %v", c.value, b)
		}
	}
}

// The page of a notebook keeps the look of a cell's markup and drops what acts.
func TestPageReducesMarkupOfCells(t *testing.T) {
	data := kernel.Show(controls.HTML(`<h3 onclick="steal()">Cut on the fold</h3><script>steal()</script>`))
	nb := notebook.Notebook{Cells: []notebook.Cell{{ID: "a", Type: notebook.Code, Source: "x",
		Outputs: []notebook.Output{{Type: notebook.DisplayData, Data: data}}}}}
	var page bytes.Buffer
	if err := notebook.WriteHTML(&page, nb); err != nil {
		t.Fatal(err)
	}
	if s := page.String(); !strings.Contains(s, "<h3>Cut on the fold</h3>") || strings.Contains(s, "steal") {
		t.Errorf("the page holds\n%s", s)
	}
}
