package patternkit

import "math"

// A capSide is half of a sleeve's cap in the making, seen from the underarm:
// the origin is the end of the biceps line, x runs in to the crown and y up.
type capSide struct {
	armhole bend    // the armhole from the underarm, level there
	length  Length  // what the half of the cap has to measure
	crown   float64 // handle at the crown: more makes the head fuller
}

// newCapSide turns half an armhole so that it leaves the underarm level.
func newCapSide(h armholeHalf, ease Length, crown float64) capSide {
	c := h.curve
	start := c[1].Sub(c[0])
	level := Pt(-start.X, start.Y).Direction()
	return capSide{
		armhole: c.mapped(func(p Point) Point {
			v := p.Sub(c[0])
			return Pt(-v.X, v.Y).Rotated(-level)
		}),
		length: h.length + ease,
		crown:  crown,
	}
}

// A capHalf is a drawn half of a cap: the lower part lies on the armhole, the
// upper one rises from it in an S to the crown.
type capHalf struct {
	lower, upper bend
}

func (c capHalf) length() Length { return c.lower.length() + c.upper.length() }

// onArmhole is how far the cap lies on the armhole: until it has turned up by
// this part of the slant from the end of the biceps line to the crown.
const onArmhole = 0.6

// draw draws the half for a height and a width. The upper part leaves the
// armhole with the armhole's own curvature, so that nothing shows where. ok
// is false where height and width make no S.
func (s capSide) draw(height, width Length) (c capHalf, ok bool) {
	rise := Pt(width, height).Direction() * onArmhole
	along := Polar(1, rise)
	t, ok := rootBetween(func(t float64) float64 { return along.Cross(s.armhole.velocity(t)) }, 0, 1, 1e-9)
	if !ok {
		return c, false
	}
	c.lower, _ = s.armhole.split(t)
	from, crown := c.lower[3], Pt(width, height)
	handle := Pt(width-Length(s.crown)*(width-from.X), height)
	above := along.Cross(handle.Sub(from))
	if !(above > 0 && handle.X > from.X) {
		return c, false
	}
	last := c.lower[3].Sub(c.lower[2])
	bends := 2.0 / 3 * last.Cross(c.lower[1].Sub(c.lower[2])) / math.Pow(float64(last.Norm()), 3)
	c.upper = bend{from, from.Add(along.Scale(math.Sqrt(above / (1.5 * bends)))), handle, crown}
	return c, true
}
