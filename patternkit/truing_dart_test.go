package patternkit

import (
	"math"
	"strings"
	"testing"

	"patternkit/patternkit/geom"
)

// flatDart is a rectangle with a dart in its lower edge, 2 cm wide and 10 cm
// long, the edge straight across it and as long as left beside it on the left.
func flatDart(t *testing.T, left Length) Piece {
	t.Helper()
	p, err := NewPiece("panel",
		Edge{"waist", Line(Pt(-1*CM-left, 0), Pt(-1*CM, 0))},
		Edge{"mouth", Line(Pt(-1*CM, 0), Pt(1*CM, 0))},
		Edge{"waist", Line(Pt(1*CM, 0), Pt(8*CM, 0))},
		Edge{"side", Line(Pt(8*CM, 0), Pt(8*CM, 20*CM))},
		Edge{"top", Line(Pt(8*CM, 20*CM), Pt(-1*CM-left, 20*CM))},
		Edge{"centre", Line(Pt(-1*CM-left, 20*CM), Pt(-1*CM-left, 0))})
	if err != nil {
		t.Fatal(err)
	}
	if p, err = p.WithDart(Dart{"waist dart", "mouth", Pt(0, 10*CM)}); err != nil {
		t.Fatal(err)
	}
	return p
}

// Worked by hand: the half angle of the dart has the tangent 0.1, so the fold
// lies on the waist at the angle of tangent 0.2/0.99, 10·1.01/0.99 = 10.20202
// cm from the dart's tip: it comes down 2.0202 mm below the waist.
func TestDartFoldWorkedByHand(t *testing.T) {
	p := flatDart(t, 6*CM)
	for _, toward := range []Point{Pt(-5*CM, 0), Pt(5*CM, 0)} {
		fold, err := p.DartFold("waist dart", toward)
		if err != nil {
			t.Fatal(err)
		}
		if !fold.Start().Near(Pt(-1*CM, 0), 1e-9) || !fold.End().Near(Pt(1*CM, 0), 1e-9) {
			t.Errorf("toward %v: runs from %v to %v", toward, fold.Start(), fold.End())
		}
		tip := fold.At(fold.Length() / 2)
		if want := Pt(0, 10*CM-10*CM*1.01/0.99); !tip.Near(want, 1e-6) {
			t.Errorf("toward %v: tip at %v, want %v", toward, tip, want)
		}
	}
}

// Worked by hand: 1 cm beside the mouth the edge turns up by 45°. The fold's line
// has the slope of 2/9.9 = k from the tip at 10 cm, and comes to that edge at x =
// 12 k/(1 + k) = 2.0168 cm from the middle, y = 0.0168 cm.
func TestDartFoldOverCorner(t *testing.T) {
	p, err := NewPiece("panel",
		Edge{"side", Line(Pt(-6*CM, 4*CM), Pt(-2*CM, 0))},
		Edge{"waist", Line(Pt(-2*CM, 0), Pt(-1*CM, 0))},
		Edge{"mouth", Line(Pt(-1*CM, 0), Pt(1*CM, 0))},
		Edge{"waist", Line(Pt(1*CM, 0), Pt(8*CM, 0))},
		Edge{"centre front", Line(Pt(8*CM, 0), Pt(8*CM, 20*CM))},
		Edge{"top", Line(Pt(8*CM, 20*CM), Pt(-6*CM, 4*CM))})
	if err != nil {
		t.Fatal(err)
	}
	if p, err = p.WithDart(Dart{"waist dart", "mouth", Pt(0, 10*CM)}); err != nil {
		t.Fatal(err)
	}
	fold, err := p.DartFold("waist dart", Pt(-5*CM, 0))
	if err != nil {
		t.Fatal(err)
	}
	k := 2 / 9.9
	x := 12 * k / (1 + k)
	if tip, want := fold.At(fold.Length()/2), Pt(0, Length(10-math.Hypot(x, 10-(x-2)))*CM); !tip.Near(want, 1e-6) {
		t.Errorf("tip at %v, want %v", tip, want)
	}
	checkFold(t, p, p.Darts()[0], fold, true)
	// Its cut line has the widest allowance of what it lies on.
	p = finishWith(t, p, Allowance{Edge: "waist", Width: 1 * CM}, Allowance{Edge: "side", Width: 1.5 * CM},
		Allowance{Edge: "centre front", Width: 1 * CM}, Allowance{Edge: "top", Width: 1 * CM})
	if p, err = p.WithDartPressed("waist dart", Pt(-5*CM, 0)); err != nil {
		t.Fatal(err)
	}
	finishChecked(t, p)
	sides, err := p.cutSides()
	if err != nil {
		t.Fatal(err)
	}
	if width := sides[2].Width; width != 1.5*CM {
		t.Errorf("the mouth has an allowance of %v, want that of the side, 1.5 cm", width)
	}
}

