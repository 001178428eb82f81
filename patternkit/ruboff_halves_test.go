package patternkit

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
)

// bare is a piece with nothing but its edges and its fold, as a trace is.
func bare(t testing.TB, p Piece) Piece {
	t.Helper()
	out, err := NewPiece(p.Name(), p.Edges()...)
	if err == nil && p.Fold() != "" {
		out, err = out.WithFold(p.Fold())
	}
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func topPieces(t testing.TB, top FlatTop) (back, front, sleeve Piece) {
	t.Helper()
	p := flatPattern(t, top)
	must := styleMust[Piece](t)
	return must(p.Piece("back")), must(p.Piece("front")), must(p.Piece("sleeve"))
}

// Bare pieces, whichever way they lie, are sewn to the top that they came from.
func TestSewTop(t *testing.T) {
	want := flatPattern(t, eveningTop())
	back, front, sleeve := topPieces(t, eveningTop())
	must := styleMust[Piece](t)
	for name, pieces := range map[string][3]Piece{
		"as drafted":   {bare(t, back), bare(t, front), bare(t, sleeve)},
		"front turned": {bare(t, back), must(bare(t, front).Mirrored()), bare(t, sleeve)},
		"all turned":   {must(bare(t, back).Mirrored()), must(bare(t, front).Mirrored()), must(bare(t, sleeve).Mirrored())},
		"other names":  {must(bare(t, back).Renamed("behind")), bare(t, front), bare(t, sleeve)},
		"complete":     {back, front, sleeve},
	} {
		t.Run(name, func(t *testing.T) {
			p, err := SewTop("top", pieces[0], pieces[1], pieces[2])
			if err != nil {
				t.Fatal(err)
			}
			if walk := p.Walk(); !walk.OK() {
				t.Errorf("%v", walk)
			}
			if corners := p.Corners(); !corners.OK() {
				t.Errorf("%v", corners)
			}
			for i, row := range p.Walk().Rows() {
				w := want.Walk().Rows()[i]
				if row.Seam != w.Seam || (row.LengthA-w.LengthA).Abs() > 0.01*MM || (row.Ease-w.Ease).Abs() > 0.01*MM || len(row.Notches) < 3 && row.Seam == "armhole" {
					t.Errorf("seam %q of %v with ease %v, want %q of %v with %v", row.Seam, row.LengthA, row.Ease, w.Seam, w.LengthA, w.Ease)
				}
			}
			// The body is measured on the lines that were added.
			ease := styleMust[EaseTable](t)(p.Ease(demoBody(t), Cloth{}))
			for level, around := range map[string]Length{"bust": 96 * CM, "biceps": 35 * CM} {
				if row, err := ease.Row(level); err != nil || (row.Garment-around).Abs() > 0.01*MM {
					t.Errorf("%s of %v (%v), want %v", level, row.Garment, err, around)
				}
			}
			for _, point := range []string{"side neck point", "shoulder point", "underarm point"} {
				for _, piece := range p.Pieces()[:2] {
					if _, err := piece.Point(point); err != nil {
						t.Error(err)
					}
				}
			}
		})
	}
}

func TestSewTopRefuses(t *testing.T) {
	back, front, sleeve := topPieces(t, eveningTop())
	renamed := styleMust[Piece](t)(bare(t, front).RenamedEdge("armhole", "scye"))
	for _, c := range []struct {
		back, front, sleeve Piece
		want                string
	}{
		{bare(t, back), renamed, bare(t, sleeve), `has no edge "armhole"`},
		{bare(t, back).WithoutFold(), bare(t, front), bare(t, sleeve), `"back" lies on no fold`},
		{bare(t, back), bare(t, front), bare(t, back), `piece "sleeve" has no edge "back underarm"`},
	} {
		if _, err := SewTop("top", c.back, c.front, c.sleeve); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("the error says %v, want it to say %q", err, c.want)
		}
	}
}

