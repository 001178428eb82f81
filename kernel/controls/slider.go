package controls

import (
	"fmt"
	"math"
	"strconv"

	"patternkit/patternkit/geom"
)

// A LengthSlider sets a length between two others. It is shown in
// centimetres and moves by millimetres, or in inches and by eighths: see
// MeasureIn. It moves in whole steps from where it starts. Lengths in
// sixteenths of an inch move it by sixteenths, and where a length lies between
// two millimetres in a range of less than 2 cm it moves by tenths of one.
type LengthSlider struct{ d *dial }

var centimetres = scale{
	unit: "cm", size: float64(geom.CM), step: 0.1, digits: 1,
	text: func(v float64) string { return geom.Length(v).String() },
}

var inches = scale{unit: "in", size: float64(geom.Inch), step: 0.125, digits: 3, text: inchText}

// The finer steps, where lengths lie between the marks of a tape.
const (
	fineCentimetres = 0.01
	sixteenth       = 0.0625
	shortRange      = 20 // steps
)

// inchText writes sixteenths as on a tape, and what is none as a decimal
// fraction.
func inchText(v float64) string {
	l := geom.Length(v)
	if onMarks(sixteenth*float64(geom.Inch), v) {
		return l.TapeInches()
	}
	return strconv.FormatFloat(math.Round(l.Inches()*1e3)/1e3, 'f', -1, 64) + " in"
}

