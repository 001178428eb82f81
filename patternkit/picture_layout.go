package patternkit

import (
	"math"

	"patternkit/patternkit/geom"
)

// A placed piece is a piece on paper: turned so that its grain is upright,
// scaled and moved.
type placed struct {
	piece Piece
	part  int // which part of the pattern brought it
	group int // which of several patterns on one drawing
	to    Transform
	box   geom.Rect   // around the piece on paper
	cut   *pictureCut // what it has beyond its stitch line, nil for nothing
	old   *Piece      // as it was before, drawn under it; nil for nothing
	note  string      // lines under its name, "" for none
}

// A sheetSize is the room there is on paper for pieces, and the gaps to leave
// between them and between rows for what is written beside their edges.
type sheetSize struct {
	width, height Length
	gap, rowGap   Length
	maxScale      float64
}

// arrange lays pieces in rows in the order given, at the largest scale that
// fits, or a step under it, with the lower left corner of the whole at the
// origin. Pieces of one part keep their heights against each other, as they
// were drafted on one sheet: a bust line runs level from front to back.
func arrange(pieces []Piece, parts []int, size sheetSize) ([]placed, float64) {
	all := make([]placed, len(pieces))
	for i, p := range pieces {
		all[i] = standing(p, parts[i])
	}
	return arrangePlaced(all, size)
}

// standing is a piece of a part with its grain upright, not yet scaled.
func standing(p Piece, part int) placed {
	out := placed{piece: p, part: part, to: uprightGrain(p), cut: pictureCutOf(p)}
	out.box = out.rim().Bounds()
	return out
}

// arrangePlaced lays pieces that stand upright in rows.
func arrangePlaced(all []placed, size sheetSize) ([]placed, float64) {
	var best [][]placed
	scale := 0.0
	for n := 1; n <= len(all); n++ {
		rows := splitRows(all, n)
		if k := size.scaleFor(rows); k > scale*1.001 {
			best, scale = rows, k
		}
	}
	scale = steady(scale)
	return size.setRows(best, scale), scale
}

// steady rounds a scale down to steps of a twelfth, so that a piece that grows
// a little under a slider leaves the others as large as they were.
func steady(scale float64) float64 {
	const step = 1 + 1.0/12
	return math.Pow(step, math.Floor(math.Log(scale)/math.Log(step)+1e-9))
}

// scaleFor returns the largest scale at which rows fit the sheet.
func (s sheetSize) scaleFor(rows [][]placed) float64 {
	k := s.maxScale
	height := Length(0)
	for _, row := range rows {
		width := Length(0)
		for _, p := range row {
			width += p.box.Width()
		}
		k = min(k, float64((s.width-s.gap*Length(len(row)-1))/width))
		height += rowHeight(row)
	}
	return min(k, float64((s.height-s.rowGap*Length(len(rows)-1))/height))
}

// partBox returns the heights that the pieces of a part span in a row.
func partBox(row []placed, part int) (low, high Length) {
	low, high = Length(math.Inf(1)), Length(math.Inf(-1))
	for _, p := range row {
		if p.part == part {
			low, high = min(low, p.box.Min.Y), max(high, p.box.Max.Y)
		}
	}
	return low, high
}

func rowHeight(row []placed) Length {
	height := Length(0)
	for _, p := range row {
		low, high := partBox(row, p.part)
		height = max(height, high-low)
	}
	return height
}

// setRows scales the pieces and moves them to their places, top row first, the
// parts of a row hung from its top: one that grows moves no other.
func (s sheetSize) setRows(rows [][]placed, scale float64) []placed {
	var out []placed
	top := Length(0)
	for i := len(rows) - 1; i >= 0; i-- {
		height := rowHeight(rows[i])
		var row []placed
		x := Length(0)
		for _, p := range rows[i] {
			low, high := partBox(rows[i], p.part)
			y := top + (height-(high-low))*Length(scale) + (p.box.Min.Y-low)*Length(scale)
			to := p.to.Then(geom.Translate(Pt(-p.box.Min.X, -p.box.Min.Y))).Then(geom.Scale(scale)).Then(geom.Translate(Pt(x, y)))
			width, tall := p.box.Width()*Length(scale), p.box.Height()*Length(scale)
			p.to, p.box = to, geom.Rect{Min: Pt(x, y), Max: Pt(x+width, y+tall)}
			row = append(row, p)
			x += width + s.gap
		}
		out = append(row, out...)
		top += height*Length(scale) + s.rowGap
	}
	return out
}

// uprightGrain turns a piece so that its grainline stands upright, the nearer
// way.
func uprightGrain(p Piece) Transform {
	if !p.hasGrain {
		return geom.Rotate(Point{}, 0)
	}
	d := p.grain[1].Sub(p.grain[0])
	turn := math.Pi/2 - math.Atan2(float64(d.Y), float64(d.X))
	turn -= math.Pi * math.Round(turn/math.Pi)
	if math.Abs(turn) < 1e-9 {
		turn = 0
	}
	return geom.Rotate(Point{}, Angle(turn))
}

// splitRows breaks pieces into n rows so that the widest is narrowest.
func splitRows(pieces []placed, n int) [][]placed {
	limit, sum := Length(0), Length(0)
	for _, p := range pieces {
		limit = max(limit, p.box.Width())
		sum += p.box.Width()
	}
	low, high := limit, sum
	for range 40 {
		middle := (low + high) / 2
		if countRows(pieces, middle) <= n {
			high = middle
		} else {
			low = middle
		}
	}
	return fillRows(pieces, high)
}

// countRows returns how many rows fillRows fills.
func countRows(pieces []placed, width Length) int {
	rows, used := 0, Length(0)
	for i := range pieces {
		if w := pieces[i].box.Width(); rows == 0 || used+w > width {
			rows, used = rows+1, w
		} else {
			used += w
		}
	}
	return rows
}

func fillRows(pieces []placed, width Length) [][]placed {
	var rows [][]placed
	used := Length(0)
	for _, p := range pieces {
		if len(rows) == 0 || used+p.box.Width() > width {
			rows, used = append(rows, nil), 0
		}
		rows[len(rows)-1] = append(rows[len(rows)-1], p)
		used += p.box.Width()
	}
	return rows
}
