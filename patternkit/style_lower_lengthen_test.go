package patternkit

import (
	"math"
	"strings"
	"testing"
)

// A hem let down goes on along the side seam: of a panel that leans out by a
// tenth and is let down by 10 cm the hem grows by 1 cm and the side seam by
// √(10² + 1²) cm, worked by hand.
func TestExtendedByHand(t *testing.T) {
	p := trapezoid(t, "front")
	p = styleMust[Piece](t)(p.WithNotch(Notch{Name: "a", Edge: "side seam", At: 10 * CM}, Notch{Name: "b", Edge: "hem", At: 15 * CM}))
	p = styleMust[Piece](t)(p.WithPoint("hem side point", Pt(30*CM, 0)))
	q := styleMust[Piece](t)(p.Extended("hem", 10*CM))
	down := 100 * MM * Length(math.Sqrt(1.01))
	for name, want := range map[string]Length{"hem": 31 * CM, "side seam": 100*CM*Length(math.Sqrt(1.01)) + down, "centre": 110 * CM, "waist": 20 * CM} {
		if got := styleMust[Length](t)(q.EdgeLength(name)); (got - want).Abs() > 1e-6 {
			t.Errorf("%s is %v, want %v", name, got, want)
		}
	}
	if len(q.Edges()) != 4 || q.Fold() != "centre" {
		t.Errorf("%d edges, fold %q", len(q.Edges()), q.Fold())
	}
	if n := q.Notches(); (n[0].At-10*CM-down).Abs() > 1e-6 || (n[1].At-15.5*CM).Abs() > 1e-6 {
		t.Errorf("notches %+v", n)
	}
	if at := styleMust[Point](t)(q.Point("hem side point")); at.Dist(Pt(31*CM, -10*CM)) > 1e-6 {
		t.Errorf("hem side point at %v", at)
	}
}

// The side of a block let out: the seam keeps its length, so that front and
// back still meet, and the garment grows by four times as much.
func TestSideLetOut(t *testing.T) {
	b := demoBody(t)
	for _, p := range stylePatterns(t) {
		if !strings.Contains(p.Name(), "direct") {
			continue
		}
		q := p
		for _, name := range []string{"front", "back"} {
			piece := styleMust[Piece](t)(q.Piece(name))
			q = styleMust[Pattern](t)(q.WithPiece(styleMust[Piece](t)(piece.Extended("side seam", 3*CM))))
		}
		row := styleMust[SeamRow](t)(seamRow(q, "side seam"))
		if row.Fault || (row.LengthA-styleMust[SeamRow](t)(seamRow(p, "side seam")).LengthA).Abs() > 2*MM {
			t.Errorf("%s: side seam %+v", p.Name(), row)
		}
		was := styleMust[EaseRow](t)(styleMust[EaseTable](t)(p.Ease(b, Cloth{})).Row("bust"))
		is := styleMust[EaseRow](t)(styleMust[EaseTable](t)(q.Ease(b, Cloth{})).Row("bust"))
		if got := is.Garment - was.Garment; (got - 12*CM).Abs() > 3*MM {
			t.Errorf("%s: the bust grew by %v, want about 12 cm", p.Name(), got)
		}
	}
}

func TestExtendedRefuses(t *testing.T) {
	p := trapezoid(t, "front")
	wedge := styleMust[Piece](t)(NewPiece("wedge", Edge{"base", Line(Pt(0, 0), Pt(10*CM, 0))},
		Edge{"right", Line(Pt(10*CM, 0), Pt(30*CM, 60*CM))}, Edge{"top", Line(Pt(30*CM, 60*CM), Pt(-20*CM, 60*CM))}, Edge{"left", Line(Pt(-20*CM, 60*CM), Pt(0, 0))}))
	dart := flatDart(t, 6*CM)
	for _, tt := range []struct {
		p    Piece
		edge string
		by   Length
		want string
	}{
		{p, "hem", 10, "did you mean"},
		{p, "hem", -5 * CM, "to take in, use Trim"},
		{p, "cuff", 5 * CM, `no edge "cuff"`},
		{p, "hem", Length(math.NaN()), "by is"},
		{wedge, "base", 20 * CM, "would shrink to nothing"},
		{dart, "mouth", 2 * CM, "too flat"},
	} {
		_, err := tt.p.Extended(tt.edge, tt.by)
		if tt.want == "did you mean" && err == nil {
			continue // 10 mm is a length that can be meant
		}
		if err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s by %v: %v, want %q", tt.edge, tt.by, err, tt.want)
		}
	}
}

