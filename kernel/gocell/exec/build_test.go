package exec_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"

	"golang.org/x/tools/go/gcexportdata"
	"golang.org/x/tools/go/ssa"

	cells "patternkit/kernel/gocell/exec"
)

// stdTable offers the packages of std_symbols_test.go, with a standard output of its own.
type stdTable struct{ out *os.File }

func (t stdTable) Value(pkg, name string) (reflect.Value, bool) {
	switch pkg + "." + name {
	case "os.Args":
		return reflect.ValueOf(&[]string{"program"}), true
	case "runtime.Breakpoint": // only in code that is not reached
		return reflect.ValueOf(func() { panic("runtime.Breakpoint") }), true
	case "os.Stdout", "os.Stderr":
		return reflect.ValueOf(&t.out), true
	}
	v, ok := stdValues[pkg+"."+name]
	return v, ok
}

func (stdTable) Type(pkg, name string) (reflect.Type, bool) {
	t, ok := stdTypes[pkg+"."+name]
	return t, ok
}

// fromSource are the packages with generic functions, which are built from source.
var fromSource = []string{"cmp", "iter", "maps", "slices"}

// listed is what the go tool says of a package.
type listed struct {
	ImportPath, Dir, Export string
	GoFiles                 []string
}

// exports asks the go tool, once, for the export data of all that a test program may import.
var exports = sync.OnceValues(func() (map[string]listed, error) {
	args := []string{"list", "-export", "-json=ImportPath,Dir,Export,GoFiles", "-deps"}
	seen := map[string]bool{}
	for name := range stdValues {
		pkg := name[:strings.LastIndexByte(name, '.')]
		if !seen[pkg] {
			seen[pkg] = true
			args = append(args, pkg)
		}
	}
	cmd := exec.Command("go", append(args, fromSource...)...)
	out, err := cmd.Output()
	if err != nil {
		return nil, err
	}
	all := map[string]listed{}
	for dec := json.NewDecoder(bytes.NewReader(out)); ; {
		var p listed
		if err := dec.Decode(&p); err == io.EOF {
			return all, nil
		} else if err != nil {
			return nil, err
		}
		all[p.ImportPath] = p
	}
})

func needGo(tb testing.TB) {
	tb.Helper()
	if _, err := exec.LookPath("go"); err != nil {
		tb.Skip("the go tool is not installed")
	}
	if _, err := exports(); err != nil {
		tb.Skipf("the go tool cannot list the standard library: %v", err)
	}
}

// world imports packages for one program.
type world struct {
	fset  *token.FileSet
	pkgs  map[string]*types.Package
	files map[string][]*ast.File // of packages from source
	infos map[string]*types.Info
}

var errNotOffered = errors.New("not offered")

func newWorld() *world {
	return &world{token.NewFileSet(), map[string]*types.Package{"unsafe": types.Unsafe}, map[string][]*ast.File{}, map[string]*types.Info{}}
}

func (w *world) Import(path string) (*types.Package, error) {
	if p := w.pkgs[path]; p != nil && p.Complete() {
		return p, nil
	}
	all, err := exports()
	if err != nil {
		return nil, err
	}
	p, ok := all[path]
	if !ok {
		return nil, fmt.Errorf("%q: %w", path, errNotOffered)
	}
	if slices.Contains(fromSource, path) {
		return w.source(p)
	}
	f, err := os.Open(p.Export)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	//lint:ignore SA1019 the go tool still gives export data in archives
	r, err := gcexportdata.NewReader(f)
	if err != nil {
		return nil, err
	}
	return gcexportdata.Read(r, w.fset, w.pkgs, path)
}

func (w *world) source(p listed) (*types.Package, error) {
	var files []*ast.File
	for _, name := range p.GoFiles {
		f, err := parser.ParseFile(w.fset, filepath.Join(p.Dir, name), nil, parser.SkipObjectResolution)
		if err != nil {
			return nil, err
		}
		files = append(files, f)
	}
	pkg, info, err := w.check(p.ImportPath, files)
	if err != nil {
		return nil, err
	}
	w.pkgs[p.ImportPath], w.files[p.ImportPath], w.infos[p.ImportPath] = pkg, files, info
	return pkg, nil
}

