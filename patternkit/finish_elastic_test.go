package patternkit

import (
	"strings"
	"testing"
)

// An elastic is cut 1/2 in longer than its ring for the join (common practice,
// no source); the ring is worked by hand.
func TestNewElastic(t *testing.T) {
	e, err := NewElastic("top", Inch/2, 100*CM, 0.08)
	if err != nil {
		t.Fatal(err)
	}
	if got := e.Length - e.Ring(); (got - Inch/2).Abs() > 1e-9 {
		t.Errorf("cut %v longer than its ring, want 1/2 in", got)
	}
	if (e.Ring()-92*CM).Abs() > 1e-9 || e.Tight() {
		t.Errorf("ring %v, tight %v, want 92 cm and not tight", e.Ring(), e.Tight())
	}
	if r := e.Reduction(); r < 0.08-1e-12 || r > 0.08+1e-12 {
		t.Errorf("reduction %v, want 0.08", r)
	}
	tight, err := NewElastic("sleeve hem", Inch/2, 30*CM, 0.2)
	if err != nil {
		t.Fatal(err)
	}
	tight.Count, tight.Where = 2, "above the elbow"
	text := ElasticTable(e, tight).String()
	for _, want := range []string{"93.27", "92.00", "usual", "sleeve hem, above the elbow", "tight: it must not mark the skin"} {
		if !strings.Contains(text, want) {
			t.Errorf("want %q in\n%s", want, text)
		}
	}
}

func TestElasticRefuses(t *testing.T) {
	good := Elastic{Edge: "top", Width: Inch / 2, Length: 93 * CM, Overlap: 1 * CM, Girth: 100 * CM}
	if err := good.check(); err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		change func(*Elastic)
		want   string
	}{
		{func(e *Elastic) { e.Edge = " " }, "has no edge"},
		{func(e *Elastic) { e.Width = 1 }, "Width is 0.1 cm, want 0.3 cm to 10 cm; a bare number is millimetres, did you mean 1*CM?"},
		{func(e *Elastic) { e.Girth = 100 * M }, "Girth is"},
		{func(e *Elastic) { e.Overlap = 20 * CM }, "Overlap is 20 cm"},
		{func(e *Elastic) { e.Length = 102 * CM }, "around a girth of 100 cm: Length is 102 cm, want 51 cm to 101 cm"},
		{func(e *Elastic) { e.Length = 50 * CM }, "Length is 50 cm"},
		{func(e *Elastic) { e.Count = -1 }, "Count is -1"},
	} {
		e := good
		tt.change(&e)
		if err := e.check(); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("got %v\nwant ... %q", err, tt.want)
		}
	}
	if _, err := NewElastic("top", Inch/2, 100*CM, 8); err == nil || !strings.Contains(err.Error(), "such as 0.08") {
		t.Errorf("a reduction of 8: %v", err)
	}
}
