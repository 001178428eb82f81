package exec

import (
	"context"
	"io"
	"reflect"
	"sync"
	"sync/atomic"
	"unsafe"
)

const defaultDepth = 100_000

// A Machine holds what outlives a single cell. Its methods may be used from
// several goroutines.
type Machine struct {
	opt            Options
	stdout, stderr io.Writer
	maxDepth       int

	loadMu  sync.Mutex
	typesMu sync.Mutex
	types   map[string]*typeDesc
	learnt  map[string]reflect.Type

	mu      sync.Mutex
	globals map[string]*variable // live variables by package path and name
	slots   map[string]*slot
	session string // path of the committed package

	current atomic.Pointer[run]
	idle    *run // for closures called while no call is in progress
	runsMu  sync.Mutex
	runs    map[*run]bool

	replaced
}

// A variable is the storage of a package variable.
type variable struct {
	desc *typeDesc
	p    unsafe.Pointer
}

// New makes an empty Machine.
func New(o Options) *Machine {
	m := &Machine{
		opt: o, stdout: o.Stdout, stderr: o.Stderr, maxDepth: o.MaxDepth,
		types: map[string]*typeDesc{}, learnt: map[string]reflect.Type{},
		globals: map[string]*variable{}, slots: map[string]*slot{}, runs: map[*run]bool{},
	}
	if m.stdout == nil {
		m.stdout = io.Discard
	}
	if m.stderr == nil {
		m.stderr = io.Discard
	}
	if m.maxDepth <= 0 {
		m.maxDepth = defaultDepth
	}
	m.idle = newRun(m)
	return m
}

// Commit makes the declarations of im the live ones. Functions of earlier
// images that call package functions by name call the new ones from now on;
// variables that im declares with their old type keep their value.
func (m *Machine) Commit(im *Image) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.session = im.path
	for name, v := range im.globals {
		m.globals[name] = v
	}
	for key, c := range im.slotted {
		m.slots[key].cur.Store(c)
	}
	for d, ms := range im.methods {
		d.methods.Store(ms)
	}
	for d, p := range im.pointers {
		d.pointer.Store(p)
	}
	im.live.Store(true)
}

// Global returns the live variable of the committed package by name:
// addressable, of the type that compiled code sees. For a value of a cell
// type with its methods use GlobalAny.
func (m *Machine) Global(name string) (reflect.Value, bool) {
	m.mu.Lock()
	v := m.globals[m.session+"."+name]
	m.mu.Unlock()
	if v == nil {
		return reflect.Value{}, false
	}
	return reflect.NewAt(v.desc.rt, v.p).Elem(), true
}

// GlobalAny returns the value of the live variable as the cell expression
// any(name) gives it: a value of a cell type comes as a Box.
func (m *Machine) GlobalAny(name string) (any, bool) {
	m.mu.Lock()
	v := m.globals[m.session+"."+name]
	m.mu.Unlock()
	if v == nil {
		return nil, false
	}
	rv := reflect.NewAt(v.desc.rt, v.p).Elem()
	if v.desc.cl == clIface {
		if rv.IsNil() {
			return nil, true
		}
		return general(rv.Elem().Interface()), true
	}
	return v.desc.boxed(rv.Interface()), true
}

// Forget drops the live variable of that name: a later declaration starts
// with the zero value.
func (m *Machine) Forget(name string) {
	m.mu.Lock()
	defer m.mu.Unlock()
	delete(m.globals, m.session+"."+name)
}

// Do runs f with ctx as the context of the cell functions that compiled code
// calls meanwhile (the closure of a live view, say). A panic or stop of a cell
// function that leaves f is returned as Call returns it.
func (m *Machine) Do(ctx context.Context, f func()) error {
	return m.within(ctx, func(t *thread) {
		f()
		t.check() // fmt takes the stop of a method that it calls for a panic
	})
}

// StopAll ends every call in progress and every goroutine that cells have
// started, with err as the cause.
func (m *Machine) StopAll(err error) {
	m.runsMu.Lock()
	all := make([]*run, 0, len(m.runs))
	for r := range m.runs {
		all = append(all, r)
	}
	m.runsMu.Unlock()
	for _, r := range all {
		r.end(err)
	}
}

// boundValue finds a compiled function or variable with the replacements of
// Options.Bind and of this package.
func (m *Machine) boundValue(path, name string) (reflect.Value, bool) {
	full := path + "." + name
	if v, ok := m.opt.Bind[full]; ok {
		return v, true
	}
	if f := replacements(m)[full]; f != nil {
		return reflect.ValueOf(f), true
	}
	if m.opt.Symbols == nil {
		return reflect.Value{}, false
	}
	return m.opt.Symbols.Value(path, name)
}

func (m *Machine) learned(name string) reflect.Type {
	m.typesMu.Lock()
	defer m.typesMu.Unlock()
	return m.learnt[name]
}
