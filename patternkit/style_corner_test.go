package patternkit

import (
	"math"
	"strings"
	"testing"
)

// A moved corner leads the two edges that meet there; the directions at their
// ends, the other edges and the share of each notch stay.
func TestWithCornerAt(t *testing.T) {
	edges, _ := tracedFront(0)
	p, err := NewPiece("front", edges...)
	if err != nil {
		t.Fatal(err)
	}
	armhole, _ := p.EdgeLength("armhole")
	if p, err = p.WithNotch(Notch{Name: "front", Edge: "armhole", At: armhole / 4}); err != nil {
		t.Fatal(err)
	}
	if p, err = p.WithPoint("shoulder point", Pt(170, 540)); err != nil {
		t.Fatal(err)
	}
	to := Pt(176, 538)
	q, err := p.WithCornerAt("shoulder", to)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range p.Edges() {
		moved, err := q.Edge(e.Name)
		if err != nil {
			t.Fatal(err)
		}
		was, is := e.Path, moved[0].Path
		switch e.Name {
		case "shoulder":
			if is.Start() != to || is.End() != was.End() || is.Segments()[0].Curve {
				t.Errorf("the shoulder is %v", is)
			}
		case "armhole":
			if is.Start() != was.Start() || is.End().Dist(to) > 1e-9 {
				t.Errorf("the armhole is %v", is)
			}
			if a := is.TangentAt(0).AngleTo(was.TangentAt(0)); a > 1e-9 || a < -1e-9 {
				t.Errorf("the armhole leaves the underarm turned by %v", a)
			}
			if a := is.TangentAt(is.Length()).AngleTo(was.TangentAt(was.Length())); a > 1e-9 || a < -1e-9 {
				t.Errorf("the armhole arrives turned by %v", a)
			}
			if got, want := q.Notches()[0].At/is.Length(), Length(0.25); (got - want).Abs() > 1e-6 {
				t.Errorf("the notch is at %v of the armhole, want %v", float64(got), float64(want))
			}
		default:
			if !is.Equal(was) {
				t.Errorf("%q moved too", e.Name)
			}
		}
	}
	if at, _ := q.Point("shoulder point"); at != to {
		t.Errorf("the shoulder point is at %v", at)
	}
}

func TestWithCornerAtRefuses(t *testing.T) {
	edges, _ := tracedFront(0)
	p, err := NewPiece("front", edges...)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		edge string
		to   Point
		want string
	}{
		{"cuff", Pt(0, 0), `"cuff"`},
		{"shoulder", Pt(300, 540), "at most"},
		{"shoulder", Pt(Length(math.Inf(1)), 540), "at most"},
	} {
		if q, err := p.WithCornerAt(c.edge, c.to); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q to %v gives %v, %v, want an error with %q", c.edge, c.to, q, err, c.want)
		}
	}
	if p, err = p.WithDart(Dart{Name: "hem dart", Mouth: "hem", Tip: Pt(127, 200)}); err == nil {
		if q, err := p.WithCornerAt("side seam", Pt(262, 15)); err == nil || !strings.Contains(err.Error(), "mouth") {
			t.Errorf("a corner at a mouth gives %v, %v", q, err)
		}
	}
}

// The corner opens by the angle that is asked for, at either end of an edge,
// and closes again to the same piece.
func TestWithEndTurned(t *testing.T) {
	edges, _ := tracedFront(0)
	p, err := NewPiece("front", edges...)
	if err != nil {
		t.Fatal(err)
	}
	corner := func(p Piece, end bool) Angle { // the angle of the cloth where the armhole starts or ends
		before, after := p.edges[1].Path, p.edges[2].Path
		if end {
			before, after = after, p.edges[3].Path
		}
		return 180*Degree - before.TangentAt(before.Length()).AngleTo(after.TangentAt(0))
	}
	for _, end := range []bool{false, true} {
		for _, by := range []Angle{4 * Degree, -7 * Degree} {
			q, err := p.WithEndTurned("armhole", end, by)
			if err != nil {
				t.Fatal(err)
			}
			if got := corner(q, end) - corner(p, end); math.Abs(float64(got-by)) > 1e-9 {
				t.Errorf("turned by %v the corner opens by %v", by, got)
			}
			if got := corner(q, !end) - corner(p, !end); math.Abs(float64(got)) > 1e-9 {
				t.Errorf("the far corner opens by %v", got)
			}
			back, err := q.WithEndTurned("armhole", end, -by)
			if err != nil {
				t.Fatal(err)
			}
			if d := math.Abs(back.Area() - p.Area()); d > 1e-6 {
				t.Errorf("turned there and back the area differs by %v mm²", d)
			}
		}
	}
	for _, c := range []struct {
		edge string
		by   Angle
		want string
	}{
		{"shoulder", 3 * Degree, "straight"},
		{"armhole", 40 * Degree, "30°"},
		{"armhole", Angle(math.NaN()), "30°"},
		{"cuff", 3 * Degree, `"cuff"`},
	} {
		if q, err := p.WithEndTurned(c.edge, false, c.by); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q by %v gives %v, %v, want an error with %q", c.edge, c.by, q, err, c.want)
		}
	}
}
