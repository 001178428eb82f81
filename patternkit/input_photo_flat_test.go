package patternkit

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math"
	"os"
	"strings"
	"testing"
)

// under is the place of the table that a pixel shows: the inverse of sees.
func (c pinhole) under(x, y float64) Point {
	on := Pt(Length(x-c.width/2), Length(c.tall/2-y)).Rotated(-c.roll).Scale(1 / c.focal)
	sin, cos := math.Sincos(float64(c.tilt))
	up := c.away * on.Y / Length(cos-on.Y.MM()*sin)
	return c.over.Add(Pt(on.X*(c.away+up*Length(sin)), up).Rotated(c.around))
}

// takes is the photograph of a table whose every place has a brightness.
func (c pinhole) takes(bright func(Point) uint8) *image.Gray {
	img := image.NewGray(image.Rect(0, 0, int(c.width), int(c.tall)))
	for y := range img.Rect.Dy() {
		for x := range img.Rect.Dx() {
			sum := 0
			for k := range 4 {
				sum += int(bright(c.under(float64(x)+float64(k%2)/2-0.25, float64(y)+float64(k/2)/2-0.25)))
			}
			img.SetGray(x, y, color.Gray{uint8(sum / 4)})
		}
	}
	return img
}

// checkers are squares of 5 cm, under an A4 sheet at the origin.
func checkers(q Point) uint8 {
	if size := paperSizes[A4]; q.X >= 0 && q.Y >= 0 && q.X <= size.X && q.Y <= size.Y {
		return 0xf0
	}
	if int(math.Floor(q.X.CM()/5)+math.Floor(q.Y.CM()/5))%2 == 0 {
		return 0x30
	}
	return 0xb0
}

func jpegOf(t testing.TB, img image.Image) []byte {
	t.Helper()
	var file bytes.Buffer
	if err := jpeg.Encode(&file, img, nil); err != nil {
		t.Fatal(err)
	}
	return file.Bytes()
}

// The squares of a checkerboard, photographed aslant, are seen again at their
// places: every edge along some lines over the flat picture.
func TestFlatPhotoOfCheckers(t *testing.T) {
	c := pinhole{over: Pt(105, 150), away: 1500, tilt: 24 * Degree, around: 130 * Degree, roll: -7 * Degree, focal: 1300, width: 1612, tall: 1210}
	p := c.photographed(A4, Upright)
	flat, err := p.Flat(bytes.NewReader(jpegOf(t, c.takes(checkers))))
	if err != nil {
		t.Fatal(err)
	}
	side := flat.box.Width() / Length(flat.img.Rect.Dx())
	at := func(q Point) float64 { // brightness between the middles of pixels
		x, y := float64((q.X-flat.box.Min.X)/side)-0.5, float64((flat.box.Max.Y-q.Y)/side)-0.5
		i, k := int(x), int(y)
		mix := func(a, b uint8, f float64) float64 { return float64(a)*(1-f) + float64(b)*f }
		fx := x - float64(i)
		upper := mix(flat.img.RGBAAt(i, k).R, flat.img.RGBAAt(i+1, k).R, fx)
		lower := mix(flat.img.RGBAAt(i, k+1).R, flat.img.RGBAAt(i+1, k+1).R, fx)
		return upper*(1-(y-float64(k))) + lower*(y-float64(k))
	}
	found, worst := 0, 0.0
	for line := -225.0; line <= 525; line += 50 { // along the middles of squares
		for edge := -200.0; edge <= 500; edge += 50 {
			for _, across := range []bool{true, false} {
				place := func(d float64) Point {
					if across {
						return Pt(Length(edge+d), Length(line))
					}
					return Pt(Length(line), Length(edge+d))
				}
				if q := place(0); paperAround(q) || !flat.box.Grow(-2*CM).Contains(q) {
					continue
				}
				low, high := at(place(-8)), at(place(8))
				if math.Abs(low-high) < 60 {
					continue // not on the photograph
				}
				found++
				worst = max(worst, math.Abs(crossing(func(d float64) float64 { return at(place(d)) - (low+high)/2 })))
			}
		}
	}
	if found < 150 {
		t.Errorf("%d edges are seen, want 150", found)
	}
	if worst > 0.4*side.MM() {
		t.Errorf("an edge is %.2f mm off its place, a pixel is %.2f mm", worst, side.MM())
	}
	t.Logf("%d edges, at most %.2f mm off, a pixel is %.2f mm", found, worst, side.MM())
}

