package patternkit

import (
	"math"
	"strings"
	"testing"
)

// Whatever line is given, a cut is refused with its reason or keeps the cloth,
// and joined again it restores the piece.
func FuzzCutAndJoin(f *testing.F) {
	f.Add(-300.0, 250.0, 300.0, 260.0, 0.0, byte(0))
	f.Add(0.0, 250.0, 400.0, 250.0, 0.3, byte(1))
	f.Add(20.0, 900.0, -20.0, -900.0, -0.2, byte(2))
	f.Add(10.0, 2.13192e+06, 390.0, -94.640625, -1264.2, byte('Y'))
	f.Add(math.NaN(), 0.0, math.Inf(1), 0.0, 0.0, byte(3))
	patterns := stylePatterns(f)
	f.Fuzz(func(t *testing.T, x0, y0, x1, y1, bow float64, which byte) {
		p := patterns[int(which)%len(patterns)]
		piece := p.Pieces()[int(which)/len(patterns)%3]
		a, b := Pt(Length(x0), Length(y0)), Pt(Length(x1), Length(y1))
		along := Line(a, b)
		if bow != 0 {
			side := b.Sub(a).Perp().Scale(bow)
			along = Cubic(a, a.Lerp(b, 0.3).Add(side), a.Lerp(b, 0.7).Add(side), b)
		}
		q, err := p.Cut(Cut{Piece: piece.Name(), Along: along, Left: "one", Right: "two", Seam: "style line"})
		if err != nil {
			if !strings.Contains(err.Error(), "want") {
				t.Errorf("%v does not say what would work", err)
			}
			return
		}
		one, two := styleMust[Piece](t)(q.Piece("one")), styleMust[Piece](t)(q.Piece("two"))
		wedges := shutWedges(piece, one, two)
		if off := one.Area() + two.Area() + wedges - piece.Area(); math.Abs(off) > 1e-2 {
			t.Errorf("areas differ by %v mm²", off)
		}
		checkSameWalk(t, p, q)
		if wedges > 0 {
			return
		}
		back, err := q.Join("style line", piece.Name())
		if err != nil {
			t.Fatal(err)
		}
		checkSamePiece(t, piece, styleMust[Piece](t)(back.Piece(piece.Name())))
		checkSameWalk(t, p, back)
	})
}
