package patternkit

import (
	"strings"
	"testing"
)

// blockFor is bodice and sleeve by direct measure, the cap a little over a
// fourth of the armhole high.
func blockFor(t testing.TB, b Body) Pattern {
	t.Helper()
	bodice := styleMust[Bodice](t)(DraftBodice(b, DefaultBodice()))
	return withSleeve(t, bodice, sleeveOf(bodice))
}

// eachMissesBody runs a test for every size of ASTM D5585-11.
func eachMissesBody(t *testing.T, f func(t *testing.T, b Body)) {
	t.Helper()
	chart := styleMust[SizeChart](t)(MissesChart(CurvyWaist))
	for _, s := range chart.Sizes() {
		t.Run(s.Name, func(t *testing.T) { f(t, styleMust[Body](t)(s.Body.Estimated())) })
	}
}

// ringOf is the length around of a ring of a pattern.
func ringOf(t testing.TB, p Pattern, b Body, ring string) Length {
	t.Helper()
	return styleMust[PullOnRow](t)(styleMust[PullOnTable](t)(p.PullOn(b, Cloth{})).Row(ring)).Girth
}

// Armhole and sleeve cut at half the depth of the armhole walk to each other
// within 0.5 mm at every size of ASTM D5585-11, before and after the sides are
// let out and the sleeve is cut short.
func TestGatheredTopWalks(t *testing.T) {
	eachMissesBody(t, func(t *testing.T, b Body) {
		o := DefaultGatheredTop()
		o.SleeveUnderarm = 10 * CM
		g := styleMust[GatheredTop](t)(MakeGatheredTop(blockFor(t, b), o))
		for _, s := range g.Steps() {
			rows := s.After.Walk().Rows()
			for _, r := range rows {
				if s.Name != "bust dart of the front" && (r.Difference-r.Ease).Abs() > walkTolerance {
					t.Errorf("%s: %s is off by %s", s.Name, r.Seam, r.Difference)
				}
			}
		}
		for _, name := range []string{"front armhole", "back armhole"} {
			row := styleMust[SeamRow](t)(seamRow(g.Pattern(), name))
			if row.Ease != 0 || row.Difference.Abs() > 1e-6 || row.LengthA < 8*CM {
				t.Errorf("%s: %s and %s", name, row.LengthA, row.LengthB)
			}
		}
		if r := styleMust[SeamRow](t)(seamRow(g.Pattern(), "underarm")); (r.LengthA-10*CM).Abs() > 1e-6 || (r.LengthB-10*CM).Abs() > 1e-6 {
			t.Errorf("underarm: %s and %s, want 10 cm", r.LengthA, r.LengthB)
		}
		for _, piece := range g.Pieces() {
			soundPiece(t, piece)
		}
	})
}

// A half piece laid 2 in from the fold gains 4 in across the whole piece, a
// sleeve laid 3 in from its fold 6 in: common practice, no source. Each number
// adds where it says, and nowhere else.
func TestFullness(t *testing.T) {
	b := demoBody(t)
	block := blockFor(t, b)
	plain := DefaultGatheredTop()
	plain.FrontFullness, plain.BackFullness, plain.SleeveFullness, plain.SideWidth = 0, 0, 0, 0
	rings := func(o GatheredTopOptions) map[string]Length {
		p := styleMust[GatheredTop](t)(MakeGatheredTop(block, o)).Pattern()
		out := map[string]Length{}
		for _, ring := range []string{"top edge", "bust", "waist", "sleeve hem"} {
			out[ring] = ringOf(t, p, b, ring)
		}
		return out
	}
	was := rings(plain)
	for _, tt := range []struct {
		name  string
		set   func(o *GatheredTopOptions)
		gains map[string]Length
	}{
		{"front 2 in", func(o *GatheredTopOptions) { o.FrontFullness = 2 * Inch }, map[string]Length{"top edge": 4 * Inch, "bust": 4 * Inch, "waist": 4 * Inch}},
		{"back 2 in", func(o *GatheredTopOptions) { o.BackFullness = 2 * Inch }, map[string]Length{"top edge": 4 * Inch, "bust": 4 * Inch, "waist": 4 * Inch}},
		{"sleeve 3 in", func(o *GatheredTopOptions) { o.SleeveFullness = 3 * Inch }, map[string]Length{"top edge": 2 * 6 * Inch, "sleeve hem": 6 * Inch}},
		{"side 1 in", func(o *GatheredTopOptions) { o.SideWidth = 1 * Inch }, map[string]Length{"bust": 4 * Inch, "waist": 4 * Inch, "sleeve hem": 2 * Inch}},
		{"flare 12 cm", func(o *GatheredTopOptions) { o.SleeveFlare = 12 * CM }, map[string]Length{"sleeve hem": 12 * CM}},
	} {
		o := plain
		tt.set(&o)
		for ring, is := range rings(o) {
			tolerance := 0.5 * MM
			if tt.name == "flare 12 cm" {
				tolerance = 4 * CM // the corners swing in a little
			}
			if got := is - was[ring]; (got - tt.gains[ring]).Abs() > tolerance {
				t.Errorf("%s: %s gains %s, want %s", tt.name, ring, got, tt.gains[ring])
			}
		}
	}
}

