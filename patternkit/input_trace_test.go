package patternkit

import (
	"math"
	"math/rand"
	"strings"
	"testing"

	"patternkit/patternkit/geom"
)

// tracedFront is the front of a top whose every corner is known, as a hand
// that wobbles by up to the given length would trace it.
func tracedFront(wobble Length) (edges []Edge, trace Trace) {
	edges = []Edge{
		{"hem", Cubic(Pt(0, 0), Pt(90, 0), Pt(170, 5), Pt(262, 12))},
		{"side seam", Line(Pt(262, 12), Pt(240, 330))},
		{"armhole", Cubic(Pt(240, 330), Pt(165, 325), Pt(140, 425), Pt(170, 540))},
		{"shoulder", Line(Pt(170, 540), Pt(98, 565))},
		{"neckline", Cubic(Pt(98, 565), Pt(80, 500), Pt(60, 455), Pt(0, 455))},
		{"centre front", Line(Pt(0, 455), Pt(0, 0))},
	}
	random := rand.New(rand.NewSource(7))
	var points []Point
	trace = Trace{Fold: "centre front", Within: 1.5 * MM}
	for _, e := range edges {
		l := e.Path.Length()
		n := math.Ceil(l.MM() / 20)
		points = append(points, e.Path.Start())
		for i := 1.0; i < n; i++ {
			off := Pt(Length(random.Float64()*2-1), Length(random.Float64()*2-1)).Scale(float64(wobble) / math.Sqrt2)
			points = append(points, e.Path.At(l*Length(i/n)).Add(off))
		}
		about := Pt(Length(random.Float64()*8-4), Length(random.Float64()*8-4))
		trace.Edges = append(trace.Edges, NamedPoint{e.Name, e.Path.Start().Add(about)})
	}
	trace.Outline = geom.Polyline(append(points, points[0])...)
	return edges, trace
}

// A trace of a known piece gives that piece back, from corners named 4 mm
// beside where they are: its lengths, its fold and the kinds of its edges.
func TestTraceGivesThePieceBack(t *testing.T) {
	for _, wobble := range []Length{0, 0.5 * MM, 1 * MM} {
		edges, trace := tracedFront(wobble)
		p, err := trace.Piece("front")
		if err != nil {
			t.Fatalf("wobble of %v: %v", wobble, err)
		}
		if p.Fold() != "centre front" {
			t.Errorf("the fold is %q", p.Fold())
		}
		for _, want := range edges {
			got, err := p.Edge(want.Name)
			if err != nil || len(got) != 1 {
				t.Fatalf("%q: %v, %v", want.Name, got, err)
			}
			// A corner is found to a sample of 0.25 mm; a line of 20 mm bows
			// from the armhole by a little.
			near := 0.5*MM + wobble
			for _, end := range []Length{0, got[0].Path.Length() / 2, got[0].Path.Length()} {
				if d := want.Path.Dist(got[0].Path.At(end)); d > near {
					t.Errorf("wobble of %v: %q is %v from the piece at %v, want %v", wobble, want.Name, d, end, near)
				}
			}
			if wantCurve := want.Path.Segments()[0].Curve; got[0].Path.Segments()[0].Curve != wantCurve {
				t.Errorf("wobble of %v: %q is curved: %v, want %v", wobble, want.Name, !wantCurve, wantCurve)
			}
		}
		for _, r := range (mustPattern(t, p)).Corners().Rows() {
			if r.Fault {
				t.Errorf("wobble of %v: %s: %s", wobble, r.Place, r.Verdict)
			}
		}
		// The other way around it is the same trace.
		trace.Outline = trace.Outline.Reversed()
		back, err := trace.Piece("front")
		if err != nil {
			t.Fatal(err)
		}
		if d := math.Abs(back.Area() - p.Area()); d > 100 {
			t.Errorf("traced clockwise the area differs by %.1f mm²", d)
		}
	}
}

func mustPattern(t *testing.T, p Piece) Pattern {
	t.Helper()
	pattern, err := NewPattern("traced", p)
	if err != nil {
		t.Fatal(err)
	}
	return pattern
}

// The least squares curve of a curve with a single sweep is that curve, to
// less than the width of a pencil line.
func TestTraceFitsACubic(t *testing.T) {
	want := Cubic(Pt(0, 0), Pt(30, 80), Pt(90, 120), Pt(200, 100))
	var points []Point
	for i := range 65 {
		points = append(points, want.At(want.Length()*Length(i)/64))
	}
	got, off, _, err := traceFit{path: geom.Polyline(points...)}.fair(1*MM, false)
	if err != nil {
		t.Fatal(err)
	}
	if off > 0.05*MM {
		t.Errorf("the curve leaves its own trace by %v mm", off.MM())
	}
	if d := (got.Length() - want.Length()).Abs(); d > 0.05*MM {
		t.Errorf("its length differs by %v mm", d.MM())
	}
}

func TestTraceRefuses(t *testing.T) {
	for _, c := range []struct {
		name string
		edit func(*Trace)
		want []string
	}{
		{"no outline", func(tr *Trace) { tr.Outline = Path{} }, []string{"outline", "once around"}},
		{"far too long", func(tr *Trace) { tr.Outline = tr.Outline.Transformed(geom.Scale(1000)) }, []string{"long", "6 cm to 10000 cm", "millimetres"}},
		{"open", func(tr *Trace) { tr.Outline, _ = tr.Outline.Between(0, tr.Outline.Length()-60) }, []string{"ends 6 cm away"}},
		{"no tolerance", func(tr *Trace) { tr.Within = 0 }, []string{"Within", "0.01 cm"}},
		{"far corner", func(tr *Trace) { tr.Edges[1].At = Pt(400, 0) }, []string{`"side seam"`, "from the trace"}},
		{"wrong order", func(tr *Trace) { tr.Edges[1], tr.Edges[2] = tr.Edges[2], tr.Edges[1] }, []string{"counterclockwise", "order"}},
		{"a corner without a name", func(tr *Trace) { tr.Edges = append(tr.Edges[:1], tr.Edges[2:]...) }, []string{`"hem"`, "leaves the trace by", "name the corner"}},
		{"one edge", func(tr *Trace) { tr.Edges = tr.Edges[:1] }, []string{"1 edges"}},
		{"no such fold", func(tr *Trace) { tr.Fold = "centre back" }, []string{`"centre back"`}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, trace := tracedFront(0.5 * MM)
			c.edit(&trace)
			p, err := trace.Piece("front")
			if err == nil {
				t.Fatalf("gives %v", p)
			}
			for _, w := range c.want {
				if !strings.Contains(err.Error(), w) {
					t.Errorf("the error says %q, want it to say %q", err, w)
				}
			}
		})
	}
}

func TestTraceTable(t *testing.T) {
	_, trace := tracedFront(1 * MM)
	table, err := trace.Table()
	if err != nil {
		t.Fatal(err)
	}
	if len(table.Rows) != 6 || table.Rows[1][1] != "straight" || table.Rows[2][1] != "curved" {
		t.Errorf("the table is\n%s", table)
	}
}
