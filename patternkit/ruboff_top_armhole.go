package patternkit

import (
	"errors"
	"fmt"
	"math"
)

// How full an armhole is drawn, as the part of the way to its lower corner
// that its handles reach: the front is hollowed more (common practice, no
// source). Between the bounds it bends one way in a fair sweep.
const (
	flatBackFull, flatFrontFull   = 0.58, 0.64
	flatLeastFull, flatMostFull   = 0.3, 0.88
	flatShoulderFull, flatWallSet = 0.45, 0.55 // of the upper curve, at the shoulder and at the narrowest
	flatLeastRun                  = 8 * MM     // from the narrowest out to the underarm
	flatLeastIn                   = 3 * MM     // from the shoulder point in to the narrowest
)

// A flatHollow is what is known of an armhole besides its ends.
type flatHollow struct {
	across, along  string // names of the measures
	wall, measured Length // half the width across; along the seam, 0 not measured
	full           float64
}

// A flatCorner is the two corners in which the sides of an armhole meet: the
// shoulder's square and the width line, the width line and the underarm's.
type flatCorner struct {
	h            *flatHalf
	down, level  Point
	upper, lower Point
}

// hollow draws the armhole: square to the shoulder and to the side seam, as
// near to the centre as measured, and as long where that was measured.
func (h *flatHalf) hollow(f flatHollow) error {
	if h.underarm.X < f.wall+flatLeastRun {
		return fmt.Errorf("%s: %s is %v, but the panel is only %v wide at the underarm: %s and HalfBust contradict each other",
			flatWhat, f.across, 2*f.wall, 2*h.underarm.X, f.across)
	}
	c, ok := h.corner(f.wall)
	if !ok {
		return h.acrossError(f)
	}
	if f.measured == 0 {
		h.armhole = c.draw(f.full)
		return nil
	}
	length := func(full float64) Length { b := c.draw(full); return bendsLength(b[:]) }
	full, ok := rootBetween(func(full float64) float64 { return float64(length(full) - f.measured) }, flatLeastFull, flatMostFull, 1e-12)
	if !ok {
		return &LimitError{flatWhat, f.along, f.measured, length(flatLeastFull), length(flatMostFull),
			fmt.Sprintf("from the shoulder point to the underarm it is %v straight, and %s is %v: measure along the seam again, and these",
				h.shoulder.Dist(h.underarm), f.across, 2*f.wall)}
	}
	h.armhole = c.draw(full)
	return nil
}

// corner finds the corners for a width line. ok is false where the armhole
// cannot come in so far, or no further than the shoulder point.
func (h *flatHalf) corner(wall Length) (c flatCorner, ok bool) {
	c = flatCorner{h: h}
	c.down = h.neckSide.Sub(h.shoulder).Perp().Unit()
	c.level = h.side.TangentAt(h.side.Length()).Perp().Neg()
	in, out := h.shoulder.X-wall, h.underarm.X-wall
	c.upper = h.shoulder.Add(c.down.Scale(float64(in / -c.down.X)))
	c.lower = h.underarm.Sub(c.level.Scale(float64(out / c.level.X)))
	return c, in >= flatLeastIn && c.down.X < 0 && c.upper.Y-c.lower.Y > 0.3*(h.shoulder.Y-c.lower.Y)
}

// draw draws the two curves. They meet at the narrowest, where both bend
// alike.
func (c flatCorner) draw(full float64) [2]bend {
	from, to := c.h.shoulder, c.h.underarm
	high, low := from.Lerp(c.upper, flatShoulderFull), to.Lerp(c.lower, full)
	above := math.Sqrt(float64(high.X-c.upper.X)) / flatWallSet
	below := math.Sqrt(float64(low.X-c.lower.X)) / full
	narrow := c.upper.Lerp(c.lower, above/(above+below))
	return [2]bend{
		{from, high, narrow.Lerp(c.upper, flatWallSet), narrow},
		{narrow, narrow.Lerp(c.lower, full), low, to},
	}
}

// fromUnderarm are the curves of the armhole from the underarm up.
func (h *flatHalf) fromUnderarm() []bend {
	return []bend{h.armhole[1].reversed(), h.armhole[0].reversed()}
}

// acrossError says which widths across there are.
func (h *flatHalf) acrossError(f flatHollow) error {
	least, most := noLeast, noMost
	for i := range 400 {
		wall := h.shoulder.X * Length(i) / 400
		if _, ok := h.corner(wall); ok && h.underarm.X >= wall+flatLeastRun {
			if least == noLeast {
				least = 2 * wall
			}
			most = 2 * wall
		}
	}
	if least == noLeast {
		return errors.New(flatWhat + ": no armhole can be drawn from the shoulder point to the underarm: measure AcrossShoulders, ShoulderDrop, HalfBust and ArmholeStraight again")
	}
	return &LimitError{flatWhat, f.across, 2 * f.wall, least, most,
		fmt.Sprintf("an armhole that leaves the shoulder point square, %v from the centre, comes in by so much; ShoulderDrop and AcrossShoulders say how it leaves", h.shoulder.X)}
}
