package geom

import (
	"math"
	"slices"
)

const (
	// contact is how near two curves come, in millimetres, where they touch.
	contact = 1e-7
	// touchSpread is along how much of their length two curves that touch
	// smoothly may be within contact of each other: such places are one.
	touchSpread = 0.05
)

// A meeting is where segments of two paths meet, or begin to run together.
type meeting struct {
	p, q, pEnd place
	at         Point
	spread     Length // within what length another meeting is the same
	shared     bool   // they run together from p to pEnd
}

// A window is a part of a segment that is searched for meetings.
type window struct {
	c      [4]Point // control points of the part
	t0, t1 float64
}

func windowOf(g Segment) window {
	a, c1, c2, b := g.polygon()
	return window{[4]Point{a, c1, c2, b}, 0, 1}
}

func (w *window) halves() (window, window) {
	left, right := Segment{w.c[0], w.c[1], w.c[2], w.c[3], true}.split(0.5)
	mid := (w.t0 + w.t1) / 2
	return window{[4]Point{left.A, left.C1, left.C2, left.B}, w.t0, mid},
		window{[4]Point{right.A, right.C1, right.C2, right.B}, mid, w.t1}
}

func (w *window) size() Length {
	return w.c[0].Dist(w.c[1]) + w.c[1].Dist(w.c[2]) + w.c[2].Dist(w.c[3])
}

// bulge returns how far the curve may lie from its chord.
func (w *window) bulge() Length {
	chord := w.c[3].Sub(w.c[0])
	n := chord.Norm()
	if n == 0 {
		return w.size()
	}
	d1 := math.Abs(w.c[1].Sub(w.c[0]).Cross(chord))
	d2 := math.Abs(w.c[2].Sub(w.c[0]).Cross(chord))
	return Length(max(d1, d2)) / n
}

// span returns the extent of the control points in direction d from o.
func (w *window) span(o, d Point) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, c := range w.c {
		x := c.Sub(o).Dot(d)
		low, high = min(low, x), max(high, x)
	}
	return low, high
}

// separate reports whether a and b are surely more than contact apart: along
// the axes, or along or across the chord of either.
func separate(a, b *window) bool {
	if apart(a, b, a.c[0], Point{1, 0}) || apart(a, b, a.c[0], Point{0, 1}) {
		return true
	}
	for _, w := range [2]*window{a, b} {
		chord := w.c[3].Sub(w.c[0])
		if n := chord.Norm(); n > 0 {
			d := Point{chord.X / n, chord.Y / n}
			if apart(a, b, w.c[0], d.Perp()) || apart(a, b, w.c[0], d) {
				return true
			}
		}
	}
	return false
}

func apart(a, b *window, o, d Point) bool {
	low1, high1 := a.span(o, d)
	low2, high2 := b.span(o, d)
	return low1 > high2+contact || low2 > high1+contact
}

// transversal reports whether a and b nowhere run in parallel, so that they
// meet at most once: all sides of the one's control polygon turn the same way
// from all sides of the other's.
func transversal(a, b *window) bool {
	var left, right bool
	for i := range 3 {
		d := a.c[i+1].Sub(a.c[i])
		for j := range 3 {
			x := d.Cross(b.c[j+1].Sub(b.c[j]))
			left, right = left || x > 0, right || x < 0
			if x == 0 || left && right {
				return false
			}
		}
	}
	return true
}

// A meeter searches two segments for their meetings.
type meeter struct {
	g, h  Segment
	found []meeting
	touch int // how many of them touch
	limit int // stop at that many: they may run together
}

// meetings returns where g and h meet.
func meetings(g, h Segment) []meeting {
	a, b := windowOf(g), windowOf(h)
	if separate(&a, &b) {
		return nil
	}
	m := meeter{g: g, h: h, limit: 8}
	if !g.Curve && !h.Curve {
		return m.lines()
	}
	m.search(a, b, 120)
	if m.touch < m.limit {
		return m.found
	}
	if shared, ok := m.together(); ok {
		return []meeting{shared}
	}
	m = meeter{g: g, h: h, limit: math.MaxInt}
	m.search(a, b, 120)
	return m.found
}

// lines returns where two lines meet.
func (m *meeter) lines() []meeting {
	d, e := m.g.B.Sub(m.g.A), m.h.B.Sub(m.h.A)
	cross := d.Cross(e)
	// The gap that opens between the two directions over the shorter line.
	if gap := math.Abs(cross) / float64(max(d.Norm(), e.Norm())); gap <= contact || cross == 0 {
		if shared, ok := m.together(); ok {
			return []meeting{shared}
		}
		for _, end := range m.commonEnds() {
			end.spread = touchSpread
			m.found = append(m.found, end)
		}
		return m.found
	}
	w := m.h.A.Sub(m.g.A)
	m.offer(w.Cross(e)/cross, w.Cross(d)/cross, false)
	return m.found
}

// offer adds a meeting at the parameters t and u where these are on both
// segments, or off an end by no more than contact.
func (m *meeter) offer(t, u float64, touch bool) bool {
	if !onto(&t, contact/float64(m.g.reach())) || !onto(&u, contact/float64(m.h.reach())) {
		return false
	}
	at, other := m.g.at(t), m.h.at(u)
	if at.Dist(other) > 10*contact {
		return false
	}
	spread := Length(touchSpread)
	if touch {
		m.touch++
	} else {
		// The flatter the angle, the longer the two stay within contact.
		sine := math.Abs(m.g.tangent(t).Cross(m.h.tangent(u)))
		spread = min(touchSpread, max(2*meet, Length(10*contact/sine)))
	}
	m.found = append(m.found, meeting{p: place{t: t}, q: place{t: u}, at: at.Mid(other), spread: spread})
	return true
}

