package controls

import (
	"errors"
	"fmt"
	"reflect"
	"strings"
	"sync"
	"testing"

	"patternkit/patternkit/geom"
)

const cm = geom.CM

func TestSliderModelIsWhatFrontEndsWant(t *testing.T) {
	p, f := newFake(true)
	s := must(p.Slider("cap height", 13*cm, 8*cm, 18*cm))
	if err := s.ShowInNotebook(); err != nil {
		t.Fatal(err)
	}
	id, got := f.modelNamed(t, "FloatSliderModel")
	layout, _ := f.modelLike(got["layout"])
	style, styleState := f.modelLike(got["style"])
	want := map[string]any{
		"_model_module": "@jupyter-widgets/controls", "_model_module_version": "2.0.0", "_model_name": "FloatSliderModel",
		"_view_module": "@jupyter-widgets/controls", "_view_module_version": "2.0.0", "_view_name": "FloatSliderView",
		"continuous_update": true, "description": "cap height (cm)", "disabled": false, "min": 8.0, "max": 18.0, "step": 0.1,
		"value": 13.0, "orientation": "horizontal", "readout": true, "readout_format": ".1f",
		"layout": "IPY_MODEL_" + layout, "style": "IPY_MODEL_" + style,
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("state\n%v, want\n%v", got, want)
	}
	if !reflect.DeepEqual(f.meta, map[string]any{"version": "2.1.0"}) {
		t.Errorf("metadata %v", f.meta)
	}
	if styleState["_model_name"] != "SliderStyleModel" || styleState["_view_module"] != "@jupyter-widgets/base" || styleState["description_width"] != "12em" {
		t.Errorf("style %v", styleState)
	}
	wantShown := map[string]any{
		"application/vnd.jupyter.widget-view+json": map[string]any{"model_id": id, "version_major": 2, "version_minor": 0},
		"text/plain": "cap height: 13 cm",
	}
	if !reflect.DeepEqual(f.shown, []map[string]any{wantShown}) {
		t.Errorf("shown %v", f.shown)
	}
}

// modelLike returns the id and state of the model that a reference names.
func (f *fakeFront) modelLike(ref any) (string, map[string]any) {
	id := strings.TrimPrefix(ref.(string), "IPY_MODEL_")
	data, _ := f.opened[id].(map[string]any)
	if state, ok := data["state"].(map[string]any); ok {
		return id, state
	}
	return id, data // in the old form
}

func TestOldFormAfterVersionIsAsked(t *testing.T) {
	p, f := newFake(true)
	receive := f.targets["jupyter.widget.version"]("v", map[string]any{})
	if !reflect.DeepEqual(f.sent, []map[string]any{{"version": "~2.1.4"}}) {
		t.Fatalf("the answer is %v", f.sent)
	}
	receive(map[string]any{"validated": true})
	c := must(p.Choice("collar", "stand", "flat"))
	f.runCell("a", func() { p.Live(func() any { return c.Value() }) })
	id, state := f.modelNamed(t, "DropdownModel")
	if state["_model_module"] != "jupyter-js-widgets" || state["_model_module_version"] != "~2.1.4" || state["value"] != "stand" {
		t.Errorf("state %v", state)
	}
	if _, ok := state["index"]; ok {
		t.Error("the old form has no index")
	}
	f.modelNamed(t, "StyleModel")
	if f.meta != nil {
		t.Errorf("metadata %v, want none", f.meta)
	}
	if _, ok := f.shown[0]["text/plain"]; ok {
		t.Error("in the old form the text would be shown beside the control")
	}
	if last := f.sent[len(f.sent)-1]; last["method"] != "display" {
		t.Errorf("last message %v, want display", last)
	}
	f.receive[id](map[string]any{"method": "backbone", "sync_data": map[string]any{"value": "flat"}})
	f.settled()
	if f.picture(t) != "flat" {
		t.Errorf("picture %q", f.picture(t))
	}
}

