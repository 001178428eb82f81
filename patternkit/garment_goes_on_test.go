package patternkit

import (
	"strings"
	"testing"
)

// closeTop is a plain top near the body, with 2 in of ease at the bust (close
// is 0 to 2 7/8 in by the pattern trade's table of ease, from memory), to be
// gathered without any width added and with its sleeve head as it is cut.
func closeTop(t testing.TB, b Body) (Pattern, GatheredTopOptions) {
	t.Helper()
	plain := DefaultPlainTop()
	plain.BustEase, plain.SideWidth, plain.HipEase = 2*Inch, 0, 4*CM
	o := DefaultGatheredTop()
	o.FrontFullness, o.BackFullness, o.SleeveFullness, o.SideWidth, o.RunOn = 0, 0, 0, 0, 0
	return styleMust[PlainTop](t)(DraftPlainTop(b, plain)).Pattern(), o
}

// In cloth that does not stretch a close template does not go on; cut 2 1/2 to
// 3 in wider in each half of front and back, several sizes too large before it
// is gathered, it does: common practice, no source.
func TestCloseTemplateAndWider(t *testing.T) {
	eachMissesBody(t, func(t *testing.T, b Body) {
		from, o := closeTop(t, b)
		check := styleMust[GoesOnTable](t)(styleMust[GatheredTop](t)(MakeGatheredTop(from, o)).GoesOn(b, Cloth{}))
		if near := b.ShoulderGirth < b.BustGirth+2*Inch; check.OK() && !near { // as at 18 and 20
			t.Errorf("the close template goes on:\n%s", check)
		}
		for _, wider := range []Length{2.5 * Inch, 3 * Inch} {
			o.FrontFullness, o.BackFullness = wider, wider
			check := styleMust[GoesOnTable](t)(styleMust[GatheredTop](t)(MakeGatheredTop(from, o)).GoesOn(b, Cloth{}))
			if !check.OK() {
				t.Errorf("%s wider:\n%s", wider, check)
			}
			if gained := ringOf(t, styleMust[GatheredTop](t)(MakeGatheredTop(from, o)).Pattern(), b, "bust") - b.BustGirth; gained < 25*CM {
				t.Errorf("%s wider: %s over the bust, want several sizes of some 5 cm", wider, gained)
			}
		}
	})
}

// Each raise that the table names makes its ring pass, and a millimetre less
// does not: in cloth that does not stretch and in one that does.
func TestRaisesAreEnoughAndLeast(t *testing.T) {
	tried := map[string]bool{}
	stout := demoBody(t)
	stout.UpperArmGirth, stout.ElbowGirth, stout.WristGirth = 36*CM, 42*CM, 18*CM // so that the sleeve's hem is in the way
	broad := demoBody(t)
	broad.ShoulderGirth = 110 * CM
	for _, b := range []Body{broad, stout} {
		from, o := closeTop(t, b)
		for _, cloth := range []Cloth{{}, {Stretch: 0.02}} {
			check := styleMust[GoesOnTable](t)(styleMust[GatheredTop](t)(MakeGatheredTop(from, o)).GoesOn(b, cloth))
			if len(check.Raises()) == 0 {
				t.Fatalf("nothing to raise:\n%s", check)
			}
			after := func(o GatheredTopOptions) GoesOnTable {
				return styleMust[GoesOnTable](t)(styleMust[GatheredTop](t)(MakeGatheredTop(from, o)).GoesOn(b, cloth))
			}
			for _, r := range check.Raises() {
				tried[r.Ring+" "+r.Option] = true
				lacks := func(by Length) Length {
					raised := styleMust[GatheredTopOptions](t)(o.Raised(Raise{r.Ring, r.Option, by}))
					return styleMust[PullOnRow](t)(after(raised).Rings().Row(r.Ring)).judged.Short
				}
				if short := lacks(r.By); short > walkTolerance {
					t.Errorf("%s at the %s: it still lacks %s", r, r.Ring, short)
				}
				if short := lacks(r.By - 1*MM); short <= walkTolerance {
					t.Errorf("%s at the %s: a millimetre less is enough", r, r.Ring)
				}
				if !strings.Contains(check.String(), r.Option) {
					t.Errorf("the table does not name %s", r.Option)
				}
			}
			if widened := after(styleMust[GatheredTopOptions](t)(check.Widened())); !widened.OK() {
				t.Errorf("widened:\n%s", widened)
			}
		}
	}
	for _, want := range []string{"top edge FrontFullness", "top edge BackFullness", "top edge SleeveFullness", "bust SideWidth", "waist BackFullness", "sleeve hem SideWidth", "sleeve hem SleeveFullness"} {
		if !tried[want] {
			t.Errorf("%s was not tried, only %v", want, tried)
		}
	}
}

func TestRaisedRefuses(t *testing.T) {
	o := DefaultGatheredTop()
	if _, err := o.Raised(Raise{Option: "TopEdge", By: 1 * CM}); err == nil || !strings.Contains(err.Error(), "want FrontFullness") {
		t.Errorf("%v", err)
	}
	if _, err := o.Raised(Raise{Option: "SideWidth", By: 1 * M}); err == nil || !strings.Contains(err.Error(), "SideWidth") {
		t.Errorf("%v", err)
	}
	if same := styleMust[GatheredTopOptions](t)(GoesOnTable{options: o}.Widened()); same != o {
		t.Errorf("%+v", same)
	}
}
