package patternkit

import (
	"strings"
	"testing"
)

// Rules taken out of drafted sizes give back each size: named points and
// control points exactly, so that curves agree everywhere.
func TestRulesGiveTheSizesBack(t *testing.T) {
	for _, waist := range []WaistShape{CurvyWaist, StraightWaist} {
		chart, err := MissesChart(waist)
		if err != nil {
			t.Fatal(err)
		}
		for _, base := range []string{"10", "00", "20"} {
			drafted, err := Grade(chart, base, gradeDraft)
			if err != nil {
				t.Fatal(err)
			}
			rules, err := drafted.Rules()
			if err != nil {
				t.Fatal(err)
			}
			p, err := drafted.Size(base)
			if err != nil {
				t.Fatal(err)
			}
			ruled, err := p.GradedBy(rules)
			if err != nil {
				t.Fatal(err)
			}
			sameGraded(t, drafted, ruled, nil)
			if walk := ruled.Walk(); len(walk.Rows) < 4 || strings.Contains(walk.String(), "FAULT") {
				t.Errorf("base %s: seams of the sizes by rules:\n%s", base, walk)
			}
			again, err := ruled.Rules()
			if err != nil {
				t.Fatal(err)
			}
			if again.String() != rules.String() {
				t.Errorf("base %s: rules of the sizes by rules:\n%s\nwant\n%s", base, again, rules)
			}
		}
	}
}

// sameGraded compares every place and notch of every size; moved says by how
// much a piece of b was moved, nil for nothing.
func sameGraded(t *testing.T, a, b Graded, moved func(size string, p Piece) Point) {
	t.Helper()
	if strings.Join(a.Sizes(), " ") != strings.Join(b.Sizes(), " ") || a.Base() != b.Base() {
		t.Fatalf("sizes %v from %s, want %v from %s", b.Sizes(), b.Base(), a.Sizes(), a.Base())
	}
	for i, s := range a.sizes {
		for k, piece := range s.pattern.pieces {
			by := Point{}
			if moved != nil {
				by = moved(s.name, piece)
			}
			other := b.sizes[i].pattern.pieces[k]
			places := other.gradePlaces()
			for j, q := range piece.gradePlaces() {
				if d := q.at.Add(by).Dist(places[j].at); d > 1e-6 {
					t.Errorf("size %s, %s, %s: off by %v", s.name, piece.name, q.name, d)
				}
			}
			for j, n := range piece.notches {
				if d := (n.At - other.notches[j].At).Abs(); d > 1e-6 {
					t.Errorf("size %s, %s, notch %s: off by %v", s.name, piece.name, n.Name, d)
				}
			}
		}
	}
}

func TestRulesFromAReference(t *testing.T) {
	_, drafted := gradedMisses(t)
	rules, err := drafted.Rules(GradeReference{"back", "underarm point"})
	if err != nil {
		t.Fatal(err)
	}
	still, err := rules.Rule("back", "underarm point")
	if err != nil {
		t.Fatal(err)
	}
	for i, s := range still.Steps {
		if s.Norm() > 1e-9 {
			t.Errorf("break %d: the reference moves by %v", i, s)
		}
	}
	p, err := drafted.Size("10")
	if err != nil {
		t.Fatal(err)
	}
	ruled, err := p.GradedBy(rules)
	if err != nil {
		t.Fatal(err)
	}
	from := p.pieces[0].at("underarm point")
	sameGraded(t, drafted, ruled, func(size string, q Piece) Point {
		if q.name != "back" {
			return Point{}
		}
		return from.Sub(q.at("underarm point"))
	})
}

// quarterPanel is a quarter of a coat by its corners: centre, neck, shoulder,
// side. The sizes of it do not matter to the sums.
func quarterPanel(t testing.TB) Pattern {
	t.Helper()
	p, err := NewPiece("back", Edge{"hem", Line(Pt(0, 0), Pt(240, 0))}, Edge{"side", Line(Pt(240, 0), Pt(240, 400))},
		Edge{"armhole", Cubic(Pt(240, 400), Pt(200, 410), Pt(190, 450), Pt(190, 560))},
		Edge{"shoulder", Line(Pt(190, 560), Pt(70, 600))}, Edge{"neckline", Cubic(Pt(70, 600), Pt(60, 580), Pt(30, 575), Pt(0, 575))},
		Edge{"centre", Line(Pt(0, 575), Pt(0, 0))})
	if err != nil {
		t.Fatal(err)
	}
	pattern, err := NewPattern("box coat", p)
	if err != nil {
		t.Fatal(err)
	}
	return pattern
}

