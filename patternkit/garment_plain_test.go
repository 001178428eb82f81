package patternkit

import (
	"errors"
	"strings"
	"testing"
)

// At every size of ASTM D5585-11 the seams of a plain top walk, its corners run
// on, it has the ease that was asked for, and its cut lines can be drawn.
func TestPlainTopAtEverySize(t *testing.T) {
	eachMissesBody(t, func(t *testing.T, b Body) {
		for _, o := range []PlainTopOptions{DefaultPlainTop(), {BustEase: 10 * CM, HipEase: 20 * CM, BelowHip: -5 * CM, SleeveLength: 58 * CM, SleeveEase: 6 * CM, SleeveTaper: 8 * CM}} {
			top := styleMust[PlainTop](t)(DraftPlainTop(b, o))
			p := top.Pattern()
			if !p.Walk().OK() {
				t.Error(p.Walk())
			}
			for _, c := range p.Corners().Faults() {
				if c.Pieces != "sleeve" || o.SleeveTaper == 0 {
					t.Errorf("%s: %s", c.Place, c.Verdict)
				}
			}
			ease := styleMust[EaseTable](t)(p.Ease(b, Cloth{}))
			bust := styleMust[EaseRow](t)(ease.Row("bust")).Ease
			if want := o.BustEase + 4*o.SideWidth; bust < want-1*MM || bust > want+2.5*CM { // the waist dart of the back, let out, reaches above the bust line
				t.Errorf("bust ease of %s, want %s", bust, want)
			}
			if o.BelowHip > 0 {
				if hip := styleMust[EaseRow](t)(ease.Row("hip")); hip.Ease < o.HipEase-0.5*MM || hip.Garment < bust+b.BustGirth-2.5*CM {
					t.Errorf("hip ease of %s, want %s or more", hip.Ease, o.HipEase)
				}
			}
			if biceps := styleMust[EaseRow](t)(ease.Row("biceps")); biceps.Ease < o.SleeveEase {
				t.Errorf("biceps ease of %s, want %s or more", biceps.Ease, o.SleeveEase)
			}
			p = styleMust[Pattern](t)(p.WithAllowances(1.5*CM, DoubleFoldHem("hem", 1*CM, 1*CM)))
			for _, piece := range p.Pieces() {
				soundPiece(t, piece)
				if _, err := piece.CutLine(); err != nil {
					t.Error(err)
				}
			}
		}
	})
}

// Every woman of ANSUR II gets a plain top, or an error names the measurement.
func TestPlainTopOnWomen(t *testing.T) {
	drafted, refused := 0, map[string]int{}
	bodies := women(t, false)
	for i := 0; i < len(bodies); i += sampleStep(1) {
		top, err := DraftPlainTop(bodies[i], DefaultPlainTop())
		var limit *LimitError
		switch {
		case errors.As(err, &limit):
			refused[limit.Field]++
		case err != nil:
			t.Errorf("woman %d: the error names no measurement: %v", i, err)
		default:
			drafted++
			for _, f := range top.Pattern().Walk().Faults() {
				t.Errorf("woman %d: %s: %s", i, f.Seam, f.Verdict)
			}
		}
	}
	t.Logf("%d drafted, refused by field: %v", drafted, refused)
	if len(refused) > 0 {
		t.Errorf("refused by field: %v, want none", refused)
	}
}

// sampleStep is how many women on the next is that a test looks at: each, in a
// long run.
func sampleStep(full int) int {
	if testing.Short() {
		return 20
	}
	return full
}

func TestPlainTopRefuses(t *testing.T) {
	b := demoBody(t)
	noHip := b
	noHip.HipGirth = 0
	for _, tt := range []struct {
		body Body
		set  func(o *PlainTopOptions)
		want string
	}{
		{b, func(o *PlainTopOptions) { *o = PlainTopOptions{} }, "BustEase is 0 cm, want 2 cm to 30 cm"},
		{b, func(o *PlainTopOptions) { o.SleeveLength = 24 }, "did you mean 24*CM?"},
		{noHip, func(o *PlainTopOptions) {}, "HipGirth"},
		{b, func(o *PlainTopOptions) { o.SideWidth = 0.5 * MM }, "SideWidth"},
	} {
		o := DefaultPlainTop()
		tt.set(&o)
		if _, err := DraftPlainTop(tt.body, o); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("got %v\nwant ... %q", err, tt.want)
		}
	}
}

func BenchmarkPlainTop(b *testing.B) {
	body := demoBody(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := DraftPlainTop(body, DefaultPlainTop()); err != nil {
			b.Fatal(err)
		}
	}
}
