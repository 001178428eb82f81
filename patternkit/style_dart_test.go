package patternkit

import (
	"math"
	"strings"
	"testing"

	"patternkit/patternkit/geom"
)

// sewnArea is the area of a piece less its darts.
func sewnArea(p Piece) float64 {
	area := p.Area()
	for _, d := range p.Darts() {
		start, end := p.mouth(d)
		area -= start.Sub(d.Tip).Cross(end.Sub(d.Tip)) / 2
	}
	return area
}

// styleTrial calls f with every dart of every block and a random place.
func styleTrial(t *testing.T, seed uint64, times int, f func(pattern Pattern, p Piece, d Dart, at OnEdge) error) {
	t.Helper()
	r := styleRandom(seed)
	tried, done := 0, 0
	for _, pattern := range stylePatterns(t) {
		for _, p := range pattern.Pieces() {
			for _, d := range p.Darts() {
				for k := 0; k < times; k++ {
					names := p.EdgeNames()
					name := names[r.IntN(len(names))]
					if p.isMouth(name) || name == p.Fold() {
						continue
					}
					at := OnEdge{name, styleMust[Length](t)(p.EdgeLength(name)) * Length(r.Float64())}
					tried++
					err := f(pattern, p, d, at)
					if err == nil {
						done++
						continue
					}
					if !strings.Contains(err.Error(), "crosses") && !strings.Contains(err.Error(), "runs outside") && !strings.Contains(err.Error(), "runs inside") {
						t.Errorf("%s %s %q to %v: %v", pattern.Name(), p.Name(), d.Name, at, err)
					}
				}
			}
		}
	}
	t.Logf("%d of %d done, the others refused because the slit is not clear", done, tried)
	if done*2 < tried {
		t.Errorf("only %d of %d places could be slit", done, tried)
	}
}

// A dart goes to any place of the stitch line: all other edges keep their
// lengths, seams walk as before, the mouth lies at the place, the angle and
// the sewn area are kept, and moving it back restores the piece.
func TestPivotDartKeepsAll(t *testing.T) {
	styleTrial(t, 3, 6, func(pattern Pattern, p Piece, d Dart, at OnEdge) error {
		q, err := p.PivotDart(d.Name, DartMove{To: at, Name: "moved dart"})
		if err != nil {
			return err
		}
		styleSameLengths(t, "pivoted", p, q)
		place := styleMust[Point](t)(p.PointOn(at.Edge, at.At))
		moved := styleMust[Dart](t)(q.Dart("moved dart"))
		start, end := q.mouth(moved)
		if min(start.Dist(place), end.Dist(place)) > 1e-6 {
			t.Errorf("%s %q to %v: mouth from %v to %v, want an end at %v", p.Name(), d.Name, at, start, end, place)
		}
		oldStart, oldEnd := p.mouth(d)
		wantAngle, angle := oldStart.Sub(d.Tip).AngleTo(oldEnd.Sub(d.Tip)), start.Sub(moved.Tip).AngleTo(end.Sub(moved.Tip))
		if math.Abs(float64(angle-wantAngle)) > 1e-9 {
			t.Errorf("%s %q to %v: angle %v, want %v", p.Name(), d.Name, at, angle, wantAngle)
		}
		if math.Abs(sewnArea(p)-sewnArea(q)) > 1e-3 {
			t.Errorf("%s %q to %v: sewn area %v, was %v", p.Name(), d.Name, at, sewnArea(q), sewnArea(p))
		}
		sameWalk(t, pattern, styleMust[Pattern](t)(pattern.WithPiece(q)))
		return movedBack(t, p, q, d)
	})
}

func sameWalk(t *testing.T, before, after Pattern) {
	t.Helper()
	a, b := before.Walk().Rows(), after.Walk().Rows()
	for i := range a {
		if (a[i].LengthA-b[i].LengthA).Abs() > 1e-6 || (a[i].LengthB-b[i].LengthB).Abs() > 1e-6 || a[i].Verdict != b[i].Verdict {
			t.Errorf("%s seam %q walked %v to %v, walks %v to %v: %s", before.Name(), a[i].Seam, a[i].LengthA, a[i].LengthB, b[i].LengthA, b[i].LengthB, b[i].Verdict)
		}
	}
}

