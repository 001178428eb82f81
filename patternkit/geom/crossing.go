package geom

import (
	"cmp"
	"math"
	"slices"
)

// A Crossing is where two paths cross or touch: at length S of the one and T
// of the other. Where they run together instead, Shared is for how long from
// S on; At and T are where that begins.
type Crossing struct {
	S, T   Length
	At     Point
	Shared Length
}

// Intersections returns all places where p and q cross or touch, and all
// stretches that they share, in the order of p. Places less than 1e-6 mm
// apart on both paths are one, and so are the end and the start of a closed
// path. Where paths touch smoothly, the place is where they come nearest.
func (p Path) Intersections(q Path) []Crossing {
	if p.Empty() || q.Empty() || !p.Finite() || !q.Finite() {
		return nil
	}
	var found []meeting
	boxes := make([]Rect, len(q.chain.segs))
	for j, h := range q.chain.segs {
		boxes[j] = h.hull().Grow(contact)
	}
	for i, g := range p.chain.segs {
		box := g.hull()
		for j, h := range q.chain.segs {
			if !box.Overlaps(boxes[j]) {
				continue
			}
			for _, m := range meetings(g, h) {
				m.p.seg, m.pEnd.seg, m.q.seg = i, i, j
				found = append(found, m)
			}
		}
	}
	return merge(crossingsOf(p, q, found), pairing{p.loop(), q.loop(), false})
}

// A rough crossing keeps within what length another is the same: where paths
// only touch, the place is less sharp.
type roughCrossing struct {
	Crossing
	spread Length
}

func crossingsOf(p, q Path, found []meeting) []roughCrossing {
	if len(found) == 0 {
		return nil
	}
	out := make([]roughCrossing, len(found))
	loopP, loopQ := p.loop(), q.loop()
	for i, m := range found {
		s, t := p.lengthTo(m.p), q.lengthTo(m.q)
		if m.shared {
			out[i] = roughCrossing{Crossing{s, t, m.at, p.lengthTo(m.pEnd) - s}, 2 * meet}
			continue
		}
		if s >= loopP-2*meet {
			s = 0
		}
		if t >= loopQ-2*meet {
			t = 0
		}
		out[i] = roughCrossing{Crossing{s, t, m.at, 0}, m.spread}
	}
	return out
}

// loop returns the length at which a closed path is at its start again,
// infinity for an open one.
func (p Path) loop() Length {
	if p.Closed() {
		return p.Length()
	}
	return Length(math.Inf(1))
}

// around returns how far apart two lengths are on a path that is at its start
// again after loop.
func around(a, b, loop Length) Length {
	d := (a - b).Abs()
	return min(d, loop-d)
}

// A pairing is what merge has to know of two paths: where each is at its start
// again, and whether they are the same path, so that S and T may change places.
type pairing struct {
	loopP, loopQ Length
	same         bool
}

// near reports whether a and b are one crossing.
func (k pairing) near(a, b roughCrossing) bool {
	spread := max(a.spread, b.spread)
	return around(a.S, b.S, k.loopP) <= spread && around(a.T, b.T, k.loopQ) <= spread ||
		k.same && around(a.S, b.T, k.loopP) <= spread && around(a.T, b.S, k.loopQ) <= spread
}

// merge sorts crossings along the first path, joins stretches that run on
// into each other, and leaves one of those at the same place.
func merge(all []roughCrossing, paths pairing) []Crossing {
	slices.SortFunc(all, func(a, b roughCrossing) int {
		return cmp.Or(cmp.Compare(a.S, b.S), cmp.Compare(b.Shared, a.Shared), cmp.Compare(a.T, b.T))
	})
	var out []roughCrossing
	for _, c := range all {
		if !absorbed(out, c, paths) {
			out = append(out, c)
		}
	}
	plain := make([]Crossing, 0, len(out))
	for _, c := range out {
		if c.Shared > 0 || !withinShared(out, c) {
			plain = append(plain, c.Crossing)
		}
	}
	return plain
}

// absorbed adds c to one of the crossings so far where it is the same place
// or the continuation of a shared stretch.
func absorbed(out []roughCrossing, c roughCrossing, paths pairing) bool {
	for i := len(out) - 1; i >= 0; i-- {
		o := &out[i]
		if c.Shared > 0 && o.Shared > 0 && (o.S+o.Shared-c.S).Abs() <= 2*meet {
			if way := (c.T - o.T).Abs(); (way-o.Shared).Abs() <= 1e-3 || (way-c.Shared).Abs() <= 1e-3 {
				o.Shared += c.Shared
				return true
			}
		}
		if c.Shared > 0 || o.Shared > 0 {
			continue
		}
		if paths.near(*o, c) {
			if c.spread < o.spread {
				*o = c
			}
			return true
		}
	}
	return false
}