func TestDartFoldRefuses(t *testing.T) {
	for _, tt := range []struct {
		left   Length
		dart   string
		toward Point
		want   string
	}{
		{6 * CM, "bust dart", Pt(-5*CM, 0), `no dart "bust dart"`},
		{6 * CM, "waist dart", Pt(0, -5*CM), "want a point beside"},
		{6 * CM, "waist dart", Pt(Length(math.NaN()), 0), "want a point beside"},
		{1 * CM, "waist dart", Pt(-5*CM, 0), `go over the corner to edge "centre", 1 cm from it, which turns back toward the dart's tip too steeply`},
		{1 * CM, "waist dart", Pt(-5*CM, 0), "; press it to the other side (WithDartPressed)"},
	} {
		if _, err := flatDart(t, tt.left).DartFold(tt.dart, tt.toward); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s toward %v: %v, want an error with %q", tt.dart, tt.toward, err, tt.want)
		}
	}
}

// Folding every dart of both blocks either way puts its mouth on the edge
// beside it, and the piece can be cut with it.
func TestDartFoldLiesOnTheEdge(t *testing.T) {
	body, err := Body{Height: 168 * CM, BustGirth: 92 * CM, WaistGirth: 74 * CM, HipGirth: 98 * CM}.Estimated()
	if err != nil {
		t.Fatal(err)
	}
	folded := 0
	for _, o := range []BodiceOptions{DefaultBodice(), {Method: Proportional}} {
		bodice, err := DraftBodice(body, o)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range bodice.Pieces() {
			for _, d := range p.Darts() {
				start, end := p.mouth(d)
				for _, toStart := range []bool{true, false} {
					leg := end
					if toStart {
						leg = start
					}
					fold, err := p.DartFold(d.Name, leg)
					if err != nil {
						t.Errorf("%s %s, %s toward start %t: %v", o.Method, p.Name(), d.Name, toStart, err)
						continue
					}
					folded++
					checkFold(t, p, d, fold, toStart)
				}
			}
		}
	}
	if folded < 12 {
		t.Errorf("only %d folds were tried", folded)
	}
}

// checkFold folds samples of the mouth as the cloth would be.
func checkFold(t *testing.T, p Piece, d Dart, fold Path, toStart bool) {
	t.Helper()
	start, end := p.mouth(d)
	near, far := end, start
	if toStart {
		near, far = start, end
	}
	mirrored := geom.Mirror(d.Tip, near)
	turned := geom.Rotate(d.Tip, far.Sub(d.Tip).AngleTo(near.Sub(d.Tip)))
	half := far.Sub(d.Tip).AngleTo(near.Sub(d.Tip)).Radians() / 2
	for i := range 101 {
		q := fold.At(fold.Length() * Length(i) / 100)
		to := turned
		if math.Abs(q.Sub(d.Tip).AngleTo(near.Sub(d.Tip)).Radians()) < math.Abs(half) {
			to = mirrored
		}
		if off := p.outline.Dist(to.Apply(q)); off > 0.001*MM {
			t.Fatalf("%s, %s: sample %d of the mouth folds %v away from the stitch line", p.Name(), d.Name, i, off)
		}
	}
	edges := p.Edges()
	for i, e := range edges {
		if e.Name == d.Mouth {
			edges[i].Path = fold
		}
	}
	if _, err := NewPiece(p.Name(), edges...); err != nil {
		t.Errorf("with the folded %s: %v", d.Name, err)
	}
}
