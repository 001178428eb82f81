package patternkit

import (
	"bytes"
	"fmt"
	"image"
	"image/draw"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// renderPage turns one page of a PDF into pixels with poppler, an outside
// reader.
func renderPage(t *testing.T, file []byte, page int, dpi int) *image.Gray {
	t.Helper()
	tool, err := exec.LookPath("pdftoppm")
	if err != nil {
		if os.Getenv("PATTERNKIT_FULL") != "" {
			t.Fatal("pdftoppm of poppler-utils is not installed")
		}
		t.Skip("pdftoppm of poppler-utils is not installed")
	}
	dir := t.TempDir()
	path := filepath.Join(dir, "pattern.pdf")
	if err := os.WriteFile(path, file, 0o600); err != nil {
		t.Fatal(err)
	}
	n := strconv.Itoa(page)
	command := exec.Command(tool, "-png", "-gray", "-singlefile", "-r", strconv.Itoa(dpi), "-f", n, "-l", n, path, filepath.Join(dir, "page"))
	if out, err := command.CombinedOutput(); err != nil {
		t.Fatalf("pdftoppm: %v: %s", err, out)
	}
	content, err := os.ReadFile(filepath.Join(dir, "page.png"))
	if err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(bytes.NewReader(content))
	if err != nil {
		t.Fatal(err)
	}
	gray := image.NewGray(img.Bounds())
	draw.Draw(gray, gray.Bounds(), img, img.Bounds().Min, draw.Src)
	return gray
}

// darkRuns returns the middles of the groups of neighbouring rows, or columns,
// that hold a dark run of about that length, in pixels.
func darkRuns(img *image.Gray, length, tol float64, columns bool) []float64 {
	b := img.Bounds()
	across, along, step, next := b.Dy(), b.Dx(), 1, img.Stride
	if columns {
		across, along, step, next = b.Dx(), b.Dy(), img.Stride, 1
	}
	var middles []float64
	first := -1
	for r := 0; r <= across; r++ {
		hit, run := false, 0
		for c := 0; r < across && c <= along; c++ {
			if c < along && img.Pix[r*next+c*step] < 0x80 {
				run++
				continue
			}
			hit = hit || math.Abs(float64(run)-length) <= tol
			run = 0
		}
		switch {
		case hit && first < 0:
			first = r
		case !hit && first >= 0:
			middles, first = append(middles, float64(first+r-1)/2), -1
		}
	}
	return middles
}

// The squares of the printed pattern, measured on a rendering by an outside
// reader: 100 mm and 4 in, within 0.1 mm.
func TestPrintedSquares(t *testing.T) {
	p := skirt(t, 10*CM, 2*waistLength-1*CM)
	for _, paper := range []Paper{A4, Letter, A0} {
		t.Run(paper.String(), func(t *testing.T) {
			printed, err := p.Print(paper)
			if err != nil {
				t.Fatal(err)
			}
			measureSquares(t, printed.File, 254)
		})
	}
	t.Run("roll", func(t *testing.T) {
		printed, err := p.PrintRoll(91 * CM)
		if err != nil {
			t.Fatal(err)
		}
		measureSquares(t, printed.File, 254)
	})
}

func measureSquares(t *testing.T, file []byte, dpi int) {
	t.Helper()
	img := renderPage(t, file, 1, dpi)
	for _, side := range []float64{100, 101.6} {
		pixels := side / 25.4 * float64(dpi)
		for _, across := range []bool{false, true} {
			middles := darkRuns(img, pixels+3, 5, across)
			if len(middles) < 2 {
				t.Errorf("found %d sides of the %v mm square", len(middles), side)
				continue
			}
			got := math.Inf(1)
			for i := range middles {
				for k := range i {
					if d := middles[i] - middles[k]; math.Abs(d-pixels) < math.Abs(got-pixels) {
						got = d
					}
				}
			}
			if mm := got / float64(dpi) * 25.4; math.Abs(mm-side) > 0.1 {
				t.Errorf("the square of %v mm measures %.2f mm (across %v)", side, mm, across)
			}
		}
	}
}

// The number of pages that the layout reckons with is that of the file.
func TestPrintReckonsPages(t *testing.T) {
	for name, p := range testPatterns(t) {
		for paper, size := range paperSizes {
			printed, err := p.Print(paper)
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			room := pageRoom(size, printed.Landscape)
			if want, _ := room.pages(p.lay(room)); printed.Pages != want {
				t.Errorf("%s on %v: %d pages, reckoned with %d", name, paper, printed.Pages, want)
			}
			if !bytes.HasPrefix(printed.File, []byte("%PDF-")) {
				t.Errorf("%s on %v: the file is no PDF", name, paper)
			}
		}
	}
	if _, err := onePiece(t).PDF(Paper(99)); err == nil || !strings.Contains(err.Error(), "want A4, A3, A2, A1, A0, Letter or Tabloid") {
		t.Errorf("unknown paper: %v", err)
	}
}

// No piece lies on another or on the key, and a tab takes one page.
func TestLayTrueScale(t *testing.T) {
	for name, p := range testPatterns(t) {
		for paper, size := range paperSizes {
			boxes := p.lay(pageRoom(size, false))
			for i := range boxes {
				for k := range i {
					if boxes[i].rect().Overlaps(boxes[k].rect()) {
						t.Errorf("%s on %v: boxes %d and %d overlap", name, paper, k, i)
					}
				}
			}
		}
	}
	printed, err := smallPiece(t).Print(A4)
	if err != nil || printed.Pages != 1 {
		t.Errorf("a tab of 6 by 4 cm takes %d pages, want 1 (%v)", printed.Pages, err)
	}
}

// The SVG file is at true scale: its width in millimetres is that of its view
// box, and the hem of the skirt is 240 long in it.
func TestSVGFileIsTrueScale(t *testing.T) {
	file, err := onePiece(t).SVGFile()
	if err != nil {
		t.Fatal(err)
	}
	size := regexp.MustCompile(`width="([0-9.]+)mm" height="([0-9.]+)mm" viewBox="0 0 ([0-9.]+) ([0-9.]+)"`).FindSubmatch(file)
	if size == nil || !bytes.Equal(size[1], size[3]) || !bytes.Equal(size[2], size[4]) {
		t.Fatalf("the file begins %.300s, want a view box in millimetres", file)
	}
	_, lines := readSVG(t, string(file))
	hem, square := 0, 0
	for _, line := range lines {
		for k := 1; k < len(line); k++ {
			d := line[k].Dist(line[k-1])
			if math.Abs(float64(d-24*CM)) < 0.011 {
				hem++
			}
			if math.Abs(float64(d-10*CM)) < 0.011 {
				square++
			}
		}
	}
	if hem == 0 || square < 4 {
		t.Errorf("%d lines of 24 cm and %d of 10 cm, want the hem and a square", hem, square)
	}
	for _, want := range []string{"no seam allowance", "10 cm square"} {
		if !strings.Contains(string(file), want) {
			t.Errorf("the file does not say %q", want)
		}
	}
}

func TestPrintedSaysHowMany(t *testing.T) {
	printed, err := onePiece(t).Print(A4)
	if err != nil {
		t.Fatal(err)
	}
	want := fmt.Sprintf("panel at true scale: %d pages of A4 paper", printed.Pages)
	if got := printed.String(); !strings.HasPrefix(got, want) {
		t.Errorf("%q, want it to begin %q", got, want)
	}
	if table := printed.HTML(); !strings.Contains(table, "no seam allowance") {
		t.Errorf("the table does not say that there is no seam allowance: %s", table)
	}
}

// A printed pattern says which line is cut, and names the pieces that have no
// allowance.
func TestPrintedSaysWhichLineIsCut(t *testing.T) {
	bare, finished := skirt(t, 10*CM, 2*waistLength-1*CM), finishedSkirt(t)
	mixed, err := NewPattern("skirt", finished.Pieces()[0], bare.Pieces()[1])
	if err != nil {
		t.Fatal(err)
	}
	const cut, none = "Cut on the heavy line, stitch on the dashed line.", "o seam allowance"
	for _, tt := range []struct {
		p         Pattern
		want, not string
	}{
		{bare, "Stitch line only: n" + none, "heavy line"},
		{finished, cut, none},
		{mixed, cut + " N" + none + ": " + bare.Pieces()[1].Name() + ".", "Stitch line only"},
	} {
		printed, err := tt.p.Print(A4)
		if err != nil {
			t.Fatal(err)
		}
		file, err := tt.p.SVGFile()
		if err != nil {
			t.Fatal(err)
		}
		on := strings.Join(tt.p.printNotes(), " ")
		for _, words := range []string{printed.Markdown(), on} {
			if !strings.Contains(words, tt.want) || strings.Contains(words, tt.not) {
				t.Errorf("%q, want %q and not %q", words, tt.want, tt.not)
			}
		}
		if strings.Contains(string(file), tt.not) {
			t.Errorf("the file says %q", tt.not)
		}
	}
}
