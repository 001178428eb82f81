package patternkit

import "math"

// A capSide is half of a sleeve's cap in the making, seen from the underarm:
// the origin is the end of the biceps line, x runs in to the crown and y up.
type capSide struct {
	armhole bend    // the lower armhole from the underarm, level there
	length  Length  // what the half of the cap has to measure
	crown   float64 // handle at the crown: more makes the head fuller
}

// newCapSide lays half an armhole under half a cap.
func newCapSide(h armholeHalf, ease Length, crown float64) capSide {
	return capSide{armhole: levelled(h.curve[0]), length: h.length + ease, crown: crown}
}

// levelled turns the lower armhole, drawn from the underarm with the arm on
// the right, over and so that it leaves the underarm level.
func levelled(c bend) bend {
	start := c[1].Sub(c[0])
	level := Pt(-start.X, start.Y).Direction()
	return c.mapped(func(p Point) Point {
		v := p.Sub(c[0])
		return Pt(-v.X, v.Y).Rotated(-level)
	})
}

// A capHalf is a drawn half of a cap: the lower part lies on the armhole, the
// upper one rises from it in an S to the crown.
type capHalf struct {
	lower, upper bend
}

func (c capHalf) length() Length { return c.lower.length() + c.upper.length() }

// onArmhole is how far the cap lies on the armhole: until it has turned up by
// this part of the slant from the end of the biceps line to the crown.
const onArmhole = 0.7

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

// leastCapWidth is the width of half a cap, of its height: narrower it would
// rise so steeply that no head is left.
const leastCapWidth = 0.5

// width finds how wide half a cap of that height is when it is as long as it
// has to be. ok is false where none is.
func (s capSide) width(height Length) (width Length, ok bool) {
	off := func(width float64) float64 {
		c, ok := s.draw(height, Length(width))
		if !ok {
			return -1 // too narrow to be drawn, so too short
		}
		return float64(c.length() - s.length)
	}
	w, ok := rootBetween(off, leastCapWidth*float64(height), float64(s.length), 1e-9)
	if !ok {
		return 0, false
	}
	_, ok = s.draw(height, Length(w))
	return Length(w), ok
}

// A sleeveCap is both halves of a sleeve's cap for a height.
type sleeveCap struct {
	backSide, frontSide   capSide
	height                Length
	backWidth, frontWidth Length
}

// newCap sets up the cap of an armhole: the ease is divided between the
// notches and the shoulder, slightly more to the back, whose head is fuller.
func newCap(a Armhole, ease Length) sleeveCap {
	return sleeveCap{
		backSide:  newCapSide(a.back, ease*backEase, backCrown),
		frontSide: newCapSide(a.front, ease*(1-backEase), frontCrown),
	}
}

// Common practice, no source.
const (
	backEase              = 0.53
	backCrown, frontCrown = 0.44, 0.36
)

// of returns the cap of that height. ok is false where its seam is too short
// to climb so high.
func (c sleeveCap) of(height Length) (out sleeveCap, ok bool) {
	c.height = height
	var front, back bool
	c.backWidth, back = c.backSide.width(height)
	c.frontWidth, front = c.frontSide.width(height)
	return c, front && back
}

func (c sleeveCap) biceps() Length { return c.backWidth + c.frontWidth }

// wide reports whether there is a cap of that height, at least so wide.
func (c sleeveCap) wide(height, least Length) bool {
	c, ok := c.of(height)
	return ok && c.biceps() >= least
}

// The cap heights that are drafted: lower is a sleeve cut in one with the
// bodice.
const leastCapHeight = 2 * CM

// highest finds the greatest height of a cap that is at least so wide, and 0
// where none is.
func (c sleeveCap) highest(least Length) Length {
	lo, hi := leastCapHeight, c.backSide.length
	if !c.wide(lo, least) {
		return 0
	}
	for hi-lo > 1e-6 {
		mid := (lo + hi) / 2
		if c.wide(mid, least) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}
