package notebook

import (
	"fmt"
	"maps"
	"slices"
	"sync"

	"patternkit/kernel"
)

// A recorder stores what cells show, as a front end does: streams run on,
// displays are updated by their id wherever they stand, and clearing waits for
// the next output where it is asked to. Outputs may come from goroutines that
// a cell has left running; they go to their cell until close.
type recorder struct {
	mu       sync.Mutex
	closed   bool
	outputs  [][]Output        // by cell
	clearing []bool            // by cell: clear when the next output comes
	shown    map[string][]spot // by display id
	err      error             // the first content that no file can hold
}

// A spot is where a display stands.
type spot struct{ cell, output int }

func newRecorder(cells int) *recorder {
	return &recorder{outputs: make([][]Output, cells), clearing: make([]bool, cells), shown: map[string][]spot{}}
}

// into returns nb with what was recorded.
func (r *recorder) into(nb Notebook) Notebook {
	r.mu.Lock()
	defer r.mu.Unlock()
	for i := range nb.Cells {
		if nb.Cells[i].Type == Code {
			nb.Cells[i].Outputs = slices.Clone(r.outputs[i])
		}
	}
	return nb
}

// close drops what comes later.
func (r *recorder) close() {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.closed = true
}

// failed records the error of a cell, and returns one of the recording.
func (r *recorder) failed(cell int, e *kernel.CellError) error {
	r.mu.Lock()
	defer r.mu.Unlock()
	if e != nil {
		r.add(cell, Output{Type: ErrorOutput, ErrorName: e.Name, ErrorValue: e.Value, Traceback: slices.Clone(e.Traceback)})
	}
	if r.err != nil {
		return fmt.Errorf("cell %d: %w", cell+1, r.err)
	}
	return nil
}

// add appends an output to a cell and returns its place.
func (r *recorder) add(cell int, o Output) spot {
	if r.clearing[cell] {
		r.clear(cell)
	}
	r.outputs[cell] = append(r.outputs[cell], o)
	return spot{cell, len(r.outputs[cell]) - 1}
}

func (r *recorder) clear(cell int) {
	r.clearing[cell], r.outputs[cell] = false, nil
	for id, spots := range r.shown {
		r.shown[id] = slices.DeleteFunc(spots, func(s spot) bool { return s.cell == cell })
	}
}

// display adds an output with the data of d, or updates those of its id. An
// update of an id that nothing has is dropped, as front ends do.
func (r *recorder) display(cell int, o Output, d kernel.Display) {
	data, err1 := treeOf(d.Data)
	metadata, err2 := treeOf(d.Metadata)
	for _, err := range []error{err1, err2} {
		if err != nil && r.err == nil {
			r.err = fmt.Errorf("it shows what a notebook cannot hold: %w", err)
		}
	}
	o.Data, o.Metadata = data, metadata
	if d.Update {
		for _, s := range r.shown[d.ID] {
			shown := &r.outputs[s.cell][s.output]
			shown.Data, shown.Metadata = maps.Clone(data), maps.Clone(metadata)
		}
		return
	}
	at := r.add(cell, o)
	if d.ID != "" {
		r.shown[d.ID] = append(r.shown[d.ID], at)
	}
}

// cell returns the output of one cell.
func (r *recorder) cell(i int) kernel.Output { return cellOutput{r, i} }

type cellOutput struct {
	r    *recorder
	cell int
}

// locked does f unless the run is over.
func (c cellOutput) locked(f func()) {
	c.r.mu.Lock()
	defer c.r.mu.Unlock()
	if !c.r.closed {
		f()
	}
}

func (c cellOutput) Stream(name, text string) {
	c.locked(func() {
		if text == "" {
			return
		}
		outputs := c.r.outputs[c.cell]
		if n := len(outputs); n > 0 && !c.r.clearing[c.cell] && outputs[n-1].Type == Stream && outputs[n-1].Name == name {
			outputs[n-1].Text += text
			return
		}
		c.r.add(c.cell, Output{Type: Stream, Name: name, Text: text})
	})
}

func (c cellOutput) Display(d kernel.Display) {
	c.locked(func() { c.r.display(c.cell, Output{Type: DisplayData}, d) })
}

func (c cellOutput) Result(count int, d kernel.Display) {
	c.locked(func() { c.r.display(c.cell, Output{Type: ExecuteResult, Count: &count}, d) })
}

func (c cellOutput) ClearOutput(wait bool) {
	c.locked(func() {
		if wait {
			c.r.clearing[c.cell] = true
			return
		}
		c.r.clear(c.cell)
	})
}
