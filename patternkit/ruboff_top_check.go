package patternkit

import (
	"errors"
	"fmt"
	"strings"
)

// flatProportions bound one measure by another. They are wide enough for close
// and for very loose tops, and closer together than a girth and its half
// (common practice, no source).
var flatProportions = [...]proportion{
	{"FrontLength", "BackLength", 0.85, 1.25},
	{"BackLength", "HalfBust", 0.6, 2.8},
	{"NeckWidth", "AcrossShoulders", 0.25, 0.9},
	{"BackNeckDrop", "BackLength", 0.005, 0.5},
	{"FrontNeckDrop", "BackLength", 0.02, 0.6},
	{"ShoulderDrop", "AcrossShoulders", 0.01, 0.3},
	{"AcrossBack", "AcrossShoulders", 0.7, 1},
	{"AcrossFront", "AcrossShoulders", 0.65, 1},
	{"HalfBust", "AcrossShoulders", 0.8, 1.8},
	{"HalfBust", "AcrossBack", 0.85, 1.9},
	{"HalfBust", "AcrossFront", 0.85, 2},
	{"HalfWaist", "HalfBust", 0.6, 1.4},
	{"HalfHip", "HalfBust", 0.65, 1.6},
	{"HalfHem", "HalfBust", 0.6, 1.9},
	{"FrontBust", "HalfBust", 0.75, 1.3},
	{"FrontWaist", "HalfWaist", 0.75, 1.3},
	{"FrontHip", "HalfHip", 0.75, 1.3},
	{"FrontHem", "HalfHem", 0.75, 1.3},
	{"ArmholeStraight", "HalfBust", 0.25, 0.7},
	{"BackArmhole", "ArmholeStraight", 1, 1.6},
	{"FrontArmhole", "ArmholeStraight", 0.95, 1.7},
	{"HalfBiceps", "HalfBust", 0.2, 0.55},
	{"HalfBiceps", "ArmholeStraight", 0.5, 1.4},
	{"HalfSleeveHem", "HalfBiceps", 0.35, 1},
	{"SleeveLength", "BackLength", 0.08, 1.8},
	{"SideSeam", "BackLength", 0.15, 0.95},
	{"SleeveUnderarm", "SleeveLength", 0.05, 1},
	{"WaistDown", "BackLength", 0.25, 0.98},
	{"HipDown", "BackLength", 0.4, 0.99},
}

// Check returns an error where a measure is none that a top has, where one
// that is needed is missing, or where measures contradict each other: then it
// names the odd one, the one beside it, and the likely slip, such as a whole
// girth given for a half one or inches for centimetres.
func (t FlatTop) Check() error {
	var errs []error
	var missing []string
	for _, m := range flatMeasures {
		v := *m.of(&t)
		switch {
		case v != 0:
			errs = append(errs, checkRange(flatWhat, m.name, v, m.min, m.max))
		case !m.optional:
			missing = append(missing, m.name)
		}
	}
	if len(missing) > 0 {
		errs = append(errs, fmt.Errorf("%s: not measured: %s; PointsOfMeasure says how each is taken", flatWhat, strings.Join(missing, ", ")))
	}
	if err := errors.Join(errs...); err != nil {
		return err
	}
	if err := t.checkPairs(); err != nil {
		return err
	}
	return t.checkTogether()
}

// checkPairs looks for measures that are nothing without another.
func (t FlatTop) checkPairs() error {
	for _, p := range [][2]string{{"HalfWaist", "WaistDown"}, {"WaistDown", "HalfWaist"}, {"HalfHip", "HipDown"}, {"HipDown", "HalfHip"},
		{"FrontWaist", "HalfWaist"}, {"FrontHip", "HalfHip"}} {
		if t.measure(p[0]) != 0 && t.measure(p[1]) == 0 {
			return fmt.Errorf("%s: %s is %v without %s, want both or none", flatWhat, p[0], t.measure(p[0]), p[1])
		}
	}
	return nil
}

// measure is the measure of that name.
func (t FlatTop) measure(name string) Length {
	for _, m := range flatMeasures {
		if m.name == name {
			return *m.of(&t)
		}
	}
	panic("patternkit: no measure of a flat top is named " + name)
}

func (t FlatTop) broken(p proportion) bool {
	v, of := float64(t.measure(p.field)), float64(t.measure(p.of))
	return v != 0 && of != 0 && !(v >= p.low*of && v <= p.high*of)
}

// checkTogether finds proportions that do not hold and names the measure that
// most of them have in common.
func (t FlatTop) checkTogether() error {
	var broken []proportion
	blame := map[string]int{}
	for _, p := range flatProportions {
		if t.broken(p) {
			broken = append(broken, p)
			blame[p.field]++
			blame[p.of]++
		}
	}
	if len(broken) == 0 {
		return nil
	}
	odd := oddOne(broken, blame)
	for _, p := range broken {
		if odd == p.field {
			return t.contradiction(odd, p.of, p.low, p.high)
		}
		if odd == p.of {
			return t.contradiction(odd, p.field, 1/p.high, 1/p.low)
		}
	}
	return nil
}

func (t FlatTop) contradiction(field, of string, low, high float64) error {
	got, beside := t.measure(field), t.measure(of)
	least, most := beside*Length(low), beside*Length(high)
	s := fmt.Sprintf("%s: %s is %v beside %s of %v, want %v to %v", flatWhat, field, got, of, beside, least, most)
	fits := func(v Length) bool { return v >= least && v <= most }
	hint := (&RangeError{Field: field, Got: got, Min: least, Max: most}).Hint()
	switch {
	case strings.HasPrefix(field, "Half") && fits(got/2):
		return fmt.Errorf("%s; is it the whole girth? lying flat it is half of that, did you mean %s*CM?", s, plainNumber((got / 2).CM()))
	case strings.HasSuffix(field, "Armhole") && fits(got/2):
		return fmt.Errorf("%s; is it the whole armhole? back and front are given each by itself", s)
	case strings.HasPrefix(field, "Front") && fits(got*2):
		return fmt.Errorf("%s; is it halved once more? the front goes from side seam to side seam, did you mean %s*CM?", s, plainNumber((got * 2).CM()))
	case strings.HasPrefix(field, "Half") && fits(got*2):
		return fmt.Errorf("%s; is it halved once more? lying flat it goes from edge to edge, did you mean %s*CM?", s, plainNumber((got * 2).CM()))
	case hint != "":
		return fmt.Errorf("%s; %s", s, hint)
	}
	return fmt.Errorf("%s; measure both again", s)
}

// flatSure is how far a measure that was only taken to be sure may be off.
const flatSure = 1.5 * CM

// checkDrawn holds what was measured to be sure against what came out.
func (d *flatDraft) checkDrawn() error {
	t := d.top
	underarm, err := d.sleeve.piece.EdgeLength("front underarm")
	if err != nil {
		return err
	}
	for _, c := range []struct {
		name   string
		drawn  Length
		follow string
	}{
		{"ShoulderLength", d.back.neckSide.Dist(d.back.shoulder), "AcrossShoulders, NeckWidth and ShoulderDrop"},
		{"SideSeam", d.back.side.Length(), "BackLength, ShoulderDrop and ArmholeStraight"},
		{"SleeveUnderarm", underarm, "SleeveLength, HalfBiceps and the armhole"},
	} {
		if got := t.measure(c.name); got != 0 && (got-c.drawn).Abs() > flatSure {
			return fmt.Errorf("%s: %s is %v, but %s make it %v, want them to agree within %v: measure these again",
				flatWhat, c.name, got, c.follow, c.drawn, flatSure)
		}
	}
	return nil
}
