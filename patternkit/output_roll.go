package patternkit

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"patternkit/patternkit/drawing"
	"patternkit/patternkit/geom"
)

// Squares to measure on a roll, one of each measure, side by side.
const (
	squareCM = 10 * CM
	squareIn = 4 * Inch
)

// What a length of a roll may hold: readers show pages of up to 508 cm (ISO
// 32000-1, annex C.2), and its margins and number need room too.
const (
	rollLongest = 500 * CM
	rollApart   = 2 * CM // between two lengths, for the number of the upper one
)

// PrintRoll returns the pattern at true scale on a roll of that width, as short
// as it can lay it, grain along the roll, beside a 10 cm and a 4 in square to
// measure. 1 cm of the width is left blank on either side. What is longer than
// 500 cm is printed in several lengths, each a page of the file with its
// number, so parted that no piece is cut. A piece wider than the roll or longer
// than 500 cm is an error.
func (p Pattern) PrintRoll(width Length) (Printed, error) {
	room := width - 2*pageMargin - 2*MM // as drawing leaves 1 mm around what is drawn
	boxes := p.rollBoxes()
	names := append(p.pieceNames(), "the key", "the test squares")
	for i, b := range boxes {
		switch {
		case !(b.width <= room) || !width.Finite():
			return Printed{}, fmt.Errorf("pattern %q on a roll of %s: %s is %s wide with what is written beside it, want a roll of at least %s",
				p.name, width, names[i], b.width, b.width+2*pageMargin+2*MM)
		case !(b.height <= rollLongest):
			return Printed{}, fmt.Errorf("pattern %q on a roll of %s: %s is %s long with what is written beside it, want at most %s: cut it along a line by a seam",
				p.name, width, names[i], b.height, rollLongest)
		}
	}
	laid := layRoll(boxes, room)
	page := p.trueScale(laid.boxes[:len(boxes)-1])
	drawSquares(page, laid.boxes[len(boxes)-1].at)
	laid.number(page, p.name)
	file, err := page.PDF(drawing.Sheets{Paper: drawing.Roll, Width: width, Margin: pageMargin, Breaks: laid.breaks})
	if err != nil {
		return Printed{}, err
	}
	box := page.Bounds()
	return Printed{Pattern: p.name, Paper: drawing.Roll, Pages: bytes.Count(file, []byte("/Type /Page\n")), Width: box.Width(), Height: box.Height(), File: file, lines: strings.Join(p.whichLine(), " ")}, nil
}

// A laidRoll is what is laid on a roll, in lengths above each other.
type laidRoll struct {
	boxes  []boxed
	breaks []Length // heights between two lengths
	top    Length
}

// layRoll lays boxes in the order that makes the fewest lengths, and of those
// the shortest. Of several lengths the first has the squares, which come last
// among the boxes: they are measured before the others are printed.
func layRoll(boxes []boxed, room Length) laidRoll {
	var best laidRoll
	for i, order := range orders(boxes) {
		laid := layLengths(boxes, order, room)
		if squares := len(boxes) - 1; len(laid.breaks) > 0 && order[0] != squares {
			order = slices.DeleteFunc(order, func(b int) bool { return b == squares })
			laid = layLengths(boxes, append([]int{squares}, order...), room)
		}
		if i == 0 || len(laid.breaks) < len(best.breaks) || len(laid.breaks) == len(best.breaks) && laid.top < best.top {
			best = laid
		}
	}
	return best
}

// layLengths lays boxes in an order, each on the first length that has room.
func layLengths(boxes []boxed, order []int, room Length) laidRoll {
	laid := laidRoll{boxes: slices.Clone(boxes)}
	low := Length(0)
	for len(order) > 0 {
		var on, over []int
		var best []boxed
		for _, i := range order {
			try := skyline(boxes, append(on, i), room, pieceGap)
			if laidHeight(try, append(on, i)) > rollLongest {
				over = append(over, i)
				continue
			}
			on, best = append(on, i), try
		}
		for _, i := range on {
			laid.boxes[i].at = best[i].at.Add(Pt(0, low))
		}
		laid.top = low + laidHeight(best, on)
		if order = over; len(order) > 0 {
			laid.breaks = append(laid.breaks, laid.top+rollApart/4)
			low = laid.top + rollApart
		}
	}
	return laid
}

// number writes under each length, where there are several, which it is.
func (l laidRoll) number(page *drawing.Page, name string) {
	if len(l.breaks) == 0 {
		return
	}
	low := -rollApart
	for i := range len(l.breaks) + 1 {
		if i > 0 {
			low = l.breaks[i-1] - rollApart/4
		}
		page.Text(drawing.Text{At: Pt(0, low+rollApart*0.45), S: fmt.Sprintf("%s, length %d of %d, true scale", name, i+1, len(l.breaks)+1), Font: printStyle().edge})
	}
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

// laidHeight is how far up some of what is laid reaches.
func laidHeight(laid []boxed, which []int) Length {
	var top Length
	for _, i := range which {
		top = max(top, laid[i].at.Y+laid[i].height)
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
