package patternkit

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

func demoBody(t testing.TB) Body {
	t.Helper()
	b, err := Body{Height: 168 * CM, BustGirth: 92 * CM, WaistGirth: 74 * CM, HipGirth: 98 * CM}.Estimated()
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// The ease that a block was drafted with is the ease that is measured on its
// pieces: 8 cm and 6 cm for direct measure; W/2+3 for the waist of the
// proportional method, whose bust loses to its darts and its shaped back what
// its formula B/2+6 has on paper.
func TestEaseOfTheBlocks(t *testing.T) {
	b := demoBody(t)
	for _, o := range []BodiceOptions{DefaultBodice(), {Method: Proportional}} {
		bodice, err := DraftBodice(b, o)
		if err != nil {
			t.Fatal(err)
		}
		sleeve, err := DraftSleeve(bodice.Armhole(), DefaultSleeve())
		if err != nil {
			t.Fatal(err)
		}
		p, err := NewPattern("block", bodice, sleeve)
		if err != nil {
			t.Fatal(err)
		}
		e, err := p.Ease(b, Cloth{})
		if err != nil {
			t.Fatal(err)
		}
		bust := b.BustGirth + 8*CM
		if o.Method == Proportional {
			line := bodice.Back().Internals()[0].Path
			bust = bodice.BustGirth() - 2*(line.Start().X-bodice.Back().at("back neck point").X)
		}
		for level, want := range map[string]Length{"bust": bust, "waist": b.WaistGirth + 6*CM, "biceps": sleeve.BicepsWidth(), "wrist": 24 * CM} {
			row, err := e.Row(level)
			if err != nil {
				t.Fatal(err)
			}
			if (row.Garment-want).Abs() > 0.01*MM || row.Ease != row.Garment-row.Body {
				t.Errorf("%s %s: %v with ease %v, want %v", o.Method, level, row.Garment, row.Ease, want)
			}
		}
		if !e.OK() {
			t.Errorf("a block with ease is too small:\n%s", e)
		}
	}
}

// The width of a piece along a line, worked by hand: a triangle of 30 cm base
// and 40 cm height is 15 cm wide halfway up; a dart 4 cm wide at the base and
// with its tip at 30 cm takes 4·10/30 cm there.
func TestWidthAlong(t *testing.T) {
	p, err := NewPiece("panel",
		Edge{"hem", Line(Pt(0, 0), Pt(8*CM, 0))}, Edge{"mouth", Line(Pt(8*CM, 0), Pt(12*CM, 0))}, Edge{"hem", Line(Pt(12*CM, 0), Pt(30*CM, 0))},
		Edge{"right", Line(Pt(30*CM, 0), Pt(10*CM, 40*CM))}, Edge{"left", Line(Pt(10*CM, 40*CM), Pt(0, 0))})
	if err != nil {
		t.Fatal(err)
	}
	line := Line(Pt(9*CM, 20*CM), Pt(11*CM, 20*CM))
	if got := p.widthAlong(line); (got - 15*CM).Abs() > 1e-6 {
		t.Errorf("without a dart %v, want 15 cm", got)
	}
	bent := Polyline(Pt(9*CM, 20*CM), Pt(10*CM, 21*CM), Pt(11*CM, 20*CM))
	if got := p.widthAlong(bent); got != bent.Length() {
		t.Errorf("along a bent line %v, want its length", got)
	}
	if p, err = p.WithDart(Dart{"dart", "mouth", Pt(10*CM, 30*CM)}); err != nil {
		t.Fatal(err)
	}
	if got, want := p.widthAlong(line), 15*CM-4*CM/3; (got - want).Abs() > 1e-6 {
		t.Errorf("with the dart %v, want %v", got, want)
	}
}

// A garment smaller than the body is a fault unless the cloth can be drawn
// out: 70 cm around 80 cm needs 14.3 %, and 0.8 of the stretch may be used.
func TestEaseVerdicts(t *testing.T) {
	tube := func(width Length) Pattern {
		p, err := NewPiece("front",
			Edge{"hem", Line(Pt(0, 0), Pt(width, 0))}, Edge{"side", Line(Pt(width, 0), Pt(width, 30*CM))},
			Edge{"waist", Line(Pt(width, 30*CM), Pt(0, 30*CM))}, Edge{"centre", Line(Pt(0, 30*CM), Pt(0, 0))})
		if err != nil {
			t.Fatal(err)
		}
		if p, err = p.WithQuantity(4, ""); err != nil {
			t.Fatal(err)
		}
		lining, err := NewPiece("front lining", p.Edges()...)
		if err != nil {
			t.Fatal(err)
		}
		q, err := NewPattern("skirt", p, lining)
		if err != nil {
			t.Fatal(err)
		}
		return q
	}
	for _, tt := range []struct {
		width   Length
		stretch float64
		fault   bool
		verdict string
	}{
		{17.5 * CM, 0, true, "FAULT: too small, add 10.00 cm around"},
		{17.5 * CM, 0.15, true, "FAULT: too small, add 1.43 cm around"},
		{17.5 * CM, 0.18, false, "stretched by 14 % when it is worn"},
		{20.1 * CM, 0, false, "close: 0.87 cm less than usual"},
		{20.5 * CM, 0, false, "as is usual"},
		{30 * CM, 0, false, "loose: 34.92 cm more than usual"},
	} {
		e, err := tube(tt.width).Ease(Body{WaistGirth: 80 * CM}, Cloth{Stretch: tt.stretch})
		if err != nil {
			t.Fatal(err)
		}
		r := e.Rows()[0]
		if r.Garment != 4*tt.width || r.Fault != tt.fault || r.Verdict != tt.verdict || e.OK() == tt.fault {
			t.Errorf("%v, stretch %v: %+v, want %q", tt.width, tt.stretch, r, tt.verdict)
		}
		for _, s := range []string{e.HTML(), e.Markdown(), e.String()} {
			if !strings.Contains(s, tt.verdict) {
				t.Errorf("the verdict is not told:\n%s", s)
			}
		}
	}
	for _, tt := range []struct {
		body  Body
		cloth Cloth
		want  string
	}{
		{Body{HipGirth: 98 * CM}, Cloth{}, "the body has no WaistGirth, measure it or call Estimated"},
		{Body{WaistGirth: 74 * CM}, Cloth{Stretch: 25}, "it reads like per cent, did you mean 0.25?"},
		{Body{WaistGirth: 74 * CM}, Cloth{Stretch: -1}, "want 0 to 3"},
		{Body{WaistGirth: 74 * CM}, Cloth{Stretch: math.NaN()}, "want 0 to 3"},
	} {
		if _, err := tube(20*CM).Ease(tt.body, tt.cloth); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%v: want ... %s", err, tt.want)
		}
	}
}