func TestLiveFollowsItsControls(t *testing.T) {
	p, f := newFake(true)
	s := must(p.Slider("cap height", 13*cm, 8*cm, 18*cm))
	must(p.Slider("not read", 1*cm, 0, 2*cm))
	draws := 0
	f.runCell("a", func() {
		p.Live(func() any { draws++; return fmt.Sprint("cap of ", s.Value()) })
	})
	if f.picture(t) != "cap of 13 cm" || len(f.shown) != 2 || draws != 1 {
		t.Fatalf("shown %v after %d drawings", f.shown, draws)
	}
	if n := strings.Count(fmt.Sprint(f.opened), "FloatSliderModel"); n != 1 {
		t.Errorf("%d sliders are shown, want only the one that is read", n)
	}
	id, _ := f.modelNamed(t, "FloatSliderModel")
	// Three moves before it settles are one drawing, of the last.
	for _, x := range []float64{13.1, 13.2} {
		f.receive[id](map[string]any{"method": "update", "state": map[string]any{"value": x}})
	}
	f.move(id, "value", 14.3)
	if f.picture(t) != "cap of 14.3 cm" || draws != 2 || s.Value() != 143 {
		t.Errorf("picture %q after %d drawings of %v", f.picture(t), draws, s.Value())
	}
	f.move(id, "value", 14.3)
	if draws != 2 {
		t.Error("a move to where it is draws again")
	}
}

// A drawing that was stopped ends while a later one is at work, which follows
// all of its controls all the same.
func TestStoppedDrawingThatEndsLate(t *testing.T) {
	p, f := newFake(true)
	ease := must(p.Slider("ease", 5*cm, 0, 9*cm))
	height := must(p.Slider("cap height", 13*cm, 8*cm, 18*cm))
	stop, goOn := make(chan bool), make(chan bool)
	release := sync.OnceFunc(func() { close(goOn) })
	f.ended = make(chan bool)
	f.runCell("a", func() {
		p.Live(func() any {
			switch ease.Value() {
			case 6 * cm:
				stop <- true
				<-goOn
				return "too late"
			case 7 * cm:
				release()
				<-f.ended
			}
			return fmt.Sprint(ease.Value(), " and ", height.Value())
		})
	})
	f.stop = stop
	f.move(ease.d.frontSide.id, "value", 6.0)
	f.stop = nil
	f.move(ease.d.frontSide.id, "value", 7.0)
	f.move(height.d.frontSide.id, "value", 12.0)
	if got := f.picture(t); got != "7 cm and 12 cm" {
		t.Errorf("picture %q", got)
	}
}

// A drawing may come to nothing, or to an error that it gives as its value.
func TestLiveOfNothing(t *testing.T) {
	p, f := newFake(true)
	c := must(p.CountSlider("gores", 1, 0, 2))
	f.runCell("a", func() {
		p.Live(func() any { return []any{nil, "a skirt", errors.New("two gores are no skirt")}[c.Value()] })
	})
	id, _ := f.modelNamed(t, "IntSliderModel")
	for n, want := range []string{"nothing to show", "a skirt", "not drawn: two gores are no skirt", "a skirt"} {
		f.move(id, "value", float64(n%3+n/3))
		if got := f.picture(t); got != want {
			t.Errorf("picture %q, want %q", got, want)
		}
		f.rested()
		if got := f.picture(t); got != want {
			t.Errorf("picture %q at rest, want %q", got, want)
		}
	}
}

func TestMovingDrawingsAreFinishedAtRest(t *testing.T) {
	p, f := newFake(true)
	s := must(p.Slider("cap height", 13*cm, 8*cm, 18*cm))
	draws := 0
	f.runCell("a", func() { p.Live(func() any { draws++; return s.Value() }) })
	shown := func() map[string]any {
		for _, data := range f.updated {
			return data
		}
		return nil
	}
	if shown()["quick"] != nil {
		t.Error("the first drawing has not all its forms")
	}
	id, _ := f.modelNamed(t, "FloatSliderModel")
	f.move(id, "value", 14.0)
	f.move(id, "value", 15.0)
	if shown()["quick"] == nil || draws != 3 {
		t.Errorf("while it moves: %v after %d drawings", shown(), draws)
	}
	f.rested()
	f.rested()
	want := map[string]any{"text/plain": "15 cm", "text/html": "<pre>15 cm</pre><p><small>with cap height: 15 cm</small></p>"}
	if !reflect.DeepEqual(shown(), want) || draws != 3 || f.count("update") != 3 {
		t.Errorf("at rest: %v after %d drawings and %d updates", shown(), draws, f.count("update"))
	}
}

