package patternkit

import (
	"math/rand/v2"
	"strings"
	"testing"

	"patternkit/patternkit/geom"
)

// On a straight edge square to the folds the mouth is straight; on a sloping
// one it zigzags, its layers as steep as the edge: folded at 45° the mouth of
// a 2 cm deep knife pleat is 2·√2 times 2 cm long.
func TestPleatFoldByHand(t *testing.T) {
	square := styleMust[Piece](t)(NewPiece("panel", Edge{"hem", Line(Pt(0, 0), Pt(400, 0))}, Edge{"side", Line(Pt(400, 0), Pt(400, 400))},
		Edge{"waist", Line(Pt(400, 400), Pt(0, 400))}, Edge{"other side", Line(Pt(0, 400), Pt(0, 0))}))
	slope := styleMust[Piece](t)(NewPiece("panel", Edge{"hem", Line(Pt(0, 0), Pt(400, 0))}, Edge{"side", Line(Pt(400, 0), Pt(400, 800))},
		Edge{"waist", Line(Pt(400, 800), Pt(0, 400))}, Edge{"other side", Line(Pt(0, 400), Pt(0, 0))}))
	for _, kind := range []PleatKind{KnifePleat, BoxPleat, InvertedPleat, Tuck} {
		for _, towardStart := range []bool{false, true} {
			at := PleatAt{Name: "pleat", Kind: kind, From: OnEdge{"waist", 200}, To: OnEdge{"hem", 200}, Depth: 20, TowardStart: towardStart}
			flat := styleMust[Path](t)(styleMust[Piece](t)(square.Pleated(at)).PleatFold("pleat"))
			if want := kind.depths() * 20; (flat.Length() - want).Abs() > 1e-6 {
				t.Errorf("%v on a square edge: %v long, want %v", kind, flat.Length(), want)
			}
			at.From, at.To = OnEdge{"waist", 200 * 1.4142135623730951}, OnEdge{"hem", 200}
			q := styleMust[Piece](t)(slope.Pleated(at))
			steep := styleMust[Path](t)(q.PleatFold("pleat"))
			if want := kind.depths() * 20 * 1.4142135623730951; (steep.Length() - want).Abs() > 1e-6 {
				t.Errorf("%v on a slope of 45°: %v long, want %v", kind, steep.Length(), want)
			}
			mouth := styleMust[[]Edge](t)(q.Edge("pleat mouth"))[0].Path
			if steep.Start().Dist(mouth.Start()) > 1e-6 || steep.End().Dist(mouth.End()) > 1e-6 {
				t.Errorf("%v: runs %v to %v, want across its mouth %v to %v", kind, steep.Start(), steep.End(), mouth.Start(), mouth.End())
			}
		}
	}
}

// Wherever a pleat is laid, what begins its first layer, folded over at its first line, lies
// on the edge beside it.
func TestPleatFoldLiesOnTheEdge(t *testing.T) {
	done := 0
	slashTrial(t, 13, 8, func(r *rand.Rand, pattern Pattern, p Piece, from, to OnEdge) error {
		kind := PleatKind(r.IntN(4))
		q, err := p.Pleated(PleatAt{Name: "new pleat", Kind: kind, From: from, To: to, Depth: Length(3 + 10*r.Float64()), Widens: Length(5 * r.Float64())})
		if err != nil {
			return err
		}
		fold, err := q.PleatFold("new pleat")
		if err != nil {
			if !strings.Contains(err.Error(), "too short") {
				t.Error(err)
			}
			return nil
		}
		done++
		mouth := styleMust[[]Edge](t)(q.Edge("new pleat mouth"))[0].Path
		if fold.Start().Dist(mouth.Start()) > 1e-6 || fold.End().Dist(mouth.End()) > 1e-6 {
			t.Errorf("%s %v: fold runs %v to %v, mouth %v to %v", p.Name(), kind, fold.Start(), fold.End(), mouth.Start(), mouth.End())
		}
		line := styleMust[[2]Point](t)(q.pleatLineAt(styleMust[Pleat](t)(q.Pleat("new pleat")), mouth, 0))
		layers := map[PleatKind]Length{KnifePleat: 2, Tuck: 2, BoxPleat: 4, InvertedPleat: 4}[kind]
		over := geom.Mirror(line[0], line[1]).Apply(fold.At(fold.Length() / layers / 10))
		path := q.besideMouth(Dart{Mouth: "new pleat mouth"}, true).Path
		if s, at := path.Nearest(over); at.Dist(over) > 1e-5 {
			t.Errorf("%s %v: folded, the first layer is %v off the edge at %v", p.Name(), kind, at.Dist(over), s)
		}
		return nil
	})
	if done < 100 {
		t.Errorf("%d pleats folded, want at least 100", done)
	}
}

func TestPleatFoldErrors(t *testing.T) {
	if _, err := pleatedStrip(t).PleatFold("pleat"); err == nil || !strings.Contains(err.Error(), "has no fold line at") {
		t.Errorf("without fold lines: %v", err)
	}
	if _, err := pleatedStrip(t).PleatFold("tuck"); err == nil || !strings.Contains(err.Error(), `has no pleat "tuck"`) {
		t.Error(err)
	}
}
