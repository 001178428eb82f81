package svgpath

import (
	"errors"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"patternkit/patternkit/geom"
)

func onePath(t *testing.T, data string) geom.Path {
	t.Helper()
	paths, err := Paths(data)
	if err != nil {
		t.Fatal(err)
	}
	if len(paths) != 1 {
		t.Fatalf("%q draws %d subpaths, want 1", data, len(paths))
	}
	return paths[0]
}

// Areas and lengths by geometry. Areas are positive where y up would be
// counterclockwise.
func TestPathData(t *testing.T) {
	for _, tt := range []struct {
		name, data     string
		length, area   float64
		segments       int
		end            geom.Point
		withoutLengths bool
	}{
		{name: "lines", data: "M0 0L3 0 3,4z", length: 12, area: 6, segments: 3},
		{name: "relative, run together", data: "m10-5l3 0,0,4z", length: 12, area: 6, segments: 3, end: geom.Pt(10, -5)},
		{name: "M goes on as lines", data: "M0 0 3 0 3 4z", length: 12, area: 6, segments: 3},
		{name: "m goes on as relative lines", data: "m1 1 3 0 0 4z", length: 12, area: 6, segments: 3, end: geom.Pt(1, 1)},
		{name: "H V h v", data: "M1 1H4V5h-3v-4z", length: 14, area: 12, segments: 4, end: geom.Pt(1, 1)},
		{name: "points after points", data: "M.5.5L1.5.5", length: 1, segments: 1, end: geom.Pt(1.5, 0.5)},
		{name: "exponents", data: "M1e0 0L+1.1E+1 0", length: 10, segments: 1, end: geom.Pt(11, 0)},
		{name: "parabola", data: "M-1 1Q0-1 1 1z", area: 4.0 / 3, segments: 2, end: geom.Pt(-1, 1), withoutLengths: true},
		{name: "parabola, relative and smooth", data: "m0 0q1 2 2 0t2 0", segments: 2, end: geom.Pt(4, 0), withoutLengths: true},
		{name: "cubic and smooth", data: "M0 0C0 1 2 1 2 0S4-1 4 0", segments: 2, end: geom.Pt(4, 0), withoutLengths: true},
		{name: "S after a line", data: "M0 0L1 0S2 1 3 0", segments: 2, end: geom.Pt(3, 0), withoutLengths: true},
		{name: "half circles", data: "M0 0A5 5 0 0 1 10 0A5 5 0 0 1 0 0z", length: 10 * math.Pi, area: 25 * math.Pi, segments: -1},
		{name: "flags run together", data: "M0 0a5 5 0 0110 0a5 5 0 01-10 0z", length: 10 * math.Pi, area: 25 * math.Pi, segments: -1},
		{name: "three quarters", data: "M10 0A10 10 0 1 1 0-10", length: 15 * math.Pi, segments: -1, end: geom.Pt(0, -10)},
		{name: "the small quarter", data: "M10 0A10 10 0 0 0 0-10", length: 5 * math.Pi, segments: -1, end: geom.Pt(0, -10)},
		{name: "radii enlarged", data: "M0 0A1 1 0 0 1 10 0", length: 5 * math.Pi, segments: -1, end: geom.Pt(10, 0)},
		{name: "no radius is a line", data: "M0 0A0 5 0 0 1 10 0", length: 10, segments: 1, end: geom.Pt(10, 0)},
		{name: "turned ellipse", data: "M0-10A20 10 90 0 1 0 30A20 10 90 0 1 0-10z", area: 200 * math.Pi, segments: -1, end: geom.Pt(0, -10), withoutLengths: true},
	} {
		t.Run(tt.name, func(t *testing.T) {
			p := onePath(t, tt.data)
			if n := len(p.Segments()); tt.segments >= 0 && n != tt.segments {
				t.Errorf("%d parts, want %d", n, tt.segments)
			}
			if l := p.Length().MM(); !tt.withoutLengths && math.Abs(l-tt.length) > 1e-6 {
				t.Errorf("length %v, want %v", l, tt.length)
			}
			if p.Closed() && math.Abs(p.Area()-tt.area) > 1e-5 {
				t.Errorf("area %v, want %v", p.Area(), tt.area)
			}
			if p.End().Dist(tt.end) > 1e-9 {
				t.Errorf("ends at %v, want %v", p.End(), tt.end)
			}
		})
	}
}

