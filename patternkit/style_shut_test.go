package patternkit

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// shutWedges is the area that cutting a piece through its darts has shut: that
// of each mouth to its tip, less what is left of it.
func shutWedges(piece Piece, parts ...Piece) float64 {
	var sum float64
	for _, d := range piece.Darts() {
		mouth, _ := piece.Edge(d.Mouth)
		was, _ := Line(d.Tip, mouth[0].Path.Start()).Append(mouth[0].Path)
		for _, part := range parts {
			if kept, err := part.Dart(d.Name); err == nil {
				edge, _ := part.Edge(kept.Mouth)
				is, _ := Line(kept.Tip, edge[0].Path.Start()).Append(edge[0].Path)
				if wedge := was.Area() - is.Area(); wedge > 1e-6 {
					sum += wedge
				}
			}
		}
	}
	return sum
}

// cutThroughDarts is a straight line or a curve across a piece and across at
// least one of its darts.
// It runs on beyond the edges, or ends on them.
func cutThroughDarts(r *rand.Rand, p Piece) (Path, bool) {
	if len(p.Darts()) == 0 {
		return Path{}, false
	}
	d := p.Darts()[r.IntN(len(p.Darts()))]
	start, end := p.mouth(d)
	at := d.Tip.Lerp(start.Mid(end), 0.1+0.9*r.Float64())
	along := end.Sub(start).Unit().Rotated(Angle(2*r.Float64() - 1)).Scale(float64(1 * M))
	line := Line(at.Sub(along), at.Add(along))
	if r.IntN(2) == 0 {
		bow := along.Perp().Scale(0.3 * (r.Float64() - 0.5))
		line = Cubic(at.Sub(along).Add(bow), at.Sub(along.Scale(0.3)), at.Add(along.Scale(0.3)), at.Add(along).Add(bow))
	}
	cut, from, to, err := p.trimmedCut(line)
	if err != nil {
		return Path{}, false
	}
	crossings, err := p.legCrossings(cut)
	if err != nil || len(crossings) == 0 || len(crossings)%2 != 0 {
		return Path{}, false
	}
	for _, x := range crossings {
		if p.checkLeft(x) != nil {
			return Path{}, false
		}
	}
	if r.IntN(2) == 0 {
		line = cut
	}
	return line, edgeAt(p.edges, from) != edgeAt(p.edges, to) && nearestCorner(p, from) > 1*MM && nearestCorner(p, to) > 1*MM && p.checkMouthsClear(cut) == nil
}

// eachCutThroughDarts cuts the pieces of many blocks through their darts at
// random.
func eachCutThroughDarts(t *testing.T, seed uint64, f func(p Pattern, piece Piece, c Cut, q Pattern)) {
	t.Helper()
	r, cuts, refused := styleRandom(seed), 0, 0
	for _, pattern := range stylePatterns(t) {
		for _, piece := range pattern.Pieces() {
			for range 30 {
				along, ok := cutThroughDarts(r, piece)
				if !ok {
					continue
				}
				c := Cut{Piece: piece.Name(), Along: along, Left: "one", Right: "two", Seam: "style line"}
				q, err := pattern.Cut(c)
				if err != nil {
					refused++
					if !strings.Contains(err.Error(), "folded shut") && !strings.Contains(err.Error(), "along a leg") && !strings.Contains(err.Error(), "from its tip") {
						t.Errorf("%s of %s: %v", piece.Name(), pattern.Name(), err)
					}
					continue
				}
				cuts++
				f(pattern, piece, c, q)
			}
		}
	}
	t.Logf("%d cuts through darts, %d refused", cuts, refused)
	if cuts < 300 || refused*10 > cuts {
		t.Errorf("%d cuts went through darts and %d were refused, want at least 300 and a tenth", cuts, refused)
	}
}

