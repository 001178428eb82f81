package patternkit

import (
	"fmt"
	"math"

	"patternkit/patternkit/geom"
)

// foldBack shapes the end of the allowance of b, a hem or casing, so that it
// lies on the piece when it is turned up: each strip between two folds is the
// mirror image of what it lies on.
func (c *cutCorner) foldBack() error {
	t := c.measured()
	if c.b.Width == 0 || float64(c.b.Width) < float64(c.a.Width)*t.cos {
		return c.mitre()
	}
	if t.sin < 0.5 {
		return fmt.Errorf("allowance of %q is to be folded back, but it meets edge %q at %.0f°: want a corner of 30° to 150°, or a mitred one",
			c.b.Edge, c.a.Edge, 180-math.Atan2(t.sin, t.cos)*180/math.Pi)
	}
	side, ok := endingOn(c.level(t, 0), lengthenedOn(c.a.cut, t.reach()), c.at)
	if !ok {
		return fmt.Errorf("edge %q never reaches the line of edge %q, along which it is folded back; want a corner between them nearer to 90°", c.a.Edge, c.b.Edge)
	}
	strips, err := c.foldedStrips(t, side)
	if err != nil {
		return err
	}
	ends, tip := lengthenedOn(strips, t.reach()), strips.End()
	hem, ok := startingOn(ends, lengthened(c.b.cut, t.reach()), tip)
	if ok {
		ends, ok = endingOn(hem, ends, tip)
	}
	if !ok {
		return fmt.Errorf("allowance of %q: its ends, folded back, do not reach its cut line; want a narrower one or a mitred corner", c.b.Edge)
	}
	c.a.cut, c.b.cut, c.join = side, hem, ends
	c.b.foldedBack = true
	return nil
}

// level is the line along b at a depth out from its corner.
func (c *cutCorner) level(t cutTurn, depth Length) Path {
	at, far := c.at.Add(t.outB.Scale(float64(depth))), t.outOf.Scale(float64(t.reach()))
	return Line(at.Sub(far), at.Add(far))
}

// foldedStrips runs down the ends of the strips of b, where side is the cut
// line of a as far as the line of b.
func (c *cutCorner) foldedStrips(t cutTurn, side Path) (Path, error) {
	widths := c.b.strips()
	under, ok := startingOn(c.level(t, -widths[0]), side, side.End())
	if !ok {
		return Path{}, fmt.Errorf("allowance of %q, folded back by %s, reaches past the end of edge %q, %s long, under which it lies; want less, or a mitred corner",
			c.b.Edge, widths[0], c.a.Edge, c.a.stitch.Length())
	}
	var ends Path
	var down Length
	strip := under.Reversed()
	for i, width := range widths {
		if i > 0 { // folded under the strip before, as far as it reaches
			if strip, ok = startingOn(c.level(t, down-width), strip, strip.End()); !ok {
				return Path{}, fmt.Errorf("allowance of %q: the strip of %s has nothing to lie under; want it no wider than the one before", c.b.Edge, width)
			}
			strip = strip.Reversed()
		}
		fold := c.level(t, down)
		strip = strip.Transformed(geom.Mirror(fold.Start(), fold.End()))
		var err error
		if ends, err = ends.Append(strip); err != nil {
			return Path{}, fmt.Errorf("allowance of %q: %w", c.b.Edge, err)
		}
		down += width
	}
	return ends, nil
}
