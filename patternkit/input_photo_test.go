package patternkit

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"patternkit/patternkit/geom"
)

// A pinhole is a camera without a lens: what a photograph is of, when nothing
// bends. It looks at a place of the table from above, tilted and turned.
type pinhole struct {
	over               Point   // the place it looks at
	away               Length  // how far it is from there
	tilt, around, roll Angle   // from straight above; to which side; about its own axis
	focal, width, tall float64 // of the picture, in pixels
}

func (c pinhole) sees(q Point) Pixel {
	d := q.Sub(c.over).Rotated(-c.around)
	sin, cos := math.Sincos(float64(c.tilt))
	right, up, ahead := d.X.MM(), d.Y.MM()*cos, c.away.MM()+d.Y.MM()*sin
	on := Pt(Length(c.focal*right/ahead), Length(c.focal*up/ahead)).Rotated(c.roll)
	return Pixel{c.width/2 + on.X.MM(), c.tall/2 - on.Y.MM()}
}

// photographed is what the camera makes of a sheet at the origin.
func (c pinhole) photographed(paper Paper, lie Lie) Photograph {
	size := paperSizes[paper]
	if lie == Lying {
		size = Pt(size.Y, size.X)
	}
	return Photograph{Paper: paper, Lie: lie, Corners: [4]Pixel{c.sees(Pt(0, 0)), c.sees(Pt(size.X, 0)), c.sees(size), c.sees(Pt(0, size.Y))}}
}

func (p Pixel) rounded() Pixel { return Pixel{math.Round(p.X), math.Round(p.Y)} }

// handheld is a camera held by hand 1.5 m above a table, more or less.
func handheld(random *rand.Rand) pinhole {
	return pinhole{
		over: Pt(Length(random.Float64()*300), Length(random.Float64()*300)), away: Length(1400 + random.Float64()*600),
		tilt: Angle(random.Float64()*30) * Degree, around: Angle(random.Float64()*360) * Degree, roll: Angle(random.Float64()*20-10) * Degree,
		focal: 3000 + random.Float64()*1000, width: 4032, tall: 3024,
	}
}

// Points measured in a picture by a camera of known place are where they were
// on the table.
func TestPhotographGivesTheTableBack(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for range 300 {
		c := handheld(random)
		paper, lie := []Paper{A4, A3, Letter, Tabloid}[random.IntN(4)], []Lie{Upright, Lying}[random.IntN(2)]
		p := c.photographed(paper, lie)
		var want []Point
		var points []PixelPoint
		for len(points) < 20 {
			q := Pt(Length(random.Float64()*800-300), Length(random.Float64()*700-250))
			on := c.sees(q)
			if on.X < 0 || on.Y < 0 || on.X > c.width || on.Y > c.tall {
				continue
			}
			want, points = append(want, q), append(points, PixelPoint{"", on.X, on.Y})
		}
		got, err := p.Read(points)
		if err != nil {
			t.Fatalf("camera %+v: %v", c, err)
		}
		for i, r := range got.Rows() {
			if d := r.At.Dist(want[i]); d > 0.001*MM {
				t.Errorf("camera %+v: %v is measured %v mm away", c, want[i], d.MM())
			}
		}
	}
}

// What the table says of a misread pixel is what one does, in its worst
// direction.
func TestPhotographMisread(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	for range 50 {
		c := handheld(random)
		p := c.photographed(A4, Upright)
		on := c.sees(Pt(Length(random.Float64()*400), Length(random.Float64()*400)))
		read := func(p Photograph, x, y float64) PhotoPoint {
			t.Helper()
			points, err := p.Read([]PixelPoint{{"", x, y}})
			if err != nil {
				t.Fatal(err)
			}
			return points.Rows()[0]
		}
		right := read(p, on.X, on.Y)
		var worst, worstCorner Length
		for k := range 90 {
			sin, cos := math.Sincos(float64(k) * 2 * math.Pi / 90)
			worst = max(worst, read(p, on.X+cos, on.Y+sin).At.Dist(right.At))
			for i := range p.Corners {
				q := p
				q.Corners[i] = Pixel{p.Corners[i].X + cos, p.Corners[i].Y + sin}
				worstCorner = max(worstCorner, read(q, on.X, on.Y).At.Dist(right.At))
			}
		}
		if d := math.Abs((right.Pixel - worst).MM()); d > 0.01 {
			t.Errorf("a pixel moves the point by %v mm, the table says %v mm", worst.MM(), right.Pixel.MM())
		}
		if d := math.Abs((right.Corner - worstCorner).MM()); d > 0.01 {
			t.Errorf("a pixel of a corner moves the point by %v mm, the table says %v mm", worstCorner.MM(), right.Corner.MM())
		}
	}
}

// frontSheet is where the sheet's corner lies from that of hem and centre
// front.
var frontSheet = Pt(30, 150)

// frontCamera takes pictures of a front, of so many pixels across.
func frontCamera(width float64) pinhole {
	return pinhole{over: Pt(140, 280), away: 1600, tilt: 14 * Degree, around: 25 * Degree, roll: 4 * Degree, focal: width * 0.82, width: width, tall: width * 0.75}
}

