package patternkit

import (
	"errors"
	"fmt"
	"math"
	"strings"
)

//go:generate go run ./internal/estimates -o body_regressions.go

// A published value is a mean and a standard deviation in mm.
type published struct{ mean, sd float64 }

// A span is the smallest and the largest of a predictor, in mm.
type span struct {
	field    string
	min, max float64
}

// A regression estimates a field as constant + slope * predictors, these being
// height, bust, waist (at the navel) and hip in mm.
type regression struct {
	field, on string // on: the letters of the predictors that are used
	constant  float64
	slope     [4]float64
	sd        float64 // of the residuals
}

// Only adult women were measured: a smaller person is likely a child, whose
// proportions differ. The shortest woman has 140.9 cm, the smallest bust
// 69.5 cm.
const (
	adultHeight = 140 * CM
	adultBust   = 69 * CM
)

// Estimated returns the body with every measurement that is zero filled in:
// by regression on the 1,986 women of ANSUR II (2012), with the natural waist
// and the armscye from the means of the 1988 survey (Natick/TR-89/044), and a
// few by rules that are marked as such. It needs BustGirth; Height, WaistGirth
// and HipGirth make the rest closer. Given measurements are never changed, and
// estimates of an earlier call are made again. Lengths are rounded to the
// millimetre, so that a table shows what is drafted.
//
// It returns an error where Check does, where BustGirth is missing, and for a
// child: the data is of adults.
func (b Body) Estimated() (Body, error) {
	given := b.givenOnly()
	if err := given.Check(); err != nil {
		return Body{}, err
	}
	if err := given.estimable(); err != nil {
		return Body{}, err
	}
	p := given.predictors()
	notes := &bodyNotes{}
	full := given
	for i := range shoulderSlope + 1 {
		if given.field(i) != 0 {
			continue
		}
		e := full.estimateField(i, p)
		notes.estimates[i] = e
		full.setField(i, e.number())
	}
	full.notes = notes
	if err := full.checkEstimates(); err != nil {
		return Body{}, err
	}
	return full, nil
}

// checkEstimates refuses what a body far from the women measured leads to.
func (b Body) checkEstimates() error {
	for _, e := range b.Estimates() {
		if i := fieldIndex(e.Field); i < shoulderSlope && (e.Value < bodyFields[i].min || e.Value > bodyFields[i].max) {
			return fmt.Errorf("body: from what is given %s would be %v, which is nobody's (%v to %v); measure it, and check what is given",
				e.Field, e.Value, bodyFields[i].min, bodyFields[i].max)
		}
	}
	if err := b.checkTogether(); err != nil {
		return fmt.Errorf("estimates do not go together with what is given; measure what is named, and check what is given: %w", err)
	}
	return nil
}

// givenOnly drops the estimates of an earlier call.
func (b Body) givenOnly() Body {
	out := b
	out.notes = nil
	for i := range shoulderSlope + 1 {
		if !b.given(i) {
			out.setField(i, 0)
		}
	}
	return out
}

// estimable says why the data of adult women cannot fill a body.
func (b Body) estimable() error {
	switch {
	case b.BustGirth == 0:
		return errors.New("body: BustGirth is missing; estimates need at least a bust girth, " +
			"and are closer with Height, WaistGirth and HipGirth: Body{Height: 168*CM, BustGirth: 92*CM, WaistGirth: 74*CM, HipGirth: 98*CM}")
	case b.Height != 0 && b.Height < adultHeight:
		return fmt.Errorf("body: Height is %v, and estimates are made from adult women of %v to %v only (ANSUR II); "+
			"a child's proportions differ, so measure the child and give every length that the draft asks for",
			b.Height, Length(spans[0].min), Length(spans[0].max))
	case b.BustGirth < adultBust:
		err := &RangeError{What: "estimates for an adult body", Field: "BustGirth", Got: b.BustGirth, Min: adultBust, Max: bodyFields[1].max}
		return fmt.Errorf("%w (the women of ANSUR II have %v to %v; a child cannot be estimated from adults)",
			err, Length(spans[1].min), Length(spans[1].max))
	}
	return nil
}

// predictors are the given measurements that regressions may use, as ANSUR II
// measured them, and the letters of those that are there.
type bodyPredictors struct {
	letters string
	values  [4]float64
	beyond  [4]string // says which lie outside of the women measured
}

