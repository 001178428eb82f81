package controls

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode/utf8"
)

// The comm targets of Jupyter's widgets.
const (
	widgetTarget  = "jupyter.widget"
	versionTarget = "jupyter.widget.version" // opened by front ends of ipywidgets 6 only
	controlTarget = "jupyter.widget.control" // opened by front ends of ipywidgets 7.7 and later
)

// A form is how a generation of front ends wants models to be written.
type form int

// The forms, by the versions of ipywidgets. A front end of 6 says who it is.
// For the others see tryForm and commsAsked.
const (
	form8 form = iota
	form7
	form6
)

const (
	baseModule     = "@jupyter-widgets/base"
	controlsModule = "@jupyter-widgets/controls"
	protocol       = "2.1.0"

	oldModule = "jupyter-js-widgets" // all of it in form6
)

// versionIn returns the version of a module. JupyterLab loads no other.
func versionIn(f form, module string) string {
	switch {
	case f == form6:
		return "~2.1.4"
	case f == form8:
		return "2.0.0"
	case module == baseModule:
		return "1.2.0"
	}
	return "1.5.0"
}

// A model is an object of the front end with a state that both sides change.
type model struct {
	id           string // empty while it is not open
	module, name string
	view         string
	viewModule   string // when it is not module
	oldName      string // its name in the old form, when another
	// layout and style are models that this one refers to.
	layout, style *model
	parts         []*model // opened and closed with it
	// state returns the keys that are the model's own.
	state func(old bool) map[string]any
	// receive takes keys that the front end has changed; nil for none.
	receive func(state map[string]any)
}

// Controls are wide enough to be set finely, and their labels are of one
// width, so that they stand in line. A label that would be cut off takes its
// own width, and the control is wider by as much.
const (
	controlWidth = 34 // em
	labelWidth   = "12em"
	labelRoom    = 24 // characters in labelWidth
)

// labelledLayout is of a width in em, and of more for a long label.
func labelledLayout(label string, width int) *model {
	width += max(0, utf8.RuneCountInString(label)-labelRoom+1) / 2
	return layoutModel(fmt.Sprintf("%dem", width))
}

// layoutModel is of a width, or of that which the front end chooses.
func layoutModel(width string) *model {
	state := map[string]any{}
	if width != "" {
		state["width"], state["max_width"] = width, "100%"
	}
	return &model{module: baseModule, name: "LayoutModel", view: "LayoutView", state: fixed(state)}
}

func sliderStyle(label string) *model {
	return &model{module: controlsModule, name: "SliderStyleModel", view: "StyleView", viewModule: baseModule, state: labelled(label)}
}

func descriptionStyle(label string) *model {
	return &model{module: controlsModule, name: "DescriptionStyleModel", oldName: "StyleModel", view: "StyleView", viewModule: baseModule,
		state: labelled(label)}
}

// asWritten keeps a label from being read as markup: front ends of ipywidgets 7
// would, and a script in it could do all that the user can. Behind a joiner,
// which is not seen, a bracket begins no tag.
func asWritten(label string) string { return strings.ReplaceAll(label, "<", "<\u2060") }

func labelled(label string) func(bool) map[string]any {
	width := labelWidth
	if utf8.RuneCountInString(label) > labelRoom {
		width = "initial"
	}
	return fixed(map[string]any{"description_width": width})
}

func fixed(state map[string]any) func(bool) map[string]any {
	return func(bool) map[string]any { return maps.Clone(state) }
}

// boxModel stacks controls.
func boxModel(children func() []*model) *model {
	return &model{module: controlsModule, name: "VBoxModel", view: "VBoxView", layout: layoutModel(""),
		state: func(bool) map[string]any {
			s := boxState(children())
			s["_dom_classes"] = []string{boxClass}
			return s
		}}
}

// boxClass is on every box, for the rules of linedUp.
const boxClass = "patternkit-controls"

