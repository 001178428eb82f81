package patternkit

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// slashTrial cuts every piece of every block between random places.
func slashTrial(t *testing.T, seed uint64, times int, f func(r *rand.Rand, pattern Pattern, p Piece, from, to OnEdge) error) {
	t.Helper()
	r := styleRandom(seed)
	tried, done := 0, 0
	for _, pattern := range stylePatterns(t) {
		for _, p := range pattern.Pieces() {
			for k := 0; k < times; k++ {
				var ends [2]OnEdge
				for i := range ends {
					names := p.EdgeNames()
					name := names[r.IntN(len(names))]
					for p.isMouth(name) || name == p.Fold() {
						name = names[r.IntN(len(names))]
					}
					ends[i] = OnEdge{name, styleMust[Length](t)(p.EdgeLength(name)) * Length(r.Float64())}
				}
				if ends[0].Edge == ends[1].Edge {
					continue
				}
				tried++
				err := f(r, pattern, p, ends[0], ends[1])
				if err == nil {
					done++
				} else if !strings.Contains(err.Error(), "crosses") && !strings.Contains(err.Error(), "runs ") && !strings.Contains(err.Error(), "at most its length") && !strings.Contains(err.Error(), "a cut at its end") {
					t.Errorf("%s %s from %v to %v: %v", pattern.Name(), p.Name(), ends[0], ends[1], err)
				}
			}
		}
	}
	t.Logf("%d of %d cut, the others refused because the line is not clear", done, tried)
	if done*4 < tried {
		t.Errorf("only %d of %d could be cut", done, tried)
	}
}

func gained(t *testing.T, p, q Piece, edge string) Length {
	t.Helper()
	return styleMust[Length](t)(q.EdgeLength(edge)) - styleMust[Length](t)(p.EdgeLength(edge))
}

// A pivoted cut adds what it says at one edge and nothing anywhere else; a
// parallel cut adds it at both. Notches keep their cloth before them, and what
// a longer edge adds is the ease of its seams.
func TestSlashAddsExactly(t *testing.T) {
	slashTrial(t, 6, 8, func(r *rand.Rand, pattern Pattern, p Piece, from, to OnEdge) error {
		by := Length(1+60*r.Float64()) * MM
		pivoted, err := p.SlashAndSpread(Slash{From: from, To: to, AtTo: by})
		if err != nil {
			return err
		}
		styleSameLengths(t, "pivoted", p, pivoted, to.Edge)
		if got := gained(t, p, pivoted, to.Edge); (got - by).Abs() > 1e-6 {
			t.Errorf("%s from %v to %v: gains %v, want %v", p.Name(), from, to, got, by)
		}
		// A wedge of cloth is added: half base times height.
		long := styleMust[Point](t)(p.PointOn(from.Edge, from.At)).Dist(styleMust[Point](t)(p.PointOn(to.Edge, to.At)))
		wedge := float64(by) / 2 * math.Sqrt(float64(long*long-by*by/4))
		if got := pivoted.Area() - p.Area(); math.Abs(got-wedge) > 1e-3 {
			t.Errorf("%s from %v to %v: area grows by %v, want %v", p.Name(), from, to, got, wedge)
		}
		spread := styleMust[Piece](t)(p.SlashAndSpread(Slash{from, to, by, by}))
		styleSameLengths(t, "spread", p, spread, from.Edge, to.Edge)
		for _, edge := range []string{from.Edge, to.Edge} {
			if got := gained(t, p, spread, edge); (got - by).Abs() > 1e-6 {
				t.Errorf("%s from %v to %v: %q gains %v, want %v", p.Name(), from, to, edge, got, by)
			}
		}
		if got := spread.Area() - p.Area(); math.Abs(got-float64(by*long)) > 1e-3 {
			t.Errorf("%s from %v to %v: area grows by %v, want %v", p.Name(), from, to, got, by*long)
		}
		for _, n := range p.Notches() {
			for _, m := range spread.Notches() {
				if m.Name != n.Name || m.Edge != n.Edge {
					continue
				}
				grown := m.At - n.At
				if grown.Abs() > 1e-6 && (grown-by).Abs() > 1e-6 {
					t.Errorf("%s: notch %q moved by %v, want 0 or %v", p.Name(), n.Name, grown, by)
				}
			}
		}
		sameEase(t, pattern, styleMust[Pattern](t)(pattern.WithPieceEased(spread)))
		return nil
	})
}

// sameEase checks that seams are as near to their ease as they were.
func sameEase(t *testing.T, before, after Pattern) {
	t.Helper()
	a, b := before.Walk().Rows(), after.Walk().Rows()
	for i := range a {
		if off := (a[i].Difference - a[i].Ease) - (b[i].Difference - b[i].Ease); off.Abs() > 1e-6 {
			t.Errorf("%s seam %q is off its ease by %v more than it was", before.Name(), a[i].Seam, off)
		}
	}
}