// frontInPhotograph is a known front as it is read, in whole pixels, off a
// camera's photograph with an A4 sheet on its middle: every corner, and points on the way.
func frontInPhotograph(c pinhole) (edges []Edge, photo Photograph, points []PixelPoint) {
	edges, _ = tracedFront(0)
	fromSheet := c
	fromSheet.over = c.over.Sub(frontSheet)
	photo = fromSheet.photographed(A4, Upright)
	for i := range photo.Corners {
		photo.Corners[i] = photo.Corners[i].rounded()
	}
	for _, e := range edges {
		l := e.Path.Length()
		n := 2.0
		if e.Path.Segments()[0].Curve {
			n = math.Ceil(l.MM() / 30)
		}
		for i := range int(n) {
			on := c.sees(e.Path.At(l * Length(float64(i)/n))).rounded()
			name := e.Name
			if i > 0 {
				name = ""
			}
			points = append(points, PixelPoint{name, on.X, on.Y})
		}
	}
	return edges, photo, points
}

// A piece whose corners are known comes back from points read off a photograph
// to whole pixels of about 0.5 mm.
func TestPhotographToPiece(t *testing.T) {
	edges, photo, points := frontInPhotograph(frontCamera(4032))
	read, err := photo.Read(points)
	if err != nil {
		t.Fatal(err)
	}
	outline, err := read.Outline()
	if err != nil {
		t.Fatal(err)
	}
	p, err := Trace{Outline: outline, Edges: read.Named(), Fold: "centre front", Within: 1.5 * MM}.Piece("front")
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range edges {
		got, err := p.EdgeLength(want.Name)
		if err != nil {
			t.Fatal(err)
		}
		if d := (got - want.Path.Length()).Abs(); d > 1.5*MM {
			t.Errorf("%s is %s, %v mm off", want.Name, got, d.MM())
		}
	}
	for _, r := range read.Rows() {
		if v := r.verdict(geom.Rect{Max: paperSizes[A4]}); v != "ok" {
			t.Errorf("point at %v: %s", r.At, v)
		}
	}
}

func TestPhotographRefuses(t *testing.T) {
	sheet := [4]Pixel{{1000, 2000}, {1700, 2000}, {1700, 1000}, {1000, 1000}}
	corners := func(a, b, c, d Pixel) func(*Photograph) {
		return func(p *Photograph) { p.Corners = [4]Pixel{a, b, c, d} }
	}
	for _, tt := range []struct {
		name string
		edit func(*Photograph)
		want string
	}{
		{"no paper", func(p *Photograph) { p.Paper = 0 }, "want A4, A3"},
		{"no lie", func(p *Photograph) { p.Lie = FewestPages }, "want Upright where"},
		{"off the picture", corners(Pixel{-3, 2000}, sheet[1], sheet[2], sheet[3]), "lower left corner is at pixel (-3, 2000), want both from 0"},
		{"no number", corners(sheet[0], Pixel{math.NaN(), 0}, sheet[2], sheet[3]), "lower right corner is at pixel (NaN"},
		{"no corners", func(p *Photograph) { p.Corners = [4]Pixel{} }, "are 0 pixels, want at least 100"},
		{"small", corners(Pixel{1000, 1110}, Pixel{1078, 1110}, Pixel{1078, 1000}, Pixel{1000, 1000}), "from its lower left to its lower right corner are 78 pixels"},
		{"crossed", corners(sheet[0], sheet[2], sheet[1], sheet[3]), "cross"},
		{"mirrored", corners(sheet[1], sheet[0], sheet[3], sheet[2]), "clockwise, as in a mirror"},
		{"dented", corners(sheet[0], sheet[1], Pixel{1200, 1700}, sheet[3]), "inside the other three"},
		{"from the side", corners(Pixel{1000, 2000}, Pixel{3000, 2020}, Pixel{2700, 2008}, Pixel{1100, 1950}), "seen too much from the side"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			p := Photograph{Paper: A4, Lie: Upright, Corners: sheet}
			tt.edit(&p)
			_, err := p.Read(nil)
			wantError(t, err, tt.want)
		})
	}
}

// The sheet narrows upwards by two fifths: its slanting sides meet on the
// horizon at pixel (1500, 1500).
func TestPhotographRefusesPoints(t *testing.T) {
	p := Photograph{Paper: A4, Lie: Upright, Corners: [4]Pixel{{1000, 4000}, {2000, 4000}, {1800, 3000}, {1200, 3000}}}
	read := func(points ...PixelPoint) error {
		_, err := p.Read(points)
		return err
	}
	wantError(t, read(PixelPoint{"", 1500, 1400}), "point 1 at pixel (1500, 1400) lies on the horizon")
	wantError(t, read(PixelPoint{"hem", 1500, 1501}), `point 1, "hem", at pixel`)
	wantError(t, read(PixelPoint{"", 1500, 1900}), "is no measure: one misread pixel")
	wantError(t, read(PixelPoint{"", 1500, -1}), "want both from 0")
	wantError(t, read(PixelPoint{"hem", 1500, 3500}, PixelPoint{"hem", 1600, 3500}), `point 2, "hem", is the second`)
	wantError(t, read(make([]PixelPoint, photoMostPoints+1)...), "want at most 10000")
	if err := read(PixelPoint{"", 1500, 3000}); err != nil {
		t.Error(err)
	}
}

