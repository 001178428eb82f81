package dxf

import (
	"errors"
	"math"
	"strings"
	"testing"

	"patternkit/patternkit/geom"
)

// sample has lines, curves, a closed path, a point and text.
func sample(t testing.TB) Drawing {
	t.Helper()
	shape, err := geom.Line(geom.Pt(0, 0), geom.Pt(100, 0)).Append(
		geom.Cubic(geom.Pt(100, 0), geom.Pt(130, 40), geom.Pt(120, 80), geom.Pt(100.0/3, 100)),
		geom.Cubic(geom.Pt(100.0/3, 100), geom.Pt(20, 110), geom.Pt(5, 90), geom.Pt(0, 70)),
		geom.Line(geom.Pt(0, 70), geom.Pt(0, 0)))
	if err != nil {
		t.Fatal(err)
	}
	return Drawing{
		Blocks: []Block{{"front", []Item{
			{Layer: "1", Path: shape},
			{Layer: "7", Path: geom.Line(geom.Pt(10, 10), geom.Pt(10, 60))},
			{Layer: "4", At: geom.Pt(100, 0)},
			{Layer: "15", At: geom.Pt(20, 20), Text: "ärmel\nnow", Height: 5},
		}}},
		Items: []Item{{Layer: "1", At: geom.Pt(0, -20), Text: "UNITS: METRIC", Height: 5}},
	}
}

func TestOwnFilesAreReadAgain(t *testing.T) {
	d := sample(t)
	for _, tt := range []struct {
		name string
		file []byte
		far  geom.Length
	}{{"lines", d.Lines(0.005), 0.01}, {"curves", d.Curves(), 0}} {
		t.Run(tt.name, func(t *testing.T) {
			got, err := Read(strings.NewReader(string(tt.file)), 0)
			if err != nil {
				t.Fatal(err)
			}
			if len(got) != 2 || got[0].Layer != "1" || got[0].Block != "front" || got[1].Layer != "7" {
				t.Fatalf("read %d outlines %+v", len(got), got)
			}
			want := d.Blocks[0].Items[0].Path
			if !got[0].Path.Closed() {
				t.Error("the outline is open")
			}
			for s := geom.Length(0); s < want.Length(); s += 1 {
				if far := got[0].Path.Dist(want.At(s)); far > tt.far+1e-9 {
					t.Fatalf("%v along it is %v away", s, far)
				}
			}
		})
	}
}

// entitiesOnly is the least file with entities.
func entitiesOnly(groups string) string {
	return "0\nSECTION\n2\nENTITIES\n" + strings.ReplaceAll(groups, " ", "\n") + "\n0\nENDSEC\n0\nEOF\n"
}

func readOne(t *testing.T, file string) geom.Path {
	t.Helper()
	got, err := Read(strings.NewReader(file), geom.MM)
	if err != nil {
		t.Fatal(err)
	}
	if len(got) != 1 {
		t.Fatalf("read %d outlines, want 1", len(got))
	}
	return got[0].Path
}

