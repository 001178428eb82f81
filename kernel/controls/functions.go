package controls

import "patternkit/patternkit/geom"

// process is the panel of a plain Go program.
var process = NewPanel()

// Slider makes a slider for a length: Slider("cap height", 13*CM, 8*CM, 18*CM).
// A slider made again under the same label takes the place of the first and
// starts at its own value. It is an error when value is not within from to
// to, or when there is nothing between them.
func Slider(label string, value, from, to geom.Length) (*LengthSlider, error) {
	return process.Slider(label, value, from, to)
}

// LengthEntry makes a field to type a length in: "4.1 cm", "41 mm",
// "1 5/8 in". Text that is no length, or one outside from to to, is answered
// beside the field, and the last length stays. See Slider for the label and
// the errors.
func LengthEntry(label string, value, from, to geom.Length) (*LengthEntryControl, error) {
	return process.LengthEntry(label, value, from, to)
}

// MeasureIn chooses the unit in which lengths are shown by the sliders and
// entries that are made from now on: "cm" or "in". Another is an error. While
// nothing is chosen it is the one in which value, from and to are rounder:
// Slider("cuff", 2*Inch, 1*Inch, 4*Inch) is in inches.
func MeasureIn(unit string) error { return process.MeasureIn(unit) }

// AngleSlider makes a slider for an angle: AngleSlider("flare", 12*Degree, 0, 45*Degree).
// See Slider.
func AngleSlider(label string, value, from, to geom.Angle) (*AngleControl, error) {
	return process.AngleSlider(label, value, from, to)
}

// NumberSlider makes a slider for a number without a unit. See Slider.
func NumberSlider(label string, value, from, to float64) (*NumberControl, error) {
	return process.NumberSlider(label, value, from, to)
}

// CountSlider makes a slider for a whole number. See Slider.
func CountSlider(label string, value, from, to int) (*CountControl, error) {
	return process.CountSlider(label, value, from, to)
}

// Choice makes a list to choose one option from. It starts at the first. It
// is an error to give fewer than two options, or one twice.
func Choice(label string, options ...string) (*ChoiceControl, error) {
	return process.Choice(label, options...)
}

// Toggle makes a box to tick. It is an error when the label is empty.
func Toggle(label string, on bool) (*ToggleControl, error) { return process.Toggle(label, on) }

// Live shows what draw returns, under the controls that it reads, and draws
// it again in the same place whenever one of them moves. Where nothing can be
// moved it shows the drawing and the values used. A drawing that fails says
// so in its place, and the controls stay.
func Live(draw func() any) { process.Live(draw) }

// Show shows values in the running cell, each by itself. A last value that is
// an error is returned and nothing is shown; a last nil behind others is left
// out: Show(f()) is meant for functions that may fail.
func Show(values ...any) error { return process.Show(values...) }

// Aside shows a value beside the notebook, in the pane that front ends keep
// for help: a long table to look things up in while cells are written. It is
// not kept in the notebook. Where there is no such pane it is shown in the
// cell.
func Aside(v any) { process.Aside(v) }

// ClearOutput empties what the running cell has shown so far: at once or, with
// wait, when the next output comes, so that nothing flickers.
func ClearOutput(wait bool) { process.ClearOutput(wait) }

// Progress makes a bar for long work. It is shown in the running cell at the
// first Report.
func Progress(label string) *ProgressBar { return process.Progress(label) }

// Save writes a file under the folder of the notebook (of a Go program: the
// current folder) and shows its name and size. Folders on the way are made; a
// file that is there is replaced, and the result says so. A name that leads
// out of the folder, that has a part beginning with a point, or whose ending
// is not that of a drawing, a table or a text, is an error.
func Save(name string, content []byte) (Saved, error) { return process.Save(name, content) }

// Load reads a file under the folder of the notebook, as Save names it; what
// the notebook has saved elsewhere, as in a run of a class's rows, from there.
// A file of more than 64 MB is an error.
func Load(name string) ([]byte, error) { return process.Load(name) }

// Ask asks whoever runs the cell for a line of text.
func Ask(question string) (string, error) { return process.Ask(question) }
