package geom

import (
	"math"
	"math/rand/v2"
	"testing"

	"patternkit/patternkit/internal/shapely"
)

// shapelyScript measures flattened paths with the shapely library: lengths,
// areas, crossings and distances.
const shapelyScript = `
import json, sys
from shapely.geometry import LineString, Point, Polygon
asked = json.load(sys.stdin)
def points(g):
    if g.is_empty: return []
    if g.geom_type == "Point": return [[g.x, g.y]]
    return [q for part in g.geoms for q in points(part)]
out = {
    "length": [LineString(l).length for l in asked["lines"]],
    "area": [Polygon(l).area for l in asked["outlines"]],
    "simple": [LineString(l).is_simple for l in asked["lines"]],
    "crossings": [points(LineString(a).intersection(LineString(b))) for a, b in asked["pairs"]],
    "distance": [LineString(l).distance(Point(q)) for l, q in zip(asked["lines"], asked["places"])],
}
json.dump(out, sys.stdout)
`

// runShapely runs the script, or skips where shapely is not installed.
func runShapely(t *testing.T, asked any, answer any) {
	t.Helper()
	runPython(t, shapelyScript, asked, answer)
}

// runPython runs a script that imports shapely, or skips where there is none.
func runPython(t *testing.T, script string, asked, answer any) {
	t.Helper()
	if !shapely.Run(t, script, asked, answer) {
		t.Skip("python3-shapely is not installed: geometry is not compared with it")
	}
}

// Lengths, areas, crossings and distances agree with shapely's on fine
// flattenings (1e-5 mm).
func TestAgainstShapely(t *testing.T) {
	const fine = 1e-5
	random := rand.New(rand.NewPCG(11, 12))
	var asked struct {
		Lines    [][][2]float64    `json:"lines"`
		Outlines [][][2]float64    `json:"outlines"`
		Pairs    [][2][][2]float64 `json:"pairs"`
		Places   [][2]float64      `json:"places"`
	}
	flat := func(p Path) [][2]float64 {
		var out [][2]float64
		for _, q := range p.Flatten(fine) {
			out = append(out, q)
		}
		return out
	}
	var paths, outlines []Path
	var places []Point
	for range 40 {
		p := randomCubic(random, 300)
		paths, places = append(paths, p), append(places, randomPoint(random, 400))
		q := places[len(places)-1]
		asked.Lines = append(asked.Lines, flat(p))
		asked.Places = append(asked.Places, [2]float64{float64(q.X), float64(q.Y)})
	}
	for range 10 {
		outline := kiteOutline(t).Transformed(Rotate(Point{}, Angle(random.Float64()*6))).Transformed(ScaleXY(1+4*random.Float64(), 1+4*random.Float64()))
		outlines = append(outlines, outline)
		asked.Outlines = append(asked.Outlines, flat(outline))
	}
	for i := range len(paths) - 1 {
		asked.Pairs = append(asked.Pairs, [2][][2]float64{asked.Lines[i], asked.Lines[i+1]})
	}
	var answer struct {
		Length, Area, Distance []float64
		Simple                 []bool
		Crossings              [][][2]float64
	}
	runShapely(t, asked, &answer)
	for i, p := range paths {
		near(t, "length of "+p.describe(), float64(p.Length()), answer.Length[i], 2e-4)
		near(t, "distance from "+p.describe(), float64(p.Dist(places[i])), answer.Distance[i], 2*fine)
		if p.Simple() != answer.Simple[i] {
			t.Errorf("%s: simple %v, shapely says %v", p.describe(), p.Simple(), answer.Simple[i])
		}
	}
	for i, p := range outlines {
		near(t, "area of an outline", math.Abs(p.Area()), answer.Area[i], 0.05)
	}
	for i, want := range answer.Crossings {
		got := paths[i].Intersections(paths[i+1])
		if len(got) != len(want) {
			t.Errorf("%s and %s cross at %v, shapely finds %v", paths[i].describe(), paths[i+1].describe(), got, want)
			continue
		}
		for _, w := range want {
			best := Length(math.Inf(1))
			for _, c := range got {
				best = min(best, c.At.Dist(Pt(Length(w[0]), Length(w[1]))))
			}
			if best > 1e-3 {
				t.Errorf("shapely has a crossing at %v, the nearest found is %v away", w, best)
			}
		}
	}
}
