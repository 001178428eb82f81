package gocell

import (
	"context"
	"errors"
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"reflect"
	"slices"
	"strings"
	"time"

	"golang.org/x/tools/go/ssa"

	"patternkit/kernel/gocell/exec"
)

// A runnable is a cell that has passed its checks.
type runnable struct {
	plan  *plan
	image *exec.Image
	stmts []ast.Stmt
	from  []int          // the statement of the plan that each came from
	added map[string]int // variables that are new, with the statement that declares them
}

// load lowers a checked package and makes it the live one.
func (s *Session) load(ctx context.Context, c *checked, a *attempt, r *runnable) *Error {
	if e := s.refuser.check(a, c); e != nil {
		return e
	}
	image, err := s.machine.Load(s.build(c))
	if err != nil {
		return s.refusal(a, err)
	}
	if err := image.Init(ctx); err != nil { // of slices and its like, which don't fail by themselves
		return &Error{Kind: Interrupted, Message: err.Error(), cause: err}
	}
	if ctx.Err() != nil { // nobody waits for this cell any more
		return interrupted(ctx, "interrupted")
	}
	s.forgetReplaced(a)
	s.machine.Commit(image)
	r.image = image
	return nil
}

// build makes the SSA form of the package. Compiled packages that its code
// refers to are known to the program by name only; those carried as source are
// built with it.
func (s *Session) build(c *checked) *ssa.Package {
	prog := ssa.NewProgram(s.fset, ssa.InstantiateGenerics|ssa.BuildSerially)
	used := map[*types.Package]bool{}
	for _, obj := range c.info.Uses {
		if p := obj.Pkg(); p != nil && p != c.pkg {
			used[p] = true
		}
	}
	s.createSources(prog, used)
	var imports []*types.Package
	for p := range used {
		if prog.Package(p) == nil {
			prog.CreatePackage(p, nil, nil, true)
		}
		imports = append(imports, p)
	}
	c.pkg.SetImports(imports)
	pkg := prog.CreatePackage(c.pkg, []*ast.File{c.file}, c.info, false)
	prog.Build()
	return pkg
}

// createSources adds the packages that are built from source, if one is used.
func (s *Session) createSources(prog *ssa.Program, used map[*types.Package]bool) {
	sources := s.importer.SourcePackages()
	any := false
	for _, p := range sources {
		any = any || used[p.Types]
	}
	if !any {
		return
	}
	for _, p := range sources {
		for _, dep := range p.Types.Imports() {
			if prog.Package(dep) == nil {
				prog.CreatePackage(dep, nil, nil, true)
			}
		}
		prog.CreatePackage(p.Types, p.Files, p.Info, true)
	}
}

// forgetReplaced drops the stored values of variables whose name is none any more.
func (s *Session) forgetReplaced(a *attempt) {
	for _, u := range a.old.units {
		if u.kind != varUnit {
			continue
		}
		now := a.world.find(u.names[0])
		if now == nil || now.kind != varUnit || a.world.faults[now] != nil {
			s.machine.Forget(u.names[0])
		}
	}
}

// run runs the statements of a cell.
func (s *Session) run(ctx context.Context, r *runnable) ([]any, error) {
	out, err := r.image.Call(ctx, cellFunc)
	if err != nil {
		e := s.runtimeError(err)
		s.undeclare(r, err)
		return nil, e
	}
	if len(out) != 1 || !out[0].IsValid() {
		return nil, nil
	}
	values, _ := out[0].Interface().([]any)
	for _, v := range values {
		if err := exec.Printable(v); err != nil {
			return nil, &Error{Kind: Failed, Message: err.Error(), cause: err}
		}
	}
	return values, nil
}

// undeclare takes back the new variables that a failed cell did not come to:
// they have no value, and a zero would be a silent lie.
func (s *Session) undeclare(r *runnable, err error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	reached := s.reached(r, err)
	gone := map[string]bool{}
	for name, at := range r.added {
		if at >= reached {
			gone[name] = true
			s.machine.Forget(name)
		}
	}
	if len(gone) == 0 {
		return
	}
	w := s.world.clone()
	w.drop(func(u *unit) bool { return u.kind == varUnit && gone[u.names[0]] })
	s.world, s.stale = w, true
}

// reached returns the index of the plan's statement in which the cell stopped.
func (s *Session) reached(r *runnable, err error) int {
	for _, f := range stackOf(err) {
		if f.Function != cellFunc {
			continue
		}
		for i, stmt := range r.stmts {
			if stmt.Pos() <= f.Pos && f.Pos <= stmt.End() {
				return r.from[i]
			}
		}
	}
	return 0
}

func stackOf(err error) []exec.Frame {
	var stopped *exec.Stopped
	var panicked *exec.Panic
	switch {
	case errors.As(err, &stopped):
		return stopped.Stack
	case errors.As(err, &panicked):
		return panicked.Stack
	}
	return nil
}