// A side seam with a dart in it is let out by the same as one without, and its
// dart stays a dart.
func TestSideWithDartLetOut(t *testing.T) {
	b := demoBody(t)
	o := DefaultGatheredTop()
	g := styleMust[GatheredTop](t)(MakeGatheredTop(blockFor(t, b), o))
	front := styleMust[Piece](t)(g.Pattern().Piece("front"))
	d := styleMust[Dart](t)(front.Dart("bust dart"))
	if first, second := front.legs(d); (first - second).Abs() > 1e-6 {
		t.Errorf("legs of %s and %s", first, second)
	}
	row := styleMust[SeamRow](t)(seamRow(g.Pattern(), "side seam"))
	was := styleMust[SeamRow](t)(seamRow(g.From(), "side seam"))
	if (row.LengthA-was.LengthA).Abs() > 1e-6 || row.Difference.Abs() > 1e-6 {
		t.Errorf("side seam %s and %s, was %s", row.LengthA, row.LengthB, was.LengthA)
	}
}

func TestGatheredTopRefuses(t *testing.T) {
	block := blockFor(t, demoBody(t))
	noSleeve := styleMust[Pattern](t)(NewPattern("bodice", styleMust[Bodice](t)(DraftBodice(demoBody(t), DefaultBodice()))))
	front := styleMust[Piece](t)(block.Piece("front"))
	open := styleMust[Pattern](t)(block.WithPiece(front.WithoutFold()))
	for _, tt := range []struct {
		from Pattern
		set  func(o *GatheredTopOptions)
		want string
	}{
		{block, func(o *GatheredTopOptions) { o.FrontFullness = 2 / 10.0 }, "FrontFullness is 0.02 cm, want 0.1 cm to 60 cm"},
		{block, func(o *GatheredTopOptions) { o.TopEdge = 50 }, "TopEdge is 50, want a share from 0.05 to 0.95"},
		{block, func(o *GatheredTopOptions) { *o = GatheredTopOptions{} }, "Elastic is 0 cm"},
		{block, func(o *GatheredTopOptions) { o.CasingTurn = 3 * CM }, "Turn"},
		{block, func(o *GatheredTopOptions) { o.TopEdge = 0.9 }, "would run into the neckline of the front: want at most 0."},
		{noSleeve, func(o *GatheredTopOptions) {}, `no seam "armhole"`},
		{open, func(o *GatheredTopOptions) {}, "not on the fold"},
		{Pattern{}, func(o *GatheredTopOptions) {}, `no seam "armhole"`},
	} {
		o := DefaultGatheredTop()
		tt.set(&o)
		if _, err := MakeGatheredTop(tt.from, o); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("got %v\nwant ... %q", err, tt.want)
		}
	}
}

