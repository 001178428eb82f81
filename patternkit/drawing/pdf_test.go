package drawing

import (
	"bytes"
	"fmt"
	"image"
	_ "image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"patternkit/patternkit/geom"
)

// poppler runs a program of poppler-utils on a document, or skips where it is
// not installed. It returns the folder in which the program ran.
func poppler(t *testing.T, pdf []byte, program string, args ...string) (string, []byte) {
	t.Helper()
	path, err := exec.LookPath(program)
	if err != nil {
		if os.Getenv("PATTERNKIT_FULL") != "" {
			t.Fatalf("%s is not installed, and PATTERNKIT_FULL asks for it", program)
		}
		t.Skipf("%s (poppler-utils) is not installed: printed pages are not measured", program)
	}
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "page.pdf"), pdf, 0o644); err != nil {
		t.Fatal(err)
	}
	run := exec.Command(path, args...)
	run.Dir = dir
	var complaints bytes.Buffer
	run.Stderr = &complaints
	out, err := run.Output()
	if err != nil || complaints.Len() > 0 {
		t.Fatalf("%s: %v\n%s", program, err, complaints.String())
	}
	return dir, out
}

// render returns one page of a document as pixels.
func render(t *testing.T, pdf []byte, page int, dpi int) image.Image {
	t.Helper()
	n := fmt.Sprint(page)
	dir, _ := poppler(t, pdf, "pdftoppm", "-png", "-r", fmt.Sprint(dpi), "-f", n, "-l", n, "-singlefile", "page.pdf", "out")
	f, err := os.Open(filepath.Join(dir, "out.png"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	img, _, err := image.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	return img
}

// linesAcross returns where a scan from one place to another, in pixels,
// crosses dark lines: their middles, weighed by darkness.
func linesAcross(img image.Image, from, to image.Point) []float64 {
	var out []float64
	steps := max(to.X-from.X, to.Y-from.Y)
	sum, weight := 0.0, 0.0
	for i := 0; i <= steps; i++ {
		x, y := from.X+(to.X-from.X)*i/steps, from.Y+(to.Y-from.Y)*i/steps
		r, _, _, _ := img.At(x, y).RGBA()
		dark := 1 - float64(r)/0xffff
		switch {
		case dark > 0.02:
			sum, weight = sum+dark*(float64(i)+0.5), weight+dark
		case weight > 0:
			out = append(out, sum/weight)
			sum, weight = 0, 0
		}
	}
	return out
}

func bigPage() *Page { return samplePage(5) }

// The squares on the first page measure 10 cm and 4 in on a rendering.
func TestTestSquares(t *testing.T) {
	const dpi = 300
	for _, s := range []Sheets{{Paper: A4}, {Paper: Letter}, {Paper: A4, Landscape: true}} {
		pdf, err := bigPage().PDF(s)
		if err != nil {
			t.Fatal(err)
		}
		img := render(t, pdf, 1, dpi)
		pixel := func(mm float64) int { return int(math.Round(mm / 25.4 * dpi)) }
		w := img.Bounds().Dx()
		// The squares begin 11 mm from the left; the row that runs 8 mm above
		// the lower side of the upper one is free of text.
		want := []float64{100}
		if s.Landscape {
			want = []float64{100, 8, 101.6}
		}
		found := false
		for y := pixel(40); y < pixel(120) && !found; y += pixel(1) {
			lines := linesAcross(img, image.Pt(pixel(5), y), image.Pt(w-1, y))
			if len(lines) < len(want)+1 {
				continue
			}
			found = true
			for i, mm := range want {
				if got := (lines[i+1] - lines[i]) / dpi * 25.4; math.Abs(got-mm) > 0.2 {
					found = false
				}
			}
			if found {
				t.Logf("%v: the 10 cm square is %.3f mm wide", s.describe(), (lines[1]-lines[0])/dpi*25.4)
			}
		}
		if !found {
			t.Errorf("%v: no row of the first page crosses lines at distances of %v mm", s.describe(), want)
		}
		lines := linesAcross(img, image.Pt(pixel(20), pixel(22)), image.Pt(pixel(20), img.Bounds().Dy()-1))
		if !hasGap(lines, dpi, 100) || len(want) == 1 && !hasGap(lines, dpi, 101.6) {
			t.Errorf("%v: lines down the first page at %v", s.describe(), lines)
		}
	}
}

// hasGap reports whether two lines that follow each other are mm apart.
func hasGap(lines []float64, dpi, mm float64) bool {
	for i := 1; i < len(lines); i++ {
		if math.Abs((lines[i]-lines[i-1])/dpi*25.4-mm) < 0.2 {
			return true
		}
	}
	return false
}

// What the pages show, laid on each other as they are joined, is the drawing.
func TestTilesShowTheDrawing(t *testing.T) {
	for _, s := range []Sheets{{Paper: A4}, {Paper: Letter, Landscape: true, Overlap: 25}, {Paper: A3, Butt: true}, {Paper: CustomPaper, Width: 300, Height: 260, Margin: 5}, {Paper: A0}} {
		p := bigPage()
		box := p.Bounds()
		s = s.withDefaults()
		tiling, err := s.tiling(box.Grow(1), []geom.Rect{box})
		if err != nil {
			t.Fatal(err)
		}
		if !holds(tiling.area(), box) {
			t.Errorf("%v: the pages cover %v, the drawing %v", s, tiling.area(), box)
		}
		for i, one := range tiling.tiles {
			if w, h := one.area.Width(), one.area.Height(); math.Abs(float64(w+2*s.Margin-tiling.width)) > 1e-9 || math.Abs(float64(h+2*s.Margin-tiling.height)) > 1e-9 {
				t.Errorf("%v: page %s shows %v by %v", s, one.name(), w, h)
			}
			if one.column > 0 {
				left := tiling.tiles[i-1].area
				if got := left.Max.X - one.area.Min.X; math.Abs(float64(got-s.Overlap)) > 1e-9 {
					t.Errorf("%v: pages overlap by %v, want %v", s, got, s.Overlap)
				}
			}
			if one.row > 0 {
				above := tiling.tiles[i-tiling.columns].area
				if got := one.area.Max.Y - above.Min.Y; math.Abs(float64(got-s.Overlap)) > 1e-9 {
					t.Errorf("%v: rows overlap by %v, want %v", s, got, s.Overlap)
				}
			}
		}
	}
}

func holds(outer, inner geom.Rect) bool {
	return outer.Contains(inner.Min) && outer.Contains(inner.Max)
}

// A line of 150 mm and one of 37 mm on a page of tiles are that long on paper.
func TestTilesAreTrueToScale(t *testing.T) {
	p := NewPage("Ladder", "Upright lines at known distances.")
	for _, x := range []geom.Length{0, 37, 150} {
		p.Stroke(geom.Line(geom.Pt(x, 0), geom.Pt(x, 100)), Pen{Width: 0.3})
	}
	pdf, err := p.PDF(Sheets{Paper: A4})
	if err != nil {
		t.Fatal(err)
	}
	const dpi = 300
	img := render(t, pdf, 2, dpi)
	h := img.Bounds().Dy()
	var lines []float64
	for y := 0; y < h && !(hasGap(lines, dpi, 37) && hasGap(lines, dpi, 113)); y += 20 {
		lines = linesAcross(img, image.Pt(0, y), image.Pt(img.Bounds().Dx()-1, y))
	}
	if !hasGap(lines, dpi, 37) || !hasGap(lines, dpi, 113) {
		t.Errorf("no row of the page has lines 37 and 113 mm apart")
	}
}

func TestPagesAndText(t *testing.T) {
	pdf, err := bigPage().PDF(Sheets{Paper: A4})
	if err != nil {
		t.Fatal(err)
	}
	_, info := poppler(t, pdf, "pdfinfo", "page.pdf")
	// 365 by 525 mm on pages that show 190 by 277 mm, 15 mm of them twice:
	// 3 columns and 2 rows, and the first page.
	for _, want := range []string{"Pages:           7", "Title:           A kite & its tail", "Subject:         A kite with a fold line"} {
		if !bytes.Contains(info, []byte(want)) {
			t.Errorf("no %q in\n%s", want, info)
		}
	}
	_, text := poppler(t, pdf, "pdftotext", "page.pdf", "-")
	for _, want := range []string{"10 cm square", "4 in square", "Map of the pages", "Print at 100 %", "Größe 1 ⅝", "row B, column 3", "to the right: A2", "below: B1"} {
		if !bytes.Contains(text, []byte(want)) {
			t.Errorf("no %q in the text of the pages", want)
		}
	}
	again, err := bigPage().PDF(Sheets{Paper: A4})
	if err != nil || !bytes.Equal(pdf, again) {
		t.Errorf("the same drawing gives another document (%v)", err)
	}
}

func TestLayersOfPDF(t *testing.T) {
	pdf, err := samplePage(1).PDF(Sheets{})
	if err != nil {
		t.Fatal(err)
	}
	if n := bytes.Count(pdf, []byte("/Type /OCG")); n != 3 {
		t.Errorf("%d layers, want 3", n)
	}
}

// Blank pages are not printed.
func TestBlankTiles(t *testing.T) {
	p := NewPage("Far apart", "Two small squares.")
	for _, at := range []geom.Point{geom.Pt(0, 0), geom.Pt(600, 800)} {
		p.Stroke(geom.RectAround(at, at.Add(geom.Pt(50, 50))).Outline(), thin)
	}
	pdf, err := p.PDF(Sheets{Paper: A4})
	if err != nil {
		t.Fatal(err)
	}
	if _, info := poppler(t, pdf, "pdfinfo", "page.pdf"); !bytes.Contains(info, []byte("Pages:           3")) {
		t.Errorf("want the first page and two of the drawing:\n%s", info)
	}
}

func TestSheetsRefuse(t *testing.T) {
	p := bigPage()
	tests := []struct {
		s    Sheets
		want string
	}{
		{Sheets{Paper: CustomPaper}, "want Width and Height"},
		{Sheets{Paper: Paper(77)}, "Paper(77) is not a paper"},
		{Sheets{Paper: A4, Margin: 120}, "less than half the paper"},
		{Sheets{Paper: A4, Overlap: 100}, "less than half the paper"},
		{Sheets{Paper: A4, Margin: -1}, "from 0 cm on"},
		{Sheets{Paper: CustomPaper, Width: 100, Height: 100}, "too small for its first page"},
		{Sheets{Paper: CustomPaper, Width: geom.Length(math.NaN()), Height: 100}, "want Width and Height"},
	}
	for _, tt := range tests {
		if _, err := p.PDF(tt.s); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%+v: %v, want an error with %q", tt.s, err, tt.want)
		}
	}
	huge := NewPage("Huge", "")
	huge.Stroke(geom.Line(geom.Pt(0, 0), geom.Pt(6000, 6000)), thin)
	if _, err := huge.PDF(Sheets{}); err == nil || !strings.Contains(err.Error(), "larger than readers show") {
		t.Errorf("a page of 6 m: %v", err)
	}
	huge.Stroke(geom.Line(geom.Pt(0, 0), geom.Pt(6e5, 6e5)), thin)
	if _, err := huge.PDF(Sheets{Paper: A4}); err == nil || !strings.Contains(err.Error(), "pages of A4, more than") {
		t.Errorf("a drawing of 600 m: %v", err)
	}
	foreign := NewPage("Foreign", "")
	foreign.Text(Text{S: "裁つ", Font: plain})
	if _, err := foreign.PDF(Sheets{}); err == nil || !strings.Contains(err.Error(), `has no '裁'`) {
		t.Errorf("letters that the typeface lacks: %v", err)
	}
}

func TestRowNames(t *testing.T) {
	for row, want := range map[int]string{0: "A", 25: "Z", 26: "AA", 27: "AB", 701: "ZZ", 702: "AAA"} {
		if got := rowName(row); got != want {
			t.Errorf("row %d is %s, want %s", row, got, want)
		}
	}
}

// A page looks the same in PNG as poppler shows its PDF.
func TestPNGLooksLikePDF(t *testing.T) {
	const dpi = 192
	for _, p := range []*Page{samplePage(1), twoPieces(), chartPage(), crowdedPage()} {
		pdf, err := p.PDF(Sheets{})
		if err != nil {
			t.Fatal(err)
		}
		theirs, ours := render(t, pdf, 1, dpi), p.Pixels(dpi)
		off, count := 0.0, 0
		for y := range min(ours.Rect.Dy(), theirs.Bounds().Dy()) {
			for x := range min(ours.Rect.Dx(), theirs.Bounds().Dx()) {
				a, _, _, _ := ours.At(x, y).RGBA()
				b, _, _, _ := theirs.At(x, y).RGBA()
				off += math.Abs(float64(a)-float64(b)) / 0xffff
				count++
			}
		}
		ink := darkness(p, dpi)
		t.Logf("%s: pictures differ by %.4f of the ink", p.Title(), off/ink)
		// Poppler moves thin lines to whole pixels; a picture moved by one
		// pixel would be off by more than all its ink.
		if off/ink > 0.4 {
			t.Errorf("%s: pictures differ by %.4f of the ink", p.Title(), off/ink)
		}
	}
}

// A chart's words are in every file.
func TestChartInEveryFormat(t *testing.T) {
	p := chartPage()
	if err := p.Err(); err != nil {
		t.Fatal(err)
	}
	svg := p.SVG()
	parseSVG(t, svg)
	pdf, err := p.PDF(Sheets{})
	if err != nil {
		t.Fatal(err)
	}
	for _, word := range []string{"Tail against wind", "wind (m/s)", "tail (cm)", "measured"} {
		if !bytes.Contains(svg, []byte(">"+word+"</text>")) {
			t.Errorf("no %q in the SVG", word)
		}
	}
	if ink := darkness(p, 96); ink < 1000 {
		t.Errorf("the picture has %.0f pixels of ink", ink)
	}
	_, text := poppler(t, pdf, "pdftotext", "page.pdf", "-")
	for _, word := range []string{"Tail against wind", "wind (m/s)", "measured"} {
		if !bytes.Contains(text, []byte(word)) {
			t.Errorf("no %q in the PDF", word)
		}
	}
}

// A roll with breaks is a page for each part, with what is drawn there, and
// only as long as it.
func TestRollWithBreaks(t *testing.T) {
	page := NewPage("roll", "three squares above each other")
	for _, y := range []geom.Length{0, 300, 900} {
		page.Fill(geom.Rect{Min: geom.Pt(0, y), Max: geom.Pt(100, y+100)}.Outline(), black)
	}
	pdf, err := page.PDF(Sheets{Paper: Roll, Width: 200, Margin: 10, Breaks: []geom.Length{200, 850}})
	if err != nil {
		t.Fatal(err)
	}
	// From 1 mm under what is drawn to the first break, and so on.
	for i, want := range []float64{201 + 20, 650 + 20, 151 + 20} {
		img := render(t, pdf, i+1, 127) // 5 pixels to the millimetre
		if got := float64(img.Bounds().Dy()) / 5; math.Abs(got-want) > 0.3 {
			t.Errorf("page %d is %.1f mm long, want %.0f mm", i+1, got, want)
		}
		dark := 0
		for y := range img.Bounds().Dy() {
			if r, _, _, _ := img.At(img.Bounds().Dx()/2, y).RGBA(); r < 0x8000 {
				dark++
			}
		}
		if math.Abs(float64(dark)/5-100) > 0.5 {
			t.Errorf("page %d has %.1f mm of a square, want 100 mm", i+1, float64(dark)/5)
		}
	}
	for _, breaks := range [][]geom.Length{{850, 200}, {-5}, {2000}} {
		if _, err := page.PDF(Sheets{Paper: Roll, Width: 200, Margin: 10, Breaks: breaks}); err == nil || !strings.Contains(err.Error(), "breaks that rise") {
			t.Errorf("breaks %v: %v", breaks, err)
		}
	}
}
