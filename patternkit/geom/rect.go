package geom

import "math"

// A Rect is a box with sides along x and y.
type Rect struct{ Min, Max Point }

// EmptyRect returns the box around nothing: its union with another box is
// that box.
func EmptyRect() Rect {
	inf := Length(math.Inf(1))
	return Rect{Point{inf, inf}, Point{-inf, -inf}}
}

// RectAround returns the smallest box that holds all points.
func RectAround(points ...Point) Rect {
	r := EmptyRect()
	for _, p := range points {
		r = r.Including(p)
	}
	return r
}

// Width returns the extent along x, 0 for an empty box.
func (r Rect) Width() Length {
	if r.Empty() {
		return 0
	}
	return r.Max.X - r.Min.X
}

// Height returns the extent along y, 0 for an empty box.
func (r Rect) Height() Length {
	if r.Empty() {
		return 0
	}
	return r.Max.Y - r.Min.Y
}

// Center returns the middle of the box.
func (r Rect) Center() Point { return r.Min.Mid(r.Max) }

// Empty reports whether the box holds no point.
func (r Rect) Empty() bool { return !(r.Min.X <= r.Max.X && r.Min.Y <= r.Max.Y) }

// Union returns the smallest box that holds r and s.
func (r Rect) Union(s Rect) Rect {
	if r.Empty() {
		return s
	}
	if s.Empty() {
		return r
	}
	return Rect{
		Point{min(r.Min.X, s.Min.X), min(r.Min.Y, s.Min.Y)},
		Point{max(r.Max.X, s.Max.X), max(r.Max.Y, s.Max.Y)},
	}
}

// Including returns the smallest box that holds r and p.
func (r Rect) Including(p Point) Rect { return r.Union(Rect{p, p}) }

// Grow returns r with every side moved outward by d, or inward where d is
// negative.
func (r Rect) Grow(d Length) Rect {
	return Rect{Point{r.Min.X - d, r.Min.Y - d}, Point{r.Max.X + d, r.Max.Y + d}}
}

// Contains reports whether p is in the box or on its side.
func (r Rect) Contains(p Point) bool {
	return r.Min.X <= p.X && p.X <= r.Max.X && r.Min.Y <= p.Y && p.Y <= r.Max.Y
}

// Overlaps reports whether the boxes share a point.
func (r Rect) Overlaps(s Rect) bool {
	return r.Min.X <= s.Max.X && s.Min.X <= r.Max.X && r.Min.Y <= s.Max.Y && s.Min.Y <= r.Max.Y
}

// Dist returns the distance from p to the box, 0 inside it.
func (r Rect) Dist(p Point) Length {
	dx := max(r.Min.X-p.X, 0, p.X-r.Max.X)
	dy := max(r.Min.Y-p.Y, 0, p.Y-r.Max.Y)
	return Point{dx, dy}.Norm()
}

// Outline returns the sides of the box, counterclockwise from its lower left
// corner.
func (r Rect) Outline() Path {
	if r.Empty() {
		return Path{}
	}
	lr, ul := Point{r.Max.X, r.Min.Y}, Point{r.Min.X, r.Max.Y}
	return Polyline(r.Min, lr, r.Max, ul, r.Min)
}
