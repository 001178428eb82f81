package patternkit

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
)

// scanOf writes pieces as a scan that a drawing program has traced: one path
// each, points every 1.5 cm that wobble, in millimetres with y down.
func scanOf(wobble Length, pieces ...Piece) string {
	r := rand.New(rand.NewPCG(11, 5))
	var b strings.Builder
	b.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" width="3000mm" height="1000mm" viewBox="0 -1000 3000 1000">` + "\n")
	for i, p := range pieces {
		fmt.Fprintf(&b, `<path id=%q d="M`, p.Name())
		for _, e := range p.Edges() {
			n := max(1, int(e.Path.Length()/(15*MM)))
			for k := range n {
				q := e.Path.At(e.Path.Length() * Length(k) / Length(n))
				if k > 0 {
					q = q.Add(Pt(Length(r.Float64()*2-1)*wobble, Length(r.Float64()*2-1)*wobble))
				}
				fmt.Fprintf(&b, " %.2f,%.2f", q.X+Length(i)*800, -q.Y)
			}
		}
		b.WriteString(" Z\"/>\n")
	}
	b.WriteString("</svg>\n")
	return b.String()
}

// A top of three traced pieces: outlines of a scan, fair edges, seams, truing;
// and what was measured on the garment is there again.
func TestTopOfTracedPieces(t *testing.T) {
	back, front, sleeve := topPieces(t, eveningTop())
	outlines, err := OutlinesFromSVG(strings.NewReader(scanOf(0.5*MM, back, front, sleeve)))
	if err != nil || len(outlines) != 3 {
		t.Fatalf("%d outlines, %v", len(outlines), err)
	}
	// A cap bends one way, then the other: its parts begin at the notches and
	// the crown, and bear one name.
	trace := func(i int, p Piece, fold string) Piece {
		about := Trace{Outline: outlines[i].Path, Fold: fold, Within: 1.5 * MM}
		for _, e := range p.Edges() {
			corners := []Length{0}
			if e.Name == "cap" {
				for _, n := range p.Notches() {
					corners = append(corners, n.At)
				}
			}
			for _, s := range corners {
				about.Edges = append(about.Edges, NamedPoint{e.Name, e.Path.At(s).Add(Pt(Length(i)*800, 0))})
			}
		}
		return styleMust[Piece](t)(about.Piece(p.Name()))
	}
	traced, err := SewTop("traced top", trace(0, back, "centre back"), trace(1, front, "centre front"), trace(2, sleeve, ""))
	if err != nil {
		t.Fatal(err)
	}
	trued, err := traced.TrueSeams()
	if err != nil {
		t.Fatal(err)
	}
	p := trued.Pattern()
	if walk := p.Walk(); !walk.OK() {
		t.Errorf("%v", walk)
	}
	for _, c := range p.Corners().Faults() {
		t.Errorf("%s of %s: %s", c.Place, c.Pieces, c.Verdict)
	}
	ease := styleMust[EaseTable](t)(p.Ease(demoBody(t), Cloth{}))
	for level, around := range map[string]Length{"bust": 96 * CM, "biceps": 35 * CM} {
		if row, err := ease.Row(level); err != nil || (row.Garment-around).Abs() > 8*MM {
			t.Errorf("%s is %v around (%v), the garment %v", level, row.Garment, err, around)
		}
	}
	// The head of the sleeve, traced in four parts, is one smooth edge.
	head := styleMust[[]Edge](t)(bareOf(t, p, "sleeve").Edge("cap"))
	if len(head) != 1 || len(unkinked(head[0].Path)) != 1 {
		t.Errorf("the cap is in %d parts, with %d kinks", len(head), len(unkinked(head[0].Path))-1)
	}
	// What was traced can be designed on.
	made, err := MakeGatheredTop(p, DefaultGatheredTop())
	if err != nil {
		t.Fatal(err)
	}
	if walk := made.Pattern().Walk(); !walk.OK() {
		t.Errorf("%v", walk)
	}
}
