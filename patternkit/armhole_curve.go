package patternkit

// A scoop is half of an armhole, seen with the arm on the right: from the
// shoulder point down, square to the shoulder, touching the line of the back
// or chest width, and out to the underarm, square to the side seam.
type scoop struct {
	shoulder, down  Point   // start, and the direction in which the curve leaves
	underarm, level Point   // end, and the direction in which it arrives
	wall            Length  // x of the width line
	run             float64 // handle at the underarm, as part of the way out from the wall: more hollows more
}

// Bounds of the handles. They end short of the corner in which their lines
// meet, so that the curve bends one way only; a shorter one at the shoulder
// would make a hook.
const (
	leastHandle = 0.06 // of the height
	mostHandle  = 0.78 // of the way to the corner
)

// find returns the one cubic that does it: the handle at the shoulder is made
// as long as it takes to touch the width line. The curve stays clear of the
// line where the shoulder point is too far out to do that in a round sweep;
// inside is false where it is so near that any curve square to the shoulder
// would cross the line.
func (s scoop) find() (b bend, inside bool) {
	cross := s.down.Cross(s.level)
	chord := s.underarm.Sub(s.shoulder)
	toCorner, fromCorner := chord.Cross(s.level)/cross, s.down.Cross(chord)/cross
	if !(toCorner > 0 && fromCorner > 0) {
		return bend{}, false
	}
	over := func(handle, run float64) float64 {
		x, _ := s.curve(handle, run).leftmost()
		return float64(x - s.wall)
	}
	least, most := leastHandle*float64(s.shoulder.Y-s.underarm.Y), mostHandle*toCorner
	run := min(s.run*float64(s.underarm.X-s.wall), mostHandle*fromCorner)
	if over(most, run) > 0 {
		return s.curve(most, run), true
	}
	handle, inside := rootBetween(func(handle float64) float64 { return over(handle, run) }, least, most, 1e-9)
	return s.curve(handle, run), inside
}

// curve is the cubic with those handles, in mm.
func (s scoop) curve(handle, run float64) bend {
	return bend{s.shoulder, s.shoulder.Add(s.down.Scale(handle)), s.underarm.Sub(s.level.Scale(run)), s.underarm}
}
