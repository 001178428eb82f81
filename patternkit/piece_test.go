package patternkit

import (
	"math"
	"strings"
	"testing"
)

// skirtPanel is half a straight skirt with a waist dart, centre on the fold at
// the left: 24 cm wide at the hem, 60 cm long, measured round numbers.
func skirtPanel(t testing.TB, name string) Piece {
	t.Helper()
	waist := []Point{Pt(22*CM, 61*CM), Pt(13*CM, 60*CM), Pt(10*CM, 60*CM), Pt(0, 60*CM)}
	p, err := makePiece(name,
		Edge{"hem", Line(Pt(0, 0), Pt(24*CM, 0))},
		Edge{"side seam", Polyline(Pt(24*CM, 0), Pt(24*CM, 40*CM), waist[0])},
		Edge{"waist", Line(waist[0], waist[1])},
		Edge{"waist dart mouth", Line(waist[1], waist[2])},
		Edge{"waist", Line(waist[2], waist[3])},
		Edge{"centre " + name, Line(waist[3], Pt(0, 0))},
	).
		dart(Dart{Name: "waist dart", Mouth: "waist dart mouth", Tip: Pt(11.5*CM, 48*CM)}).
		notch(Notch{Name: "hip", Edge: "side seam", At: 40 * CM}).
		point("side waist point", waist[0]).
		internal("hip line", Line(Pt(0, 40*CM), Pt(24*CM, 40*CM))).
		grainline(Pt(5*CM, 8*CM), Pt(5*CM, 34*CM)).
		fold("centre "+name).
		quantity(1, "on the fold").
		done()
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestEdgeLengthsCloseDarts(t *testing.T) {
	p := skirtPanel(t, "front")
	slant := Length(math.Hypot(90, 10)) // 9 cm across, 1 cm up
	for _, tt := range []struct {
		edge string
		want Length
	}{
		{"hem", 24 * CM},
		{"waist", 10*CM + slant}, // the 3 cm of the mouth are not counted
		{"centre front", 60 * CM},
		{"waist dart mouth", 3 * CM},
	} {
		got, err := p.EdgeLength(tt.edge)
		if err != nil || math.Abs(float64(got-tt.want)) > 1e-6 {
			t.Errorf("EdgeLength(%q) = %v, %v, want %v", tt.edge, got, err, tt.want)
		}
	}
	if intake, err := p.DartIntake("waist dart"); err != nil || intake != 3*CM {
		t.Errorf("DartIntake = %v, %v, want 3 cm", intake, err)
	}
}

func TestPointOnCrossesDart(t *testing.T) {
	p := skirtPanel(t, "front")
	slant := Length(math.Hypot(90, 10))
	for _, tt := range []struct {
		at   Length
		want Point
	}{
		{0, Pt(22*CM, 61*CM)},
		{slant + 4*CM, Pt(6*CM, 60*CM)}, // 4 cm past the closed dart
		{slant + 10*CM, Pt(0, 60*CM)},
	} {
		got, err := p.PointOn("waist", tt.at)
		if err != nil || got.Dist(tt.want) > 1e-6 {
			t.Errorf("PointOn(waist, %v) = %v, %v, want %v", tt.at, got, err, tt.want)
		}
	}
	if _, err := p.PointOn("waist", 30*CM); err == nil || !strings.Contains(err.Error(), "want 0 cm to 19.06 cm") {
		t.Errorf("PointOn past the end: %v", err)
	}
}

// An outline may start in the middle of a trade edge.
func TestEdgeReadFromItsOwnStart(t *testing.T) {
	a, b, c, d := Pt(0, 0), Pt(10*CM, 0), Pt(10*CM, 10*CM), Pt(0, 10*CM)
	middle := Pt(4*CM, 0)
	p, err := NewPiece("square",
		Edge{"hem", Line(middle, b)}, Edge{"right", Line(b, c)}, Edge{"top", Line(c, d)},
		Edge{"left", Line(d, a)}, Edge{"hem", Line(a, middle)})
	if err != nil {
		t.Fatal(err)
	}
	got, err := p.PointOn("hem", 1*CM)
	if want := Pt(1*CM, 0); err != nil || got.Dist(want) > 1e-9 {
		t.Errorf("1 cm along the hem is %v, %v, want %v", got, err, want)
	}
}

func TestNewPieceErrors(t *testing.T) {
	a, b, c, d := Pt(0, 0), Pt(10*CM, 0), Pt(10*CM, 10*CM), Pt(0, 10*CM)
	nan := Length(math.NaN())
	for _, tt := range []struct {
		name  string
		edges []Edge
		want  string
	}{
		{"none", nil, `piece "p" has no edges, want at least one closed edge`},
		{"nameless", []Edge{{" ", Line(a, b)}}, `piece "p": edge 1 of the outline has no name, want a trade name such as "side seam"`},
		{"empty", []Edge{{"hem", Path{}}}, `piece "p": edge "hem" is empty, want a line or a curve`},
		{"not a number", []Edge{{"hem", Line(a, Pt(nan, 0))}}, `piece "p": edge "hem" has a coordinate that is not a number or is infinite`},
		{"no length", []Edge{{"hem", Line(a, a)}}, `piece "p": edge "hem" is 0 cm long, want at least 0.01 mm`},
		{"gap", []Edge{{"hem", Line(a, b)}, {"side seam", Line(Pt(11*CM, 0), c)}, {"top", Polyline(c, d, a)}},
			`piece "p": edge "hem" ends at (10.00, 0.00) cm but edge "side seam" starts 1 cm away at (11.00, 0.00) cm, so the outline is not one chain`},
		{"open", []Edge{{"hem", Line(a, b)}, {"side seam", Line(b, c)}, {"top", Line(c, d)}},
			`piece "p": edge "top" ends at (0.00, 10.00) cm but edge "hem" starts 10 cm away at (0.00, 0.00) cm, so the outline is not closed`},
		{"clockwise", []Edge{{"left", Line(a, d)}, {"rest", Polyline(d, c, b, a)}},
			`piece "p" runs clockwise from edge "left" (area -100.0 cm²), want counterclockwise: reverse each edge and their order`},
		{"bow tie", []Edge{{"hem", Line(a, Pt(12*CM, 0))}, {"slant", Line(Pt(12*CM, 0), Pt(2*CM, 10*CM))}, {"top", Line(Pt(2*CM, 10*CM), c)}, {"back slant", Line(c, a)}},
			`crosses itself at (6.00, 6.00) cm: edge "slant" meets edge "back slant" there`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, err := NewPiece("p", tt.edges...)
			if err == nil {
				t.Fatal("no error")
			}
			if !strings.Contains(err.Error(), tt.want) {
				t.Errorf("got  %s\nwant %s", err, tt.want)
			}
		})
	}
	if _, err := NewPiece(""); err == nil {
		t.Error("a piece without a name is no error")
	}
}

