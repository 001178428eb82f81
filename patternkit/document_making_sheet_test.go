package patternkit

import (
	"fmt"
	"strings"
	"testing"
)

// gatheredForSheet is the top of the lessons with the elastics of two ways to
// wear it.
func gatheredForSheet(t testing.TB) (Pattern, MakingOptions) {
	t.Helper()
	b := demoBody(t)
	block := withSleeve(t, styleMust[Bodice](t)(DraftBodice(b, DefaultBodice())), DefaultSleeve())
	top := styleMust[GatheredTop](t)(MakeGatheredTop(block, DefaultGatheredTop()))
	on, off := styleMust[Elastic](t)(NewElastic("top edge", Inch/2, 88*CM, 0.05)), styleMust[Elastic](t)(NewElastic("top edge", Inch/2, 104*CM, 0.05))
	on.Where, off.Where = "on the shoulders", "off the shoulders"
	return top.Pattern(), MakingOptions{Body: b, Elastics: []Elastic{on, off}, Printout: "top.pdf"}
}

// The figures of the casing are common practice, no source: folded by 1/2 in
// and by 1 in, stitched 1/8 in from its inner fold, 2 in left open, the
// elastic 1/2 in longer than its ring.
func TestMakingSheet(t *testing.T) {
	p, o := gatheredForSheet(t)
	checkMaking(t, p, o)
	d := styleMust[Document](t)(p.MakingSheet(o))
	text, file := d.String(), string(d.File())
	wellFormed(t, d.Title(), d.HTML())
	for _, want := range []string{
		"sewn from 4 pieces", "bust girth 92.0 measured", "shoulder girth (over both arms) 102.4 3.2 estimated", "top edge, around 154.4", "of 140 cm width at least",
		"84.9 cm (33 3/8 in), 1.3 cm (1/2 in) wide", `the file "top.pdf"`, "each side 10 cm on the one, 4 in on the other", "the back and the front exactly on the fold",
		"Cut the sleeve through both layers", "turned by 1.3 cm (1/2 in), then by 2.5 cm (1 in)", "Front armhole", "Side seam and underarm, in one",
		"Turn the raw edge to the inside by 1.3 cm (1/2 in) and press. Turn again by 2.5 cm (1 in)", "Stitch 0.3 cm (1/8 in) from the inner fold, which leaves a channel of 2.2 cm (7/8 in)",
		"leave 5.1 cm (2 in) open at the middle of the back", "Or cut one 1.3 cm (1/2 in) wide and 100.1 cm (39 3/8 in) long (off the shoulders)", "by 0.6 cm (1/4 in), then again by 0.6 cm (1/4 in)",
		"goes on, over the head or from below", "must stretch, that of the top edge, on the shoulders from 83.6 cm (32 7/8 in) to 102.4 cm (40 3/8 in), 1.2 times as long, over the shoulders", "too tight hinders the blood", "not for a child's version",
	} {
		if !strings.Contains(strings.Join(strings.Fields(text), " "), want) {
			t.Errorf("the sheet does not say %q", want)
		}
	}
	steps := styleMust[Making](t)(p.Making(o)).Steps()
	if got := strings.Count(file, `<div class="step">`); got != len(steps) || got < 8 {
		t.Errorf("%d steps on the sheet, want %d", got, len(steps))
	}
	if got := strings.Count(file, "<img "); got != len(steps)+1 {
		t.Errorf("%d drawings, want one of the pieces and one of each of %d steps", got, len(steps))
	}
	for _, bad := range []string{"http://", "https://", "<script", "NaN", "%!", "notchs", "CautionsForChildren"} {
		if strings.Contains(file, bad) {
			t.Errorf("the sheet has %q", bad)
		}
	}
	for _, img := range []interface{ SVG() string }{p, styleMust[Picture](t)(styleMust[Making](t)(p.Making(o)).Picture(1))} {
		if strings.Contains(img.SVG(), "not complete") {
			t.Error("a drawing is not complete")
		}
	}
}

// Opened out on its folds the top is sewn alike: one casing all around, as long.
func TestMakingOfAnOpenedTop(t *testing.T) {
	p, o := gatheredForSheet(t)
	opened := styleMust[Pattern](t)(p.Unfold("front", "back"))
	checkMaking(t, opened, o)
	for _, q := range []Pattern{p, opened} {
		if row, err := styleMust[PullOnTable](t)(q.PullOn(o.Body, Cloth{})).Row("top edge"); err != nil || (row.Girth-154.37*CM).Abs() > 1*MM {
			t.Errorf("the top edge is %v around, want 154.4 cm: %v", row.Girth, err)
		}
	}
	folded, m := styleMust[Making](t)(p.Making(o)), styleMust[Making](t)(opened.Making(o))
	a, b := folded.Steps()[stepOf(t, folded, "casing")-1], m.Steps()[stepOf(t, m, "casing")-1]
	for _, s := range []MakingStep{a, b} {
		if !strings.Contains(s.Words, "all the way around, 154.4 cm (60 3/4 in)") || !strings.Contains(s.Words, "a channel of 2.2 cm (7/8 in)") {
			t.Errorf("%s: %s", s.Title, s.Words)
		}
	}
}

