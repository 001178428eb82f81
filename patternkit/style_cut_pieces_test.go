package patternkit

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// randomCut is a line or a curve across a piece from one edge to another,
// clear of its darts and wholly inside; false where the draw hits none.
func randomCut(r *rand.Rand, p Piece) (Path, bool) {
	whole := p.outline.Length()
	a, b := p.outline.At(whole*Length(r.Float64())), p.outline.At(whole*Length(r.Float64()))
	cut := Line(a, b)
	if r.IntN(2) == 0 {
		bow := b.Sub(a).Perp().Scale(0.4 * (r.Float64() - 0.5))
		cut = Cubic(a, a.Lerp(b, 0.3).Add(bow), a.Lerp(b, 0.7).Add(bow), b)
	}
	trimmed, from, to, err := p.trimmedCut(cut)
	if err != nil || p.checkMouthsClear(trimmed) != nil {
		return Path{}, false
	}
	if crossings, err := p.legCrossings(trimmed); err != nil || len(crossings) > 0 || trimmed.Length() < 2*CM || !p.inside(trimmed.At(trimmed.Length()/2)) {
		return Path{}, false
	}
	return cut, edgeAt(p.edges, from) != edgeAt(p.edges, to) && nearestCorner(p, from) > 1*MM && nearestCorner(p, to) > 1*MM
}

// nearestCorner is how far a place of the outline is from a corner.
func nearestCorner(p Piece, at Length) Length {
	q, best := p.outline.At(at), Length(math.Inf(1))
	for _, e := range p.edges {
		best = min(best, q.Dist(e.Path.Start()))
	}
	return best
}

// eachRandomCut cuts the pieces of many blocks at random.
func eachRandomCut(t *testing.T, seed uint64, f func(p Pattern, piece Piece, c Cut)) {
	t.Helper()
	r, cuts := styleRandom(seed), 0
	for _, pattern := range stylePatterns(t) {
		for _, piece := range pattern.Pieces() {
			for range 12 {
				if along, ok := randomCut(r, piece); ok {
					cuts++
					f(pattern, piece, Cut{Piece: piece.Name(), Along: along, Left: "one", Right: "two", Seam: "style line"})
				}
			}
		}
	}
	if cuts < 100 {
		t.Errorf("%d cuts were tried, want at least 100", cuts)
	}
}

// Whatever the cut, each seam keeps its lengths and its notches, the new seam
// meets, the parts have the area of the piece and everything on it.
func TestCutKeepsEverything(t *testing.T) {
	eachRandomCut(t, 11, func(p Pattern, piece Piece, c Cut) {
		q, err := p.Cut(c)
		if err != nil {
			t.Fatalf("%s of %s along %v: %v", piece.Name(), p.Name(), c.Along, err)
		}
		one, two := styleMust[Piece](t)(q.Piece("one")), styleMust[Piece](t)(q.Piece("two"))
		if off := one.Area() + two.Area() - piece.Area(); math.Abs(off) > 1e-3 {
			t.Errorf("areas differ by %v mm²", off)
		}
		checkSameWalk(t, p, q)
		if row := q.Walk().Rows()[len(p.Seams())]; row.Seam != "style line" || row.Fault || row.LengthA < 2*CM {
			t.Errorf("the new seam: %+v", row)
		}
		for _, count := range []struct {
			what      string
			was, left int
		}{
			{"points", len(piece.Points()), len(one.Points()) + len(two.Points())},
			{"notches", len(piece.Notches()), len(one.Notches()) + len(two.Notches())},
			{"darts", len(piece.Darts()), len(one.Darts()) + len(two.Darts())},
		} {
			if count.was != count.left {
				t.Errorf("%d %s became %d", count.was, count.what, count.left)
			}
		}
		if was, is := internalLength(piece), internalLength(one)+internalLength(two); (was - is).Abs() > 1e-6 {
			t.Errorf("%v of lines inside became %v", was, is)
		}
		for _, part := range []Piece{one, two} {
			for _, line := range part.Internals() {
				for k := range 11 {
					q := line.Path.At(line.Path.Length() * (0.001 + Length(k)*0.0998))
					if !part.inside(q) && part.Outline().Dist(q) > 0.05*MM {
						t.Fatalf("%s: line %q at %v lies outside", part.Name(), line.Name, q)
					}
				}
			}
			a, b, ok := part.Grainline()
			if g0, g1, _ := piece.Grainline(); !ok || math.Abs(g1.Sub(g0).Unit().Cross(b.Sub(a).Unit())) > 1e-9 || !part.inside(a) || !part.inside(b) {
				t.Errorf("%s has its grainline from %v to %v", part.Name(), a, b)
			}
			n, note := part.Quantity()
			if wasOn := piece.Fold() != ""; wasOn && part.Fold() == "" && (n != 2 || note != "a pair") {
				t.Errorf("%s is off the fold and cut %d times, %q", part.Name(), n, note)
			}
		}
	})
}

