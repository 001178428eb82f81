package controls

import (
	"fmt"
	"html"
	"strings"

	"patternkit/patternkit/geom"
)

// A LengthEntryControl is a length that is typed with its unit.
type LengthEntryControl struct{ e *entry }

// LengthEntry makes a field to type a length in: "4.1 cm", "41 mm",
// "1 5/8 in". Text that is no length, or one outside from to to, is answered
// beside the field, and the last length stays. A field made again under the
// same label takes the place of the first. It is an error when value is not
// within from to to, or when there is nothing between them.
func (p *Panel) LengthEntry(label string, value, from, to geom.Length) (*LengthEntryControl, error) {
	unit := p.lengthScale(value, from, to)
	unit.kind = "entry"
	d, err := newDial(p, unit, label, float64(value), float64(from), float64(to))
	if err != nil {
		return nil, err
	}
	e := &entry{dial: d, typed: unit.text(float64(value))}
	e.field = &model{
		module: controlsModule, name: "TextModel", view: "TextView", layout: labelledLayout(d.label, entryWidth), style: descriptionStyle(d.label),
		state: e.fieldState, receive: e.receive,
	}
	e.remark = &model{
		module: controlsModule, name: "HTMLModel", view: "HTMLView", layout: layoutModel(remarkWidth), // a label would not wrap
		state: e.remarkState,
	}
	d.frontSide = rowModel(e.field, e.remark)
	d.self, d.refresh = e, e.refresh
	p.add(e)
	return &LengthEntryControl{e}, nil
}

// Value returns the length that is set.
func (c *LengthEntryControl) Value() geom.Length { return geom.Length(c.e.value()) }

// Set writes a length into the field. One outside its range is an error.
func (c *LengthEntryControl) Set(value geom.Length) error { return c.e.set(float64(value)) }

// String returns label and value: "seam allowance: 1.5 cm".
func (c *LengthEntryControl) String() string { return c.e.readText() }

// ShowInNotebook shows the field, to be filled in where that is possible.
func (c *LengthEntryControl) ShowInNotebook() error { return c.e.panel.show(c.e) }

// A field leaves room for what is said beside it, which front ends would cut
// off at their own width of a label.
const (
	entryWidth  = 24 // em
	remarkWidth = "46em"
)

// An entry is a dial that is set by text.
type entry struct {
	*dial
	field, remark *model
	typed, wrong  string // guarded by panel.mu; wrong says why typed is not taken
}

func (e *entry) fieldState(bool) map[string]any {
	e.panel.mu.Lock()
	defer e.panel.mu.Unlock()
	return map[string]any{
		"description": asWritten(e.label), "value": e.typed, "placeholder": "such as 4.1 cm or 1 5/8 in", "disabled": false,
		"continuous_update": false, // at Enter, not at each letter
	}
}

// remarkState says what the text was taken for, where that is not what is
// written, or why it was not.
func (e *entry) remarkState(bool) map[string]any {
	e.panel.mu.Lock()
	defer e.panel.mu.Unlock()
	text := e.scale.text(e.val)
	switch {
	case e.wrong != "":
		text = fmt.Sprintf("still %s: %s", text, e.wrong)
	case text == e.typed:
		text = ""
	default:
		text = "= " + text
	}
	return map[string]any{"value": html.EscapeString(text), "description": "", "placeholder": ""}
}

// receive takes text from the front end. What was typed stays as it is.
func (e *entry) receive(state map[string]any) {
	raw, changed := state["value"]
	text, ok := raw.(string)
	switch {
	case !changed:
		return
	case !ok:
		e.panel.update(e.field)
		return
	}
	value, err := geom.ParseLength(text)
	if err == nil && e.check(float64(value)) != nil {
		err = fmt.Errorf("want %s to %s", e.scale.text(e.from), e.scale.text(e.to))
	}
	e.take(text, float64(value), err)
	e.panel.update(e.remark)
}

func (e *entry) take(text string, value float64, err error) {
	e.panel.mu.Lock()
	defer e.panel.mu.Unlock()
	e.typed, e.wrong = text, ""
	switch {
	case err != nil:
		e.wrong = strings.TrimPrefix(err.Error(), fmt.Sprintf("length %q: ", text))
	case e.val != value:
		e.val = value
		e.panel.dirtyLocked(e)
	}
}

// refresh shows a value that a cell has set.
func (e *entry) refresh() {
	e.panel.mu.Lock()
	e.typed, e.wrong = e.scale.text(e.val), ""
	e.panel.mu.Unlock()
	e.panel.update(e.field)
	e.panel.update(e.remark)
}
