package patternkit

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"patternkit/patternkit/drawing"
	"patternkit/patternkit/geom"
)

// pdfPageSize is the size of the first page as its MediaBox says, in points of
// 1/72 in (ISO 32000-1, 14.11.2).
func pdfPageSize(t *testing.T, file []byte) Point {
	t.Helper()
	found := regexp.MustCompile(`/Type /Page\n(?s:.*?)/MediaBox \[0 0 ([0-9.]+) ([0-9.]+)\]`).FindSubmatch(file)
	if found == nil {
		t.Fatal("the first page says no size")
	}
	w, errW := strconv.ParseFloat(string(found[1]), 64)
	h, errH := strconv.ParseFloat(string(found[2]), 64)
	if errW != nil || errH != nil {
		t.Fatal(errW, errH)
	}
	return Pt(Length(w)*Inch/72, Length(h)*Inch/72)
}

func TestPrintRoll(t *testing.T) {
	p := skirt(t, 10*CM, 2*waistLength-1*CM)
	for _, width := range []Length{61 * CM, 36 * Inch, 152 * CM} {
		printed, err := p.PrintRoll(width)
		if err != nil {
			t.Fatal(err)
		}
		if printed.Pages != 1 || printed.Paper != drawing.Roll {
			t.Errorf("%s: %d pages of %v", width, printed.Pages, printed.Paper)
		}
		got := pdfPageSize(t, printed.File)
		want := printed.Height + 2*pageMargin + 2*MM
		if math.Abs(got.X.MM()-width.MM()) > 0.1 || math.Abs((got.Y-want).MM()) > 0.1 {
			t.Errorf("page of %v, want %s by %s", got, width, want)
		}
	}
}

func TestWiderRollIsNoLonger(t *testing.T) {
	p := skirt(t, 10*CM, 2*waistLength-1*CM)
	narrow, err := p.PrintRoll(61 * CM)
	if err != nil {
		t.Fatal(err)
	}
	wide, err := p.PrintRoll(152 * CM)
	if err != nil {
		t.Fatal(err)
	}
	if wide.Height > narrow.Height {
		t.Errorf("%s long on the wider roll, %s on the narrower", wide.Height, narrow.Height)
	}
}

func TestPrintRollRefuses(t *testing.T) {
	p := onePiece(t)
	_, err := p.PrintRoll(20 * CM)
	wantError(t, err, "want a roll of at least")
	_, err = p.PrintRoll(Length(math.NaN()))
	wantError(t, err, "on a roll of")
	_, err = p.PrintRoll(Length(math.Inf(1)))
	wantError(t, err, "on a roll of")
	_, err = p.PrintRoll(6 * M)
	wantError(t, err, "want a roll from")
}

// longPattern is of so many panels, each as long as a coat.
func longPattern(t *testing.T, panels int) Pattern {
	t.Helper()
	parts := make([]Part, panels)
	for i := range parts {
		w, h := Length(40+i)*CM, 130*CM
		p, err := NewPiece(fmt.Sprintf("panel %d", i+1), Edge{"hem", Line(Pt(0, 0), Pt(w, 0))}, Edge{"side", Polyline(Pt(w, 0), Pt(w, h), Pt(0, h), Pt(0, 0))})
		if err != nil {
			t.Fatal(err)
		}
		parts[i] = p
	}
	p, err := NewPattern("cloaks", parts...)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// What is longer than a page may be is printed in lengths that cut no piece:
// poppler finds every panel and every number on one page each.
func TestPrintRollInLengths(t *testing.T) {
	p := longPattern(t, 11)
	laid := layRoll(p.rollBoxes(), 61*CM-2*pageMargin-2*MM)
	if squares := laid.boxes[len(laid.boxes)-1]; squares.at.Y+squares.height > laid.breaks[0] {
		t.Errorf("the test squares lie at %v, not on the first length", squares.at)
	}
	low := -rollApart
	for i, b := range laid.boxes {
		for _, cut := range laid.breaks {
			if b.at.Y < cut && b.at.Y+b.height > cut {
				t.Errorf("box %d lies across a cut", i)
			}
		}
		for k, other := range laid.boxes[:i] {
			if b.rect().Grow(pieceGap/2 - 1e-6).Overlaps(other.rect().Grow(pieceGap/2 - 1e-6)) {
				t.Errorf("boxes %d and %d are too near each other", k, i)
			}
		}
	}
	for _, high := range append(laid.breaks, laid.top) {
		if high-low > rollLongest+rollApart {
			t.Errorf("a length of %v", high-low)
		}
		low = high
	}
	printed, err := p.PrintRoll(61 * CM)
	if err != nil {
		t.Fatal(err)
	}
	if printed.Pages != 4 || !strings.Contains(printed.String(), "4 pages, a length each") {
		t.Fatalf("%d pages: %s", printed.Pages, printed)
	}
	all := ""
	for page := 1; page <= printed.Pages; page++ {
		text := pageText(t, printed.File, page)
		if want := fmt.Sprintf("cloaks, length %d of 4", page); !strings.Contains(text, want) {
			t.Errorf("page %d does not say %q", page, want)
		}
		all += text
	}
	for i := range 11 {
		// The name stands once on the piece; key and notes do not name it.
		if n := len(regexp.MustCompile(fmt.Sprintf(`panel %d\b`, i+1)).FindAllString(all, -1)); n != 1 {
			t.Errorf("panel %d is named %d times", i+1, n)
		}
	}
	tall := longPattern(t, 1)
	piece, err := tall.pieces[0].Transformed(geom.Scale(4))
	if err != nil {
		t.Fatal(err)
	}
	if tall, err = NewPattern("flag", piece); err != nil {
		t.Fatal(err)
	}
	_, err = tall.PrintRoll(200 * CM)
	wantError(t, err, "long with what is written beside it, want at most 500 cm")
}

// pageText is the text of one page of a PDF as poppler reads it.
func pageText(t *testing.T, file []byte, page int) string {
	t.Helper()
	tool, err := exec.LookPath("pdftotext")
	if err != nil {
		if os.Getenv("PATTERNKIT_FULL") != "" {
			t.Fatal("pdftotext of poppler-utils is not installed")
		}
		t.Skip("pdftotext of poppler-utils is not installed")
	}
	n := strconv.Itoa(page)
	command := exec.Command(tool, "-f", n, "-l", n, "-", "-")
	command.Stdin = bytes.NewReader(file)
	out, err := command.Output()
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}
