package patternkit

import (
	"strings"
	"testing"
)

// finishQuad is a piece with four straight edges through four corners.
func finishQuad(t testing.TB, a, b, c, d Point) Piece {
	t.Helper()
	p, err := NewPiece("panel", Edge{"hem", Line(a, b)}, Edge{"side", Line(b, c)}, Edge{"top", Line(c, d)}, Edge{"centre", Line(d, a)})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// finishCorners checks that a cut line has its corners where they were worked
// by hand, in order from any of them, in centimetres.
func finishCorners(t *testing.T, p Piece, want ...Point) {
	t.Helper()
	cut, err := p.CutLine()
	if err != nil {
		t.Fatal(err)
	}
	var got []Point
	segs := cut.Segments()
	for i, g := range segs {
		before := segs[(i+len(segs)-1)%len(segs)]
		if turn := before.B.Sub(before.A).AngleTo(g.B.Sub(g.A)); turn.Degrees() > 0.01 || turn.Degrees() < -0.01 {
			got = append(got, g.A)
		}
	}
	if len(got) != len(want) {
		t.Fatalf("%d corners %v, want %d: %v", len(got), got, len(want), want)
	}
	for start := range got {
		worst := Length(0)
		for i := range want {
			worst = max(worst, got[(start+i)%len(got)].Dist(want[i].Scale(10)))
		}
		if worst < 1e-6 {
			return
		}
	}
	t.Errorf("corners at %v, want (mm/10) %v", got, want)
}

func finishWith(t testing.TB, p Piece, allowances ...Allowance) Piece {
	t.Helper()
	p, err := p.WithAllowance(allowances...)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// Worked by hand: 20 by 30 cm, each edge with a width of its own, one raw.
func TestCutLineOfRectangle(t *testing.T) {
	p := finishQuad(t, Pt(0, 0), Pt(20*CM, 0), Pt(20*CM, 30*CM), Pt(0, 30*CM))
	p = finishWith(t, p, Allowance{Edge: "hem", Width: 4 * CM}, Allowance{Edge: "side", Width: 1.5 * CM}, Allowance{Edge: "top", Width: 1 * CM}, Allowance{Edge: "centre"})
	finishCorners(t, p, Pt(0, -4), Pt(21.5, -4), Pt(21.5, 31), Pt(0, 31))
	onFold, err := p.WithFold("centre")
	if err != nil {
		t.Fatal(err)
	}
	finishCorners(t, onFold, Pt(0, -4), Pt(21.5, -4), Pt(21.5, 31), Pt(0, 31))
}

// Worked by hand: a sleeve that narrows by 3 cm in 4 to its hem of 20 cm, with
// 1.5 cm at the seams: the cut line is 1.5·5/4 = 1.875 cm beside the seam
// level with it. Turned up once, the hem widens by 0.75 cm a centimetre; turned
// twice, the second strip mirrors what it lies under.
func TestCutLineFoldedBack(t *testing.T) {
	p := finishQuad(t, Pt(-10*CM, 0), Pt(10*CM, 0), Pt(25*CM, 20*CM), Pt(-25*CM, 20*CM))
	sides := []Allowance{{Edge: "side", Width: 1.5 * CM}, {Edge: "centre", Width: 1.5 * CM}, {Edge: "top"}}
	finishCorners(t, finishWith(t, p, append(sides, Hem("hem", 4*CM))...),
		Pt(-14.875, -4), Pt(14.875, -4), Pt(11.875, 0), Pt(26.875, 20), Pt(-26.875, 20), Pt(-11.875, 0))
	finishCorners(t, finishWith(t, p, append(sides, DoubleFoldHem("hem", 1*CM, 3*CM))...),
		Pt(-13.375, -4), Pt(13.375, -4), Pt(14.125, -3), Pt(11.875, 0), Pt(26.875, 20), Pt(-26.875, 20), Pt(-11.875, 0), Pt(-14.125, -3))
	// A skirt widens to its hem: turned up, the hem lies inward. At the raw top,
	// below the level of its cut line, the seam's allowance ends square.
	skirt := finishQuad(t, Pt(-25*CM, 0), Pt(25*CM, 0), Pt(10*CM, 20*CM), Pt(-10*CM, 20*CM))
	finishCorners(t, finishWith(t, skirt, append(sides, Hem("hem", 4*CM))...),
		Pt(-23.875, -4), Pt(23.875, -4), Pt(26.875, 0), Pt(11.2, 20.9), Pt(10, 20), Pt(-10, 20), Pt(-11.2, 20.9), Pt(-26.875, 0))
}

// Worked by hand: at a corner of 120° the seam of 1.5 cm, run on, meets the cut
// line of the top, 1 cm out, after 1/sin 60° = 1.1547 cm, and ends there
// square. Mitred, the two run on to (1 - 1.5/2)/sin 60° = 0.2887 cm.
func TestCutLineSquared(t *testing.T) {
	const sin60 = 0.86602540378443865
	c := Pt(20*CM, 20*CM)
	d := Pt(20*CM-20*CM*sin60, 30*CM)
	p, err := NewPiece("panel", Edge{"side", Line(Pt(20*CM, 0), c)}, Edge{"top", Line(c, d)},
		Edge{"centre", Line(d, Pt(d.X, 0))}, Edge{"hem", Line(Pt(d.X, 0), Pt(20*CM, 0))})
	if err != nil {
		t.Fatal(err)
	}
	rest := []Allowance{{Edge: "hem"}, {Edge: "centre"}, {Edge: "top", Width: 1 * CM}}
	squared := finishWith(t, p, append(rest, Allowance{Edge: "side", Width: 1.5 * CM, Corner: Squared})...)
	cut, err := squared.CutLine()
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []Point{Pt(20, 20+1/sin60), Pt(21.5, 20+1/sin60), Pt(21.5, 0)} {
		if at := want.Scale(10); cut.Dist(at) > 1e-6 {
			t.Errorf("squared: %v is %v beside the cut line", at, cut.Dist(at))
		}
	}
	mitred := finishWith(t, p, append(rest, Allowance{Edge: "side", Width: 1.5 * CM})...)
	if cut, err = mitred.CutLine(); err != nil {
		t.Fatal(err)
	}
	if at := Pt(21.5, 20+(1-1.5/2)/sin60).Scale(10); cut.Dist(at) > 1e-6 {
		t.Errorf("mitred: %v is %v beside the cut line", at, cut.Dist(at))
	}
}

// Worked by hand: where a side of 4 cm runs straight on as one of 1.5 cm, the
// wider ends square; a corner of 11.4° (tan = 1/5 over a run of 20 by 2) is cut
// square past 3 widths.
func TestCutLineStepsAndSquaresTips(t *testing.T) {
	p, err := NewPiece("panel", Edge{"hem", Line(Pt(0, 0), Pt(20*CM, 0))},
		Edge{"vent", Line(Pt(20*CM, 0), Pt(20*CM, 10*CM))}, Edge{"side", Line(Pt(20*CM, 10*CM), Pt(20*CM, 30*CM))},
		Edge{"top", Line(Pt(20*CM, 30*CM), Pt(0, 30*CM))}, Edge{"centre", Line(Pt(0, 30*CM), Pt(0, 0))})
	if err != nil {
		t.Fatal(err)
	}
	p = finishWith(t, p, Allowance{Edge: "vent", Width: 4 * CM}, Allowance{Edge: "side", Width: 1.5 * CM},
		Allowance{Edge: "hem"}, Allowance{Edge: "top"}, Allowance{Edge: "centre"})
	finishCorners(t, p, Pt(0, 0), Pt(24, 0), Pt(24, 10), Pt(21.5, 10), Pt(21.5, 30), Pt(0, 30))

	sharp, err := NewPiece("gusset", Edge{"one", Line(Pt(0, 0), Pt(20*CM, 2*CM))}, Edge{"two", Line(Pt(20*CM, 2*CM), Pt(0, 4*CM))}, Edge{"end", Line(Pt(0, 4*CM), Pt(0, 0))})
	if err != nil {
		t.Fatal(err)
	}
	if sharp, err = sharp.WithAllowanceEverywhere(1 * CM); err != nil {
		t.Fatal(err)
	}
	cut := finishChecked(t, sharp)
	if right := cut.Bounds().Max.X; right < 21*CM || right > 21.2*CM {
		t.Errorf("the tip reaches to %v, want it cut square about 1 cm past the corner", right)
	}
}

func TestCutLineRefuses(t *testing.T) {
	square := finishQuad(t, Pt(0, 0), Pt(20*CM, 0), Pt(20*CM, 3*CM), Pt(0, 3*CM))
	everywhere := func(p Piece) Piece {
		p, err := p.WithAllowanceEverywhere(1 * CM)
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	dart := flatDart(t, 6*CM)
	front, err := blockPattern(t).Piece("front")
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		p    Piece
		want string
	}{
		"nothing said": {square, `no allowance for edge "hem"`},
		"deep hem":     {finishWith(t, everywhere(square), Hem("hem", 6*CM)), "reaches past the end of edge"},
		"no direction": {everywhere(dart), "want WithDartPressed"},
		"wide armhole": {finishWith(t, everywhere(front), Allowance{Edge: "armhole", Width: 8 * CM}), `want less: edge "armhole" bends in with a radius of 3.`},
	} {
		if _, err := c.p.CutLine(); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want an error with %q", name, err, c.want)
		}
	}
	pressed, err := everywhere(dart).WithDartPressed("waist dart", Pt(-5*CM, 0))
	if err != nil {
		t.Fatal(err)
	}
	finishChecked(t, pressed)
}

func TestAllowanceRefuses(t *testing.T) {
	p := finishQuad(t, Pt(0, 0), Pt(20*CM, 0), Pt(20*CM, 30*CM), Pt(0, 30*CM))
	p, err := p.WithFold("centre")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		a    Allowance
		want string
	}{
		{Allowance{Edge: "sleeve", Width: 10}, `no edge "sleeve"`},
		{Allowance{Edge: "hem", Width: 1.5}, "did you mean 1.5*CM?"},
		{Allowance{Edge: "hem", Width: -1}, "want 0.2 cm to 30 cm, or 0 for a raw edge"},
		{Allowance{Edge: "centre", Width: 10}, "lies on the fold"},
		{Allowance{Edge: "hem", Width: 10, Corner: 7}, "want Mitred, Squared or FoldedBack"},
		{Allowance{Edge: "hem", Width: 20, Folds: []Length{10, 10}}, "want FoldedBack"},
		{Allowance{Edge: "hem", Width: 21, Corner: FoldedBack, Folds: []Length{10, 10}}, "come to 2 cm"},
		{DoubleFoldHem("hem", 20, 10), "none wider than the one before"},
	} {
		if _, err := p.WithAllowance(c.a); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v: %v, want an error with %q", c.a, err, c.want)
		}
	}
	if _, err := p.WithAllowanceEverywhere(400 * CM); err == nil {
		t.Error("an allowance of 4 m is taken")
	}
	if _, err := p.WithDartPressed("bust dart", Pt(0, 0)); err == nil {
		t.Error("a dart is pressed that is not there")
	}
}
