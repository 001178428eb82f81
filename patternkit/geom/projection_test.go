package geom

import (
	"math"
	"math/rand/v2"
	"testing"
)

// randomQuadrilateral is a convex one about a random place: a corner in each
// quarter around it.
func randomQuadrilateral(random *rand.Rand) [4]Point {
	var q [4]Point
	middle := Pt(Length(random.Float64()*4000), Length(random.Float64()*4000))
	for {
		for i := range q {
			q[i] = middle.Add(Polar(Length(300+random.Float64()*1500), Angle(float64(i)+random.Float64())*90*Degree))
		}
		if _, ok := ontoQuadrilateral(q); ok {
			return q
		}
	}
}

// A projection takes its four points where it should, keeps straight lines
// straight, and comes back; its derivatives are those of small steps.
func TestProjection(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	for range 500 {
		from, to := randomQuadrilateral(random), randomQuadrilateral(random)
		if random.IntN(2) == 0 { // mirrored
			to[1], to[3] = to[3], to[1]
		}
		p, err := NewProjection(from, to)
		if err != nil {
			t.Fatal(err)
		}
		back := p.Inverse()
		for i := range from {
			got, ok := p.Apply(from[i])
			if !ok || got.Dist(to[i]) > 1e-6 {
				t.Fatalf("corner %d goes to %v, %v, want %v", i, got, ok, to[i])
			}
		}
		a, b := from[0].Lerp(from[2], 0.3), from[1].Lerp(from[3], 0.8)
		pa, _ := p.Apply(a)
		pb, _ := p.Apply(b)
		pm, ok := p.Apply(a.Lerp(b, 0.4))
		if off := math.Abs(pb.Sub(pa).Unit().Cross(pm.Sub(pa))); !ok || off > 1e-6 {
			t.Errorf("a point of a line is %v off it", off)
		}
		if got, ok := back.Apply(pm); !ok || got.Dist(a.Lerp(b, 0.4)) > 1e-6 {
			t.Errorf("comes back to %v, want %v", got, a.Lerp(b, 0.4))
		}
		dx, dy := p.Derivatives(a)
		const step = 1e-3
		nx, _ := p.Apply(a.Add(Pt(step, 0)))
		ny, _ := p.Apply(a.Add(Pt(0, step)))
		if gx, gy := nx.Sub(pa).Scale(1/step), ny.Sub(pa).Scale(1/step); gx.Dist(dx) > 1e-3*(1+dx.Norm()) || gy.Dist(dy) > 1e-3*(1+dy.Norm()) {
			t.Errorf("derivatives %v, %v, by a small step %v, %v", dx, dy, gx, gy)
		}
	}
}

// The horizon of a trapezium lies where its two slanting sides meet.
func TestProjectionHorizon(t *testing.T) {
	p, err := NewProjection([4]Point{{0, 0}, {300, 0}, {200, 100}, {100, 100}}, [4]Point{{0, 0}, {1, 0}, {1, 1}, {0, 1}})
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		at   Point
		want bool
	}{{Pt(150, 149), true}, {Pt(900, 149), true}, {Pt(150, 150), false}, {Pt(150, 151), false}, {Pt(150, -9000), true}} {
		if _, ok := p.Apply(tt.at); ok != tt.want {
			t.Errorf("%v is mapped: %v, want %v", tt.at, ok, tt.want)
		}
	}
}

func TestNewProjectionRefuses(t *testing.T) {
	square := [4]Point{{0, 0}, {1, 0}, {1, 1}, {0, 1}}
	for name, q := range map[string][4]Point{
		"crossed":      {{0, 0}, {1, 1}, {1, 0}, {0, 1}},
		"dented":       {{0, 0}, {4, 0}, {1, 1}, {0, 4}},
		"three in row": {{0, 0}, {1, 0}, {2, 0}, {0, 4}},
		"one place":    {},
		"no number":    {{0, 0}, {1, 0}, {1, Length(math.NaN())}, {0, 1}},
		"infinite":     {{0, 0}, {Length(math.Inf(1)), 0}, {1, 1}, {0, 1}},
	} {
		if p, err := NewProjection(q, square); err == nil {
			t.Errorf("from %s: %v, want an error", name, p)
		}
		if p, err := NewProjection(square, q); err == nil {
			t.Errorf("to %s: %v, want an error", name, p)
		}
	}
	if _, ok := (Projection{}).Apply(Pt(1, 1)); ok {
		t.Error("the zero value maps a point")
	}
}

// projectionScript solves the eight equations of a projection by least squares
// with numpy (which comes with shapely), another way than ours, and applies it.
const projectionScript = `
import json, sys, numpy as np
asked = json.load(sys.stdin)
out = []
for f, t, places in zip(asked["from"], asked["to"], asked["places"]):
    rows, right = [], []
    for (x, y), (u, v) in zip(f, t):
        rows += [[x, y, 1, 0, 0, 0, -u*x, -u*y], [0, 0, 0, x, y, 1, -v*x, -v*y]]
        right += [u, v]
    h = np.append(np.linalg.solve(np.array(rows), np.array(right)), 1).reshape(3, 3)
    q = h @ np.append(np.array(places), np.ones((len(places), 1)), axis=1).T
    out.append((q[:2] / q[2]).T.tolist())
json.dump(out, sys.stdout)
`

// Projections agree with the eight equations solved by numpy.
func TestProjectionAgainstNumpy(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	var asked struct {
		From   [][4][2]float64 `json:"from"`
		To     [][4][2]float64 `json:"to"`
		Places [][][2]float64  `json:"places"`
	}
	pair := func(p Point) [2]float64 { return [2]float64{float64(p.X), float64(p.Y)} }
	var want [][]Point
	for range 200 {
		from, to := randomQuadrilateral(random), randomQuadrilateral(random)
		p, err := NewProjection(from, to)
		if err != nil {
			t.Fatal(err)
		}
		var f, g [4][2]float64
		for i := range from {
			f[i], g[i] = pair(from[i]), pair(to[i])
		}
		var places [][2]float64
		var images []Point
		for range 10 {
			q := from[0].Lerp(from[2], random.Float64()).Mid(from[1].Lerp(from[3], random.Float64()))
			at, ok := p.Apply(q)
			if !ok {
				t.Fatalf("%v inside the corners is beyond the horizon", q)
			}
			places, images = append(places, pair(q)), append(images, at)
		}
		asked.From, asked.To, asked.Places = append(asked.From, f), append(asked.To, g), append(asked.Places, places)
		want = append(want, images)
	}
	var got [][][2]float64
	runPython(t, projectionScript, asked, &got)
	for i := range want {
		for k, q := range want[i] {
			if d := q.Dist(Pt(Length(got[i][k][0]), Length(got[i][k][1]))); d > 1e-5 {
				t.Errorf("projection %d, point %d: %v apart", i, k, d)
			}
		}
	}
}
