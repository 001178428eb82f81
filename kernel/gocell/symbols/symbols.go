// Package symbols knows the compiled packages that a cell may import: their
// functions, variables and types as reflect values, their API as go/types
// packages, and their doc comments. All of it is generated and embedded, so
// nothing here needs a Go toolchain at run time.
//
// The order of use: an Importer gives the type checker the API of a package;
// Value and Type give the executor the compiled things that the checked code
// refers to; Denied says which few of them a cell must not call.
package symbols

//go:generate go run ./generate

import (
	"reflect"
	"slices"
	"strings"
	"sync"

	"patternkit/kernel/gocell/symbols/policy"
)

// A symbol is a function, a pointer to a variable, or a nil pointer to a type.
type symbol struct {
	name  string
	value any
}

// compiled is the table of one package, each list sorted by name. The generated
// tables are laid out by the compiler, so holding them costs no time at start.
type compiled struct {
	path, name string
	values     []symbol
	types      []symbol
	generic    []string
	sources    []string // packages built from source that its API refers to
}

// A Table holds compiled packages by import path. It is safe for concurrent use.
type Table struct {
	packages map[string]*compiled
	embedded func() archives
	reached  func() map[string]reflect.Type // types found inside others, by path.Name
}

// Default returns the table of every package that the program was built with.
func Default() *Table { return defaultTable() }

var defaultTable = sync.OnceValue(func() *Table {
	t := &Table{packages: map[string]*compiled{}}
	for _, group := range [][]compiled{
		tablesStd, tablesGonum, tablesPlot, tablesOrb, tablesPatternkit, tablesUnlisted,
	} {
		for i := range group {
			t.packages[group[i].path] = &group[i]
		}
	}
	t.embedded = sync.OnceValue(openArchives)
	t.reached = sync.OnceValue(t.reach)
	return t
})

// Packages lists the import paths that a cell may import, sorted.
func (t *Table) Packages() []string {
	var paths []string
	for path := range t.packages {
		if policy.Open(path) {
			paths = append(paths, path)
		}
	}
	slices.Sort(paths)
	return paths
}

// Allowed reports whether a cell may import the package.
func (t *Table) Allowed(path string) bool {
	_, ok := t.packages[path]
	return ok && policy.Open(path)
}

// Refusal says why a cell may not import the package, to follow "can't import
// x: "; it is empty for an allowed one.
func (t *Table) Refusal(path string) string { return policy.Refusal(path) }

// Denied says why a cell may not call a function (recv empty) or a method of the
// named type recv, for example ("gonum.org/v1/plot", "Plot", "Save"). All
// methods of packages such as os and reflect are denied.
func (t *Table) Denied(path, recv, name string) (reason string, denied bool) {
	return policy.Denied(path, recv, name)
}

// Value returns the compiled function of that name, or a pointer to the package
// variable of that name. Denied functions are not in the table.
func (t *Table) Value(path, name string) (reflect.Value, bool) {
	p := t.packages[path]
	if p == nil {
		return reflect.Value{}, false
	}
	v, ok := find(p.values, name)
	return reflect.ValueOf(v), ok
}

// Type returns the compiled form of a named type or alias. Beside the exported
// types of the allowed packages it finds types of any package, unexported ones
// and instances of generic ones too (name as reflect gives it: "Seq[int]"), as
// long as an exported function, variable, field or method mentions them.
func (t *Table) Type(path, name string) (reflect.Type, bool) {
	if p := t.packages[path]; p != nil {
		if v, ok := find(p.types, name); ok {
			return reflect.TypeOf(v).Elem(), true
		}
	}
	found, ok := t.reached()[path+"."+name]
	return found, ok && found != nil
}

// Generic reports whether the name is a generic function or type or a constraint
// of a compiled package, which has no compiled value. Packages that Source
// knows are built from source, so their generic functions can be called.
func (t *Table) Generic(path, name string) bool {
	p := t.packages[path]
	if p == nil {
		return false
	}
	_, ok := slices.BinarySearch(p.generic, name)
	return ok
}

func find(symbols []symbol, name string) (any, bool) {
	i, ok := slices.BinarySearchFunc(symbols, name, func(s symbol, name string) int {
		return strings.Compare(s.name, name)
	})
	if !ok {
		return nil, false
	}
	return symbols[i].value, true
}
