package controls

import (
	"cmp"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// A scale is how a kind of number is shown and moved: in a unit of its own,
// by steps.
type scale struct {
	kind   string // of control, "slider" when empty
	unit   string // "cm", written behind the number
	size   float64
	step   float64 // in the unit; 0 chooses one by the range
	digits int
	whole  bool
	// text writes a value with its unit.
	text func(value float64) string
}

// A dial is a number between two others that can be moved. What a slider of
// any kind does is here; the kinds give it their types.
type dial struct {
	panel     *Panel
	label     string
	scale     scale
	from, to  float64
	val       float64 // guarded by panel.mu
	start     float64 // the value that the front end moves from by whole steps; guarded by panel.mu
	frontSide *model
	self      control // what the panel knows the dial as
	refresh   func()  // shows a value that a cell has set
}

// newDial makes a dial of a range that has room to move in.
func newDial(p *Panel, s scale, label string, value, from, to float64) (*dial, error) {
	label = strings.TrimSpace(label)
	s.kind = cmp.Or(s.kind, "slider")
	switch {
	case label == "":
		return nil, fmt.Errorf("%s: the label is empty, want the name of what it sets, such as \"cap height\"", s.kind)
	case !finite(value) || !finite(from) || !finite(to):
		return nil, fmt.Errorf("%s %q: %v from %v to %v, want finite numbers", s.kind, label, value, from, to)
	case from >= to:
		return nil, fmt.Errorf("%s %q: from %s to %s leaves nothing to choose, want the smaller end first", s.kind, label, s.text(from), s.text(to))
	case value < from || value > to:
		return nil, fmt.Errorf("%s %q: starts at %s, want %s to %s", s.kind, label, s.text(value), s.text(from), s.text(to))
	}
	if width := (to - from) / s.size; s.step == 0 || s.step > width && !s.whole {
		s.step, s.digits = niceStep(width)
	}
	d := &dial{panel: p, label: label, scale: s, from: from, to: to, val: value, start: value}
	d.frontSide = d.newModel()
	d.self, d.refresh = d, func() { p.update(d.frontSide) }
	return d, nil
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// niceStep divides a range into 100 to 1000 steps of a power of ten.
func niceStep(width float64) (step float64, digits int) {
	e := int(math.Floor(math.Log10(width))) - 2
	return math.Pow10(e), max(0, -e)
}

func (d *dial) newModel() *model {
	name := "FloatSlider"
	if d.scale.whole {
		name = "IntSlider"
	}
	return &model{
		module: controlsModule, name: name + "Model", view: name + "View", layout: labelledLayout(d.described(), controlWidth),
		style: sliderStyle(d.described()), state: d.state, receive: d.receive,
	}
}

func (d *dial) state(bool) map[string]any {
	d.panel.mu.Lock()
	value, start := d.val, d.start
	d.panel.mu.Unlock()
	lowest, highest := d.steppedEnds(start)
	return map[string]any{
		"description": asWritten(d.described()), "value": d.shown(value), "min": lowest, "max": highest, "step": d.scale.step,
		"readout": true, "readout_format": d.format(start), "orientation": "horizontal", "continuous_update": true, "disabled": false,
	}
}

// steppedEnds are the ends of the range in the front end: those that are whole
// steps from start. Front ends put a value between two steps on one of them,
// some without being moved.
func (d *dial) steppedEnds(start float64) (lowest, highest float64) {
	low, at, high, step := d.shown(d.from), d.shown(start), d.shown(d.to), d.scale.step
	steps := func(width float64) float64 { return math.Floor(width/step + 1e-9) }
	return max(low, tidy(at-steps(at-low)*step)), min(high, tidy(at+steps(high-at)*step))
}

// format says how the front end writes a value: with one more digit where
// start lies between the marks.
func (d *dial) format(start float64) string {
	switch {
	case d.scale.whole:
		return "d"
	case onMarks(d.scale.step, d.shown(start)):
		return "." + strconv.Itoa(d.scale.digits) + "f"
	}
	return "." + strconv.Itoa(d.scale.digits+1) + "f"
}

// described is the label with the unit.
func (d *dial) described() string {
	if d.scale.unit == "" {
		return d.label
	}
	return d.label + " (" + d.scale.unit + ")"
}

// shown converts to the unit of the front end, without the last bits that
// division leaves (13 cm, not 13.000000000000002).
func (d *dial) shown(value float64) float64 {
	return tidy(value / d.scale.size)
}

// tidy rounds to twelve digits after the point, finer than any slider moves.
func tidy(x float64) float64 { return math.Round(x*1e12) / 1e12 }

// held converts from the unit of the front end. A slider pushed to its end,
// or back to where it started, gives that exactly, though some front ends keep
// five digits after the point only.
func (d *dial) held(x float64) float64 {
	d.panel.mu.Lock()
	exact := []float64{d.start, d.from, d.to}
	d.panel.mu.Unlock()
	for _, v := range exact {
		if math.Abs(x-d.shown(v)) < d.scale.step/1000 {
			return v
		}
	}
	if d.scale.size >= 1 {
		return tidy(x * d.scale.size)
	}
	return tidy(x) * d.scale.size
}

// receive takes a value from the front end. One that can't be is put right
// there.
func (d *dial) receive(state map[string]any) {
	raw, moved := state["value"]
	if !moved {
		return
	}
	x, ok := raw.(float64)
	value := d.held(x)
	if !ok || d.check(value) != nil {
		d.panel.update(d.frontSide)
		return
	}
	d.panel.mu.Lock()
	defer d.panel.mu.Unlock()
	if d.val != value {
		d.val = value
		d.panel.dirtyLocked(d.self)
	}
}

func (d *dial) check(value float64) error {
	if !(value >= d.from && value <= d.to) {
		return fmt.Errorf("%s %q: %s is asked for, want %s to %s", d.scale.kind, d.label, d.scale.text(value), d.scale.text(d.from), d.scale.text(d.to))
	}
	if d.scale.whole && value != math.Trunc(value) {
		return fmt.Errorf("%s %q: %v is asked for, want a whole number", d.scale.kind, d.label, value)
	}
	return nil
}

// value reads the dial, and notes that a drawing does.
func (d *dial) value() float64 {
	d.panel.mu.Lock()
	defer d.panel.mu.Unlock()
	d.panel.readLocked(d.self)
	return d.val
}

func (d *dial) set(value float64) error {
	if err := d.check(value); err != nil {
		return err
	}
	d.panel.mu.Lock()
	d.val, d.start = value, value
	d.panel.dirtyLocked(d.self)
	d.panel.mu.Unlock()
	d.refresh()
	return nil
}

func (d *dial) name() string   { return d.label }
func (d *dial) widget() *model { return d.frontSide }

// readText is String for a cell: it counts as reading.
func (d *dial) readText() string {
	d.value()
	return d.String()
}

// String writes label and value without counting as reading.
func (d *dial) String() string {
	d.panel.mu.Lock()
	defer d.panel.mu.Unlock()
	return d.label + ": " + d.scale.text(d.val)
}