func (w *world) check(path string, files []*ast.File) (*types.Package, *types.Info, error) {
	info := &types.Info{
		Types: map[ast.Expr]types.TypeAndValue{}, Defs: map[*ast.Ident]types.Object{}, Uses: map[*ast.Ident]types.Object{},
		Implicits: map[ast.Node]types.Object{}, Instances: map[*ast.Ident]types.Instance{}, Scopes: map[ast.Node]*types.Scope{},
		Selections: map[*ast.SelectorExpr]*types.Selection{}, FileVersions: map[*ast.File]string{},
	}
	conf := types.Config{Importer: w, Sizes: types.SizesFor("gc", "amd64"), GoVersion: "go1.26"}
	pkg, err := conf.Check(path, w.fset, files, info)
	return pkg, info, err
}

// errLowering is a program whose SSA form fails its sanity check.
var errLowering = errors.New("the program cannot be lowered soundly")

// build makes the SSA form of a program in one or more files.
func build(src ...any) (_ *world, _ *ssa.Package, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("%w: %v", errLowering, r)
		}
	}()
	w := newWorld()
	var files []*ast.File
	for i, s := range src {
		name := fmt.Sprintf("cell%d.go", i+1)
		if p, ok := s.(string); ok && strings.HasPrefix(p, "/") {
			name, s = p, nil
		}
		f, err := parser.ParseFile(w.fset, name, s, parser.SkipObjectResolution)
		if err != nil {
			return nil, nil, err
		}
		files = append(files, f)
	}
	pkg, info, err := w.check("main", files)
	if err != nil {
		return nil, nil, err
	}
	prog := ssa.NewProgram(w.fset, ssa.InstantiateGenerics|ssa.SanityCheckFunctions|ssa.BuildSerially)
	made := map[*types.Package]bool{}
	var create func(p *types.Package)
	create = func(p *types.Package) {
		for _, d := range p.Imports() {
			if !made[d] {
				made[d] = true
				create(d)
				prog.CreatePackage(d, w.files[d.Path()], w.infos[d.Path()], true)
			}
		}
	}
	create(pkg)
	main := prog.CreatePackage(pkg, files, info, false)
	prog.Build()
	return w, main, nil
}

// result is what a program did.
type result struct {
	stdout, stderr, both string
	err                  error
}

// exited is the cause of a program that called os.Exit.
type exited int

func (e exited) Error() string { return fmt.Sprintf("exit status %d", int(e)) }

// runProgram runs main of a program from source.
func runProgram(ctx context.Context, o cells.Options, src ...any) (r result) {
	_, pkg, err := build(src...)
	if err != nil {
		return result{err: err}
	}
	both, err := os.CreateTemp("", "program")
	if err != nil {
		return result{err: err}
	}
	defer os.Remove(both.Name())
	defer both.Close()
	var out, errs lockedBuffer
	o.Symbols, o.Stdout, o.Stderr = stdTable{both}, io.MultiWriter(&out, both), io.MultiWriter(&errs, both)
	o.Bind = map[string]reflect.Value{"os.Exit": reflect.ValueOf(func(code int) { cells.Stop(exited(code)) })}
	var failed error
	var mu sync.Mutex
	o.OnGoroutine = func(err error) { mu.Lock(); failed = err; mu.Unlock() }
	m := cells.New(o)
	im, err := m.Load(pkg)
	if err != nil {
		return result{err: err}
	}
	m.Commit(im)
	if err = im.Init(ctx); err == nil {
		if _, err = im.Call(ctx, "init"); err == nil {
			_, err = im.Call(ctx, "main")
		}
	}
	m.StopAll(context.Canceled)
	mu.Lock()
	defer mu.Unlock()
	if err == nil {
		err = failed
	}
	var code exited
	if errors.As(err, &code) && code == 0 {
		err = nil
	}
	all, _ := os.ReadFile(both.Name())
	return result{out.String(), errs.String(), string(all), err}
}

type lockedBuffer struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (b *lockedBuffer) Write(p []byte) (int, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.b.Write(p)
}

func (b *lockedBuffer) String() string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.b.String()
}
