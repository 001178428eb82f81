package patternkit

import (
	"strings"
	"testing"
)

// From an inch on an edge is gathered, if that is more than a tenth of it; and
// from a quarter on, however short. Figures worked by hand.
func TestGatheredOrEased(t *testing.T) {
	strip := func(name string, length, notch Length) Piece {
		p, err := NewPiece(name, Edge{"top", Line(Pt(0, 0), Pt(length, 0))}, Edge{"rest", Polyline(Pt(length, 0), Pt(length, 5*CM), Pt(0, 5*CM), Pt(0, 0))})
		if err != nil {
			t.Fatal(err)
		}
		if notch > 0 {
			p, err = p.WithNotch(Notch{Name: "middle", Edge: "top", At: notch})
		}
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	for _, tt := range []struct {
		long, short             Length
		longNotch, shortNotch   Length // 0 for none
		verdict, label, atNotch string
	}{
		{34 * CM, 26 * CM, 0, 0, "meets, A gathered 8 cm, ratio 1.31", "top 34 cm, gathered 8 cm, ratio 1.31", ""},
		{20*CM + 1*Inch, 20 * CM, 0, 0, "meets, A gathered 2.54 cm, ratio 1.13", "gathered", ""},
		{20*CM + 1*Inch - 0.1*MM, 20 * CM, 0, 0, "meets, A eased in", "", ""},
		{104 * CM, 100 * CM, 0, 0, "meets, A eased in", "", ""},
		{47 * CM, 44 * CM, 0, 0, "meets, A eased in", "", ""}, // a tailored sleeve head
		{5 * CM, 4 * CM, 0, 0, "meets, A gathered 1 cm, ratio 1.25", "gathered", ""},
		{4.9 * CM, 4 * CM, 0, 0, "meets, A eased in", "", ""},
		{104 * CM, 100 * CM, 14 * CM, 10 * CM, "meets, A gathered 4 cm between its notches", "gathered",
			"meets, 4.00 cm of A gathered before it, ratio 1.40"},
		{104 * CM, 100 * CM, 52 * CM, 50 * CM, "meets, A eased in", "", "meets, 2.00 cm of A eased before it"},
		{104 * CM, 100 * CM, 90 * CM, 90 * CM, "meets, A gathered 4 cm between its notches", "gathered", "meets"},
	} {
		p, err := NewPattern("strips", strip("a", tt.long, tt.longNotch), strip("b", tt.short, tt.shortNotch),
			Seam{Name: "seam", A: []Along{{Piece: "a", Edge: "top"}}, B: []Along{{Piece: "b", Edge: "top"}}, Ease: tt.long - tt.short})
		if err != nil {
			t.Fatal(err)
		}
		row := p.Walk().Rows()[0]
		if row.Verdict != tt.verdict || row.Fault {
			t.Errorf("%v to %v: %q, want %q", tt.long, tt.short, row.Verdict, tt.verdict)
		}
		if tt.atNotch != "" && row.Notches[0].Verdict != tt.atNotch {
			t.Errorf("%v to %v: notch %q, want %q", tt.long, tt.short, row.Notches[0].Verdict, tt.atNotch)
		}
		svg := p.SVG()
		if strings.Contains(svg, "gathered") != (tt.label != "") || !strings.Contains(svg, tt.label) {
			t.Errorf("%v to %v: the picture is to say %q", tt.long, tt.short, tt.label)
		}
		// The other way round it is side B.
		back := Seam{Name: "seam", A: p.seams[0].B, B: p.seams[0].A, Ease: tt.short - tt.long}
		if p, err = NewPattern("strips", p.pieces[0], p.pieces[1], back); err != nil {
			t.Fatal(err)
		}
		if got := p.Walk().Rows()[0].Verdict; got != strings.Replace(tt.verdict, " A ", " B ", 1) {
			t.Errorf("%v to %v, sides exchanged: %q", tt.long, tt.short, got)
		}
	}
}

// A seam that does not meet is not called gathered.
func TestFaultIsNotGathered(t *testing.T) {
	p := skirt(t, 10*CM, 2*waistLength-12*CM)
	row := p.Walk().Rows()[1]
	if !row.Fault || strings.Contains(row.Verdict, "gathered") || len(p.gatheredEdges(p.Walk())) != 0 {
		t.Errorf("%+v", row)
	}
}
