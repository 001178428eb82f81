package patternkit

import (
	"math"
	"strings"
	"testing"
)

// withSideDart is a block with its bust dart pivoted to the side.
func withSideDart(t testing.TB, p Pattern) Pattern {
	t.Helper()
	front := styleMust[Piece](t)(p.Piece("front"))
	side := styleMust[Length](t)(front.EdgeLength("side seam"))
	return styleMust[Pattern](t)(p.WithPiece(styleMust[Piece](t)(front.PivotDart("bust dart", DartMove{To: OnEdge{"side seam", side * 0.3}, Name: "side dart"}))))
}

// A top edge at half the armhole: the parts of armhole and sleeve head that
// are left walk to each other, nothing else is touched, and the top edge is
// one ring around the wearer.
func TestLoweredTop(t *testing.T) {
	b := demoBody(t)
	tried := 0
	for _, p := range stylePatterns(t) {
		if !strings.Contains(p.Name(), "direct") {
			continue
		}
		tried++
		half := withSideDart(t, p)
		q := styleMust[Pattern](t)(half.LowerTop("armhole", 0.5, "top edge"))
		for _, s := range []string{"front armhole", "back armhole"} {
			row := styleMust[SeamRow](t)(seamRow(q, s))
			if row.Difference.Abs() > 1e-6 || row.LengthA < 5*CM {
				t.Errorf("%s: %s is %v and %v", p.Name(), s, row.LengthA, row.LengthB)
			}
		}
		if !q.Walk().OK() || len(q.Seams()) != 4 {
			t.Errorf("%s:\n%s", p.Name(), q.Walk())
		}
		check := styleMust[PullOnTable](t)(q.PullOn(b, Cloth{}))
		ring := styleMust[PullOnRow](t)(check.Row("top edge"))
		var want Length
		for _, name := range []string{"front", "back", "sleeve"} {
			piece := styleMust[Piece](t)(q.Piece(name))
			want += 2 * styleMust[Length](t)(piece.EdgeLength("top edge"))
		}
		if (ring.Girth-want).Abs() > 1e-6 || ring.OverHead.Over != "shoulders" || ring.Below.Over == "" {
			t.Errorf("%s: ring %+v, want %v", p.Name(), ring, want)
		}
	}
	if tried < 10 {
		t.Errorf("%d blocks tried", tried)
	}
}

// A dart that is pivoted away from the bust line turns its parts apart; the
// garment measures there what it measured.
func TestPivotedDartKeepsTheEase(t *testing.T) {
	b := demoBody(t)
	for _, p := range stylePatterns(t) {
		if !strings.Contains(p.Name(), "direct") {
			continue // the side waist dart of the other method is in the way
		}
		front := styleMust[Piece](t)(p.Piece("front"))
		moved := styleMust[Piece](t)(front.PivotDart("bust dart", DartMove{To: OnEdge{"side seam", 4 * CM}}))
		q := styleMust[Pattern](t)(p.WithPiece(moved))
		for _, level := range []string{"bust", "waist"} {
			was := styleMust[EaseRow](t)(styleMust[EaseTable](t)(p.Ease(b, Cloth{})).Row(level))
			is := styleMust[EaseRow](t)(styleMust[EaseTable](t)(q.Ease(b, Cloth{})).Row(level))
			if (was.Garment - is.Garment).Abs() > 0.5*MM {
				t.Errorf("%s: %s of %v became %v", p.Name(), level, was.Garment, is.Garment)
			}
		}
	}
}

func seamRow(p Pattern, name string) (SeamRow, error) {
	if _, err := p.Seam(name); err != nil {
		return SeamRow{}, err
	}
	for _, r := range p.Walk().Rows() {
		if r.Seam == name {
			return r, nil
		}
	}
	return SeamRow{}, nil
}

