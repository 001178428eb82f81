package patternkit

import (
	"strings"
	"testing"
)

// Whatever four corners make a piece is measured and drawn in numbers; what
// makes none is refused without a panic.
func FuzzPieceIsDrawn(f *testing.F) {
	f.Add(0.0, 0.0, 240.0, 0.0, 240.0, 600.0, 0.0, 600.0, 1.0)
	f.Add(0.0, 0.0, 1e9, 0.0, 1e9, 1e-3, 0.0, 1e-3, 0.5)
	f.Add(0.0, 0.0, 10.0, 10.0, 10.0, 0.0, 0.0, 10.0, 0.0)
	f.Fuzz(func(t *testing.T, ax, ay, bx, by, cx, cy, dx, dy, at float64) {
		a, b := Pt(Length(ax), Length(ay)), Pt(Length(bx), Length(by))
		c, d := Pt(Length(cx), Length(cy)), Pt(Length(dx), Length(dy))
		p, err := NewPiece("p", Edge{"hem", Line(a, b)}, Edge{"right", Line(b, c)}, Edge{"top", Line(c, d)}, Edge{"left", Line(d, a)})
		if err != nil {
			return
		}
		if !(p.Area() > 0) {
			t.Fatalf("a piece of area %v is accepted", p.Area())
		}
		hem, err := p.EdgeLength("hem")
		if err != nil || !(hem > 0) {
			t.Fatalf("hem of %v, %v", hem, err)
		}
		if q, err := p.WithNotch(Notch{Name: "balance", Edge: "hem", At: Length(at) * hem}); err == nil {
			p = q
		} else if at >= 0 && at <= 1 {
			t.Fatalf("a notch at %v of %v is refused: %v", at, hem, err)
		}
		svg := p.SVG()
		if strings.Contains(svg, "NaN") || strings.Contains(svg, "Inf") || !strings.Contains(svg, "hem") {
			t.Fatalf("drawn as %.400s", svg)
		}
	})
}
