package gocell

import (
	"context"
	"strings"
	"testing"
)

// What a designer's first notebook says must run as written.
func TestFirstBlock(t *testing.T) {
	var out strings.Builder
	var drawn any
	s, err := New(Options{Stdout: &out, Stderr: &out, Bind: map[string]any{
		"patternkit/kernel/controls.Live": func(draw func() any) { drawn = draw() },
	}})
	if err != nil {
		t.Fatal(err)
	}
	body := mustRun(t, s, `body := Body{Height: 168*CM, BustGirth: 92*CM, WaistGirth: 74*CM, HipGirth: 98*CM}.Estimated()
body`)
	if len(body) != 1 {
		t.Fatalf("the first cell shows %d values, want the body", len(body))
	}
	if _, ok := body[0].(interface{ HTML() string }); !ok {
		t.Errorf("a %T can't be shown as a table", body[0])
	}
	live := mustRun(t, s, `bustEase := Slider("bust ease", 8*CM, 0*CM, 20*CM)
capHeight := Slider("cap height", 13*CM, 8*CM, 18*CM)
draw := func() Pattern {
	bodice := DraftBodice(body, BodiceOptions{BustEase: bustEase.Value(), WaistEase: 6*CM})
	sleeve := DraftSleeve(bodice.Armhole(), SleeveOptions{CapHeight: capHeight.Value(), CapEase: 2*CM, Length: 58*CM, WristWidth: 24*CM})
	return NewPattern("block", bodice, sleeve)
}
Live(func() any { return draw() })`)
	if len(live) != 0 {
		t.Errorf("Live has no value, but %v is shown", live)
	}
	if _, ok := drawn.(interface{ PNG() []byte }); !ok {
		t.Errorf("a %T can't be shown as a picture", drawn)
	}
	table := mustRun(t, s, "draw().Walk()")
	if text := show(table); !strings.Contains(text, "armhole") || !strings.Contains(text, "shoulder") {
		t.Errorf("the seam table lacks its seams:\n%s", text)
	}

	// A wish that can't be met stops the cell with the words of the sleeve, and
	// names the line in the function.
	_, err = s.Eval(context.Background(), "capHeight := Slider(`cap height`, 30*CM, 8*CM, 38*CM)\nLive(func() any { return draw() })")
	if err == nil {
		t.Fatal("a cap of 30 cm is drafted")
	}
	story := strings.Join(err.(*Error).Traceback(), "\n")
	for _, part := range []string{"CapHeight is 30 cm", "cell 2, line 5", "cell 4, line 2"} {
		if !strings.Contains(story, part) {
			t.Errorf("the error lacks %q:\n%s", part, story)
		}
	}
	mustRun(t, s, "capHeight := Slider(`cap height`, 12*CM, 8*CM, 38*CM)\ndraw()")
}