// Pages without a kernel show no controls, but what they were set to.
func TestMovingDrawingsSayWhatTheyWereMadeWith(t *testing.T) {
	controls := []control{&choice{panel: NewPanel(), label: "collar", options: []string{"<stand>"}}, &toggle{panel: NewPanel(), label: "*lining*"}}
	const line = "<p><small>with collar: &lt;stand&gt;, *lining*: off</small></p>"
	for _, c := range []struct{ data, want map[string]any }{
		{map[string]any{"text/html": "<b>x</b>", "text/plain": "x"}, map[string]any{"text/html": "<b>x</b>" + line, "text/plain": "x"}},
		{map[string]any{"text/markdown": "*x*", "text/plain": "x"},
			map[string]any{"text/markdown": "*x*\n\n" + `<small>with collar: &lt;stand&gt;, \*lining\*: off</small>`, "text/plain": "x"}},
		{map[string]any{"text/latex": "$x$", "text/plain": "x"}, map[string]any{"text/latex": "$x$", "text/plain": "x"}},
	} {
		if got := withValues(c.data, controls); !reflect.DeepEqual(got, c.want) {
			t.Errorf("%v, want %v", got, c.want)
		}
	}
}

func TestValuesFromTheFrontEndAreChecked(t *testing.T) {
	p, f := newFake(true)
	s := must(p.Slider("length", 13*cm, 8*cm, 18*cm))
	n := must(p.CountSlider("gores", 6, 4, 12))
	c := must(p.Choice("collar", "stand", "flat"))
	on := must(p.Toggle("lining", true))
	f.runCell("a", func() {
		p.Live(func() any { return fmt.Sprintf("%v %v %v %v", s.Value(), n.Value(), c.Value(), on.Value()) })
	})
	slider, _ := f.modelNamed(t, "FloatSliderModel")
	count, _ := f.modelNamed(t, "IntSliderModel")
	choice, _ := f.modelNamed(t, "DropdownModel")
	toggle, _ := f.modelNamed(t, "CheckboxModel")
	bad := []struct {
		id, key string
		value   any
	}{
		{slider, "value", 7.9}, {slider, "value", "13"}, {slider, "value", nil}, {slider, "value", true},
		{count, "value", 6.5}, {count, "value", 13.0}, {choice, "index", 2.0}, {choice, "index", -1.0}, {choice, "index", 0.5},
		{choice, "value", "none"}, {toggle, "value", 1.0},
	}
	before := f.picture(t)
	for _, b := range bad {
		sent := len(f.sent)
		f.move(b.id, b.key, b.value)
		if f.picture(t) != before || f.count("update") != 0 {
			t.Fatalf("%v is taken: %q", b, f.picture(t))
		}
		if len(f.sent) != sent+1 {
			t.Errorf("%v: the front end is not put right", b)
		}
	}
	for _, data := range []map[string]any{nil, {"method": 7}, {"method": "update"}, {"method": "update", "state": "x"}, {"method": "custom"}} {
		f.receive[slider](data)
	}
	f.move(slider, "other key", 1.0)
	f.move(slider, "value", 8.0)
	f.move(count, "value", 12.0)
	f.move(choice, "index", 1.0)
	f.move(toggle, "value", false)
	if f.picture(t) != "8 cm 12 flat false" {
		t.Errorf("picture %q", f.picture(t))
	}
}

func TestSlidersGiveExactValues(t *testing.T) {
	p, f := newFake(true)
	third := 10 * cm / 3
	s := must(p.Slider("length", third, third, 18*cm))
	a := must(p.AngleSlider("flare", 30*geom.Degree, 0, 45*geom.Degree))
	f.runCell("a", func() { p.Live(func() any { return fmt.Sprint(s.Value(), a.Value()) }) })
	ids := map[string]string{}
	for id, data := range f.opened {
		if state := data.(map[string]any)["state"].(map[string]any); state["_model_name"] == "FloatSliderModel" {
			ids[state["description"].(string)] = id
		}
	}
	for _, x := range []float64{8.2, 13.400000000000002, 15.1} {
		f.move(ids["length (cm)"], "value", x)
		if got := s.Value(); got != geom.Length(int(x*10+0.5)) {
			t.Errorf("%v cm is %v mm", x, got.MM())
		}
	}
	f.move(ids["length (cm)"], "value", 3.333333333333)
	if s.Value() != third {
		t.Errorf("the end of the range is %v, want %v", s.Value().MM(), third.MM())
	}
	f.move(ids["flare (°)"], "value", 45.0)
	if a.Value() != 45*geom.Degree {
		t.Errorf("45 degrees are %v", a.Value().Degrees())
	}
}

