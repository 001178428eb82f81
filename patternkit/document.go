package patternkit

import (
	"fmt"
	"html"
	"slices"
	"strings"
)

// A Document is a sheet for somebody who was not there: sections of words,
// tables and drawings. A cell shows it; File is a page of its own.
type Document struct {
	title    string
	sections []section
	upright  bool // read as text; else its tables want a sheet lying on its side
}

// A section is a heading, a few sentences, and what is to be seen.
type section struct {
	head, words string
	shown       []shownAsHTML
}

type shownAsHTML interface {
	HTML() string
	String() string
}

func (d *Document) add(head, words string, shown ...shownAsHTML) {
	d.sections = append(d.sections, section{head, words, shown})
}

// documentPicture is a drawing in a document: without what opens it large,
// which paper can't.
type documentPicture struct{ Picture }

func (p documentPicture) HTML() string {
	if p.page == nil {
		return p.Picture.HTML()
	}
	return p.page.HTML(0)
}

// RuleDocument gathers what somebody needs to grade a pattern by hand or to
// check a grade: the chart of the bodies, the rules measured from the
// references, the nest, every seam walked at every size, and the balance of
// the sums. It wants a reference for every piece: from there its rules are
// measured, and on it its nest is stacked.
func (g Graded) RuleDocument(references ...GradeReference) (Document, error) {
	if len(g.sizes) == 0 {
		return Document{}, fmt.Errorf("the graded pattern is empty, want one made by Grade")
	}
	base := g.sizes[g.base].pattern
	for _, piece := range base.pieces {
		if !slices.ContainsFunc(references, func(r GradeReference) bool { return r.Piece == piece.name }) {
			return Document{}, fmt.Errorf("grade-rule document: no reference for piece %q, want one of its points: %s", piece.name, quoted(piece.GradePoints()))
		}
	}
	rules, err := g.Rules(references...)
	if err != nil {
		return Document{}, fmt.Errorf("grade-rule document: %w", err)
	}
	d := Document{title: "Grade rules of " + g.name}
	d.add("Sizes", fmt.Sprintf("%s. The base size is %s: the other sizes are made from it.", g.sizeList(), g.Base()), g.chartTable()...)
	d.add("Rules", "For each point: how far it moves to the right and up from one size to the next, on the stitch line. "+
		"A minus is to the left and down. Going to a smaller size, move it the other way. Lay allowances on afterwards.", rules.Table())
	for _, piece := range base.pieces {
		nest, err := g.Nest(NestOptions{Pieces: []string{piece.name}, Stack: references})
		if err != nil {
			return Document{}, fmt.Errorf("grade-rule document: %w", err)
		}
		d.add("Nest of the "+piece.name, "", documentPicture{nest})
	}
	d.add("Seams", "", g.Walk())
	d.add("Balance", "", g.Balance())
	return d, nil
}

// MeasurementSheet gathers what the sewn garment measures in each size, with
// tolerances, and by how much it grows. It is an error where there is no size.
func (g Graded) MeasurementSheet() (Document, error) {
	if len(g.sizes) == 0 {
		return Document{}, fmt.Errorf("the graded pattern is empty, want one made by Grade")
	}
	d := Document{title: "Finished measurements of " + g.name}
	d.add("Sizes", g.sizeList()+".", g.chartTable()...)
	d.add("Where to measure", "Lay the sewn garment flat without drawing it. Lay the tape along the seam or the edge that is named, "+
		"from end to end, its darts and pleats closed; a width is measured straight across the piece, before its darts are sewn.")
	d.add("Finished measurements", "", g.FinishedMeasurements())
	d.add("From size to size", "", g.Increments())
	return d, nil
}

func (g Graded) sizeList() string { return "Sizes " + strings.Join(g.Sizes(), ", ") }

// chartTable is the chart of the bodies, where there is one.
func (g Graded) chartTable() []shownAsHTML {
	if len(g.chart.sizes) == 0 {
		return nil
	}
	return []shownAsHTML{g.chart.Table()}
}

// Title returns the heading of the document.
func (d Document) Title() string { return d.title }

// HTML returns the document as markup, to be shown in a cell.
func (d Document) HTML() string {
	var b strings.Builder
	fmt.Fprintf(&b, "<h1>%s</h1>\n", html.EscapeString(d.title))
	for _, s := range d.sections {
		fmt.Fprintf(&b, "<h2>%s</h2>\n", html.EscapeString(s.head))
		if s.words != "" {
			fmt.Fprintf(&b, "<p>%s</p>\n", strings.ReplaceAll(html.EscapeString(s.words), "\n", "</p>\n<p>"))
		}
		for _, v := range s.shown {
			b.WriteString(v.HTML())
			b.WriteString("\n")
		}
	}
	return b.String()
}

// String returns the document as text, its drawings by their names.
func (d Document) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n", d.title)
	for _, s := range d.sections {
		fmt.Fprintf(&b, "\n%s\n", s.head)
		if s.words != "" {
			fmt.Fprintf(&b, "%s\n", s.words)
		}
		for _, v := range s.shown {
			fmt.Fprintf(&b, "%s\n", v)
		}
	}
	return b.String()
}

// File returns the document as a web page that needs nothing else, drawn for
// paper: save it with Save("rules.html", document.File()).
func (d Document) File() []byte {
	style := documentStyle
	if d.upright {
		style += uprightStyle
	}
	return []byte("<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">" +
		"<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>" + html.EscapeString(d.title) + "</title>\n" +
		style + "</head><body>\n" + d.HTML() + "</body></html>\n")
}

// documentStyle is legible without it: rules between rows, wide tables set
// small so that they fit a sheet lying on its side, no page break in a row.
const documentStyle = `<style>
@page { size: landscape; margin: 12mm }
body { font: 15px/1.45 sans-serif; color: #111; background: #fff; max-width: 1120px; margin: 24px auto; padding: 0 16px }
h2 { margin: 1.6em 0 .4em; break-after: avoid }
table { border-collapse: collapse; font-size: 12px; margin: .5em 0 }
caption { text-align: left; font-weight: bold; padding: .3em 0 }
th, td { padding: .2em .5em; border-bottom: 1px solid #bbb; vertical-align: baseline }
th { text-align: left }
thead th { border-bottom: 1.5px solid #111 }
tr, img { break-inside: avoid }
img { max-width: 100%; height: auto }
@media print { img { width: auto; max-height: 158mm } }
</style>
`

// uprightStyle is for a sheet that is read on A4: smaller in print, no page
// break in a step or a table.
const uprightStyle = `<style>
@page { size: A4 portrait; margin: 13mm }
body { max-width: 740px }
h3 { margin: .7em 0 .2em; font-size: 1em; break-after: avoid }
p { orphans: 3; widows: 3 }
table, .step { break-inside: avoid }
img { width: auto; max-height: 178mm }
.step { border-top: 1px solid #bbb; padding-bottom: .5em }
.step p { margin: .2em 0 .5em }
@media print {
body { font-size: 10.5pt; margin: 0; padding: 0; max-width: none }
table { font-size: 9pt }
h1 { font-size: 18pt; margin: 0 0 .3em }
h2 { font-size: 13pt; margin: 1.1em 0 .3em }
}
</style>
`