// Whatever the body and the ease asked for, the pieces of a direct-measure
// block measure body plus ease at bust and waist.
func TestEaseAsked(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 1))
	drafted := 0
	for range 40 {
		b, err := Body{Height: 155*CM + Length(rng.Float64())*25*CM, BustGirth: 80*CM + Length(rng.Float64())*40*CM}.Estimated()
		if err != nil {
			t.Fatal(err)
		}
		o := BodiceOptions{BustEase: 6*CM + Length(rng.Float64())*6*CM, WaistEase: 2*CM + Length(rng.Float64())*6*CM}
		bodice, err := DraftBodice(b, o)
		if err != nil {
			continue
		}
		drafted++
		p, err := NewPattern("bodice", bodice)
		if err != nil {
			t.Fatal(err)
		}
		e, err := p.Ease(b, Cloth{})
		if err != nil {
			t.Fatal(err)
		}
		for i, want := range []Length{o.BustEase, o.WaistEase} {
			if got := e.Rows()[i]; (got.Ease - want).Abs() > 0.01*MM {
				t.Errorf("bust %v, %s: ease %v, want %v", b.BustGirth, got.Level, got.Ease, want)
			}
		}
	}
	if drafted < 25 {
		t.Errorf("only %d of 40 blocks were drafted", drafted)
	}
}

// What published texts call usual lies within the range that is called usual
// here.
func TestUsualEaseAgainstPublished(t *testing.T) {
	for _, tt := range []struct {
		level     string
		low, high Length
		source    string
	}{
		{"bust", 1.5 * Inch, 2 * Inch, "Central Washington University, costume text, chapter 16"},
		{"waist", 0.75 * Inch, 1 * Inch, "the same, dresses"},
		{"waist", 0.5 * Inch, 0.75 * Inch, "the same, skirts"},
		{"hip", 2 * Inch, 2.75 * Inch, "the same, all garments"},
		{"bust", 3 * Inch, 3 * Inch, "a sewing teacher's page of 2019, light cloth, minimum"},
		{"waist", 1 * Inch, 2 * Inch, "the same"},
		{"hip", 2 * Inch, 2 * Inch, "the same"},
		{"bust", 2 * Inch, 2.5 * Inch, "another teacher's page, ready-made and home sewn"},
		{"hip", 2 * Inch, 3 * Inch, "the same"},
		{"biceps", 2 * Inch, 2 * Inch, "a textbook's sleeve, as a teacher quotes it"},
	} {
		for _, level := range girthLevels {
			if level.name == tt.level && (tt.low < level.low || tt.high > level.high) {
				t.Errorf("%s: usual is %v to %v, %s has %v to %v", tt.level, level.low, level.high, tt.source, tt.low, tt.high)
			}
		}
	}
}