// runtimeError turns the executor's error into the designer's.
func (s *Session) runtimeError(err error) *Error {
	var stopped *exec.Stopped
	var panicked *exec.Panic
	var taken *takenError
	var unfit *unfitError
	var unsupported exec.Unsupported
	var site token.Pos
	e := newError(Failed)
	switch {
	case errors.As(err, &panicked):
		e.Kind, e.cause = Panicked, panicked.Unwrap()
		e.Message = s.words(func() string { return exec.PanicString(panicked.Value) })
	case errors.As(err, &stopped):
		e.cause, e.Message = stopped.Err, s.words(stopped.Err.Error)
		switch {
		case errors.Is(err, exec.ErrDepth), errors.Is(err, exec.ErrMemory):
			e.Kind = Exhausted
		case errors.As(stopped.Err, &taken):
			e.cause, site = taken.err, taken.site
		case errors.As(stopped.Err, &unsupported):
			e.Kind = Refused
		case errors.As(stopped.Err, &unfit):
			e.Kind = Type
		case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
			e.Kind, e.Message = Interrupted, "interrupted"
			if stopped.Abandoned {
				e.Message += "; a call that can't be interrupted goes on in the background until it ends"
			}
		}
	default:
		e.cause, e.Message = err, err.Error()
	}
	s.trace(e, stackOf(err), site)
	return e
}

// wordsWithin is how long a cell's own method may take to word an error.
const wordsWithin = 2 * time.Second

// words asks for a message, which a method of a cell may give: one that runs
// on without end or fails must not take the session with it.
func (s *Session) words(message func() string) string {
	ctx, cancel := context.WithTimeout(context.Background(), wordsWithin)
	defer cancel()
	text := ""
	err := s.machine.Do(ctx, func() { text = message() })
	var stopped *exec.Stopped
	switch {
	case err == nil:
		return text
	case errors.Is(err, context.DeadlineExceeded):
		return "an error whose own message takes too long to make"
	case errors.As(err, &stopped):
		return "an error whose own message can't be made: " + stopped.Err.Error()
	}
	return "an error whose own message can't be made: its method panics"
}

// trace adds the places of a stack to an error, outermost first, with the names
// that the designer gave. The site of a call that failed is put innermost when
// the stack lacks it, as it does when compiled code called the cell's function.
func (s *Session) trace(e *Error, stack []exec.Frame, site token.Pos) {
	const most = 20
	s.mu.Lock() // a later cell may rewrite the functions that are looked at here
	defer s.mu.Unlock()
	var places []Position
	if site.IsValid() && !slices.ContainsFunc(stack, func(f exec.Frame) bool { return f.Pos == site }) {
		stack = append([]exec.Frame{{Pos: site}}, stack...)
	}
	for _, f := range stack {
		c := s.cellAt(f.Pos)
		if c == nil {
			continue
		}
		p := c.place(c.span(f.Pos))
		p.In = designerName(c, f)
		places = append(places, p)
	}
	if n := len(places); n > most {
		e.notes = append(e.notes, fmt.Sprintf("(%d calls in between are left out)", n-most))
		places = append(places[:most/2:most/2], places[n-most/2:]...)
	}
	for i := len(places) - 1; i >= 0; i-- {
		e.Positions = append(e.Positions, places[i])
	}
}

// designerName is what the cell calls the function that go/ssa gave a name; a
// function literal is called by the variable that it is the value of.
func designerName(c *cell, f exec.Frame) string {
	name, _, literal := strings.Cut(f.Function, "$")
	if literal || name == "" {
		if v := c.functionAt(f.Pos); v != "" {
			return v
		}
	}
	if strings.HasPrefix(name, cellFunc) {
		return ""
	}
	if literal {
		return "a function inside " + name
	}
	return name
}

// functionAt names the innermost function around a position; a literal is named
// by the variable that it is assigned to.
func (c *cell) functionAt(pos token.Pos) (name string) {
	for _, root := range c.roots() {
		path := pathIn(root, pos)
		for i := len(path) - 1; i >= 0; i-- {
			if f, ok := path[i].(*ast.FuncDecl); ok {
				return f.Name.Name
			}
			lit, ok := path[i].(*ast.FuncLit)
			if !ok || i == 0 {
				continue
			}
			switch p := path[i-1].(type) {
			case *ast.AssignStmt:
				if at := slices.Index(p.Rhs, ast.Expr(lit)); at >= 0 && len(p.Lhs) == len(p.Rhs) {
					return types.ExprString(p.Lhs[at])
				}
			case *ast.ValueSpec:
				if at := slices.Index(p.Values, ast.Expr(lit)); at >= 0 && at < len(p.Names) {
					return p.Names[at].Name
				}
			}
			return ""
		}
	}
	return ""
}

// goroutineEnded reports an error that ended a goroutine of a cell.
func (s *Session) goroutineEnded(err error) {
	var stopped *exec.Stopped
	if errors.As(err, &stopped) && errors.Is(err, context.Canceled) {
		return
	}
	e := s.runtimeError(err)
	fmt.Fprintf(s.options.Stderr, "a goroutine stopped: %s\n%s\n", e.Message, strings.Join(e.Traceback(), "\n"))
}

// Global returns the value of a variable of the session, as a cell would see it
// in an interface.
func (s *Session) Global(name string) (any, bool) { return s.machine.GlobalAny(name) }

// GlobalValue returns the variable itself.
func (s *Session) GlobalValue(name string) (reflect.Value, bool) { return s.machine.Global(name) }
