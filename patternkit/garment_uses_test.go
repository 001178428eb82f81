package patternkit

import (
	"bytes"
	"strings"
	"testing"
)

// childBody is an invented child, measured all over the upper body.
func childBody() Body {
	return Body{Height: 122 * CM, BustGirth: 62 * CM, UnderbustGirth: 60 * CM, WaistGirth: 56 * CM, HipGirth: 66 * CM, NeckBaseGirth: 28 * CM,
		ShoulderLength: 9 * CM, BackWidth: 24 * CM, ChestWidth: 23 * CM, ShoulderGirth: 72 * CM, BackWaistLength: 28 * CM, FrontWaistLength: 30 * CM,
		NeckToBustPoint: 17 * CM, BustPointDistance: 12 * CM, ArmscyeDepth: 14.5 * CM, ArmscyeGirth: 26 * CM, UpperArmGirth: 18.5 * CM, ElbowGirth: 18 * CM,
		WristGirth: 12.5 * CM, HandGirth: 15 * CM, ArmLength: 42 * CM, WaistToHip: 14 * CM, HeadGirth: 52 * CM, ShoulderSlope: 20 * Degree}
}

// A child's version is made of a top that fits the child, with smaller numbers;
// from the block it is refused, by name. Its sheet prints the cautions for
// children, among them EN 14682 with its 134 cm, and defers to local rules.
func TestChildsTop(t *testing.T) {
	child := childBody()
	if _, err := DraftPlainTop(child, DefaultPlainTop()); err == nil || !strings.Contains(err.Error(), "Height is 122 cm") || !strings.Contains(err.Error(), "FlatTop") {
		t.Errorf("a child's block: %v", err)
	}
	if _, err := (Body{Height: 122 * CM, BustGirth: 62 * CM}).Estimated(); err == nil || !strings.Contains(err.Error(), "a child's proportions differ") {
		t.Errorf("a child estimated: %v", err)
	}
	flat := FlatTop{BackLength: 40 * CM, NeckWidth: 14 * CM, BackNeckDrop: 1.5 * CM, FrontNeckDrop: 5.5 * CM, AcrossShoulders: 27 * CM,
		ShoulderDrop: 2.6 * CM, AcrossBack: 25 * CM, AcrossFront: 24 * CM, HalfBust: 33 * CM, HalfHem: 35 * CM,
		ArmholeStraight: 14 * CM, SleeveLength: 14 * CM, HalfBiceps: 13 * CM, HalfSleeveHem: 11.5 * CM}
	o := DefaultGatheredTop()
	o.FrontFullness, o.BackFullness, o.SleeveFullness, o.SideWidth = 3*CM, 3*CM, 4*CM, 1.5*CM
	o.SleeveUnderarm, o.SleeveElastic, o.Elastic = 8*CM, 6*MM, 6*MM
	g := styleMust[GatheredTop](t)(MakeGatheredTop(flatPattern(t, flat), o))
	if !g.Pattern().Walk().OK() || !styleMust[GoesOnTable](t)(g.GoesOn(child, Cloth{})).OK() || !styleMust[GatherTable](t)(g.Gathers(child, LightCloth)).OK() {
		t.Errorf("%s\n%s", g.Pattern().Walk(), styleMust[GoesOnTable](t)(g.GoesOn(child, Cloth{})))
	}
	sheet := styleMust[Document](t)(g.Pattern().MakingSheet(MakingOptions{Body: child, Child: true, Elastics: styleMust[[]Elastic](t)(g.Elastics(child))[1:]}))
	for _, want := range []string{"EN 14682", "134 cm", "176 cm", "local law decides"} {
		if !strings.Contains(sheet.HTML(), want) {
			t.Errorf("the child's sheet does not say %q", want)
		}
	}
}

// The same function with other numbers makes a blouse with puffed sleeves: a
// sleeve gathered into an elastic and flared below, a top edge near the
// shoulder.
func TestPuffedSleeves(t *testing.T) {
	b := demoBody(t)
	o := DefaultGatheredTop()
	o.TopEdge, o.FrontFullness, o.BackFullness, o.SleeveFullness = 0.7, 3*CM, 2*CM, 10*CM
	o.SleeveUnderarm, o.SleeveFlare, o.SleeveElastic, o.OnShoulder = 12*CM, 8*CM, Inch/4, 0.9
	g := gatheredFor(t, b, o)
	p := g.Pattern()
	if !p.Walk().OK() || !styleMust[GoesOnTable](t)(g.GoesOn(b, Cloth{})).OK() {
		t.Errorf("%s", p.Walk())
	}
	arm := ringOf(t, p, b, "sleeve hem")
	elastics := styleMust[[]Elastic](t)(g.Elastics(b))
	if ratio := arm / elastics[2].Ring(); ratio < 1.5 || len(elastics) != 3 {
		t.Errorf("a puffed sleeve of %s on an elastic of %s", arm, elastics[2].Ring())
	}
	for _, piece := range p.Pieces() {
		if _, err := piece.CutLine(); err != nil {
			t.Error(err)
		}
	}
	if hem := styleMust[Allowance](t)(styleMust[Piece](t)(p.Piece("sleeve")).Allowance("hem")); len(hem.Folds) != 2 || hem.Width < 2*CM {
		t.Errorf("the sleeve's hem is to be cased: %s", hem)
	}
}

