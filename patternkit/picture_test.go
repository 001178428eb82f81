package patternkit

import (
	"bytes"
	"encoding/base64"
	"encoding/xml"
	"fmt"
	"image/png"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"patternkit/patternkit/drawing"
	"patternkit/patternkit/drawing/svgpath"
	"patternkit/patternkit/geom"
)

// written is a line of text as an SVG places it: its letters, in a box that
// may be turned, without the parts below the base line.
type written struct {
	text    string
	size    Length
	corners [4]Point
}

// readSVG returns the text and the lines of a drawing, y down in millimetres.
func readSVG(t *testing.T, svg string) (texts []written, lines [][]Point) {
	t.Helper()
	var doc struct {
		Inner []byte `xml:",innerxml"`
	}
	if err := xml.Unmarshal([]byte(svg), &doc); err != nil {
		t.Fatalf("the drawing is no XML: %v", err)
	}
	for d := xml.NewDecoder(strings.NewReader(svg)); ; {
		token, err := d.Token()
		if err != nil {
			return texts, lines
		}
		start, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		a := map[string]string{}
		for _, x := range start.Attr {
			a[x.Name.Local] = x.Value
		}
		switch {
		case start.Name.Local == "text":
			var s string
			if err := d.DecodeElement(&s, &start); err != nil {
				t.Fatal(err)
			}
			texts = append(texts, boxOf(t, s, a))
		case start.Name.Local == "path" && a["fill"] == "":
			lines = append(lines, pathLines(t, a["d"])...)
		}
	}
}

func boxOf(t *testing.T, s string, a map[string]string) written {
	t.Helper()
	number := func(key string) Length {
		x, err := strconv.ParseFloat(a[key], 64)
		if err != nil {
			t.Fatalf("text %q: %s=%q", s, key, a[key])
		}
		return Length(x)
	}
	size := number("font-size")
	width := drawing.TextWidth(s, drawing.Font{Size: size, Bold: a["font-weight"] == "bold"})
	at, turn := Point{}, Angle(0)
	if a["transform"] == "" {
		at = Pt(number("x"), number("y"))
	} else if _, err := fmt.Sscanf(a["transform"], "translate(%g %g)rotate(%g)", &at.X, &at.Y, &turn); err != nil {
		t.Fatalf("text %q: transform %q: %v", s, a["transform"], err)
	}
	turn *= Degree
	right, up := Pt(width, 0).Rotated(turn), Pt(0, -0.7*size).Rotated(turn)
	return written{s, size, [4]Point{at, at.Add(right), at.Add(right).Add(up), at.Add(up)}}
}

// pathLines flattens path data.
func pathLines(t *testing.T, d string) [][]Point {
	t.Helper()
	paths, err := svgpath.Paths(d)
	if err != nil {
		t.Fatalf("path %q: %v", d, err)
	}
	var out [][]Point
	for _, p := range paths {
		out = append(out, polygon(p))
	}
	return out
}

// meet reports whether two turned boxes overlap by more than tol.
func meet(a, b [4]Point, tol Length) bool {
	for _, pair := range [][2][4]Point{{a, b}, {b, a}} {
		for _, axis := range []Point{pair[0][1].Sub(pair[0][0]).Unit(), pair[0][3].Sub(pair[0][0]).Unit()} {
			low := [2]float64{math.Inf(1), math.Inf(1)}
			high := [2]float64{math.Inf(-1), math.Inf(-1)}
			for i, box := range pair {
				for _, q := range box {
					low[i], high[i] = min(low[i], q.Dot(axis)), max(high[i], q.Dot(axis))
				}
			}
			if high[0]-low[1] < float64(tol) || high[1]-low[0] < float64(tol) {
				return false
			}
		}
	}
	return true
}

// checkLegible fails where texts lie on each other or on a line, or are small.
func checkLegible(t *testing.T, svg string, smallest Length) {
	t.Helper()
	texts, lines := readSVG(t, svg)
	if len(texts) < 5 || len(lines) < 5 {
		t.Fatalf("%d texts and %d lines, want a drawing", len(texts), len(lines))
	}
	for i, a := range texts {
		if a.size < smallest {
			t.Errorf("%q is %v high, want %v", a.text, a.size, smallest)
		}
		for _, b := range texts[:i] {
			if meet(a.corners, b.corners, 0.1) {
				t.Errorf("%q lies on %q", a.text, b.text)
			}
		}
		for _, line := range lines {
			for k := 1; k < len(line); k++ {
				if crosses(line[k-1], line[k], a.corners) {
					t.Errorf("a line runs through %q at %v", a.text, line[k])
				}
			}
		}
	}
}

