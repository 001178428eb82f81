package patternkit

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// spreadHead is a sleeve whose cap is spread by so much in so many cuts between
// its notches.
func spreadHead(t *testing.T, sleeve Piece, by Length, cuts int) Piece {
	t.Helper()
	cap, hem := edgeLength(sleeve, "cap"), edgeLength(sleeve, "hem")
	var slashes []Slash
	for i := range cuts {
		part := Length(0.3 + 0.4*(float64(i)+0.5)/float64(cuts))
		slashes = append(slashes, Slash{From: OnEdge{"cap", cap * part}, AtFrom: by / Length(cuts), To: OnEdge{"hem", hem * (1 - part)}})
	}
	return styleMust[Piece](t)(sleeve.SlashAndSpread(slashes...))
}

// Between two notches the edge is redrawn without a kink and turns the other way
// no more often than a cap does, once beside each notch; it runs on from the rest, which stays as it is to the
// last digit, with every notch but those between.
func TestSmoothEdgeBetweenNotches(t *testing.T) {
	for _, pattern := range stylePatterns(t) {
		sleeve := styleMust[Piece](t)(pattern.Piece("sleeve"))
		for _, by := range []Length{2 * CM, 8 * CM, 14 * CM} {
			for _, cuts := range []int{3, 5, 8} {
				q := spreadHead(t, sleeve, by, cuts)
				s := styleMust[Piece](t)(q.SmoothEdge("cap", "back", "front"))
				checkRedrawn(t, fmt.Sprintf("%s, %v in %d cuts", pattern.Name(), by, cuts), q, s)
			}
		}
	}
}

func checkRedrawn(t *testing.T, what string, q, s Piece) {
	t.Helper()
	at := map[string][2]Length{}
	for i, n := range q.Notches() {
		m := s.Notches()[i]
		if n.Name != m.Name || n.Edge != m.Edge {
			t.Fatalf("%s: notch %v became %v", what, n, m)
		}
		at[n.Name] = [2]Length{n.At, m.At}
		was, is := styleMust[Point](t)(q.PointOn(n.Edge, n.At)), styleMust[Point](t)(s.PointOn(m.Edge, m.At))
		if n.Name != "shoulder" && was.Dist(is) > 1e-9 {
			t.Errorf("%s: notch %q moved by %v", what, n.Name, was.Dist(is))
		}
	}
	a, b := styleMust[[]Edge](t)(q.Edge("cap"))[0].Path, styleMust[[]Edge](t)(s.Edge("cap"))[0].Path
	from, to := at["front"][1], at["back"][1]
	for k := range 21 {
		before := from * Length(k) / 20
		if d := a.At(before).Dist(b.At(before)); d > 1e-9 {
			t.Errorf("%s: %v along the cap, outside the notches, it moved by %v", what, before, d)
		}
		after := (b.Length() - to) * Length(k) / 20
		if d := a.At(a.Length() - after).Dist(b.At(b.Length() - after)); d > 1e-9 {
			t.Errorf("%s: %v before the end of the cap, outside the notches, it moved by %v", what, after, d)
		}
	}
	if n := len(unkinked(b)); n != 1 {
		t.Errorf("%s: the redrawn cap has %d kinks", what, n-1)
	}
	bends, last := 0, 0.0
	for k := range 200 {
		c := b.CurvatureAt(from + (to-from)*(Length(k)+0.5)/200)
		if math.Abs(c) < 1/2000. {
			continue // straight to the eye: an arc over its chord of 20 cm is 2.5 mm high
		}
		if c*last < 0 {
			bends++
		}
		last = c
	}
	if bends > 2 {
		t.Errorf("%s: the redrawn cap bends to and fro %d times", what, bends)
	}
	if change := (a.Length() - b.Length()).Abs(); change > a.Length()/15 {
		t.Errorf("%s: the cap changes by %v of %v", what, change, a.Length())
	}
	styleSameLengths(t, what, q, s, "cap")
	share := func(i int) float64 {
		return float64((at["shoulder"][i] - at["front"][i]) / (at["back"][i] - at["front"][i]))
	}
	if d := share(0) - share(1); d > 1e-9 || d < -1e-9 {
		t.Errorf("%s: the shoulder notch had %.4f of the stretch and has %.4f", what, share(0), share(1))
	}
}

func TestSmoothEdgeRefuses(t *testing.T) {
	sleeve := styleMust[Piece](t)(stylePatterns(t)[0].Piece("sleeve"))
	for want, between := range map[string][]string{
		`between "front", want two`:        {"front"},
		"want two of its notches, or none": {"front", "shoulder", "back"},
		`no notch "crown", it has "front"`: {"front", "crown"},
		"has no length":                    {"front", "front"},
	} {
		if _, err := sleeve.SmoothEdge("cap", between...); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: got %v, want ... %s", between, err, want)
		}
	}
	// An edge without kinks stays as it is.
	same := styleMust[Piece](t)(sleeve.SmoothEdge("cap", "front", "back"))
	styleSameLengths(t, "no kinks", sleeve, same)
}