// withinShared reports whether the point c lies in a stretch of the first
// path that is shared anyway.
func withinShared(all []roughCrossing, c roughCrossing) bool {
	for _, o := range all {
		if o.Shared > 0 && c.S >= o.S-touchSpread && c.S <= o.S+o.Shared+touchSpread &&
			(c.T-o.T).Abs() <= o.Shared+touchSpread {
			return true
		}
	}
	return false
}

// SelfCrossings returns all places where p crosses or touches itself, with
// S < T, and stretches that it runs over twice. That the end of a closed path
// meets its start is no crossing.
func (p Path) SelfCrossings() []Crossing {
	if p.Empty() || !p.Finite() {
		return nil
	}
	parts := p.monotone()
	boxes := make([]Rect, len(parts))
	for i, m := range parts {
		boxes[i] = m.g.hull().Grow(contact / 2)
	}
	var found []meeting
	for i, a := range parts {
		for j := i + 1; j < len(parts); j++ {
			b := parts[j]
			if !boxes[i].Overlaps(boxes[j]) || j == i+1 && runsOn(a.g, b.g) {
				continue
			}
			for _, m := range meetings(a.g, b.g) {
				m.p, m.pEnd, m.q = a.place(m.p.t), a.place(m.pEnd.t), b.place(m.q.t)
				found = append(found, m)
			}
		}
	}
	if len(found) == 0 {
		return nil
	}
	rough, loop := crossingsOf(p, p, found), p.loop()
	for i, c := range rough {
		if c.S > c.T && c.Shared == 0 {
			rough[i].S, rough[i].T = c.T, c.S
		}
	}
	// What is left at a joint is the joint itself.
	rough = slices.DeleteFunc(rough, func(c roughCrossing) bool {
		return c.Shared == 0 && around(c.S, c.T, loop) <= 5*c.spread
	})
	return merge(rough, pairing{loop, loop, true})
}

// Simple reports whether p neither crosses nor touches itself, but for a
// closed path's end that meets its start.
func (p Path) Simple() bool { return len(p.SelfCrossings()) == 0 }

// A stretch is part of a segment that goes forward in one direction
// throughout, so that it can't cross itself.
type stretch struct {
	g      Segment
	seg    int
	t0, t1 float64
}

func (m stretch) place(t float64) place { return place{m.seg, m.t0 + t*(m.t1-m.t0)} }

// monotone parts p into stretches, leaving out segments without extent.
func (p Path) monotone() []stretch {
	out := make([]stretch, 0, len(p.chain.segs)+4)
	for i, g := range p.chain.segs {
		if g.reach() > 0 {
			out = appendMonotone(out, stretch{g, i, 0, 1}, 12)
		}
	}
	return out
}

func appendMonotone(out []stretch, m stretch, depth int) []stretch {
	if depth == 0 || !m.g.Curve || runsOn(m.g, Segment{A: m.g.B, B: m.g.B}) {
		return append(out, m)
	}
	left, right := m.g.split(0.5)
	mid := (m.t0 + m.t1) / 2
	out = appendMonotone(out, stretch{left, m.seg, m.t0, mid}, depth-1)
	return appendMonotone(out, stretch{right, m.seg, mid, m.t1}, depth-1)
}

// runsOn reports whether a and b after it go forward in one direction
// throughout: then they can't meet but at their joint.
func runsOn(a, b Segment) bool {
	ua, ub := a.B.Sub(a.A), b.B.Sub(b.A)
	along := ua.Scale(1 / math.Max(float64(ua.Norm()), 1e-12)).Add(ub.Scale(1 / math.Max(float64(ub.Norm()), 1e-12)))
	if along == (Point{}) {
		return false
	}
	return forward(a, along) && forward(b, along)
}

// forward reports whether no side of the control polygon of g goes back
// against the direction along, and at least one goes on.
func forward(g Segment, along Point) bool {
	if !g.Curve {
		return g.A == g.B || g.B.Sub(g.A).Dot(along) > 0
	}
	d1, d2, d3 := g.C1.Sub(g.A).Dot(along), g.C2.Sub(g.C1).Dot(along), g.B.Sub(g.C2).Dot(along)
	return d1 >= 0 && d2 >= 0 && d3 >= 0 && (d1 > 0 || d2 > 0 || d3 > 0)
}
