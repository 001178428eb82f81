package symbols

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"maps"
	"runtime"
	"slices"
	"sync"

	"golang.org/x/tools/go/gcexportdata"

	"patternkit/kernel/gocell/symbols/policy"
)

// An Importer reads packages for a type checker, each one once: keep one for
// the life of a session, so that all its builds agree on what a type is. Types
// of two importers differ.
//
// It may be used by several goroutines, but it adds to packages that were only
// referred to so far; don't look into packages that were not imported while
// another goroutine imports.
type Importer struct {
	table *Table
	fset  *token.FileSet

	mu       sync.Mutex
	packages map[string]*types.Package // imported, or so far only referred to
	built    map[string]*SourcePackage
}

// A SourcePackage is a package that was checked from source, ready to be built.
type SourcePackage struct {
	Types *types.Package
	Files []*ast.File
	Info  *types.Info
}

// Importer returns a new importer that adds positions to fset.
func (t *Table) Importer(fset *token.FileSet) *Importer {
	return &Importer{
		table: t, fset: fset,
		packages: map[string]*types.Package{},
		built:    map[string]*SourcePackage{},
	}
}

// Import returns the package, and completes every allowed package that it
// refers to. A package that is not allowed gives an *ImportError.
func (im *Importer) Import(path string) (*types.Package, error) {
	im.mu.Lock()
	defer im.mu.Unlock()
	return im.load(path)
}

// SourcePackages returns the packages imported so far that were checked from
// source, in an order in which each follows those that it imports.
func (im *Importer) SourcePackages() []*SourcePackage {
	im.mu.Lock()
	defer im.mu.Unlock()
	var out []*SourcePackage
	for _, path := range policy.Sources {
		if p := im.built[path]; p != nil {
			out = append(out, p)
		}
	}
	return out
}

// An ImportError says why a cell can't import a package.
type ImportError struct{ Path, Reason string }

func (e *ImportError) Error() string {
	return fmt.Sprintf("can't import %s: %s", e.Path, e.Reason)
}

func (im *Importer) load(path string) (*types.Package, error) {
	if p := im.packages[path]; p != nil && p.Complete() {
		return p, nil
	}
	if !im.table.Allowed(path) {
		return nil, &ImportError{path, im.table.Refusal(path)}
	}
	if source, ok := im.table.Source(path); ok {
		return im.check(path, source)
	}
	return im.read(path)
}

// read decodes the export data of a package. What it refers to is completed
// first where that is built from source, since its types must come from there,
// and afterwards otherwise.
func (im *Importer) read(path string) (*types.Package, error) {
	for _, source := range im.table.packages[path].sources {
		if _, err := im.load(source); err != nil {
			return nil, err
		}
	}
	p, err := im.decode(path)
	if err != nil {
		return nil, err
	}
	for _, dep := range p.Imports() {
		if !dep.Complete() && im.table.Allowed(dep.Path()) {
			if _, err := im.load(dep.Path()); err != nil {
				return nil, err
			}
		}
	}
	return p, nil
}

func (im *Importer) decode(path string) (*types.Package, error) {
	data := contents(im.table.embedded().export[path])
	p, err := gcexportdata.Read(bytes.NewReader(data), im.fset, im.packages, path)
	if err != nil {
		return nil, fmt.Errorf("embedded types of %s: %w", path, err)
	}
	return p, nil
}

// newInfo returns what a build from source needs to be recorded.
func newInfo() *types.Info {
	return &types.Info{
		Types:        map[ast.Expr]types.TypeAndValue{},
		Instances:    map[*ast.Ident]types.Instance{},
		Defs:         map[*ast.Ident]types.Object{},
		Uses:         map[*ast.Ident]types.Object{},
		Implicits:    map[ast.Node]types.Object{},
		Selections:   map[*ast.SelectorExpr]*types.Selection{},
		Scopes:       map[ast.Node]*types.Scope{},
		FileVersions: map[*ast.File]string{},
	}
}

// check type-checks a package that is carried as source.
func (im *Importer) check(path string, source map[string]string) (*types.Package, error) {
	sp := &SourcePackage{Info: newInfo()}
	for _, name := range slices.Sorted(maps.Keys(source)) {
		file, err := parser.ParseFile(im.fset, name, source[name], parser.SkipObjectResolution)
		if err != nil {
			return nil, err
		}
		sp.Files = append(sp.Files, file)
	}
	config := types.Config{Importer: loader{im}, Sizes: types.SizesFor("gc", runtime.GOARCH)}
	var err error
	sp.Types, err = config.Check(path, im.fset, sp.Files, sp.Info)
	if err != nil {
		return nil, err
	}
	im.packages[path] = sp.Types
	im.built[path] = sp
	return sp.Types, nil
}

// loader imports while the lock is held.
type loader struct{ im *Importer }

func (l loader) Import(path string) (*types.Package, error) { return l.im.load(path) }
