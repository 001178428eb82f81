package controls

import (
	"fmt"
	"reflect"
	"strings"
	"testing"
)

// The line that opens a drawing large is outside of what is drawn again, and
// its rules name the drawing.
func TestLargerLineStaysWhereADrawingChanges(t *testing.T) {
	p, f := newFake(true)
	s := must(p.Slider("cap height", 13*cm, 8*cm, 18*cm))
	f.page = "<p>cannot be drawn</p>"
	f.runCell("a", func() { p.Live(func() any { return s.Value() }) })
	if strings.Contains(fmt.Sprint(f.opened), "HTMLModel") {
		t.Error("there is a line without a drawing")
	}
	id, _ := f.modelNamed(t, "FloatSliderModel")
	f.page = "<img src=\"a\">\n<details><summary>larger</summary></details>"
	f.move(id, "value", 14.0)
	line, state := f.modelNamed(t, "HTMLModel")
	if shows := f.lastState()["children"]; !reflect.DeepEqual(shows, []string{"IPY_MODEL_" + id, "IPY_MODEL_" + line}) {
		t.Errorf("the box shows %v, want the slider and the line", shows)
	}
	drawing := p.views[0].id
	rules, shown := state["value"].(string), f.updated[drawing]["text/html"].(string)
	if !strings.Contains(rules, drawingClass(drawing)+" img") || !strings.HasPrefix(shown, `<div class="`+drawingClass(drawing)+`"><img `) {
		t.Errorf("the rules %s are not for %s", rules, shown)
	}
	sent := len(f.sent)
	f.move(id, "value", 15.0)
	f.rested()
	f.page = "<p>cannot be drawn</p>"
	f.move(id, "value", 16.0)
	if len(f.sent) != sent {
		t.Errorf("a redraw changes the controls: %v", f.sent[sent:])
	}
	f.runCell("a", func() { p.Live(func() any { return s.Value() }) })
	if f.opened[line] != nil {
		t.Error("the line of an earlier run is still open")
	}
}

func TestPageThatOpensLarge(t *testing.T) {
	for page, want := range map[string]bool{
		`<img alt="a" src="b">` + "\n<details><summary>larger</summary></details>": true,
		`<div><img src="b"><details></details></div>`:                              true,
		`<img src="b">`: false,
		`<img src="b"><p>how it was made</p><details></details>`: false,
		`<details></details>`: false,
		"":                    false,
	} {
		if opensLarge(page) != want {
			t.Errorf("%s: %v", page, !want)
		}
	}
}