func TestSmoothHandles(t *testing.T) {
	s := onePath(t, "M0 0C0 1 2 1 2 0S4-1 4 0").Segments()
	if s[1].C1 != geom.Pt(2, -1) {
		t.Errorf("S begins with the handle %v, want (2, -1) mm", s[1].C1)
	}
	q := onePath(t, "M0 0Q1 2 2 0T4 0").Segments()
	if want := geom.Pt(2, 0).Lerp(geom.Pt(3, -2), 2.0/3); q[1].C1.Dist(want) > 1e-12 {
		t.Errorf("T begins with the handle %v, want %v", q[1].C1, want)
	}
	s = onePath(t, "M0 0L1 0S2 1 3 0").Segments()
	if s[1].C1 != geom.Pt(1, 0) {
		t.Errorf("S after L begins with the handle %v, want where it is", s[1].C1)
	}
}

func TestSubpathsAfterZ(t *testing.T) {
	paths, err := Paths("M1 1h2v2zl-1-1M9 9h1")
	if err != nil || len(paths) != 3 || paths[1].Start() != geom.Pt(1, 1) || paths[1].End() != geom.Pt(0, 0) || paths[2].Start() != geom.Pt(9, 9) {
		t.Errorf("%d subpaths, %v", len(paths), err)
	}
}

func read(t *testing.T, svg string) []Outline {
	t.Helper()
	got, err := Read(strings.NewReader(svg))
	if err != nil {
		t.Fatal(err)
	}
	return got
}