// Lengths and areas of circles and ellipses are exact by geometry; arcs are
// drawn by cubics within 1e-7 mm.
func TestShapes(t *testing.T) {
	tests := []struct {
		name, groups string
		length       float64 // 0: not compared
		area         float64
		start        geom.Point
	}{
		{"line", "0 LINE 8 a 10 1 20 2 11 4 21 6", 5, 0, geom.Pt(1, 2)},
		{"circle", "0 CIRCLE 10 5 20 5 40 10", 20 * math.Pi, 100 * math.Pi, geom.Pt(15, 5)},
		{"arc", "0 ARC 10 0 20 0 40 10 50 270 51 90", 10 * math.Pi, 0, geom.Pt(0, -10)},
		{"arc on the back", "0 ARC 10 0 20 0 40 10 50 0 51 90 210 0 220 0 230 -1", 5 * math.Pi, 0, geom.Pt(-10, 0)},
		{"bulge 1 is a half circle", "0 LWPOLYLINE 90 2 70 0 10 0 20 0 42 1 10 10 20 0", 5 * math.Pi, 0, geom.Pt(0, 0)},
		{"two bulges are a circle", "0 LWPOLYLINE 90 2 70 1 10 0 20 0 42 1 10 10 20 0 42 1", 10 * math.Pi, 25 * math.Pi, geom.Pt(0, 0)},
		{"quarter circle turned back", "0 LWPOLYLINE 70 0 10 10 20 0 42 -0.41421356237309503 10 0 20 10", 5 * math.Pi, 0, geom.Pt(10, 0)},
		{"polyline", "0 POLYLINE 66 1 70 1 0 VERTEX 10 0 20 0 0 VERTEX 10 3 20 0 0 VERTEX 10 3 20 4 0 SEQEND", 12, 6, geom.Pt(0, 0)},
		{"ellipse", "0 ELLIPSE 10 0 20 0 11 20 21 0 40 0.5", 0, 200 * math.Pi, geom.Pt(20, 0)},
		{"degree 1", "0 SPLINE 71 1 40 0 40 0 40 1 40 2 40 2 10 0 20 0 10 3 20 0 10 3 20 4", 7, 0, geom.Pt(0, 0)},
		// A parabola y = x² from -1 to 1: area under it 2/3, above it 4/3.
		{"parabola", "0 SPLINE 71 2 40 0 40 0 40 0 40 1 40 1 40 1 10 -1 20 1 10 0 20 -1 10 1 20 1 0 LINE 10 1 20 1 11 -1 21 1", 0, 4.0 / 3, geom.Pt(-1, 1)},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := readOne(t, entitiesOnly(tt.groups))
			if tt.length > 0 && math.Abs(p.Length().MM()-tt.length) > 1e-5 {
				t.Errorf("length %v, want %v", p.Length().MM(), tt.length)
			}
			if tt.area > 0 && math.Abs(p.Area()-tt.area) > 1e-4 {
				t.Errorf("area %v, want %v", p.Area(), tt.area)
			}
			if p.Start().Dist(tt.start) > 1e-9 {
				t.Errorf("starts at %v, want %v", p.Start(), tt.start)
			}
		})
	}
}

// A uniform cubic B-spline runs through (a + 4b + c) / 6 at its knots.
func TestUniformSpline(t *testing.T) {
	p := readOne(t, entitiesOnly("0 SPLINE 71 3 40 0 40 1 40 2 40 3 40 4 40 5 40 6 40 7 40 8 10 0 20 0 10 6 20 6 10 12 20 0 10 18 20 6 10 24 20 0"))
	want := []geom.Point{geom.Pt(6, 4), geom.Pt(12, 2), geom.Pt(18, 4)}
	segments := p.Segments()
	if len(segments) != 2 || segments[0].A.Dist(want[0]) > 1e-12 || segments[0].B.Dist(want[1]) > 1e-12 || segments[1].B.Dist(want[2]) > 1e-12 {
		t.Errorf("pieces %+v, want them to meet at %v", segments, want)
	}
}

func TestInsertsAndUnits(t *testing.T) {
	blocks := "0 SECTION 2 HEADER 9 $INSUNITS 70 1 0 ENDSEC 0 SECTION 2 BLOCKS " +
		"0 BLOCK 2 in 10 1 20 0 0 LINE 8 a 10 1 20 0 11 2 21 0 0 ENDBLK " +
		"0 BLOCK 2 out 0 INSERT 2 IN 10 0 20 0 41 2 42 2 0 ENDBLK 0 ENDSEC "
	file := strings.ReplaceAll(blocks+"0 SECTION 2 ENTITIES 0 INSERT 2 out 10 10 20 0 50 90 70 1 71 2 44 0 45 5 0 ENDSEC 0 EOF ", " ", "\n")
	got, err := Read(strings.NewReader(file), geom.MM) // the file's unit holds, not this one
	if err != nil || len(got) != 2 {
		t.Fatalf("%d outlines, %v", len(got), err)
	}
	for i, want := range [][2]geom.Point{{geom.Pt(254, 0), geom.Pt(254, 50.8)}, {geom.Pt(127, 0), geom.Pt(127, 50.8)}} {
		if p := got[i].Path; p.Start().Dist(want[0]) > 1e-9 || p.End().Dist(want[1]) > 1e-9 {
			t.Errorf("from %v to %v, want %v", p.Start(), p.End(), want)
		}
	}
}

