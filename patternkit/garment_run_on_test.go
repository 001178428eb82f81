package patternkit

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// bendsOf is by how much the corners of the top edge at the two sleeve seams
// differ from the 180° of an edge that runs straight on.
func bendsOf(t testing.TB, g GatheredTop) [2]Angle {
	t.Helper()
	var bends [2]Angle
	for i, half := range []string{"front", "back"} {
		s := styleMust[Seam](t)(g.pattern.Seam(half + " armhole"))
		body := styleMust[Angle](t)(g.topCorner(half))
		bends[i] = body + styleMust[Angle](t)(g.topCornerAt("sleeve", s.A[0].Edge)) - cornerRunsOn
	}
	return bends
}

// At every size of ASTM D5585-11, from a block and from a plain top, the top edge
// runs straight on across the sleeve seams within 0.01°, square to the grain of
// the sleeve, and the seams walk as they do without; nothing but the sleeve is
// redrawn, which only gains. A dip is filled: common practice, no source.
func TestTopEdgeRunsOnAcrossTheSleeveSeams(t *testing.T) {
	eachMissesBody(t, func(t *testing.T, b Body) {
		plain := styleMust[PlainTop](t)(DraftPlainTop(b, DefaultPlainTop())).Pattern()
		for k, from := range []Pattern{blockFor(t, b), plain} {
			o := DefaultGatheredTop()
			fair := styleMust[GatheredTop](t)(MakeGatheredTop(from, o))
			o.RunOn = 0
			cut := styleMust[GatheredTop](t)(MakeGatheredTop(from, o))
			for i, half := range []string{"front", "back"} {
				if was, is := bendsOf(t, cut)[i], bendsOf(t, fair)[i]; was < 20*Degree || math.Abs(is.Degrees()) > 0.01 {
					t.Errorf("%s: the edge bends by %s, as it is cut by %s", half, is, was)
				}
				was := styleMust[SeamRow](t)(seamRow(cut.Pattern(), half+" armhole"))
				is := styleMust[SeamRow](t)(seamRow(fair.Pattern(), half+" armhole"))
				if (is.LengthA-was.LengthA).Abs() > 1e-6 || (is.LengthB-was.LengthB).Abs() > 1e-6 || is.Difference.Abs() > 1e-6 {
					t.Errorf("%s armhole: %s and %s, was %s", half, is.LengthA, is.LengthB, was.LengthA)
				}
				a, c := styleMust[Piece](t)(fair.Pattern().Piece(half)), styleMust[Piece](t)(cut.Pattern().Piece(half))
				if math.Abs(a.Area()-c.Area()) > 1e-6 {
					t.Errorf("%s is redrawn", half)
				}
			}
			sleeve := styleMust[Piece](t)(fair.Pattern().Piece("sleeve"))
			top := styleMust[[]Edge](t)(sleeve.Edge(topEdge))[0].Path
			if top.Start().Dist(top.End()) < top.Length()-1e-9 {
				t.Error("the top edge of the sleeve is not straight")
			}
			if off := top.End().Sub(top.Start()).AngleTo(sleeve.grain[1].Sub(sleeve.grain[0])).Degrees(); math.Abs(math.Abs(off)-90) > 3 {
				t.Errorf("the top edge of the sleeve lies %.1f° to its grain", off)
			}
			if more := fair.topEdgeGirth() - cut.topEdgeGirth(); more < 1*CM || more > 16*CM {
				t.Errorf("the top edge gains %s", more)
			}
			if k == 0 {
				continue // its sides are too short for a dart between two allowances
			}
			if flat := fair.Pattern().CheckAllowances(); !flat.OK() {
				t.Errorf("%s", flat)
			}
			for _, piece := range fair.Pieces() {
				styleMust[Path](t)(piece.CutLine())
			}
		}
	})
}

// Without, the bend is reported and nothing else is.
func TestTopEdgeLeftAsItIsCut(t *testing.T) {
	o := DefaultGatheredTop()
	o.RunOn = 0
	g := gatheredFor(t, demoBody(t), o)
	table := styleMust[Table](t)(g.CasingCorners())
	if rows := fmt.Sprint(table.Rows); strings.Count(rows, "dips in by") != 2 || strings.Contains(rows, "FAULT") || !strings.Contains(fmt.Sprint(table.Notes), "RunOn") {
		t.Errorf("%s", table)
	}
}

func TestRunOnRefuses(t *testing.T) {
	plain := styleMust[PlainTop](t)(DraftPlainTop(demoBody(t), DefaultPlainTop())).Pattern()
	for _, tt := range []struct {
		set  func(o *GatheredTopOptions)
		want string
	}{
		{func(o *GatheredTopOptions) { o.RunOn = 0.05 }, "RunOn is 0.05, want a share from 0.2 to 0.8"},
		{func(o *GatheredTopOptions) { o.RunOn = 50 }, "RunOn is 50"},
		{func(o *GatheredTopOptions) { o.TopEdge = 0.06 }, "RunOn 0 to leave the bend"},
	} {
		o := DefaultGatheredTop()
		tt.set(&o)
		if _, err := MakeGatheredTop(plain, o); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("got %v\nwant ... %q", err, tt.want)
		}
	}
}
