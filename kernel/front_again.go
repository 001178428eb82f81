package kernel

import "sync"

// A notebook page finds an output by its display id only when it saw the
// output arrive. In a page that was opened after a cell had run, what the cell
// showed can be replaced as a whole only. So it is kept for the cells whose
// outputs change later.

// maxAgain is how much of a cell is kept, in bytes of its outputs' text.
const maxAgain = 16 << 20

// A shownCell is what one run of a cell has shown.
type shownCell struct {
	mu      sync.Mutex
	outputs []shownOutput
	size    int
	tooMuch bool
	clear   bool // when the next output comes
}

// A shownOutput is a stream when it has a name, a result when it has a count,
// and else a display.
type shownOutput struct {
	name    string
	text    []byte
	count   int
	display Display
}

func (c *shownCell) add(o shownOutput) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.clear {
		c.outputs, c.size, c.clear = nil, 0, false
	}
	c.size += len(o.text) + textSize(o.display.Data)
	c.tooMuch = c.tooMuch || c.size > maxAgain
	n := len(c.outputs)
	switch {
	case c.tooMuch:
		c.outputs = nil
	case o.name != "" && n > 0 && c.outputs[n-1].name == o.name:
		c.outputs[n-1].text = append(c.outputs[n-1].text, o.text...)
	default:
		c.outputs = append(c.outputs, o)
	}
}

func textSize(b Bundle) int {
	n := 0
	for _, v := range b {
		if text, ok := v.(string); ok {
			n += len(text)
		}
	}
	return n
}

// replace puts data in the place of what was shown by an id.
func (c *shownCell) replace(id string, data, metadata Bundle) {
	c.mu.Lock()
	defer c.mu.Unlock()
	for i := range c.outputs {
		d := &c.outputs[i].display
		if id != "" && d.ID == id {
			c.size += textSize(data) - textSize(d.Data)
			d.Data, d.Metadata = data, metadata
		}
	}
}

func (c *shownCell) empty(wait bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.clear = wait
	if !wait {
		c.outputs, c.size = nil, 0
	}
}

// again replaces all that is in the output area of out, and reports whether
// it could.
func (c *shownCell) again(out Output) bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.tooMuch || c.clear || len(c.outputs) == 0 {
		return false
	}
	out.ClearOutput(true)
	for _, o := range c.outputs {
		d := Display{Data: o.display.Data, Metadata: o.display.Metadata}
		switch {
		case o.name != "":
			out.Stream(o.name, string(o.text))
		case o.count > 0:
			out.Result(o.count, d)
		default:
			out.Display(d)
		}
	}
	return true
}

// A keptOutput writes down what passes through it.
type keptOutput struct {
	Output
	cell *shownCell
}

func (o keptOutput) Stream(name, text string) {
	o.cell.add(shownOutput{name: name, text: []byte(text)})
	o.Output.Stream(name, text)
}

func (o keptOutput) Display(d Display) {
	if d.Update {
		o.cell.replace(d.ID, d.Data, d.Metadata)
	} else {
		o.cell.add(shownOutput{display: d})
	}
	o.Output.Display(d)
}

func (o keptOutput) Result(count int, d Display) {
	o.cell.add(shownOutput{count: count, display: d})
	o.Output.Result(count, d)
}

func (o keptOutput) ClearOutput(wait bool) {
	o.cell.empty(wait)
	o.Output.ClearOutput(wait)
}

// Client names the page, or other program, whose message is handled now;
// empty where there is none.
func (f *Front) Client() string {
	if out, ok := f.output().(interface{ Client() string }); ok {
		return out.Client()
	}
	return ""
}

// Keep keeps what the running cell shows, for a display of it that changes
// later: set says what is in its place by then. again shows the whole cell
// once more, in the cell of the control whose message is handled now, and
// reports whether it could: not while a cell runs, nor when there was too much
// to be kept.
func (f *Front) Keep(id string) (set func(data map[string]any), again func() bool) {
	f.mu.Lock()
	cell := f.shown
	f.mu.Unlock()
	set = func(data map[string]any) { cell.replace(id, data, nil) }
	again = func() bool {
		f.mu.Lock()
		out, inCell := f.out, f.inCell
		f.mu.Unlock()
		return !inCell && cell.again(out)
	}
	return set, again
}