// paperAround reports whether the sheet is within 3 cm.
func paperAround(q Point) bool {
	size := paperSizes[A4]
	return q.X > -30 && q.Y > -30 && q.X < size.X+30 && q.Y < size.Y+30
}

// crossing is where f changes its sign, between -8 and 8.
func crossing(f func(float64) float64) float64 {
	a, b := -8.0, 8.0
	for range 40 {
		if m := (a + b) / 2; f(a)*f(m) <= 0 {
			b = m
		} else {
			a = m
		}
	}
	return (a + b) / 2
}

// What was read lies over what it was read from; the drawing shows its grid,
// and its file is true to scale.
func TestFlatPhotoShowsPoints(t *testing.T) {
	camera := frontCamera(1200)
	edges, photo, points := frontInPhotograph(camera)
	read, err := photo.Read(points)
	if err != nil {
		t.Fatal(err)
	}
	outline := Path{}
	for _, e := range edges {
		if outline, err = outline.Append(e.Path); err != nil {
			t.Fatal(err)
		}
	}
	rim := polygon(outline)
	file := jpegOf(t, camera.takes(func(q Point) uint8 {
		if s := q.Sub(frontSheet); s.X >= 0 && s.Y >= 0 && s.X <= 210 && s.Y <= 297 {
			return 0xf8
		}
		if inside(q, rim) {
			return 0x50
		}
		return 0xa8
	}))
	flat, err := photo.Flat(bytes.NewReader(file), read)
	if err != nil {
		t.Fatal(err)
	}
	svg, err := flat.SVGFile()
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{">hem<", ">armhole<", ">40<", ">−10<", "image/jpeg"} {
		if !strings.Contains(strings.ReplaceAll(flat.SVG(), ">-", ">−"), want) {
			t.Errorf("the drawing lacks %q", want)
		}
	}
	if !strings.Contains(string(svg), "a line every 1 cm") {
		t.Error("the file at true scale has no grid of 1 cm")
	}
	if path := os.Getenv("LOOK"); path != "" {
		os.WriteFile(path+"/flat.png", flat.PNG(), 0o600)
		os.WriteFile(path+"/photo.jpg", file, 0o600)
		os.WriteFile(path+"/flat.svg", svg, 0o600)
		t.Log(len(flat.HTML()), len(svg))
	}
}

// A photograph of 12 million pixels, flattened for a cell.
func BenchmarkFlatPhoto(b *testing.B) {
	camera := frontCamera(4032)
	_, photo, points := frontInPhotograph(camera)
	read, err := photo.Read(points)
	if err != nil {
		b.Fatal(err)
	}
	file := jpegOf(b, camera.takes(checkers))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := photo.Flat(bytes.NewReader(file), read); err != nil {
			b.Fatal(err)
		}
	}
}

func TestFlatPhotoRefuses(t *testing.T) {
	p := Photograph{Paper: A4, Lie: Upright, Corners: [4]Pixel{{100, 400}, {310, 400}, {310, 103}, {100, 103}}}
	var small bytes.Buffer
	if err := png.Encode(&small, image.NewGray(image.Rect(0, 0, 300, 500))); err != nil {
		t.Fatal(err)
	}
	_, err := p.Flat(&small)
	wantError(t, err, "lower right corner is at pixel (310, 400) of a picture of 300 by 500")
	_, err = p.Flat(strings.NewReader("GIF89a"))
	wantError(t, err, "photograph: the file is no photograph")
	_, err = Photograph{}.Flat(nil)
	wantError(t, err, "photograph: the sheet is of")
	_, err = FlatPhoto{}.SVGFile()
	wantError(t, err, "photograph that is empty")
}
