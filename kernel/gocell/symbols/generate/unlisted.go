package main

import (
	"bytes"
	"fmt"
	"go/types"
	"maps"
	"path/filepath"
	"slices"
	"strings"

	"patternkit/kernel/gocell/symbols/policy"
)

// always names types that the evaluator needs whatever the packages mention:
// a runtime panic that a cell recovers is a runtime.Error.
var always = map[string][]string{"runtime": {"Error"}}

// writeUnlisted writes a table of the types of packages that a cell may not
// import but whose types occur in what it may call: image.Image, io/fs.FileInfo.
// The evaluator needs their compiled form to hold such a value.
func writeUnlisted(out string, set packageSet) error {
	w := walker{open: set, seen: map[types.Type]bool{}, found: map[string][]string{}}
	for _, p := range set.all() {
		for _, name := range p.types.Scope().Names() {
			if obj := p.types.Scope().Lookup(name); obj.Exported() {
				w.visit(obj.Type())
			}
		}
	}
	maps.Copy(w.found, always)
	var body bytes.Buffer
	imports := map[string]string{}
	body.WriteString("// tablesUnlisted holds types of packages that cells can't import.\n")
	body.WriteString("var tablesUnlisted = []compiled{\n")
	for _, path := range slices.Sorted(maps.Keys(w.found)) {
		alias := importAlias(path)
		imports[path] = alias
		names := w.found[path]
		slices.Sort(names)
		fmt.Fprintf(&body, "{\npath: %q,\n", path)
		writeSymbols(&body, "types", alias, typeEntries(slices.Compact(names)))
		body.WriteString("},\n")
	}
	body.WriteString("}\n")
	return writeGo(filepath.Join(out, "tables_unlisted.go"), imports, body.Bytes())
}

// A walker follows the exported surface of types to the named types in it.
type walker struct {
	open  packageSet
	seen  map[types.Type]bool
	found map[string][]string // path -> names of exported types of unlisted packages
}

func (w *walker) visit(t types.Type) {
	t = types.Unalias(t)
	if t == nil || w.seen[t] {
		return
	}
	w.seen[t] = true
	switch t := t.(type) {
	case *types.Named:
		w.named(t)
	case *types.Pointer:
		w.visit(t.Elem())
	case *types.Slice:
		w.visit(t.Elem())
	case *types.Array:
		w.visit(t.Elem())
	case *types.Chan:
		w.visit(t.Elem())
	case *types.Map:
		w.visit(t.Key())
		w.visit(t.Elem())
	case *types.Signature:
		w.visit(t.Params())
		w.visit(t.Results())
	case *types.Tuple:
		for v := range t.Variables() {
			w.visit(v.Type())
		}
	case *types.Struct:
		for f := range t.Fields() {
			if f.Exported() {
				w.visit(f.Type())
			}
		}
	case *types.Interface:
		for m := range t.Methods() {
			w.visit(m.Type())
		}
	}
}

func (w *walker) named(t *types.Named) {
	for arg := range t.TypeArgs().Types() {
		w.visit(arg)
	}
	obj := t.Obj()
	if obj.Pkg() == nil { // error, comparable
		return
	}
	path := obj.Pkg().Path()
	if w.open[path] == nil && importable(path) && obj.Exported() && !isGeneric(obj) {
		w.found[path] = append(w.found[path], obj.Name())
	}
	if reason := policy.Refusal(path); reason != "" {
		if _, shut := policy.Denied(path, obj.Name(), ""); shut {
			return // none of its methods can be called, so what they mention is not needed
		}
	}
	w.visit(t.Underlying())
	for m := range t.Methods() {
		if m.Exported() {
			w.visit(m.Type())
		}
	}
}

// importable reports whether the generated file may import the package.
func importable(path string) bool {
	for part := range strings.SplitSeq(path, "/") {
		if part == "internal" || part == "vendor" {
			return false
		}
	}
	return path != "unsafe" && path != "C"
}
