package kernel

// A Pager is an Output of a front end with a pane for help beside its cells.
type Pager interface {
	// Page shows data there and reports whether that could be done: only
	// while a cell runs.
	Page(data Bundle) bool
}

// A Leaver is an Output of a front end that may be asked to end, as a console
// may.
type Leaver interface {
	// Leave asks it to end and reports whether that could be done: only while
	// a cell runs.
	Leave() bool
}

// Both go to the front end as payloads of the reply to the cell. The protocol
// calls payloads deprecated and names nothing in their place; every front end
// still takes these two.

func (o *socketOutput) Page(data Bundle) bool {
	return o.payload(map[string]any{"source": "page", "data": orEmpty(data), "start": 0})
}

func (o *socketOutput) Leave() bool {
	return o.payload(map[string]any{"source": "ask_exit", "keepkernel": false})
}

func (o *socketOutput) payload(p map[string]any) bool {
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.payloads != nil {
		o.payloads = append(o.payloads, p)
	}
	return o.payloads != nil
}

// takePayloads lets payloads be given from now on.
func (o *socketOutput) takePayloads() {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.payloads = []any{}
}

// givePayloads returns them; later ones come too late.
func (o *socketOutput) givePayloads() []any {
	o.mu.Lock()
	defer o.mu.Unlock()
	given := o.payloads
	o.payloads = nil
	return given
}

// Page shows data in the pane for help of the front end; in the cell where
// there is none.
func (f *Front) Page(data map[string]any) {
	if out, ok := f.output().(Pager); ok && out.Page(data) {
		return
	}
	f.Show(data, "", false)
}

// Leave asks the front end to end and reports whether one is there that can
// be asked.
func (f *Front) Leave() bool {
	out, ok := f.output().(Leaver)
	return ok && out.Leave()
}

// Clear empties the output of the running cell: at once, or when the next
// output comes.
func (f *Front) Clear(wait bool) { f.showing().ClearOutput(wait) }