func (b *Body) predictors() bodyPredictors {
	var p bodyPredictors
	for i, s := range spans {
		v := b.field(fieldIndex(s.field))
		if v == 0 {
			continue
		}
		if s.field == "WaistGirth" {
			v = atNavel(v)
		}
		p.letters += "hbwp"[i : i+1]
		p.values[i] = v
		if v < s.min || v > s.max {
			low, high := s.min, s.max
			if s.field == "WaistGirth" {
				low, high = fromNavel(low), fromNavel(high)
			}
			p.beyond[i] = fmt.Sprintf("; beyond the women measured (%s %v to %v)",
				bodyFields[fieldIndex(s.field)].words, Length(math.Round(low)), Length(math.Round(high)))
		}
	}
	return p
}

// atNavel brings a girth of the natural waist to the navel, where ANSUR II
// measures: as many standard deviations from the mean there as here. fromNavel
// is its inverse.
func atNavel(natural float64) float64 {
	return navelWaist1988.mean + (natural-naturalWaist1988.mean)*navelWaist1988.sd/naturalWaist1988.sd
}

func fromNavel(navel float64) float64 {
	return naturalWaist1988.mean + (navel-navelWaist1988.mean)*naturalWaist1988.sd/navelWaist1988.sd
}

// estimateField estimates the i-th measurement. Those before it are filled.
func (b *Body) estimateField(i int, p bodyPredictors) Estimate {
	if i == shoulderSlope {
		v, sd, from := b.regressed("ShoulderSlope", p)
		tenth := math.Round(Angle(v).Degrees()*10) / 10
		return Estimate{Field: "ShoulderSlope", Angle: Angle(tenth) * Degree, AnglePlusMinus: Angle(sd), From: from}
	}
	name := bodyFields[i].name
	var v, sd float64
	var from string
	bust := float64(b.BustGirth)
	switch name {
	case "UnderbustGirth":
		v, sd, from = ratio1988(underbust1988, bust)
	case "ArmscyeGirth":
		v, sd, from = ratio1988(armscyeGirth1988, bust)
	case "ChestWidth":
		v, from = 0.196*bust+158, "patent CN 02150747: 0.196 of the bust girth + 15.8 cm, on 2,800 Chinese women, no ± given"
	case "BustPointDistance":
		v, from = bust/5, "common practice, no source: a fifth of the bust girth"
	default:
		v, sd, from = b.regressed(name, p)
	}
	return Estimate{Field: name, Value: Length(math.Round(v)), PlusMinus: Length(sd), From: from}
}

// ratio1988 scales a 1988 mean with the bust. Its ± is the spread among all
// women, which the estimate stays below.
func ratio1988(of published, bust float64) (v, sd float64, from string) {
	v = bust * of.mean / chest1988.mean
	return v, of.sd, fmt.Sprintf("ANSUR 1988: %.1f cm at a bust of %.1f cm, in proportion to the bust; ± is the spread of all its women",
		of.mean/10, chest1988.mean/10)
}

// regressed evaluates the regression of a field that uses most of what is
// given. Where it rests on the height and that is an estimate too, the ± of
// both are added as errors that are independent.
func (b *Body) regressed(name string, p bodyPredictors) (v, sd float64, from string) {
	r, estimatedHeight := findRegression(name, p.letters)
	values, sd := p.values, r.sd
	if estimatedHeight {
		values[0] = float64(b.Height)
		height, _ := findRegression("Height", p.letters)
		sd = math.Hypot(sd, r.slope[0]*height.sd)
	}
	v = r.constant
	from = regressedFrom[name] + predictorWords(r.on)
	for i, slope := range r.slope {
		v += slope * values[i]
		if slope != 0 {
			from += p.beyond[i]
		}
	}
	return v, sd, from
}

// findRegression returns the regression of a field with most predictors among
// letters. A field that changes with the height alone has no other: then the
// height is an estimate.
func findRegression(field, letters string) (r regression, estimatedHeight bool) {
	for _, r := range regressions {
		if r.field == field && subset(r.on, letters) {
			return r, false
		}
	}
	for _, r := range regressions {
		if r.field == field {
			return r, true
		}
	}
	panic("no regression of " + field)
}

func subset(on, letters string) bool {
	for _, l := range on {
		if !strings.ContainsRune(letters, l) {
			return false
		}
	}
	return true
}

func predictorWords(on string) string {
	if on == "" {
		return "; the mean of all"
	}
	var words []string
	for i, l := range "hbwp" {
		if strings.ContainsRune(on, l) {
			words = append(words, [...]string{"height", "bust", "waist", "hip"}[i])
		}
	}
	return "; on " + strings.Join(words, ", ")
}
