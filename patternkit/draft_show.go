package patternkit

import (
	"fmt"
	"strconv"
	"strings"

	"patternkit/patternkit/drawing"
	"patternkit/patternkit/geom"
)

// Picture draws the whole sheet: lines thin, curves thick, each point with the
// number of its step, which the table explains.
func (d Draft) Picture() Picture {
	return d.pictured(len(d.steps), false)
}

// StepPicture draws the sheet as it stands after step n, counted from 1, with
// that step marked and named. All such pictures of a draft have one frame.
func (d Draft) StepPicture(n int) (Picture, error) {
	if n < 1 || n > len(d.steps) {
		return Picture{}, fmt.Errorf("draft %q: step %d, want 1 to %d", d.title, n, len(d.steps))
	}
	return d.pictured(n, true), nil
}

// pictured draws the first n steps and marks the last of them.
func (d Draft) pictured(n int, marked bool) Picture {
	box := d.bounds()
	if box.Empty() {
		return Picture{}
	}
	box = box.Grow(2 * CM)
	scale := min(float64(pictureWidth/box.Width()), float64(pictureHeight/box.Height()), 1)
	b := &draftBoard{newBoard(d.title, d.description(n), screenStyle(), scale), geom.Scale(scale)}
	frame := geom.RectAround(b.paper.Apply(box.Min), b.paper.Apply(box.Max))
	b.page.Stroke(frame.Outline(), b.style.hair)
	for i, s := range d.steps[:n] {
		b.draw(i+1, s, marked && i == n-1)
	}
	note := "points bear the numbers of their steps"
	if marked {
		note = fmt.Sprintf("step %d of %d", n, len(d.steps))
	}
	b.head(frame, d.title, note)
	b.scaleBar(frame.Min.Add(Pt(0, -1.6*b.style.edge.Size)))
	if marked {
		b.foot(frame, d.steps[n-1])
	}
	b.writeAll()
	return Picture{b.page, d.description(n)}
}

func (d Draft) bounds() geom.Rect {
	box := geom.EmptyRect()
	for _, s := range d.steps {
		switch s.Kind {
		case PointStep:
			box = box.Including(s.At)
		case LineStep, CurveStep:
			box = box.Union(s.Path.Bounds())
		}
	}
	return box
}

func (d Draft) description(n int) string {
	return fmt.Sprintf("Draft of %s: %d of %d steps", d.title, n, len(d.steps))
}

// foot writes a step out below the sheet and its scale bar.
func (b *draftBoard) foot(frame geom.Rect, s Step) {
	at := frame.Min.Add(Pt(0, -5.5*b.style.edge.Size))
	b.page.Text(drawing.Text{At: at, S: fmt.Sprintf("%s: %s", s.Label, s.Value()), Font: b.style.name})
	b.page.Text(drawing.Text{At: at.Add(Pt(0, -1.6*b.style.edge.Size)), S: s.Rule, Font: b.style.edge})
}

// A draftBoard draws steps at the scale of the sheet.
type draftBoard struct {
	*board
	paper Transform
}

// draw draws one step; the marked one is heavier and bears its name.
func (b *draftBoard) draw(number int, s Step, marked bool) {
	pen := b.style.dart
	if s.Kind == CurveStep {
		pen = b.style.stitch
	}
	if marked {
		pen.Width = 2 * b.style.stitch.Width
	}
	switch s.Kind {
	case PointStep:
		b.mark(number, s, marked)
	case LineStep, CurveStep:
		path := s.Path.Transformed(b.paper)
		b.page.Stroke(path, pen)
		if marked {
			b.name(path.At(path.Length()/2), s.Label, b.style.name)
		}
	}
}

// mark draws a point: a dot with the number of its step, or with its name.
func (b *draftBoard) mark(number int, s Step, marked bool) {
	at := b.paper.Apply(s.At)
	r := b.style.mark * 0.4
	if marked {
		r *= 1.8
	}
	b.page.Fill(geom.Arc(at, r, 0, 360*Degree), ink)
	if marked {
		b.name(at, s.Label, b.style.name)
		return
	}
	b.name(at, strconv.Itoa(number), b.style.small)
}

func (b *draftBoard) name(at Point, text string, font drawing.Font) {
	b.later(func() { b.page.Label(drawing.Label{At: at, S: text, Font: font}) })
}

// Table returns the steps as rows of text, numbered.
func (d Draft) Table() Table {
	t := Table{
		Title:   "Draft of " + d.title,
		Columns: []Column{{Head: "Step", Number: true}, {Head: "Drawn"}, {Head: "Rule"}, {Head: "Result"}},
	}
	for i, s := range d.steps {
		t.Rows = append(t.Rows, []string{strconv.Itoa(i + 1), s.Label, s.Rule, s.Value()})
	}
	return t
}

// HTML returns the sheet as a picture with the table of its steps below.
func (d Draft) HTML() string {
	steps := d.Table()
	for _, row := range steps.Rows {
		result := &row[len(row)-1]
		*result = strings.ReplaceAll(*result, " ", "\u00a0") // so that it is not broken over lines
	}
	return d.Picture().HTML() + "\n" + steps.HTML()
}

// PNG returns the sheet as an image of pixels.
func (d Draft) PNG() []byte { return d.Picture().PNG() }

// SVG returns the sheet as a picture.
func (d Draft) SVG() string { return d.Picture().SVG() }

// Markdown returns the steps as a table of pipes.
func (d Draft) Markdown() string { return d.Table().Markdown() }

// String returns the steps as text in columns.
func (d Draft) String() string { return d.Table().String() }