// Two halves that differ give the half in the middle; two that are alike give
// themselves.
func TestAverageHalves(t *testing.T) {
	other := eveningTop()
	other.BackLength += 8 * MM
	other.HalfBust += 12 * MM
	other.HalfHem += 4 * MM
	left, _, _ := topPieces(t, eveningTop())
	right, _, _ := topPieces(t, other)
	turned := styleMust[Piece](t)(right.Mirrored())
	halves, err := AverageHalves(left, turned)
	if err != nil {
		t.Fatal(err)
	}
	mean := halves.Piece()
	for _, edge := range []string{"centre back", "hem", "side seam", "armhole", "shoulder", "neckline"} {
		l, r, m := styleMust[Length](t)(left.EdgeLength(edge)), styleMust[Length](t)(right.EdgeLength(edge)), styleMust[Length](t)(mean.EdgeLength(edge))
		if (m - (l+r)/2).Abs() > 0.2*MM {
			t.Errorf("%q is %.2f mm, between %.2f and %.2f", edge, m.MM(), l.MM(), r.MM())
		}
	}
	if mean.Fold() != "centre back" || len(mean.Notches()) != len(left.Notches()) || len(mean.Internals()) != len(left.Internals()) || len(mean.Points()) != len(left.Points()) {
		t.Errorf("the mean has lost something: %v", mean)
	}
	u, l := mean.at("underarm point"), left.at("underarm point")
	if (u.X - l.X - 3*MM).Abs() > 0.001*MM {
		t.Errorf("the underarm lies at %v, half way would be 3 mm out from %v", u, l)
	}
	if row := halves.Table().Rows[0]; row[0] != "centre back" || !strings.HasPrefix(row[3], "−8") {
		t.Errorf("the table says %q", row)
	}
	if pic, err := halves.Picture(); err != nil || !strings.Contains(pic.SVG(), ">left half<") || !strings.Contains(pic.SVG(), "turned over<") {
		t.Errorf("the picture names no halves (%v)", err)
	}
	same := styleMust[Halves](t)(AverageHalves(left, styleMust[Piece](t)(left.Mirrored())))
	if !sameLines(left, same.Piece()) {
		t.Error("two equal halves give another piece")
	}
	// A sleeve is averaged with its own mirror image where it lies on no fold.
	_, _, sleeve := topPieces(t, eveningTop())
	if _, err := AverageHalves(bare(t, sleeve), styleMust[Piece](t)(bare(t, sleeve).Mirrored())); err != nil {
		t.Error(err)
	}
}

func TestAverageHalvesRefuses(t *testing.T) {
	left, front, _ := topPieces(t, eveningTop())
	big := eveningTop()
	big.HalfBust, big.HalfHem, big.HalfHip, big.HalfWaist, big.HalfBiceps = 55*CM, 58.5*CM, 58*CM, 53*CM, 19.5*CM
	wide, _, _ := topPieces(t, big)
	for _, c := range []struct {
		right Piece
		want  string
	}{
		{left, "turned over by Mirrored first"},
		{styleMust[Piece](t)(front.Mirrored()), "same names"},
		{styleMust[Piece](t)(wide.Mirrored()), "apart where edge"},
	} {
		if _, err := AverageHalves(left, c.right); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("the error says %v, want it to say %q", err, c.want)
		}
	}
}

// Pieces that were pulled about by up to 6 mm at each corner are trued: every
// seam meets, and no corner moved by more than the slip.
func TestTrueSeams(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for trial := range 12 {
		t.Run(fmt.Sprint(trial), func(t *testing.T) {
			back, front, sleeve := topPieces(t, eveningTop())
			slip := func(p Piece, edges ...string) Piece {
				p = bare(t, p)
				for _, edge := range edges {
					run, _ := p.run(edge)
					at := p.edges[run[0]].Path.Start()
					p = styleMust[Piece](t)(p.WithCornerAt(edge, at.Add(Pt(Length(r.Float64()*8-4), Length(r.Float64()*8-4)))))
				}
				return p
			}
			p, err := SewTop("top", slip(back, "side seam", "armhole", "shoulder", "neckline"), slip(front, "shoulder", "armhole", "side seam", "hem"), slip(sleeve, "cap", "back underarm", "front underarm"))
			if err != nil {
				t.Fatal(err)
			}
			trued, err := p.TrueSeams()
			if err != nil {
				t.Fatal(err)
			}
			after := trued.Pattern()
			if walk := after.Walk(); !walk.OK() {
				t.Errorf("%v", walk)
			}
			for _, c := range after.Corners().Faults() {
				if !strings.Contains(c.Place, "fold") {
					t.Errorf("%s of %s: %s", c.Place, c.Pieces, c.Verdict)
				}
			}
			for i, piece := range after.Pieces() {
				for j, e := range piece.Edges() {
					if d := e.Path.Start().Dist(p.Pieces()[i].Edges()[j].Path.Start()); d > 12*MM {
						t.Errorf("the corner where %q of %q begins moved by %v", e.Name, piece.Name(), d)
					}
				}
			}
			if len(trued.Table().Rows) < 4 {
				t.Errorf("the table says too little: %v", trued)
			}
		})
	}
}

func TestTrueSeamsRefuses(t *testing.T) {
	back, front, sleeve := topPieces(t, eveningTop())
	run, _ := front.run("hem")
	corner := front.edges[run[0]].Path.Start()
	long := styleMust[Piece](t)(front.WithCornerAt("hem", corner.Add(Pt(0, -40))))
	p := styleMust[Pattern](t)(SewTop("top", back, long, sleeve))
	if _, err := p.TrueSeams(); err == nil || !strings.Contains(err.Error(), "side seam misses by") {
		t.Errorf("the error says %v", err)
	}
}

// What needs no truing stays as it is.
func TestTrueSeamsLeavesAlone(t *testing.T) {
	p := flatPattern(t, eveningTop())
	trued := styleMust[Trued](t)(p.TrueSeams())
	for i, piece := range trued.Pattern().Pieces() {
		if !sameLines(p.Pieces()[i], piece) {
			t.Errorf("%q was changed", piece.Name())
		}
	}
}