// A gathered skirt comes of a rectangle by the general operations alone: laid
// from the fold it gains twice that, its waist is cased, and it goes on.
func TestGatheredSkirt(t *testing.T) {
	b := demoBody(t)
	half := func(name string) Piece {
		w, l := b.HipGirth/4+1*CM, 60*CM
		p := styleMust[Piece](t)(NewPiece(name, Edge{"hem", Line(Pt(0, 0), Pt(w, 0))}, Edge{"side seam", Line(Pt(w, 0), Pt(w, l))},
			Edge{"waist", Line(Pt(w, l), Pt(0, l))}, Edge{"centre", Line(Pt(0, l), Pt(0, 0))}))
		p = styleMust[Piece](t)(p.WithFold("centre"))
		p = styleMust[Piece](t)(p.WidenAtFold(10 * CM))
		p = styleMust[Piece](t)(p.WithAllowanceEverywhere(1.5 * CM))
		p = styleMust[Piece](t)(p.WithAllowance(DoubleFoldHem("hem", 1*CM, 3*CM)))
		return styleMust[Piece](t)(p.WithCasing(styleMust[Casing](t)(NewCasing("waist", 2*CM, 5*MM))))
	}
	skirt := styleMust[Pattern](t)(NewPattern("gathered skirt", half("front"), half("back"),
		Seam{Name: "side seam", A: []Along{{Piece: "front", Edge: "side seam"}}, B: []Along{{Piece: "back", Edge: "side seam"}}}))
	if !skirt.Walk().OK() || !skirt.CheckAllowances().OK() || !styleMust[PullOnTable](t)(skirt.PullOn(b, Cloth{})).OK() {
		t.Errorf("%s\n%s", skirt.CheckAllowances(), styleMust[PullOnTable](t)(skirt.PullOn(b, Cloth{})))
	}
	if got, want := ringOf(t, skirt, b, "waist"), b.HipGirth+4*CM+40*CM; (got - want).Abs() > 1e-6 {
		t.Errorf("the waist is %s around, want %s", got, want)
	}
}

// One function from a body to the top, over a size chart and over a class: walks,
// nest, rule table, finished measurements and a printout with a layer for each
// size.
func TestGatheredTopGraded(t *testing.T) {
	draft := func(b Body) (Pattern, error) {
		plain, err := DraftPlainTop(b, DefaultPlainTop())
		if err != nil {
			return Pattern{}, err
		}
		o := DefaultGatheredTop()
		o.SleeveUnderarm = 10 * CM
		top, err := MakeGatheredTop(plain.Pattern(), o)
		return top.Pattern(), err
	}
	sizes := styleMust[[]Size](t)(BodiesFromCSV(strings.NewReader(`name, Height (cm), BustGirth (cm), WaistGirth (cm), HipGirth (cm)
Ana, 158, 84, 68, 92
Birte, 172, 96, 80, 104
Carmen, 165, 110, 98, 116
`)))
	class := styleMust[SizeChart](t)(NewSizeChart("evening class", "invented", sizes...))
	for _, tt := range []struct {
		chart SizeChart
		base  string
	}{{styleMust[SizeChart](t)(MissesChart(CurvyWaist)), "8"}, {class, "Birte"}} {
		g := styleMust[Graded](t)(Grade(tt.chart, tt.base, draft))
		if strings.Contains(g.Walk().String(), "FAULT") {
			t.Error(g.Walk())
		}
		if nest := styleMust[Picture](t)(g.Nest(NestOptions{})); len(nest.PNG()) == 0 {
			t.Error("no nest")
		}
		rules := styleMust[RuleTable](t)(g.Rules())
		if len(rules.Table().Rows) < 10 || len(rules.Sizes()) != len(tt.chart.Sizes()) {
			t.Errorf("rules:\n%s", rules)
		}
		if finished := g.FinishedMeasurements().String(); !strings.Contains(finished, "top edge") {
			t.Errorf("finished measurements:\n%s", finished)
		}
		printed := styleMust[Printed](t)(g.Print(A4))
		if printed.Pages < 10 || bytes.Count(printed.File, []byte("/Type /OCG")) < len(tt.chart.Sizes()) {
			t.Errorf("%d pages, %d layers for %d sizes", printed.Pages, bytes.Count(printed.File, []byte("/Type /OCG")), len(tt.chart.Sizes()))
		}
	}
}
