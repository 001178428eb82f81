package patternkit

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// finishRandomPiece is a star of 4 to 9 corners, 10 to 40 cm from its middle,
// joined by lines and bowed curves, with a width and a corner of its own on
// each edge; nothing where its edges cross.
func finishRandomPiece(random *rand.Rand) (Piece, bool) {
	n := 4 + random.IntN(6)
	corners := make([]Point, n)
	for i := range corners {
		corners[i] = Polar(Length(100+300*random.Float64()), Angle(2*math.Pi*(float64(i)+0.6*random.Float64())/float64(n)))
	}
	edges := make([]Edge, n)
	for i := range edges {
		a, b := corners[i], corners[(i+1)%n]
		edges[i] = Edge{fmt.Sprintf("edge %d", i+1), Line(a, b)}
		if random.IntN(2) == 0 {
			bow := func() Point { return b.Sub(a).Perp().Scale(0.6*random.Float64() - 0.3) }
			edges[i].Path = Cubic(a, a.Lerp(b, 0.35).Add(bow()), a.Lerp(b, 0.65).Add(bow()), b)
		}
	}
	p, err := NewPiece("star", edges...)
	if err != nil {
		return Piece{}, false
	}
	for _, e := range edges {
		a := Allowance{Edge: e.Name, Width: Length(3 + 20*random.Float64()), Corner: Corner(random.IntN(2))}
		switch random.IntN(8) {
		case 0:
			a = Allowance{Edge: e.Name}
		case 1:
			a = Hem(e.Name, Length(10+20*random.Float64()))
		}
		if p, err = p.WithAllowance(a); err != nil {
			return Piece{}, false
		}
	}
	return p, true
}

// finishProperty checks what holds of every cut line of a random piece, and
// reports whether there was one, and should be: folded back edges at flat and
// hollow corners and bends tighter than their allowance are refused.
func finishProperty(t testing.TB, seed uint64) (made, wanted bool) {
	p, ok := finishRandomPiece(rand.New(rand.NewPCG(seed, 1)))
	if !ok {
		return false, false
	}
	if _, err := p.CutLine(); err != nil {
		refused := strings.Contains(err.Error(), "want a corner of 30° to 150°") || strings.Contains(err.Error(), "its edge bends in with a radius")
		return false, !refused
	}
	finishChecked(t, p)
	return true, true
}

func TestCutLineOfRandomPieces(t *testing.T) {
	made, wanted := 0, 0
	for seed := range uint64(400) {
		m, w := finishProperty(t, seed)
		if t.Failed() {
			t.Fatalf("seed %d", seed)
		}
		if m {
			made++
		}
		if w {
			wanted++
		}
	}
	if made < 250 || made < wanted-4 {
		t.Errorf("%d of %d random pieces have a cut line", made, wanted)
	}
}

func FuzzCutLine(f *testing.F) {
	for seed := range uint64(4) {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, seed uint64) { finishProperty(t, seed) })
}
