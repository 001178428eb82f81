package drawing

import (
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"patternkit/patternkit/geom"
)

// A browser shows the lines and areas of the SVG as the PNG writer draws them.
// Text is left out: which typeface a browser takes depends on the machine.
func TestBrowserShowsSVGAsPNG(t *testing.T) {
	browser, err := exec.LookPath("chromium")
	if err != nil {
		if os.Getenv("PATTERNKIT_FULL") != "" {
			t.Fatal("chromium is not installed, and PATTERNKIT_FULL asks for it")
		}
		t.Skip("chromium is not installed: SVG is not compared with PNG")
	}
	p := NewPage("A kite", "A kite with its fold line and a ring.")
	p.Fill(kite(1), white)
	p.Stroke(kite(1), Pen{Width: 1.5})
	p.Stroke(geom.Line(geom.Pt(8, 8), geom.Pt(8, 72)), Pen{Width: 1, Dash: []geom.Length{6, 3, 2, 3}, Phase: 4})
	p.Fill(geom.Arc(geom.Pt(40, 40), 12, 0, 360*geom.Degree), black)
	dir := t.TempDir()
	svg, shot := filepath.Join(dir, "page.svg"), filepath.Join(dir, "shot.png")
	if err := os.WriteFile(svg, p.SVG(), 0o644); err != nil {
		t.Fatal(err)
	}
	run := exec.Command(browser, "--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars",
		"--user-data-dir="+dir, "--window-size=600,600", "--screenshot="+shot, "file://"+svg)
	if out, err := run.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	f, err := os.Open(shot)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	theirs, err := png.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	ours, off := p.Pixels(96), 0.0
	for y := range ours.Rect.Dy() {
		for x := range ours.Rect.Dx() {
			a, _, _, _ := ours.At(x, y).RGBA()
			b, _, _, _ := theirs.At(x, y).RGBA()
			off += math.Abs(float64(a)-float64(b)) / 0xffff
		}
	}
	share := off / darkness(p, 96)
	t.Logf("the browser's picture differs by %.4f of the ink", share)
	if share > 0.05 {
		t.Errorf("the browser's picture differs by %.4f of the ink", share)
	}
}