func TestShapesAndPlaces(t *testing.T) {
	const svg, end = `<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="50mm" viewBox="0 0 100 50">`, `</svg>`
	for _, tt := range []struct {
		name, svg string
		box       geom.Rect
		area      float64 // 0: not compared
	}{
		{"rect", svg + `<rect x="10" y="10" width="20" height="10"/>` + end, geom.Rect{Min: geom.Pt(10, 30), Max: geom.Pt(30, 40)}, 200},
		{"rounded rect", svg + `<rect width="20" height="10" rx="2"/>` + end, geom.Rect{Min: geom.Pt(0, 40), Max: geom.Pt(20, 50)}, 200 - 4*4 + 4*math.Pi},
		{"circle", svg + `<circle cx="50" cy="25" r="10"/>` + end, geom.Rect{Min: geom.Pt(40, 15), Max: geom.Pt(60, 35)}, 100 * math.Pi},
		{"ellipse", svg + `<ellipse cx="50" cy="25" rx="10" ry="5"/>` + end, geom.Rect{Min: geom.Pt(40, 20), Max: geom.Pt(60, 30)}, 50 * math.Pi},
		{"polygon", svg + `<polygon points="0,50 30,50 30,10"/>` + end, geom.Rect{Min: geom.Pt(0, 0), Max: geom.Pt(30, 40)}, 600},
		{"polyline", svg + `<polyline points="0 50 30 50 30 10"/>` + end, geom.Rect{Min: geom.Pt(0, 0), Max: geom.Pt(30, 40)}, 0},
		{"line", svg + `<line x1="5" y1="5" x2="25" y2="45"/>` + end, geom.Rect{Min: geom.Pt(5, 5), Max: geom.Pt(25, 45)}, 0},
		{"nested transforms", svg + `<g transform="translate(10,20) scale(2)"><rect transform="rotate(90)" width="5" height="3"/></g>` + end,
			geom.Rect{Min: geom.Pt(4, 20), Max: geom.Pt(10, 30)}, 60},
		{"matrix and skew", svg + `<g transform="matrix(1 0 0 1 10 10)skewX(45)"><rect width="5" height="5"/></g>` + end,
			geom.Rect{Min: geom.Pt(10, 35), Max: geom.Pt(20, 40)}, 25},
		{"rotate about", svg + `<rect x="10" y="10" width="10" height="5" transform="rotate(180 10 10)"/>` + end,
			geom.Rect{Min: geom.Pt(0, 40), Max: geom.Pt(10, 45)}, 50},
		{"a viewBox in other units", `<svg width="10in" height="5in" viewBox="100 100 20 10"><rect x="100" y="100" width="20" height="10"/></svg>`,
			geom.Rect{Min: geom.Pt(0, 0), Max: geom.Pt(254, 127)}, 254 * 127},
		{"room left over", `<svg width="100mm" height="100mm" viewBox="0 0 20 10"><rect width="20" height="10"/></svg>`,
			geom.Rect{Min: geom.Pt(0, 25), Max: geom.Pt(100, 75)}, 5000},
		{"room left below", `<svg width="100mm" height="100mm" viewBox="0 0 20 10" preserveAspectRatio="xMidYMin"><rect width="20" height="10"/></svg>`,
			geom.Rect{Min: geom.Pt(0, 50), Max: geom.Pt(100, 100)}, 5000},
		{"stretched", `<svg width="100mm" height="100mm" viewBox="0 0 20 10" preserveAspectRatio="none"><rect width="20" height="10"/></svg>`,
			geom.Rect{Min: geom.Pt(0, 0), Max: geom.Pt(100, 100)}, 10000},
		{"pixels", `<svg width="96" height="96"><rect width="1in" height="48"/></svg>`, geom.Rect{Min: geom.Pt(0, 12.7), Max: geom.Pt(25.4, 25.4)}, 25.4 * 12.7},
		{"nested svg", svg + `<svg x="10mm" y="0" width="20" height="20" viewBox="0 0 2 2"><rect width="2" height="2"/></svg>` + end,
			geom.Rect{Min: geom.Pt(10*96/25.4, 30), Max: geom.Pt(10*96/25.4+20, 50)}, 400},
		{"what is not shown", svg + `<defs><circle r="9"/><g><path d="?"/></g></defs><g display="none"><rect width="9" height="9"/></g><text>x</text><rect x="10" y="10" width="20" height="10"/>` + end,
			geom.Rect{Min: geom.Pt(10, 30), Max: geom.Pt(30, 40)}, 200},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got := read(t, tt.svg)
			if len(got) != 1 {
				t.Fatalf("%d outlines, want 1", len(got))
			}
			box := got[0].Path.Bounds()
			if box.Min.Dist(tt.box.Min) > 1e-6 || box.Max.Dist(tt.box.Max) > 1e-6 {
				t.Errorf("lies in %v to %v mm, want %v to %v", box.Min, box.Max, tt.box.Min, tt.box.Max)
			}
			if tt.area > 0 && math.Abs(math.Abs(got[0].Path.Area())-tt.area) > 1e-4 {
				t.Errorf("area %v, want %v", got[0].Path.Area(), tt.area)
			}
		})
	}
}

func TestReadErrors(t *testing.T) {
	deep := "<svg>" + strings.Repeat("<g>", 200)
	laugh := `<!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]><svg><path d="&b;"/></svg>`
	for _, tt := range []struct{ name, svg, want string }{
		{"empty", "", "line 1: no <svg> element"},
		{"no SVG", "<html/>", "want <svg>"},
		{"cut short", "<svg>\n<g>", "line 2"},
		{"no XML", "\n\nx < y", "line 3"},
		{"deep", deep, "within more than 100"},
		{"deep, unseen", strings.Replace(deep, "<svg>", "<svg><defs>", 1), "within more than 100"},
		{"entities", laugh, "invalid character entity"},
		{"no command", "<svg>\n<path d='M0 0 X1 1'/></svg>", "line 2: <path>: d, character 6: 'X' is no command"},
		{"no number", "<svg><path d='M0 0L1'/></svg>", "character 7: want a number"},
		{"no M", "<svg><path d='L1 1'/></svg>", "begin with M"},
		{"no flag", "<svg><path d='M0 0A1 1 0 2 0 1 1'/></svg>", "want a flag"},
		{"too large", "<svg><path d='M0 0L1e300 0'/></svg>", "too large"},
		{"far away", "<svg><path transform='scale(1e6)' d='M0 0L1e6 0'/></svg>", "want at most"},
		{"no transform", "<svg><g transform='turn(3)'/></svg>", `"turn" with 1 numbers`},
		{"unit", "<svg width='100%'/>", `unit "%"`},
		{"viewBox", "<svg viewBox='0 0 0 5'/>", "viewBox is 0 by 5"},
		{"use", "<svg><use href='#a'/></svg>", "replace it by what it draws"},
		{"two", "<svg/><svg/>", "after the end"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, err := Read(strings.NewReader(tt.svg))
			var at *Error
			if !errors.As(err, &at) || at.Line < 1 || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("error %v, want one with its line and %q", err, tt.want)
			}
		})
	}
}

