package patternkit

import (
	"bytes"
	"fmt"
	"strings"

	"patternkit/patternkit/drawing"
	"patternkit/patternkit/geom"
)

// Squares to measure on a roll, one of each measure, side by side.
const (
	squareCM = 10 * CM
	squareIn = 4 * Inch
)

// PrintRoll returns the pattern at true scale on one page of a roll of that
// width, as short as it can lay it, grain along the roll, beside a 10 cm and a
// 4 in square to measure. 1 cm of the width is left blank on either side. A
// piece wider than the roll, or a length above 508 cm, is an error.
func (p Pattern) PrintRoll(width Length) (Printed, error) {
	room := width - 2*pageMargin - 2*MM // as drawing leaves 1 mm around what is drawn
	boxes := p.rollBoxes()
	names := append(p.pieceNames(), "the key", "the test squares")
	for i, b := range boxes {
		if !(b.width <= room) || !width.Finite() {
			return Printed{}, fmt.Errorf("pattern %q on a roll of %s: %s is %s wide with what is written beside it, want a roll of at least %s",
				p.name, width, names[i], b.width, b.width+2*pageMargin+2*MM)
		}
	}
	var laid []boxed
	least := Length(0)
	for _, order := range orders(boxes) {
		try := skyline(boxes, order, room, pieceGap)
		if h := laidHeight(try); laid == nil || h < least {
			laid, least = try, h
		}
	}
	page := p.trueScale(laid[:len(laid)-1])
	drawSquares(page, laid[len(laid)-1].at)
	file, err := page.PDF(drawing.Sheets{Paper: drawing.Roll, Width: width, Margin: pageMargin})
	if err != nil {
		return Printed{}, err
	}
	box := page.Bounds()
	return Printed{Pattern: p.name, Paper: drawing.Roll, Pages: bytes.Count(file, []byte("/Type /Page\n")), Width: box.Width(), Height: box.Height(), File: file, lines: strings.Join(p.whichLine(), " ")}, nil
}

// rollBoxes are the pieces, the key and the test squares.
func (p Pattern) rollBoxes() []boxed {
	boxes := p.boxes()
	return append(boxes, boxed{width: squareCM + pieceGap + squareIn, height: max(squareCM, squareIn)})
}

func (p Pattern) pieceNames() []string {
	names := make([]string, len(p.pieces))
	for i, piece := range p.pieces {
		names[i] = fmt.Sprintf("piece %q", piece.name)
	}
	return names
}

func laidHeight(laid []boxed) Length {
	var top Length
	for _, b := range laid {
		top = max(top, b.at.Y+b.height)
	}
	return top
}

// drawSquares draws both test squares from their lower left corner.
func drawSquares(page *drawing.Page, at Point) {
	square := func(at Point, side Length, size string) {
		box := geom.Rect{Min: at, Max: at.Add(Pt(side, side))}
		page.Stroke(box.Outline(), printStyle().grain)
		page.Text(drawing.Text{At: box.Center(), S: size + " square\nmeasure each side", Font: printStyle().edge, Anchor: drawing.MiddleCenter})
	}
	square(at, squareCM, "10 cm")
	square(at.Add(Pt(squareCM+pieceGap, 0)), squareIn, "4 in")
}
