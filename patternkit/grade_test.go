package patternkit

import (
	"fmt"
	"strings"
	"testing"
)

// gradeDraft is the bodice and sleeve that the grading tests draft.
func gradeDraft(b Body) (Pattern, error) {
	return gradeDraftBy(BodiceOptions{BustEase: 8 * CM, WaistEase: 6 * CM}, b)
}

func gradeDraftBy(o BodiceOptions, b Body) (Pattern, error) {
	bodice, err := DraftBodice(b, o)
	if err != nil {
		return Pattern{}, err
	}
	sleeve, err := DraftSleeve(bodice.Armhole(), classSleeve())
	if err != nil {
		return Pattern{}, err
	}
	return NewPattern("harbour class block", bodice, sleeve)
}

func gradedMisses(t testing.TB) (SizeChart, Graded) {
	t.Helper()
	return gradedMissesOf(t, CurvyWaist)
}

func gradedMissesOf(t testing.TB, waist WaistShape) (SizeChart, Graded) {
	t.Helper()
	chart, err := MissesChart(waist)
	if err != nil {
		t.Fatal(err)
	}
	g, err := Grade(chart, "10", gradeDraft)
	if err != nil {
		t.Fatal(err)
	}
	return chart, g
}

// The bust girths are those of ASTM D5585-11e1, sizes 00 to 20.
func TestGradedMissesMeetAndFit(t *testing.T) {
	for _, waist := range []WaistShape{CurvyWaist, StraightWaist} {
		chart, g := gradedMissesOf(t, waist)
		if got := strings.Join(g.Sizes(), " "); got != "00 0 2 4 6 8 10 12 14 16 18 20" || g.Base() != "10" {
			t.Fatalf("sizes %s, base %s", got, g.Base())
		}
		meetAndFit(t, chart, g, levelWidth, 8*CM)
	}
}

// openWidth is the width of a piece from its underarm point to the line of its
// centre, darts open.
func openWidth(p Piece, centre string) Length {
	return (p.at(centre).X - p.at("underarm point").X).Abs()
}

// The proportional method reaches to size 16. It has its ease in its formulas,
// on the bust line before the waist darts are sewn, some of which end above it.
func TestGradedMissesByProportion(t *testing.T) {
	for _, waist := range []WaistShape{CurvyWaist, StraightWaist} {
		all, err := MissesChart(waist)
		if err != nil {
			t.Fatal(err)
		}
		draft := func(b Body) (Pattern, error) {
			return gradeDraftBy(BodiceOptions{Method: Proportional, BustEase: proportionalBustEase, WaistEase: proportionalWaistEase}, b)
		}
		_, err = Grade(all, "10", draft)
		wantError(t, err, "grading size 18: bodice by the proportional method: BustGirth is 111.76 cm, want 74 cm to 110 cm")
		chart, err := NewSizeChart("misses up to 16", all.Source(), all.Sizes()[:10]...)
		if err != nil {
			t.Fatal(err)
		}
		g, err := Grade(chart, "10", draft)
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.Join(g.Sizes(), " "); got != "00 0 2 4 6 8 10 12 14 16" {
			t.Errorf("sizes %s", got)
		}
		meetAndFit(t, chart, g, openWidth, proportionalBustEase)
	}
}

func meetAndFit(t *testing.T, chart SizeChart, g Graded, width func(Piece, string) Length, ease Length) {
	t.Helper()
	for _, s := range chart.Sizes() {
		p, err := g.Size(s.Name)
		if err != nil {
			t.Fatal(err)
		}
		walk := p.Walk()
		if len(walk.Rows()) < 4 {
			t.Errorf("size %s: %d seams, want those of bodice and sleeve", s.Name, len(walk.Rows()))
		}
		for _, r := range walk.Rows() {
			if off := (r.Difference - r.Ease).Abs(); off > 0.5*MM || r.Fault {
				t.Errorf("size %s, %s: off by %v: %s", s.Name, r.Seam, off, r.Verdict)
			}
		}
		front, errF := p.Piece("front")
		back, errB := p.Piece("back")
		if errF != nil || errB != nil {
			t.Fatal(errF, errB)
		}
		bust := 2 * (width(back, "back neck point") + width(front, "front neck point"))
		if want := s.Body.BustGirth + ease; (bust - want).Abs() > 0.05*MM {
			t.Errorf("size %s: bust %v, want %v of the table and ease", s.Name, bust, want)
		}
	}
	if walk := g.Walk(); len(walk.Rows) < 4 || strings.Contains(walk.String(), "FAULT") {
		t.Errorf("walk of all sizes:\n%s", walk)
	}
}

