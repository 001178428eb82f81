// Package exec runs programs in the SSA form of golang.org/x/tools/go/ssa on
// values that compiled Go packages can take and return as they are.
//
// A Machine keeps what lives as long as a session: the variables of its
// package, the identity of its types, and a slot for each declared function.
// An Image is one built version of the session's package, checked and
// translated. The session's author does, for each cell:
//
//	im, err := m.Load(pkg)        // refuses what cannot run, with positions; nothing has changed yet
//	err = im.Init(ctx)            // initialisers of dependencies built from source, each once in the Machine's life
//	m.Commit(im)                  // its declarations are now the live ones
//	out, err := im.Call(ctx, "cellFunc")
//
// Load never runs an initialiser of the session's own package.
//
// The program must be built with ssa.InstantiateGenerics. A package whose
// functions have bodies is run from those; every other one is compiled code,
// reached through Options.Symbols.
package exec

import (
	"context"
	"fmt"
	"go/token"
	"io"
	"reflect"
	"strings"
)

// Symbols finds what compiled packages offer.
type Symbols interface {
	// Value returns a function, or a pointer to a package variable.
	Value(pkgPath, name string) (reflect.Value, bool)
	// Type returns a named type, which may be an interface.
	Type(pkgPath, name string) (reflect.Type, bool)
}

// Options say what a Machine works with. Only Symbols is needed.
type Options struct {
	Symbols Symbols

	// Stdout takes what cells print with fmt, Stderr what the builtins print
	// and println write. Nil discards.
	Stdout, Stderr io.Writer

	// Bind replaces compiled functions, by "import/path.Name". The value has
	// the type of the function that it replaces.
	Bind map[string]reflect.Value

	// MaxDepth limits nested calls of cell functions; 0 means 100,000.
	MaxDepth int

	// MemoryLimit in bytes stops a call when the heap of the process has
	// grown by more than this since the call began; 0 means no limit. What
	// cells themselves make in one go is measured before, and what compiled
	// functions make as far as Size knows them: another one that asks for
	// more than the system has ends the process.
	MemoryLimit int64

	// Size finds what tells, from the arguments, how many bytes a compiled
	// function ("import/path.Func") or method ("import/path.Type.Method", its
	// receiver first among the arguments) makes in one go; nil for one that
	// makes little more than it is given.
	Size func(name string) func(args []reflect.Value) float64

	// OnGoroutine is told of an error that ended a goroutine started by a
	// cell: a *Panic or a limit. It is called on that goroutine.
	OnGoroutine func(error)

	// Adapters let cell types satisfy compiled interfaces that this package
	// does not know. See Adapter.
	Adapters map[reflect.Type]Adapter
}

// An Adapter makes a compiled value that implements one compiled interface
// for a value of a cell type. The result's type must embed Box (by value, so
// that it compares as the cell's value does) and its methods call the
// functions that method returns: func values with the interface method's own
// type, without receiver.
//
//	type plotter struct {
//		exec.Box
//	}
//	func (p plotter) Plot(c draw.Canvas, plt *plot.Plot) {
//		p.Method("Plot").(func(draw.Canvas, *plot.Plot))(c, plt)
//	}
//	Adapters: {reflect.TypeFor[plot.Plotter](): func(b exec.Box) any { return plotter{b} }}
type Adapter func(b Box) any

// A Refusal is one construct that cannot be run.
type Refusal struct {
	Pos  token.Pos
	What string // plain words: "unsafe.Pointer cannot be used in a cell"
}

// Refusals is the error of Load: everything that cannot be run, in the order
// of positions.
type Refusals []Refusal

func (r Refusals) Error() string {
	s := make([]string, len(r))
	for i, x := range r {
		s[i] = x.What
	}
	return strings.Join(s, "\n")
}

// Unsupported is the cause of a Stopped when running code met what cannot be
// run, or what does not fit what was declared again. It says what.
type Unsupported string

func (u Unsupported) Error() string { return string(u) }

// A Frame is one call in progress, innermost first.
type Frame struct {
	Function string         // as go/ssa names it: "draw", "draw$1", "(Sleeve).Cap"
	Package  string         // import path
	Position token.Position // of the call or the operation in progress
	Pos      token.Pos
}

// Panic is a panic that no cell function recovered.
type Panic struct {
	Value any // the panic's value; a runtime.Error for a failed operation. See Unbox
	Stack []Frame
}

func (p *Panic) Error() string { return "panic: " + PanicString(p.Value) }

// Unwrap returns the panic's value when it is an error.
func (p *Panic) Unwrap() error {
	err, _ := p.Value.(error)
	return err
}

// Stopped is a call that was ended from outside the code: by its context, by
// Stop, or by a limit. Err says by what: context.Canceled, the error given to
// Stop, ErrDepth, ErrMemory or an Unsupported.
type Stopped struct {
	Err   error
	Stack []Frame
	// Abandoned says that a compiled call was still running when Call
	// returned; its goroutine ends when that call does.
	Abandoned bool
}

func (s *Stopped) Error() string { return s.Err.Error() }

// Unwrap returns Err.
func (s *Stopped) Unwrap() error { return s.Err }

// Limits that end a call.
var (
	ErrDepth  = fmt.Errorf("stack overflow: calls are nested too deep")
	ErrMemory = fmt.Errorf("out of memory: the cell passed its memory limit")
)

// Stop ends the cell that called it with err: Call returns a *Stopped whose
// Err is err. Deferred functions of the cell run; recover in a cell cannot
// catch it. Offer it to cells as a compiled function (Options.Symbols).
// It must be called on a goroutine of a cell.
func Stop(err error) { panic(&stopSignal{err: err}) }

// Image is one version of a package, translated and ready to run.
type Image struct {
	image
}

// Init runs the initialisers of the dependencies that were built from source
// and that no earlier image of the Machine has initialised.
func (im *Image) Init(ctx context.Context) error { return im.initDeps(ctx) }

// Call calls a function of the image's package by name: "draw", "init#1", or
// a method as "(T).Area". It returns the results; one of an interface type
// comes as that interface's dynamic value, or the zero reflect.Value for nil.
// The error is a *Panic or a *Stopped, or names the misuse of Call itself.
// Calls may run at the same time on one Machine.
func (im *Image) Call(ctx context.Context, fn string, args ...reflect.Value) ([]reflect.Value, error) {
	return im.call(ctx, fn, args)
}
