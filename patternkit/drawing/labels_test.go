package drawing

import (
	"fmt"
	"math"
	"testing"

	"patternkit/patternkit/geom"
)

// crowdedPage has a fan of lines and a label for each, more than fit beside
// them.
func crowdedPage() *Page {
	p := NewPage("A crowd", "A fan of lines with a label at the end of each, and seven labels for one point.")
	for i := range 24 {
		d := geom.Polar(1, geom.Angle(i)*15*geom.Degree)
		p.Stroke(geom.Line(d.Scale(6), d.Scale(40)), thin)
		p.Label(Label{At: d.Scale(40), S: fmt.Sprintf("line %d", i+1), Font: plain, Toward: d})
	}
	for i := range 7 {
		p.Label(Label{At: geom.Pt(0, 0), S: fmt.Sprintf("middle %d", i+1), Font: plain})
	}
	for i := range 5 {
		p.Label(Label{At: geom.Pt(100, 0), S: fmt.Sprintf("point with\nname %d", i+1), Font: plain, Angle: geom.Angle(i) * 30 * geom.Degree})
	}
	return p
}

// labelBoxes returns the boxes of all text of a page, and its lines.
func labelBoxes(p *Page) (boxes [][4]geom.Point, lines []geom.Path) {
	for _, e := range p.settled() {
		switch e.kind {
		case textKind:
			boxes = append(boxes, e.text.corners(0))
		case strokeKind:
			lines = append(lines, e.paths...)
		}
	}
	return boxes, lines
}

// within reports whether q lies in a turned box.
func within(q geom.Point, box [4]geom.Point) bool {
	for i := range box {
		if box[(i+1)%4].Sub(box[i]).Cross(q.Sub(box[i])) < 0 {
			return false
		}
	}
	return true
}

func TestLabelsKeepClear(t *testing.T) {
	for name, p := range map[string]*Page{"a crowd": crowdedPage(), "a kite": samplePage(1), "two kites": twoPieces()} {
		boxes, lines := labelBoxes(p)
		for i, a := range boxes {
			// A grid of places over each text is in no other text.
			for u := range 21 {
				for v := range 11 {
					q := a[0].Lerp(a[1], float64(u)/20).Lerp(a[3].Lerp(a[2], float64(u)/20), float64(v)/10)
					for j, b := range boxes {
						if j != i && within(q, b) {
							t.Fatalf("%s: text %d lies on text %d", name, i, j)
						}
					}
				}
			}
			for _, line := range lines {
				for s := geom.Length(0); s <= line.Length(); s += 0.2 {
					if within(line.At(s), a) {
						t.Fatalf("%s: a line runs through text %d at %v", name, i, line.At(s))
					}
				}
			}
		}
	}
}

func TestLabelGoesWhereItIsWanted(t *testing.T) {
	for _, d := range []geom.Point{geom.Pt(1, 0), geom.Pt(-1, 0), geom.Pt(0, 1), geom.Pt(0, -1), geom.Pt(1, 1)} {
		p := NewPage("One", "")
		p.Label(Label{At: geom.Pt(0, 0), S: "word", Font: plain, Toward: d})
		boxes, lines := labelBoxes(p)
		middle := boxes[0][0].Mid(boxes[0][2])
		if turn := middle.AngleTo(d); math.Abs(float64(turn)) > math.Pi/4 || len(lines) != 0 {
			t.Errorf("wanted toward %v, went to %v with %d lines", d, middle, len(lines))
		}
	}
}

func TestLabelsStandUpright(t *testing.T) {
	for turn, want := range map[geom.Angle]geom.Angle{0: 0, 90: 90, 91: -89, 180: 0, -90: 90, -89: -89, 300: -60} {
		p := NewPage("One", "")
		p.Label(Label{S: "word", Font: plain, Angle: turn * geom.Degree})
		got := p.settled()[0].text.Angle
		if off := (got - want*geom.Degree).Degrees(); off > 1e-6 || off < -1e-6 {
			t.Errorf("turned by %v°, the text stands at %v, want %v°", float64(turn), got, float64(want))
		}
	}
}

// A label beside a slanting line lies wholly on its wanted side, touching it
// nearly.
func TestLabelBesideALine(t *testing.T) {
	for turn := geom.Angle(0); turn < 360; turn += 7 {
		p := NewPage("One", "")
		along := geom.Polar(1, turn*geom.Degree)
		p.Stroke(geom.Line(along.Scale(-50), along.Scale(50)), thick)
		p.Label(Label{S: "12.5 cm", Font: plain, Toward: along.Perp()})
		boxes, _ := labelBoxes(p)
		nearest := geom.Length(math.Inf(1))
		for _, c := range boxes[0] {
			nearest = min(nearest, geom.Length(c.Dot(along.Perp())))
		}
		if nearest < 0.3 || nearest > 3 {
			t.Errorf("beside a line at %v° the text is %v from it", float64(turn), nearest)
		}
	}
}

// A label that finds no room beside its place goes farther off, with a line.
func TestLabelWithLeader(t *testing.T) {
	p := NewPage("Full", "")
	for x := geom.Length(-20); x <= 20; x += 2 {
		p.Stroke(geom.Line(geom.Pt(x, -12), geom.Pt(x, 12)), thin)
	}
	p.Label(Label{At: geom.Pt(0, 0), S: "name", Font: plain, Toward: geom.Pt(0, 1)})
	before := 21
	boxes, lines := labelBoxes(p)
	if len(lines) != before+1 {
		t.Fatalf("%d lines, want one more than %d", len(lines), before)
	}
	leader := lines[len(lines)-1]
	if leader.Start() != geom.Pt(0, 0) {
		t.Errorf("the line begins at %v", leader.Start())
	}
	if d := geom.Polyline(boxes[0][0], boxes[0][1], boxes[0][2], boxes[0][3], boxes[0][0]).Dist(leader.End()); d > 2 {
		t.Errorf("the line ends %v from the text", d)
	}
}

// Labels keep clear of what is drawn after them.
func TestLabelKeepsClearOfLaterLines(t *testing.T) {
	p := NewPage("Later", "")
	p.Label(Label{At: geom.Pt(0, 0), S: "word", Font: plain})
	p.Stroke(geom.Line(geom.Pt(1, 0), geom.Pt(30, 0)), thick)
	boxes, _ := labelBoxes(p)
	for x := geom.Length(1); x < 30; x += 0.1 {
		if within(geom.Pt(x, 0), boxes[0]) {
			t.Fatalf("the text at %v lies on a line that came later", boxes[0])
		}
	}
}

func BenchmarkLabels(b *testing.B) {
	b.ReportAllocs()
	p := crowdedPage()
	for b.Loop() {
		_ = p.placeLabels()
	}
}
