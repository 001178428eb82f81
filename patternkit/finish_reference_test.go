package patternkit

import (
	"testing"

	sf "github.com/peterstace/simplefeatures/geom"

	"patternkit/patternkit/geom"
	"patternkit/patternkit/internal/shapely"
)

// finishShaped is a piece off the fold, and its stitch line with the mouths of
// darts as they are folded shut.
func finishShaped(t testing.TB, p Piece, width Length) (Piece, Path) {
	t.Helper()
	var err error
	for _, d := range p.Darts() {
		toward, err := p.dartPressed(d)
		if err != nil {
			t.Fatal(err)
		}
		if p, err = p.WithDartPressed(d.Name, toward); err != nil {
			t.Fatal(err)
		}
	}
	p.fold = ""
	if p, err = p.WithAllowanceEverywhere(width); err != nil {
		t.Fatal(err)
	}
	sides, err := p.cutSides()
	if err != nil {
		t.Fatal(err)
	}
	var ring Path
	for _, s := range sides {
		if ring, err = ring.Append(s.stitch); err != nil {
			t.Fatal(err)
		}
	}
	return p, ring
}

func finishFlat(p Path, tol Length) []float64 {
	var xy []float64
	for _, q := range p.Flatten(tol) {
		xy = append(xy, q[0], q[1])
	}
	xy[len(xy)-2], xy[len(xy)-1] = xy[0], xy[1]
	return xy
}

// A uniform allowance of bodice and sleeve is the mitred buffer of
// simplefeatures v0.59 and shapely 1.8, within 0.01 mm.
func TestCutLineAgreesWithBuffers(t *testing.T) {
	for _, p := range blockPattern(t).Pieces() {
		for _, width := range []Length{6, 15} {
			q, ring := finishShaped(t, p, width)
			cut, err := q.CutLine()
			if err != nil {
				t.Fatal(err)
			}
			line := sf.NewLineString(sf.NewSequence(finishFlat(ring, 2e-6), sf.DimXY))
			grown, err := sf.Buffer(sf.NewPolygon([]sf.LineString{line}).AsGeometry(), float64(width),
				sf.BufferJoinStyleMitre(geom.MitreReach), sf.BufferSimplifyFactor(1e-8))
			if err != nil {
				t.Fatal(err)
			}
			var want []Point
			edge := grown.MustAsPolygon().ExteriorRing().Coordinates()
			for i := range edge.Length() {
				want = append(want, Pt(Length(edge.GetXY(i).X), Length(edge.GetXY(i).Y)))
			}
			finishCompare(t, p.Name()+" by simplefeatures", cut, want, func(Point) bool { return true })
			// Shapely drops the short chords at a curve's end, from which a
			// mitre takes its direction: it is compared beside the mitres.
			finishCompare(t, p.Name()+" by shapely", cut, shapelyBuffer(t, finishFlat(ring, 1e-4), width),
				func(at Point) bool { return ring.Dist(at) < width+1e-3 })
		}
	}
}

func finishCompare(t *testing.T, name string, cut Path, want []Point, counts func(Point) bool) {
	t.Helper()
	if want == nil {
		return
	}
	worst, outline := Length(0), Polyline(want...)
	for i := 0; i < len(want); i += 1 + len(want)/1500 {
		if counts(want[i]) {
			worst = max(worst, cut.Dist(want[i]))
		}
	}
	var places []Point
	for _, g := range cut.Segments() {
		places = append(places, g.A)
	}
	for i := range 300 {
		places = append(places, cut.At(cut.Length()*Length(i)/300))
	}
	for _, at := range places {
		if counts(at) {
			worst = max(worst, outline.Dist(at))
		}
	}
	if worst > 0.01 {
		t.Errorf("%s: up to %.4f mm apart", name, worst.MM())
	}
}

const finishShapely = `
import json, sys, timeit
from shapely.geometry import Polygon
asked = json.load(sys.stdin)
xy = asked["ring"]
piece = Polygon(list(zip(xy[0::2], xy[1::2])))
grow = lambda: piece.buffer(asked["by"], join_style=2, mitre_limit=asked["mitre"])
out = {"ring": list(grow().exterior.coords)}
if asked["runs"]:
    out["seconds"] = min(timeit.repeat(grow, number=asked["runs"], repeat=5)) / asked["runs"]
json.dump(out, sys.stdout)
`

type shapelyAnswer struct {
	Ring    [][2]float64
	Seconds float64
}

func askShapely(t testing.TB, xy []float64, by Length, runs int) (answer shapelyAnswer, ok bool) {
	t.Helper()
	ok = shapely.Run(t, finishShapely, map[string]any{"ring": xy, "by": by.MM(), "mitre": geom.MitreReach, "runs": runs}, &answer)
	return answer, ok
}

// shapelyBuffer is the mitred buffer by shapely, nothing where it is absent.
func shapelyBuffer(t testing.TB, xy []float64, by Length) []Point {
	t.Helper()
	answer, ok := askShapely(t, xy, by, 0)
	if !ok {
		t.Log("python3-shapely is not installed: not compared with it")
		return nil
	}
	var ring []Point
	for _, q := range answer.Ring {
		ring = append(ring, Pt(Length(q[0]), Length(q[1])))
	}
	return ring
}

// The allowance of a bodice's back beside shapely's buffer of its flattening
// within 0.01 mm, in one run.
func BenchmarkCutLine(b *testing.B) {
	back, err := blockPattern(b).Piece("back")
	if err != nil {
		b.Fatal(err)
	}
	p, ring := finishShaped(b, back, 15)
	answer, ok := askShapely(b, finishFlat(ring, 0.01), 15, 200)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := p.CutLine(); err != nil {
			b.Fatal(err)
		}
	}
	if ok {
		b.ReportMetric(b.Elapsed().Seconds()/float64(b.N)/answer.Seconds, "×shapely")
		b.ReportMetric(answer.Seconds*1e9, "shapely-ns/op")
	}
}