func TestWithErrors(t *testing.T) {
	p := skirtPanel(t, "front")
	for _, tt := range []struct {
		name string
		do   func() (Piece, error)
		want string
	}{
		{"unequal legs", func() (Piece, error) {
			q, _ := NewPiece("front", p.Edges()...)
			return q.WithDart(Dart{"waist dart", "waist dart mouth", Pt(12*CM, 48*CM)})
		}, `piece "front": dart "waist dart" has legs of 12.04 cm and 12.17 cm, want legs equal within 0.1 cm`},
		{"no mouth", func() (Piece, error) { return p.WithDart(Dart{"bust dart", "bust dart mouth", Pt(0, 0)}) },
			`dart "bust dart": piece "front" has no edge "bust dart mouth", it has "hem", "side seam", "waist", "waist dart mouth" and "centre front"`},
		{"mouth in parts", func() (Piece, error) { return p.WithDart(Dart{"second", "waist", Pt(0, 0)}) },
			`dart "second" has mouth "waist", the name of 2 edges`},
		{"same dart", func() (Piece, error) { return p.WithDart(p.Darts()...) }, `already has a dart "waist dart"`},
		{"notch past the end", func() (Piece, error) { return p.WithNotch(Notch{Name: "balance", Edge: "hem", At: 25 * CM}) },
			`piece "front": notch "balance" is at 25 cm on edge "hem", want 0 cm to 24 cm, the length of that edge`},
		{"notch nowhere", func() (Piece, error) {
			return p.WithNotch(Notch{Name: "balance", Edge: "hem", At: Length(math.NaN())})
		}, `want 0 cm to 24 cm`},
		{"fold on a bend", func() (Piece, error) { return p.WithFold("side seam") }, `edge "side seam" is curved`},
		{"no grain", func() (Piece, error) { return p.WithGrainline(Pt(1, 1), Pt(1, 1)) }, `want two points at least 1 mm apart`},
		{"cut never", func() (Piece, error) { return p.WithQuantity(0, "") }, `is to be cut 0 times, want 1 to 1000`},
		{"same point", func() (Piece, error) { return p.WithPoint("side waist point", Pt(0, 0)) },
			`already has a point "side waist point", at (22.00, 61.00) cm`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, err := tt.do()
			if err == nil || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("got  %v\nwant %s", err, tt.want)
			}
		})
	}
}

// A With method leaves the piece it was called on as it was.
func TestPiecesDoNotChange(t *testing.T) {
	p := skirtPanel(t, "front")
	q, err := p.WithNotch(Notch{Name: "balance", Edge: "hem", At: 2 * CM})
	if err != nil {
		t.Fatal(err)
	}
	r, err := p.WithNotch(Notch{Name: "other", Edge: "hem", At: 3 * CM})
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Notches()) != 1 || q.Notches()[1].Name != "balance" || r.Notches()[1].Name != "other" {
		t.Errorf("notches %v, %v, %v: one piece changed another", p.Notches(), q.Notches(), r.Notches())
	}
	q.Edges()[0].Name = "changed"
	if q.Edges()[0].Name != "hem" {
		t.Error("the slice that Edges returns is the piece's own")
	}
}