// At any fraction each piece ends at its own fraction of the height of its
// armhole, and lower is shorter.
func TestLowerTopAtEveryFraction(t *testing.T) {
	p := withSideDart(t, stylePatterns(t)[10])
	var before Length
	for f := 0.1; f < 0.75; f += 0.1 { // above it the shoulder dart begins
		q, err := p.LowerTop("armhole", f, "top edge")
		if err != nil {
			t.Fatalf("at %.1f: %v", f, err)
		}
		if !q.Walk().OK() {
			t.Errorf("at %.1f:\n%s", f, q.Walk())
		}
		for _, name := range []string{"front", "back"} {
			was := styleMust[[]Edge](t)(styleMust[Piece](t)(p.Piece(name)).Edge("armhole"))[0].Path.Bounds()
			piece := styleMust[Piece](t)(q.Piece(name))
			top := styleMust[[]Edge](t)(piece.Edge("top edge"))[0].Path
			if got := (top.Start().Y - was.Min.Y) / was.Height(); math.Abs(float64(got)-f) > 0.02 || (top.Start().Y-top.End().Y).Abs() > 1e-6 {
				t.Errorf("%s: the top edge lies at %.3f of the armhole, want %.3f", name, got, f)
			}
		}
		row := styleMust[SeamRow](t)(seamRow(q, "front armhole"))
		if row.LengthA <= before {
			t.Errorf("at %.1f the armhole is %v, lower it was %v", f, row.LengthA, before)
		}
		before = row.LengthA
	}
	for _, tt := range []struct {
		p        Pattern
		seam     string
		fraction float64
		want     string
	}{
		{p, "neckline", 0.5, `no seam "neckline"`},
		{p, "armhole", 50, "want 0.05 to 0.95"},
		{p, "armhole", math.NaN(), "want 0.05 to 0.95"},
		{p, "side seam", 0.5, "want the head of one sleeve"},
	} {
		if _, err := tt.p.LowerTop(tt.seam, tt.fraction, "top edge"); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s at %v: %v, want %q", tt.seam, tt.fraction, err, tt.want)
		}
	}
}

// With the bust dart in the way the top edge walks to the sleeve as without, is
// square to the fold, and the dart goes on from it.
func TestLowerTopThroughADart(t *testing.T) {
	tried := 0
	for _, p := range stylePatterns(t) {
		if !strings.Contains(p.Name(), "direct") {
			continue
		}
		tried++
		for _, fraction := range []float64{0.3, 0.5, 0.7} {
			q := styleMust[Pattern](t)(p.LowerTop("armhole", fraction, "top edge"))
			if !q.Walk().OK() {
				t.Errorf("%s at %v:\n%s", p.Name(), fraction, q.Walk())
			}
			front := styleMust[Piece](t)(q.Piece("front"))
			top := styleMust[[]Edge](t)(front.Edge("top edge"))
			if _, err := front.Dart("bust dart"); err != nil || len(top) != 2 {
				t.Fatalf("%s: %d parts of a top edge, %v", p.Name(), len(top), err)
			}
			fold := styleMust[[]Edge](t)(front.Edge(front.Fold()))[0].Path
			atFold := top[0].Path
			if atFold.Start().Dist(fold.End()) > 1e-6 {
				atFold = top[1].Path.Reversed()
			}
			if c := atFold.TangentAt(0).Dot(fold.TangentAt(0)); math.Abs(c) > 1e-9 {
				t.Errorf("%s: the cosine of top edge and fold is %v", p.Name(), c)
			}
			was := styleMust[Length](t)(styleMust[Piece](t)(p.Piece("front")).EdgeLength("armhole"))
			if is := styleMust[Length](t)(front.EdgeLength("armhole")); is >= was {
				t.Errorf("armhole %v of %v", is, was)
			}
		}
	}
	if tried < 10 {
		t.Errorf("%d blocks tried", tried)
	}
}

