package patternkit

import (
	"math"
	"strings"
	"testing"
)

// A dart left open adds its intake to its edge and to the ease of the seams
// there, and nothing else; its notches meet on both sides.
func TestDartToFullness(t *testing.T) {
	tried := 0
	for _, pattern := range stylePatterns(t) {
		for _, p := range pattern.Pieces() {
			for _, d := range p.Darts() {
				edge := p.besideMouth(d, true).Name
				intake := styleMust[Length](t)(p.DartIntake(d.Name))
				got, err := pattern.DartToFullness(p.Name(), d.Name, 5*MM)
				if err != nil {
					if p.besideMouth(d, false).Name == edge {
						t.Errorf("%s %s %q: %v", pattern.Name(), p.Name(), d.Name, err)
					} else if !strings.Contains(err.Error(), "opens between") {
						t.Error(err)
					}
					continue
				}
				tried++
				q := styleMust[Piece](t)(got.Piece(p.Name()))
				styleSameLengths(t, "gathered", p, q, edge)
				if grown := gained(t, p, q, edge); (grown - intake).Abs() > 1e-6 {
					t.Errorf("%s %q: %q gains %v, want %v", p.Name(), d.Name, edge, grown, intake)
				}
				if !styleNear(p.Outline(), q.Outline(), 1e-6) {
					t.Errorf("%s %q: the outline has moved", p.Name(), d.Name)
				}
				sameEase(t, pattern, got)
				for _, row := range got.Walk().Rows() {
					var between Length
					for _, n := range row.Notches {
						if strings.HasPrefix(n.Notch, d.Name+" ") && (!n.OnA || !n.OnB || n.Fault) {
							t.Errorf("%s %q: notch %+v", pattern.Name(), row.Seam, n)
						}
						if strings.HasPrefix(n.Notch, d.Name+" ") && n.Eased.Abs() > between {
							between = n.Eased.Abs()
						}
					}
					if between > 0 && row.Seam == "shoulder" && (between-intake).Abs() > 0.5*MM {
						t.Errorf("%s %q: %v eased between the notches, want %v", pattern.Name(), row.Seam, between, intake)
					}
				}
			}
		}
	}
	if tried < 20 {
		t.Errorf("%d darts opened, want at least 20", tried)
	}
}

// A dart stitched as a tuck takes the same: every edge keeps its length and
// the pattern walks as before.
func TestDartToTuck(t *testing.T) {
	for _, pattern := range stylePatterns(t) {
		for _, p := range pattern.Pieces() {
			for _, d := range p.Darts() {
				intake := styleMust[Length](t)(p.DartIntake(d.Name))
				q := styleMust[Piece](t)(p.DartToTuck(d.Name, 3*CM))
				styleSameLengths(t, "tuck", p, q)
				sameWalk(t, pattern, styleMust[Pattern](t)(pattern.WithPiece(q)))
				if take := styleMust[Length](t)(q.PleatTake(d.Name)); take != intake {
					t.Errorf("%s %q takes %v, want %v", p.Name(), d.Name, take, intake)
				}
				lines := q.Internals()[len(p.Internals()):]
				if len(lines) != 3 || (lines[0].Path.Length()-3*CM).Abs() > 1e-9 || (lines[2].Path.Length()-3*CM).Abs() > 1e-9 {
					t.Errorf("%s %q: lines %v", p.Name(), d.Name, lines)
				}
				if _, err := p.DartToTuck(d.Name, 3*M); err == nil || !strings.Contains(err.Error(), "the stitched length is 300 cm") {
					t.Errorf("stitched past the tip: %v", err)
				}
			}
		}
	}
}

// A panel seam through both darts: its sides are equal, the panels hold the
// cloth less the darts, every old seam walks as before, and the notches meet.
func TestDartsToSeam(t *testing.T) {
	r := styleRandom(11)
	through, toEdge := 0, 0
	for _, pattern := range stylePatterns(t) {
		for _, p := range pattern.Pieces() {
			for _, d := range p.Darts() {
				s := DartSeam{Piece: p.Name(), Dart: d.Name, Before: "before", After: "after", Seam: "panel seam"}
				area := p.Area() - wedge(p, d)
				for _, other := range p.Darts() {
					if other.Name == d.Name {
						continue
					}
					s.Other = other.Name
					if panelled(t, pattern, s, area-wedge(p, other)) {
						through++
					}
				}
				s.Other = ""
				for k := 0; k < 3; k++ {
					edge := []string{"armhole", "side seam", "neckline"}[r.IntN(3)]
					s.To = OnEdge{edge, styleMust[Length](t)(p.EdgeLength(edge)) * Length(r.Float64())}
					if panelled(t, pattern, s, area) {
						toEdge++
					}
				}
			}
		}
	}
	t.Logf("%d panel seams through two darts, %d from a dart to an edge", through, toEdge)
	if through < 20 || toEdge < 40 {
		t.Errorf("%d panel seams through two darts, %d from a dart to an edge, want 20 and 40", through, toEdge)
	}
}

