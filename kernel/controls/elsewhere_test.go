package controls

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"
)

// oneView is a view of one slider, shown in page 1, that page 2 moves.
func oneView(t *testing.T, old bool) (*Panel, *fakeFront, *LengthSlider, string) {
	t.Helper()
	p, f := newFake(true)
	if old {
		f.targets["jupyter.widget.version"]("v", map[string]any{})
	}
	f.client = "page 1"
	s := must(p.Slider("ease", 5*cm, 0, 9*cm))
	f.runCell("a", func() { p.Live(func() any { return s.Value() }) })
	id, _ := f.modelNamed(t, "FloatSliderModel")
	return p, f, s, id
}

// copies returns what the models with a copy of the drawing were told last.
func (f *fakeFront) copies() []string {
	var found []string
	for _, data := range f.sent {
		if state, ok := data["state"].(map[string]any); ok {
			if text, ok := state["value"].(string); ok && strings.Contains(text, "opened after") {
				found = append(found, text)
			}
		}
	}
	return found
}

func TestReopenedPageOf6ShowsTheCellAgain(t *testing.T) {
	p, f, s, id := oneView(t, true)
	f.move(id, "value", 6.0)
	if f.again != nil {
		t.Fatalf("the page that ran the cell is shown %v again", f.again)
	}
	f.client = "page 2"
	f.move(id, "value", 7.0)
	f.move(id, "value", 8.0)
	f.rested()
	if want := []string{"7 cm", "8 cm"}; !reflect.DeepEqual(f.again, want) {
		t.Errorf("shown again %v, want %v", f.again, want)
	}
	// The first page follows too, by the id.
	if f.picture(t) != "8 cm" || len(f.copies()) != 0 {
		t.Errorf("picture %q, copies %v", f.picture(t), f.copies())
	}
	f.runCell("a", func() { p.Live(func() any { return s.Value() }) })
	f.move(id, "value", 4.0)
	if len(f.again) != 2 {
		t.Errorf("after the cell has run in page 2: %v", f.again)
	}
}

// Where a message could be from another cell, that one must not be written
// over.
func TestReopenedPageOf6WithAControlInTwoCells(t *testing.T) {
	p, f, s, id := oneView(t, true)
	f.runCell("b", func() { p.Live(func() any { return 2 * s.Value() }) })
	f.client = "page 2"
	f.move(id, "value", 6.0)
	if f.again != nil {
		t.Errorf("shown again %v", f.again)
	}
	if opened := fmt.Sprint(f.opened); !strings.Contains(opened, "12 cm") || strings.Count(opened, "opened after") != 2 {
		t.Errorf("want two copies among %s", opened)
	}

	_, f, s, id = oneView(t, true)
	f.runCell("b", func() {
		if err := s.ShowInNotebook(); err != nil {
			t.Error(err)
		}
	})
	f.client = "page 2"
	f.move(id, "value", 6.0)
	if f.again != nil {
		t.Errorf("shown again %v", f.again)
	}
}

func TestReopenedPageOf8HasACopyOfTheDrawing(t *testing.T) {
	p, f, s, id := oneView(t, false)
	f.client = "page 2"
	f.move(id, "value", 7.0)
	copied, state := f.modelNamed(t, "HTMLModel")
	if text := state["value"].(string); !strings.Contains(text, "7 cm") || !strings.Contains(text, "opened after") || f.again != nil {
		t.Errorf("copy %v, shown again %v", state, f.again)
	}
	box := f.sent[len(f.sent)-1]["state"].(map[string]any)["children"].([]string)
	if want := []string{"IPY_MODEL_" + id, "IPY_MODEL_" + copied}; !slices.Equal(box, want) {
		t.Errorf("the box shows %v, want %v", box, want)
	}
	f.move(id, "value", 8.0)
	if copies := f.copies(); len(copies) != 1 || !strings.Contains(copies[0], "8 cm") {
		t.Errorf("copies %v", copies)
	}
	f.client = "page 1"
	f.move(id, "value", 3.0)
	if copies := f.copies(); len(copies) != 2 || !strings.Contains(copies[1], "3 cm") || f.picture(t) != "3 cm" {
		t.Errorf("copies %v, picture %q", copies, f.picture(t))
	}
	f.client = "page 2"
	f.runCell("a", func() { p.Live(func() any { return s.Value() }) })
	if _, open := f.opened[copied]; open {
		t.Error("the copy stays after its cell has run again")
	}
}

// A cell that showed too much to be kept has a copy in ipywidgets 6 too, and
// one that a cell moved as long as that is so.
func TestReopenedPageOf6FallsBackToACopy(t *testing.T) {
	_, f, _, id := oneView(t, true)
	f.client, f.tooMuch = "page 2", true
	f.move(id, "value", 7.0)
	if !strings.Contains(fmt.Sprint(f.opened), "opened after") {
		t.Error("no copy is shown")
	}
	f.tooMuch = false
	f.move(id, "value", 8.0)
	if strings.Contains(fmt.Sprint(f.opened), "opened after") || len(f.again) != 1 {
		t.Error("the copy stays beside the drawing")
	}
}

func TestCopiesOfAnyForm(t *testing.T) {
	for want, data := range map[string]map[string]any{
		"<b>x</b>": {"text/html": "<b>x</b>", "image/png": "cG5n", "text/plain": "x"},
		`<img src="data:image/png;base64,cG5n" alt="a &lt; b">`: {"image/png": "cG5n", "text/plain": "a < b"},
		"<pre>a &lt; b</pre>": {"text/plain": "a < b"},
	} {
		if got := asHTML(data); got != want {
			t.Errorf("%s, want %s", got, want)
		}
	}
}