// Rosenfeld, The Practical Designer, 1911, page 216: from size 36 to 38 a
// quarter of a box coat gains 1/8 in at the centre and 3/8 in at the side,
// which is 2 in all round.
func TestHandRulesOfABoxCoat(t *testing.T) {
	pattern := quarterPanel(t)
	step := func(x, y Length) []Point { return []Point{Pt(x, y)} }
	eighth := Inch / 8
	rules, err := NewRuleTable([]string{"36", "38"}, "36",
		GradeRule{"back", "where centre meets hem", step(-eighth, 0)},
		GradeRule{"back", "where neckline meets centre", step(-eighth, 0)},
		GradeRule{"back", "where shoulder meets neckline", step(0, eighth)},
		GradeRule{"back", "where armhole meets shoulder", step(eighth, eighth)},
		GradeRule{"back", "where side meets armhole", step(3*eighth, 0)},
		GradeRule{"back", "where hem meets side", step(3*eighth, 0)})
	if err != nil {
		t.Fatal(err)
	}
	g, err := pattern.GradedBy(rules)
	if err != nil {
		t.Fatal(err)
	}
	quarter := func(size string) Length {
		p, err := g.Size(size)
		if err != nil {
			t.Fatal(err)
		}
		length, err := p.pieces[0].EdgeLength("hem")
		if err != nil {
			t.Fatal(err)
		}
		return length
	}
	if round := 4 * (quarter("38") - quarter("36")); (round - 2*Inch).Abs() > 1e-9 {
		t.Errorf("from 36 to 38 the coat gains %v all round, want 2 in", round)
	}
	// Up one size and down again is the base.
	down, err := g.sizes[1].pattern.GradedBy(RuleTable{sizes: rules.sizes, base: 1, rules: rules.rules})
	if err != nil {
		t.Fatal(err)
	}
	for k, q := range pattern.pieces[0].outlinePlaces() {
		if got := down.sizes[0].pattern.pieces[0].outlinePlaces()[k].at; got.Dist(q.at) > 0.01 && !q.handle {
			t.Errorf("%s comes back to %v, want %v", q.name, got, q.at)
		}
	}
	// The handles of the armhole lie between its ends, and so do their moves.
	for k, q := range g.sizes[1].pattern.pieces[0].outlinePlaces() {
		move := q.at.Sub(pattern.pieces[0].outlinePlaces()[k].at)
		if strings.HasPrefix(q.name, "armhole, ") && !(move.X > eighth && move.X < 3*eighth) {
			t.Errorf("%s moves by %v, want between %v and %v across", q.name, move, eighth, 3*eighth)
		}
	}
}

// Half of a 1 in bust grade is 1/4 in on the half front and 1/4 in on the half
// back (a published note on grade rules): a size halfway has half of each.
func TestSizeInBetween(t *testing.T) {
	_, drafted := gradedMisses(t)
	rules, err := drafted.Rules()
	if err != nil {
		t.Fatal(err)
	}
	between, err := rules.WithSize("13", "12", 0.5)
	if err != nil {
		t.Fatal(err)
	}
	p, err := drafted.Size("10")
	if err != nil {
		t.Fatal(err)
	}
	g, err := p.GradedBy(between)
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(g.Sizes(), " "); got != "00 0 2 4 6 8 10 12 13 14 16 18 20" {
		t.Errorf("sizes %s", got)
	}
	bust := func(g Graded, size string) Length {
		p, err := g.Size(size)
		if err != nil {
			t.Fatal(err)
		}
		return 2 * (levelWidth(p.pieces[0], "back neck point") + levelWidth(p.pieces[1], "front neck point"))
	}
	if want := (bust(drafted, "12") + bust(drafted, "14")) / 2; (bust(g, "13") - want).Abs() > 0.5*MM {
		t.Errorf("bust of size 13 is %v, want %v, halfway", bust(g, "13"), want)
	}
	if got, want := bust(g, "20"), bust(drafted, "20"); (got - want).Abs() > 1e-6 {
		t.Errorf("bust of size 20 is %v, want %v as before", got, want)
	}
	if walk := g.Walk(); strings.Contains(walk.String(), "FAULT") {
		t.Errorf("seams with the size in between:\n%s", walk)
	}
	for _, r := range []struct {
		name, after string
		share       float64
	}{{"12", "10", 0.5}, {"", "10", 0.5}, {"x", "20", 0.5}, {"x", "7", 0.5}, {"x", "10", 1}, {"x", "10", 0}} {
		if _, err := rules.WithSize(r.name, r.after, r.share); err == nil {
			t.Errorf("a size %q after %q at %v: want an error", r.name, r.after, r.share)
		}
	}
}

func TestRuleTableRefuses(t *testing.T) {
	pattern := quarterPanel(t)
	one := []Point{Pt(1, 0)}
	for want, make := range map[string]func() (RuleTable, error){
		`want one of "36" and "38"`: func() (RuleTable, error) { return NewRuleTable([]string{"36", "38"}, "40") },
		"want at least 2":           func() (RuleTable, error) { return NewRuleTable([]string{"36"}, "36") },
		"want a name of its own":    func() (RuleTable, error) { return NewRuleTable([]string{"36", "36"}, "36") },
		"want 1, one for each size break": func() (RuleTable, error) {
			return NewRuleTable([]string{"36", "38"}, "36", GradeRule{"back", "x", nil})
		},
		"a bare number is millimetres": func() (RuleTable, error) {
			return NewRuleTable([]string{"36", "38"}, "36", GradeRule{"back", "x", []Point{Pt(2000, 0)}})
		},
		`two for "x" of piece "back", want`: func() (RuleTable, error) {
			return NewRuleTable([]string{"36", "38"}, "36", GradeRule{"back", "x", one}, GradeRule{"back", "x", one})
		},
	} {
		if _, err := make(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("got %v, want %s", err, want)
		}
	}
	for want, rule := range map[string]GradeRule{
		`has no piece "front"`:                                 {"front", "x", one},
		`has no point "nape", it has "where centre meets hem"`: {"back", "nape", one},
	} {
		rules, err := NewRuleTable([]string{"36", "38"}, "36", rule)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := pattern.GradedBy(rules); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("got %v, want %s", err, want)
		}
	}
}

func BenchmarkGradeByRules(b *testing.B) {
	_, drafted := gradedMisses(b)
	rules, err := drafted.Rules()
	if err != nil {
		b.Fatal(err)
	}
	p, err := drafted.Size("10")
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := p.GradedBy(rules); err != nil {
			b.Fatal(err)
		}
	}
}
