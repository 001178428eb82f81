package patternkit

import (
	"errors"
	"fmt"
	"math"
)

// Check returns an error where a measurement is none that a person has
// (negative, not a number, too small or too large: the error offers the likely
// slip of the unit), or where measurements do not go together; then it names
// the odd one. Measurements that are zero are not looked at. Bodies of any age
// pass, and a hip may be smaller than the waist: 17 of the 1,986 women of
// ANSUR II have it so.
func (b Body) Check() error {
	var errs []error
	for i, f := range bodyFields {
		if v := Length(b.field(i)); v != 0 {
			errs = append(errs, checkRange("body", f.name, v, f.min, f.max))
		}
	}
	errs = append(errs, b.checkSlope())
	if err := errors.Join(errs...); err != nil {
		return err
	}
	return b.checkTogether()
}

func (b Body) checkSlope() error {
	s := b.ShoulderSlope
	if s >= 0 && s <= maxShoulderSlope {
		return nil
	}
	err := fmt.Errorf("body: ShoulderSlope is %v, want 0° to %v below horizontal", s, maxShoulderSlope)
	if meant := Angle(float64(s)) * Degree; meant > 0 && meant <= maxShoulderSlope {
		err = fmt.Errorf("%w; a bare number is radians, did you mean %s*Degree?", err, plainNumber(float64(s)))
	}
	return err
}

// A proportion bounds one measurement by another: low to high times as large.
type proportion struct {
	field, of string
	low, high float64
}

// proportions are wide enough for every woman of ANSUR II (2012), where it has
// both measurements, and for children; common practice, no source.
var proportions = [...]proportion{
	{"BustGirth", "Height", 0.38, 1.1},
	{"WaistGirth", "Height", 0.28, 1.1},
	{"HipGirth", "Height", 0.4, 1.2},
	{"UnderbustGirth", "BustGirth", 0.6, 1},
	{"WaistGirth", "BustGirth", 0.5, 1.35},
	{"HipGirth", "BustGirth", 0.65, 1.6},
	{"HipGirth", "WaistGirth", 0.75, 1.9},
	{"WaistGirth", "UnderbustGirth", 0.6, 1.6},
	{"NeckBaseGirth", "BustGirth", 0.25, 0.6},
	{"ShoulderLength", "Height", 0.05, 0.13},
	{"BackWidth", "BustGirth", 0.25, 0.52},
	{"ChestWidth", "BustGirth", 0.25, 0.52},
	{"ChestWidth", "BackWidth", 0.65, 1.35},
	{"ShoulderGirth", "BustGirth", 0.85, 1.6},
	{"BackWaistLength", "Height", 0.17, 0.34},
	{"FrontWaistLength", "BackWaistLength", 0.8, 1.4},
	{"NeckToBustPoint", "FrontWaistLength", 0.4, 0.9},
	{"BustPointDistance", "BustGirth", 0.12, 0.3},
	{"ArmscyeDepth", "BackWaistLength", 0.3, 0.75},
	{"ArmscyeGirth", "BustGirth", 0.28, 0.6},
	{"UpperArmGirth", "BustGirth", 0.2, 0.5},
	{"ArmscyeGirth", "UpperArmGirth", 0.95, 2},
	{"ElbowGirth", "UpperArmGirth", 0.55, 1.2},
	{"WristGirth", "UpperArmGirth", 0.35, 0.85},
	{"WristGirth", "ElbowGirth", 0.4, 0.95},
	{"HandGirth", "WristGirth", 1, 1.65},
	{"ArmLength", "Height", 0.25, 0.43},
	{"WaistToHip", "Height", 0.07, 0.21},
	{"WaistHeight", "Height", 0.5, 0.74},
	{"BodyRise", "Height", 0.1, 0.26},
	{"InsideLeg", "Height", 0.3, 0.58},
	{"InsideLeg", "WaistHeight", 0.55, 0.9},
	{"CrotchLength", "HipGirth", 0.45, 1.15},
	{"ThighGirth", "HipGirth", 0.4, 0.8},
	{"KneeGirth", "ThighGirth", 0.4, 0.98},
	{"CalfGirth", "KneeGirth", 0.65, 1.3},
	{"AnkleGirth", "CalfGirth", 0.4, 0.95},
	{"HeelGirth", "AnkleGirth", 1.02, 2.1},
	{"HeadGirth", "Height", 0.25, 0.8},
	{"HeadGirth", "NeckBaseGirth", 1, 2.2},
}

// broken reports whether both measurements are there and out of proportion.
func (b *Body) broken(p proportion) bool {
	v, of := b.field(fieldIndex(p.field)), b.field(fieldIndex(p.of))
	return v != 0 && of != 0 && !(v >= p.low*of && v <= p.high*of)
}

// An OddError names the measurement that does not go with the others.
type OddError struct {
	Field    string
	Got      Length
	Beside   string // the measurement that it does not go with
	BesideIs Length
	Min, Max Length // what would go with it
}

// Error reads like "body: UnderbustGirth is 96 cm beside a BustGirth of 92 cm,
// want 55.2 cm to 92 cm".
func (e *OddError) Error() string {
	s := fmt.Sprintf("body: %s is %v beside a %s of %v, want %v to %v", e.Field, e.Got, e.Beside, e.BesideIs, e.Min, e.Max)
	hint := (&RangeError{Field: e.Field, Got: e.Got, Min: e.Min, Max: e.Max}).Hint()
	if hint != "" {
		return s + "; " + hint
	}
	return s + "; measure both again"
}

// checkTogether finds proportions that do not hold and names the measurement
// that most of them have in common.
func (b Body) checkTogether() error {
	blame := map[string]int{}
	var broken []proportion
	for _, p := range proportions {
		if b.broken(p) {
			broken = append(broken, p)
			blame[p.field]++
			blame[p.of]++
		}
	}
	if len(broken) == 0 {
		return nil
	}
	odd, first := oddOne(broken, blame), broken[0]
	for _, p := range broken {
		if p.field == odd || p.of == odd {
			first = p
			break
		}
	}
	return b.oddError(odd, first)
}

// oddOne picks the most blamed measurement; of two blamed alike the one that
// is bounded by the other.
func oddOne(broken []proportion, blame map[string]int) string {
	odd, most := "", 0
	for _, p := range broken {
		for _, name := range [...]string{p.field, p.of} {
			if blame[name] > most {
				odd, most = name, blame[name]
			}
		}
	}
	return odd
}

// oddError words a proportion from the side of the odd measurement.
func (b Body) oddError(odd string, p proportion) error {
	v, of := b.field(fieldIndex(p.field)), b.field(fieldIndex(p.of))
	e := &OddError{Field: p.field, Got: Length(v), Beside: p.of, BesideIs: Length(of), Min: Length(p.low * of), Max: Length(p.high * of)}
	if odd == p.of {
		e = &OddError{Field: p.of, Got: Length(of), Beside: p.field, BesideIs: Length(v), Min: Length(v / p.high), Max: Length(v / p.low)}
	}
	e.Min, e.Max = Length(math.Ceil(float64(e.Min))), Length(math.Floor(float64(e.Max)))
	return e
}
