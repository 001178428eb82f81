package patternkit

import (
	"slices"
	"strings"
	"testing"
)

func textsOf(t *testing.T, svg string) []string {
	t.Helper()
	texts, _ := readSVG(t, svg)
	var words []string
	for _, w := range texts {
		words = append(words, w.text)
	}
	return words
}

func TestBesideIsLegible(t *testing.T) {
	p := skirt(t, 10*CM, 2*waistLength-1*CM)
	for _, parts := range [][]Part{{p}, {p, pleatedPanel(t)}, {p, finishedSkirt(t), skirt(t, 11*CM, 2*waistLength-3*CM)}} {
		row, err := Beside(parts...)
		if err != nil {
			t.Fatal(err)
		}
		checkLegible(t, row.SVG(), 9/(96/25.4))
		want := 0
		for _, part := range parts {
			want += len(part.Pieces())
		}
		if got := strings.Count(row.SVG(), "<g class="); got != want {
			t.Errorf("%d pieces are drawn, want %d", got, want)
		}
	}
	if _, err := Beside(); err == nil {
		t.Error("nothing is drawn without an error")
	}
}

// A piece whose dart has moved is drawn over what it was; one that has not
// changed is not.
func TestBeforeAfterShowsTheChange(t *testing.T) {
	was := onePiece(t).Pieces()[0]
	now, err := was.PivotDart(was.Darts()[0].Name, DartMove{To: OnEdge{"hem", 5 * CM}})
	if err != nil {
		t.Fatal(err)
	}
	pair, err := BeforeAfter(was, now)
	if err != nil {
		t.Fatal(err)
	}
	checkLegible(t, pair.SVG(), 9/(96/25.4))
	words := textsOf(t, pair.SVG())
	for _, want := range []string{"before", "after", meansBefore} {
		if !slices.Contains(words, want) {
			t.Errorf("the drawing does not say %q", want)
		}
	}
	same, err := BeforeAfter(was, was)
	if err != nil {
		t.Fatal(err)
	}
	words = textsOf(t, same.SVG())
	if slices.Contains(words, meansBefore) || !slices.Contains(words, "No edge has another length.") {
		t.Errorf("a piece that did not change is drawn as %q", words)
	}
	if _, err := BeforeAfter(was, Pattern{}); err == nil {
		t.Error("nothing after is drawn without an error")
	}
}

func TestBeforeAfterListsLengths(t *testing.T) {
	pair, err := BeforeAfter(skirt(t, 10*CM, 2*waistLength-1*CM), skirt(t, 10*CM, 2*waistLength-3*CM))
	if err != nil {
		t.Fatal(err)
	}
	words := strings.Join(textsOf(t, pair.SVG()), "\n")
	if !strings.Contains(words, "waistband: ") || !strings.Contains(words, ", was ") {
		t.Errorf("the shorter waistband is not listed:\n%s", words)
	}
}
