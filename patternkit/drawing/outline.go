package drawing

import (
	"math"

	"patternkit/patternkit/geom"
)

// A vec is a point in pixels, y down.
type vec struct{ x, y float64 }

func (a vec) add(b vec) vec             { return vec{a.x + b.x, a.y + b.y} }
func (a vec) sub(b vec) vec             { return vec{a.x - b.x, a.y - b.y} }
func (a vec) scale(k float64) vec       { return vec{a.x * k, a.y * k} }
func (a vec) dot(b vec) float64         { return a.x*b.x + a.y*b.y }
func (a vec) cross(b vec) float64       { return a.x*b.y - a.y*b.x }
func (a vec) norm() float64             { return math.Hypot(a.x, a.y) }
func (a vec) lerp(b vec, t float64) vec { return vec{a.x + (b.x-a.x)*t, a.y + (b.y-a.y)*t} }

// An outliner turns lines into the areas that they cover. All areas run the
// same way round, so that they add up where they overlap.
type outliner struct {
	half  float64          // of the width, in pixels
	area  func(poly []vec) // takes each area
	left  []vec
	right []vec
}

// line covers a polyline, whose ends join where it is closed.
func (o *outliner) line(pts []vec, closed bool) {
	pts = distinct(pts)
	if closed && len(pts) > 2 && pts[0].sub(pts[len(pts)-1]).norm() < 1e-6 {
		pts = pts[:len(pts)-1]
	}
	n := len(pts)
	if n < 2 {
		return
	}
	if n < 3 {
		closed = false
	}
	o.left, o.right = o.left[:0], o.right[:0]
	if !closed {
		o.end(pts[0], pts[1].sub(pts[0]))
		for i := 1; i < n-1; i++ {
			o.corner(pts[i-1], pts[i], pts[i+1])
		}
		o.end(pts[n-1], pts[n-1].sub(pts[n-2]))
	} else {
		for i := range n + 1 {
			o.corner(pts[(i+n-1)%n], pts[i%n], pts[(i+1)%n])
		}
	}
	for i := len(o.right) - 1; i >= 0; i-- {
		o.left = append(o.left, o.right[i])
	}
	o.area(o.left)
}

// distinct drops points that repeat the one before.
func distinct(pts []vec) []vec {
	out := pts[:0:0]
	for _, p := range pts {
		if len(out) == 0 || p.sub(out[len(out)-1]).norm() > 1e-9 {
			out = append(out, p)
		}
	}
	return out
}

// end adds the two sides of a straight end.
func (o *outliner) end(p, along vec) {
	side := o.side(along)
	o.left = append(o.left, p.add(side))
	o.right = append(o.right, p.sub(side))
}

// side returns the way from the middle of a line to its side.
func (o *outliner) side(along vec) vec {
	return vec{along.y, -along.x}.scale(o.half / along.norm())
}

// corner adds the two sides where a line turns at p: pointed at a slight
// turn, round at a sharp one.
func (o *outliner) corner(before, p, after vec) {
	in, out := p.sub(before), after.sub(p)
	s0, s1 := o.side(in), o.side(out)
	turn := math.Atan2(in.cross(out), in.dot(out))
	if math.Abs(turn) < 0.5 {
		mid := s0.add(s1)
		mid = mid.scale(2 * o.half * o.half / mid.dot(mid)) // as long as reaches both sides
		o.left = append(o.left, p.add(mid))
		o.right = append(o.right, p.sub(mid))
		return
	}
	outer, inner, sign := &o.left, &o.right, 1.0
	if turn < 0 {
		outer, inner, sign = &o.right, &o.left, -1
	}
	*inner = append(*inner, p.sub(s0.scale(sign)), p, p.sub(s1.scale(sign)))
	steps := max(1, math.Ceil(math.Abs(turn)*math.Sqrt(o.half)))
	for k := 0.0; k <= steps; k++ {
		sin, cos := math.Sincos(turn * k / steps)
		*outer = append(*outer, p.add(vec{s0.x*cos - s0.y*sin, s0.x*sin + s0.y*cos}.scale(sign)))
	}
}

// dashes parts a polyline by a pattern of dashes and gaps, and takes each
// dash.
func dashes(pts []vec, pattern []float64, phase float64, take func([]vec)) {
	whole := 0.0
	for _, d := range pattern {
		whole += d
	}
	if len(pattern)%2 == 1 { // an odd pattern takes turns, as in SVG and PDF
		pattern = append(append([]float64(nil), pattern...), pattern...)
		whole *= 2
	}
	phase = math.Mod(math.Mod(phase, whole)+whole, whole)
	i := 0
	for phase >= pattern[i] {
		phase -= pattern[i]
		i = (i + 1) % len(pattern)
		if phase == 0 && pattern[i] > 0 {
			break
		}
	}
	left := pattern[i] - phase
	dash := []vec{pts[0]}
	for k := 1; k < len(pts); k++ {
		a, b := pts[k-1], pts[k]
		length, at := b.sub(a).norm(), 0.0
		for length-at > left {
			at += left
			q := a.lerp(b, at/length)
			if i%2 == 0 {
				take(append(dash, q))
			}
			i = (i + 1) % len(pattern)
			left = pattern[i]
			dash = []vec{q}
		}
		left -= length - at
		dash = append(dash, b)
	}
	if i%2 == 0 {
		take(dash)
	}
}

// flattenTo appends points of p to pts, off by at most a tenth of a pixel.
func (r *raster) flattenTo(pts []vec, p geom.Path) []vec {
	for _, q := range p.Flatten(geom.Length(0.1 / r.scale)) {
		pts = append(pts, r.pixel(geom.Pt(geom.Length(q[0]), geom.Length(q[1]))))
	}
	return pts
}