func TestPhotoPointsTable(t *testing.T) {
	p := Photograph{Paper: A4, Lie: Upright, Corners: [4]Pixel{{1000, 4000}, {1210, 4000}, {1210, 3703}, {1000, 3703}}}
	read, err := p.Read([]PixelPoint{{"hem", 1000, 4000}, {"", 1050, 3950}, {"shoulder", 2010, 4000}})
	if err != nil {
		t.Fatal(err)
	}
	table := read.Table()
	// At a pixel to the millimetre, each of its own is 1 mm.
	want := [][]string{{"hem", "0.00", "0.00", "1.00", "1.00", "ok"}, {"2", "5.00", "5.00", "1.00"}, {"shoulder", "101.00", "0.00", "1.00"}}
	for i, w := range want {
		for k, cell := range w {
			if table.Rows[i][k] != cell {
				t.Errorf("row %d is %q, want it to begin with %q", i, table.Rows[i], w)
				break
			}
		}
	}
	if v := table.Rows[2][5]; v != "coarse: a pixel is more than 2 mm" {
		t.Errorf("a point a metre away is %q", v)
	}
	if len(table.Notes) != 2 {
		t.Errorf("notes %q", table.Notes)
	}
	p.Lie = Lying
	turned, err := p.Read(nil)
	if err != nil {
		t.Fatal(err)
	}
	if notes := fmt.Sprint(turned.Table().Notes); len(turned.Table().Notes) != 2 {
		t.Errorf("a sheet that looks turned: notes %s", notes)
	}
	fine := Photograph{Paper: A4, Lie: Upright, Corners: [4]Pixel{{1000, 4000}, {3100, 4000}, {3100, 1030}, {1000, 1030}}}
	far, err := fine.Read([]PixelPoint{{"near", 3100 + 5900, 4000}, {"far", 3100 + 6000, 4000}})
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []string{"ok", "far: more than 59.4 cm from the sheet"} {
		if got := far.Table().Rows[i][5]; got != want {
			t.Errorf("a point %s away is %q, want %q", far.Rows()[i].Beyond, got, want)
		}
	}
	if (PhotoPoints{}).String() == "" {
		t.Error("the zero value shows nothing")
	}
}

func TestPhotoPointsOutlineRefuses(t *testing.T) {
	p := Photograph{Paper: A4, Lie: Upright, Corners: [4]Pixel{{1000, 4000}, {1210, 4000}, {1210, 3703}, {1000, 3703}}}
	read, err := p.Read([]PixelPoint{{"hem", 1000, 4000}, {"", 1050, 3950}, {"", 1100, 3900}})
	if err != nil {
		t.Fatal(err)
	}
	_, err = read.Outline()
	wantError(t, err, "through 3 points of a photograph, 1 of them with a name")
	_, err = PhotoPoints{}.Outline()
	wantError(t, err, "through 0 points")
}

// Whatever is typed as corners and as a point, what is measured is finite, and
// the sheet's own corners lie where the sheet has them.
func FuzzPhotograph(f *testing.F) {
	f.Add(1000.0, 2000.0, 1700.0, 2000.0, 1700.0, 1000.0, 1000.0, 1000.0, 1234.0, 567.0, uint8(1), uint8(1))
	f.Add(812.5, 2012.0, 1990.0, 2250.0, 2400.0, 900.0, 700.0, 600.0, 3000.0, 3000.0, uint8(6), uint8(2))
	f.Fuzz(func(t *testing.T, ax, ay, bx, by, cx, cy, dx, dy, x, y float64, paper, lie uint8) {
		p := Photograph{Paper: Paper(paper), Lie: Lie(lie), Corners: [4]Pixel{{ax, ay}, {bx, by}, {cx, cy}, {dx, dy}}}
		if got, err := p.Read([]PixelPoint{{"", x, y}}); err == nil {
			r := got.Rows()[0]
			if !r.At.Finite() || !(r.Pixel > 0) || !(r.Corner >= 0) || !(max(r.Pixel, r.Corner) <= photoCoarsest) {
				t.Fatalf("%+v", r)
			}
		}
		got, err := p.Read([]PixelPoint{{"", ax, ay}, {"", cx, cy}})
		if err != nil {
			return
		}
		size := paperSizes[p.Paper]
		if p.Lie == Lying {
			size = Pt(size.Y, size.X)
		}
		if rows := got.Rows(); rows[0].At.Norm() > 1e-3 || rows[1].At.Dist(size) > 1e-3 {
			t.Fatalf("the sheet's corners are at %v and %v", rows[0].At, rows[1].At)
		}
	})
}
