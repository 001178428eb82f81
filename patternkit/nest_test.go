package patternkit

import (
	"slices"
	"strings"
	"testing"
)

// Every size of every piece is drawn, stacked where it should be.
func TestNest(t *testing.T) {
	_, g := gradedMisses(t)
	for _, o := range []NestOptions{{}, {Pieces: []string{"back"}}, {Stack: []GradeReference{{"front", "underarm point"}, {"sleeve", "crown point"}}}} {
		picture, err := g.Nest(o)
		if err != nil {
			t.Fatal(err)
		}
		svg := picture.SVG()
		for _, size := range g.Sizes() {
			if !strings.Contains(svg, ">size "+size) {
				t.Errorf("%+v: the key does not show size %s", o, size)
			}
		}
		if len(o.Pieces) > 0 && strings.Contains(svg, ">sleeve<") {
			t.Errorf("%+v: the sleeve is drawn too", o)
		}
	}
	all, err := g.nested(NestOptions{Stack: []GradeReference{{"sleeve", "crown point"}}})
	if err != nil {
		t.Fatal(err)
	}
	for i, sizes := range all {
		for _, p := range sizes {
			switch p.piece.name {
			case "sleeve":
				if d := p.to.Apply(p.piece.at("crown point")).Dist(sizes[0].to.Apply(sizes[0].piece.at("crown point"))); d > 1e-6 {
					t.Errorf("piece %d: the crown of a size lies %v beside that of the first", i, d)
				}
			default: // on the fold
				fold, err := p.piece.Edge(p.piece.fold)
				if err != nil {
					t.Fatal(err)
				}
				first, err := sizes[0].piece.Edge(p.piece.fold)
				if err != nil {
					t.Fatal(err)
				}
				if d := (p.to.Apply(fold[0].Path.Start()).X - sizes[0].to.Apply(first[0].Path.Start()).X).Abs(); d > 1e-6 {
					t.Errorf("%s: the fold of a size lies %v beside that of the first", p.piece.name, d)
				}
			}
		}
	}
}

// No two of twelve sizes have the same line, and only the base is heavy.
func TestNestLines(t *testing.T) {
	_, g := gradedMisses(t)
	s := screenStyle()
	for i := range g.sizes {
		pen := g.nestPen(s, i)
		if (pen.Width == s.stitch.Width) != (i == g.base) {
			t.Errorf("size %s is %v wide", g.sizes[i].name, pen.Width)
		}
		for k := range i {
			if other := g.nestPen(s, k); pen.Width == other.Width && slices.Equal(pen.Dash, other.Dash) {
				t.Errorf("sizes %s and %s have one line", g.sizes[i].name, g.sizes[k].name)
			}
		}
	}
}

// The picture of a nest of twelve sizes, stacked on two lines.
func TestNestGolden(t *testing.T) {
	_, g := gradedMisses(t)
	picture, err := g.Nest(NestOptions{Pieces: []string{"front"}, Stack: []GradeReference{{"front", "bust line"}, {"front", "centre front"}}})
	if err != nil {
		t.Fatal(err)
	}
	svg := picture.SVG()
	checkLegible(t, svg, 9/(96/25.4))
	if !strings.Contains(svg, ">stacked: bust line<") || !strings.Contains(svg, ">and centre front<") {
		t.Error("the nest does not say on what it is stacked")
	}
	checkGolden(t, "nest_front.svg", []byte(svg))
}

func TestNestRefuses(t *testing.T) {
	_, g := gradedMisses(t)
	for want, o := range map[string]NestOptions{
		`no piece "collar"`:       {Pieces: []string{"collar"}},
		`no piece "cuff"`:         {Stack: []GradeReference{{"cuff", "x"}}},
		`has no point "nape", it`: {Stack: []GradeReference{{"back", "nape"}}},
	} {
		if _, err := g.Nest(o); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("got %v, want %s", err, want)
		}
	}
	if _, err := (Graded{}).Nest(NestOptions{}); err == nil {
		t.Error("a nest of nothing: want an error")
	}
}

func BenchmarkNest(b *testing.B) {
	_, g := gradedMisses(b)
	b.ReportAllocs()
	for b.Loop() {
		picture, err := g.Nest(NestOptions{})
		if err != nil {
			b.Fatal(err)
		}
		_ = picture.SVG()
	}
}

// Twelve sizes drafted, graded and drawn.
func BenchmarkGradeAndDraw(b *testing.B) {
	chart, _ := gradedMisses(b)
	b.ReportAllocs()
	for b.Loop() {
		g, err := Grade(chart, "10", gradeDraft)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := g.Rules(); err != nil {
			b.Fatal(err)
		}
		picture, err := g.Nest(NestOptions{})
		if err != nil {
			b.Fatal(err)
		}
		_ = picture.SVG()
	}
}
