package patternkit

import (
	"fmt"
	"math"

	"patternkit/patternkit/geom"
)

// A cutCorner is where two sides meet, read so that a ends there and b starts.
type cutCorner struct {
	a, b cutSide
	at   Point
	join Path // from the end of a's cut to the start of b's
}

// turnCorner shapes the ends of two neighbouring sides and what joins them.
func turnCorner(a, b *cutSide) error {
	c := cutCorner{a: *a, b: *b, at: a.stitch.End()}
	if err := c.turn(); err != nil {
		return err
	}
	a.cut, b.cut, a.join = c.a.cut, c.b.cut, c.join
	a.foldedBack, b.foldedBack = c.a.foldedBack, c.b.foldedBack
	return nil
}

func (c *cutCorner) turn() error {
	sameEdge := c.a.mouth || c.b.mouth || c.a.Edge == c.b.Edge
	if c.a.fold || c.b.fold {
		return c.either(c.a.fold, (*cutCorner).onFold)
	}
	if err := c.checkBends(); err != nil {
		return err
	}
	switch {
	case sameEdge || c.a.Corner == c.b.Corner:
		return c.mitre()
	case c.a.Corner == FoldedBack || c.b.Corner == FoldedBack:
		return c.either(c.b.Corner == FoldedBack, (*cutCorner).foldBack)
	}
	return c.either(c.a.Corner == Squared, (*cutCorner).square)
}

// either shapes the corner as it is, or read the other way round.
func (c *cutCorner) either(asIs bool, shape func(*cutCorner) error) error {
	if asIs {
		return shape(c)
	}
	r := c.reversed()
	if err := shape(&r); err != nil {
		return err
	}
	*c = r.reversed()
	return nil
}

func (c cutCorner) reversed() cutCorner {
	return cutCorner{a: c.b.reversed(), b: c.a.reversed(), at: c.at, join: c.join.Reversed()}
}

func (s cutSide) reversed() cutSide {
	s.stitch, s.cut, s.backwards = s.stitch.Reversed(), s.cut.Reversed(), !s.backwards
	return s
}

// outward is the unit vector out from a stitch line that runs along a
// direction.
func (s cutSide) outward(along Point) Point {
	if s.backwards {
		return along.Perp()
	}
	return along.Perp().Neg()
}

// bendsIn is by how much the stitch line bends toward its cut line at a length,
// in 1/mm: the inverse of the radius.
func (s cutSide) bendsIn(at Length) float64 {
	if s.backwards {
		return s.stitch.CurvatureAt(at)
	}
	return -s.stitch.CurvatureAt(at)
}

// sharpBend is from which bend of an edge times its allowance on lines square
// to it cross before they come to its cut line, or nearly.
const sharpBend = 0.95

// checkBends says which edge bends in so tightly at a corner that opens that
// lines square to it cross before they come to its cut line.
func (c cutCorner) checkBends() error {
	if t := c.measured(); t.sin < cutFlat && t.cos > 0 && c.a.Width == c.b.Width {
		return nil
	}
	for i, s := range [2]cutSide{c.a, c.b} {
		if s.bend*float64(s.Width) <= sharpBend || s.mouth {
			continue
		}
		if i == 1 {
			s = s.reversed()
		}
		if bend := s.bendsInAtEnd() * float64(s.Width); bend > sharpBend {
			return fmt.Errorf("allowance of %q is %s, but where edges %q and %q meet its edge bends in with a radius of %s: want less than that",
				s.Edge, s.Width, c.a.Edge, c.b.Edge, s.Width/Length(bend))
		}
	}
	return nil
}

// bendsInAtEnd is the most of it in the last stretch, from which lines square
// to the edge can cross the one at its end.
func (s cutSide) bendsInAtEnd() float64 {
	const samples = 16
	most := 0.0
	for i := range samples {
		most = max(most, s.bendsIn(max(0, s.stitch.Length()-s.Width/4*Length(i)/samples)))
	}
	return most
}

// A cutTurn is a corner in numbers: how a arrives and b leaves, the unit
// vectors out of both, and the cosine and sine of the turn, the sine positive
// where the allowances open.
type cutTurn struct {
	into, outOf, outA, outB Point
	cos, sin                float64
	widest                  Length
}

func (c cutCorner) measured() cutTurn {
	t := cutTurn{into: c.a.stitch.TangentAt(c.a.stitch.Length()), outOf: c.b.stitch.TangentAt(0), widest: max(c.a.Width, c.b.Width)}
	t.outA, t.outB = c.a.outward(t.into), c.b.outward(t.outOf)
	t.cos, t.sin = t.outA.Dot(t.outB), t.into.Dot(t.outB)
	return t
}

// reach is as far as a cut line is lengthened to meet another.
func (t cutTurn) reach() Length { return 8*t.widest + 2*CM }