func FuzzRead(f *testing.F) {
	f.Add(`<svg width="100mm" height="50mm" viewBox="0 0 100 50"><g transform="translate(10,20) scale(2)"><path id="a" d="M0 0C0 1 2 1 2 0S4-1 4 0Q1 1 2 2T3 3A5 4 30 0110 0zh3V2"/></g></svg>`)
	f.Add(`<svg><rect width="20" height="10" rx="2"/><circle r="1in"/><ellipse rx="3" ry="2pt"/><polygon points="1 2,3 4 5 6"/><line x2="3"/></svg>`)
	f.Add(`<svg><g transform="matrix(1 2 3 4 5 6) skewX(30) rotate(3 4 5)"><svg x="3" viewBox="0 0 1 1" width="3"/></g><defs><path/></defs></svg>`)
	f.Fuzz(func(t *testing.T, svg string) {
		got, err := Read(strings.NewReader(svg))
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

// Path data is lines and curves, or an error that tells the character; what
// they are, written out again in full, is read as the same.
func FuzzPaths(f *testing.F) {
	f.Add("M0 0C0 1 2 1 2 0S4-1 4 0Q1 1 2 2T3 3A5 4 30 0110 0zh3V2")
	f.Add("m.5.5-1-1e-3a1,1,0,1,0,3,3")
	f.Add("M1,2 3,4zm5 6 7 8ZL0 0t1 1 2 2s3 3 4 4H9h-9v8a0 1 2 0 1 3 4A1e-3 1e3 400 1 1-5-5")
	f.Fuzz(func(t *testing.T, data string) {
		paths, err := Paths(data)
		if err != nil {
			if !strings.HasPrefix(err.Error(), "character ") {
				t.Fatalf("error %v without its character", err)
			}
			return
		}
		for _, p := range paths {
			if p.Empty() || !p.Finite() {
				t.Fatalf("path %+v", p.Segments())
			}
			again, err := Paths(writtenOut(p))
			if farOut(p) { // relative commands may lead where no number may
				continue
			}
			if err != nil || len(again) != 1 || !slices.Equal(again[0].Segments(), p.Segments()) {
				t.Fatalf("%s is read as %+v, %v", writtenOut(p), again, err)
			}
		}
	})
}

// writtenOut is a path as data of M, L and C with numbers to their last bit.
func writtenOut(p geom.Path) string {
	pair := func(q geom.Point) string {
		return strconv.FormatFloat(q.X.MM(), 'g', -1, 64) + "," + strconv.FormatFloat(q.Y.MM(), 'g', -1, 64)
	}
	out := "M" + pair(p.Start())
	for _, g := range p.Segments() {
		if g.Curve {
			out += "C" + pair(g.C1) + " " + pair(g.C2) + " " + pair(g.B)
		} else {
			out += "L" + pair(g.B)
		}
	}
	return out
}

func farOut(p geom.Path) bool {
	for _, g := range p.Segments() {
		for _, q := range []geom.Point{g.A, g.C1, g.C2, g.B} {
			if max(q.X.Abs(), q.Y.Abs()) > farthest {
				return true
			}
		}
	}
	return false
}
