package patternkit

import (
	"fmt"
	"math"

	"patternkit/patternkit/drawing"
	"patternkit/patternkit/geom"
)

// nameOf writes what the piece is and how often it is cut into the clearest
// place of the piece, or beside it where it does not fit. It returns the box
// that it wrote in.
func (s *board) nameOf(p placed) geom.Rect {
	lines := append(p.piece.cutLines(), s.caption...)
	width := drawing.TextWidth(p.piece.name, s.style.name)
	for _, l := range lines {
		width = max(width, drawing.TextWidth(l, s.style.small))
	}
	head, step := s.style.name.Size, s.style.small.Size*1.25
	height := head + step*Length(len(lines))
	middle, ok := clearPlace(p, width, height)
	if !ok {
		text := p.piece.name
		for _, l := range lines {
			text += "\n" + l
		}
		s.page.Label(drawing.Label{At: p.box.Center(), S: text, Font: s.style.small})
		return geom.Rect{Min: p.box.Center(), Max: p.box.Center()}
	}
	y := middle.Y + height/2 - head*0.85
	s.page.Text(drawing.Text{At: Pt(middle.X, y), S: p.piece.name, Font: s.style.name, Anchor: drawing.BaseCenter})
	for _, l := range lines {
		y -= step
		s.page.Text(drawing.Text{At: Pt(middle.X, y), S: l, Font: s.style.small, Anchor: drawing.BaseCenter})
	}
	half := Pt(width/2, height/2)
	return geom.Rect{Min: middle.Sub(half), Max: middle.Add(half)}
}

// cutLines says how often the piece is cut and from what.
func (p Piece) cutLines() []string {
	line := fmt.Sprintf("cut %d", p.quantity)
	if p.cutNote != "" {
		line += ", " + p.cutNote
	}
	lines := []string{line}
	if p.material != "" {
		lines = append(lines, p.material)
	}
	return lines
}

// clearPlace finds the middle of a box of that size inside a piece, clear of
// its lines: near the middle of the piece, but not at the price of crowding.
func clearPlace(p placed, width, height Length) (Point, bool) {
	lines := p.obstacles()
	rim := polygon(p.piece.outline.Transformed(p.to))
	const steps = 22
	best, bestScore := Point{}, math.Inf(-1)
	for i := 1; i < steps; i++ {
		for k := 1; k < steps; k++ {
			q := Pt(p.box.Min.X+p.box.Width()*Length(i)/steps, p.box.Min.Y+p.box.Height()*Length(k)/steps)
			if !inside(q, rim) {
				continue
			}
			room := clearance(q, width/2, height/2, lines)
			if room < 0.8*MM {
				continue
			}
			score := float64(min(room, 5*MM))*4 - float64(q.Dist(p.box.Center()))
			if score > bestScore {
				best, bestScore = q, score
			}
		}
	}
	return best, !math.IsInf(bestScore, -1)
}

// obstacles returns the lines on paper that writing in the piece keeps clear
// of, as polygons.
func (p placed) obstacles() [][]Point {
	out := [][]Point{polygon(p.piece.outline.Transformed(p.to))}
	for _, e := range p.piece.internals {
		out = append(out, polygon(e.Path.Transformed(p.to)))
	}
	for _, d := range p.piece.darts {
		a, b := p.piece.mouth(d)
		out = append(out, []Point{p.to.Apply(a), p.to.Apply(d.Tip), p.to.Apply(b)})
	}
	if a, b, ok := p.piece.Grainline(); ok {
		out = append(out, []Point{p.to.Apply(a), p.to.Apply(b)})
	}
	return out
}

func polygon(path Path) []Point {
	line := path.Flatten(0.3)
	out := make([]Point, len(line))
	for i, q := range line {
		out[i] = Pt(Length(q[0]), Length(q[1]))
	}
	return out
}

// inside reports whether q is within a closed polygon, by the crossings of a
// ray.
func inside(q Point, rim []Point) bool {
	in := false
	for i := 1; i < len(rim); i++ {
		a, b := rim[i-1], rim[i]
		if (a.Y > q.Y) != (b.Y > q.Y) && q.X < a.X+(b.X-a.X)*(q.Y-a.Y)/(b.Y-a.Y) {
			in = !in
		}
	}
	return in
}

// clearance returns how far the nearest line is from a box around q, below 0
// where one runs through it.
func clearance(q Point, w, h Length, lines [][]Point) Length {
	box := geom.Rect{Min: q.Sub(Pt(w, h)), Max: q.Add(Pt(w, h))}
	room := Length(math.Inf(1))
	for _, line := range lines {
		for i := 1; i < len(line); i++ {
			if d := boxToSegment(box, line[i-1], line[i], room); d < room {
				room = d
				if room < 0 {
					return room
				}
			}
		}
	}
	return room
}

// boxToSegment returns the distance of a segment from a box, -1 where it runs
// through the box, or anything above enough where it is farther than that.
func boxToSegment(box geom.Rect, a, b Point, enough Length) Length {
	around := geom.RectAround(a, b)
	dx := max(around.Min.X-box.Max.X, box.Min.X-around.Max.X, 0)
	dy := max(around.Min.Y-box.Max.Y, box.Min.Y-around.Max.Y, 0)
	if d := max(dx, dy); d > 0 && d >= enough {
		return d
	}
	if segmentMeetsBox(box, a, b) {
		return -1
	}
	d := min(box.Dist(a), box.Dist(b))
	for _, corner := range []Point{box.Min, box.Max, Pt(box.Min.X, box.Max.Y), Pt(box.Max.X, box.Min.Y)} {
		d = min(d, distToSegment(corner, a, b))
	}
	return d
}

func distToSegment(q, a, b Point) Length {
	d := b.Sub(a)
	t := 0.0
	if n := d.Dot(d); n > 0 {
		t = min(1, max(0, q.Sub(a).Dot(d)/n))
	}
	return q.Dist(a.Lerp(b, t))
}

func segmentMeetsBox(box geom.Rect, a, b Point) bool {
	from, to := 0.0, 1.0
	clip := func(p, d, low, high Length) {
		if d == 0 {
			if p < low || p > high {
				to = -1
			}
			return
		}
		t0, t1 := float64((low-p)/d), float64((high-p)/d)
		from, to = max(from, min(t0, t1)), min(to, max(t0, t1))
	}
	clip(a.X, b.X-a.X, box.Min.X, box.Max.X)
	clip(a.Y, b.Y-a.Y, box.Min.Y, box.Max.Y)
	return from <= to
}
