package controls

import (
	"errors"
	"html"
	"strings"
	"testing"

	"patternkit/patternkit/geom"
)

// An entryRow is an entry in a front end: its field and what is beside it.
type entryRow struct {
	f             *fakeFront
	field, remark string // comm ids
}

func rowOf(t *testing.T, f *fakeFront) entryRow {
	t.Helper()
	field, _ := f.modelNamed(t, "TextModel")
	_, row := f.modelNamed(t, "HBoxModel")
	got := row["children"].([]string)
	if len(got) != 2 || got[0] != "IPY_MODEL_"+field {
		t.Fatalf("the row holds %v, want the field %s and a remark", got, field)
	}
	remark, state := f.modelLike(got[1])
	if state["_model_name"] != "HTMLModel" {
		t.Errorf("the remark is %v", state)
	}
	return entryRow{f, field, remark}
}

// lastState returns the last state that was sent.
func (f *fakeFront) lastState() map[string]any {
	return f.sent[len(f.sent)-1]["state"].(map[string]any)
}

func TestLengthEntryTakesLengths(t *testing.T) {
	p, f := newFake(true)
	e := must(p.LengthEntry("hem", 4*cm, 1*cm, 10*cm))
	f.runCell("a", func() { p.Live(func() any { return e.Value() }) })
	row := rowOf(t, f)
	if _, state := f.modelNamed(t, "TextModel"); state["value"] != "4 cm" || state["continuous_update"] != false {
		t.Errorf("the field is %v", state)
	}
	for _, test := range []struct {
		typed   string
		picture string
		remark  string
	}{
		{"1 5/8 in", "4.13 cm", "= 4.13 cm"},
		{"4.1 cm", "4.1 cm", ""},
		{"55mm", "5.5 cm", "= 5.5 cm"},
		{"55", "5.5 cm", "no unit"},
		{"wide", "5.5 cm", "still 5.5 cm: "},
		{"", "5.5 cm", "no number"},
		{"5 <b>", "5.5 cm", `unit "<b>" is not known`},
		{"11 cm", "5.5 cm", "still 5.5 cm: want 1 cm to 10 cm"},
		{"NaN cm", "5.5 cm", "still 5.5 cm: "},
		{"10 cm", "10 cm", ""},
	} {
		f.sent = nil
		f.move(row.field, "value", test.typed)
		written := f.lastState()["value"].(string)
		if strings.Contains(written, "<") {
			t.Errorf("%q: the remark is markup: %s", test.typed, written)
		}
		remark := html.UnescapeString(written)
		if f.picture(t) != test.picture || !strings.Contains(remark, test.remark) || test.remark == "" && remark != "" {
			t.Errorf("%q: picture %q with %q beside it, want %q with %q", test.typed, f.picture(t), remark, test.picture, test.remark)
		}
		if len(f.sent) != 1 {
			t.Errorf("%q: what is typed is written over by %v", test.typed, f.sent)
		}
	}
	if want := 10 * cm; e.Value() != want {
		t.Errorf("value %v, want %v", e.Value(), want)
	}
}

func TestLengthEntryInTheOldForm(t *testing.T) {
	p, f := newFake(true)
	f.targets["jupyter.widget.version"]("v", map[string]any{})
	e := must(p.LengthEntry("hem", 4*cm, 1*cm, 10*cm))
	f.runCell("a", func() { p.Live(func() any { return e.Value() }) })
	row := rowOf(t, f)
	if _, state := f.modelNamed(t, "TextModel"); state["_view_module"] != "jupyter-js-widgets" || state["_view_name"] != "TextView" {
		t.Errorf("state %v", state)
	}
	f.receive[row.field](map[string]any{"method": "backbone", "sync_data": map[string]any{"value": "2 in"}})
	f.settled()
	if f.picture(t) != "5.08 cm" {
		t.Errorf("picture %q", f.picture(t))
	}
}

