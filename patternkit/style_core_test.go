package patternkit

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"patternkit/patternkit/geom"
)

// stylePatterns are the blocks that style operations are tried on, with a
// sleeve: the sizes of the misses' chart and as many bodies at random, by both
// methods.
func stylePatterns(t testing.TB) []Pattern {
	t.Helper()
	chart, err := MissesChart(CurvyWaist)
	if err != nil {
		t.Fatal(err)
	}
	var out []Pattern
	sizes := chart.Sizes()
	r := styleRandom(100)
	for range chart.Sizes() {
		bust := Length(78+37*r.Float64()) * CM
		sizes = append(sizes, Size{fmt.Sprintf("bust %v", bust), Body{Height: Length(150+35*r.Float64()) * CM, BustGirth: bust,
			WaistGirth: bust * Length(0.72+0.2*r.Float64()), HipGirth: bust * Length(0.98+0.15*r.Float64())}})
	}
	for _, size := range sizes {
		body, err := size.Body.Estimated()
		if err != nil {
			continue // no such body
		}
		for _, method := range []Method{DirectMeasure, Proportional} {
			o := DefaultBodice()
			o.Method = method
			if method == Proportional {
				o = BodiceOptions{Method: Proportional}
			}
			bodice, err := DraftBodice(body, o)
			if err != nil {
				continue // the proportional block is made for a part of the sizes
			}
			sleeve, err := DraftSleeve(bodice.Armhole(), sleeveOf(bodice))
			if err != nil {
				continue // an arm too big for that armhole
			}
			pattern, err := NewPattern(size.Name+" "+method.String(), bodice, sleeve)
			if err != nil {
				t.Fatal(err)
			}
			out = append(out, pattern)
		}
	}
	if len(out) < 30 {
		t.Fatalf("%d blocks to try, want at least 30", len(out))
	}
	return out
}

func styleRandom(n uint64) *rand.Rand { return rand.New(rand.NewPCG(n, 5)) }

func styleMust[T any](t testing.TB) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

// styleSameLengths checks that the named edges have kept their lengths.
func styleSameLengths(t testing.TB, what string, before, after Piece, except ...string) {
	t.Helper()
	for _, name := range before.EdgeNames() {
		if before.isMouth(name) || strings.Contains(" "+strings.Join(except, " | ")+" ", " "+name+" ") {
			continue
		}
		a := styleMust[Length](t)(before.EdgeLength(name))
		b, err := after.EdgeLength(name)
		if err != nil || (a-b).Abs() > 1e-6 {
			t.Errorf("%s: %s %q was %.9f mm, is %.9f mm (%v)", what, before.Name(), name, a, b, err)
		}
	}
}

func styleNear(a, b Path, tol Length) bool {
	if (a.Length() - b.Length()).Abs() > tol {
		return false
	}
	for k := 0.0; k <= 1; k += 0.05 {
		if a.At(a.Length()*Length(k)).Dist(b.At(b.Length()*Length(k))) > tol {
			return false
		}
	}
	return true
}

// A rigid move keeps every length, area, notch place and dart, and its
// inverse brings the piece back; a mirrored piece still runs
// counterclockwise and its marks lie where the mirror puts them.
func TestTransformedKeepsAll(t *testing.T) {
	r := styleRandom(1)
	for _, pattern := range stylePatterns(t) {
		for _, p := range pattern.Pieces() {
			a, b := Pt(Length(r.Float64()*500), Length(r.Float64()*500)), Pt(Length(-1-r.Float64()*500), Length(r.Float64()*500))
			for _, tr := range []Transform{geom.Rotate(a, Angle(r.Float64()*7)), geom.Translate(b), geom.Mirror(a, b)} {
				q := styleMust[Piece](t)(p.Transformed(tr))
				styleSameLengths(t, "transformed", p, q)
				if math.Abs(p.Area()-q.Area()) > 1e-3 {
					t.Errorf("%s: area %v became %v", p.Name(), p.Area(), q.Area())
				}
				for i, n := range p.Notches() {
					m := q.Notches()[i]
					want := tr.Apply(styleMust[Point](t)(p.PointOn(n.Edge, n.At)))
					if got := styleMust[Point](t)(q.PointOn(m.Edge, m.At)); got.Dist(want) > 1e-6 {
						t.Errorf("%s: notch %q at %v, want %v", p.Name(), m.Name, got, want)
					}
				}
				for _, n := range p.Points() {
					if got := styleMust[Point](t)(q.Point(n.Name)); got.Dist(tr.Apply(n.At)) > 1e-9 {
						t.Errorf("%s: point %q at %v, want %v", p.Name(), n.Name, got, tr.Apply(n.At))
					}
				}
				inverse := styleMust[Transform](t)(tr.Inverse())
				back := styleMust[Piece](t)(q.Transformed(inverse))
				for i, e := range p.Edges() {
					if !styleNear(e.Path, back.Edges()[i].Path, 1e-6) || back.Edges()[i].Name != e.Name {
						t.Errorf("%s: edge %q does not come back", p.Name(), e.Name)
					}
				}
			}
		}
	}
}

// A piece mirrored in its pattern still walks, notch by notch.
func TestMirroredPieceWalks(t *testing.T) {
	pattern := stylePatterns(t)[0]
	want := pattern.Walk().String()
	for _, p := range pattern.Pieces() {
		got := styleMust[Pattern](t)(pattern.WithPieceTransformed(p.Name(), geom.Mirror(Pt(0, 0), Pt(0, 1))))
		if s := got.Walk().String(); s != want {
			t.Errorf("mirroring %s changes the walk:\n%s\nwant\n%s", p.Name(), s, want)
		}
	}
}

