package drawing

import (
	"math"

	"patternkit/patternkit/geom"
)

// A crowd is what is on a page, for labels to keep clear of: straight bits of
// lines and boxes of text, in squares of a grid.
type crowd struct {
	bits  []bit
	boxes [][4]geom.Point
	grid  map[[2]int32]run
	in    []inSquare
	seen  []int32 // per bit, the last question that met it
	asked int32
}

// A run is what lies in one square of the grid, from the first to the last of
// the crowd's entries that follow each other.
type run struct{ first, last int32 }

// An inSquare is an entry of a run: an index into bits, and where the next
// entry is, 0 after the last.
type inSquare struct{ bit, next int32 }

// A bit is a straight piece of a drawn line.
type bit struct {
	a, b geom.Point
	half geom.Length // of its width
}

// gridSize is the side of a square of the grid.
const gridSize = 8

func newCrowd() *crowd { return &crowd{grid: map[[2]int32]run{}, in: make([]inSquare, 1, 512)} }

func (c *crowd) addElement(e *element) {
	switch e.kind {
	case strokeKind:
		for _, p := range e.paths {
			c.addPath(p, e.pen.Width)
		}
	case fillKind:
		for _, p := range e.paths {
			c.addPath(p, 0)
		}
	case textKind:
		c.addText(e.text)
	case imageKind:
		c.addPath(e.frame.Outline(), 0)
	}
}

func (c *crowd) addText(t Text) { c.boxes = append(c.boxes, t.corners(0)) }

func (c *crowd) addPath(p geom.Path, width geom.Length) {
	line := p.Flatten(0.1)
	for i := 1; i < len(line); i++ {
		a := geom.Pt(geom.Length(line[i-1][0]), geom.Length(line[i-1][1]))
		b := geom.Pt(geom.Length(line[i][0]), geom.Length(line[i][1]))
		// Short bits keep to few squares of the grid.
		n := max(1, math.Ceil(float64(a.Dist(b))/gridSize))
		for k := 0.0; k < n; k++ {
			c.addBit(bit{a.Lerp(b, k/n), a.Lerp(b, (k+1)/n), width / 2})
		}
	}
}

func (c *crowd) addBit(b bit) {
	index := int32(len(c.bits))
	c.bits = append(c.bits, b)
	c.seen = append(c.seen, 0)
	eachSquare(geom.RectAround(b.a, b.b).Grow(b.half), func(key [2]int32) {
		entry := int32(len(c.in))
		c.in = append(c.in, inSquare{bit: index})
		r, ok := c.grid[key]
		if ok {
			c.in[r.last].next = entry
		} else {
			r.first = entry
		}
		c.grid[key] = run{r.first, entry}
	})
}

func eachSquare(r geom.Rect, visit func([2]int32)) {
	square := func(x geom.Length) int32 { return int32(math.Floor(float64(x) / gridSize)) }
	for x := square(r.Min.X); x <= square(r.Max.X); x++ {
		for y := square(r.Min.Y); y <= square(r.Max.Y); y++ {
			visit([2]int32{x, y})
		}
	}
}

// cover returns what it costs to write in a box: for other text that it
// touches and for the lines that run through it. Above enough it stops.
func (c *crowd) cover(box [4]geom.Point, enough float64) float64 {
	cost := 0.0
	for _, other := range c.boxes {
		if boxesMeet(box, other) {
			cost += costText
			if cost > enough {
				return cost
			}
		}
	}
	c.near(geom.RectAround(box[:]...), func(b bit) {
		if l := insideBox(b, box); l > 0 {
			cost += costLine * (0.4 + float64(l/box[0].Dist(box[1])))
		}
	})
	return cost
}

// coverLine returns what it costs to draw a leader from its start, where the
// line that it is about may lie.
func (c *crowd) coverLine(leader geom.Path, from geom.Point) float64 {
	cost := 0.0
	a, b := leader.Start(), leader.End()
	for _, other := range c.boxes {
		if insideBox(bit{a: a, b: b}, other) > 0 {
			cost += costBlot
		}
	}
	c.near(geom.RectAround(a, b), func(other bit) {
		d, e := b.Sub(a), other.b.Sub(other.a)
		cross := d.Cross(e)
		t, u := other.a.Sub(a).Cross(e)/cross, other.a.Sub(a).Cross(d)/cross
		if t >= 0 && t <= 1 && u >= 0 && u <= 1 && a.Lerp(b, t).Dist(from) > 0.5 {
			cost += costGuide
		}
	})
	return cost
}

// near visits every bit in the squares of r once.
func (c *crowd) near(r geom.Rect, visit func(bit)) {
	c.asked++
	eachSquare(r, func(key [2]int32) {
		for at := c.grid[key].first; at > 0; at = c.in[at].next {
			i := c.in[at].bit
			if c.seen[i] != c.asked {
				c.seen[i] = c.asked
				visit(c.bits[i])
			}
		}
	})
}

// insideBox returns how much of b, at its width, runs within a turned box.
func insideBox(b bit, box [4]geom.Point) geom.Length {
	right, up := box[1].Sub(box[0]), box[3].Sub(box[0])
	w, h := right.Norm(), up.Norm()
	right, up = right.Scale(1/float64(w)), up.Scale(1/float64(h))
	from, to := 0.0, 1.0
	clip := func(axis geom.Point, size geom.Length) bool {
		x0, x1 := b.a.Sub(box[0]).Dot(axis), b.b.Sub(box[0]).Dot(axis)
		low, high := -float64(b.half), float64(size+b.half)
		if x0 == x1 {
			return x0 > low && x0 < high
		}
		t0, t1 := (low-x0)/(x1-x0), (high-x0)/(x1-x0)
		from, to = max(from, min(t0, t1)), min(to, max(t0, t1))
		return from < to
	}
	if !clip(right, w) || !clip(up, h) {
		return 0
	}
	return b.a.Dist(b.b) * geom.Length(to-from)
}

// boxesMeet reports whether two turned boxes overlap: no side of either parts
// them.
func boxesMeet(a, b [4]geom.Point) bool {
	return !parted(a, b) && !parted(b, a)
}

func parted(a, b [4]geom.Point) bool {
	for _, axis := range [2]geom.Point{a[1].Sub(a[0]), a[3].Sub(a[0])} {
		size := axis.Dot(axis)
		low, high := math.Inf(1), math.Inf(-1)
		for _, q := range b {
			x := q.Sub(a[0]).Dot(axis)
			low, high = min(low, x), max(high, x)
		}
		if low >= size || high <= 0 {
			return true
		}
	}
	return false
}