// cutFlat is the sine of a turn that is none.
const cutFlat = 1e-9

// mitre runs both cut lines on to where they meet, steps where one would have
// to come in for it, and squares a long tip. Allowances that close on each
// other are left to be trimmed.
func (c *cutCorner) mitre() error {
	t := c.measured()
	a, b := float64(c.a.Width), float64(c.b.Width)
	switch {
	case b < a*t.cos-joinTolerance.MM():
		return c.step()
	case a < b*t.cos-joinTolerance.MM():
		return c.either(false, (*cutCorner).step)
	case t.sin < -cutFlat && a != b && len(c.a.cut.Intersections(c.b.cut)) == 0:
		return c.either(a > b, (*cutCorner).step) // by their tangents they meet, but they curve away
	case t.widest == 0 || t.cos > 0 && t.sin < cutFlat || t.sin < -cutFlat:
		return nil
	}
	from, to := c.a.cut.End(), c.b.cut.Start()
	if tip := from.Add(t.into.Scale((b - a*t.cos) / t.sin)); t.sin > cutFlat && tip.Dist(c.at) <= geom.MitreReach*t.widest {
		c.join = Polyline(from, tip, to)
		return nil
	}
	long := float64(t.widest)
	c.join = Polyline(from, from.Add(t.into.Scale(long)), to.Sub(t.outOf.Scale(long)), to)
	return nil
}

// step ends the allowance of a, the wider, square to its edge at the corner.
func (c *cutCorner) step() error {
	t := c.measured()
	from := c.a.cut.End()
	if cut, ok := startingOn(Line(from, c.at), c.b.cut, from); ok {
		c.b.cut, c.join = cut, Line(from, cut.Start())
		return nil
	}
	if t.sin < -cutFlat {
		return nil
	}
	c.join = Polyline(from, c.at.Add(t.outA.Scale(float64(c.b.Width)/t.cos)), c.b.cut.Start())
	return nil
}

// onFold runs the cut line of b on to the line of the fold, which a lies on.
func (c *cutCorner) onFold() error {
	if c.b.Width == 0 || c.b.fold {
		return nil
	}
	t := c.measured()
	far := t.into.Scale(float64(t.reach()))
	cut, ok := startingOn(Line(c.at.Sub(far), c.at.Add(far)), lengthened(c.b.cut, t.reach()), c.at)
	if !ok {
		return fmt.Errorf("edge %q meets the fold at too flat a corner, %.0f°, for an allowance; want it square to the fold, 90°",
			c.b.Edge, 180-math.Atan2(t.sin, t.cos)*180/math.Pi)
	}
	c.b.cut, c.join = cut, Line(c.at, cut.Start())
	return nil
}

// square ends the allowance of a square to its seam, where that seam, run on,
// meets the cut line of b.
func (c *cutCorner) square() error {
	t := c.measured()
	if t.sin < cutFlat || float64(c.a.Width) < float64(c.b.Width)*t.cos {
		return c.mitre()
	}
	if c.b.Width == 0 {
		c.join = Line(c.a.cut.End(), c.at)
		return nil
	}
	on := t.into.Scale(geom.MitreReach * float64(t.widest))
	cut, ok := startingOn(Line(c.at, c.at.Add(on)), lengthened(c.b.cut, t.reach()), c.at)
	if !ok {
		return c.mitre()
	}
	tip := cut.Start()
	c.b.cut = cut
	c.join = Polyline(c.a.cut.End(), tip.Add(t.outA.Scale(float64(c.a.Width))), tip)
	return nil
}

// startingOn is what of a path follows the place where it crosses a line
// nearest to a point; false where it does not cross it.
func startingOn(line, path Path, near Point) (Path, bool) {
	best, found := Length(math.Inf(1)), Length(0)
	for _, x := range line.Intersections(path) {
		if d := x.At.Dist(near); d < best {
			best, found = d, x.T
		}
	}
	if math.IsInf(float64(best), 1) || found >= path.Length()-joinTolerance {
		return Path{}, false
	}
	if found <= joinTolerance {
		return path, true
	}
	_, after, err := path.Split(found)
	return after, err == nil
}

// endingOn is startingOn for what of a path comes before.
func endingOn(line, path Path, near Point) (Path, bool) {
	out, ok := startingOn(line, path.Reversed(), near)
	return out.Reversed(), ok
}

// lengthened is a path with a straight run before its start.
func lengthened(path Path, by Length) Path {
	start := path.Start()
	out, err := Line(start.Sub(path.TangentAt(0).Scale(float64(by))), start).Append(path)
	if err != nil {
		return path // can't be: the run ends where the path starts
	}
	return out
}

// lengthenedOn is a path with a straight run after its end.
func lengthenedOn(path Path, by Length) Path {
	return lengthened(path.Reversed(), by).Reversed()
}