func movedBack(t *testing.T, p, q Piece, d Dart) error {
	t.Helper()
	mouth := 0
	for p.edges[mouth].Name != d.Mouth {
		mouth++
	}
	beside := p.edges[(mouth+len(p.edges)-1)%len(p.edges)].Name
	var at Length
	parts, _ := p.run(beside)
	for _, k := range parts {
		at += p.edges[k].Path.Length()
		if k == (mouth+len(p.edges)-1)%len(p.edges) {
			break
		}
	}
	back, err := q.PivotDart("moved dart", DartMove{To: OnEdge{beside, at}, Name: d.Name})
	if err != nil {
		return err
	}
	for _, name := range p.EdgeNames() {
		a, b := styleMust[[]Edge](t)(p.Edge(name)), styleMust[[]Edge](t)(back.Edge(name))
		if len(a) != len(b) {
			t.Errorf("%s %q there and back: edge %q in %d parts, was in %d", p.Name(), d.Name, name, len(b), len(a))
			continue
		}
		for i := range a {
			if !styleNear(a[i].Path, b[i].Path, 1e-6) {
				t.Errorf("%s %q there and back: edge %q is not where it was: %v to %v, was %v to %v", p.Name(), d.Name, name,
					b[i].Path.Start(), b[i].Path.End(), a[i].Path.Start(), a[i].Path.End())
			}
		}
	}
	for _, n := range p.Points() {
		if got := styleMust[Point](t)(back.Point(n.Name)); got.Dist(n.At) > 1e-6 {
			t.Errorf("%s %q there and back: point %q at %v, was at %v", p.Name(), d.Name, n.Name, got, n.At)
		}
	}
	for i, n := range p.Notches() {
		if m := back.Notches()[i]; m.Name != n.Name || m.Edge != n.Edge || (m.At-n.At).Abs() > 1e-6 {
			t.Errorf("%s %q there and back: notch %+v, was %+v", p.Name(), d.Name, m, n)
		}
	}
	return nil
}

// A divided dart gives away its shares of the angle and keeps the rest.
func TestPivotDartDivides(t *testing.T) {
	r := styleRandom(40)
	styleTrial(t, 4, 4, func(pattern Pattern, p Piece, d Dart, at OnEdge) error {
		other := OnEdge{at.Edge, styleMust[Length](t)(p.EdgeLength(at.Edge)) * Length(r.Float64())}
		a, b := 0.1+0.3*r.Float64(), 0.1+0.3*r.Float64()
		q, err := p.PivotDart(d.Name, DartMove{at, a, "one"}, DartMove{other, b, "two"})
		if err != nil {
			return err
		}
		styleSameLengths(t, "divided", p, q)
		sameWalk(t, pattern, styleMust[Pattern](t)(pattern.WithPiece(q)))
		whole := opened(p).dartAngle(d)
		for name, share := range map[string]float64{"one": a, "two": b, d.Name: 1 - a - b} {
			got := opened(q).dartAngle(styleMust[Dart](t)(q.Dart(name)))
			if math.Abs(float64(got/whole)-share) > 1e-9 {
				t.Errorf("%q has %v of the dart, want %v", name, float64(got/whole), share)
			}
		}
		all := styleMust[Piece](t)(p.PivotDart(d.Name, DartMove{at, a, "one"}, DartMove{To: other, Name: "two"}))
		if len(all.Darts()) != len(p.Darts())+1 {
			t.Errorf("a share of nothing leaves %d darts, want %d", len(all.Darts()), len(p.Darts())+1)
		}
		return nil
	})
}