// Every name is on one of the parts or on both, under its own name, and every
// point, drill hole, notch and grainline is where it was on the cloth, whatever
// curve the cut runs along. More of them than a block has are set at random.
func TestCutKeepsNamesAndPlaces(t *testing.T) {
	r := styleRandom(12)
	eachRandomCut(t, 14, func(p Pattern, piece Piece, c Cut) {
		box := piece.Bounds()
		for _, name := range []string{"pocket corner", "button"} {
			at := Pt(box.Min.X+box.Width()*Length(r.Float64()), box.Min.Y+box.Height()*Length(r.Float64()))
			if regionOf(opened(piece).edges, Path{}).holds(at) != 1 {
				continue
			}
			piece = styleMust[Piece](t)(styleMust[Piece](t)(piece.WithPoint(name, at)).WithDrillHole(name, at))
		}
		for _, name := range piece.EdgeNames() {
			if length := styleMust[Length](t)(piece.EdgeLength(name)); !piece.isMouth(name) {
				piece = styleMust[Piece](t)(piece.WithNotch(Notch{Name: "mark on " + name, Edge: name, At: length * Length(r.Float64())}))
			}
		}
		q := styleMust[Pattern](t)(styleMust[Pattern](t)(p.WithPiece(piece)).Cut(c))
		names, points, notches := map[string]bool{}, map[NamedPoint]int{}, map[string]Point{}
		for _, name := range []string{"one", "two"} {
			part := styleMust[Piece](t)(q.Piece(name))
			for _, edge := range part.EdgeNames() {
				names["edge "+edge] = true
			}
			for _, line := range part.Internals() {
				names["line "+plainName(line.Name)] = true
			}
			for _, d := range part.Darts() {
				names["dart "+d.Name] = true
			}
			for _, q := range append(part.Points(), part.DrillHoles()...) {
				points[q]++
			}
			for _, n := range part.Notches() {
				notches[n.Edge+": "+n.Name] = styleMust[Point](t)(part.PointOn(n.Edge, n.At))
			}
			g0, g1, _ := piece.Grainline()
			if a, b, ok := part.Grainline(); !ok || part.inside(g0) && part.inside(g1) && (a != g0 || b != g1) {
				t.Errorf("%s: grainline from %v to %v, was from %v to %v", name, a, b, g0, g1)
			}
		}
		for _, e := range piece.Edges() {
			if !names["edge "+e.Name] {
				t.Errorf("edge %q is lost", e.Name)
			}
		}
		for _, line := range piece.Internals() {
			if !names["line "+plainName(line.Name)] {
				t.Errorf("line %q is lost", line.Name)
			}
		}
		for _, d := range piece.Darts() {
			if !names["dart "+d.Name] {
				t.Errorf("dart %q is lost", d.Name)
			}
		}
		for _, q := range append(piece.Points(), piece.DrillHoles()...) {
			if points[q] == 0 {
				t.Errorf("point %q is lost or moved", q.Name)
			}
		}
		for _, n := range piece.Notches() {
			was := styleMust[Point](t)(piece.PointOn(n.Edge, n.At))
			if is, ok := notches[n.Edge+": "+n.Name]; !ok || is.Dist(was) > 1e-6 {
				t.Errorf("notch %q of edge %q was at %v, is at %v", n.Name, n.Edge, was, is)
			}
		}
	})
}

func internalLength(p Piece) Length {
	var sum Length
	for _, line := range p.Internals() {
		sum += line.Path.Length()
	}
	return sum
}

// checkSameWalk checks that each seam of p walks in q as it did.
func checkSameWalk(t *testing.T, p, q Pattern) {
	t.Helper()
	after := q.Walk().Rows()
	for i, was := range p.Walk().Rows() {
		is := after[i]
		if is.Seam != was.Seam || (is.LengthA-was.LengthA).Abs() > 1e-6 || (is.LengthB-was.LengthB).Abs() > 1e-6 || is.Fault != was.Fault || len(is.Notches) != len(was.Notches) {
			t.Errorf("seam %q: %v and %v with %d notches became %v and %v with %d",
				was.Seam, was.LengthA, was.LengthB, len(was.Notches), is.LengthA, is.LengthB, len(is.Notches))
			continue
		}
		for k, n := range was.Notches {
			if m := is.Notches[k]; m.Notch != n.Notch || (m.AtA-n.AtA).Abs() > 1e-6 || (m.AtB-n.AtB).Abs() > 1e-6 {
				t.Errorf("seam %q: notch %+v became %+v", was.Seam, n, m)
			}
		}
	}
}

