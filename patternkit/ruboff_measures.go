package patternkit

import "strconv"

// A flatMeasure is one point of measure of a top that lies flat.
type flatMeasure struct {
	name     string
	of       func(*FlatTop) *Length
	from, to string
	how      string
	kind     string // what of the garment it is
	min, max Length
	optional bool
}

// How much of the garment a measure is.
const (
	flatHalfGirth = "half girth"
	flatWhole     = "whole width"
	flatOneSide   = "one side"
	flatPanel     = "front alone"
)

// flatMeasures are in the order in which a tape goes over the garment. Their
// ranges run from a small child's top to the largest that is sewn (common
// practice, no source).
var flatMeasures = []flatMeasure{
	{"BackLength", func(t *FlatTop) *Length { return &t.BackLength }, "side neck point", "hem", "on the back, straight down beside the centre line", flatOneSide, 20 * CM, 150 * CM, false},
	{"FrontLength", func(t *FlatTop) *Length { return &t.FrontLength }, "side neck point", "hem", "on the front, straight down; leave out where it is as the back", flatOneSide, 20 * CM, 150 * CM, true},
	{"NeckWidth", func(t *FlatTop) *Length { return &t.NeckWidth }, "side neck point", "side neck point", "straight across, seam to seam, a band not counted", flatWhole, 8 * CM, 60 * CM, false},
	{"BackNeckDrop", func(t *FlatTop) *Length { return &t.BackNeckDrop }, "ruler across the side neck points", "neckline, centre back", "straight down", flatOneSide, 0.5 * CM, 50 * CM, false},
	{"FrontNeckDrop", func(t *FlatTop) *Length { return &t.FrontNeckDrop }, "ruler across the side neck points", "neckline, centre front", "straight down", flatOneSide, 1 * CM, 50 * CM, false},
	{"AcrossShoulders", func(t *FlatTop) *Length { return &t.AcrossShoulders }, "shoulder point", "shoulder point", "straight across the back, where the sleeve seams meet the shoulder seams", flatWhole, 18 * CM, 100 * CM, false},
	{"ShoulderDrop", func(t *FlatTop) *Length { return &t.ShoulderDrop }, "ruler across the side neck points", "shoulder point", "straight down", flatOneSide, 0.2 * CM, 15 * CM, false},
	{"ShoulderLength", func(t *FlatTop) *Length { return &t.ShoulderLength }, "side neck point", "shoulder point", "along the shoulder seam; only to be sure", flatOneSide, 2 * CM, 40 * CM, true},
	{"AcrossBack", func(t *FlatTop) *Length { return &t.AcrossBack }, "armhole seam", "armhole seam", "straight across the back, where it is narrowest, about the middle of the armhole", flatWhole, 15 * CM, 100 * CM, false},
	{"AcrossFront", func(t *FlatTop) *Length { return &t.AcrossFront }, "armhole seam", "armhole seam", "straight across the front, where it is narrowest, about the middle of the armhole", flatWhole, 14 * CM, 100 * CM, false},
	{"ArmholeStraight", func(t *FlatTop) *Length { return &t.ArmholeStraight }, "shoulder point", "underarm point", "on the back, a straight line", flatOneSide, 8 * CM, 50 * CM, false},
	{"BackArmhole", func(t *FlatTop) *Length { return &t.BackArmhole }, "shoulder point", "underarm point", "tape on edge along the back armhole seam", flatOneSide, 8 * CM, 60 * CM, true},
	{"FrontArmhole", func(t *FlatTop) *Length { return &t.FrontArmhole }, "shoulder point", "underarm point", "tape on edge along the front armhole seam", flatOneSide, 8 * CM, 60 * CM, true},
	{"HalfBust", func(t *FlatTop) *Length { return &t.HalfBust }, "underarm point", "underarm point", "straight across, edge to edge as it lies", flatHalfGirth, 18 * CM, 110 * CM, false},
	{"WaistDown", func(t *FlatTop) *Length { return &t.WaistDown }, "side neck point", "level of the waist", "on the back, straight down; leave out where the top has no waist", flatOneSide, 15 * CM, 70 * CM, true},
	{"HalfWaist", func(t *FlatTop) *Length { return &t.HalfWaist }, "edge", "edge", "straight across at that level", flatHalfGirth, 15 * CM, 110 * CM, true},
	{"HipDown", func(t *FlatTop) *Length { return &t.HipDown }, "side neck point", "level of the hip", "on the back, straight down; leave out where the top ends above", flatOneSide, 20 * CM, 100 * CM, true},
	{"HalfHip", func(t *FlatTop) *Length { return &t.HalfHip }, "edge", "edge", "straight across at that level", flatHalfGirth, 16 * CM, 120 * CM, true},
	{"HalfHem", func(t *FlatTop) *Length { return &t.HalfHem }, "hem corner", "hem corner", "along the hem", flatHalfGirth, 16 * CM, 150 * CM, false},
	{"FrontBust", func(t *FlatTop) *Length { return &t.FrontBust }, "side seam", "side seam", "across the front at the underarm; leave out where the side seams lie at the sides", flatPanel, 16 * CM, 120 * CM, true},
	{"FrontWaist", func(t *FlatTop) *Length { return &t.FrontWaist }, "side seam", "side seam", "the same at the waist", flatPanel, 14 * CM, 120 * CM, true},
	{"FrontHip", func(t *FlatTop) *Length { return &t.FrontHip }, "side seam", "side seam", "the same at the hip", flatPanel, 14 * CM, 130 * CM, true},
	{"FrontHem", func(t *FlatTop) *Length { return &t.FrontHem }, "side seam", "side seam", "the same along the hem", flatPanel, 14 * CM, 160 * CM, true},
	{"SideSeam", func(t *FlatTop) *Length { return &t.SideSeam }, "underarm point", "hem", "along the side seam; only to be sure", flatOneSide, 5 * CM, 120 * CM, true},
	{"SleeveLength", func(t *FlatTop) *Length { return &t.SleeveLength }, "shoulder point", "hem of the sleeve", "along the fold of the sleeve", flatOneSide, 8 * CM, 90 * CM, false},
	{"HalfBiceps", func(t *FlatTop) *Length { return &t.HalfBiceps }, "underarm point", "fold of the sleeve", "square to the fold", flatHalfGirth, 6 * CM, 45 * CM, false},
	{"HalfSleeveHem", func(t *FlatTop) *Length { return &t.HalfSleeveHem }, "fold", "underarm seam", "along the hem of the sleeve", flatHalfGirth, 4 * CM, 45 * CM, false},
	{"SleeveUnderarm", func(t *FlatTop) *Length { return &t.SleeveUnderarm }, "underarm point", "hem of the sleeve", "along the underarm seam; only to be sure", flatOneSide, 1 * CM, 75 * CM, true},
	{"CapEase", func(t *FlatTop) *Length { return &t.CapEase }, "sleeve head", "armhole", "what the sleeve head is eased in by; 0 where it is set in flat", flatOneSide, 0, 10 * CM, true},
}

