package patternkit

import (
	"strings"
	"testing"
)

// A line that an operation has cut keeps a name of its own for each part; the
// picture names the line once.
func TestPartsOfALineAreNamedOnce(t *testing.T) {
	bodice, err := DraftBodice(demoBody(t), DefaultBodice())
	if err != nil {
		t.Fatal(err)
	}
	front, err := bodice.Front().PivotDart("bust dart", DartMove{To: OnEdge{"side seam", 8 * CM}})
	if err != nil {
		t.Fatal(err)
	}
	if len(front.linesOf("bust line")) < 2 {
		t.Fatalf("the dart does not cut the bust line: %v", front.Internals())
	}
	words := legibleTexts(t, front.Picture(PictureOptions{}))
	if countOf(words, "bust line") != 1 || strings.Contains(strings.Join(words, "\n"), "bust line 2") {
		t.Errorf("want the bust line named once:\n%s", strings.Join(words, "\n"))
	}
	// A number that is not that of a part stays.
	panel, err := NewPiece("panel", Edge{"edge", Polyline(Pt(0, 0), Pt(20*CM, 0), Pt(20*CM, 20*CM), Pt(0, 20*CM), Pt(0, 0))})
	if err != nil {
		t.Fatal(err)
	}
	if panel, err = panel.WithInternal("row 2", Line(Pt(2*CM, 3*CM), Pt(18*CM, 3*CM))); err != nil {
		t.Fatal(err)
	}
	if words := legibleTexts(t, panel.Picture(PictureOptions{})); countOf(words, "row 2") != 1 {
		t.Errorf("want row 2 named:\n%s", strings.Join(words, "\n"))
	}
}
