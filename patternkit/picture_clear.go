package patternkit

import (
	"math"

	"patternkit/patternkit/geom"
)

// clearPlace finds the middle of a box inside a piece, given by half its width
// and height, so far clear of what is drawn: near the middle of the piece, but
// not at the price of crowding.
func (s *board) clearPlace(p placed, half Point, clear Length) (Point, bool) {
	rim := polygon(p.piece.outline.Transformed(p.to))
	const steps = 22
	best, bestScore := Point{}, math.Inf(-1)
	// From the middle outward: most of the places are then too far off to be
	// better, and need not be looked at.
	for n := range steps - 1 {
		i := outward(steps/2, n)
		for m := range steps - 1 {
			k := outward(steps/2, m)
			q := Pt(p.box.Min.X+p.box.Width()*Length(i)/steps, p.box.Min.Y+p.box.Height()*Length(k)/steps)
			far := float64(q.Dist(p.box.Center()))
			if float64(4*plenty)-far <= bestScore || !inside(q, rim) {
				continue
			}
			room := s.room(half, spot{at: q})
			if room < clear {
				continue
			}
			if score := float64(4*room) - far; score > bestScore {
				best, bestScore = q, score
			}
		}
	}
	return best, !math.IsInf(bestScore, -1)
}

// outward is the nth of the whole numbers middle, middle − 1, middle + 1, …
func outward(middle, n int) int {
	if n%2 == 1 {
		return middle - (n+1)/2
	}
	return middle + n/2
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
