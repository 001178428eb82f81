package patternkit

import (
	"fmt"

	"patternkit/patternkit/geom"
)

// Of the pairs of lines and curves in an outline whose boxes overlap, so many
// are looked at for crossings: far more than a drafted outline has, and few
// enough to be done in seconds.
const (
	mostCurvePairs = 10_000
	mostLinePairs  = 1_000_000
)

// checkTangle refuses lines that lie over each other so often that looking for
// crossings would take minutes.
func checkTangle(name string, edges []Edge) error {
	var segments []geom.Segment
	for _, e := range edges {
		segments = append(segments, e.Path.Segments()...)
	}
	boxes := make([]geom.Rect, len(segments))
	for i, g := range segments {
		boxes[i] = geom.EmptyRect().Including(g.A).Including(g.B)
		if g.Curve {
			boxes[i] = boxes[i].Including(g.C1).Including(g.C2)
		}
	}
	curves, lines := 0, 0
	for i := range boxes {
		for k := range i {
			switch {
			case !boxes[i].Overlaps(boxes[k]):
			case segments[i].Curve || segments[k].Curve:
				curves++
			default:
				lines++
			}
		}
		if curves > mostCurvePairs || lines > mostLinePairs {
			return fmt.Errorf("piece %q: so many of its %d lines and curves lie over each other that it can be no outline, want one that crosses itself nowhere", name, len(segments))
		}
	}
	return nil
}