// A line cut through darts: seams walk as before, both sides of the new seam
// are equal with darts closed, each dart opens at the new edge with the angle
// and the tip it had, and the cloth is that of the piece less what is shut.
func TestCutThroughDarts(t *testing.T) {
	eachCutThroughDarts(t, 31, func(p Pattern, piece Piece, c Cut, q Pattern) {
		one, two := styleMust[Piece](t)(q.Piece("one")), styleMust[Piece](t)(q.Piece("two"))
		wedges := shutWedges(piece, one, two)
		if off := one.Area() + two.Area() + wedges - piece.Area(); math.Abs(off) > 1e-3 || wedges < 1 {
			t.Errorf("areas differ by %v mm², %v mm² are shut", off, wedges)
		}
		checkSameWalk(t, p, q)
		if row := q.Walk().Rows()[len(p.Seams())]; row.Seam != "style line" || row.Difference.Abs() > 1e-6 || row.LengthA < 2*CM {
			t.Errorf("the new seam: %+v", row)
		}
		if len(one.Darts())+len(two.Darts()) != len(piece.Darts()) {
			t.Errorf("%d darts became %d and %d", len(piece.Darts()), len(one.Darts()), len(two.Darts()))
		}
		for _, d := range piece.Darts() {
			for _, part := range []Piece{one, two} {
				is, err := part.Dart(d.Name)
				if err != nil {
					continue
				}
				s0, e0 := piece.mouth(d)
				s1, e1 := part.mouth(is)
				if a, b := s0.Sub(d.Tip).AngleTo(e0.Sub(d.Tip)), s1.Sub(is.Tip).AngleTo(e1.Sub(is.Tip)); math.Abs(float64(a-b)) > 1e-9 {
					t.Errorf("dart %q of %v became one of %v", d.Name, a, b)
				}
				first, second := part.legs(is)
				if (first - second).Abs() > 1e-6 {
					t.Errorf("dart %q has legs of %v and %v", d.Name, first, second)
				}
			}
		}
		checkRuledFromFold(t, piece, c.Along, one, two)
		soundPiece(t, one)
		soundPiece(t, two)
	})
}

// checkRuledFromFold checks that the new edge starts at the fold where and as
// the line was drawn, if that ran on beyond the other edge.
func checkRuledFromFold(t *testing.T, piece Piece, along Path, parts ...Piece) {
	t.Helper()
	cut, from, to, err := piece.trimmedCut(along)
	if err != nil {
		t.Fatal(err)
	}
	fold, direction := cut.Start(), cut.TangentAt(0)
	switch {
	case along.Length() < 0.9*M || piece.Fold() == "":
		return
	case edgeAt(piece.edges, to) == piece.Fold():
		fold, direction = cut.End(), cut.TangentAt(cut.Length()).Neg()
	case edgeAt(piece.edges, from) != piece.Fold():
		return
	}
	for _, part := range parts {
		found := false
		for _, e := range styleMust[[]Edge](t)(part.Edge("style line")) {
			for _, path := range []Path{e.Path, e.Path.Reversed()} {
				if path.Start().Dist(fold) <= 1e-6 && path.TangentAt(0).Dist(direction) < 1e-9 {
					found = true
				}
			}
		}
		if !found {
			t.Errorf("%s %s: the new edge does not leave the fold at %v as it was drawn", piece.Name(), part.Name(), fold)
		}
	}
}

