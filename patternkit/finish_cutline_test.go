package patternkit

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// finishBlocks are a bodice and a sleeve of each size of the misses' chart.
func finishBlocks(t testing.TB) []Piece {
	t.Helper()
	chart, err := MissesChart(CurvyWaist)
	if err != nil {
		t.Fatal(err)
	}
	var all []Piece
	for _, size := range chart.Sizes() {
		body, err := size.Body.Estimated()
		if err != nil {
			t.Fatal(err)
		}
		bodice, err := DraftBodice(body, DefaultBodice())
		if err != nil {
			t.Fatalf("size %s: %v", size.Name, err)
		}
		o := DefaultSleeve()
		o.CapHeight = bodice.Armhole().Length() * 0.3
		sleeve, err := DraftSleeve(bodice.Armhole(), o)
		if err != nil {
			t.Fatalf("size %s: %v", size.Name, err)
		}
		for _, p := range append(bodice.Pieces(), sleeve.Pieces()...) {
			p.name += " " + size.Name
			all = append(all, p)
		}
	}
	return all
}

// finishChecked computes a cut line and checks by sampling that no edge has
// less than its allowance: from the stitch line square out, the cut line comes
// at the width or later. Edges folded back are left out at their ends, which
// lie inward where the piece widens away from the fold.
func finishChecked(t testing.TB, p Piece) Path {
	t.Helper()
	cut, err := p.CutLine()
	if err != nil {
		// The one reason on these blocks.
		if !strings.Contains(err.Error(), "meet its edge bends in with a radius") {
			t.Errorf("%v: %v", p.Allowances(), err)
		}
		return Path{}
	}
	if !cut.Closed() || !cut.Simple() || cut.Area() < p.Area()-1 && len(p.Darts()) == 0 {
		t.Errorf("%s with %v: closed %v, simple %v, %.0f mm² around %.0f", p.Name(), p.Allowances(), cut.Closed(), cut.Simple(), cut.Area(), p.Area())
	}
	sides, err := p.cutSides()
	if err != nil {
		t.Fatal(err)
	}
	const samples = 60
	for _, s := range sides {
		for i := range samples {
			at := s.stitch.Length() * (Length(i) + 0.5) / samples
			if s.Width == 0 || s.Corner == FoldedBack && (at < 3*s.Width || at > s.stitch.Length()-3*s.Width) {
				continue
			}
			from, out := s.stitch.At(at), s.stitch.TangentAt(at).Perp().Neg()
			ray := Line(from.Add(out.Scale(1e-3)), from.Add(out.Scale(float64(s.Width)-0.01)))
			if x := cut.Intersections(ray); len(x) > 0 && cut.Dist(ray.End()) > 0.01 && !onFold(sides, x[0].At) {
				t.Errorf("%s with %v: %q has %v at %v along it", p.Name(), p.Allowances(), s.Edge, x[0].At.Dist(from), at)
				break
			}
		}
	}
	return cut
}

// onFold reports whether a place is on the line of the fold, beyond which the
// cloth goes on.
func onFold(sides []cutSide, at Point) bool {
	return slices.ContainsFunc(sides, func(s cutSide) bool { return s.fold && s.onLine(at) })
}

// Random widths and corners on the blocks of every size of the chart.
func TestCutLineNeverLess(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 4))
	refused := 0
	for _, p := range finishBlocks(t) {
		for range 6 {
			q, err := p.WithAllowanceEverywhere(Length(5 + 20*random.Float64()))
			if err != nil {
				t.Fatal(err)
			}
			for _, edge := range p.EdgeNames() {
				if edge == p.Fold() || p.isMouth(edge) || random.IntN(3) == 0 {
					continue
				}
				a := Allowance{Edge: edge, Width: Length(2 + 28*random.Float64()), Corner: Corner(random.IntN(2))}
				if random.IntN(6) == 0 {
					a.Width = 0
				}
				if edge == "hem" || edge == "waist" {
					a = Hem(edge, Length(10+40*random.Float64()))
				}
				if q, err = q.WithAllowance(a); err != nil {
					t.Fatal(err)
				}
			}
			if finishChecked(t, q).Empty() {
				refused++
			}
		}
	}
	if refused > 20 {
		t.Errorf("%d cut lines are refused", refused)
	}
}

// With one width everywhere the cut line is nowhere nearer to the stitch line
// than that, and only at corners further away; on the fold it runs straight.
func TestCutLineKeepsCurves(t *testing.T) {
	const width = 15
	for _, p := range finishBlocks(t) {
		q, err := p.WithAllowanceEverywhere(width)
		if err != nil {
			t.Fatal(err)
		}
		cut := finishChecked(t, q)
		sides, err := q.cutSides()
		if err != nil {
			t.Fatal(err)
		}
		for i := range 1000 {
			at := cut.At(cut.Length() * Length(i) / 1000)
			near, atFold, corner := Length(math.Inf(1)), false, false
			for _, s := range sides {
				if s.fold {
					line := lengthenedOn(lengthened(s.stitch, 20*CM), 20*CM)
					atFold = line.Dist(at) < 1e-6
					continue
				}
				along, foot := s.stitch.Nearest(at)
				if d := foot.Dist(at); d < near {
					near, corner = d, s.mouth || along < 1e-6 || along > s.stitch.Length()-1e-6
				}
			}
			if !atFold && (near < width-0.01 || near > width+0.01 && !corner) {
				t.Fatalf("%s: %v is %v from the stitch line", q.Name(), at, near)
			}
		}
	}
}

// Moved anywhere, a dart has a cut line across its mouth that comes down into
// the piece where the edge bends in, as on the neckline, or stands out. Where it
// would be pressed onto the fold of the cloth or another dart, it can to the
// other side.
func TestCutLineOfMovedDarts(t *testing.T) {
	done, over := 0, 0
	for _, p := range finishBlocks(t) {
		if p.Fold() != "centre front" {
			continue
		}
		for _, to := range []string{"side seam", "armhole", "neckline", "waist"} {
			length, err := p.EdgeLength(to)
			if err != nil {
				t.Fatal(err)
			}
			for _, part := range []Length{0.25, 0.5, 0.75} {
				moved, err := p.PivotDart("bust dart", DartMove{To: OnEdge{to, part * length}, Name: "moved dart"})
				if err != nil {
					continue // the way there crosses the waist dart
				}
				if moved, err = moved.WithAllowanceEverywhere(15); err != nil {
					t.Fatal(err)
				}
				if pressedOver(t, &moved) {
					over++
				}
				finishChecked(t, moved)
				done++
			}
		}
	}
	if done < 110 || over > 30 {
		t.Errorf("%d cut lines, %d with a dart pressed to the other side", done, over)
	}
}
