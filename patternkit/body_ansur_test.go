package patternkit

import (
	"testing"

	"patternkit/patternkit/internal/ansur"
)

// ansurMeasured says which column of ANSUR II holds a measurement. BackWidth
// is taken between the armpit folds (interscye I), UpperArmGirth is flexed.
var ansurMeasured = []struct{ field, column string }{
	{"Height", "stature"},
	{"BustGirth", "chestcircumference"},
	{"HipGirth", "buttockcircumference"},
	{"NeckBaseGirth", "neckcircumferencebase"},
	{"ShoulderLength", "shoulderlength"},
	{"BackWidth", "interscyei"},
	{"ShoulderGirth", "shouldercircumference"},
	{"UpperArmGirth", "bicepscircumferenceflexed"},
	{"WristGirth", "wristcircumference"},
	{"HandGirth", "handcircumference"},
	{"ArmLength", "sleeveoutseam"},
	{"InsideLeg", "crotchheight"},
	{"ThighGirth", "thighcircumference"},
	{"CalfGirth", "calfcircumference"},
	{"AnkleGirth", "anklecircumference"},
	{"HeelGirth", "heelanklecircumference"},
	{"HeadGirth", "headcircumference"},
}

// ansurBodies returns the 1,986 women of ANSUR II as given bodies, not yet
// estimated, in file order. The test is skipped where the data is absent. Two
// measurements were taken to the navel and are brought to the natural waist:
// the girth by the means and spreads of the 1988 survey, the back length so
// that its mean is that of 1988 (its nape to navel is longer than that of 2012
// by 17.1 mm, so the landmarks differ).
func ansurBodies(tb testing.TB) []Body {
	tb.Helper()
	women := ansur.TestWomen(tb)
	bodies := make([]Body, women.Rows())
	set := func(field string, values []float64) {
		for i := range bodies {
			bodies[i].setField(fieldIndex(field), values[i])
		}
	}
	for _, m := range ansurMeasured {
		set(m.field, ansurColumn(tb, women, m.column))
	}
	waist, back := ansurColumn(tb, women, "waistcircumference"), ansurColumn(tb, women, "waistbacklength")
	for i := range bodies {
		waist[i] = fromNavel(waist[i])
		back[i] -= 425.40 - 367.3 // means of waistbacklength 2012 and of waist_back_length_natural 1988
	}
	set("WaistGirth", waist)
	set("BackWaistLength", back)
	return bodies
}

func ansurColumn(tb testing.TB, women ansur.Table, name string) []float64 {
	tb.Helper()
	c, err := women.Column(name)
	if err != nil {
		tb.Fatal(err)
	}
	return c
}
