package patternkit

import (
	"math"
	"regexp"
	"strconv"
	"testing"

	"patternkit/patternkit/drawing"
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