func wedge(p Piece, d Dart) float64 {
	start, end := p.mouth(d)
	return start.Sub(d.Tip).Cross(end.Sub(d.Tip)) / 2
}

func panelled(t *testing.T, pattern Pattern, s DartSeam, area float64) bool {
	t.Helper()
	got, err := pattern.DartsToSeam(s)
	if err != nil {
		for _, ok := range []string{"crosses", "runs ", "in parts with edge", "a cut at its end", "in the mouth"} {
			if strings.Contains(err.Error(), ok) {
				return false
			}
		}
		t.Errorf("%s %+v: %v", pattern.Name(), s, err)
		return false
	}
	a, b := styleMust[Piece](t)(got.Piece("before")), styleMust[Piece](t)(got.Piece("after"))
	if sum := a.Area() + b.Area(); math.Abs(sum-area) > 1e-2 {
		t.Errorf("%s %+v: panels of %v, want %v", pattern.Name(), s, sum, area)
	}
	rows := got.Walk().Rows()
	last := rows[len(rows)-1]
	if last.Seam != "panel seam" || last.Difference.Abs() > 1e-6 || last.Fault || len(last.Notches) == 0 {
		t.Errorf("%s %+v: %+v", pattern.Name(), s, last)
	}
	for _, n := range last.Notches {
		if !n.OnA || !n.OnB || (n.AtA-n.AtB).Abs() > 1e-6 {
			t.Errorf("%s %+v: notch %+v", pattern.Name(), s, n)
		}
	}
	for i, before := range pattern.Walk().Rows() {
		if (before.LengthA-rows[i].LengthA).Abs() > 1e-6 || (before.LengthB-rows[i].LengthB).Abs() > 1e-6 || before.Fault != rows[i].Fault {
			t.Errorf("%s %+v: seam %q was %v to %v, is %v to %v (%s)", pattern.Name(), s, before.Seam,
				before.LengthA, before.LengthB, rows[i].LengthA, rows[i].LengthB, rows[i].Verdict)
		}
	}
	return true
}

func TestDartConversionErrors(t *testing.T) {
	pattern := stylePatterns(t)[0]
	p := styleMust[Piece](t)(pattern.Piece("front"))
	ok := DartSeam{Piece: "front", Dart: "bust dart", Other: "waist dart", Before: "a", After: "b", Seam: "panel seam"}
	if _, err := pattern.DartsToSeam(ok); err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		f    func(*DartSeam)
		want string
	}{
		{func(s *DartSeam) { s.Piece = "yoke" }, `has no piece "yoke"`},
		{func(s *DartSeam) { s.Dart = "hip dart" }, `has no dart "hip dart"`},
		{func(s *DartSeam) { s.Other = "bust dart" }, "to itself"},
		{func(s *DartSeam) { s.Before = "b" }, "want two names"},
		{func(s *DartSeam) { s.Before = "sleeve" }, `already has a piece "sleeve"`},
		{func(s *DartSeam) { s.Seam = "waist" }, `already has an edge "waist"`},
		{func(s *DartSeam) { s.Other = "" }, `has no edge ""`},
		{func(s *DartSeam) { s.Other, s.To = "", OnEdge{"waist dart mouth", 1 * CM} }, "in the mouth of a dart"},
	} {
		s := ok
		tt.f(&s)
		if _, err := pattern.DartsToSeam(s); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%+v: %v, want %q", s, err, tt.want)
		}
	}
	if _, err := p.DartToFullness("bust dart", 1*M); err == nil || !strings.Contains(err.Error(), "want less beside its mouth") {
		t.Errorf("gathered over more than the edge: %v", err)
	}
	if _, err := p.DartToFullness("bust dart", -1); err == nil {
		t.Error("gathered over less than nothing")
	}
}