func TestFailedDrawingKeepsItsControls(t *testing.T) {
	p, f := newFake(true)
	s := must(p.Slider("ease", 5*cm, 0, 9*cm))
	other := must(p.Slider("other", 5*cm, 0, 9*cm))
	f.runCell("a", func() {
		p.Live(func() any {
			if s.Value() > 8*cm {
				panic("too wide")
			}
			return other.Value()
		})
	})
	_, box := f.modelNamed(t, "VBoxModel")
	if n := len(box["children"].([]string)); n != 2 {
		t.Fatalf("%d controls under the drawing, want the 2 that it reads", n)
	}
	slider := strings.TrimPrefix(box["children"].([]string)[0], "IPY_MODEL_")
	f.move(slider, "value", 9.0)
	if f.picture(t) != "not drawn: too wide" {
		t.Errorf("picture %q", f.picture(t))
	}
	if len(f.sent) != 0 {
		t.Errorf("the controls have changed: %v", f.sent)
	}
	f.move(slider, "value", 4.0)
	if f.picture(t) != "5 cm" {
		t.Errorf("picture %q", f.picture(t))
	}
}

func TestDrawingThatFailsInItsCellFailsTheCell(t *testing.T) {
	p, f := newFake(true)
	s := must(p.Slider("ease", 5*cm, 0, 9*cm))
	failed := func() (failed bool) {
		defer func() { failed = recover() == "too wide" }()
		f.run++
		p.Live(func() any { s.Value(); panic("too wide") })
		return false
	}()
	if !failed {
		t.Error("the panic does not reach the cell")
	}
	if len(f.shown) != 2 || !strings.Contains(fmt.Sprint(f.shown[1]), "not drawn") {
		t.Errorf("shown %v", f.shown)
	}
	f.modelNamed(t, "FloatSliderModel")
}

func TestRerunOfTheSliderCellMakesItAnew(t *testing.T) {
	p, f := newFake(true)
	var s *LengthSlider
	f.runCell("sliders", func() { s = must(p.Slider("ease", 5*cm, 0, 9*cm)) })
	f.runCell("live", func() { p.Live(func() any { return s.Value() }) })
	first, _ := f.modelNamed(t, "FloatSliderModel")
	f.move(first, "value", 7.0)
	f.runCell("sliders", func() { s = must(p.Slider("ease", 4*cm, 0, 9*cm)) })
	second, state := f.modelNamed(t, "FloatSliderModel")
	if first == second || state["value"] != 4.0 || f.picture(t) != "4 cm" {
		t.Errorf("slider %v, picture %q", state, f.picture(t))
	}
	if last := f.sent[len(f.sent)-1]; !reflect.DeepEqual(last["state"].(map[string]any)["children"], []string{"IPY_MODEL_" + second}) {
		t.Errorf("the box still shows the old slider: %v", last)
	}
	models := len(f.opened)
	for range 5 {
		f.runCell("sliders", func() { s = must(p.Slider("ease", 4*cm, 0, 9*cm)) })
	}
	if len(f.opened) != models || len(p.models) != models {
		t.Errorf("%d comms are open after five more runs, want %d", len(f.opened), models)
	}
}

func TestRerunOfTheLiveCellReplacesItsView(t *testing.T) {
	for _, unnamed := range []bool{false, true} {
		p, f := newFake(true)
		f.unnamed = unnamed
		s := must(p.Slider("ease", 5*cm, 0, 9*cm))
		draws := 0
		for range 3 {
			f.runCell("live", func() { p.Live(func() any { draws++; return s.Value() }) })
		}
		slider, _ := f.modelNamed(t, "FloatSliderModel")
		draws = 0
		f.move(slider, "value", 6.0)
		if draws != 1 || len(p.views) != 1 {
			t.Errorf("%d drawings of %d views, want 1", draws, len(p.views))
		}
		f.runCell("live", func() {}) // the Live was deleted from the cell
		if len(p.views) != 0 {
			t.Errorf("%d views are left", len(p.views))
		}
	}
}

func TestEditedCellsWithoutNamesDoNotPileUp(t *testing.T) {
	p, f := newFake(true)
	f.unnamed = true
	s := must(p.Slider("ease", 5*cm, 0, 9*cm))
	for i := range 30 {
		f.runCell(fmt.Sprint("edit ", i), func() { p.Live(func() any { return s.Value() }) })
	}
	if len(p.views) > maxUnnamedViews {
		t.Errorf("%d views", len(p.views))
	}
}

