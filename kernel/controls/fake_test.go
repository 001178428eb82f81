package controls

import (
	"errors"
	"fmt"
	"slices"
	"testing"
)

// A fakeFront is a front end that writes down what it is told.
type fakeFront struct {
	live    bool
	stop    chan bool // if not nil, the call is stopped then, and goes on up to ended
	ended   chan bool
	page    string // the text/html of what is drawn, if not empty
	cell    string
	run     int
	unnamed bool

	log     []string         // what was called, in order
	opened  map[string]any   // data of comm_open by comm id
	meta    map[string]any   // metadata of the last comm_open
	sent    []map[string]any // data of comm messages
	shown   []map[string]any
	updated map[string]map[string]any // by display id
	receive map[string]func(map[string]any)
	targets map[string]func(string, map[string]any) func(map[string]any)
	asked   func(target string)
	closed  func(id string)
	settled func()
	rested  func()
	ids     int

	client  string
	again   []string // texts that were shown once more with their cells
	tooMuch bool     // nothing is shown once more

	states map[string]any // as given to a page that has connected
}

func (f *fakeFront) Live() bool                { return f.live }
func (f *fakeFront) Cell() (string, int, bool) { return f.cell, f.run, !f.unnamed }
func (f *fakeFront) Bundle(v any) map[string]any {
	data := map[string]any{"text/plain": fmt.Sprint(v)}
	if f.page != "" {
		data["text/html"] = f.page
	}
	return data
}

func (f *fakeFront) Quick(v any) map[string]any {
	data := f.Bundle(v)
	data["quick"] = true
	return data
}

func (f *fakeFront) Show(data map[string]any, id string, update bool) {
	if update {
		f.log = append(f.log, "update")
		f.updated[id] = data
		return
	}
	f.log = append(f.log, "show")
	f.shown = append(f.shown, data)
	if id != "" {
		f.updated[id] = data
	}
}

func (f *fakeFront) Page(data map[string]any) {
	f.log = append(f.log, "page")
	f.shown = append(f.shown, data)
}

func (f *fakeFront) Clear(wait bool) { f.log = append(f.log, fmt.Sprint("clear ", wait)) }

func (f *fakeFront) Client() string { return f.client }

func (f *fakeFront) Keep(string) (func(map[string]any), func() bool) {
	text := ""
	return func(data map[string]any) { text = data["text/plain"].(string) }, func() bool {
		if !f.tooMuch {
			f.again = append(f.again, text)
		}
		return !f.tooMuch
	}
}

func (f *fakeFront) Call(do func()) (err error) {
	if f.stop != nil {
		go func() {
			defer close(f.ended)
			do()
		}()
		<-f.stop
		return errors.New("stopped")
	}
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("%v", p)
		}
	}()
	do()
	return nil
}

func (f *fakeFront) NewID() string { f.ids++; return fmt.Sprintf("id%d", f.ids) }

func (f *fakeFront) OpenComm(id, target string, data, metadata map[string]any, receive func(map[string]any)) {
	f.log = append(f.log, "open "+target)
	f.opened[id], f.meta, f.receive[id] = data, metadata, receive
}

func (f *fakeFront) SendComm(_ string, data map[string]any) {
	f.log = append(f.log, "send")
	f.sent = append(f.sent, data)
}

func (f *fakeFront) CloseComm(id string) {
	f.log = append(f.log, "close")
	delete(f.opened, id)
	delete(f.receive, id)
}

func (f *fakeFront) HandleTarget(target string, open func(string, map[string]any) func(map[string]any)) {
	f.targets[target] = open
}

func (f *fakeFront) OnCommsAsked(do func(string))     { f.asked = do }
func (f *fakeFront) OnClosed(do func(string))         { f.closed = do }
func (f *fakeFront) OnSettled(do func())              { f.settled = do }
func (f *fakeFront) OnRest(do func())                 { f.rested = do }
func (f *fakeFront) Ask(string, bool) (string, error) { return "an answer", nil }

// runCell counts a run of a cell, as a session does.
func (f *fakeFront) runCell(name string, cell func()) {
	f.cell = name
	f.run++
	cell()
	f.settled()
}

// modelNamed returns the id and state of the open model of a name.
func (f *fakeFront) modelNamed(t *testing.T, name string) (string, map[string]any) {
	t.Helper()
	found, state := "", map[string]any{}
	for id, data := range f.opened {
		s := data.(map[string]any)
		if inner, ok := s["state"].(map[string]any); ok {
			s = inner
		}
		if s["_model_name"] == name {
			if found != "" {
				t.Fatalf("two models %s are open", name)
			}
			found, state = id, s
		}
	}
	if found == "" {
		t.Fatalf("no model %s is open", name)
	}
	return found, state
}

// move sends a new value from the front end and lets the panel settle.
func (f *fakeFront) move(id, key string, value any) {
	f.receive[id](map[string]any{"method": "update", "state": map[string]any{key: value}, "buffer_paths": []any{}})
	f.settled()
}

// lastUpdate returns the text of the only updated display.
func (f *fakeFront) picture(t *testing.T) string {
	t.Helper()
	if len(f.updated) != 1 {
		t.Fatalf("%d things can be updated, want 1", len(f.updated))
	}
	for _, data := range f.updated {
		return data["text/plain"].(string)
	}
	return ""
}

func (f *fakeFront) count(what string) int {
	n := 0
	for _, l := range f.log {
		if l == what {
			n++
		}
	}
	return n
}

func newFake(live bool) (*Panel, *fakeFront) {
	f := &fakeFront{
		live: live, opened: map[string]any{}, updated: map[string]map[string]any{},
		receive: map[string]func(map[string]any){}, targets: map[string]func(string, map[string]any) func(map[string]any){},
	}
	p := NewPanel()
	p.Attach(f)
	return p, f
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

func sorted(s []string) []string { s = slices.Clone(s); slices.Sort(s); return s }