// Every number of a casing and a hem: folded 1/2 in and then 1 in it takes 1
// 1/2 in above the finished edge; a hem of 1/4 + 1/4 in takes 1/2 in; an
// elastic of 1/2 in runs in it with clearance; stitching runs 1/8 in from the
// folded edge; about 2 in are left open. Common practice, no source.
func TestCasingOfTheTop(t *testing.T) {
	g := styleMust[GatheredTop](t)(MakeGatheredTop(blockFor(t, demoBody(t)), DefaultGatheredTop()))
	for _, piece := range g.Pieces() {
		top := styleMust[Allowance](t)(piece.Allowance(topEdge))
		if (top.Width-1.5*Inch).Abs() > 1e-9 || len(top.Folds) != 2 || (top.Folds[0]-1*Inch).Abs() > 1e-9 || (top.Folds[1]-Inch/2).Abs() > 1e-9 {
			t.Errorf("%s: casing of %s, want 1 in + 1/2 in", piece.Name(), top)
		}
		edge := map[string]string{"front": "waist", "back": "waist", "sleeve": "hem"}[piece.Name()]
		if hem := styleMust[Allowance](t)(piece.Allowance(edge)); (hem.Width - Inch/2).Abs() > 1e-9 {
			t.Errorf("%s: hem of %s, want 1/2 in", piece.Name(), hem)
		}
	}
	c := styleMust[Casing](t)(g.Options().casing(topEdge, g.Options().Elastic))
	if room := c.Channel() - Inch/2; room < Inch/8 || c.Stitching != Inch/8 || (c.Depth()-1*Inch).Abs() > 1e-9 {
		t.Errorf("channel of %s for 1/2 in, stitching at %s, depth %s", c.Channel(), c.Stitching, c.Depth())
	}
	if !strings.Contains(c.String(), "leave open to thread the elastic") || !strings.Contains(c.String(), inCM(2*Inch)) {
		t.Errorf("2 in are to be left open:\n%s", c)
	}
}

func TestWidenAtSideRefuses(t *testing.T) {
	front := styleMust[Piece](t)(blockFor(t, demoBody(t)).Piece("front"))
	withDart := styleMust[Piece](t)(front.PivotDart("bust dart", DartMove{To: OnEdge{"side seam", 5 * CM}}))
	for _, tt := range []struct {
		p    Piece
		edge string
		by   Length
		want string
	}{
		{front, "centre front", 2 * CM, "use WidenAtFold"},
		{front, "side seam", 0, "by is 0 cm"},
		{front, "hem", 2 * CM, `no edge "hem"`},
		{withDart, "side seam", 2 * CM, "pivot them away first"},
	} {
		if _, err := tt.p.WidenAtSide(tt.edge, tt.by); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s by %s: %v, want %q", tt.edge, tt.by, err, tt.want)
		}
	}
}

func BenchmarkGatheredTop(b *testing.B) {
	body, o := demoBody(b), DefaultGatheredTop()
	o.SleeveUnderarm = 12 * CM
	b.ReportAllocs()
	for b.Loop() {
		bodice, err := DraftBodice(body, DefaultBodice())
		if err != nil {
			b.Fatal(err)
		}
		if _, err := MakeGatheredTop(withSleeve(b, bodice, sleeveOf(bodice)), o); err != nil {
			b.Fatal(err)
		}
	}
}

// Fullness opens a sleeve to both sides: sizes that are laid together as they
// were drafted keep one centre.
func TestGatheredSleevesKeepTheirCentre(t *testing.T) {
	chart, err := MissesChart(CurvyWaist)
	if err != nil {
		t.Fatal(err)
	}
	for _, size := range chart.Sizes() {
		body, err := size.Body.Estimated()
		if err != nil {
			t.Fatal(err)
		}
		plain, err := DraftPlainTop(body, DefaultPlainTop())
		if err != nil {
			t.Fatal(err)
		}
		made, err := MakeGatheredTop(plain.Pattern(), DefaultGatheredTop())
		if err != nil {
			t.Fatal(err)
		}
		x := func(p Pattern) Length {
			sleeve, err := p.Piece("sleeve")
			if err != nil {
				t.Fatal(err)
			}
			return sleeve.Bounds().Center().X
		}
		if off := (x(made.Pattern()) - x(plain.Pattern())).Abs(); off > 5*MM {
			t.Errorf("size %s: the middle of the sleeve moves by %v", size.Name, off)
		}
	}
}
