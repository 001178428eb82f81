package controls

import (
	"math"
	"testing"

	"patternkit/patternkit/geom"
)

// A slider is shown in the unit of its lengths and moves in steps that can be
// read off a tape, from where it starts.
func TestSlidersMoveInStepsOfATape(t *testing.T) {
	const in, mm = geom.Inch, geom.MM
	for _, c := range []struct {
		name                string
		value, from, to     geom.Length
		label               string
		shown, lowest, high float64
		step                float64
		format              string
	}{
		{"centimetres", 13 * cm, 8 * cm, 18 * cm, "centimetres (cm)", 13, 8, 18, 0.1, ".1f"},
		{"inches", 2 * in, 1 * in, 4 * in, "inches (in)", 2, 1, 4, 0.125, ".3f"},
		{"sixteenths", 2.0625 * in, 1 * in, 4 * in, "sixteenths (in)", 2.0625, 1, 4, 0.0625, ".4f"},
		{"whole millimetres too", 5 * in, 0, 10 * in, "whole millimetres too (in)", 5, 0, 10, 0.125, ".3f"},
		{"fifty inches or 127", 127 * cm, 0, 254 * cm, "fifty inches or 127 (cm)", 127, 0, 254, 0.1, ".1f"},
		{"computed", 83.274 * mm, 4 * cm, 12 * cm, "computed (cm)", 8.3274, 4.0274, 11.9274, 0.1, ".2f"},
		{"computed ends", 11 * cm, 105.37 * mm, 142.8 * mm, "computed ends (cm)", 11, 10.6, 14.2, 0.1, ".1f"},
		{"at its end", 105.37 * mm, 105.37 * mm, 142.8 * mm, "at its end (cm)", 10.537, 10.537, 14.237, 0.1, ".2f"},
		{"half millimetres", 1.5 * mm, 0, 5 * mm, "half millimetres (cm)", 0.15, 0, 0.5, 0.01, ".2f"},
		{"within a step", 0.01 * mm, 0, 0.02 * mm, "within a step (cm)", 0.001, 0, 0.002, 0.00001, ".5f"},
	} {
		p, f := newFake(true)
		s := must(p.Slider(c.name, c.value, c.from, c.to))
		f.runCell("a", func() { p.Live(func() any { return s.Value() }) })
		id, state := f.modelNamed(t, "FloatSliderModel")
		near := func(key string, want float64) {
			if got := state[key].(float64); math.Abs(got-want) > 1e-9 {
				t.Errorf("%s: %s is %v, want %v", c.name, key, got, want)
			}
		}
		near("value", c.shown)
		near("min", c.lowest)
		near("max", c.high)
		near("step", c.step)
		if state["description"] != c.label || state["readout_format"] != c.format {
			t.Errorf("%s: shown as %v in %v, want %s in %s", c.name, state["description"], state["readout_format"], c.label, c.format)
		}
		// There and back again, with the last bits that a front end loses.
		f.move(id, "value", c.shown+c.step)
		if got := s.Value(); c.value < c.to && got == c.value {
			t.Errorf("%s: it does not move", c.name)
		}
		f.move(id, "value", c.shown+c.step/1e4)
		if got := s.Value(); got != c.value {
			t.Errorf("%s: moved back it is %v mm, want %v", c.name, got.MM(), c.value.MM())
		}
	}
}

// A chosen unit holds for lengths of the other one too.
func TestChosenUnitHolds(t *testing.T) {
	p, _ := newFake(true)
	if err := p.MeasureIn("cm"); err != nil {
		t.Fatal(err)
	}
	if s := must(p.Slider("cuff", 2*geom.Inch, 1*geom.Inch, 4*geom.Inch)); s.String() != "cuff: 5.08 cm" || s.d.scale.step != 0.1 {
		t.Errorf("%v by %v", s, s.d.scale.step)
	}
}

// A value that a cell has set is moved from, wherever it lies.
func TestSliderMovesFromWhereItWasSet(t *testing.T) {
	p, f := newFake(true)
	s := must(p.Slider("cap height", 13*cm, 8*cm, 18*cm))
	f.runCell("a", func() { p.Live(func() any { return s.Value() }) })
	if err := s.Set(124.7 * geom.MM); err != nil {
		t.Fatal(err)
	}
	state := f.lastState()
	if state["value"] != 12.47 || state["min"] != 8.07 || state["max"] != 17.97 || state["readout_format"] != ".2f" {
		t.Errorf("the slider is %v", state)
	}
}