// A turned edge is drawn cut through beside its pieces, with what it measures;
// an elastic only in a casing.
func TestMakingProfile(t *testing.T) {
	p, o := gatheredForSheet(t)
	m := styleMust[Making](t)(p.Making(o))
	for i, s := range m.Steps() {
		svg := styleMust[Picture](t)(m.Picture(i + 1)).SVG()
		turned, casing := len(s.Seams) == 0 && len(s.Edges) > 0, strings.HasPrefix(s.Title, "Casing")
		if strings.Contains(svg, ">stitching<") != turned || strings.Contains(svg, ">elastic<") != casing || strings.Contains(svg, "2.5 cm (1 in)") != casing {
			t.Errorf("%s: turned %v, casing %v, and its picture says otherwise", s.Title, turned, casing)
		}
		if !turned && len(s.Darts) == 0 && !strings.Contains(svg, "A · ") {
			t.Errorf("%s: no letter on what is sewn together", s.Title)
		}
	}
}

// A top from a body's own block, its sleeves gathered too: the hem of the body
// bears the same name as that of the sleeve, and is hemmed, not cased.
func TestMakingOfGatheredSleeves(t *testing.T) {
	b := demoBody(t)
	o := DefaultGatheredTop()
	o.SleeveUnderarm, o.SleeveElastic = 10*CM, Inch/4
	plain := styleMust[PlainTop](t)(DraftPlainTop(b, DefaultPlainTop()))
	top := styleMust[GatheredTop](t)(MakeGatheredTop(plain.Pattern(), o))
	with := MakingOptions{Body: b, Elastics: styleMust[[]Elastic](t)(top.Elastics(b))}
	checkMaking(t, top.Pattern(), with)
	m := styleMust[Making](t)(top.Pattern().Making(with))
	sleeve := m.Steps()[stepOf(t, m, "casing of the hem of the sleeve")-1].Words
	for _, want := range []string{"do each of the 2", "0.6 cm (1/4 in) wide", "(upper arm)", "beside the seam"} {
		if !strings.Contains(sleeve, want) {
			t.Errorf("want %q in %q", want, sleeve)
		}
	}
	hem := m.Steps()[stepOf(t, m, "hem")-1]
	for _, s := range m.Steps() {
		if s.Title == "Hem" {
			hem = s
		}
	}
	if hem.Title != "Hem" || strings.Contains(hem.Words, "elastic") {
		t.Errorf("the hem of the body is %q: %s", hem.Title, hem.Words)
	}
	if _, err := top.Pattern().MakingSheet(with); err != nil {
		t.Error(err)
	}
}

func TestMakingSheetForAChild(t *testing.T) {
	p, o := gatheredForSheet(t)
	o.Child = true
	if text := styleMust[Document](t)(p.MakingSheet(o)).String(); !strings.Contains(text, "16 CFR 1120") || !strings.Contains(text, "local law decides") {
		t.Errorf("a child's sheet has no cautions for children:\n%s", text)
	}
	for _, tt := range []struct {
		height Length
		child  bool
	}{{134 * CM, true}, {135 * CM, false}, {0, false}} {
		if got := (MakingOptions{Body: Body{Height: tt.height}}).forChild(); got != tt.child {
			t.Errorf("a body of %v is a child's: %v, want %v", tt.height, got, tt.child)
		}
	}
}

// Without a body the sheet says that none is known, and asks for none.
func TestMakingSheetWithoutBody(t *testing.T) {
	p := finished(t, stylePatterns(t)[0])
	text := styleMust[Document](t)(p.MakingSheet(MakingOptions{})).String()
	if !strings.Contains(text, "not made for a body that is known here") || strings.Contains(text, "Will it go on") {
		t.Error(text)
	}
}

