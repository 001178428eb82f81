package gocell

import (
	"context"
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"io"
	"reflect"
	"slices"
	"sync"
	"time"

	"patternkit/kernel/gocell/exec"
	"patternkit/kernel/gocell/symbols"
)

// Options say how a session works. The zero value discards what cells print.
type Options struct {
	// Stdout takes what cells print, Stderr what print and println write, notes
	// about declarations that no longer fit, and errors of goroutines.
	Stdout, Stderr io.Writer

	// Bind replaces compiled functions, by "import/path.Name". A value has the
	// type of the function that it replaces.
	Bind map[string]any

	// Dot lists packages whose names are used without import or qualifier,
	// later ones going before earlier ones. Nil means patternkit and controls.
	Dot []string

	// MaxDepth and MemoryLimit are those of exec.Options.
	MaxDepth    int
	MemoryLimit int64

	// Adapters are those of exec.Options.
	Adapters map[reflect.Type]exec.Adapter
}

// defaultDot is what a cell can use without import.
var defaultDot = []string{"patternkit/kernel/controls", "patternkit/patternkit"}

// A Session evaluates cells that share their names. Its methods may be called
// from several goroutines; cells run one after the other.
type Session struct {
	options  Options
	library  *symbols.Table
	importer *symbols.Importer
	fset     *token.FileSet
	packages *packages
	checker  *checker
	machine  *exec.Machine
	refuser  *refuser

	running sync.Mutex // held while a cell is evaluated

	mu     sync.Mutex // guards what follows, and all checking
	world  *world
	count  int
	leaves int
	stale  bool // a failed cell has left functions to be searched for untaken errors

	recentMu sync.Mutex
	recent   []*cell // those whose text may be needed
}

// New starts a session.
func New(o Options) (*Session, error) {
	if o.Stdout == nil {
		o.Stdout = io.Discard
	}
	if o.Stderr == nil {
		o.Stderr = io.Discard
	}
	library := symbols.Default()
	dot := o.Dot
	if dot == nil {
		for _, path := range defaultDot {
			if library.Allowed(path) {
				dot = append(dot, path)
			}
		}
	}
	for _, path := range dot {
		if !library.Allowed(path) {
			return nil, fmt.Errorf("names of %q can't be used without import: %s", path, library.Refusal(path))
		}
	}
	bind := map[string]reflect.Value{}
	for name, f := range o.Bind {
		bind[name] = reflect.ValueOf(f)
	}
	s := &Session{options: o, library: library, fset: token.NewFileSet(), world: &world{}}
	s.importer = library.Importer(s.fset)
	s.packages = newPackages(library, s.importer, dot)
	s.checker = newChecker(s.fset, s.packages)
	s.refuser = &refuser{library: library, importer: s.importer}
	s.machine = exec.New(exec.Options{
		Symbols: offered{library}, Stdout: o.Stdout, Stderr: o.Stderr, Bind: bind,
		MaxDepth: o.MaxDepth, MemoryLimit: o.MemoryLimit, Size: library.Size, Adapters: o.Adapters,
		OnGoroutine: s.goroutineEnded,
	})
	return s, nil
}

// Do runs f, in which compiled code may call functions of cells: the closure of
// a live view, say. What stops such a function comes back as an *Error.
func (s *Session) Do(ctx context.Context, f func()) error {
	if err := s.machine.Do(ctx, f); err != nil {
		return s.runtimeError(err)
	}
	return nil
}

// Close ends everything that cells have started.
func (s *Session) Close() { s.machine.StopAll(context.Canceled) }

// Eval evaluates a cell and returns the values of its last expression: none
// when it has no value, several when it is a call with several results. The
// error is an *Error. Cells are numbered from 1.
func (s *Session) Eval(ctx context.Context, code string) ([]any, error) {
	s.mu.Lock()
	s.count++
	number := s.count
	s.mu.Unlock()
	return s.EvalCell(ctx, number, code)
}

// EvalCell is Eval for a cell that has a number already; errors and tracebacks
// name it by that.
func (s *Session) EvalCell(ctx context.Context, number int, code string) ([]any, error) {
	s.running.Lock()
	defer s.running.Unlock()
	r, err := s.acceptUntil(ctx, number, code)
	if err != nil {
		return nil, err
	}
	if r == nil {
		return nil, nil
	}
	values, err := s.run(ctx, r)
	if err != nil {
		return nil, err
	}
	return values, nil
}

// abandonAfter is how long a stopped check may go on before it is left alone.
const abandonAfter = 300 * time.Millisecond

// acceptUntil is accept that ends when ctx does. Types can be written that take
// longer to check than anybody waits, and nothing stops the checker.
func (s *Session) acceptUntil(ctx context.Context, number int, code string) (*runnable, error) {
	type accepted struct {
		r   *runnable
		err error
	}
	done := make(chan accepted, 1)
	go func() {
		r, err := s.accept(ctx, number, code)
		done <- accepted{r, err}
	}()
	select {
	case a := <-done:
		return a.r, a.err
	case <-ctx.Done():
	}
	select {
	case a := <-done:
		return a.r, a.err
	case <-time.After(abandonAfter):
		return nil, interrupted(ctx, "interrupted; the check of a cell can't be stopped and goes on in the background: "+
			"cells wait for it, restart the kernel when it takes too long")
	}
}

