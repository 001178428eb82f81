package patternkit

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// classBody is the body of the acceptance cells.
func classBody(tb testing.TB) Body {
	tb.Helper()
	b, err := Body{Height: 168 * CM, BustGirth: 92 * CM, WaistGirth: 74 * CM, HipGirth: 98 * CM}.Estimated()
	if err != nil {
		tb.Fatal(err)
	}
	return b
}

func classBodice(tb testing.TB) Bodice {
	tb.Helper()
	b, err := DraftBodice(classBody(tb), DefaultBodice())
	if err != nil {
		tb.Fatal(err)
	}
	return b
}

func ExampleDraftBodice() {
	body, err := Body{Height: 168 * CM, BustGirth: 92 * CM, WaistGirth: 74 * CM, HipGirth: 98 * CM}.Estimated()
	if err != nil {
		fmt.Println(err)
		return
	}
	bodice, err := DraftBodice(body, BodiceOptions{BustEase: 8 * CM, WaistEase: 6 * CM})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("bust", bodice.BustGirth(), "waist", bodice.WaistGirth())
	fmt.Println(bodice.Armhole())
	// Output:
	// bust 100 cm waist 80 cm
	// armhole of 40.7 cm: back 21.08 cm, front 19.62 cm
}

// The figures of bodies far from the middle must pass every check too.
func TestBodiceChecks(t *testing.T) {
	for _, tt := range []struct {
		name                     string
		height, bust, waist, hip Length
		bustEase, waistEase      Length
	}{
		{"class", 168 * CM, 92 * CM, 74 * CM, 98 * CM, 8 * CM, 6 * CM},
		{"class without ease", 168 * CM, 92 * CM, 74 * CM, 98 * CM, 0, 0},
		{"class with much ease", 168 * CM, 92 * CM, 74 * CM, 98 * CM, 20 * CM, 10 * CM},
		{"small", 150 * CM, 76 * CM, 60 * CM, 84 * CM, 8 * CM, 6 * CM},
		{"very large", 165 * CM, 125 * CM, 115 * CM, 130 * CM, 8 * CM, 6 * CM},
		{"hourglass", 170 * CM, 100 * CM, 66 * CM, 100 * CM, 8 * CM, 4 * CM},
		{"waist as large as the bust", 165 * CM, 96 * CM, 96 * CM, 100 * CM, 8 * CM, 8 * CM},
		{"waist larger than the bust", 165 * CM, 96 * CM, 102 * CM, 104 * CM, 6 * CM, 8 * CM},
	} {
		t.Run(tt.name, func(t *testing.T) {
			body, err := Body{Height: tt.height, BustGirth: tt.bust, WaistGirth: tt.waist, HipGirth: tt.hip}.Estimated()
			if err != nil {
				t.Fatal(err)
			}
			b, err := DraftBodice(body, BodiceOptions{BustEase: tt.bustEase, WaistEase: tt.waistEase})
			if err != nil {
				t.Fatal(err)
			}
			for _, f := range b.Checks().Faults() {
				t.Errorf("%s: %s, want %s", f.Name, f.Got, f.Want)
			}
			p, err := NewPattern("bodice", b)
			if err != nil {
				t.Fatal(err)
			}
			if w := p.Walk(); !w.OK() {
				t.Errorf("walk:\n%v", w)
			}
			checkSimple(t, tt.name, p)
		})
	}
}

// A check that cannot fail proves nothing: each must find the fault that is
// put into a right block.
func TestBodiceChecksFindFaults(t *testing.T) {
	right := classBodice(t)
	swap := func(p Piece, name string, change func(Path) Path) Piece {
		edges := p.Edges()
		for i, e := range edges {
			if e.Name == name {
				edges[i].Path = change(e.Path)
			}
		}
		p.edges = edges
		return p
	}
	straighten := func(p Path) Path { return Line(p.Start(), p.End()) }
	longer := func(p Path) Path { return Polyline(p.Start(), p.Start().Mid(p.End()).Add(Pt(8, 8)), p.End()) }
	wiggle := func(p Path) Path {
		a, b := p.Start(), p.End()
		return Cubic(a, a.Lerp(b, 0.4).Add(Pt(60, 0)), a.Lerp(b, 0.6).Sub(Pt(60, 0)), b)
	}
	for _, tt := range []struct {
		edge   string
		front  bool
		change func(Path) Path
		finds  string
	}{
		{"neckline", false, straighten, "neckline at the centre back"},
		{"neckline", true, straighten, "neckline at the centre front"},
		{"neckline", true, wiggle, "front neckline has no wiggle"},
		{"neckline", true, longer, "neckline"},
		{"armhole", false, straighten, "back armhole at the shoulder"},
		{"armhole", true, straighten, "armhole through the side seam"},
		{"armhole", true, straighten, "front armhole hollowed more than the back"},
		{"armhole", false, wiggle, "back armhole has no wiggle"},
		{"side seam", true, longer, "back side seam on the front side seam"},
		{"shoulder", false, longer, "back shoulder, dart closed, on the front shoulder"},
		{"waist", false, longer, "waist of the block"},
		{"waist", true, straighten, "front waist dart: waist across it, closed"},
		{"armhole", false, func(p Path) Path { return Cubic(p.Start(), p.Start().Sub(Pt(90, 0)), p.End().Sub(Pt(90, 0)), p.End()) }, "half the back width"},
	} {
		t.Run(fmt.Sprintf("%s, front %v: %s", tt.edge, tt.front, tt.finds), func(t *testing.T) {
			b := right
			if tt.front {
				b.front = swap(b.front, tt.edge, tt.change)
			} else {
				b.back = swap(b.back, tt.edge, tt.change)
			}
			if tt.edge == "armhole" { // the sleeve is drafted from the block, not from the piece
				d := *b.block.(*directBlock)
				if tt.front {
					d.front.armhole = straight(d.front.armhole[0], d.front.armhole[3])
				}
				b.block = &d
			}
			for _, f := range b.Checks().Faults() {
				if f.Name == tt.finds {
					return
				}
			}
			t.Errorf("not found among %v", b.Checks().Faults())
		})
	}
}