// linedUp is a model that is not seen. It puts the labels of a box in line in
// front ends of ipywidgets 6, which know no width of a label, and boxes to tick
// beside their labels, which it would spread out.
func linedUp() *model {
	layout := &model{module: baseModule, name: "LayoutModel", view: "LayoutView", state: fixed(map[string]any{"display": "none"})}
	rules := "<style>." + boxClass + " .widget-inline-hbox > .widget-label { min-width: " + labelWidth + "; max-width: none; }" +
		" ." + boxClass + " input[type=checkbox] { flex: none; margin-right: auto; }</style>"
	return &model{module: controlsModule, name: "HTMLModel", view: "HTMLView", layout: layout,
		state: fixed(map[string]any{"value": rules, "description": "", "placeholder": ""})}
}

// rowModel puts models of its own side by side.
func rowModel(parts ...*model) *model {
	return &model{module: controlsModule, name: "HBoxModel", view: "HBoxView", layout: layoutModel(""), parts: parts,
		state: func(bool) map[string]any { return boxState(parts) }}
}

func boxState(children []*model) map[string]any {
	refs := []string{}
	for _, m := range children {
		refs = append(refs, m.ref())
	}
	return map[string]any{"children": refs, "box_style": ""}
}

func (m *model) ref() string { return "IPY_MODEL_" + m.id }

// fullState is all that the front end needs to make the model.
func (m *model) fullState(f form) map[string]any {
	s := m.state(f == form6)
	if s == nil {
		s = map[string]any{}
	}
	if m.layout != nil {
		s["layout"] = m.layout.ref()
	}
	if m.style != nil {
		s["style"] = m.style.ref()
	}
	s["_model_name"], s["_model_module"] = m.name, m.module
	s["_view_name"], s["_view_module"] = m.view, cmp.Or(m.viewModule, m.module)
	s["_model_module_version"] = versionIn(f, m.module)
	s["_view_module_version"] = versionIn(f, cmp.Or(m.viewModule, m.module))
	if f == form6 {
		s["_model_name"] = cmp.Or(m.oldName, m.name)
		s["_model_module"], s["_view_module"] = oldModule, oldModule
		s["msg_throttle"] = 1
	}
	return s
}

// open makes a model in the front end, after those that it refers to. One
// that is open already stays.
func (p *Panel) open(m *model) {
	if m == nil || m.id != "" {
		return
	}
	p.endTrial()
	p.open(m.layout)
	p.open(m.style)
	for _, part := range m.parts {
		p.open(part)
	}
	p.mu.Lock()
	m.id = p.front.NewID()
	p.models[m.id] = m
	f := p.form
	p.mu.Unlock()
	state := m.fullState(f)
	receive := func(data map[string]any) { p.received(m, data) }
	if f == form6 {
		p.front.OpenComm(m.id, widgetTarget, state, nil, receive)
		return
	}
	p.openComm(m.id, state, receive)
}

func (p *Panel) openComm(id string, state map[string]any, receive func(map[string]any)) {
	data := map[string]any{"state": state, "buffer_paths": []any{}}
	p.front.OpenComm(id, widgetTarget, data, map[string]any{"version": protocol}, receive)
}

// close removes a model from the front end.
func (p *Panel) close(m *model) {
	if m == nil || m.id == "" {
		return
	}
	p.mu.Lock()
	id := m.id
	m.id = ""
	delete(p.models, id)
	p.mu.Unlock()
	p.front.CloseComm(id)
	for _, part := range m.parts {
		p.close(part)
	}
	p.close(m.style)
	p.close(m.layout)
}

// update sends what a model holds now.
func (p *Panel) update(m *model) {
	if m.id == "" {
		return
	}
	p.sendState(m, m.state(p.isOld()))
}

func (p *Panel) sendState(m *model, state map[string]any) {
	p.front.SendComm(m.id, map[string]any{"method": "update", "state": state, "buffer_paths": []any{}})
}

