package main

import "math"

// A target is one measurement of a Body to be estimated: how to compute it for
// each measured woman, and what the 1988 means add to it.
type target struct {
	field string
	what  string                         // the columns in words, for the table of a body
	on    string                         // predictors that may be used: h(eight) b(ust) w(aist) p (hip)
	value func(w woman) float64          // mm, or radians for a slope
	level func(m means) float64          // the value at the 1988 mean height and bust; nil: ANSUR II gives it
	after func(m means) (k, add float64) // y -> k*y + add, from the 1988 means; nil: as it is
}

// woman gives one person's measure by column name.
type woman func(column string) float64

// means gives the 1988 mean of a measure, in mm.
type means func(measure string) float64

func column(name string) func(woman) float64 {
	return func(w woman) float64 { return w(name) }
}

func difference(a, b string) func(woman) float64 {
	return func(w woman) float64 { return w(a) - w(b) }
}

func mean1988(measure string) func(means) float64 {
	return func(m means) float64 { return m(measure) }
}

// targets lists what is regressed, in the order of Body's fields. Girths may
// use all four predictors. Lengths that end at the natural waist use no girth
// of waist or hip: ANSUR II measures to the navel, which lies lower the larger
// the waist, and that belongs to the navel and not to the natural waist.
var targets = []target{
	{field: "Height", on: "bwp", what: "ANSUR II: stature", value: column("stature")},
	{field: "WaistGirth", on: "hbp", what: "ANSUR II: girth at the navel, brought to the natural waist by the means and spreads of ANSUR 1988",
		value: column("waistcircumference"), after: naturalWaist},
	{field: "HipGirth", on: "hbw", what: "ANSUR II: buttock girth", value: column("buttockcircumference")},
	{field: "NeckBaseGirth", on: "hbwp", what: "ANSUR II: neck base girth", value: column("neckcircumferencebase")},
	{field: "ShoulderLength", on: "hbwp", what: "ANSUR II: shoulder length", value: column("shoulderlength")},
	{field: "BackWidth", on: "hbwp", what: "ANSUR II: across the back between the armpit folds", value: column("interscyei")},
	{field: "ShoulderGirth", on: "hbwp", what: "ANSUR II: shoulder girth", value: column("shouldercircumference")},
	{field: "BackWaistLength", on: "hb", what: "ANSUR 1988: nape to natural waist; slopes of nape to navel in ANSUR II",
		value: column("waistbacklength"), level: mean1988("waist_back_length_natural")},
	{field: "FrontWaistLength", on: "hb", what: "ANSUR 1988: neck to bust point, and heights of bust and waist; slopes of neck to navel in ANSUR II",
		value: column("waistfrontlengthsitting"), level: frontWaist},
	{field: "NeckToBustPoint", on: "hb", what: "ANSUR 1988: neck to bust point; slopes of nape height less bust height in ANSUR II",
		value: difference("cervicaleheight", "chestheight"), level: mean1988("neck_bustpoint_length")},
	{field: "ArmscyeDepth", on: "hb", what: "ANSUR 1988: scye depth; slopes of nape height less armpit height in ANSUR II",
		value: difference("cervicaleheight", "axillaheight"), level: mean1988("scye_depth")},
	{field: "UpperArmGirth", on: "hbwp", what: "ANSUR II: upper arm girth, flexed, so a little large", value: column("bicepscircumferenceflexed")},
	{field: "ElbowGirth", on: "hbwp", what: "ANSUR II: forearm girth, times elbow to forearm of ANSUR 1988",
		value: column("forearmcircumferenceflexed"), after: ratio1988("elbow_circumference", "forearm_circumference_flexed")},
	{field: "WristGirth", on: "hbwp", what: "ANSUR II: wrist girth", value: column("wristcircumference")},
	{field: "HandGirth", on: "hbwp", what: "ANSUR II: hand girth", value: column("handcircumference")},
	{field: "ArmLength", on: "hbwp", what: "ANSUR II: shoulder point to wrist", value: column("sleeveoutseam")},
	{field: "WaistToHip", on: "h", what: "ANSUR II: navel height less buttock height; plus navel to natural waist of ANSUR 1988",
		value: difference("waistheightomphalion", "buttockheight"), after: aboveNavel},
	{field: "WaistHeight", on: "h", what: "ANSUR II: navel height; plus navel to natural waist of ANSUR 1988",
		value: column("waistheightomphalion"), after: aboveNavel},
	{field: "BodyRise", on: "h", what: "ANSUR 1988: height of the natural waist, sitting; slope of navel height less crotch height in ANSUR II",
		value: difference("waistheightomphalion", "crotchheight"), level: mean1988("waist_height_sitting_natural")},
	{field: "CrotchLength", on: "hbp", what: "ANSUR II: navel to navel between the legs; plus the difference to the natural waist of ANSUR 1988",
		value: column("crotchlengthomphalion"), after: difference1988("crotch_length_natural", "crotch_length_omphalion")},
	{field: "InsideLeg", on: "hbwp", what: "ANSUR II: crotch height", value: column("crotchheight")},
	{field: "ThighGirth", on: "hbwp", what: "ANSUR II: thigh girth", value: column("thighcircumference")},
	{field: "KneeGirth", on: "hbwp", what: "ANSUR II: calf girth, times knee to calf of ANSUR 1988",
		value: column("calfcircumference"), after: ratio1988("knee_circumference", "calf_circumference")},
	{field: "CalfGirth", on: "hbwp", what: "ANSUR II: calf girth", value: column("calfcircumference")},
	{field: "AnkleGirth", on: "hbwp", what: "ANSUR II: ankle girth", value: column("anklecircumference")},
	{field: "HeelGirth", on: "hbwp", what: "ANSUR II: girth over heel and ankle", value: column("heelanklecircumference")},
	{field: "HeadGirth", on: "hbwp", what: "ANSUR II: head girth", value: column("headcircumference")},
	// The slope hardly changes with height and girths: its mean is taken.
	{field: "ShoulderSlope", on: "", what: "ANSUR II: neck side (nape height less 1.15 cm of ANSUR 1988) to shoulder point, over the shoulder length",
		value: shoulderFall},
}