// Any ease either drafts a block that meets, or is refused by name.
func TestBodiceEases(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	between := func(lo, hi Length) Length { return lo + Length(r.Float64())*(hi-lo) }
	drafted := 0
	for range 1500 {
		body := Body{Height: between(145*CM, 185*CM), BustGirth: between(72*CM, 125*CM)}
		body.WaistGirth = body.BustGirth - between(-4*CM, 28*CM)
		full, err := body.Estimated()
		if err != nil {
			continue // no such woman
		}
		o := BodiceOptions{
			BustEase: between(-5*CM, 24*CM), WaistEase: between(-5*CM, 24*CM), NeckEase: between(0, 5*CM),
			ShoulderEase: between(-2*CM, 2*CM), BackWidthEase: between(0, 2*CM), ChestWidthEase: between(0, 2*CM), ArmholeDrop: between(0, 4*CM),
		}
		b, err := DraftBodice(full, o)
		if err != nil {
			var limit *LimitError
			if !errors.As(err, &limit) {
				t.Errorf("%+v: the error names no option or measurement: %v", o, err)
			}
			continue
		}
		drafted++
		p, err := NewPattern("bodice", b)
		if err != nil {
			t.Fatal(err)
		}
		if w := p.Walk(); !w.OK() {
			t.Errorf("%+v:\n%v", o, w)
		}
		if off := b.BustGirth() - full.BustGirth - o.BustEase; off.Abs() > 0.1*MM {
			t.Errorf("%+v: bust off by %v", o, off)
		}
		if off := b.WaistGirth() - full.WaistGirth - o.WaistEase; off.Abs() > 0.1*MM {
			t.Errorf("%+v: waist off by %v", o, off)
		}
	}
	if drafted < 700 {
		t.Errorf("%d of 1500 drafted, want half of them at least", drafted)
	}
}

func TestBodiceErrors(t *testing.T) {
	class := classBody(t)
	with := func(f func(b *Body, o *BodiceOptions)) error {
		b, o := class, DefaultBodice()
		f(&b, &o)
		_, err := DraftBodice(b, o)
		return err
	}
	for _, tt := range []struct {
		name, want string
		err        error
	}{
		{"not estimated", "not measured: UnderbustGirth, NeckBaseGirth", with(func(b *Body, _ *BodiceOptions) {
			*b = Body{Height: 168 * CM, BustGirth: 92 * CM, WaistGirth: 74 * CM, HipGirth: 98 * CM}
		})},
		{"no body", "not measured: BustGirth", with(func(b *Body, _ *BodiceOptions) { *b = Body{} })},
		{"bust ease too small", "BustEase is -20 cm, want ", with(func(_ *Body, o *BodiceOptions) { o.BustEase = -20 * CM })},
		{"bust ease too large", "BustEase is 80 cm, want ", with(func(_ *Body, o *BodiceOptions) { o.BustEase = 80 * CM })},
		{"bust ease no number", "BustEase is NaN", with(func(_ *Body, o *BodiceOptions) { o.BustEase = Length(math.NaN()) })},
		{"waist ease too small", "WaistEase is -30 cm, want ", with(func(_ *Body, o *BodiceOptions) { o.WaistEase = -30 * CM })},
		{"neck ease", "NeckEase is 20 cm, want -2 cm to 8 cm", with(func(_ *Body, o *BodiceOptions) { o.NeckEase = 20 * CM })},
		{"body out of range", "BustGirth is 9.2 cm", with(func(b *Body, _ *BodiceOptions) { b.BustGirth = 92 })},
		{"short shoulder", "ShoulderLength is 8.5 cm, want at least ", with(func(b *Body, _ *BodiceOptions) { b.ShoulderLength, b.BackWidth = 8.5*CM, 39*CM })},
		{"large armscye", "ArmscyeGirth is 53 cm, want at most ", with(func(b *Body, _ *BodiceOptions) { b.ArmscyeGirth, b.BackWaistLength = 53*CM, 33*CM })},
		{"method", "Method is 7, want DirectMeasure or Proportional", with(func(_ *Body, o *BodiceOptions) { o.Method = 7 })},
	} {
		t.Run(tt.name, func(t *testing.T) { wantError(t, tt.err, tt.want) })
	}
}