func (p *Panel) formNow() form {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.form
}

// isOld reports whether the front end is one of ipywidgets 6.
func (p *Panel) isOld() bool { return p.formNow() == form6 }

// received handles a message of the front end about a model, in either form.
func (p *Panel) received(m *model, data map[string]any) {
	switch data["method"] {
	case "update":
		p.accept(m, data["state"])
	case "backbone":
		p.accept(m, data["sync_data"])
	case "request_state":
		p.sendState(m, m.fullState(p.formNow()))
	}
}

func (p *Panel) accept(m *model, state any) {
	if s, ok := state.(map[string]any); ok && m.receive != nil {
		m.receive(s)
	}
}

// versionAsked answers a front end of ipywidgets 6: from now on models are
// written in its form.
func (p *Panel) versionAsked(id string, _ map[string]any) func(map[string]any) {
	p.mu.Lock()
	p.form, p.known = form6, true
	p.mu.Unlock()
	p.front.SendComm(id, map[string]any{"version": versionIn(form6, oldModule)})
	return func(map[string]any) {} // it says whether it is content
}

// commsAsked notes that a front end asks which comms are open. One of
// ipywidgets 7 before 7.7 does so when it connects and says nothing of itself.
func (p *Panel) commsAsked(target string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if target == widgetTarget && !p.known {
		p.form = form7
	}
}

// tryForm opens a model to see whether the front end takes it: one that has
// the modules in other versions closes it at once.
func (p *Panel) tryForm() {
	p.endTrial()
	p.mu.Lock()
	if p.form == form6 { // of a page that was there before: those of 6 don't ask for a trial
		p.form = form8
	}
	p.known, p.trial = true, p.front.NewID()
	id, state := p.trial, layoutModel("").fullState(p.form)
	p.mu.Unlock()
	p.openComm(id, state, func(map[string]any) {})
}

// closed is told of models that the front end closes.
func (p *Panel) closed(id string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	switch {
	case id != p.trial:
	case p.form == form8:
		p.form, p.trial = form7, ""
	case p.form == form7:
		p.form, p.trial = form8, ""
	}
}

// endTrial closes the model of tryForm, which was taken.
func (p *Panel) endTrial() {
	p.mu.Lock()
	id := p.trial
	p.trial = ""
	p.mu.Unlock()
	if id != "" {
		p.front.CloseComm(id)
	}
}

// statesAsked answers a front end that has just connected and wants every
// model at once.
func (p *Panel) statesAsked(id string, _ map[string]any) func(map[string]any) {
	p.tryForm()
	return func(data map[string]any) {
		if data["method"] != "request_states" {
			return
		}
		p.mu.Lock()
		models, f := slices.Collect(maps.Values(p.models)), p.form
		p.mu.Unlock()
		states := map[string]any{}
		for _, m := range models {
			full := m.fullState(f)
			states[m.id] = map[string]any{
				"model_name": full["_model_name"], "model_module": full["_model_module"],
				"model_module_version": full["_model_module_version"], "state": full,
			}
		}
		p.front.SendComm(id, map[string]any{"method": "update_states", "states": states, "buffer_paths": []any{}})
	}
}

const viewMIME = "application/vnd.jupyter.widget-view+json"

// showModel shows a model in the running cell. text stands in for it where
// there is nothing to move.
func (p *Panel) showModel(m *model, text string) {
	data := map[string]any{viewMIME: map[string]any{"model_id": m.id, "version_major": 2, "version_minor": 0}}
	old := p.isOld()
	if !old {
		data["text/plain"] = text
	}
	p.front.Show(data, "", false)
	if old {
		p.front.SendComm(m.id, map[string]any{"method": "display"})
	}
}

func widgetsOf(controls []control) []*model {
	models := make([]*model, len(controls))
	for i, c := range controls {
		models[i] = c.widget()
	}
	return models
}
