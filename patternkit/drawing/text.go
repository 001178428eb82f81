package drawing

import (
	"fmt"
	"image/color"
	"math"
	"strings"
	"unicode/utf8"

	"patternkit/patternkit/geom"
)

// A Font is the size, weight and colour of text.
type Font struct {
	Size         geom.Length // of the em; capitals are 0.69 of it high
	Bold, Italic bool
	Color        color.Color // nil is black
}

// An Anchor is which point of a text stands at its place. Up and down, the
// base line, the middle of the capitals or their top is meant.
type Anchor uint8

// Anchors of text; the zero value is BaseLeft.
const (
	BaseLeft Anchor = iota
	BaseCenter
	BaseRight
	MiddleLeft
	MiddleCenter
	MiddleRight
	TopLeft
	TopCenter
	TopRight
)

const (
	capHeight   = 0.688 // height of capitals by the em: 1409 of 2048 units of the typeface
	descent     = 0.212 // depth of letters below the base line by the em: 434 units
	lineSpacing = 1.2   // from one base line to the next
)

// A Text is one or more lines of text at a place.
type Text struct {
	At     geom.Point
	S      string // lines parted by "\n"
	Font   Font
	Angle  geom.Angle // of the base line, counterclockwise
	Anchor Anchor
	Halo   geom.Length // width of a white rim that parts the text from what lies below
}

func (t Text) check() error {
	switch {
	case !(t.Font.Size > 0) || !t.Font.Size.Finite():
		return fmt.Errorf("text %q of size %v, want more than 0 cm", t.S, t.Font.Size)
	case !t.At.Finite() || math.IsNaN(float64(t.Angle)) || math.IsInf(float64(t.Angle), 0):
		return fmt.Errorf("text %q is placed at %v at an angle of %v, want numbers", t.S, t.At, t.Angle)
	case !(t.Halo >= 0) || !t.Halo.Finite():
		return fmt.Errorf("text %q with a halo of %v, want 0 cm or more", t.S, t.Halo)
	case !utf8.ValidString(t.S) || strings.ContainsFunc(t.S, func(r rune) bool { return r < ' ' && r != '\n' }):
		return fmt.Errorf("text %q has characters that are no text", t.S)
	}
	return nil
}

// A textLine is one line of a text, placed at the left end of its base line.
type textLine struct {
	s     string
	at    geom.Point
	width geom.Length
}

// lines returns the lines of t, placed.
func (t Text) lines() []textLine {
	n := 1 + strings.Count(t.S, "\n")
	out := make([]textLine, 0, n)
	right, up := geom.Polar(1, t.Angle), geom.Polar(1, t.Angle).Perp()
	first := t.firstBase(n)
	for s := range strings.SplitSeq(t.S, "\n") {
		w := TextWidth(s, t.Font)
		x := -w * geom.Length(t.Anchor%3) / 2
		y := first - geom.Length(len(out))*lineSpacing*t.Font.Size
		out = append(out, textLine{s, t.At.Add(right.Scale(float64(x))).Add(up.Scale(float64(y))), w})
	}
	return out
}

// firstBase returns how far above the place the first of n base lines is. The
// whole block is anchored: its last base line, its middle or its top.
func (t Text) firstBase(n int) geom.Length {
	rest := geom.Length(n-1) * lineSpacing * t.Font.Size
	switch t.Anchor / 3 {
	case 0:
		return rest
	case 1:
		return (rest - capHeight*t.Font.Size) / 2
	}
	return -capHeight * t.Font.Size
}

// corners returns the corners of the box of t, grown by gap, turned as t is,
// counterclockwise from the lower left of the writing.
func (t Text) corners(gap geom.Length) [4]geom.Point {
	width, n := geom.Length(0), 0
	for s := range strings.SplitSeq(t.S, "\n") {
		width = max(width, TextWidth(s, t.Font))
		n++
	}
	right, up := geom.Polar(1, t.Angle), geom.Polar(1, t.Angle).Perp()
	x0 := -width*geom.Length(t.Anchor%3)/2 - gap
	x1 := x0 + width + 2*gap
	first := t.firstBase(n)
	y1 := first + capHeight*t.Font.Size + gap
	y0 := first - geom.Length(n-1)*lineSpacing*t.Font.Size - descent*t.Font.Size - gap
	corner := func(x, y geom.Length) geom.Point {
		return t.At.Add(right.Scale(float64(x))).Add(up.Scale(float64(y)))
	}
	return [4]geom.Point{corner(x0, y0), corner(x1, y0), corner(x1, y1), corner(x0, y1)}
}

var (
	black = color.NRGBA{0, 0, 0, 0xff}
	white = color.NRGBA{0xff, 0xff, 0xff, 0xff}
)

// opaqueOr returns c without premultiplied alpha, or other where c is nil.
func opaqueOr(c color.Color, other color.NRGBA) color.NRGBA {
	if c == nil {
		return other
	}
	return color.NRGBAModel.Convert(c).(color.NRGBA)
}

func (pen Pen) color() color.NRGBA { return opaqueOr(pen.Color, black) }

func (f Font) color() color.NRGBA { return opaqueOr(f.Color, black) }

// check returns an error for a pen that leaves no line.
func (pen Pen) check() error {
	if !(pen.Width > 0) || !pen.Width.Finite() {
		return fmt.Errorf("a pen of width %v, want more than 0 cm", pen.Width)
	}
	sum := geom.Length(0)
	for _, d := range pen.Dash {
		if !(d >= 0) || !d.Finite() {
			return fmt.Errorf("a dash of %v, want 0 cm or more", d)
		}
		sum += d
	}
	// Shorter ones are a shade of grey, and too many to be counted.
	if len(pen.Dash) > 0 && sum < 0.01*geom.MM || !pen.Phase.Finite() {
		return fmt.Errorf("dashes and gaps of %g mm from %g mm on, want some that have a length of at least 0.01 mm together", pen.Dash, pen.Phase)
	}
	return nil
}
