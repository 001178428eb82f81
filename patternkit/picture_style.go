package patternkit

import (
	"image/color"

	"patternkit/patternkit/drawing"
)

// A style is the line of each meaning and the size of each kind of text, in
// millimetres of paper. Lines differ in weight and dash, so that a drawing is
// read without colour.
type style struct {
	stitch   drawing.Pen // outline: the line that is sewn
	cut      drawing.Pen // where the cloth is cut, outside it
	sewn     drawing.Pen // the line that is sewn, inside a cut line
	turn     drawing.Pen // along which an edge or a pleat is folded
	fold     drawing.Pen // edge laid on the fold
	dart     drawing.Pen // legs of a dart
	mouth    drawing.Pen // mouth of a dart, where nothing is sewn
	internal drawing.Pen // lines drawn on the piece
	grain    drawing.Pen // grainline, notches, marks
	notch    drawing.Pen
	before   drawing.Pen // a piece as it was
	hair     drawing.Pen // construction, leaders, rules
	fault    drawing.Pen // beside a seam that does not meet

	title, name, edge, small drawing.Font

	mark Length // size of a mark: half a notch, a drill hole across
	gap  Length // clear space around text

	edgeSide float64 // where edges are named: 1 inside the piece, -1 outside
}

var (
	ink      = color.NRGBA{0x11, 0x11, 0x11, 0xff}
	softInk  = color.NRGBA{0x44, 0x44, 0x44, 0xff}
	faultInk = color.NRGBA{0xb0, 0x00, 0x20, 0xff}
)

// screenStyle is for a picture in a notebook, where 96 px are 25.4 mm of
// paper: no text under 9 px.
func screenStyle() style { return styleOf(1, 2.9, -1) }

// printStyle is for true-scale sheets, read at arm's length on a table. Edges
// are named inside, where the name stays on the piece when it is cut out.
func printStyle() style { return styleOf(1.4, 4.2, 1) }

func styleOf(line float64, text Length, edgeSide float64) style {
	w := Length(line)
	return style{
		stitch:   drawing.Pen{Width: 0.55 * w, Color: ink},
		cut:      drawing.Pen{Width: 0.55 * w, Color: ink},
		sewn:     drawing.Pen{Width: 0.3 * w, Color: ink, Dash: []Length{1.6 * w, 0.9 * w}},
		turn:     drawing.Pen{Width: 0.3 * w, Color: ink, Dash: []Length{3.4 * w, 0.9 * w, 0.9 * w, 0.9 * w}},
		fold:     drawing.Pen{Width: 0.45 * w, Color: ink, Dash: []Length{5 * w, 1.2 * w, 1.2 * w, 1.2 * w}},
		dart:     drawing.Pen{Width: 0.3 * w, Color: ink},
		mouth:    drawing.Pen{Width: 0.22 * w, Color: softInk, Dash: []Length{1 * w, 1 * w}},
		internal: drawing.Pen{Width: 0.22 * w, Color: softInk, Dash: []Length{2.2 * w, 1.1 * w}},
		grain:    drawing.Pen{Width: 0.25 * w, Color: ink},
		notch:    drawing.Pen{Width: 0.4 * w, Color: ink},
		before:   drawing.Pen{Width: 0.25 * w, Color: softInk, Dash: []Length{0.9 * w, 1.3 * w}},
		hair:     drawing.Pen{Width: 0.15 * w, Color: softInk},
		fault:    drawing.Pen{Width: 0.45 * w, Color: faultInk},
		title:    drawing.Font{Size: text * 1.5, Bold: true, Color: ink},
		name:     drawing.Font{Size: text * 1.25, Bold: true, Color: ink},
		edge:     drawing.Font{Size: text, Color: ink},
		small:    drawing.Font{Size: text * 0.9, Color: softInk},
		mark:     1.5 * w,
		gap:      1.1 * w,
		edgeSide: edgeSide,
	}
}
