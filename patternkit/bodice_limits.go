package patternkit

import (
	"fmt"
	"math"
	"strings"
)

// A LimitError names the measurement or option that cannot be drafted with the
// others, what could be, and why.
type LimitError struct {
	What     string // what was asked: "bodice", "sleeve for an armhole of 41 cm"
	Field    string // as the designer typed it: "CapHeight"
	Got      Length
	Min, Max Length // what could be drafted; -Inf or +Inf where there is no such end
	Because  string // what stands in the way, may be empty
}

// Error reads like "bodice: BustEase is -20 cm, want at least -3.1 cm: ...".
func (e *LimitError) Error() string {
	s := fmt.Sprintf("%s: %s is %v, want %s", e.What, e.Field, e.Got, e.wanted())
	if e.Because != "" {
		s += ": " + e.Because
	}
	if hint := (&RangeError{Got: e.Got, Min: e.Min, Max: e.Max}).Hint(); hint != "" && e.Got < 5*CM && !strings.HasSuffix(e.Field, "Ease") {
		s += "; " + hint // an ease may well be a few millimetres
	}
	return s
}

// wanted rounds inward, so that what it says can be drafted.
func (e *LimitError) wanted() string {
	least, most := Length(math.Ceil(float64(e.Min)*10)/10), Length(math.Floor(float64(e.Max)*10)/10)
	switch {
	case !most.Finite():
		return fmt.Sprintf("at least %v", least)
	case !least.Finite():
		return fmt.Sprintf("at most %v", most)
	}
	return fmt.Sprintf("%v to %v", least, most)
}

var (
	noLeast = Length(math.Inf(-1))
	noMost  = Length(math.Inf(1))
)

// checkLimits returns a *LimitError where got is outside min to max or no number.
func checkLimits(what, field string, got, min, max Length, because string) error {
	if got >= min && got <= max {
		return nil
	}
	return &LimitError{What: what, Field: field, Got: got, Min: min, Max: max, Because: because}
}

// A needed is a measurement that a draft cannot do without.
type needed struct {
	field string
	got   float64
}

// checkNeeded names the measurements that are zero.
func checkNeeded(what string, all ...needed) error {
	var missing []string
	for _, n := range all {
		if n.got == 0 {
			missing = append(missing, n.field)
		}
	}
	if len(missing) == 0 {
		return nil
	}
	return fmt.Errorf("%s: not measured: %s; give them, or fill them in with Estimated()", what, strings.Join(missing, ", "))
}
