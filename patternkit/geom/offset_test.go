package geom

import (
	"math"
	"testing"

	sf "github.com/peterstace/simplefeatures/geom"
)

// offsetPanel is a closed outline with straight and curved edges, opening
// and closing corners, about as large as half a bodice.
func offsetPanel(t testing.TB) Path {
	t.Helper()
	p, err := Line(Pt(0, 0), Pt(240, 5)).Append(
		Line(Pt(240, 5), Pt(250, 200)),
		Cubic(Pt(250, 200), Pt(200, 200), Pt(190, 260), Pt(205, 370)),
		Line(Pt(205, 370), Pt(85, 410)),
		Cubic(Pt(85, 410), Pt(80, 350), Pt(50, 330), Pt(0, 330)),
		Line(Pt(0, 330), Pt(0, 0)))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestOffsetOfCircles(t *testing.T) {
	circle := Arc(Pt(10, 20), 100, 0, 2*math.Pi)
	for _, d := range []Length{10, -10, -99, 250} {
		q, err := circle.Offset(d, 1e-3)
		if err != nil {
			t.Fatalf("by %v: %v", d, err)
		}
		if !q.Closed() {
			t.Errorf("by %v: open", d)
		}
		for i := range 400 {
			r := q.At(q.Length() * Length(i) / 400).Dist(Pt(10, 20))
			if off := (r - (100 + d)).Abs(); off > 2e-3 {
				t.Fatalf("by %v: radius %v, off by %v", d, r, off)
			}
		}
	}
	if q, err := circle.Offset(-101, 1e-3); err == nil {
		t.Errorf("a circle of 100 mm shrunk by 101 mm is %v, want an error", q)
	}
}

// Every point of the parallel is d away, corners further and never nearer.
func TestOffsetDistance(t *testing.T) {
	const tol = 0.01
	panel := offsetPanel(t)
	for _, d := range []Length{6, 10, 15, 40, -6, -15, -30} {
		q, err := panel.Offset(d, tol)
		if err != nil {
			t.Fatalf("by %v: %v", d, err)
		}
		if !q.Closed() || !q.Simple() || (q.Area() > panel.Area()) != (d > 0) {
			t.Errorf("by %v: closed %v, simple %v, area %.0f of %.0f", d, q.Closed(), q.Simple(), q.Area(), panel.Area())
		}
		for i := range 2000 {
			at := q.At(q.Length() * Length(i) / 2000)
			if near := panel.Dist(at); near < d.Abs()-3*tol || near > MitreReach*d.Abs() {
				t.Fatalf("by %v: %v is %v away", d, at, near)
			}
		}
	}
}

// offsetRing is a fine flattening of a closed path. A reference takes a
// mitre's direction from the last chord of a curve, so that chords must be
// short where a curve ends: 2e-6 mm off the curve they turn the tip of a
// 15 mm mitre by 0.004 mm.
func offsetRing(p Path, fine Length) [][2]float64 {
	var ring [][2]float64
	for _, q := range p.Flatten(fine) {
		ring = append(ring, q)
	}
	ring[len(ring)-1] = ring[0]
	return ring
}

// offsetApart is how far two outlines are apart, from points of either that
// count.
func offsetApart(q Path, ring [][2]float64, counts func(Point) bool) Length {
	var pts []Point
	for _, xy := range ring {
		pts = append(pts, Pt(Length(xy[0]), Length(xy[1])))
	}
	want, worst := Polyline(pts...), Length(0)
	for _, at := range pts {
		if counts(at) {
			worst = max(worst, q.Dist(at))
		}
	}
	for i := range 1000 {
		if at := q.At(q.Length() * Length(i) / 1000); counts(at) {
			worst = max(worst, want.Dist(at))
		}
	}
	for _, g := range q.Segments() {
		if counts(g.A) {
			worst = max(worst, want.Dist(g.A))
		}
	}
	return worst
}

// The reference is the mitred buffer of simplefeatures v0.59. Its factor for
// simplifying the input must be far below the tolerance over the distance:
// with 1e-5 it drops the short chords at a curve's end, and a mitre's tip is
// then 0.03 mm off.
func TestOffsetAgreesWithBuffer(t *testing.T) {
	panel := offsetPanel(t)
	var xy []float64
	for _, q := range offsetRing(panel, 2e-6) {
		xy = append(xy, q[0], q[1])
	}
	ring := sf.NewLineString(sf.NewSequence(xy, sf.DimXY))
	for _, d := range []Length{10, 15, 30, -10} {
		q, err := panel.Offset(d, 0.002)
		if err != nil {
			t.Fatal(err)
		}
		grown, err := sf.Buffer(sf.NewPolygon([]sf.LineString{ring}).AsGeometry(), float64(d),
			sf.BufferJoinStyleMitre(MitreReach), sf.BufferSimplifyFactor(1e-8))
		if err != nil {
			t.Fatal(err)
		}
		var want [][2]float64
		edge := grown.MustAsPolygon().ExteriorRing().Coordinates()
		for i := range edge.Length() {
			want = append(want, [2]float64{edge.GetXY(i).X, edge.GetXY(i).Y})
		}
		if apart := offsetApart(q, want, func(Point) bool { return true }); apart > 0.01 {
			t.Errorf("by %v: up to %.4f mm apart", d, float64(apart))
		}
	}
}

// The same against shapely's mitred buffer, but for the mitres: version 1.8
// drops points of its input by a factor that can't be set, so that its tips
// are 0.03 mm off, and it loses a third of the panel where the chords are
// much finer. TestOffsetMitreTips has the tips.
func TestOffsetAgreesWithShapely(t *testing.T) {
	panel := offsetPanel(t)
	asked := struct {
		Ring  [][2]float64 `json:"ring"`
		By    []Length     `json:"by"`
		Mitre float64      `json:"mitre"`
	}{offsetRing(panel, 1e-4), []Length{10, 15, 30, -10}, MitreReach}
	var answer [][][2]float64
	runPython(t, `
import json, sys
from shapely.geometry import Polygon
asked = json.load(sys.stdin)
piece = Polygon(asked["ring"])
json.dump([list(piece.buffer(d, join_style=2, mitre_limit=asked["mitre"]).exterior.coords) for d in asked["by"]], sys.stdout)
`, asked, &answer)
	for i, d := range asked.By {
		q, err := panel.Offset(d, 0.002)
		if err != nil {
			t.Fatal(err)
		}
		if apart := offsetApart(q, answer[i], func(at Point) bool { return panel.Dist(at) < d.Abs()+1e-3 }); apart > 0.01 {
			t.Errorf("by %v: up to %.4f mm apart", d, float64(apart))
		}
	}
}

// The tips of mitres are where the tangents moved out by the distance cross:
// worked for the panel's corners at (250, 200) and (205, 370).
func TestOffsetMitreTips(t *testing.T) {
	const d = 15
	q, err := offsetPanel(t).Offset(d, 0.002)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ at, into, outOf Point }{
		{Pt(250, 200), Pt(10, 195), Pt(-50, 0)},
		{Pt(205, 370), Pt(15, 110), Pt(-120, 40)},
	} {
		n, m := c.into.Perp().Neg().Unit(), c.outOf.Perp().Neg().Unit()
		tip := c.at.Add(n.Add(m).Scale(d / (1 + n.Dot(m))))
		if off := q.Dist(tip); off > 1e-6 {
			t.Errorf("the mitre at %v: %v is %v beside the outline", c.at, tip, off)
		}
	}
}