// Many cuts add up, and a pivot may be shared.
func TestManySlashes(t *testing.T) {
	r := styleRandom(7)
	for _, pattern := range stylePatterns(t) {
		p := styleMust[Piece](t)(pattern.Piece("sleeve"))
		hem, cap := styleMust[Length](t)(p.EdgeLength("hem")), styleMust[Length](t)(p.EdgeLength("cap"))
		n := 1 + r.IntN(9)
		by := Length(5+10*r.Float64()) * MM
		var parallel, fan []Slash
		for i := 0; i < n; i++ {
			k := (Length(i) + 0.5) / Length(n)
			parallel = append(parallel, Slash{OnEdge{"cap", cap * (1 - k*0.5 - 0.25)}, OnEdge{"hem", hem * k}, by, by})
			fan = append(fan, Slash{From: OnEdge{"cap", cap / 2}, To: OnEdge{"hem", hem * k}, AtTo: by})
		}
		q := styleMust[Piece](t)(p.SlashAndSpread(parallel...))
		styleSameLengths(t, "many parallel", p, q, "cap", "hem")
		if a, b := gained(t, p, q, "cap"), gained(t, p, q, "hem"); (a-by*Length(n)).Abs() > 1e-6 || (b-by*Length(n)).Abs() > 1e-6 {
			t.Errorf("%d cuts of %v: cap gains %v, hem %v", n, by, a, b)
		}
		q = styleMust[Piece](t)(p.SlashAndSpread(fan...))
		styleSameLengths(t, "fan", p, q, "hem")
		if b := gained(t, p, q, "hem"); (b - by*Length(n)).Abs() > 1e-6 {
			t.Errorf("%d cuts of %v from one pivot: hem gains %v", n, by, b)
		}
	}
}

// A straight strip flared along many cuts becomes, in the limit, a ring: a
// strip of waist w and length l that gains by at the hem has the radius
// w·l/by at the waist (geometry: the hem is (r+l)/r of the waist).
func TestFlaredIsCircular(t *testing.T) {
	w, l, by := 300*MM, 600*MM, 300*MM
	p := styleMust[Piece](t)(NewPiece("gore", Edge{"hem", Line(Pt(0, 0), Pt(w, 0))}, Edge{"side seam", Line(Pt(w, 0), Pt(w, l))},
		Edge{"waist", Line(Pt(w, l), Pt(0, l))}, Edge{"centre", Line(Pt(0, l), Pt(0, 0))}))
	p = styleMust[Piece](t)(p.WithFold("centre"))
	q := styleMust[Piece](t)(p.Flared("waist", "hem", by, 40))
	styleSameLengths(t, "flared", p, q, "hem")
	if got := gained(t, p, q, "hem"); (got - by).Abs() > 1e-6 {
		t.Errorf("hem gains %v, want %v", got, by)
	}
	turn := styleMust[[]Edge](t)(q.Edge("side seam"))[0].Path.TangentAt(1)
	angle := math.Atan2(float64(-turn.X), float64(turn.Y))
	if want := float64(by / l); math.Abs(angle-want) > 1e-3 {
		t.Errorf("the side seam turns by %v, want %v", angle, want)
	}
	for _, edge := range []string{"hem", "waist"} {
		smooth := styleMust[Piece](t)(q.SmoothEdge(edge))
		radius := map[string]Length{"waist": w * l / by, "hem": w*l/by + l}[edge]
		path := styleMust[[]Edge](t)(smooth.Edge(edge))[0].Path
		centre := Pt(0, l+w*l/by)
		for k := Length(0.1); k < 1; k += 0.1 {
			if off := path.At(path.Length()*k).Dist(centre) - radius; off.Abs() > 1*MM {
				t.Errorf("smooth %s is %v off a circle of %v", edge, off, radius)
			}
		}
		if len(unkinked(path)) != 1 {
			t.Errorf("smooth %s has %d kinks", edge, len(unkinked(path))-1)
		}
	}
}

func TestSlashErrors(t *testing.T) {
	p := styleMust[Piece](t)(stylePatterns(t)[0].Piece("front"))
	side, hem := OnEdge{"side seam", 4 * CM}, OnEdge{"waist", 2 * CM}
	for _, tt := range []struct {
		cuts []Slash
		want string
	}{
		{nil, "slashed nowhere"},
		{[]Slash{{side, hem, 0, 0}}, "by nothing at both ends"},
		{[]Slash{{side, hem, -1, 5}}, "want 0 or more at both ends"},
		{[]Slash{{side, hem, 0, Length(math.Inf(-1))}}, "want 0 or more at both ends"},
		{[]Slash{{side, hem, 0, -50}}, "has not 2.5 cm on both sides"},
		{[]Slash{{side, hem, 0, -5}, {OnEdge{"side seam", 6 * CM}, hem, 5, 0}}, "a place for each"},
		{[]Slash{{side, hem, 0, Length(math.NaN())}}, "want 0 or more"},
		{[]Slash{{side, side, 0, 5}}, "starts where it ends"},
		{[]Slash{{side, OnEdge{"waist", 3 * M}, 0, 5}}, "want 0 cm to"},
		{[]Slash{{side, OnEdge{"hem", 3}, 0, 5}}, `has no edge "hem"`},
		{[]Slash{{side, OnEdge{"waist dart mouth", 3}, 0, 5}}, "in the mouth of a dart"},
		{[]Slash{{side, OnEdge{"centre front", 3 * CM}, 0, 5}}, "lies on the fold"},
		{[]Slash{{OnEdge{"side seam", 1 * CM}, OnEdge{"side seam", 5 * CM}, 0, 5}}, "runs outside the piece or along its edge"},
		{[]Slash{{OnEdge{"neckline", 2 * CM}, side, 0, 5}}, "crosses"},
		{[]Slash{{OnEdge{"side seam", 4 * CM}, OnEdge{"waist", 1 * CM}, 0, 50 * CM}}, "at most its length"},
		{[]Slash{{side, hem, 0, 5}, {OnEdge{"side seam", 6 * CM}, hem, 0, 5}}, "a place for each"},
	} {
		if _, err := p.SlashAndSpread(tt.cuts...); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%v: %v, want %q", tt.cuts, err, tt.want)
		}
	}
	if _, err := p.Flared("armhole", "waist", 5*CM, 0); err == nil || !strings.Contains(err.Error(), "want 1 to 60") {
		t.Errorf("flared along no cuts: %v", err)
	}
}
