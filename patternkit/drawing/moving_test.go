package drawing

import (
	"bytes"
	"encoding/base64"
	"image"
	"image/png"
	"regexp"
	"strings"
	"testing"
)

// A moving picture looks like the one at rest: of ten thousand pixels fewer
// than five differ visibly, where lines of two pens cross.
func TestMovingLooksTheSame(t *testing.T) {
	for name, p := range map[string]*Page{"kite": samplePage(1), "two kites": twoPieces(), "chart": chartPage(), "crowd": crowdedPage()} {
		t.Run(name, func(t *testing.T) {
			moving := NewPage(p.title, p.description)
			moving.ready = gathered(p.settled())
			if len(moving.ready) > len(p.settled()) {
				t.Errorf("%d elements of %d, want no more", len(moving.ready), len(p.settled()))
			}
			a, b := pixelsOf(t, p), pixelsOf(t, moving)
			if a.Bounds() != b.Bounds() {
				t.Fatalf("sizes %v and %v", a.Bounds(), b.Bounds())
			}
			off, all := 0, a.Bounds().Dx()*a.Bounds().Dy()
			for y := range a.Bounds().Dy() {
				for x := range a.Bounds().Dx() {
					r0, g0, b0, _ := a.At(x, y).RGBA()
					r1, g1, b1, _ := b.At(x, y).RGBA()
					if max(r0, r1)-min(r0, r1)+max(g0, g1)-min(g0, g1)+max(b0, b1)-min(b0, b1) > 0x1800 {
						off++
					}
				}
			}
			if off*10_000 > 5*all {
				t.Errorf("%d pixels of %d differ", off, all)
			}
		})
	}
}

func pixelsOf(t *testing.T, p *Page) image.Image {
	t.Helper()
	picture, err := png.Decode(bytes.NewReader(p.PNG(100)))
	if err != nil {
		t.Fatal(err)
	}
	return picture
}

// The texts of a moving picture are those of the one at rest, in the same
// places, and the page is as large.
func TestMovingHasTheSameTexts(t *testing.T) {
	p := crowdedPage()
	found := regexp.MustCompile(`base64,([^"]*)"`).FindStringSubmatch(p.HTMLMoving())
	moving, err := base64.StdEncoding.DecodeString(found[1])
	if err != nil {
		t.Fatal(err)
	}
	texts := func(svg string) string {
		return strings.Join(regexp.MustCompile(`<text.*</text>`).FindAllString(svg, -1), "\n")
	}
	if got, want := texts(string(moving)), texts(string(p.SVG())); got != want || got == "" {
		t.Errorf("texts\n%s\nwant\n%s", got, want)
	}
	if got, want := p.HTMLMoving()[:80], p.HTML(0)[:80]; got != want {
		t.Errorf("the image begins %s, want %s", got, want)
	}
}