func TestMakingRefuses(t *testing.T) {
	p, o := gatheredForSheet(t)
	wrong := o.Elastics[0]
	wrong.Edge = "neck"
	for _, tt := range []struct {
		p    Pattern
		o    MakingOptions
		want string
	}{
		{Pattern{}, MakingOptions{}, "the pattern is empty, want one made by NewPattern"},
		{p, MakingOptions{Elastics: []Elastic{wrong}}, `elastic of "neck": no such edge is folded back for it, want WithCasing there; edges that are turned: "waist", "top edge" and "hem"`},
		{p, MakingOptions{Elastics: []Elastic{{}}}, "has no edge"},
		{p, MakingOptions{ClothWidth: 140}, "ClothWidth is 14 cm, want 30 cm to 400 cm"},
		{p, MakingOptions{StitchLength: 25 * MM}, "StitchLength is 2.5 cm"},
		{p, MakingOptions{Cloth: Cloth{Stretch: 20}}, "did you mean 0.2?"},
		{p, MakingOptions{Body: Body{BustGirth: 92 * CM}}, "measure it or call Estimated"},
		{stylePatterns(t)[0], MakingOptions{}, "allowance"},
	} {
		if _, err := tt.p.MakingSheet(tt.o); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("got %v\nwant ... %s", err, tt.want)
		}
	}
	m := styleMust[Making](t)(p.Making(o))
	if _, err := m.Picture(len(m.Steps()) + 1); err == nil || !strings.Contains(err.Error(), "want 1 to 8") {
		t.Errorf("a step too many: %v", err)
	}
}

// Worked by hand: half a body of 30 by 50 cm on the fold and a pair of sleeves
// of 40 by 60 cm have 0.78 m²; on 140 cm that is 56 cm, less than the longest
// piece. On folded cloth, 68.5 cm without its selvedge, they do not lie beside
// each other: 60 and 50 cm and 1 cm after each.
func TestMaterialsByHand(t *testing.T) {
	rect := func(name string, w, h Length) Piece {
		return styleMust[Piece](t)(NewPiece(name, Edge{"bottom", Line(Pt(0, 0), Pt(w, 0))}, Edge{"right", Line(Pt(w, 0), Pt(w, h))}, Edge{"top", Line(Pt(w, h), Pt(0, h))}, Edge{"left", Line(Pt(0, h), Pt(0, 0))}))
	}
	body := styleMust[Piece](t)(rect("body", 30*CM, 50*CM).WithFold("left"))
	sleeve := styleMust[Piece](t)(rect("sleeve", 40*CM, 60*CM).WithQuantity(2, "a pair"))
	seam := Seam{Name: "side", A: []Along{{"sleeve", "left", false}}, B: []Along{{"sleeve", "right", true}}}
	p := styleMust[Pattern](t)(styleMust[Pattern](t)(NewPattern("rectangles", body, sleeve, seam)).WithAllowances(0))
	text := styleMust[Table](t)(p.MaterialsList(MakingOptions{})).String()
	// Thread of two seams of 60 cm: 1.2 m times 2.5 times 1.15 is 3.45 m.
	for _, want := range []string{"of 140 cm width at least 0.60 m; enough: 1.15 m", "4 m"} {
		if !strings.Contains(text, want) {
			t.Errorf("want %q in\n%s", want, text)
		}
	}
	text = styleMust[Table](t)(p.MaterialsList(MakingOptions{ClothWidth: 160 * CM})).String()
	if want := "of 160 cm width at least 0.60 m; enough: 0.65 m"; !strings.Contains(text, want) {
		t.Errorf("want %q in\n%s", want, text)
	}
	text = styleMust[Table](t)(p.MaterialsList(MakingOptions{ClothWidth: 80 * CM})).String()
	if want := "at least 0.98 m; the sleeve does not fit into half of that width"; !strings.Contains(text, want) {
		t.Errorf("want %q in\n%s", want, text)
	}
}

// What is enough is never less than what is least.
func TestMaterialsOfBlocks(t *testing.T) {
	for _, p := range stylePatterns(t) {
		row, err := finished(t, p).clothRow("", MakingOptions{ClothWidth: 150 * CM})
		if err != nil {
			t.Fatal(err)
		}
		var width int
		var least, enough float64
		if _, err := fmt.Sscanf(row[1], "of %d cm width at least %f m; enough: %f m", &width, &least, &enough); err != nil || enough < least || least < 0.3 || enough > 3 {
			t.Errorf("%s: %q, %v", p.Name(), row[1], err)
		}
	}
}

// Tapes are marked in eighths: 15.9 mm is 5/8 in, 12.7 mm 1/2 in (exact).
func TestMakerLength(t *testing.T) {
	for _, tt := range []struct {
		l    Length
		want string
	}{{5 * Inch / 8, "1.6 cm (5/8 in)"}, {Inch / 2, "1.3 cm (1/2 in)"}, {Inch, "2.5 cm (1 in)"}, {39.5 * Inch, "100.3 cm (39 1/2 in)"}, {1 * MM, "0.1 cm"}, {0.999 * Inch, "2.5 cm (1 in)"}} {
		if got := makerLength(tt.l); got != tt.want {
			t.Errorf("%v is %q, want %q", tt.l, got, tt.want)
		}
	}
}

func BenchmarkMakingSheet(b *testing.B) {
	p, o := gatheredForSheet(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := p.MakingSheet(o); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkMaking(b *testing.B) {
	p, o := gatheredForSheet(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := p.Making(o); err != nil {
			b.Fatal(err)
		}
	}
}