// Scaling unevenly measures the notches anew.
func TestTransformedStretches(t *testing.T) {
	p := styleMust[Piece](t)(NewPiece("strip",
		Edge{"hem", Polyline(Pt(0, 0), Pt(100, 0), Pt(100, 50))}, Edge{"top", Polyline(Pt(100, 50), Pt(0, 50), Pt(0, 0))}))
	p = styleMust[Piece](t)(p.WithNotch(Notch{Name: "a", Edge: "hem", At: 120 * MM}))
	q := styleMust[Piece](t)(p.Transformed(geom.ScaleXY(2, 1)))
	if got := q.Notches()[0].At; (got - 220*MM).Abs() > 1e-9 {
		t.Errorf("notch at %v, want 220 mm", got)
	}
	if _, err := p.Transformed(geom.ScaleXY(0, 1)); err == nil {
		t.Error("a flattening transform is taken")
	}
}

// Splitting an edge anywhere keeps the outline, the place of every mark and
// the walk; both parts know what they come from.
func TestSplitEdge(t *testing.T) {
	r := styleRandom(2)
	for _, pattern := range stylePatterns(t) {
		for _, p := range pattern.Pieces() {
			for _, name := range p.EdgeNames() {
				if p.isMouth(name) || name == p.Fold() {
					continue
				}
				length := styleMust[Length](t)(p.EdgeLength(name))
				at := length * Length(0.02+0.96*r.Float64())
				got, err := pattern.SplitEdge(p.Name(), name, at, name+" one", name+" two")
				if err != nil {
					if !strings.Contains(err.Error(), "or a cut at its end") { // too near a dart
						t.Error(err)
					}
					continue
				}
				q := styleMust[Piece](t)(got.Piece(p.Name()))
				one, two := styleMust[Length](t)(q.EdgeLength(name+" one")), styleMust[Length](t)(q.EdgeLength(name+" two"))
				if (one-at).Abs() > 1e-6 || (one+two-length).Abs() > 1e-6 {
					t.Errorf("%s %q of %v split at %v: %v and %v", p.Name(), name, length, at, one, two)
				}
				if q.Origin(name+" one") != name || q.Origin(name+" two") != name {
					t.Errorf("%q forgot where it comes from", name)
				}
				if !styleNear(p.Outline(), q.Outline(), 1e-6) {
					t.Errorf("splitting %q moves the outline", name)
				}
				before, after := pattern.Walk().Rows(), got.Walk().Rows()
				for i := range before {
					if (before[i].Difference-after[i].Difference).Abs() > 1e-6 || before[i].Fault != after[i].Fault || len(before[i].Notches) != len(after[i].Notches) {
						t.Errorf("splitting %q: %+v became %+v", name, before[i], after[i])
					}
				}
				same := styleMust[Piece](t)(p.SplitEdge(name, at, name, name))
				styleSameLengths(t, "split under one name", p, same)
			}
		}
	}
}

func TestSplitEdgeErrors(t *testing.T) {
	p := styleMust[Piece](t)(stylePatterns(t)[0].Piece("front"))
	length := styleMust[Length](t)(p.EdgeLength("side seam"))
	for _, tt := range []struct {
		edge          string
		at            Length
		first, second string
		want          string
	}{
		{"hem", 1, "a", "b", `has no edge "hem"`},
		{"side seam", 0, "a", "b", "want a place inside"},
		{"side seam", length, "a", "b", "want a place inside"},
		{"side seam", length + 1, "a", "b", "want 0 cm to"},
		{"side seam", -1, "a", "b", "want 0 cm to"},
		{"side seam", 0.001 * MM, "a", "b", "want at least"},
		{"side seam", 5 * CM, "waist", "b", `already has an edge "waist"`},
		{"side seam", 5 * CM, "a", " ", "has no name"},
		{"centre front", 5 * CM, "a", "b", "on the fold"},
	} {
		if _, err := p.SplitEdge(tt.edge, tt.at, tt.first, tt.second); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("SplitEdge(%q, %v, %q, %q): %v, want %q", tt.edge, tt.at, tt.first, tt.second, err, tt.want)
		}
	}
}

// A renamed edge takes its notches, dart, fold and seams along.
func TestRenamedEdge(t *testing.T) {
	for _, pattern := range stylePatterns(t)[:2] {
		for _, p := range pattern.Pieces() {
			for _, name := range p.EdgeNames() {
				got := styleMust[Pattern](t)(pattern.RenamedEdge(p.Name(), name, "new name"))
				q := styleMust[Piece](t)(got.Piece(p.Name()))
				if q.Origin("new name") != name || q.isMouth("new name") != p.isMouth(name) || (q.Fold() == "new name") != (p.Fold() == name) {
					t.Errorf("%q renamed has lost something", name)
				}
				back := styleMust[Pattern](t)(got.RenamedEdge(p.Name(), "new name", name))
				if back.Walk().String() != pattern.Walk().String() {
					t.Errorf("renaming %q there and back changes the walk", name)
				}
				if q := styleMust[Piece](t)(back.Piece(p.Name())); len(q.origins) != 0 {
					t.Errorf("renamed there and back: origins %v", q.origins)
				}
			}
		}
	}
}

// sleeveOf has a cap in proportion to the armhole.
func sleeveOf(b Bodice) SleeveOptions {
	o := DefaultSleeve()
	o.CapHeight = b.Armhole().Length() * 0.27
	return o
}
