package controls

import (
	"fmt"
	"html"
	"maps"
	"slices"
	"strings"
)

// A view is a drawing in a notebook that follows its controls.
type view struct {
	panel *Panel
	draw  func() any
	cell  string
	run   int
	id    string // of the shown drawing

	client string // the page that it was shown in
	elsewhere
	box      *model // nil when the drawing read no control, or can't be moved
	lining   *model // in the box of an old front end, see linedUp
	larger   *model // in the box of a drawing, see largerModel
	boxShows []string
	moving   any // what was drawn last, when it was shown without its slow forms

	// Guarded by panel.mu.
	reads []control // in the order of first reading
	dirty bool
}

// maxUnnamedViews is how many views are kept of a front end that does not name
// its cells. There an edited cell can't be told from another one, so that
// views are left over whose place is gone.
const maxUnnamedViews = 8

// Live shows what draw returns, under the controls that it reads, and draws
// it again in the same place whenever one of them moves. Where nothing can be
// moved it shows the drawing and the values used. A drawing that fails says
// so in its place, and the controls stay.
func (p *Panel) Live(draw func() any) {
	v := p.newView(draw)
	drawn := false
	defer func() {
		if !drawn { // the cell fails by itself; its controls are there to be moved back
			v.place(failure("see the error of the cell"))
		}
	}()
	data := formsOf(v.render(), p.front.Bundle)
	drawn = true
	v.place(data)
}

func (p *Panel) newView(draw func() any) *view {
	name, run, named := p.front.Cell()
	v := &view{panel: p, draw: draw, cell: name, run: run, id: p.front.NewID(), client: p.front.Client()}
	v.set, v.again = p.front.Keep(v.id)
	p.dropViews(name, run)
	p.mu.Lock()
	defer p.mu.Unlock()
	p.views = append(p.views, v)
	if !named && len(p.views) > maxUnnamedViews {
		p.views = slices.Clone(p.views[len(p.views)-maxUnnamedViews:])
	}
	return v
}

// dropViews forgets what earlier runs of a cell showed: their place is gone.
func (p *Panel) dropViews(cell string, run int) {
	p.mu.Lock()
	var gone []*view
	p.views = slices.DeleteFunc(p.views, func(v *view) bool {
		if v.cell != cell || v.run == run {
			return false
		}
		gone = append(gone, v)
		return true
	})
	p.mu.Unlock()
	for _, v := range gone {
		for _, m := range []*model{v.box, v.larger, v.copy, v.lining} {
			p.close(m)
		}
	}
}

// render draws, and notes what the drawing reads. When it fails, the controls
// it had read before count too: one of them is to be moved back. A drawing that
// was stopped may end after a later one has begun: then it notes nothing.
func (v *view) render() any {
	p := v.panel
	var reads []control
	p.mu.Lock()
	outer := p.reads
	p.reads = &reads
	p.mu.Unlock()
	drawn := false
	defer func() {
		p.mu.Lock()
		defer p.mu.Unlock()
		if p.reads != &reads {
			return
		}
		p.reads = outer
		if !drawn {
			reads = p.withEarlierLocked(v.reads, reads)
		}
		v.reads = reads
	}()
	result := v.draw()
	drawn = true
	return result
}

// withEarlierLocked joins controls in use, the earlier first.
func (p *Panel) withEarlierLocked(earlier, now []control) []control {
	var all []control
	for _, c := range append(slices.Clone(earlier), now...) {
		if p.controls[c.name()] == c && !slices.Contains(all, c) {
			all = append(all, c)
		}
	}
	return all
}

// place shows the view for the first time.
func (v *view) place(data map[string]any) {
	p := v.panel
	reads := v.readsNow()
	switch {
	case len(reads) == 0:
	case p.front.Live():
		if p.isOld() {
			v.lining = linedUp()
		}
		data = v.dressed(data, reads)
		v.box = boxModel(v.inBox)
		v.openControls()
		p.open(v.box)
		p.showModel(v.box, listValues(reads))
	default:
		p.front.Show(valuesBundle(reads), "", false)
	}
	p.front.Show(data, v.id, false)
}

func (v *view) readsNow() []control {
	v.panel.mu.Lock()
	defer v.panel.mu.Unlock()
	return slices.Clone(v.reads)
}

// inBox lists what the box shows.
func (v *view) inBox() []*model {
	models := widgetsOf(v.readsNow())
	for _, m := range []*model{v.larger, v.copy, v.lining} {
		if m != nil {
			models = append(models, m)
		}
	}
	return models
}

// openControls opens what the box shows, and reports whether that has changed.
func (v *view) openControls() bool {
	var shows []string
	for _, m := range v.inBox() {
		v.panel.open(m)
		shows = append(shows, m.id)
	}
	if slices.Equal(shows, v.boxShows) {
		return false
	}
	v.boxShows = shows
	return true
}

// redraw draws again after a control was moved, outside of any cell.
// oneCell says that no other cell shows what has moved.
func (v *view) redraw(oneCell bool) {
	p := v.panel
	v.moving = nil
	away := v.isElsewhere()
	data, result := v.called(func() (map[string]any, any) {
		result := v.render()
		if away { // nothing can be added at rest
			return formsOf(result, p.front.Bundle), nil
		}
		return formsOf(result, p.front.Quick), result
	})
	v.moving = result
	v.present(data, away, oneCell)
	if v.box != nil && v.openControls() {
		p.update(v.box)
	}
}

