package controls

import (
	"slices"
	"testing"
)

// connect is what front ends of ipywidgets 7.7 and later do when they connect:
// they ask for every state, and close models of modules that they do not have.
func (f *fakeFront) connect(base string) {
	before := len(f.sent)
	receive := f.targets["jupyter.widget.control"]("control", nil)
	receive(map[string]any{"method": "request_states"})
	f.states = f.sent[before]["states"].(map[string]any)
	for id, data := range f.opened {
		state := data.(map[string]any)["state"].(map[string]any)
		if state["_model_module"] == "@jupyter-widgets/base" && state["_model_module_version"] != base {
			delete(f.opened, id)
			f.closed(id)
		}
	}
}

// Front ends load modules in the versions only that they have.
func TestVersionsOfModules(t *testing.T) {
	six := func(f *fakeFront) { f.targets["jupyter.widget.version"]("v", nil) }
	seven := func(f *fakeFront) { f.connect("1.2.0") }
	eight := func(f *fakeFront) { f.connect("2.0.0") }
	asks := func(f *fakeFront) { f.asked("jupyter.widget") }
	asksAll := func(f *fakeFront) { f.asked("") }
	for _, c := range []struct {
		name           string
		do             []func(*fakeFront)
		controls, base string
	}{
		{"nothing known", nil, "2.0.0", "2.0.0"},
		{"8", []func(*fakeFront){eight}, "2.0.0", "2.0.0"},
		{"8 opened again", []func(*fakeFront){eight, eight}, "2.0.0", "2.0.0"},
		{"8 that asks too", []func(*fakeFront){eight, asks}, "2.0.0", "2.0.0"},
		{"7.7", []func(*fakeFront){seven}, "1.5.0", "1.2.0"},
		{"7.7 opened again", []func(*fakeFront){seven, seven}, "1.5.0", "1.2.0"},
		{"7.0", []func(*fakeFront){asks}, "1.5.0", "1.2.0"},
		{"another client", []func(*fakeFront){asksAll}, "2.0.0", "2.0.0"},
		{"7 and then 8", []func(*fakeFront){seven, eight}, "2.0.0", "2.0.0"},
		{"6", []func(*fakeFront){asks, six}, "~2.1.4", "~2.1.4"},
		{"6 and then 8", []func(*fakeFront){asks, six, asks, eight}, "2.0.0", "2.0.0"},
		{"6 and then 7.7", []func(*fakeFront){asks, six, asks, seven}, "1.5.0", "1.2.0"},
		{"8 and then 6", []func(*fakeFront){eight, asks, six}, "~2.1.4", "~2.1.4"},
		{"6 opened again", []func(*fakeFront){asks, six, asks, six}, "~2.1.4", "~2.1.4"},
	} {
		p, f := newFake(true)
		for _, do := range c.do {
			do(f)
		}
		s := must(p.Slider("ease", 5*cm, 0, 9*cm))
		f.runCell("a", func() { p.Live(func() any { return s.Value() }) })
		_, slider := f.modelNamed(t, "FloatSliderModel")
		_, style := f.modelNamed(t, "SliderStyleModel")
		if slider["_model_module_version"] != c.controls || slider["_view_module_version"] != c.controls || style["_view_module_version"] != c.base {
			t.Errorf("%s: slider %v, style %v; want controls %s and base %s", c.name, slider, style, c.controls, c.base)
		}
		if len(p.models) != len(f.opened) {
			t.Errorf("%s: %d models are open, want %d", c.name, len(f.opened), len(p.models))
		}
	}
}

// A page of ipywidgets 7 that is opened again is given what it can load.
func TestStatesForAPageOf7(t *testing.T) {
	p, f := newFake(true)
	f.connect("1.2.0")
	s := must(p.Slider("ease", 5*cm, 0, 9*cm))
	f.runCell("a", func() { p.Live(func() any { return s.Value() }) })
	id, _ := f.modelNamed(t, "FloatSliderModel")
	f.connect("1.2.0")
	if got, ok := f.states[id].(map[string]any); !ok || got["model_module_version"] != "1.5.0" {
		t.Errorf("states %v", f.states)
	}
	if !slices.Contains(f.log, "open jupyter.widget") || len(f.states) != len(p.models) {
		t.Errorf("%d states of %d models", len(f.states), len(p.models))
	}
}
