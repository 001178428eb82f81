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

func TestLengthenedRefuses(t *testing.T) {
	p := stylePatterns(t)[0]
	back := styleMust[Piece](t)(p.Piece("back"))
	bent := styleMust[Piece](t)(back.WithInternal("bent line", Polyline(Pt(2*CM, 10*CM), Pt(5*CM, 12*CM), Pt(9*CM, 10*CM))))
	low := styleMust[Piece](t)(back.WithInternal("low line", Line(Pt(0, 5*CM), Pt(9*CM, 5*CM))))
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
		{low, "low line", 3 * CM, "runs through the waist dart"},
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
