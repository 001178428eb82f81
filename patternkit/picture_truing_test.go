package patternkit

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// The texts of a picture, after a check that they are legible.
func legibleTexts(t *testing.T, p Picture) []string {
	t.Helper()
	svg := p.SVG()
	checkLegible(t, svg, 9/(96/25.4))
	texts, _ := readSVG(t, svg)
	var words []string
	for _, w := range texts {
		words = append(words, w.text)
	}
	return words
}

func countOf(words []string, word string) int {
	n := 0
	for _, w := range words {
		if w == word {
			n++
		}
	}
	return n
}

// Each ring that does not pass is numbered on every piece that it runs over,
// and told under them; the figures are those of the table.
func TestPullOnFaultsAreDrawn(t *testing.T) {
	check, err := tube(t, 57*CM, 100*CM, 104*CM, false).PullOn(tubeBody, Cloth{})
	if err != nil {
		t.Fatal(err)
	}
	words := legibleTexts(t, check.Picture())
	faults := check.Faults()
	if len(faults) < 3 {
		t.Fatalf("want at least three faults:\n%s", check)
	}
	for i, f := range faults {
		number := fmt.Sprint(i + 1)
		if got := countOf(words, number); got != 2 {
			t.Errorf("the %s has its number %d times, want it on front and back", f.Ring, got)
		}
		line := fmt.Sprintf("%s  %s: measures %s cm around, for the %s of %s cm over the head it must measure %s cm, lacking %s cm",
			number, f.Ring, inCM(f.Girth), f.OverHead.Over, inCM(f.OverHead.Widest), inCM(f.OverHead.Least), inCM(f.OverHead.Short))
		if !slices.Contains(words, line) {
			t.Errorf("no line %q in\n%s", line, strings.Join(words, "\n"))
		}
	}
	wide, err := tube(t, 60*CM, 106*CM, 106*CM, false).PullOn(tubeBody, Cloth{})
	if err != nil {
		t.Fatal(err)
	}
	if words := legibleTexts(t, wide.Picture()); !slices.Contains(words, wide.summary()) || slices.Contains(words, meansNarrow) {
		t.Errorf("a top that goes on is drawn with faults, or is not called well:\n%s", strings.Join(words, "\n"))
	}
	if (PullOnTable{}).Picture().String() != (Picture{}).String() {
		t.Error("the zero table has a picture")
	}
}

// A level that is too small is marked along its line on each piece.
func TestEaseFaultsAreDrawn(t *testing.T) {
	p := tube(t, 57*CM, 90*CM, 104*CM, false)
	ease, err := p.Ease(tubeBody, Cloth{Stretch: 0.01})
	if err != nil {
		t.Fatal(err)
	}
	f, err := ease.Row("bust")
	if err != nil {
		t.Fatal(err)
	}
	words := legibleTexts(t, ease.Picture())
	line := fmt.Sprintf("1  bust: measures %s cm around, the body %s cm; it must measure %s cm, lacking %s cm",
		inCM(f.Garment), inCM(f.Body), inCM(f.Body/1.008), inCM(f.Body/1.008-f.Garment))
	if !f.Fault || !slices.Contains(words, line) || countOf(words, "1") != 2 {
		t.Errorf("want %q and its number twice in\n%s", line, strings.Join(words, "\n"))
	}
	for _, m := range f.at {
		piece, err := p.Piece(m.piece)
		if err != nil || len(m.lines) != 1 || m.lines[0].Start() != piece.Internals()[0].Path.Start() {
			t.Errorf("%s is marked along %v, %v", m.piece, m.lines, err)
		}
	}
	wide, err := tube(t, 57*CM, 120*CM, 120*CM, false).Ease(tubeBody, Cloth{})
	if err != nil {
		t.Fatal(err)
	}
	if words := legibleTexts(t, wide.Picture()); !slices.Contains(words, "No level is too small to be worn.") {
		t.Errorf("a wide top is not called well:\n%s", strings.Join(words, "\n"))
	}
}
