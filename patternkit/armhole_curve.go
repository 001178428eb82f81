package patternkit

import "math"

// A scoop is half of an armhole, seen with the arm on the right: from the
// shoulder point down, square to the shoulder, touching the line of the back
// or chest width, and out to the underarm, square to the side seam.
type scoop struct {
	shoulder, down  Point   // start, and the direction in which the curve leaves
	underarm, level Point   // end, and the direction in which it arrives
	wall            Length  // x of the width line
	run             float64 // handle at the underarm, as part of the way out from the wall: more hollows more
}

// Bounds of the handles, as parts of the height and width of the scoop.
// Shorter ones would make a hook at the shoulder, longer ones a corner.
const (
	leastHandle, mostHandle = 0.06, 0.9
	mostRun                 = 1.35
)

// find returns the one cubic that does it: the handle at the shoulder is made
// as long as it takes to touch the width line and, where that is not enough,
// the run at the underarm too. The curve stays clear of the line where the
// shoulder point is too far out even so; inside is false where it is so near
// that any curve square to the shoulder would cross the line.
func (s scoop) find() (b bend, inside bool) {
	over := func(handle, run float64) float64 {
		x, _ := s.curve(handle, run).leftmost()
		return float64(x - s.wall)
	}
	if over(mostHandle, s.run) <= 0 {
		handle, inside := rootBetween(func(handle float64) float64 { return over(handle, s.run) }, leastHandle, mostHandle, 1e-10)
		return s.curve(handle, s.run), inside
	}
	run, touches := rootBetween(func(run float64) float64 { return over(mostHandle, run) }, s.run, mostRun, 1e-10)
	if !touches {
		run = mostRun
	}
	return s.curve(mostHandle, run), true
}

func (s scoop) curve(handle, run float64) bend {
	height, reach := float64(s.shoulder.Y-s.underarm.Y), float64(s.underarm.X-s.wall)
	return bend{
		s.shoulder,
		s.shoulder.Add(s.down.Scale(handle * height)),
		s.underarm.Sub(s.level.Scale(run * reach)),
		s.underarm,
	}
}

// hollow is the distance from the corner of the width line and the underarm
// line to the curve, along the bisector: what a cutter measures to draw the
// lower armhole.
func (s scoop) hollow(b bend) Length {
	corner := s.underarm.Sub(s.level.Scale(float64(s.underarm.X-s.wall) / float64(s.level.X)))
	axis := Pt(0, 1).Add(s.level).Unit()
	t, _ := rootBetween(func(t float64) float64 { return axis.Cross(b.at(t).Sub(corner)) }, 0, 1, 1e-9)
	return Length(math.Abs(b.at(t).Sub(corner).Dot(axis)))
}
