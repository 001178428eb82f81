package controls

// Aside shows a value beside the notebook, in the pane that front ends keep
// for help: a long table to look things up in while cells are written. It is
// not kept in the notebook. Where there is no such pane it is shown in the
// cell.
func (p *Panel) Aside(v any) { p.front.Page(p.front.Bundle(v)) }

// ClearOutput empties what the running cell has shown so far: at once or, with
// wait, when the next output comes, so that nothing flickers.
func (p *Panel) ClearOutput(wait bool) { p.front.Clear(wait) }