// called makes the forms of a drawing, for which cells are called back. The
// forms of one that fails say why.
func (v *view) called(forms func() (map[string]any, any)) (map[string]any, any) {
	type made struct {
		data   map[string]any
		result any
	}
	// A call that is stopped may still be at work when Call returns.
	done := make(chan made, 1)
	err := v.panel.front.Call(func() {
		data, result := forms()
		done <- made{data, result}
	})
	if err != nil {
		v.panel.leaveDrawing()
		return failure(err.Error()), nil
	}
	m := <-done
	return m.data, m.result
}

// leaveDrawing forgets a drawing that was stopped and may still be at work.
func (p *Panel) leaveDrawing() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.reads = nil
}

// finish shows what has moved with all its forms: they are for saved
// notebooks and for exporters.
func (p *Panel) finish() {
	p.mu.Lock()
	views := slices.Clone(p.views)
	p.mu.Unlock()
	for _, v := range views {
		if v.moving == nil {
			continue
		}
		result := v.moving
		data, _ := v.called(func() (map[string]any, any) { return formsOf(result, p.front.Bundle), nil })
		v.moving = nil
		v.present(data, false, false)
	}
}

// settle shows what bars have left and draws again what has changed: the
// newest view first, because that is the one being looked at.
func (p *Panel) settle() {
	p.flushBars()
	name, run, _ := p.front.Cell()
	p.dropViews(name, run)
	p.mu.Lock()
	var dirty []*view
	for _, v := range slices.Backward(p.views) {
		if v.dirty {
			v.dirty = false
			dirty = append(dirty, v)
		}
	}
	p.mu.Unlock()
	oneCell := p.oneCell(dirty)
	for _, v := range dirty {
		v.redraw(oneCell)
	}
}

// formsOf are the forms of a drawing. A drawing may leave nothing to show, and
// is still in its place, or give the error of what it is made by.
func formsOf(result any, forms func(any) map[string]any) map[string]any {
	if result == nil {
		return map[string]any{"text/plain": "nothing to show"}
	}
	if err, failed := result.(error); failed {
		return failure(err.Error())
	}
	return forms(result)
}

// failure is shown in the place of a drawing that could not be made.
func failure(why string) map[string]any {
	return map[string]any{
		"text/plain": "not drawn: " + why,
		"text/html":  "<p><strong>Not drawn:</strong> " + strings.ReplaceAll(html.EscapeString(why), "\n", "<br>") + "</p>",
	}
}

// withValues adds to a drawing that moves the values that it was made with:
// a page without a kernel shows the drawing and no controls. A formula can't
// have them.
func withValues(data map[string]any, controls []control) map[string]any {
	text, isMarkdown := data["text/markdown"].(string)
	isPage := data["text/html"] != nil
	if len(controls) == 0 || !isPage && !isMarkdown && data["text/latex"] != nil {
		return data
	}
	data = maps.Clone(data)
	if isMarkdown && !isPage {
		data["text/markdown"] = text + "\n\n" + inMarkdown.Replace(valuesLine(controls))
		return data
	}
	data["text/html"] = asHTML(data) + "<p>" + valuesLine(controls) + "</p>"
	return data
}

// inMarkdown keeps the signs of a text that Markdown would take for its own.
var inMarkdown = strings.NewReplacer("\\", `\\`, "*", `\*`, "_", `\_`, "`", "\\`", "$", `\$`, "[", `\[`, "]", `\]`)

func valuesLine(controls []control) string {
	return "<small>with " + html.EscapeString(strings.ReplaceAll(listValues(controls), "\n", ", ")) + "</small>"
}

func listValues(controls []control) string {
	lines := make([]string, len(controls))
	for i, c := range controls {
		lines[i] = c.String()
	}
	return strings.Join(lines, "\n")
}

// valuesBundle lists the values that a drawing was made with.
func valuesBundle(controls []control) map[string]any {
	var b strings.Builder
	b.WriteString("<table>\n")
	for _, c := range controls {
		value := strings.TrimPrefix(c.String(), c.name()+": ")
		fmt.Fprintf(&b, "<tr><th align=\"left\">%s</th><td align=\"left\">%s</td></tr>\n", html.EscapeString(c.name()), html.EscapeString(value))
	}
	b.WriteString("</table>")
	return map[string]any{"text/plain": listValues(controls), "text/html": b.String()}
}

// Show shows values in the running cell, each by itself. A last value that is
// an error is returned and nothing is shown; a last nil behind others is left
// out: Show(f()) is meant for functions that may fail.
func (p *Panel) Show(values ...any) error {
	if n := len(values); n > 0 {
		if err, failed := values[n-1].(error); failed {
			return err
		}
		if n > 1 && values[n-1] == nil {
			values = values[:n-1]
		}
	}
	for _, v := range values {
		if c, ok := v.(interface{ ShowInNotebook() error }); ok {
			if err := c.ShowInNotebook(); err != nil {
				return err
			}
			continue
		}
		p.front.Show(p.front.Bundle(v), "", false)
	}
	return nil
}

// Ask asks whoever runs the cell for a line of text.
func (p *Panel) Ask(question string) (string, error) { return p.front.Ask(question, false) }
