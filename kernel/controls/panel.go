package controls

import (
	"fmt"
	"slices"
	"sync"
)

// A Panel holds the controls and live views of one session. Its methods have
// the names of the package's functions and do the same for that session.
type Panel struct {
	front    Frontend
	folder   string
	results  string // where files are saved, when it is not folder
	anywhere bool   // files outside folder too

	mu       sync.Mutex
	unit     string             // that lengths are shown in, as chosen, or empty
	form     form               // of the front end that came last
	known    bool               // the front end has said which it is, or is being tried
	trial    string             // comm id of a model that it may refuse
	controls map[string]control // by label
	alone    map[control]bool   // shown by themselves too
	models   map[string]*model  // open in the front end, by comm id
	views    []*view            // oldest first
	bars     []*ProgressBar     // of the cell that runs
	saved    map[string]bool    // names, under results
	loaded   map[string][]byte  // SHA-256 by name of what was loaded, nil of what could not be
	reads    *[]control         // what the drawing in progress has read, or nil
}

// A control is one of the panel's inputs.
type control interface {
	name() string
	fmt.Stringer
	// widget returns the control's model in the front end.
	widget() *model
}

// NewPanel returns a panel that prints, as in a plain Go program. Saved files
// go to the current folder.
func NewPanel() *Panel {
	p := &Panel{folder: ".", controls: map[string]control{}, alone: map[control]bool{}, models: map[string]*model{}, saved: map[string]bool{}, loaded: map[string][]byte{}}
	p.front = &printer{}
	return p
}

// Attach joins the panel to the notebook of a session. It comes before the
// first cell.
func (p *Panel) Attach(f Frontend) {
	p.front = f
	f.HandleTarget(versionTarget, p.versionAsked)
	f.HandleTarget(controlTarget, p.statesAsked)
	f.OnCommsAsked(p.commsAsked)
	f.OnClosed(p.closed)
	f.OnSettled(p.settle)
	f.OnRest(p.finish)
}

// OpenFolders lets Save and Load reach every file that the process may reach,
// for notebooks of one's own.
func (p *Panel) OpenFolders() { p.anywhere = true }

// SetFolder makes dir the folder that files are saved under and loaded from.
func (p *Panel) SetFolder(dir string) { p.folder = dir }

// SaveIn makes dir the folder that files are saved under. They are loaded from
// where they were saved; every other file from the folder of SetFolder.
func (p *Panel) SaveIn(dir string) { p.results = dir }

// Bindings returns the functions of this package bound to the panel, by
// import path and name, for an evaluator of cells.
func (p *Panel) Bindings() map[string]any {
	const path = "patternkit/kernel/controls."
	return map[string]any{
		path + "Slider": p.Slider, path + "AngleSlider": p.AngleSlider, path + "NumberSlider": p.NumberSlider,
		path + "CountSlider": p.CountSlider, path + "Choice": p.Choice, path + "Toggle": p.Toggle,
		path + "LengthEntry": p.LengthEntry, path + "MeasureIn": p.MeasureIn,
		path + "Live": p.Live, path + "Show": p.Show, path + "Progress": p.Progress, path + "Save": p.Save, path + "Load": p.Load,
		path + "Ask": p.Ask, path + "Aside": p.Aside, path + "ClearOutput": p.ClearOutput,
	}
}

// add makes c the control of its name. A control that had the name is gone
// from the front end, and what was drawn from it is drawn again.
func (p *Panel) add(c control) {
	p.mu.Lock()
	replaced := p.controls[c.name()]
	p.controls[c.name()] = c
	if replaced != nil {
		p.dirtyLocked(replaced)
		delete(p.alone, replaced)
	}
	p.mu.Unlock()
	if replaced != nil {
		p.close(replaced.widget())
	}
}

// read notes that the drawing in progress depends on c. The caller holds mu.
func (p *Panel) readLocked(c control) {
	if p.reads != nil && !slices.Contains(*p.reads, c) {
		*p.reads = append(*p.reads, c)
	}
}

// dirtyLocked marks the views that were drawn from c.
func (p *Panel) dirtyLocked(c control) {
	for _, v := range p.views {
		if slices.Contains(v.reads, c) {
			v.dirty = true
		}
	}
}

// changed tells the front end of a new value that came from a cell.
func (p *Panel) changed(c control) {
	p.mu.Lock()
	p.dirtyLocked(c)
	p.mu.Unlock()
	p.update(c.widget())
}

// show shows a control by itself: movable, or as its value.
func (p *Panel) show(c control) error {
	if !p.front.Live() {
		p.front.Show(p.front.Bundle(c.String()), "", false)
		return nil
	}
	p.mu.Lock()
	p.alone[c] = true
	p.mu.Unlock()
	p.open(c.widget())
	p.showModel(c.widget(), c.String())
	return nil
}