// Cutting through a dart and pivoting what is left of it is the same as
// pivoting the whole dart first and cutting beside it: both ways make the same
// two parts.
func TestCutThroughDartsCommutesWithPivot(t *testing.T) {
	r, compared := styleRandom(32), 0
	eachCutThroughDarts(t, 33, func(p Pattern, piece Piece, c Cut, q Pattern) {
		one, two := styleMust[Piece](t)(q.Piece("one")), styleMust[Piece](t)(q.Piece("two"))
		parts := [2]Piece{one, two}
		var through []int
		for i, part := range parts {
			for _, d := range part.Darts() {
				if edge, _ := part.Edge(d.Mouth); edge[0].Path.Start().Dist(edge[0].Path.End()) < styleMust[Length](t)(piece.DartIntake(d.Name))-1e-6 {
					through = append(through, i)
				}
			}
		}
		if len(through) != 1 || c.Along.Segments()[0].Curve || c.Along.Length() > 0.9*M {
			return // a line that runs on starts at the fold
		}
		tipPart := parts[through[0]]
		name := ""
		for _, d := range tipPart.Darts() {
			if styleMust[Length](t)(tipPart.DartIntake(d.Name)) < styleMust[Length](t)(piece.DartIntake(d.Name))-1e-6 {
				name = d.Name
			}
		}
		names := slices.DeleteFunc(tipPart.EdgeNames(), func(e string) bool {
			_, err := parts[1-through[0]].Edge(e)
			return err == nil || tipPart.isMouth(e) || e == piece.Fold()
		})
		if len(names) == 0 {
			return
		}
		edge := names[r.IntN(len(names))]
		to := OnEdge{edge, styleMust[Length](t)(tipPart.EdgeLength(edge)) * Length(0.1+0.8*r.Float64())}
		after, err := tipPart.PivotDart(name, DartMove{To: to, Name: "moved"})
		if err != nil {
			return
		}
		before, err := piece.PivotDart(name, DartMove{To: to, Name: "moved"})
		if err != nil {
			return
		}
		_, from, upto, err := piece.trimmedCut(c.Along)
		if err != nil {
			t.Fatal(err)
		}
		ends := [2]Point{placeAgain(t, piece, before, from), placeAgain(t, piece, before, upto)}
		d := ends[1].Sub(ends[0]).Unit()
		left, right, _, err := styleMust[Pattern](t)(p.WithPiece(before)).cutApart(Cut{Piece: piece.Name(), Along: Line(ends[0].Sub(d), ends[1].Add(d)), Left: "one", Right: "two", Seam: "style line"})
		if err != nil || len(left.Darts())+len(right.Darts()) != len(piece.Darts()) {
			return // the line now runs through the moved dart
		}
		compared++
		want := [2]Piece{left, right}
		parts[through[0]] = after
		for i := range parts {
			checkCongruent(t, parts[i], want[i])
		}
	})
	if compared < 50 {
		t.Errorf("%d cuts were compared, want at least 50", compared)
	}
}

// placeAgain is the place on q that lies as far along its edge as one on p.
func placeAgain(t *testing.T, p, q Piece, at Length) Point {
	t.Helper()
	name, point := edgeAt(p.edges, at), p.outline.At(at)
	run, _ := p.run(name)
	var before Length
	for _, k := range run {
		path := p.edges[k].Path
		if s, near := path.Nearest(point); near.Dist(point) < 1e-6 {
			return styleMust[Point](t)(q.PointOn(name, before+s))
		}
		before += path.Length()
	}
	t.Fatalf("no place on %q", name)
	return Point{}
}

// checkCongruent checks that two pieces have the same edges, the one moved.
func checkCongruent(t *testing.T, p, q Piece) {
	t.Helper()
	if math.Abs(p.Area()-q.Area()) > 1e-3 {
		t.Errorf("areas of %v and %v mm²", p.Area(), q.Area())
	}
	styleSameLengths(t, "the other way round", p, q)
	var a, b []Point
	for _, name := range p.EdgeNames() {
		length := styleMust[Length](t)(p.EdgeLength(name))
		for k := range 9 {
			at := length * (0.03 + Length(k)*0.117)
			a = append(a, styleMust[Point](t)(p.PointOn(name, at)))
			b = append(b, styleMust[Point](t)(q.PointOn(name, at)))
		}
	}
	for i := range a {
		for k := range i {
			if off := a[i].Dist(a[k]) - b[i].Dist(b[k]); off.Abs() > 1e-5 {
				t.Errorf("%s: two places are %v apart, the other way round %v", p.Name(), a[i].Dist(a[k]), b[i].Dist(b[k]))
				return
			}
		}
	}
}

