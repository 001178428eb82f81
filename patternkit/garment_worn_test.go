package patternkit

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"patternkit/patternkit/geom"
	"patternkit/patternkit/internal/ansur"
)

func gatheredFor(t testing.TB, b Body, o GatheredTopOptions) GatheredTop {
	t.Helper()
	top := styleMust[PlainTop](t)(DraftPlainTop(b, DefaultPlainTop()))
	return styleMust[GatheredTop](t)(MakeGatheredTop(top.Pattern(), o))
}

// The breadth between the shoulder points, as the neck and the shoulders are
// reckoned together, is on the mean of the 1,986 women of ANSUR II their
// biacromial breadth: within 1 cm, and within 1.5 cm for two of three.
func TestShoulderBreadth(t *testing.T) {
	var off []float64
	for _, b := range women(t, true) {
		off = append(off, float64(neckBreadth*b.NeckBaseGirth+2*b.ShoulderLength*Length((21.3*Degree).Cos())))
	}
	breadth := ansurColumn(t, ansur.TestWomen(t), "biacromialbreadth")
	var sum, square float64
	for i := range off {
		off[i] -= breadth[i]
		sum += off[i]
		square += off[i] * off[i]
	}
	n := float64(len(off))
	mean := sum / n
	sd := math.Sqrt(square/n - mean*mean)
	t.Logf("reckoned less measured: %.1f mm ± %.1f mm", mean, sd)
	if math.Abs(mean) > 10 || sd > 16 {
		t.Errorf("off by %.1f mm on the mean, ± %.1f mm", mean, sd)
	}
}

// Off the shoulders the edge lies around the shoulder girth; on them, at the
// neck, around the neck base. The elastic is cut 1/2 in longer than its ring,
// which is shorter than the girth by the reduction: common practice, no source.
func TestElasticsOfTheTop(t *testing.T) {
	b := demoBody(t)
	o := DefaultGatheredTop()
	o.SleeveUnderarm, o.SleeveElastic = 10*CM, Inch/4
	g := gatheredFor(t, b, o)
	elastics := styleMust[[]Elastic](t)(g.Elastics(b))
	if len(elastics) != 3 || elastics[1].Girth != b.ShoulderGirth || elastics[2].Girth != b.UpperArmGirth || elastics[2].Count != 2 {
		t.Fatalf("%+v", elastics)
	}
	for _, e := range elastics {
		if want := e.Girth*Length(1-o.Reduction) + Inch/2; (e.Length-want).Abs() > 1e-9 || e.Tight() || e.check() != nil {
			t.Errorf("%s: %s, want %s", e.Where, e.Length, want)
		}
	}
	if on := elastics[0].Girth; on <= b.NeckBaseGirth || on >= b.ShoulderGirth {
		t.Errorf("on the shoulders around %s, want between neck base and shoulders", on)
	}
	o.OnShoulder = 0.1
	near := styleMust[[]Worn](t)(gatheredFor(t, b, o).Worn(b))[0]
	if near.Girth >= elastics[0].Girth || near.Girth <= b.NeckBaseGirth {
		t.Errorf("near the neck around %s", near.Girth)
	}
	table := styleMust[GatherTable](t)(gatheredFor(t, b, o).Gathers(b, LightCloth))
	if table.OK() || !strings.Contains(table.String(), "no elastic stretches so far") {
		t.Errorf("an elastic for the neck is to stretch over the shoulders:\n%s", table)
	}
}

// The gather ratio is top edge to girth, and the verdict is by the cloth:
// slight 1.25, standard 1.5, full 2, sheer 2.5 to 3 (common practice, no source).
func TestGatherRatio(t *testing.T) {
	b := demoBody(t)
	g := gatheredFor(t, b, DefaultGatheredTop())
	table := styleMust[GatherTable](t)(g.Gathers(b, FirmCloth))
	var edge Length
	for _, p := range g.Pieces() {
		edge += 2 * styleMust[Length](t)(p.EdgeLength("top edge"))
	}
	for _, r := range table.Rows() {
		if math.Abs(r.Gather-float64(edge/r.Girth)) > 1e-9 {
			t.Errorf("%s: %v", r.Where, r.Gather)
		}
	}
	if !table.OK() || !strings.Contains(table.Rows()[0].Verdict, "it grows thick") {
		t.Errorf("2.3 in firm cloth:\n%s", table)
	}
	for ratio, want := range map[float64]string{0.9: "too narrow", 1.05: "hardly", 1.25: "slight", 1.5: "standard", 2: "full", 2.5: "very full", 3: "very full", 4: "more than"} {
		if got := gatherWords(ratio); !strings.HasPrefix(got, want) {
			t.Errorf("%v: %s, want %s", ratio, got, want)
		}
	}
	if _, err := g.Gathers(b, ClothWeight(7)); err == nil || !strings.Contains(err.Error(), "want LightCloth") {
		t.Error(err)
	}
	if _, err := g.Gathers(Body{ShoulderGirth: 100 * CM}, LightCloth); err == nil || !strings.Contains(err.Error(), "NeckBaseGirth") {
		t.Error(err)
	}
}

// A turned casing meets seam to seam: beyond the fold the cut line is the
// mirror image of the cut line before it, so far as the casing is deep.
func TestCasingMeetsSeamToSeam(t *testing.T) {
	g := gatheredFor(t, demoBody(t), DefaultGatheredTop())
	for _, p := range g.Pieces() {
		cut := styleMust[Path](t)(p.CutLine())
		edge := styleMust[[]Edge](t)(p.Edge("top edge"))[0].Path
		out := edge.End().Sub(edge.Start()).Unit().Perp().Neg()
		across := geom.Mirror(edge.Start(), edge.End())
		for depth := 4 * MM; depth < 25*MM; depth += 4 * MM {
			shift := out.Scale(float64(depth))
			far := edge.End().Sub(edge.Start()).Scale(3)
			line := Line(edge.Start().Sub(far).Add(shift), edge.End().Add(far).Add(shift))
			crossings := cut.Intersections(line)
			if len(crossings) != 2 {
				t.Fatalf("%s: %d crossings at %s", p.Name(), len(crossings), depth)
			}
			for _, c := range crossings {
				if p.Fold() != "" && styleMust[[]Edge](t)(p.Edge(p.Fold()))[0].Path.Dist(c.At) < depth+1*MM {
					continue // the fold
				}
				if off := cut.Dist(across.Apply(c.At)); off > 0.5*MM { // the edge of the sleeve bends by a little at its middle
					t.Errorf("%s, %s out: turned, it ends %s from the cut edge under it", p.Name(), depth, off)
				}
			}
		}
	}
	table := styleMust[Table](t)(g.CasingCorners())
	if len(table.Rows) != 2 || strings.Contains(fmt.Sprint(table.Rows), "FAULT") || strings.Count(fmt.Sprint(table.Rows), "runs straight on; each casing lies flat") != 2 {
		t.Errorf("%s", table)
	}
	t.Log(table)
}