// crosses reports whether a segment runs through a box shrunk by 0.2 mm.
func crosses(a, b Point, corners [4]Point) bool {
	x, y := corners[1].Sub(corners[0]), corners[3].Sub(corners[0])
	local := func(q Point) Point {
		return Pt(Length(q.Sub(corners[0]).Dot(x.Unit())), Length(q.Sub(corners[0]).Dot(y.Unit())))
	}
	box := geom.Rect{Max: Pt(x.Norm(), y.Norm())}.Grow(-0.2)
	return segmentMeetsBox(box, local(a), local(b))
}

func testPatterns(t *testing.T) map[string]Pattern {
	t.Helper()
	return map[string]Pattern{
		"skirt":       skirt(t, 10*CM, 2*waistLength-1*CM),
		"faulty":      skirt(t, 11*CM, 2*waistLength-3*CM),
		"one piece":   onePiece(t),
		"small piece": smallPiece(t),
	}
}

func onePiece(t *testing.T) Pattern {
	t.Helper()
	p, err := NewPattern("panel", skirtPanel(t, "front"))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// smallPiece is a tab of 6 by 4 cm.
func smallPiece(t *testing.T) Pattern {
	t.Helper()
	a, b, c, d := Pt(0, 0), Pt(6*CM, 0), Pt(6*CM, 4*CM), Pt(0, 4*CM)
	tab, err := makePiece("tab", Edge{"lower", Line(a, b)}, Edge{"end", Line(b, c)}, Edge{"upper", Line(c, d)}, Edge{"joined end", Line(d, a)}).
		grainline(Pt(1*CM, 2*CM), Pt(5*CM, 2*CM)).quantity(4, "two pairs").done()
	if err != nil {
		t.Fatal(err)
	}
	p, err := NewPattern("tab", tab)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestPicturesAreLegible(t *testing.T) {
	// 9 px on a page of 96 to the inch.
	const smallest = 9 * 25.4 / 96
	for name, p := range testPatterns(t) {
		t.Run(name, func(t *testing.T) { checkLegible(t, p.SVG(), smallest) })
		t.Run(name+" with points", func(t *testing.T) {
			checkLegible(t, p.Picture(PictureOptions{Points: true}).SVG(), smallest)
		})
		t.Run(name+" at true scale", func(t *testing.T) {
			file, err := p.SVGFile()
			if err != nil {
				t.Fatal(err)
			}
			checkLegible(t, string(file), 3)
		})
	}
}

// The picture of a pattern says in words which seams do not meet, and once.
func TestFaultsAreWrittenOnThePicture(t *testing.T) {
	texts, _ := readSVG(t, skirt(t, 11*CM, 2*waistLength-3*CM).SVG())
	got := map[string]int{}
	for _, w := range texts {
		got[w.text]++
	}
	for _, want := range []string{"FAULT waist: 2.00 cm too long", "for waistband lower front + lower back",
		"FAULT side seam:", "notch back balance", "does not meet its partner", meansFault} {
		if got[want] != 1 {
			t.Errorf("%q is written %d times, want once", want, got[want])
		}
	}
	if svg := skirt(t, 10*CM, 2*waistLength-1*CM).SVG(); strings.Contains(svg, "FAULT") || strings.Contains(svg, meansFault) {
		t.Error("a skirt that meets shows a fault")
	}
}

// A picture fits a notebook page.
func TestPictureSize(t *testing.T) {
	img := regexp.MustCompile(`^<img width="(\d+)" height="(\d+)" alt="[^"]{20,}" src="data:image/svg\+xml;base64,([^"]+)">\n<details><summary>larger</summary><table [^>]+><tr><td><img [^>]+></td></tr></table></details>$`)
	for name, p := range testPatterns(t) {
		m := img.FindStringSubmatch(p.HTML())
		if m == nil {
			t.Fatalf("%s: HTML is %.200s, want an <img> with width, height and alt", name, p.HTML())
		}
		w, _ := strconv.Atoi(m[1])
		h, _ := strconv.Atoi(m[2])
		if w < 200 || w > 960 || h < 100 || h > 860 {
			t.Errorf("%s: %d by %d px, want at most 960 by 860", name, w, h)
		}
		svg, err := base64.StdEncoding.DecodeString(m[3])
		if err != nil || !bytes.Contains(svg, []byte("<svg")) {
			t.Errorf("%s: the image is no SVG: %v", name, err)
		}
		if _, err := png.Decode(bytes.NewReader(p.PNG())); err != nil {
			t.Errorf("%s: PNG: %v", name, err)
		}
	}
}

// Pieces of one part stay level, and the order is kept from left to right.
func TestArrangeKeepsPartsLevel(t *testing.T) {
	p := skirt(t, 10*CM, 2*waistLength)
	pieces, scale := arrange(p.pieces, []int{0, 0, 1}, PictureOptions{}.room())
	if pieces[0].box.Min.Y != pieces[1].box.Min.Y {
		t.Errorf("front at %v, back at %v, want them level", pieces[0].box.Min.Y, pieces[1].box.Min.Y)
	}
	for i, q := range pieces {
		got := q.piece.outline.Transformed(q.to).Bounds()
		if got.Min.Dist(q.box.Min) > 1e-6 || got.Max.Dist(q.box.Max) > 1e-6 {
			t.Errorf("%s: box %v, lies in %v", q.piece.name, q.box, got)
		}
		if i > 0 && q.box.Min.X < pieces[i-1].box.Max.X+pictureGap-1e-6 {
			t.Errorf("%s stands in %s", q.piece.name, pieces[i-1].piece.name)
		}
	}
	if scale <= 0 || scale > 1 {
		t.Errorf("scale %v", scale)
	}
	// The waistband's grain runs along it: it is stood up.
	if b := pieces[2].box; b.Height() < b.Width() {
		t.Errorf("waistband is %v by %v, want its grain upright", b.Width(), b.Height())
	}
}

func TestPictureGoldens(t *testing.T) {
	for name, p := range testPatterns(t) {
		checkGolden(t, "picture_"+strings.ReplaceAll(name, " ", "_")+".svg", []byte(p.SVG()))
	}
	front, err := skirt(t, 10*CM, 2*waistLength).Piece("front")
	if err != nil {
		t.Fatal(err)
	}
	checkGolden(t, "picture_front_points.svg", []byte(front.Picture(PictureOptions{Points: true}).SVG()))
	checkGolden(t, "pattern_skirt.txt", []byte(skirt(t, 10*CM, 2*waistLength).String()))
	checkGolden(t, "pattern_skirt.md", []byte(skirt(t, 10*CM, 2*waistLength).Markdown()))
}

// A mirrored piece has the same edges, as long as before.
func TestMirroredPieceKeepsLengths(t *testing.T) {
	p := skirtPanel(t, "front")
	mirror := geom.Mirror(Pt(0, 0), Pt(0, 1))
	var edges []Edge
	for _, e := range p.Edges() {
		edges = append([]Edge{{e.Name, e.Path.Transformed(mirror).Reversed()}}, edges...)
	}
	q, err := NewPiece("front mirrored", edges...)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range p.EdgeNames() {
		a, err1 := p.EdgeLength(name)
		b, err2 := q.EdgeLength(name)
		if err1 != nil || err2 != nil || math.Abs(float64(a-b)) > 1e-9 {
			t.Errorf("%s: %v and mirrored %v (%v, %v)", name, a, b, err1, err2)
		}
	}
}

// Swapping the sides of a seam turns its difference round and nothing else.
func TestWalkIsSymmetric(t *testing.T) {
	p := skirt(t, 10*CM, 2*waistLength-2*CM)
	var parts []Part
	for _, piece := range p.Pieces() {
		parts = append(parts, piece)
	}
	for _, s := range p.Seams() {
		s.A, s.B, s.Ease = s.B, s.A, -s.Ease
		parts = append(parts, s)
	}
	q, err := NewPattern("swapped", parts...)
	if err != nil {
		t.Fatal(err)
	}
	for i, a := range p.Walk().Rows() {
		b := q.Walk().Rows()[i]
		if a.LengthA != b.LengthB || a.Difference != -b.Difference || a.Fault != b.Fault || len(a.Notches) != len(b.Notches) {
			t.Errorf("%s: %+v, swapped %+v", a.Seam, a, b)
		}
	}
}

func TestZeroValuesAreShown(t *testing.T) {
	for what, shown := range map[string]string{
		"picture": Picture{}.HTML() + Picture{}.String(), "pattern": Pattern{}.HTML() + Pattern{}.String(),
		"seams": SeamTable{}.HTML() + SeamTable{}.String(), "table": Table{}.HTML() + Table{}.String(),
	} {
		if shown == "" {
			t.Errorf("the zero %s shows nothing", what)
		}
	}
	_ = fmt.Sprint(Pattern{}, Piece{}, Seam{})
}