// Lengthened at a line, a sleeve is longer by just that: its underarm seams
// still meet, its hem and cap are what they were, and the cloth grows by the
// width at the line times the length. Shortened, its hem and cap stay too.
func TestLengthenedSleeve(t *testing.T) {
	for _, p := range stylePatterns(t) {
		sleeve := styleMust[Piece](t)(p.Piece("sleeve"))
		line := sleeve.linesOf("elbow line")[0]
		for _, by := range []Length{7 * CM, 1 * CM, -3 * CM, -8 * CM} {
			q := styleMust[Pattern](t)(p.Lengthened("elbow line", by))
			got := styleMust[Piece](t)(q.Piece("sleeve"))
			styleSameLengths(t, "lengthened", sleeve, got, "front underarm", "back underarm")
			for _, edge := range []string{"front underarm", "back underarm"} {
				a, b := styleMust[Length](t)(sleeve.EdgeLength(edge)), styleMust[Length](t)(got.EdgeLength(edge))
				if tol := 4 * MM; by > 0 && (b-a-by).Abs() > 1e-6 || (b-a-by).Abs() > tol {
					t.Errorf("%s: %s %v became %v, want %v more", p.Name(), edge, a, b, by)
				}
			}
			if a, b, _ := got.Grainline(); !got.inside(a) || !got.inside(b) {
				t.Errorf("%s by %v: the grainline reaches out of the sleeve", p.Name(), by)
			}
			if n := len(got.Edges()); n != len(sleeve.Edges()) {
				t.Errorf("%d edges", n)
			}
			if by > 0 {
				if grown := got.Area() - sleeve.Area(); math.Abs(grown-float64(line.Length()*by)) > 1 {
					t.Errorf("%s: the cloth grew by %v mm², want %v", p.Name(), grown, line.Length()*by)
				}
			}
			if !q.Walk().OK() {
				t.Errorf("%s by %v:\n%s", p.Name(), by, q.Walk())
			}
			if tall := got.Bounds().Height() - sleeve.Bounds().Height(); (tall - by).Abs() > 1e-6 {
				t.Errorf("%s: taller by %v, want %v", p.Name(), tall, by)
			}
			if len(got.Internals()) != len(sleeve.Internals()) || len(got.Notches()) != len(sleeve.Notches()) || len(got.Points()) != len(sleeve.Points()) {
				t.Errorf("%s: what is on the sleeve has changed", p.Name())
			}
		}
	}
}

