package patternkit

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// Lapped over, an edge loses exactly what the cut says and, at a pivot, nothing
// else changes; the cloth that goes is a wedge, or a strip, of that width; and
// seams that ran along the edges take it as ease.
func TestSlashLapsExactly(t *testing.T) {
	lapped, refused := 0, map[string]int{}
	slashTrial(t, 41, 24, func(r *rand.Rand, pattern Pattern, p Piece, from, to OnEdge) error {
		by := Length(1+20*r.Float64()) * MM
		pivoted, err := p.SlashAndSpread(Slash{From: from, To: to, AtTo: -by})
		if err != nil {
			for _, reason := range []string{"has not", "nearer to a right angle", "would be taken out", "crosses", "runs", "a cut at its end"} {
				if strings.Contains(err.Error(), reason) {
					refused[reason]++
					return nil
				}
			}
			return err
		}
		lapped++
		styleSameLengths(t, "lapped", p, pivoted, to.Edge)
		if got := gained(t, p, pivoted, to.Edge); (got + by).Abs() > 1e-6 {
			t.Errorf("%s from %v to %v: gains %v, want %v less", p.Name(), from, to, got, by)
		}
		long := styleMust[Point](t)(p.PointOn(from.Edge, from.At)).Dist(styleMust[Point](t)(p.PointOn(to.Edge, to.At)))
		// Leading the two stretches to a common end moves each by an eighth of by
		// at most; an edge that curves makes the wedge a little more or less.
		led := float64(by / 8 * styleMust[Length](t)(p.EdgeLength(to.Edge)))
		if lost, wedge := p.Area()-pivoted.Area(), float64(by*long)/2; math.Abs(lost-wedge) > 0.1*wedge+led {
			t.Errorf("%s from %v to %v: %v mm² are taken out, a wedge of %v has %v, leading the ends takes up to %v", p.Name(), from, to, lost, by, wedge, led)
		}
		for _, count := range [][2]int{{len(p.Notches()), len(pivoted.Notches())}, {len(p.Points()), len(pivoted.Points())}, {len(p.Internals()), len(pivoted.Internals())}, {len(p.Edges()), len(pivoted.Edges())}} {
			if count[0] != count[1] {
				t.Errorf("%d notches, points, lines or edges became %d", count[0], count[1])
			}
		}
		for i, line := range p.Internals() {
			is := pivoted.Internals()[i]
			for k, end := range []Point{line.Path.Start(), line.Path.End()} {
				now := []Point{is.Path.Start(), is.Path.End()}[k]
				if was, is := p.Outline().Dist(end), pivoted.Outline().Dist(now); (was - is).Abs() > by {
					t.Errorf("%s: line %q ended %v from the stitch line, ends %v from it", p.Name(), line.Name, was, is)
				}
			}
		}
		soundPiece(t, pivoted)
		sameEase(t, pattern, styleMust[Pattern](t)(pattern.WithPieceEased(pivoted)))
		strip, err := p.SlashAndSpread(Slash{from, to, -by, -by})
		if err != nil {
			return nil
		}
		styleSameLengths(t, "lapped", p, strip, from.Edge, to.Edge)
		for _, edge := range []string{from.Edge, to.Edge} {
			if got := gained(t, p, strip, edge); (got + by).Abs() > 1e-6 {
				t.Errorf("%s from %v to %v: %q gains %v, want %v less", p.Name(), from, to, edge, got, by)
			}
		}
		return nil
	})
	t.Logf("%d lapped over, refused %v", lapped, refused)
	if lapped < 150 {
		t.Errorf("%d cuts were lapped over, want at least 150", lapped)
	}
}

// Worked by hand on a rectangle: a strip lapped over by 3 cm is 3 cm narrower,
// pivoted at the top its hem is, and what is spread and lapped over again by
// the same is the rectangle.
func TestSlashLapsByHand(t *testing.T) {
	panel := styleMust[Piece](t)(NewPiece("panel",
		Edge{"hem", Line(Pt(0, 0), Pt(30*CM, 0))}, Edge{"side", Line(Pt(30*CM, 0), Pt(30*CM, 40*CM))},
		Edge{"top", Line(Pt(30*CM, 40*CM), Pt(0, 40*CM))}, Edge{"centre", Line(Pt(0, 40*CM), Pt(0, 0))}))
	panel = styleMust[Piece](t)(panel.WithInternal("hip line", Line(Pt(0, 20*CM), Pt(30*CM, 20*CM))))
	panel = styleMust[Piece](t)(panel.WithFold("centre"))
	cut := Slash{From: OnEdge{"top", 15 * CM}, To: OnEdge{"hem", 15 * CM}, AtFrom: -3 * CM, AtTo: -3 * CM}
	q := styleMust[Piece](t)(panel.SlashAndSpread(cut))
	if off := q.Area() - 270*400; math.Abs(off) > 1e-3 || (q.Bounds().Width()-27*CM).Abs() > 1e-6 {
		t.Errorf("area %v mm², width %v, want 27 by 40 cm", q.Area(), q.Bounds().Width())
	}
	if l := q.Internals()[0].Path.Length(); (l - 27*CM).Abs() > 1e-6 {
		t.Errorf("the hip line is %v, want 27 cm", l)
	}
	cut.AtFrom = 0
	q = styleMust[Piece](t)(panel.SlashAndSpread(cut))
	// The wedge has the base 3 cm and the height 40 cm.
	if off := panel.Area() - q.Area() - 30*400/2; math.Abs(off) > 1e-3 {
		t.Errorf("a wedge %v mm² off", off)
	}
	spread := styleMust[Piece](t)(panel.SlashAndSpread(Slash{From: OnEdge{"top", 15 * CM}, To: OnEdge{"hem", 15 * CM}, AtFrom: 3 * CM, AtTo: 3 * CM}))
	back := styleMust[Piece](t)(spread.SlashAndSpread(Slash{From: OnEdge{"top", 165 * MM}, To: OnEdge{"hem", 165 * MM}, AtFrom: -3 * CM, AtTo: -3 * CM}))
	if !styleNear(panel.Outline(), back.Outline(), 1e-6) {
		t.Error("lapped over again it is not the panel")
	}
	notched := styleMust[Piece](t)(panel.WithNotch(Notch{Name: "balance", Edge: "hem", At: 155 * MM}))
	pointed := styleMust[Piece](t)(panel.WithPoint("pocket corner", Pt(155*MM, 10*CM)))
	lined := styleMust[Piece](t)(panel.WithInternal("fold", Line(Pt(15*CM, 10*CM), Pt(15*CM, 20*CM))))
	for want, p := range map[string]Piece{`notch "balance"`: notched, `point "pocket corner"`: pointed, `line "fold"`: lined} {
		if _, err := p.SlashAndSpread(cut); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
	lean := Slash{From: OnEdge{"top", 2 * CM}, To: OnEdge{"hem", 2 * CM}, AtTo: -3 * CM}
	if _, err := panel.SlashAndSpread(lean); err == nil || !strings.Contains(err.Error(), "right angle") {
		t.Errorf("a cut from corner to corner: %v", err)
	}
}