// A yoke cut from the back of a block: by hand, the armhole is parted where
// the line meets it and both parts stay on the fold.
func TestCutAYoke(t *testing.T) {
	p := stylePatterns(t)[0]
	back := styleMust[Piece](t)(p.Piece("back"))
	at := styleMust[Point](t)(back.PointOn("armhole", 9*CM))
	level := at.Y
	q := styleMust[Pattern](t)(p.Cut(Cut{Piece: "back", Along: Line(Pt(-1*M, level), Pt(1*M, level)), Left: "back yoke", Right: "back", Seam: "yoke seam"}))
	yoke, rest := styleMust[Piece](t)(q.Piece("back yoke")), styleMust[Piece](t)(q.Piece("back"))
	if l := styleMust[Length](t)(rest.EdgeLength("armhole")); (l - 9*CM).Abs() > 1e-6 {
		t.Errorf("the lower armhole is %v, want 9 cm", l)
	}
	if yoke.Fold() != "centre back" || rest.Fold() != "centre back" {
		t.Errorf("on the fold are %q and %q", yoke.Fold(), rest.Fold())
	}
	if names := strings.Join(yoke.EdgeNames(), ", "); names != "armhole, shoulder, shoulder dart mouth, neckline, centre back, yoke seam" {
		t.Errorf("edges of the yoke: %s", names)
	}
	if len(q.Pieces()) != len(p.Pieces())+1 {
		t.Errorf("%d pieces", len(q.Pieces()))
	}
}

func TestCutRefuses(t *testing.T) {
	p := stylePatterns(t)[0]
	across := Line(Pt(-1*M, 25*CM), Pt(1*M, 25*CM))
	back := styleMust[Piece](t)(p.Piece("back"))
	armhole, tip := styleMust[Edge](t)(first(back.Edge("armhole"))), styleMust[Dart](t)(back.Dart("shoulder dart")).Tip
	for _, tt := range []struct {
		c    Cut
		want string
	}{
		{Cut{Piece: "side", Along: across, Left: "a", Right: "b", Seam: "s"}, `no piece "side"`},
		{Cut{Piece: "back", Along: across, Left: "a", Right: "a", Seam: "s"}, "want two names"},
		{Cut{Piece: "back", Along: across, Left: "a", Right: "front", Seam: "s"}, `already has a piece "front"`},
		{Cut{Piece: "back", Along: across, Left: "a", Right: "b"}, "the seam has no name"},
		{Cut{Piece: "back", Along: across, Left: "a", Right: "b", Seam: "waist"}, `already has an edge "waist"`},
		{Cut{Piece: "back", Left: "a", Right: "b", Seam: "s"}, "no line to cut along"},
		{Cut{Piece: "back", Along: Line(Pt(-1*M, 3*M), Pt(1*M, 3*M)), Left: "a", Right: "b", Seam: "s"}, "meets the stitch line 0 times"},
		{Cut{Piece: "back", Along: Line(tip.Add(Pt(-1*M, 2)), tip.Add(Pt(1*M, 2))), Left: "a", Right: "b", Seam: "s"}, "from its tip and"},
		{Cut{Piece: "back", Along: Line(styleMust[Edge](t)(first(back.Edge("shoulder dart mouth"))).Path.At(6), Pt(-1*M, 20*CM)), Left: "a", Right: "b", Seam: "s"}, "runs into \"shoulder dart mouth\""},
		{Cut{Piece: "back", Along: Line(tip.Add(Pt(-1*M, 0)), tip.Add(Pt(-1*CM, 8*CM))), Left: "a", Right: "b", Seam: "s"}, "meets the stitch line 1 times"},
		{Cut{Piece: "back", Along: Line(armhole.Path.At(4*CM), armhole.Path.At(12*CM)), Left: "a", Right: "b", Seam: "s"}, `starts and ends on edge "armhole"`},
		{Cut{Piece: "back", Along: across, Left: "a", Right: "b", Seam: "side seam "}, "already has a seam"},
	} {
		if tt.want == "already has a seam" {
			tt.c.Seam, tt.want = "underarm", "two seams named"
		}
		if _, err := p.Cut(tt.c); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%+v: %v, want %q", tt.c, err, tt.want)
		}
	}
}

func first(edges []Edge, err error) (Edge, error) {
	if err != nil {
		return Edge{}, err
	}
	return edges[0], nil
}