// A square with a dart whose numbers are known: 2 asin(1/10) at a leg of
// 100 mm, moved to a leg of √2 × 100 mm.
func TestPivotDartByHand(t *testing.T) {
	half := 20 * MM
	deep := Length(math.Sqrt(100*100 - 20*20))
	p := styleMust[Piece](t)(NewPiece("square",
		Edge{"hem", Line(Pt(-100, -deep), Pt(-half, -deep))}, Edge{"hem dart mouth", Line(Pt(-half, -deep), Pt(half, -deep))},
		Edge{"hem", Line(Pt(half, -deep), Pt(100, -deep))}, Edge{"side", Line(Pt(100, -deep), Pt(100, 100))},
		Edge{"top", Line(Pt(100, 100), Pt(-100, 100))}, Edge{"centre", Line(Pt(-100, 100), Pt(-100, -deep))}))
	p = styleMust[Piece](t)(p.WithDart(Dart{"hem dart", "hem dart mouth", Pt(0, 0)}))
	p = styleMust[Piece](t)(p.WithFold("centre"))
	q := styleMust[Piece](t)(p.PivotDart("hem dart", DartMove{To: OnEdge{"top", 0}}))
	if got := styleMust[Length](t)(q.DartIntake("top dart")); (got - 40*MM*Length(math.Sqrt2)).Abs() > 1e-9 {
		t.Errorf("intake %v, want 40 mm × √2", got)
	}
	hem := styleMust[[]Edge](t)(q.Edge("hem"))
	if len(hem) != 1 || (hem[0].Path.Length()-160*MM).Abs() > 1e-9 {
		t.Errorf("hem %v, want one edge of 160 mm", hem)
	}
	short := styleMust[Piece](t)(q.ShortenDart("top dart", 25*MM))
	if a, b := short.legs(styleMust[Dart](t)(short.Dart("top dart"))); (a - b).Abs() > 1e-9 {
		t.Errorf("legs of the shortened dart: %v and %v", a, b)
	}
}

func TestPivotDartErrors(t *testing.T) {
	p := styleMust[Piece](t)(stylePatterns(t)[0].Piece("front"))
	side := OnEdge{"side seam", 3 * CM}
	crooked := p
	crooked.darts = p.Darts()
	crooked.darts[0].Tip = crooked.darts[0].Tip.Add(geom.Pt(0.3, 0.1))
	for _, tt := range []struct {
		p     Piece
		dart  string
		moves []DartMove
		want  string
	}{
		{p, "hem dart", []DartMove{{To: side}}, `has no dart "hem dart"`},
		{p, "bust dart", nil, "moved nowhere"},
		{p, "bust dart", []DartMove{{To: OnEdge{"hem", 1}}}, `has no edge "hem"`},
		{p, "bust dart", []DartMove{{To: OnEdge{"side seam", 3 * M}}}, "want 0 cm to"},
		{p, "bust dart", []DartMove{{To: side, Share: 1.5}}, "want above 0 to 1"},
		{p, "bust dart", []DartMove{{To: side, Share: math.NaN()}}, "want above 0 to 1"},
		{p, "bust dart", []DartMove{{To: side}, {To: OnEdge{"side seam", 5 * CM}}}, "have no share"},
		{p, "bust dart", []DartMove{{To: side, Share: 0.6}, {To: OnEdge{"side seam", 5 * CM}, Share: 0.6}}, "come to 1.2"},
		{p, "bust dart", []DartMove{{To: side, Share: 0.4, Name: "a"}, {To: side, Share: 0.4, Name: "b"}}, "a place for each"},
		{p, "bust dart", []DartMove{{To: OnEdge{"centre front", 5 * CM}}}, "lies on the fold"},
		{p, "bust dart", []DartMove{{To: OnEdge{"bust dart mouth", 1 * CM}}}, "where its mouth is"},
		{p, "bust dart", []DartMove{{To: OnEdge{"waist dart mouth", 1 * CM}}}, "the mouth of another dart"},
		{p, "bust dart", []DartMove{{To: side, Share: 0.5, Name: "waist dart"}}, `already has a dart "waist dart"`},
		{crooked, "bust dart", []DartMove{{To: side}}, "want equal legs"},
	} {
		if _, err := tt.p.PivotDart(tt.dart, tt.moves...); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%q %v: %v, want %q", tt.dart, tt.moves, err, tt.want)
		}
	}
	if _, err := p.ShortenDart("bust dart", 1*M); err == nil || !strings.Contains(err.Error(), "at least 1 cm left") {
		t.Errorf("shortened by a metre: %v", err)
	}
}
