package controls

import (
	"strings"
	"testing"
)

// A label is text: no front end may find a tag in it.
func TestLabelsHoldNoMarkup(t *testing.T) {
	const label = "ease <img src=x onerror=steal()>"
	p, f := newFake(true)
	slider := must(p.Slider(label, 5*cm, 0, 9*cm))
	choice := must(p.Choice(label, "a", "b"))
	toggle := must(p.Toggle(label, true))
	entry := must(p.LengthEntry(label, 5*cm, 0, 9*cm))
	f.runCell("a", func() {
		p.Live(func() any { return []any{slider.Value(), choice.Value(), toggle.Value(), entry.Value()} })
	})
	seen := 0
	for id, data := range f.opened {
		state := data.(map[string]any)["state"].(map[string]any)
		description, _ := state["description"].(string)
		if strings.HasPrefix(description, "ease") {
			seen++
		}
		for key, v := range state {
			if text, ok := v.(string); ok && strings.Contains(text, "<img src=x") {
				t.Errorf("%s of model %s is %q", key, id, text)
			}
		}
	}
	if seen != 4 {
		t.Errorf("%d labels were sent, want 4", seen)
	}
}