func TestLengthEntrySetFromACell(t *testing.T) {
	p, f := newFake(true)
	e := must(p.LengthEntry("hem", 4*cm, 1*cm, 10*cm))
	f.runCell("a", func() { p.Live(func() any { return e.Value() }) })
	row := rowOf(t, f)
	f.move(row.field, "value", "wrong")
	f.sent = nil
	f.runCell("b", func() {
		if err := e.Set(6 * cm); err != nil {
			t.Error(err)
		}
	})
	if len(f.sent) != 2 || f.sent[0]["state"].(map[string]any)["value"] != "6 cm" || f.lastState()["value"] != "" || f.picture(t) != "6 cm" {
		t.Errorf("sent %v, picture %q", f.sent, f.picture(t))
	}
	if err := e.Set(11 * cm); err == nil || err.Error() != `entry "hem": 11 cm is asked for, want 1 cm to 10 cm` {
		t.Error(err)
	}
	if e.String() != "hem: 6 cm" {
		t.Errorf("it is %q", e)
	}
	f.runCell("c", func() { must(p.LengthEntry("hem", 3*cm, 1*cm, 10*cm)) })
	for _, id := range []string{row.field, row.remark} {
		if f.opened[id] != nil {
			t.Error("a field that was made again is still open")
		}
	}
}

func TestBadEntries(t *testing.T) {
	p, _ := newFake(true)
	if _, err := p.LengthEntry("hem", 1*cm, 2*cm, 3*cm); err == nil || err.Error() != `entry "hem": starts at 1 cm, want 2 cm to 3 cm` {
		t.Error(err)
	}
	if err := p.MeasureIn("ell"); err == nil || err.Error() != `measure in "ell": want "cm" or "in"` {
		t.Error(err)
	}
}

func TestMeasureInInches(t *testing.T) {
	p, f := newFake(true)
	if err := p.MeasureIn("in"); err != nil {
		t.Fatal(err)
	}
	s := must(p.Slider("cap", 5*geom.Inch, 3*geom.Inch, 7*geom.Inch))
	e := must(p.LengthEntry("hem", 1.625*geom.Inch, 0, 10*cm))
	f.runCell("a", func() { p.Live(func() any { return s.Value().MM() + e.Value().MM() }) })
	id, state := f.modelNamed(t, "FloatSliderModel")
	if state["description"] != "cap (in)" || state["value"] != 5.0 || state["min"] != 3.0 || state["max"] != 7.0 || state["step"] != 0.125 {
		t.Errorf("the slider is %v", state)
	}
	if _, state := f.modelNamed(t, "TextModel"); state["value"] != "1 5/8 in" {
		t.Errorf("the field is %v", state)
	}
	f.move(id, "value", 5.125)
	if got, want := s.Value(), 130.175*geom.MM; got != want {
		t.Errorf("%v mm, want %v", got.MM(), want.MM())
	}
	if got := s.String(); got != "cap: 5 1/8 in" {
		t.Errorf("it is %q", got)
	}
	if err := s.Set(13 * cm); err != nil || s.String() != "cap: 5.118 in" {
		t.Errorf("%v, it is %q", err, s)
	}
}

func TestLabelsStandInLine(t *testing.T) {
	p, f := newFake(true)
	width := func(c *LengthSlider, total string) any {
		_, state := f.modelLike("IPY_MODEL_" + c.d.frontSide.id)
		_, style := f.modelLike(state["style"])
		if _, layout := f.modelLike(state["layout"]); layout["width"] != total {
			t.Errorf("layout %v", layout)
		}
		return style["description_width"]
	}
	short := must(p.Slider("ease", 4*cm, 1*cm, 10*cm))
	long := must(p.Slider("ease at the bust of the lined jacket", 4*cm, 1*cm, 10*cm))
	f.runCell("a", func() { p.Live(func() any { return short.Value() + long.Value() }) })
	if got := width(short, "34em"); got != labelWidth {
		t.Errorf("a label of %v", got)
	}
	// With its unit 17 characters more than there is room for, of half an em each.
	if got := width(long, "43em"); got != "initial" {
		t.Errorf("a long label of %v", got)
	}
}

func TestShowOfWhatMayFail(t *testing.T) {
	p, f := newFake(true)
	sleeve := func() (string, int, error) { return "sleeve", 2, nil }
	if err := p.Show(sleeve()); err != nil {
		t.Error(err)
	}
	shown := len(f.shown)
	if shown != 2 || f.shown[0]["text/plain"] != "sleeve" || f.shown[1]["text/plain"] != "2" {
		t.Errorf("shown %v", f.shown)
	}
	failed := errors.New("the cap is too low")
	fail := func() (string, error) { return "nothing of use", failed }
	if err := p.Show(fail()); !errors.Is(err, failed) || len(f.shown) != shown {
		t.Errorf("%v, shown %v", err, f.shown)
	}
	if err := p.Show(nil); err != nil || len(f.shown) != shown+1 {
		t.Errorf("%v, a nil alone is a value", err)
	}
}
