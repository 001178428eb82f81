package patternkit

import (
	"math/rand/v2"
	"strings"
	"testing"
)

// Any options give a top whose seams meet, whose rings are as wide as the
// options say and whose pieces are sound, or an error that names the top. A
// fixed seed: a failure is found again.
func TestGatheredTopOfAnyOptions(t *testing.T) {
	b := demoBody(t)
	sources := []Pattern{blockFor(t, b), flatPattern(t, eveningTop()), styleMust[PlainTop](t)(DraftPlainTop(b, DefaultPlainTop())).Pattern()}
	r := rand.New(rand.NewPCG(11, 6))
	some := func(most Length) Length {
		if r.IntN(4) == 0 {
			return 0
		}
		return 1*MM + Length(r.Float64())*most
	}
	made, refused := 0, 0
	for range 600 / sampleStep(1) {
		from := sources[r.IntN(len(sources))]
		o := DefaultGatheredTop()
		o.TopEdge = 0.1 + 0.8*r.Float64()
		o.FrontFullness, o.BackFullness, o.SleeveFullness, o.SideWidth = some(30*CM), some(30*CM), some(30*CM), some(15*CM)
		if r.IntN(2) == 0 {
			o.SleeveUnderarm = 3*CM + Length(r.Float64())*60*CM
		}
		if o.SleeveFlare = some(15 * CM); o.SleeveFlare < 1*CM {
			o.SleeveFlare = 0
		}
		o.SleeveElastic = Length(r.IntN(2)) * 6 * MM
		if o.RunOn = r.Float64(); o.RunOn < leastRunOn || o.RunOn > mostRunOn {
			o.RunOn = 0
		}
		g, err := MakeGatheredTop(from, o)
		if err != nil {
			if !strings.HasPrefix(err.Error(), "gathered top: ") {
				t.Errorf("%+v: %v", o, err)
			}
			refused++
			continue
		}
		made++
		for _, row := range g.Pattern().Walk().Faults() {
			t.Errorf("%+v: %s: %s", o, row.Seam, row.Verdict)
		}
		for _, piece := range g.Pieces() {
			soundPiece(t, piece)
		}
		for _, bend := range bendsOf(t, g) {
			if o.RunOn > 0 && (bend > 0.01*Degree || bend < -0.01*Degree) {
				t.Errorf("%+v: the top edge bends by %s at a sleeve seam", o, bend)
			}
		}
		plain := o
		plain.FrontFullness, plain.BackFullness, plain.SleeveFullness, plain.SideWidth, plain.SleeveFlare = 0, 0, 0, 0, 0
		scant, err := MakeGatheredTop(from, plain)
		if err != nil {
			continue // a narrow sleeve tapers to nothing before a wider one does
		}
		if gained, want := g.topEdgeGirth()-scant.topEdgeGirth(), 2*o.FrontFullness+2*o.BackFullness+4*o.SleeveFullness; (gained - want).Abs() > exact(o, want) {
			t.Errorf("%+v: the top edge gained %s, want %s", o, gained, want)
		}
	}
	t.Logf("%d made, %d refused", made, refused)
	if made < 2*refused {
		t.Errorf("%d made, %d refused, want most made", made, refused)
	}
}

// exact is how near the top edge gains what the options say: exactly, but for a
// sleeve whose head has two unlike sides. Its edge is ruled slantwise between
// them, and the less so the wider it is.
func exact(o GatheredTopOptions, want Length) Length {
	if o.RunOn == 0 {
		return 0.01 * MM
	}
	return want/100 + 1*MM
}
