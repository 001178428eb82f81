package controls

import (
	"fmt"
	"slices"
	"strings"
)

// A ChoiceControl is one of several options.
type ChoiceControl struct{ c *choice }

// Choice makes a list to choose one option from. It starts at the first. It
// is an error to give fewer than two options, or one twice.
func (p *Panel) Choice(label string, options ...string) (*ChoiceControl, error) {
	label = strings.TrimSpace(label)
	switch {
	case label == "":
		return nil, fmt.Errorf("choice: the label is empty, want the name of what it sets, such as \"collar\"")
	case len(options) < 2:
		return nil, fmt.Errorf("choice %q: %d options, want two or more", label, len(options))
	}
	for i, o := range options {
		if slices.Contains(options[:i], o) {
			return nil, fmt.Errorf("choice %q: option %q is given twice", label, o)
		}
	}
	c := &choice{panel: p, label: label, options: slices.Clone(options)}
	c.frontSide = &model{
		module: controlsModule, name: "DropdownModel", view: "DropdownView", layout: labelledLayout(label, controlWidth), style: descriptionStyle(label),
		state: c.state, receive: c.receive,
	}
	p.add(c)
	return &ChoiceControl{c}, nil
}

// Value returns the option that is chosen.
func (c *ChoiceControl) Value() string { return c.c.options[c.c.chosen()] }

// Index returns the place of the chosen option, from 0.
func (c *ChoiceControl) Index() int { return c.c.chosen() }

// Set chooses an option. It is an error when it is none of them.
func (c *ChoiceControl) Set(option string) error {
	i := slices.Index(c.c.options, option)
	if i < 0 {
		return fmt.Errorf("choice %q: %q is asked for, want one of %q", c.c.label, option, c.c.options)
	}
	c.c.choose(i)
	c.c.panel.changed(c.c)
	return nil
}

// String returns label and option: "collar: stand".
func (c *ChoiceControl) String() string { c.c.chosen(); return c.c.String() }

// ShowInNotebook shows the list, to choose from where that is possible.
func (c *ChoiceControl) ShowInNotebook() error { return c.c.panel.show(c.c) }

type choice struct {
	panel     *Panel
	label     string
	options   []string
	index     int // guarded by panel.mu
	frontSide *model
}

func (c *choice) state(old bool) map[string]any {
	c.panel.mu.Lock()
	defer c.panel.mu.Unlock()
	s := map[string]any{"description": asWritten(c.label), "_options_labels": c.options, "disabled": false}
	if old {
		s["value"] = c.options[c.index]
	} else {
		s["index"] = c.index
	}
	return s
}

// receive takes the index, or in the old form the option itself.
func (c *choice) receive(state map[string]any) {
	i := -1
	switch chosen := firstOf(state, "index", "value").(type) {
	case nil:
		return
	case float64:
		if chosen == float64(int(chosen)) {
			i = int(chosen)
		}
	case string:
		i = slices.Index(c.options, chosen)
	}
	if i < 0 || i >= len(c.options) {
		c.panel.update(c.frontSide)
		return
	}
	c.choose(i)
}

func firstOf(state map[string]any, keys ...string) any {
	for _, k := range keys {
		if v, ok := state[k]; ok {
			return v
		}
	}
	return nil
}

func (c *choice) choose(i int) {
	c.panel.mu.Lock()
	defer c.panel.mu.Unlock()
	if c.index != i {
		c.index = i
		c.panel.dirtyLocked(c)
	}
}

func (c *choice) chosen() int {
	c.panel.mu.Lock()
	defer c.panel.mu.Unlock()
	c.panel.readLocked(c)
	return c.index
}

func (c *choice) name() string   { return c.label }
func (c *choice) widget() *model { return c.frontSide }

func (c *choice) String() string {
	c.panel.mu.Lock()
	defer c.panel.mu.Unlock()
	return c.label + ": " + c.options[c.index]
}

// A ToggleControl is on or off.
type ToggleControl struct{ t *toggle }

// Toggle makes a box to tick. It is an error when the label is empty.
func (p *Panel) Toggle(label string, on bool) (*ToggleControl, error) {
	label = strings.TrimSpace(label)
	if label == "" {
		return nil, fmt.Errorf("toggle: the label is empty, want the name of what it sets, such as \"show seam allowance\"")
	}
	t := &toggle{panel: p, label: label, on: on}
	t.frontSide = &model{
		module: controlsModule, name: "CheckboxModel", view: "CheckboxView", layout: labelledLayout(label, controlWidth),
		style: descriptionStyle(""), // front ends of 7 and 8 write the label behind the box
		state: t.state, receive: t.receive,
	}
	p.add(t)
	return &ToggleControl{t}, nil
}

// Value reports whether the toggle is on.
func (t *ToggleControl) Value() bool { return t.t.value() }

// Set switches the toggle.
func (t *ToggleControl) Set(on bool) {
	t.t.set(on)
	t.t.panel.changed(t.t)
}

// String returns label and state: "seam allowance: on".
func (t *ToggleControl) String() string { t.t.value(); return t.t.String() }

// ShowInNotebook shows the toggle, to be ticked where that is possible.
func (t *ToggleControl) ShowInNotebook() error { return t.t.panel.show(t.t) }

type toggle struct {
	panel     *Panel
	label     string
	on        bool // guarded by panel.mu
	frontSide *model
}

func (t *toggle) state(bool) map[string]any {
	t.panel.mu.Lock()
	defer t.panel.mu.Unlock()
	return map[string]any{"description": asWritten(t.label), "value": t.on, "indent": true, "disabled": false}
}

func (t *toggle) receive(state map[string]any) {
	raw, moved := state["value"]
	on, ok := raw.(bool)
	switch {
	case ok:
		t.set(on)
	case moved:
		t.panel.update(t.frontSide)
	}
}

func (t *toggle) set(on bool) {
	t.panel.mu.Lock()
	defer t.panel.mu.Unlock()
	if t.on != on {
		t.on = on
		t.panel.dirtyLocked(t)
	}
}

func (t *toggle) value() bool {
	t.panel.mu.Lock()
	defer t.panel.mu.Unlock()
	t.panel.readLocked(t)
	return t.on
}

func (t *toggle) name() string   { return t.label }
func (t *toggle) widget() *model { return t.frontSide }

func (t *toggle) String() string {
	t.panel.mu.Lock()
	defer t.panel.mu.Unlock()
	if t.on {
		return t.label + ": on"
	}
	return t.label + ": off"
}