// PointsOfMeasure lists what is measured, numbered as in Picture: from where
// to where, how, and how much of the garment it is. What was not measured is
// left blank, so FlatTop{} makes an empty form for a class.
func (t FlatTop) PointsOfMeasure() Table {
	table := Table{Title: "Points of measure of a top lying flat", Columns: []Column{{Head: "No.", Number: true}, {Head: "Measure"},
		{Head: "From"}, {Head: "To"}, {Head: "How"}, {Head: "Is"}, {Head: "cm", Number: true}}}
	for i, m := range flatMeasures {
		value := ""
		if v := *m.of(&t); v != 0 {
			value = inCM(v)
		}
		how := m.how
		table.Rows = append(table.Rows, []string{strconv.Itoa(i + 1), m.name, m.from, m.to, how, m.kind, value})
	}
	table.Notes = []string{
		"Half girth: across the garment as it lies, edge to edge, half of what goes around. Do not double it.",
		"Lay the top on a table, closed and smoothed without drawing it. Seam lines are measured, not the edges of bands.",
	}
	return table
}

// HTML returns the points of measure as a table.
func (t FlatTop) HTML() string { return t.PointsOfMeasure().HTML() }

// Markdown returns the points of measure as a table of pipes.
func (t FlatTop) Markdown() string { return t.PointsOfMeasure().Markdown() }

// String returns the points of measure as text in columns.
func (t FlatTop) String() string { return t.PointsOfMeasure().String() }