// MeasureIn chooses the unit in which lengths are shown by the sliders and
// entries that are made from now on: "cm" or "in". Another is an error. While
// nothing is chosen it is the one in which value, from and to are rounder:
// Slider("cuff", 2*Inch, 1*Inch, 4*Inch) is in inches.
func (p *Panel) MeasureIn(unit string) error {
	if unit != centimetres.unit && unit != inches.unit {
		return fmt.Errorf("measure in %q: want %q or %q", unit, centimetres.unit, inches.unit)
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	p.unit = unit
	return nil
}

// lengthScale is how a control of these lengths is shown and moved.
func (p *Panel) lengthScale(value, from, to geom.Length) scale {
	p.mu.Lock()
	unit := p.unit
	p.mu.Unlock()
	lengths := []float64{float64(value), float64(from), float64(to)}
	if unit == "" && writtenInInches(lengths) {
		unit = inches.unit
	}
	if unit == inches.unit {
		s := inches
		if !onMarks(s.step*s.size, lengths...) && onMarks(sixteenth*s.size, lengths...) {
			s.step, s.digits = sixteenth, 4
		}
		return s
	}
	s := centimetres
	if step := s.step * s.size; !onMarks(step, lengths...) && float64(to-from) < shortRange*step {
		s.step, s.digits = fineCentimetres, 2
	}
	return s
}

// writtenInInches reports whether lengths are rounder in inches than in
// centimetres.
func writtenInInches(lengths []float64) bool {
	const inch = float64(geom.Inch)
	return onMarks(inch, lengths...) && !onMarks(float64(geom.CM), lengths...) ||
		onMarks(sixteenth*inch, lengths...) && !onMarks(float64(geom.MM), lengths...)
}

// onMarks reports whether all values are whole multiples of a step.
func onMarks(step float64, values ...float64) bool {
	for _, v := range values {
		if n := v / step; math.Abs(n-math.Round(n)) > 1e-9 {
			return false
		}
	}
	return true
}

// Slider makes a slider for a length: Slider("cap height", 13*CM, 8*CM, 18*CM).
// A slider made again under the same label takes the place of the first and
// starts at its own value. It is an error when value is not within from to
// to, or when there is nothing between them.
func (p *Panel) Slider(label string, value, from, to geom.Length) (*LengthSlider, error) {
	d, err := newDial(p, p.lengthScale(value, from, to), label, float64(value), float64(from), float64(to))
	if err != nil {
		return nil, err
	}
	p.add(d)
	return &LengthSlider{d}, nil
}

// Value returns the length that is set.
func (s *LengthSlider) Value() geom.Length { return geom.Length(s.d.value()) }

// Set moves the slider. A length outside its range is an error.
func (s *LengthSlider) Set(value geom.Length) error { return s.d.set(float64(value)) }

// String returns label and value: "cap height: 13 cm".
func (s *LengthSlider) String() string { return s.d.readText() }

// ShowInNotebook shows the slider, to be moved where that is possible.
func (s *LengthSlider) ShowInNotebook() error { return s.d.panel.show(s.d) }

// An AngleControl sets an angle between two others. It is shown in degrees
// and moves by half degrees.
type AngleControl struct{ d *dial }

var angleScale = scale{
	unit: "°", size: float64(geom.Degree), step: 0.5, digits: 1,
	text: func(v float64) string { return geom.Angle(v).String() },
}

// AngleSlider makes a slider for an angle: AngleSlider("flare", 12*Degree, 0, 45*Degree).
// See Slider.
func (p *Panel) AngleSlider(label string, value, from, to geom.Angle) (*AngleControl, error) {
	d, err := newDial(p, angleScale, label, float64(value), float64(from), float64(to))
	if err != nil {
		return nil, err
	}
	p.add(d)
	return &AngleControl{d}, nil
}

// Value returns the angle that is set.
func (s *AngleControl) Value() geom.Angle { return geom.Angle(s.d.value()) }

// Set moves the slider. An angle outside its range is an error.
func (s *AngleControl) Set(value geom.Angle) error { return s.d.set(float64(value)) }

// String returns label and value: "flare: 12°".
func (s *AngleControl) String() string { return s.d.readText() }

// ShowInNotebook shows the slider, to be moved where that is possible.
func (s *AngleControl) ShowInNotebook() error { return s.d.panel.show(s.d) }

// A NumberControl sets a number without a unit: a ratio.
type NumberControl struct{ d *dial }

var numberScale = scale{
	size: 1,
	text: func(v float64) string { return strconv.FormatFloat(tidy(v), 'f', -1, 64) },
}

// NumberSlider makes a slider for a number, in 100 to 1000 steps over its
// range. See Slider.
func (p *Panel) NumberSlider(label string, value, from, to float64) (*NumberControl, error) {
	d, err := newDial(p, numberScale, label, value, from, to)
	if err != nil {
		return nil, err
	}
	p.add(d)
	return &NumberControl{d}, nil
}

// Value returns the number that is set.
func (s *NumberControl) Value() float64 { return s.d.value() }

// Set moves the slider. A number outside its range is an error.
func (s *NumberControl) Set(value float64) error { return s.d.set(value) }

// String returns label and value: "gather ratio: 1.5".
func (s *NumberControl) String() string { return s.d.readText() }

// ShowInNotebook shows the slider, to be moved where that is possible.
func (s *NumberControl) ShowInNotebook() error { return s.d.panel.show(s.d) }

// A CountControl sets a whole number.
type CountControl struct{ d *dial }

var countScale = scale{
	size: 1, step: 1, whole: true,
	text: func(v float64) string { return strconv.Itoa(int(v)) },
}

// CountSlider makes a slider for a whole number. See Slider.
func (p *Panel) CountSlider(label string, value, from, to int) (*CountControl, error) {
	d, err := newDial(p, countScale, label, float64(value), float64(from), float64(to))
	if err != nil {
		return nil, err
	}
	p.add(d)
	return &CountControl{d}, nil
}

// Value returns the number that is set.
func (s *CountControl) Value() int { return int(s.d.value()) }

// Set moves the slider. A number outside its range is an error.
func (s *CountControl) Set(value int) error { return s.d.set(float64(value)) }

// String returns label and value: "gores: 8".
func (s *CountControl) String() string { return s.d.readText() }

// ShowInNotebook shows the slider, to be moved where that is possible.
func (s *CountControl) ShowInNotebook() error { return s.d.panel.show(s.d) }