// onto moves t to the range 0 to 1 where it is out of it by at most slack.
func onto(t *float64, slack float64) bool {
	if !(*t >= -slack && *t <= 1+slack) {
		return false
	}
	*t = min(max(*t, 0), 1)
	return true
}

// search looks for meetings within two windows, halving the larger until the
// windows are apart, cross once or are as good as straight.
func (m *meeter) search(a, b window, depth int) {
	if m.touch >= m.limit || separate(&a, &b) {
		return
	}
	flatA, flatB := a.bulge() <= contact, b.bulge() <= contact
	end := flatA && flatB || depth == 0
	if transversal(&a, &b) {
		if m.cross(&a, &b) || end {
			return
		}
	} else if end {
		m.graze(&a, &b)
		return
	}
	if flatB || !flatA && a.size() > b.size() {
		left, right := a.halves()
		m.search(left, b, depth-1)
		m.search(right, b, depth-1)
		return
	}
	left, right := b.halves()
	m.search(a, left, depth-1)
	m.search(a, right, depth-1)
}

// cross looks for the one crossing of two windows by Newton's method and
// reports whether it is found.
func (m *meeter) cross(a, b *window) bool {
	t, u := (a.t0+a.t1)/2, (b.t0+b.t1)/2
	slackT, slackU := contact/float64(m.g.reach()), contact/float64(m.h.reach())
	for range 12 {
		gap := m.h.at(u).Sub(m.g.at(t))
		d, e := m.g.velocity(t), m.h.velocity(u)
		cross := d.Cross(e)
		dt, du := gap.Cross(e)/cross, gap.Cross(d)/cross
		t, u = t+dt, u+du
		// Far out the cubics are others than the windows'.
		if !(t > -1 && t < 2 && u > -1 && u < 2) {
			return false
		}
		if math.Abs(dt) < 1e-15+slackT*1e-4 && math.Abs(du) < 1e-15+slackU*1e-4 {
			break
		}
	}
	if t < a.t0-slackT || t > a.t1+slackT || u < b.t0-slackU || u > b.t1+slackU {
		return false
	}
	return m.offer(t, u, false)
}

// graze adds the meeting of two windows that are as good as straight and run
// side by side within contact.
func (m *meeter) graze(a, b *window) {
	t := (a.t0 + a.t1) / 2
	u := m.h.nearest(m.g.at(t))
	if a.size() > b.size() {
		u = (b.t0 + b.t1) / 2
		t = m.g.nearest(m.h.at(u))
	}
	t, u = m.sharpen(t, u)
	m.offer(t, u, true)
}

// sharpen moves a place of touching to where both segments are parallel and
// nearest, by Newton's method, if there is such a place where they touch.
func (m *meeter) sharpen(t0, u0 float64) (float64, float64) {
	t, u := t0, u0
	for range 12 {
		d, e := m.g.velocity(t), m.h.velocity(u)
		d2, e2 := m.g.acceleration(t), m.h.acceleration(u)
		gap := m.g.at(t).Sub(m.h.at(u))
		f1, f2 := gap.Dot(d), d.Cross(e)
		a11, a12 := d.Dot(d)+gap.Dot(d2), -e.Dot(d)
		a21, a22 := d2.Cross(e), d.Cross(e2)
		det := a11*a22 - a12*a21
		if math.Abs(det) <= 1e-9*(math.Abs(a11*a22)+math.Abs(a12*a21)) || det == 0 {
			return t0, u0
		}
		dt, du := (f1*a22-f2*a12)/det, (f2*a11-f1*a21)/det
		t, u = t-dt, u-du
		if math.Abs(dt)+math.Abs(du) < 1e-14 {
			break
		}
	}
	if !onto(&t, 1e-9) || !onto(&u, 1e-9) || m.g.at(t).Dist(m.h.at(u)) > contact {
		return t0, u0
	}
	return t, u
}

// commonEnds returns the ends of either segment that lie on the other, in the
// order of g.
func (m *meeter) commonEnds() []meeting {
	var ends []meeting
	add := func(t, u float64) {
		if at := m.g.at(t); at.Dist(m.h.at(u)) <= meet {
			ends = append(ends, meeting{p: place{t: t}, q: place{t: u}, at: at})
		}
	}
	for _, end := range [2]float64{0, 1} {
		add(end, m.h.nearest(m.g.at(end)))
		add(m.g.nearest(m.h.at(end)), end)
	}
	slices.SortFunc(ends, func(a, b meeting) int {
		switch {
		case a.p.t < b.p.t:
			return -1
		case a.p.t > b.p.t:
			return 1
		}
		return 0
	})
	return slices.CompactFunc(ends, func(a, b meeting) bool { return a.at.Dist(b.at) <= 2*meet })
}

// together returns the stretch that g and h share, if they do: it begins and
// ends at an end of one of them, and what is between lies on both.
func (m *meeter) together() (meeting, bool) {
	ends := m.commonEnds()
	if len(ends) < 2 {
		return meeting{}, false
	}
	first, last := ends[0], ends[len(ends)-1]
	const samples = 8
	for i := 1; i < samples; i++ {
		at := m.g.at(first.p.t + (last.p.t-first.p.t)*float64(i)/samples)
		if m.h.at(m.h.nearest(at)).Dist(at) > meet {
			return meeting{}, false
		}
	}
	first.shared, first.pEnd = true, last.p
	return first, true
}
