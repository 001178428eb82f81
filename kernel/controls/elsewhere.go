package controls

import (
	"fmt"
	"html"
	"slices"
)

// A page that was opened after a cell had run, and still has the controls from
// the kernel, can't be told to put another drawing in the place of the saved
// one: it knows the display ids only of outputs that it saw arrive.
//
// Front ends of ipywidgets 6 show what the kernel sends while it handles a
// control's message in the cell of that control. There the whole cell is shown
// again, and saved as it is then. Front ends of ipywidgets 7 and 8 drop such
// outputs. There the drawing is copied among the controls.

// elsewhere is what a view needs for pages other than the one it was shown in.
type elsewhere struct {
	set   func(data map[string]any) // says what the view shows, for again
	again func() bool               // shows the cell again in the page of the message
	copy  *model                    // the drawing among the controls, or nil
	now   map[string]any            // what the copy shows
}

// isElsewhere reports whether the message handled now is from another page
// than the one that the view was shown in.
func (v *view) isElsewhere() bool {
	client := v.panel.front.Client()
	return client != "" && client != v.client
}

// oneCell reports whether views are of one cell, and what they read is shown
// in no other. Then that is the cell of a control that has moved.
func (p *Panel) oneCell(views []*view) bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, v := range views {
		if v.cell != views[0].cell || slices.ContainsFunc(v.reads, func(c control) bool { return p.alone[c] }) {
			return false
		}
	}
	return true
}

// present shows the drawing that has changed, in every page where it is. away
// says that the page that moved it is not the one it was shown in.
func (v *view) present(data map[string]any, away, oneCell bool) {
	p := v.panel
	data = v.dressed(data, v.readsNow())
	p.front.Show(data, v.id, true)
	v.set(data)
	v.now = data
	switch {
	case away && oneCell && p.isOld() && v.again():
		p.close(v.copy)
		v.copy = nil
	case away && v.copy == nil && v.box != nil:
		v.copy = &model{module: controlsModule, name: "HTMLModel", view: "HTMLView", layout: layoutModel(""), state: v.copyState}
	case v.copy != nil:
		p.update(v.copy)
	}
}

const copyRemark = "<p><em>This page was opened after the cell had run. The drawing here follows the controls; " +
	"the one below is as it was saved. Run the cell to have one drawing again.</em></p>"

func (v *view) copyState(bool) map[string]any {
	return map[string]any{"value": copyRemark + asHTML(v.now), "description": "", "placeholder": ""}
}

// asHTML is the form of a bundle that can stand in a page.
func asHTML(data map[string]any) string {
	if page, ok := data["text/html"].(string); ok {
		return page
	}
	text := html.EscapeString(fmt.Sprint(data["text/plain"]))
	if png, ok := data["image/png"].(string); ok {
		return fmt.Sprintf(`<img src="data:image/png;base64,%s" alt="%s">`, png, text)
	}
	return "<pre>" + text + "</pre>"
}