// What an error says can be drafted, can be.
func TestBodiceErrorsSayWhatWorks(t *testing.T) {
	class := classBody(t)
	var limit *LimitError
	_, err := DraftBodice(class, BodiceOptions{BustEase: -20 * CM, WaistEase: -20 * CM})
	if !errors.As(err, &limit) || limit.Field != "BustEase" {
		t.Fatalf("error %v, want one about BustEase", err)
	}
	if _, err := DraftBodice(class, BodiceOptions{BustEase: limit.Min + 1*MM, WaistEase: 0}); err != nil {
		t.Errorf("at the least bust ease: %v", err)
	}
	_, err = DraftBodice(class, BodiceOptions{BustEase: 8 * CM, WaistEase: 60 * CM})
	if !errors.As(err, &limit) || limit.Field != "WaistEase" {
		t.Fatalf("error %v, want one about WaistEase", err)
	}
	for _, ease := range []Length{limit.Min + 1*MM, limit.Max - 1*MM} {
		if _, err := DraftBodice(class, BodiceOptions{BustEase: 8 * CM, WaistEase: ease}); err != nil {
			t.Errorf("at a waist ease of %v: %v", ease, err)
		}
	}
}

// Options that add do add: each moves what it names by what it says.
func TestBodiceOptionsAdd(t *testing.T) {
	class := classBody(t)
	plain := classBodice(t)
	neck := func(b Bodice) Length {
		return 2 * (edgeLength(b.back, "neckline") + edgeLength(b.front, "neckline"))
	}
	shoulder := func(b Bodice) Length { return edgeLength(b.front, "shoulder") }
	depth := func(b Bodice) Length { return b.back.at("back neck point").Y - b.back.at("underarm point").Y }
	across := func(b Bodice) Length {
		d := b.block.(*directBlock)
		return d.backAcross(b)
	}
	for _, tt := range []struct {
		name    string
		set     func(o *BodiceOptions)
		measure func(Bodice) Length
		want    Length
	}{
		{"NeckEase", func(o *BodiceOptions) { o.NeckEase = 2 * CM }, neck, 2 * CM},
		{"ShoulderEase", func(o *BodiceOptions) { o.ShoulderEase = 1 * CM }, shoulder, 1 * CM},
		{"BackWidthEase", func(o *BodiceOptions) { o.BackWidthEase = 0.5 * CM }, across, 0.5 * CM},
		{"BustEase", func(o *BodiceOptions) { o.BustEase += 2 * CM }, Bodice.BustGirth, 2 * CM},
		{"WaistEase", func(o *BodiceOptions) { o.WaistEase += 2 * CM }, Bodice.WaistGirth, 2 * CM},
		{"ArmholeDrop", func(o *BodiceOptions) { o.ArmholeDrop = 2 * CM }, depth, 2 * CM},
	} {
		t.Run(tt.name, func(t *testing.T) {
			o := DefaultBodice()
			tt.set(&o)
			b, err := DraftBodice(class, o)
			if err != nil {
				t.Fatal(err)
			}
			if got := tt.measure(b) - tt.measure(plain); (got - tt.want).Abs() > 0.5*MM {
				t.Errorf("adds %v, want %v", got, tt.want)
			}
		})
	}
}

func TestBodiceGolden(t *testing.T) {
	checkGolden(t, "draft_direct.txt", []byte(classBodice(t).Draft().String()))
	checkGolden(t, "draft_proportional.txt", []byte(proportional(t, 83*CM, 64*CM, 38*CM).Draft().String()))
}

// The zero values are empty and do not panic.
func TestNoBodice(t *testing.T) {
	var b Bodice
	if b.BustGirth() != 0 || b.WaistGirth() != 0 || len(b.Draft().Steps()) != 0 || len(b.Checks().Rows()) != 0 {
		t.Error("no bodice has measures")
	}
	_ = b.HTML() + b.SVG() + b.String() + b.Markdown()
	_, err := DraftSleeve(b.Armhole(), DefaultSleeve())
	wantError(t, err, "the armhole is empty")
	var s Sleeve
	if s.CapHeight() != 0 || len(s.Draft().Steps()) != 0 || len(s.Checks().Rows()) != 0 {
		t.Error("no sleeve has measures")
	}
	_ = s.HTML() + s.SVG() + s.String() + s.Markdown()
}
