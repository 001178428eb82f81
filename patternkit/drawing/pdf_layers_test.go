package drawing

import (
	"bytes"
	"fmt"
	"image"
	"regexp"
	"testing"

	"patternkit/patternkit/geom"
)

// switchedOff is the document with one layer off when it is opened (ISO
// 32000-1, 8.11.4.3), of the same length.
func switchedOff(t *testing.T, pdf []byte, layer int) []byte {
	t.Helper()
	order := regexp.MustCompile(`/OFF \[\] /Order \[([0-9R ]+)\]`)
	found := order.FindSubmatch(pdf)
	if found == nil {
		t.Fatal("the document lists no layers")
	}
	refs := regexp.MustCompile(`[0-9]+ 0 R`).FindAll(found[1], -1)
	off := fmt.Appendf(nil, "/OFF [%s] /Order []", refs[layer])
	off = append(off, bytes.Repeat([]byte(" "), len(found[0])-len(off))...)
	return bytes.Replace(pdf, found[0], off, 1)
}

// A reader of PDF shows each layer by itself.
func TestLayersAreSwitched(t *testing.T) {
	p := NewPage("Two sizes", "A line in each of two layers.")
	for i, layer := range []string{"size 10", "size 12"} {
		p.Begin(layer)
		y := geom.Length(10 + 20*i)
		p.Stroke(geom.Line(geom.Pt(0, y), geom.Pt(60, y)), Pen{Width: 1})
		p.End()
	}
	p.Stroke(geom.Rect{Max: geom.Pt(60, 40)}.Outline(), Pen{Width: 1})
	pdf, err := p.PDF(Sheets{})
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		name  string
		file  []byte
		lines int
	}{{"all", pdf, 4}, {"size 10 off", switchedOff(t, pdf, 0), 3}, {"size 12 off", switchedOff(t, pdf, 1), 3}} {
		img := render(t, tt.file, 1, 100)
		middle := img.Bounds().Dx() / 2
		if got := linesAcross(img, image.Pt(middle, 0), image.Pt(middle, img.Bounds().Dy()-1)); len(got) != tt.lines {
			t.Errorf("%s: %d lines across the page, want %d", tt.name, len(got), tt.lines)
		}
	}
}
