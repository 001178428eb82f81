package patternkit

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// Every corner that the table finds at fault is ringed, numbered and listed; a
// picture without the option shows none.
func TestCornerFaultsAreListed(t *testing.T) {
	p := skirt(t, 10*CM, 2*waistLength-1*CM)
	faults := p.Corners().Faults()
	if len(faults) == 0 {
		t.Fatal("the skirt of straight lines has no corner to be trued")
	}
	svg := p.Picture(PictureOptions{Corners: true}).SVG()
	checkLegible(t, svg, 9/(96/25.4))
	texts, _ := readSVG(t, svg)
	var words []string
	for _, w := range texts {
		words = append(words, w.text)
	}
	for i, f := range faults {
		line := fmt.Sprintf("%d  %s: %s", i+1, strings.TrimPrefix(f.Verdict, "FAULT: "), f.Place)
		if !slices.Contains(words, line) {
			t.Errorf("%q is not under the pieces", line)
		}
		if !slices.Contains(words, fmt.Sprint(i+1)) {
			t.Errorf("no ring bears the number %d", i+1)
		}
	}
	if strings.Contains(p.SVG(), meansTrue) {
		t.Error("corners are ringed without being asked for")
	}
}
