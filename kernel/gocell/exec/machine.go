package exec

import (
	"context"
	"errors"
	"reflect"

	"golang.org/x/tools/go/ssa"
)

// A Machine holds what outlives a single cell. Its methods may be used from
// several goroutines.
type Machine struct {
	opt Options
}

// New makes an empty Machine.
func New(o Options) *Machine { return &Machine{opt: o} }

// Load translates pkg and what it reaches in packages built from source.
// Nothing of the Machine changes. The error is a Refusals.
func (m *Machine) Load(pkg *ssa.Package) (*Image, error) {
	return nil, errors.New("empty executor")
}

// Commit makes the declarations of im the live ones. Functions of earlier
// images that call package functions by name call the new ones from now on;
// variables that im declares with their old type keep their value.
func (m *Machine) Commit(im *Image) {}

// Global returns the live variable of the committed package by name:
// addressable, of the type that compiled code sees. Value of a cell type with
// methods: use GlobalAny.
func (m *Machine) Global(name string) (reflect.Value, bool) { return reflect.Value{}, false }

// GlobalAny returns the value of the live variable as the cell expression
// any(name) would give it: a value of a cell type comes as a Box.
func (m *Machine) GlobalAny(name string) (any, bool) { return nil, false }

// Forget drops the live variable of that name; a later declaration starts anew.
func (m *Machine) Forget(name string) {}

// Do runs f with ctx as the context of the cell functions that compiled code
// calls back meanwhile (a Live view's closure, say). A cell's panic or stop
// that reaches f's caller is returned as Call returns it.
func (m *Machine) Do(ctx context.Context, f func()) error { return nil }

// StopAll ends every goroutine that cells have started and every call in progress.
func (m *Machine) StopAll(err error) {}

type stopSignal struct{ err error }

type image struct{}

func (im *image) initDeps(ctx context.Context) error { return nil }
func (im *image) call(ctx context.Context, fn string, args []reflect.Value) ([]reflect.Value, error) {
	return nil, nil
}