// naturalWaist brings a girth at the navel to the natural waist: as many
// standard deviations from the mean there as here.
func naturalWaist(m means) (k, add float64) {
	k = m("waist_circumference_natural.sd") / m("waist_circumference_omphalion.sd")
	return k, m("waist_circumference_natural") - k*m("waist_circumference_omphalion")
}

// frontWaist is the 1988 woman's neck to bust point, and on to the waist: down
// by the difference of heights and in by that of chest and waist depth, which
// only ANSUR II has (247.40 - 213.03 mm, its summary).
func frontWaist(m means) float64 {
	const in = 247.40 - 213.03
	down := m("chest_height") - m("waist_height_natural")
	return m("neck_bustpoint_length") + math.Hypot(down, in)
}

// aboveNavel lifts a height at the navel to the natural waist.
func aboveNavel(m means) (k, add float64) {
	return 1, m("waist_height_natural") - m("waist_height_omphalion")
}

func ratio1988(a, b string) func(means) (k, add float64) {
	return func(m means) (k, add float64) { return m(a) / m(b), 0 }
}

func difference1988(a, b string) func(means) (k, add float64) {
	return func(m means) (k, add float64) { return 1, m(a) - m(b) }
}

// neckSideBelowNape is the 1988 cervicale height less the lateral neck height,
// 1408.0 - 1396.5 mm.
const neckSideBelowNape = 1408.0 - 1396.5

func shoulderFall(w woman) float64 {
	fall := w("cervicaleheight") - neckSideBelowNape - w("acromialheight")
	return math.Asin(fall / w("shoulderlength"))
}