// What is kept and what is taken away make up the piece, on either side, and
// every edge that is kept whole has its length.
func TestTrimAtRandom(t *testing.T) {
	eachRandomCut(t, 13, func(p Pattern, piece Piece, c Cut) {
		cut := styleMust[Pattern](t)(p.Cut(c))
		for _, part := range []string{"one", "two"} {
			left := styleMust[Piece](t)(cut.Piece(part))
			other := styleMust[Piece](t)(cut.Piece(map[string]string{"one": "two", "two": "one"}[part]))
			keep := ""
			for _, name := range left.EdgeNames() {
				if _, err := other.Edge(name); err != nil && name != c.Seam {
					keep = name
				}
			}
			if keep == "" {
				continue
			}
			q, err := p.Trim(Trim{Piece: piece.Name(), Along: c.Along, Keep: keep, Edge: c.Seam})
			if err != nil {
				t.Fatal(err)
			}
			got := styleMust[Piece](t)(q.Piece(piece.Name()))
			if math.Abs(got.Area()-left.Area()) > 1e-6 || len(q.Pieces()) != len(p.Pieces()) {
				t.Errorf("area %v, want %v", got.Area(), left.Area())
			}
			styleSameLengths(t, "trimmed", left, got)
		}
	})
}

func TestTrimRefuses(t *testing.T) {
	p := stylePatterns(t)[0]
	back := styleMust[Piece](t)(p.Piece("back"))
	at := styleMust[Point](t)(back.PointOn("armhole", 9*CM))
	line := Line(Pt(-1*M, at.Y), Pt(1*M, at.Y))
	for _, tt := range []struct {
		trim Trim
		want string
	}{
		{Trim{"back", line, "hem", "top edge"}, `there is no edge "hem" to keep`},
		{Trim{"back", line, "armhole", "top edge"}, `the line cuts edge "armhole"`},
		{Trim{"back", line, "waist", ""}, "the new edge has no name"},
		{Trim{"side", line, "waist", "top edge"}, `no piece "side"`},
	} {
		if _, err := p.Trim(tt.trim); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%+v: %v, want %q", tt.trim, err, tt.want)
		}
	}
	if _, err := p.SplitSeam("armhole", 1, 1, "a", "b"); err == nil || !strings.Contains(err.Error(), "split an edge first") {
		t.Errorf("split: %v", err)
	}
	if _, err := p.WithoutSeam("hem"); err == nil {
		t.Error("a seam that is not there is opened")
	}
	if q := styleMust[Pattern](t)(p.WithoutSeam("shoulder")); len(q.Seams()) != len(p.Seams())-1 {
		t.Errorf("%d seams", len(q.Seams()))
	}
}

// A block drafted for a measured woman of ANSUR II takes all of it: dart to
// the side, top edge at half the armhole, side let out, sleeve shortened,
// unfolded; every seam meets at the end. Every thirtieth of the 1,986 is tried.
func TestStyleOnWomen(t *testing.T) {
	done := 0
	for i, b := range ansurBodies(t) {
		if i%30 != 0 {
			continue
		}
		bodice, err := DraftBodice(styleMust[Body](t)(b.Estimated()), DefaultBodice())
		if err != nil {
			continue
		}
		sleeve, err := DraftSleeve(bodice.Armhole(), sleeveOf(bodice))
		if err != nil {
			continue
		}
		p := withSideDart(t, styleMust[Pattern](t)(NewPattern("top", bodice, sleeve)))
		p = styleMust[Pattern](t)(p.LowerTop("armhole", 0.5, "top edge"))
		p = styleMust[Pattern](t)(p.Lengthened("elbow line", -6*CM))
		p = styleMust[Pattern](t)(p.Unfold("front", "back"))
		if !p.Walk().OK() {
			t.Errorf("woman %d:\n%s", i, p.Walk())
		}
		done++
	}
	if done < 55 {
		t.Errorf("%d of 67 women could be drafted for", done)
	}
}

func BenchmarkLowerTop(b *testing.B) {
	p := withSideDart(b, stylePatterns(b)[10])
	b.ReportAllocs()
	for b.Loop() {
		if _, err := p.LowerTop("armhole", 0.5, "top edge"); err != nil {
			b.Fatal(err)
		}
	}
}