// Trimmed through darts, what stays is the part that Cut leaves there, and what
// is left can be given allowances and a cut line. Where a dart would be pressed
// onto a narrow strip, the error says to press it to the other side, and then it
// can.
func TestTrimThroughDarts(t *testing.T) {
	trimmed, turned := 0, 0
	eachCutThroughDarts(t, 34, func(p Pattern, piece Piece, c Cut, q Pattern) {
		one, two := styleMust[Piece](t)(q.Piece("one")), styleMust[Piece](t)(q.Piece("two"))
		keep := slices.DeleteFunc(one.EdgeNames(), func(e string) bool {
			_, err := two.Edge(e)
			return err == nil || one.isMouth(e)
		})
		if len(keep) == 0 {
			return
		}
		trimmed++
		kept := styleMust[Piece](t)(styleMust[Pattern](t)(p.Trim(Trim{Piece: piece.Name(), Along: c.Along, Keep: keep[0], Edge: c.Seam})).Piece(piece.Name()))
		checkCongruent(t, one, kept)
		if len(kept.Darts()) != len(one.Darts()) || len(kept.Notches()) != len(one.Notches()) || kept.Fold() != one.Fold() {
			t.Errorf("%s: trimmed it has %d darts and %d notches, cut %d and %d", piece.Name(), len(kept.Darts()), len(kept.Notches()), len(one.Darts()), len(one.Notches()))
		}
		over := pressedOver(t, &kept)
		if over {
			turned++
		}
		if !over && trimmed%4 > 0 {
			return
		}
		finishChecked(t, styleMust[Piece](t)(kept.WithAllowanceEverywhere([]Length{6, 10, 15}[trimmed/4%3])))
	})
	t.Logf("%d trimmed, a dart of %d of them is pressed to the other side", trimmed, turned)
	if trimmed < 1000 || turned == 0 || turned*100 > trimmed {
		t.Errorf("%d were trimmed and %d pressed to the other side, want 1,000 and less than a hundredth", trimmed, turned)
	}
}

// pressedOver presses those darts of p to the other side of which the error says
// so, and checks that all folds lie on the piece.
func pressedOver(t *testing.T, p *Piece) (turned bool) {
	t.Helper()
	for _, d := range p.Darts() {
		toward := styleMust[Point](t)(p.dartPressed(d))
		start, end := p.mouth(d)
		axis := start.Mid(end).Sub(d.Tip).Unit()
		toStart := axis.Cross(toward.Sub(d.Tip))*axis.Cross(start.Sub(d.Tip)) > 0
		fold, err := p.DartFold(d.Name, toward)
		if err != nil {
			if !strings.Contains(err.Error(), "press it to the other side (WithDartPressed)") {
				t.Errorf("%s: %v", p.Name(), err)
				return false
			}
			toward, toStart, turned = toward.Sub(axis.Perp().Scale(2*axis.Perp().Dot(toward.Sub(d.Tip)))), !toStart, true
			*p = styleMust[Piece](t)(p.WithDartPressed(d.Name, toward))
			fold = styleMust[Path](t)(p.DartFold(d.Name, toward))
		}
		checkFold(t, *p, d, fold, toStart)
	}
	return turned
}

// A bodice front cut across the bust dart beside the same front cut clear of
// it.
func BenchmarkCutThroughDart(b *testing.B) {
	p := stylePatterns(b)[10]
	front, err := p.Piece("front")
	if err != nil {
		b.Fatal(err)
	}
	moved := withSideDart(b, p)
	top := front.Bounds().Max.Y
	cut := Cut{Piece: "front", Along: Line(Pt(-1*M, top-12*CM), Pt(1*M, top-12*CM)), Left: "yoke", Right: "front", Seam: "yoke seam"}
	for name, p := range map[string]Pattern{"through": p, "clear": moved} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := p.Cut(cut); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