func TestReadErrors(t *testing.T) {
	circular := strings.ReplaceAll("0 SECTION 2 BLOCKS 0 BLOCK 2 a 0 INSERT 2 a 10 0 20 0 0 ENDBLK 0 ENDSEC 0 SECTION 2 ENTITIES 0 INSERT 2 a 10 0 20 0 0 ENDSEC 0 EOF ", " ", "\n")
	bomb := "0 SECTION 2 BLOCKS 0 BLOCK 2 b0 0 LINE 10 0 20 0 11 1 21 1 0 ENDBLK "
	for i := 1; i < 9; i++ {
		bomb += "0 BLOCK 2 b" + string(rune('0'+i)) + strings.Repeat(" 0 INSERT 2 b"+string(rune('0'+i-1))+" 10 0 20 0", 20) + " 0 ENDBLK "
	}
	bomb = strings.ReplaceAll(bomb+"0 ENDSEC 0 SECTION 2 ENTITIES 0 INSERT 2 b8 10 0 20 0 0 ENDSEC 0 EOF ", " ", "\n")
	for _, tt := range []struct {
		name, file, want string
		line             int
	}{
		{"empty", "", "without its EOF", 1},
		{"cut short", "0\nSECTION\n2\nENTITIES\n", "without its EOF", 5},
		{"code alone", "0\nSECTION\n2", "after a group code", 3},
		{"no code", "0\nSECTION\nx\ny\n", `"x" is no group code`, 3},
		{"binary", "AutoCAD Binary DXF\r\n", "binary DXF", 1},
		{"no number", entitiesOnly("0 LINE 10 x 20 0 11 1 21 1"), `"x" is no number`, 8},
		{"infinite", entitiesOnly("0 LINE 10 1e999 20 0 11 1 21 1"), "is no number", 8},
		{"no end", entitiesOnly("0 LINE 10 0 20 0"), "no point in groups 11", 5},
		{"no seqend", entitiesOnly("0 POLYLINE 0 VERTEX 10 0 20 0"), "not closed by a SEQEND", 5},
		{"weights", entitiesOnly("0 SPLINE 71 3 41 2"), "weight 2", 10},
		{"high degree", entitiesOnly("0 SPLINE 71 9"), "degree 9", 5},
		{"few knots", entitiesOnly("0 SPLINE 71 3 10 0 20 0"), "1 points and 0 knots", 5},
		{"slant", entitiesOnly("0 CIRCLE 10 0 20 0 40 1 210 1 220 0 230 1"), "at a slant", 5},
		{"mesh", entitiesOnly("0 POLYLINE 70 16 0 SEQEND"), "mesh", 5},
		{"far away", entitiesOnly("0 LINE 10 0 20 0 11 1e9 21 0"), "at most", 5},
		{"no block", entitiesOnly("0 INSERT 2 x 10 0 20 0"), `"x", which the file has not`, 5},
		{"within itself", circular, "lies within itself", 9},
		{"bomb", bomb, "more than", 0},
		{"grid", entitiesOnly("0 INSERT 2 x 10 0 20 0 70 9999999 71 1"), "", 0},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, err := Read(strings.NewReader(tt.file), geom.MM)
			var at *Error
			if !errors.As(err, &at) || !strings.Contains(err.Error(), tt.want) {
				t.Fatalf("error %v, want one with %q", err, tt.want)
			}
			if tt.line > 0 && at.Line != tt.line {
				t.Errorf("error %v is at line %d, want %d", err, at.Line, tt.line)
			}
		})
	}
}

func TestNoUnit(t *testing.T) {
	_, err := Read(strings.NewReader(entitiesOnly("0 LINE 10 0 20 0 11 1 21 1")), 0)
	if err == nil || !strings.Contains(err.Error(), "says no unit") {
		t.Errorf("error %v", err)
	}
}

func FuzzRead(f *testing.F) {
	d := sample(f)
	f.Add(d.Lines(0.1))
	f.Add(d.Curves())
	f.Add([]byte(entitiesOnly("0 LWPOLYLINE 90 2 70 1 10 0 20 0 42 1 10 10 20 0 42 -3")))
	f.Add([]byte(entitiesOnly("0 ELLIPSE 10 0 20 0 11 20 21 0 40 0.5 41 1 42 9")))
	f.Add([]byte(entitiesOnly("0 ARC 10 0 20 0 40 10 50 270 51 90 230 -1")))
	f.Fuzz(func(t *testing.T, data []byte) {
		got, err := Read(strings.NewReader(string(data)), geom.MM)
		if err != nil {
			var at *Error
			if !errors.As(err, &at) || at.Line < 1 {
				t.Fatalf("error %v without its line", err)
			}
			return
		}
		for _, o := range got {
			if o.Path.Empty() || !o.Path.Finite() {
				t.Fatalf("outline %+v", o)
			}
		}
	})
}