func interrupted(ctx context.Context, message string) *Error {
	e := newError(Interrupted)
	e.Message, e.cause = message, context.Cause(ctx)
	return e
}

// accept checks a cell, builds it, and makes its declarations the live ones. It
// returns nil when there is nothing to run.
func (s *Session) accept(ctx context.Context, number int, code string) (r *runnable, err error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	defer caught(&err)
	if ctx.Err() != nil { // while another check was waited for
		return nil, interrupted(ctx, "interrupted")
	}
	s.count = max(s.count, number)
	c, e := parseCell(s.fset, number, code)
	if e != nil {
		return nil, e
	}
	s.remember(c)
	pl, e := hoist(c)
	if e != nil {
		return nil, e
	}
	if len(pl.units) == 0 && len(pl.stmts) == 0 && len(pl.inits) == 0 {
		return nil, nil
	}
	if e := s.packages.admit(pl); e != nil {
		return nil, e
	}
	a, r, err := s.attempt(ctx, pl)
	if err != nil {
		s.stale = s.stale || a.whole
		return nil, err
	}
	for _, note := range a.newlyUnfit() {
		fmt.Fprintln(s.options.Stderr, "note:", note)
	}
	s.world, s.stale = a.world, false
	s.forget()
	return r, nil
}

// attempt takes a plan through all checks to code that is ready to run.
func (s *Session) attempt(ctx context.Context, pl *plan) (*attempt, *runnable, error) {
	a := begin(s.checker, s.world, pl)
	changed := s.stale || a.whole || a.shadows(pl.units) || a.replacesMeaning(pl.units)
	r := &runnable{plan: pl, added: map[string]int{}}
	if ids, at := pl.declared(); len(ids) > 0 || pl.isFile() {
		c, e, err := s.typesOfVariables(a)
		if err != nil {
			return a, nil, err
		}
		if e != nil {
			return a, nil, e
		}
		vars, e := a.variables(c, ids, &s.leaves)
		if e != nil {
			return a, nil, e
		}
		changed = changed || !sameVariables(c, ids) || a.shadows(vars)
		for _, id := range ids {
			if !sameVariables(c, []*ast.Ident{id}) || a.old.find(id.Name) == nil {
				r.added[id.Name] = at[id.Name]
			}
		}
		a.admit(vars)
	}
	if changed {
		a.reconsider()
	}
	if ctx.Err() != nil {
		return a, nil, interrupted(ctx, "interrupted")
	}
	stmts, from := pl.lifted()
	r.stmts, r.from = stmts, from
	c, err := a.settle(pl.function(stmts), allBodies)
	if err != nil {
		return a, nil, err
	}
	if e := s.explain(a, c); e != nil {
		return a, nil, e
	}
	if e := s.load(ctx, c, a, r); e != nil {
		return a, nil, e
	}
	return a, r, nil
}

// typesOfVariables checks a cell as it stands, to find out the types of the
// variables that it declares. In what functions and constants of the cell say
// of those variables there may still be errors.
func (s *Session) typesOfVariables(a *attempt) (*checked, *Error, error) {
	if a.plan.isFile() {
		return s.initialise(a)
	}
	c, err := a.settle(a.plan.function(a.plan.stmts), signatures)
	if err != nil {
		return nil, nil, err
	}
	ids, _ := a.plan.declared()
	unknown := false
	for _, id := range ids {
		obj := c.info.Defs[id]
		unknown = unknown || obj == nil || obj.Type() == types.Typ[types.Invalid]
	}
	if !unknown {
		c.errs = slices.DeleteFunc(c.errs, func(e types.Error) bool {
			_, start, _ := faultOf(e)
			return a.inDeclaration(start)
		})
	}
	return c, s.explain(a, c), nil
}

// replacesMeaning says whether a declaration that takes the place of an older
// one can mean something else to the code that uses it.
func (a *attempt) replacesMeaning(units []*unit) bool {
	for _, u := range units {
		for _, name := range u.names {
			if older := a.old.find(name); older != nil && !u.sameTo(older) {
				return true
			}
		}
	}
	return false
}

// cellAt returns the cell in which a position is, or nil.
func (s *Session) cellAt(pos token.Pos) *cell {
	s.recentMu.Lock()
	defer s.recentMu.Unlock()
	for _, c := range s.recent {
		if c.holds(pos) {
			return c
		}
	}
	return nil
}

// keepCells is how many cells without a live declaration are kept for the
// tracebacks of functions that other values still hold.
const keepCells = 100

func (s *Session) remember(c *cell) {
	s.recentMu.Lock()
	defer s.recentMu.Unlock()
	s.recent = append(s.recent, c)
}

// forget drops cells whose text nothing needs any more.
func (s *Session) forget() {
	s.recentMu.Lock()
	defer s.recentMu.Unlock()
	used := s.world.cells()
	kept := s.recent[:0]
	for i, c := range s.recent {
		if used[c] || len(s.recent)-i <= keepCells {
			kept = append(kept, c)
			continue
		}
		for _, f := range c.files {
			s.fset.RemoveFile(f)
		}
	}
	clear(s.recent[len(kept):])
	s.recent = kept
}