func TestPrintedControlsAreRead(t *testing.T) {
	p, f := newFake(true)
	s := must(p.Slider("ease", 5*cm, 0, 9*cm))
	c := must(p.Choice("collar", "stand", "flat"))
	on := must(p.Toggle("lining", true))
	f.runCell("a", func() { p.Live(func() any { return fmt.Sprint(s, ", ", c, ", ", on) }) })
	id, _ := f.modelNamed(t, "FloatSliderModel")
	f.move(id, "value", 6.0)
	if want := "ease: 6 cm, collar: stand, lining: on"; f.picture(t) != want {
		t.Errorf("picture %q, want %q", f.picture(t), want)
	}
	f.modelNamed(t, "DropdownModel")
	f.modelNamed(t, "CheckboxModel")
}

func TestTwoViewsShareAControl(t *testing.T) {
	p, f := newFake(true)
	s := must(p.Slider("ease", 5*cm, 0, 9*cm))
	f.runCell("a", func() { p.Live(func() any { return s.Value() }) })
	f.runCell("b", func() { p.Live(func() any { return 2 * s.Value() }) })
	slider, _ := f.modelNamed(t, "FloatSliderModel")
	f.move(slider, "value", 6.0)
	var got []string
	for _, data := range f.updated {
		got = append(got, data["text/plain"].(string))
	}
	if !reflect.DeepEqual(sorted(got), []string{"12 cm", "6 cm"}) {
		t.Errorf("pictures %v", got)
	}
}

func TestSetFromACell(t *testing.T) {
	p, f := newFake(true)
	s := must(p.Slider("ease", 5*cm, 0, 9*cm))
	f.runCell("a", func() { p.Live(func() any { return s.Value() }) })
	f.runCell("b", func() {
		if err := s.Set(3 * cm); err != nil {
			t.Error(err)
		}
	})
	if f.picture(t) != "3 cm" || f.sent[0]["state"].(map[string]any)["value"] != 3.0 {
		t.Errorf("picture %q, sent %v", f.picture(t), f.sent)
	}
	if err := s.Set(10 * cm); err == nil || !strings.Contains(err.Error(), "want 0 cm to 9 cm") {
		t.Errorf("out of range: %v", err)
	}
}

func TestStatesAreGivenOnRequest(t *testing.T) {
	p, f := newFake(true)
	s := must(p.Slider("ease", 5*cm, 0, 9*cm))
	f.runCell("a", func() { p.Live(func() any { return s.Value() }) })
	slider, _ := f.modelNamed(t, "FloatSliderModel")
	f.receive[slider](map[string]any{"method": "request_state"})
	if got := f.sent[0]["state"].(map[string]any); f.sent[0]["method"] != "update" || got["_model_name"] != "FloatSliderModel" || got["layout"] == nil {
		t.Errorf("request_state: %v", f.sent[0])
	}
	open := len(f.opened)
	f.targets["jupyter.widget.control"]("c", nil)(map[string]any{"method": "request_states"})
	states := f.sent[1]["states"].(map[string]any)
	if len(states) != open || f.sent[1]["method"] != "update_states" {
		t.Errorf("%d states, want %d", len(states), open)
	}
	if one := states[slider].(map[string]any); one["model_name"] != "FloatSliderModel" || one["model_module"] != "@jupyter-widgets/controls" {
		t.Errorf("state %v", one)
	}
}

func TestStaticShowsTheValuesUsed(t *testing.T) {
	p, f := newFake(false)
	s := must(p.Slider("cap height", 13*cm, 8*cm, 18*cm))
	on := must(p.Toggle("<lining>", true))
	f.runCell("a", func() { p.Live(func() any { return fmt.Sprint(s.Value(), on.Value()) }) })
	if len(f.opened) != 0 || len(f.shown) != 2 {
		t.Fatalf("opened %v, shown %v", f.opened, f.shown)
	}
	if got := f.shown[0]["text/plain"]; got != "cap height: 13 cm\n<lining>: on" {
		t.Errorf("values %q", got)
	}
	if got := f.shown[0]["text/html"].(string); !strings.Contains(got, "&lt;lining&gt;</th><td align=\"left\">on<") {
		t.Errorf("values %q", got)
	}
	if f.picture(t) != "13 cm true" {
		t.Errorf("picture %q", f.picture(t))
	}
}
