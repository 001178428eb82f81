package patternkit

import (
	"strings"
	"testing"
)

// finishedSkirt has allowances of its own on waist and hem, a fold, darts and a
// double notch.
func finishedSkirt(t *testing.T) Pattern {
	t.Helper()
	p, err := skirt(t, 10*CM, 2*waistLength-1*CM).WithAllowances(1.5*CM, Hem("hem", 4*CM))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// pleatedPanel has a pleat of each kind.
func pleatedPanel(t *testing.T) Piece {
	t.Helper()
	p, err := NewPiece("panel", Edge{"hem", Line(Pt(0, 0), Pt(24*CM, 0))}, Edge{"side seam", Line(Pt(24*CM, 0), Pt(24*CM, 50*CM))},
		Edge{"waist", Line(Pt(24*CM, 50*CM), Pt(0, 50*CM))}, Edge{"centre front", Line(Pt(0, 50*CM), Pt(0, 0))})
	if err != nil {
		t.Fatal(err)
	}
	var pleats []PleatAt
	for k := KnifePleat; k <= Tuck; k++ {
		at := Length(k)*4.5*CM + 3*CM
		pleats = append(pleats, PleatAt{Name: k.String(), Kind: k, From: OnEdge{"waist", at}, To: OnEdge{"hem", 24*CM - at}, Depth: 2 * CM})
	}
	if p, err = p.Pleated(pleats...); err != nil {
		t.Fatal(err)
	}
	return p
}

func TestCutLineIsDrawn(t *testing.T) {
	p := finishedSkirt(t)
	svg := p.SVG()
	checkLegible(t, svg, 9/(96/25.4))
	for _, words := range []string{"cut line", "stitch line, allowance outside", "fold of the cloth", "fold line", "allowance 1.5 cm", "hem 4 cm folded back", "lengths on the stitch line"} {
		if !strings.Contains(svg, ">"+words+"<") {
			t.Errorf("the drawing does not say %q", words)
		}
	}
	if strings.Contains(svg, "no seam allowance") {
		t.Error("the drawing says that there is no seam allowance")
	}
}

// No run of the cut line is drawn as a cut along the fold of the cloth, and all
// runs together are the cut line.
func TestCutLineOpensAtTheFold(t *testing.T) {
	for _, piece := range finishedSkirt(t).Pieces() {
		c := pictureCutOf(piece)
		if c == nil || c.err != nil {
			t.Fatalf("%s: %+v", piece.Name(), c)
		}
		var sum, folded Length
		for _, r := range c.runs(piece) {
			sum += r.path.Length()
			if r.onFold {
				folded += r.path.Length()
			}
		}
		if (sum - c.line.Length()).Abs() > 0.001*MM {
			t.Errorf("%s: runs of %s, cut line of %s", piece.Name(), sum, c.line.Length())
		}
		if piece.Fold() == "" {
			if folded != 0 {
				t.Errorf("%s has no fold, and %s of its cut line lies on one", piece.Name(), folded)
			}
			continue
		}
		if edge, _ := piece.EdgeLength(piece.Fold()); folded < edge-0.1*MM {
			t.Errorf("%s: %s of the cut line on the fold, whose edge is %s", piece.Name(), folded, edge)
		}
	}
}

func TestMissingCutLineIsWritten(t *testing.T) {
	p, err := onePiece(t).Pieces()[0].WithAllowance(Allowance{Edge: onePiece(t).Pieces()[0].EdgeNames()[0], Width: 1 * CM})
	if err != nil {
		t.Fatal(err)
	}
	if svg := p.SVG(); !strings.Contains(svg, "NO CUT LINE") {
		t.Error("the drawing does not say that edges have no allowance")
	}
}

func TestPleatsAreDrawnWithTheirTurns(t *testing.T) {
	p := pleatedPanel(t)
	svg := p.SVG()
	checkLegible(t, svg, 9/(96/25.4))
	for _, words := range []string{"knife pleat takes 4 cm", "box pleat takes 8 cm", "inverted pleat takes 8 cm", "tuck takes 4 cm", "folded this way", "fold line"} {
		if !strings.Contains(svg, ">"+words+"<") {
			t.Errorf("the drawing does not say %q", words)
		}
	}
	if again := p.SVG(); again != svg {
		t.Error("drawn twice, the drawings differ")
	}
	// A fold is turned by a depth: 2 cm for box, 4 cm (two layers) for a knife
	// pleat, whose fold comes to lie on its placement line.
	for _, pl := range p.Pleats() {
		for _, turn := range pl.pleatTurns() {
			a, b := p.pleatPathAt(pl, turn[0]).Start(), p.pleatPathAt(pl, turn[1]).Start()
			want := 2 * CM
			if pl.Kind == KnifePleat || pl.Kind == InvertedPleat {
				want = 4 * CM
			}
			if (a.Dist(b) - want).Abs() > 0.01*MM {
				t.Errorf("%s: its arrow is %s long, want %s", pl.Name, a.Dist(b), want)
			}
		}
	}
}