// A curve that bends tighter than the distance leaves a loop to trim.
func TestOffsetTrimsLoops(t *testing.T) {
	u := Cubic(Pt(0, 0), Pt(0, -80), Pt(40, -80), Pt(40, 0))
	q, err := u.Offset(-18, 0.01)
	if err != nil {
		t.Fatal(err)
	}
	if !q.Simple() || q.Closed() {
		t.Errorf("the trimmed parallel crosses itself: %v", q.SelfCrossings())
	}
	for i := range 500 {
		if near := u.Dist(q.At(q.Length() * Length(i) / 500)); near < 18-0.03 {
			t.Fatalf("a point is %v away, want 18 mm", near)
		}
	}
}

// Two runs of a path that cross three times within a centimetre, with a loop
// between them that is dropped: one of them stays at each place. A loop beside
// them that is not dropped is a part of its own.
func TestTrimmedGrazing(t *testing.T) {
	loop := []Point{Pt(60, 0), Pt(80, 30), Pt(-20, 30), Pt(-20, -5), Pt(20, -5)}
	graze := []Point{Pt(28, 0.3), Pt(34, -0.3), Pt(40, 0.3), Pt(100, 20)}
	drop := func(at Point) bool { return at.Y > 7 && at.X < 60 || at.Y == 0 && at.X > 45 }
	p := Polyline(append(append([]Point{Pt(0, 0)}, loop...), graze...)...)
	if n := len(p.SelfCrossings()); n != 4 {
		t.Fatalf("it crosses itself %d times, want 3 and where the loop leaves", n)
	}
	q, err := p.Trimmed(drop)
	if err != nil {
		t.Fatal(err)
	}
	if !q.Simple() || q.Start() != Pt(0, 0) || q.End() != Pt(100, 20) || (q.Length()-103.2).Abs() > 0.2 {
		t.Errorf("%v is left, simple %v", q, q.Simple())
	}
	// The loop above the run is nowhere dropped, but nothing leads to it.
	apart := Polyline(Pt(0, 0), Pt(60, 0), Pt(60, -30), Pt(30, -30), Pt(30, 20), Pt(40, 20), Pt(40, 10), Pt(20, 10), Pt(20, -30), Pt(-20, -30))
	if q, err := apart.Trimmed(func(at Point) bool { return at.Y < 0 || at.X == 30 && at.Y < 9 || at.X == 20 && at.Y < 9 }); err == nil {
		t.Errorf("%v is left of a path of two parts", q)
	}
}

func TestOffsetRefuses(t *testing.T) {
	line := Line(Pt(0, 0), Pt(10, 0))
	for name, c := range map[string]struct {
		p      Path
		d, tol Length
	}{
		"empty":     {Path{}, 1, 0.01},
		"distance":  {line, Length(math.NaN()), 0.01},
		"tolerance": {line, 1, 0},
		"vanishes":  {offsetPanel(t), -400, 0.01},
	} {
		if q, err := c.p.Offset(c.d, c.tol); err == nil {
			t.Errorf("%s: %v, want an error", name, q)
		}
	}
}

func BenchmarkOffset(b *testing.B) {
	panel := offsetPanel(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := panel.Offset(10, 0.01); err != nil {
			b.Fatal(err)
		}
	}
}
