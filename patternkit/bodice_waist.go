package patternkit

import "math"

// A waistLine is the waist of half a back or front, seen with the centre line
// at x = 0 and the side to the right. It is drawn as one fair arc with the
// darts closed, square to the centre and to the side seam, and then opened
// dart by dart: so it is fair again when the darts are sewn.
type waistLine struct {
	parts []bend // from the centre to the side, between the mouths
	darts []waistDart
	side  Point
}

// A waistDart stands upright: its legs are equal and its axis is on the grain.
type waistDart struct {
	tip       Point
	near, far Point // ends of the legs, near to the centre and far from it
}

// A waistTip is where a waist dart is to end, and how much it is to take.
type waistTip struct {
	at     Point
	intake Length
}

// A waistPlan is what a waist is drawn from.
type waistPlan struct {
	start Point  // on the centre line
	width Length // finished
	tips  []waistTip
	lean  Angle // of the side seam, inward on its way down
}

func (w waistPlan) turn(i int) Angle {
	t := w.tips[i]
	return Angle(2 * math.Atan(float64(t.intake/2/(t.at.Y-w.start.Y))))
}

// open carries a point of the closed waist into the sheet, over the first n
// darts.
func (w waistPlan) open(p Point, n int) Point {
	for i := range n {
		p = turned(p, w.tips[i].at, w.turn(i))
	}
	return p
}

// closed takes a tip back to where it is with the darts before it closed.
func (w waistPlan) closed(i int) Point {
	p := w.tips[i].at
	for k := i - 1; k >= 0; k-- {
		p = turned(p, w.tips[k].at, -w.turn(k))
	}
	return p
}

// arc is the waist with its darts closed.
func (w waistPlan) arc() flatArc {
	turn := w.lean
	for i := range w.tips {
		turn += w.turn(i)
	}
	return flatArc{w.start, float64(turn) / float64(w.width)}
}

// dartsAt is how much the open darts take at a height: nothing above their
// tips.
func (w waistPlan) dartsAt(y Length) Length {
	var sum Length
	for i, t := range w.tips {
		if t.at.Y > y {
			sum += 2 * (t.at.Y - y) * Length((w.turn(i) / 2).Tan())
		}
	}
	return sum
}

// below is how high the waist lies under a point on the axis of the first
// dart, or of none.
func (w waistPlan) below(p Point) Length {
	arc := w.arc()
	if len(w.tips) == 0 {
		return arc.at(arc.meets(p, Pt(0, -1))).Y
	}
	return arc.at(arc.meets(w.tips[0].at, Polar(1, -90*Degree-w.turn(0)/2))).Y
}

// side is where the waist meets the side seam.
func (w waistPlan) side() Point { return w.open(w.arc().at(w.width), len(w.tips)) }

// draw draws the waist open.
func (w waistPlan) draw() waistLine {
	arc := w.arc()
	line := waistLine{side: w.side(), parts: make([]bend, 0, len(w.tips)+1), darts: make([]waistDart, 0, len(w.tips))}
	var from Length
	var before Angle
	for i, t := range w.tips {
		turn := w.turn(i)
		to := arc.meets(w.closed(i), Polar(1, -90*Degree-turn/2-before))
		near := w.open(arc.at(to), i)
		line.parts = append(line.parts, w.opened(arc.between(from, to), i))
		line.darts = append(line.darts, waistDart{tip: t.at, near: near, far: turned(near, t.at, turn)})
		from, before = to, before+turn
	}
	line.parts = append(line.parts, w.opened(arc.between(from, w.width), len(w.tips)))
	return line
}

func (w waistPlan) opened(b bend, n int) bend {
	return b.mapped(func(p Point) Point { return w.open(p, n) })
}

// length is the finished waist: what is sewn.
func (w waistLine) length() Length {
	var sum Length
	for _, p := range w.parts {
		sum += p.length()
	}
	return sum
}

// A flatArc leaves its start along x and turns down by bend per mm.
type flatArc struct {
	start Point
	bend  float64
}

func (a flatArc) at(s Length) Point {
	turn := a.bend * float64(s)
	if math.Abs(turn) < 1e-6 {
		return a.start.Add(Pt(s, -s*Length(turn)/2))
	}
	sin, cos := math.Sincos(turn)
	return a.start.Add(Pt(Length(sin/a.bend), Length((cos-1)/a.bend)))
}

func (a flatArc) direction(s Length) Point { return Polar(1, Angle(-a.bend*float64(s))) }

// between is the arc from s to t as a cubic, true to a micron for the flat
// arcs of a waist.
func (a flatArc) between(s, t Length) bend {
	h := float64(t-s) / 3
	if turn := a.bend * float64(t-s); math.Abs(turn) > 1e-6 {
		h = 4.0 / 3 * math.Tan(turn/4) / a.bend
	}
	p, q := a.at(s), a.at(t)
	return bend{p, p.Add(a.direction(s).Scale(h)), q.Sub(a.direction(t).Scale(h)), q}
}

// meets finds how far along the arc the ray from p in direction d crosses it.
func (a flatArc) meets(p, d Point) Length {
	s := p.X - a.start.X
	for range 8 {
		step := d.Cross(a.at(s).Sub(p)) / d.Cross(a.direction(s))
		s -= Length(step)
		if math.Abs(step) < 1e-9 {
			break
		}
	}
	return s
}
