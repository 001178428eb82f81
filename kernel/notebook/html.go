package notebook

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"strings"
)

//go:embed page.css
var pageStyle string

// pageTemplate is the whole page. Its content security policy keeps it from
// asking anything of the net and from running any script, whatever a
// notebook's outputs hold.
var pageTemplate = template.Must(template.New("page").Parse(`<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; img-src data:; style-src 'unsafe-inline'">
<title>{{.Title}}</title>
<style>
{{.Style}}</style>
</head>
<body>
<main>
{{range .Cells}}{{.}}{{end}}</main>
</body>
</html>
`))

// cellTemplates are the parts of a code cell.
var cellTemplates = template.Must(template.New("code").Parse(`<section class="cell"{{with .ID}} id="{{.}}"{{end}}>
{{if .Code}}<div class="input">
<div class="prompt" aria-label="{{.PromptWords}}">{{.Prompt}}</div>
<pre><code>{{.Code}}</code></pre>
</div>
{{end}}{{range .Outputs}}{{.}}{{end}}</section>
`))

func init() {
	for name, text := range map[string]string{
		"output":  "<div class=\"output {{.Class}}\">\n{{.Content}}</div>\n",
		"text":    "<pre>{{.}}</pre>\n",
		"stderr":  "<pre><span class=\"mark\">stderr</span>\n{{.}}</pre>\n",
		"error":   "<p class=\"failed\">{{.Heading}}</p>\n<pre>{{.Text}}</pre>\n",
		"picture": "<img src=\"{{.Source}}\" alt=\"{{.Alt}}\"{{with .Width}} width=\"{{.}}\"{{end}}{{with .Height}} height=\"{{.}}\"{{end}}>\n",
		"raw":     "<pre class=\"raw\">{{.}}</pre>\n",
	} {
		template.Must(cellTemplates.New(name).Parse(text))
	}
}

// WriteHTML writes nb as one web page that holds everything it shows: prose,
// code with its prompts, and each output in its richest form that is safe. The
// page loads nothing from elsewhere and runs no script; markup in outputs and
// in prose is reduced to what carries text, tables and pictures.
func WriteHTML(w io.Writer, nb Notebook) error {
	p := newPage()
	cells := make([]template.HTML, len(nb.Cells))
	for i, c := range nb.Cells {
		markup, err := p.cell(c)
		if err != nil {
			return fmt.Errorf("web page of the notebook: cell %d (%s): %w", i+1, c.ID, err)
		}
		cells[i] = markup
	}
	title := nb.Title()
	if title == "" {
		title = "Notebook"
	}
	return pageTemplate.Execute(w, map[string]any{"Title": title, "Style": template.CSS(pageStyle), "Cells": cells})
}

func (p *page) cell(c Cell) (template.HTML, error) {
	switch c.Type {
	case Markdown:
		prose, err := p.markdown(c.Source, c.Attachments)
		return "<section class=\"prose\">\n" + prose + "</section>\n", err
	case Raw:
		return execute("raw", c.Source)
	}
	return p.codeCell(c)
}

func (p *page) codeCell(c Cell) (template.HTML, error) {
	var outputs []template.HTML
	for i, o := range c.Outputs {
		markup, err := p.output(o, c.Count)
		if err != nil {
			return "", fmt.Errorf("output %d: %w", i+1, err)
		}
		outputs = append(outputs, markup)
	}
	prompt, words := "[ ]", "cell that has not run"
	if c.Count != nil {
		prompt, words = fmt.Sprintf("[%d]", *c.Count), fmt.Sprintf("cell %d", *c.Count)
	}
	if c.HasTag(injectedTag) {
		prompt, words = prompt+" set for this run", words+", set for this run"
	}
	return execute("code", map[string]any{
		"ID": "cell-" + c.ID, "Code": colouredGo(strings.TrimRight(c.Source, "\n")), "Outputs": outputs,
		"Prompt": prompt, "PromptWords": words,
	})
}

func execute(name string, data any) (template.HTML, error) {
	var b bytes.Buffer
	err := cellTemplates.ExecuteTemplate(&b, name, data)
	return template.HTML(b.String()), err
}