// Lengthened at a line above the waist, front and back go on meeting, the waist
// and its darts stay as wide as they were, and the darts are longer by as much,
// their legs equal.
func TestLengthenedThroughDarts(t *testing.T) {
	darts := 0
	for _, p := range stylePatterns(t) {
		for _, name := range []string{"front", "back"} {
			piece := styleMust[Piece](t)(p.Piece(name))
			at := 4 * CM
			if first := styleMust[Point](t)(piece.PointOn("side seam", at)); first.Y > 10*CM {
				at = styleMust[Length](t)(piece.EdgeLength("side seam")) - at
			}
			side := styleMust[Point](t)(piece.PointOn("side seam", at))
			inside := piece.Bounds().Center().Lerp(side, 0.5)
			piece = styleMust[Piece](t)(piece.WithInternal("lengthen here", Line(side, Pt(inside.X, side.Y))))
			p = styleMust[Pattern](t)(p.WithPiece(piece))
		}
		for _, by := range []Length{4 * CM, -15 * MM} {
			q, err := p.Lengthened("lengthen here", by)
			if err != nil {
				if by > 0 || !strings.Contains(err.Error(), "holds the tip of the side waist dart") { // a short one
					t.Error(err)
				}
				continue
			}
			if !q.Walk().OK() {
				t.Errorf("%s by %v:\n%s", p.Name(), by, q.Walk())
			}
			for _, name := range []string{"front", "back"} {
				was, is := styleMust[Piece](t)(p.Piece(name)), styleMust[Piece](t)(q.Piece(name))
				styleSameLengths(t, "lengthened", was, is, "side seam", "centre front", "centre back")
				for _, d := range was.Darts() {
					longer := styleMust[Dart](t)(is.Dart(d.Name))
					s0, e0 := was.mouth(d)
					s1, e1 := is.mouth(longer)
					first, second := is.legs(longer)
					if (first-second).Abs() > 1e-6 || (s0.Dist(e0)-s1.Dist(e1)).Abs() > 1e-6 {
						t.Errorf("%s %s: %q has legs of %v and %v and an intake of %v", p.Name(), name, d.Name, first, second, s1.Dist(e1))
					}
					line := was.linesOf("lengthen here")[0].Start().Y
					if s0.Y > line || d.Tip.Y < line {
						continue // not in the way
					}
					darts++
					if grown := (longer.Tip.Y - s1.Mid(e1).Y) - (d.Tip.Y - s0.Mid(e0).Y); (grown - by).Abs() > 0.5*MM {
						t.Errorf("%s %s: %q grew by %v, want about %v", p.Name(), name, d.Name, grown, by)
					}
				}
			}
		}
	}
	if darts < 100 {
		t.Errorf("%d darts lay in the way", darts)
	}
}

func TestLengthenedRefuses(t *testing.T) {
	p := stylePatterns(t)[0]
	back := styleMust[Piece](t)(p.Piece("back"))
	bent := styleMust[Piece](t)(back.WithInternal("bent line", Polyline(Pt(2*CM, 10*CM), Pt(5*CM, 12*CM), Pt(9*CM, 10*CM))))
	low := styleMust[Piece](t)(NewPiece("panel", Edge{"waist", Line(Pt(0, 0), Pt(12*CM, 0))}, Edge{"mouth", Line(Pt(12*CM, 0), Pt(18*CM, 0))},
		Edge{"waist", Line(Pt(18*CM, 0), Pt(30*CM, 0))}, Edge{"side", Line(Pt(30*CM, 0), Pt(30*CM, 40*CM))},
		Edge{"top", Line(Pt(30*CM, 40*CM), Pt(0, 40*CM))}, Edge{"centre", Line(Pt(0, 40*CM), Pt(0, 0))}))
	low = styleMust[Piece](t)(styleMust[Piece](t)(low.WithDart(Dart{"dart", "mouth", Pt(15*CM, 20*CM)})).WithInternal("low line", Line(Pt(0, 195*MM), Pt(9*CM, 195*MM))))
	tip := styleMust[Dart](t)(back.Dart("waist dart")).Tip
	high := styleMust[Piece](t)(back.WithInternal("high line", Line(Pt(0, tip.Y+1*CM), Pt(9*CM, tip.Y+1*CM))))
	for _, tt := range []struct {
		p    Piece
		line string
		by   Length
		want string
	}{
		{back, "knee line", 3 * CM, `has 0 lines "knee line"`},
		{back, "bust line", 0, "want 1 mm to 200 cm"},
		{back, "bust line", Length(math.Inf(1)), "want 1 mm to 200 cm"},
		{bent, "bent line", 3 * CM, "is bent"},
		{low, "low line", -19.2 * CM, "less than 1 cm left"},
		{high, "high line", -3 * CM, "holds the tip of the waist dart"},
	} {
		if _, err := tt.p.Lengthened(tt.line, tt.by); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s by %v: %v, want %q", tt.line, tt.by, err, tt.want)
		}
	}
	if _, err := p.Lengthened("knee line", 3*CM); err == nil || !strings.Contains(err.Error(), "no piece has a line") {
		t.Errorf("pattern: %v", err)
	}
	sleeve := styleMust[Piece](t)(p.Piece("sleeve"))
	if _, err := sleeve.Lengthened("biceps line", -30*CM); err == nil || !strings.Contains(err.Error(), "folded out") {
		t.Errorf("the elbow line folded out: %v", err)
	}
}
