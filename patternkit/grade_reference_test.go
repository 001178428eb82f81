package patternkit

import (
	"math"
	"strings"
	"testing"
)

// Where the sizes of a nest lie, measured on their own lines: a line held by
// itself has its end at the fold over that of the base; with a second line both
// lie on themselves; with a point the line does, and the point stands still
// along it.
func TestNestStackedOnLines(t *testing.T) {
	_, g := gradedMisses(t)
	lineStart := func(p placed, name string) Point {
		h, err := p.piece.gradeHold(name)
		if err != nil {
			t.Fatal(err)
		}
		return p.to.Apply(h.at)
	}
	for _, tt := range []struct {
		stack []GradeReference
		same  func(p, base placed) Length // how far off
	}{
		{[]GradeReference{{"front", "bust line"}}, func(p, base placed) Length {
			return lineStart(p, "bust line").Dist(lineStart(base, "bust line"))
		}},
		{[]GradeReference{{"front", "centre front"}}, func(p, base placed) Length {
			return lineStart(p, "centre front").Dist(lineStart(base, "centre front"))
		}},
		{[]GradeReference{{"front", "bust line"}, {"front", "centre front"}}, func(p, base placed) Length {
			return (lineStart(p, "bust line").Y - lineStart(base, "bust line").Y).Abs() +
				(lineStart(p, "centre front").X - lineStart(base, "centre front").X).Abs()
		}},
		{[]GradeReference{{"front", "grainline"}, {"front", "underarm point"}}, func(p, base placed) Length {
			return (lineStart(p, "grainline").X - lineStart(base, "grainline").X).Abs() +
				(p.to.Apply(p.piece.at("underarm point")).Y - base.to.Apply(base.piece.at("underarm point")).Y).Abs()
		}},
	} {
		all, err := g.nested(NestOptions{Pieces: []string{"front"}, Stack: tt.stack})
		if err != nil {
			t.Fatal(err)
		}
		for i, p := range all[0] {
			if off := tt.same(p, all[0][g.base]); off > 1e-6 {
				t.Errorf("%v, size %s: off by %v", tt.stack, g.sizes[i].name, off)
			}
		}
		rules, err := g.Rules(tt.stack...)
		if err != nil {
			t.Fatal(err)
		}
		if want := "front from its " + referenceWords(tt.stack)[len("front from its "):]; !strings.Contains(rules.String(), want) {
			t.Errorf("the table does not say %q:\n%s", want, rules)
		}
		// The sizes by these rules lie as in the nest.
		base, err := g.Size(g.Base())
		if err != nil {
			t.Fatal(err)
		}
		ruled, err := base.GradedBy(rules)
		if err != nil {
			t.Fatal(err)
		}
		for i, p := range all[0] {
			other, err := ruled.sizes[i].pattern.Piece("front")
			if err != nil {
				t.Fatal(err)
			}
			if d := p.to.Apply(p.piece.at("bust point")).Dist(all[0][g.base].to.Apply(other.at("bust point"))); d > 1e-6 {
				t.Errorf("%v, size %s: the bust point lies %v beside that of the rules", tt.stack, g.sizes[i].name, d)
			}
		}
	}
}

// Two slanted lines, worked by hand: those of the base meet in (3, 4), those of
// the other in (3, 4) + (2, -1), whatever their ends.
func TestTwoLinesHold(t *testing.T) {
	piece := func(at Point, stretch float64) Piece {
		p, err := NewPiece("panel", Edge{"edge", Polyline(Pt(-50, -50), Pt(50, -50), Pt(50, 50), Pt(-50, 50), Pt(-50, -50))})
		if err != nil {
			t.Fatal(err)
		}
		for name, d := range map[string]Point{"a": Pt(2, 1), "b": Pt(-1, 3)} {
			if p, err = p.WithInternal(name, Line(at.Sub(d.Scale(2*stretch)), at.Add(d.Scale(3)))); err != nil {
				t.Fatal(err)
			}
		}
		return p
	}
	base, other := piece(Pt(3, 4), 1), piece(Pt(5, 3), 2)
	frame, held, err := base.gradeFrame([]GradeReference{{"panel", "a"}, {"panel", "b"}})
	if err != nil || !held {
		t.Fatal(held, err)
	}
	move, err := frame.move(other, base)
	if err != nil || move.Dist(Pt(-2, 1)) > 1e-9 {
		t.Errorf("moved by %v, %v, want (-2, 1)", move, err)
	}
}

func TestGradeReferenceRefuses(t *testing.T) {
	_, g := gradedMisses(t)
	for want, stack := range map[string][]GradeReference{
		`has no point "nape", it has`:                                 {{"back", "nape"}},
		`edges and lines "centre back"`:                               {{"back", "nape"}},
		"stands still by itself":                                      {{"back", "underarm point"}, {"back", "bust line"}},
		`"bust line" and "waist" of piece "back" run nearly the same`: {{"back", "bust line"}, {"back", "waist"}},
		"has 3,": {{"back", "bust line"}, {"back", "waist"}, {"back", "neckline"}},
	} {
		_, errNest := g.Nest(NestOptions{Stack: stack})
		_, errRules := g.Rules(stack...)
		for _, err := range []error{errNest, errRules} {
			if err == nil || !strings.Contains(err.Error(), want) {
				t.Errorf("got %v\nwant ... %s", err, want)
			}
		}
	}
	if math.Abs(leastCrossing-0.1736) > 1e-4 {
		t.Errorf("the sine of 10° is %v", leastCrossing)
	}
}
