package patternkit

import (
	"math"
	"slices"

	"patternkit/patternkit/geom"
)

// A tileRoom is what of each page is printed on, and how far neighbouring
// pages overlap.
type tileRoom struct {
	width, height, overlap Length
}

// A boxed is what is laid on the sheets as one: a piece, or the key.
type boxed struct {
	width, height Length
	corner        Point // lower left, where it was drawn
	at            Point // lower left, where it is laid
}

// move takes what was drawn to where it is laid.
func (b boxed) move() Point { return b.at.Sub(b.corner) }

// layTrueScale places boxes on as few pages as it can find: in every order of
// up to five, else by height, width and as given, on sheets of every number of
// columns.
func layTrueScale(boxes []boxed, room tileRoom, gap Length) []boxed {
	total := Length(0)
	widest := Length(0)
	for _, b := range boxes {
		total += b.width + gap
		widest = max(widest, b.width)
	}
	var best []boxed
	fewest := math.MaxInt
	var least Length
	for columns := 1; ; columns++ {
		width := room.width + Length(columns-1)*(room.width-room.overlap)
		if width >= widest {
			for _, order := range orders(boxes) {
				laid := skyline(boxes, order, width, gap)
				pages, area := room.pages(laid)
				if pages < fewest || pages == fewest && area < least {
					best, fewest, least = laid, pages, area
				}
			}
		}
		if width >= total {
			return best
		}
	}
}

// pages counts the pages on which a box lies, when the whole lies in the middle
// of its pages, and the area of the whole.
func (r tileRoom) pages(laid []boxed) (int, Length) {
	all := geom.EmptyRect()
	for _, b := range laid {
		all = all.Union(b.rect())
	}
	all = all.Grow(1 * MM) // as drawing leaves around what is drawn
	columns := max(1, int(math.Ceil(float64((all.Width()-r.overlap)/(r.width-r.overlap)))))
	rows := max(1, int(math.Ceil(float64((all.Height()-r.overlap)/(r.height-r.overlap)))))
	left := all.Center().X - (r.width+Length(columns-1)*(r.width-r.overlap))/2
	low := all.Center().Y - (r.height+Length(rows-1)*(r.height-r.overlap))/2
	n := 0
	for c := range columns {
		for w := range rows {
			x, y := left+Length(c)*(r.width-r.overlap), low+Length(w)*(r.height-r.overlap)
			page := geom.Rect{Min: Pt(x, y), Max: Pt(x+r.width, y+r.height)}
			if slices.ContainsFunc(laid, func(b boxed) bool { return b.rect().Overlaps(page) }) {
				n++
			}
		}
	}
	return n, all.Width() * all.Height()
}

func (b boxed) rect() geom.Rect {
	return geom.Rect{Min: b.at, Max: b.at.Add(Pt(b.width, b.height))}
}

// skyline lays boxes one after the other, each as low as it goes on those
// before it and then as far left.
func skyline(boxes []boxed, order []int, width, gap Length) []boxed {
	laid := slices.Clone(boxes)
	var done []geom.Rect
	for _, i := range order {
		b := &laid[i]
		best := Pt(0, Length(math.Inf(1)))
		for _, x := range leftEdges(done, gap) {
			if x > 0 && x+b.width > width {
				continue
			}
			y := Length(0)
			for _, r := range done {
				if x < r.Max.X+gap && r.Min.X < x+b.width+gap {
					y = max(y, r.Max.Y+gap)
				}
			}
			if y < best.Y-1e-9 || y < best.Y+1e-9 && x < best.X {
				best = Pt(x, y)
			}
		}
		b.at = best
		done = append(done, b.rect())
	}
	return laid
}

func leftEdges(done []geom.Rect, gap Length) []Length {
	edges := []Length{0}
	for _, r := range done {
		edges = append(edges, r.Max.X+gap)
	}
	return edges
}

// orders returns orders in which to lay boxes.
func orders(boxes []boxed) [][]int {
	given := make([]int, len(boxes))
	for i := range given {
		given[i] = i
	}
	if len(boxes) <= 5 {
		return permutations(given)
	}
	tall, wide := slices.Clone(given), slices.Clone(given)
	slices.SortStableFunc(tall, func(a, b int) int { return int(boxes[b].height - boxes[a].height) })
	slices.SortStableFunc(wide, func(a, b int) int { return int(boxes[b].width - boxes[a].width) })
	return [][]int{given, tall, wide}
}

func permutations(s []int) [][]int {
	if len(s) <= 1 {
		return [][]int{slices.Clone(s)}
	}
	var out [][]int
	for i := range s {
		rest := append(slices.Clone(s[:i]), s[i+1:]...)
		for _, p := range permutations(rest) {
			out = append(out, append([]int{s[i]}, p...))
		}
	}
	return out
}

// What a page leaves blank, and what neighbouring pages share.
const (
	pageMargin  = 10 * MM
	pageOverlap = 15 * MM
	pieceGap    = 8 * MM // between pieces that are laid side by side
)

// paperSizes are the upright papers that pieces are laid on to save pages
// (ISO 216, ANSI/ASME Y14.1).
var paperSizes = map[Paper]Point{
	A4: Pt(210, 297), A3: Pt(297, 420), A2: Pt(420, 594), A1: Pt(594, 841), A0: Pt(841, 1189),
	Letter: Pt(8.5*Inch, 11*Inch), Tabloid: Pt(11*Inch, 17*Inch),
}

func pageRoom(size Point, landscape bool) tileRoom {
	if landscape {
		size = Pt(size.Y, size.X)
	}
	return tileRoom{size.X - 2*pageMargin, size.Y - 2*pageMargin, pageOverlap}
}