// A waist at half the girth of the pattern is what the waist edges of one
// front and one back add up to, so that four quarters grow by the girth step.
// Steps of ASTM D5585-11e1, curvy waist, size 10 to 12: 1 3/4 in.
func TestGradedQuartersGrowByTheGirthStep(t *testing.T) {
	_, g := gradedMisses(t)
	half := func(size string) Length {
		p, err := g.Size(size)
		if err != nil {
			t.Fatal(err)
		}
		sum := Length(0)
		for _, name := range []string{"front", "back"} {
			piece, err := p.Piece(name)
			if err != nil {
				t.Fatal(err)
			}
			length, err := piece.EdgeLength("waist")
			if err != nil {
				t.Fatal(err)
			}
			sum += length
		}
		return sum
	}
	if step := 2 * (half("12") - half("10")); (step - 1.75*Inch).Abs() > 0.2*MM {
		t.Errorf("waist grows by %v from 10 to 12, want %v", step, 1.75*Inch)
	}
}

func TestGradeNamesWhatDiffers(t *testing.T) {
	chart, _ := gradedMisses(t)
	square := func(girth Length, edge string) (Pattern, error) {
		p, err := NewPiece("panel", Edge{edge, Line(Pt(0, 0), Pt(girth, 0))},
			Edge{"side", Polyline(Pt(girth, 0), Pt(girth, girth), Pt(0, girth), Pt(0, 0))})
		if err != nil {
			return Pattern{}, err
		}
		return NewPattern("panel", p)
	}
	for want, draft := range map[string]func(Body) (Pattern, error){
		`grading size 14 against size 10: piece "panel": its edges are "bottom" and "side", want those of the base, "hem" and "side"`: func(b Body) (Pattern, error) {
			if b.BustGirth == 40.375*Inch {
				return square(b.BustGirth, "bottom")
			}
			return square(b.BustGirth, "hem")
		},
		"grading size 00: the cloth has run out":                                            func(Body) (Pattern, error) { return Pattern{}, fmt.Errorf("the cloth has run out") },
		"grading size 00: the draft returned an empty pattern, want one made by NewPattern": func(Body) (Pattern, error) { return Pattern{}, nil },
	} {
		if _, err := Grade(chart, "10", draft); err == nil || err.Error() != want {
			t.Errorf("got %v\nwant %s", err, want)
		}
	}
	if _, err := Grade(chart, "11", gradeDraft); err == nil || !strings.Contains(err.Error(), `no size "11"`) {
		t.Errorf("base size 11: %v", err)
	}
}

func TestFinishedMeasurements(t *testing.T) {
	_, g := gradedMisses(t)
	finished, steps := g.FinishedMeasurements(), g.Increments()
	if len(finished.Rows) != len(steps.Rows) || len(steps.Columns) != 12 {
		t.Fatalf("%d measurements, %d increments of %d columns", len(finished.Rows), len(steps.Rows), len(steps.Columns))
	}
	for _, row := range finished.Rows {
		if len(row) != 14 || row[13] == "0.00" {
			t.Errorf("row %q, want 12 sizes and a tolerance", row)
		}
	}
	m := gradeMeasure{values: []Length{100, 104, 112}}
	if got := m.tolerance(); got != 0.45*4 {
		t.Errorf("tolerance of steps of 4 and 8 mm: %v", got)
	}
}

func BenchmarkGradeTwelveSizes(b *testing.B) {
	chart, _ := gradedMisses(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Grade(chart, "10", gradeDraft); err != nil {
			b.Fatal(err)
		}
	}
}
