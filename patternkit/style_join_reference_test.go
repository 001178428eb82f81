package patternkit

import (
	"math"
	"testing"

	"patternkit/patternkit/geom"
	"patternkit/patternkit/internal/shapely"
)

const joinShapely = `
import json, sys
from shapely.geometry import Polygon
from shapely.ops import unary_union
out = []
for pair in json.load(sys.stdin):
    union = unary_union([Polygon(list(zip(xy[0::2], xy[1::2]))) for xy in pair])
    # A side that both have may differ by rounding and leave slivers.
    union = union.buffer(1e-6, join_style=2).buffer(-1e-6, join_style=2)
    out.append({"area": union.area, "ring": list(union.exterior.coords), "parts": 1 if union.geom_type == "Polygon" else len(union.geoms)})
json.dump(out, sys.stdout)
`

// Joining and unfolding are unions: pieces of blocks cut at random and joined
// again, and halves with their mirror images, have the outline and the area of
// shapely's unary_union (version 1.8) of the two within 0.01 mm.
func TestJoinIsTheUnionOfShapely(t *testing.T) {
	const tol = 1e-4 * MM
	var asked [][2][]float64
	var joined []Piece
	eachRandomCut(t, 51, func(p Pattern, piece Piece, c Cut) {
		if len(asked) >= 30 {
			return
		}
		q := styleMust[Pattern](t)(p.Cut(c))
		one, two := styleMust[Piece](t)(q.Piece("one")), styleMust[Piece](t)(q.Piece("two"))
		back := styleMust[Pattern](t)(q.Join("style line", "joined"))
		asked = append(asked, [2][]float64{finishFlat(one.Outline(), tol), finishFlat(two.Outline(), tol)})
		joined = append(joined, styleMust[Piece](t)(back.Piece("joined")))
	})
	for _, p := range stylePatterns(t)[:4] {
		front := styleMust[Piece](t)(p.Piece("front"))
		fold := styleMust[Path](t)(front.onlyEdge(front.Fold()))
		other := styleMust[Piece](t)(front.Transformed(geom.Mirror(fold.Start(), fold.End())))
		asked = append(asked, [2][]float64{finishFlat(front.Outline(), tol), finishFlat(other.Outline(), tol)})
		joined = append(joined, styleMust[Piece](t)(styleMust[Pattern](t)(p.Unfold("front")).Piece("front")))
	}
	var answer []struct {
		Area  float64
		Ring  [][2]float64
		Parts int
	}
	if !shapely.Run(t, joinShapely, asked, &answer) {
		t.Skip("python3-shapely is not installed: not compared with it")
	}
	for i, a := range answer {
		outline := joined[i].Outline()
		// 0.01 mm all along an outline of two metres is 20 mm².
		if off := joined[i].Area() - a.Area; a.Parts != 1 || math.Abs(off) > 0.01*outline.Length().MM() {
			t.Errorf("pair %d: area %v mm², shapely has %v in %d parts", i, joined[i].Area(), a.Area, a.Parts)
		}
		var ring []Point
		for _, q := range a.Ring {
			ring = append(ring, Pt(Length(q[0]), Length(q[1])))
		}
		finishCompare(t, joined[i].Name(), outline, ring, func(Point) bool { return true })
	}
	t.Logf("%d unions compared", len(answer))
}
