package drawing

import (
	"bytes"
	"encoding/base64"
	"image"
	"image/color"
	"image/jpeg"
	"regexp"
	"testing"

	"patternkit/patternkit/geom"
)

// A photograph is held as JPEG by files of both kinds, and what the SVG holds
// is near to what was drawn.
func TestPhoto(t *testing.T) {
	img := image.NewRGBA(image.Rect(0, 0, 40, 20))
	for y := range 20 {
		for x := range 40 {
			img.SetRGBA(x, y, color.RGBA{uint8(6 * x), uint8(12 * y), 0x80, 0xff})
		}
	}
	page := NewPage("photograph", "a ramp of colours")
	page.Photo(geom.Rect{Max: geom.Pt(80, 40)}, img)
	found := regexp.MustCompile(`width="80" height="40"[^>]*href="data:image/jpeg;base64,([^"]+)"`).FindSubmatch(page.SVG())
	if found == nil {
		t.Fatal("the SVG holds no JPEG at its size")
	}
	file, err := base64.StdEncoding.DecodeString(string(found[1]))
	if err != nil {
		t.Fatal(err)
	}
	got, err := jpeg.Decode(bytes.NewReader(file))
	if err != nil {
		t.Fatal(err)
	}
	if got.Bounds() != img.Bounds() {
		t.Errorf("it is of %v, want %v", got.Bounds(), img.Bounds())
	}
	r, g, b, _ := got.At(30, 10).RGBA()
	for k, pair := range [3][2]int{{int(r >> 8), 180}, {int(g >> 8), 120}, {int(b >> 8), 0x80}} {
		if d := pair[0] - pair[1]; d < -12 || d > 12 {
			t.Errorf("colour %d is %d, want about %d", k, pair[0], pair[1])
		}
	}
	pdf, err := page.PDF(Sheets{})
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Contains(pdf, []byte("/DCTDecode")) {
		t.Error("the PDF holds no JPEG")
	}
}
