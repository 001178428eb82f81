package gocell

import (
	"go/ast"
	"go/token"
	"go/types"
	"maps"
	"slices"
	"strings"
)

// A unit is one live declaration of a session.
type unit struct {
	kind  unitKind
	names []string // what it declares; a method declares "T.M", a dot import ". path"
	cell  *cell
	node  ast.Node
	decl  ast.Decl // nil for an import

	signature *ast.FuncDecl // a function without its body, for a check of types only
	path      string        // of an import

	// A variable's type is spelt once, when it is declared. Parts of it that no
	// cell can redeclare are kept as they are; see spell.
	leaves map[string]*types.TypeName

	refs  map[string]bool // every identifier in it; filled by mentions
	musts []must          // of the calls whose trailing error is taken; see comfort.go
}

type unitKind int

const (
	constUnit unitKind = iota
	varUnit
	typeUnit
	funcUnit
	methodUnit
	importUnit
)

func (k unitKind) String() string {
	return [...]string{"constant", "variable", "type", "function", "method", "import"}[k]
}

// A fault says why a unit doesn't fit the other declarations any more.
type fault struct {
	err  problem
	stub *ast.FuncDecl // stops with the error when called; nil when not even the signature fits
}

// A world is all that a session has declared. It is not changed once made:
// each cell makes the next one.
type world struct {
	units  []*unit
	faults map[*unit]*fault
}

func (w *world) clone() *world {
	return &world{slices.Clone(w.units), maps.Clone(w.faults)}
}

// find returns the unit that declares a name.
func (w *world) find(name string) *unit {
	for _, u := range w.units {
		if slices.Contains(u.names, name) {
			return u
		}
	}
	return nil
}

// names returns every name of the package and file scope.
func (w *world) names() map[string]bool {
	all := map[string]bool{}
	for _, u := range w.units {
		if u.kind != methodUnit {
			for _, n := range u.names {
				all[n] = true
			}
		}
	}
	return all
}

// add puts in new units, which replace older ones of the same name. It returns
// the units that lost a name.
func (w *world) add(fresh ...*unit) (replaced []*unit) {
	taken := map[string]bool{}
	for _, u := range fresh {
		for _, n := range u.names {
			taken[n] = true
		}
	}
	kept := w.units[:0:0]
	for _, u := range w.units {
		rest := slices.DeleteFunc(slices.Clone(u.names), func(n string) bool { return taken[n] })
		if len(rest) == len(u.names) {
			kept = append(kept, u)
			continue
		}
		replaced = append(replaced, u)
		delete(w.faults, u)
		if len(rest) > 0 {
			kept = append(kept, u.without(rest))
		}
	}
	w.units = append(kept, fresh...)
	return replaced
}

// without returns a group of constants that declares only the names of rest.
func (u *unit) without(rest []string) *unit {
	group := *u.decl.(*ast.GenDecl)
	group.Specs = slices.Clone(group.Specs)
	for i, spec := range group.Specs {
		v := *spec.(*ast.ValueSpec)
		v.Names = slices.Clone(v.Names)
		for j, id := range v.Names {
			if !slices.Contains(rest, id.Name) {
				v.Names[j] = &ast.Ident{NamePos: id.NamePos, Name: "_"}
			}
		}
		group.Specs[i] = &v
	}
	out := *u
	out.names, out.decl, out.node = rest, &group, &group
	return &out
}

// drop removes units.
func (w *world) drop(gone func(*unit) bool) {
	w.units = slices.DeleteFunc(w.units, gone)
	maps.DeleteFunc(w.faults, func(u *unit, _ *fault) bool { return gone(u) })
}

// owner returns the unit in whose text a position lies.
func (w *world) owner(pos token.Pos) *unit {
	for _, u := range w.units {
		if u.node.Pos() <= pos && pos <= u.node.End() {
			return u
		}
	}
	return nil
}

// cells returns the cells that live declarations come from.
func (w *world) cells() map[*cell]bool {
	used := map[*cell]bool{}
	for _, u := range w.units {
		used[u.cell] = true
	}
	return used
}

// mentions returns the identifiers in a unit, whatever they stand for.
func (u *unit) mentions() map[string]bool {
	if u.refs == nil {
		u.refs = map[string]bool{}
		if u.decl != nil {
			collect(u.decl, u.refs)
		}
	}
	return u.refs
}

// sameTo says whether users of a declaration cannot tell it from an older one.
// Of a function they see only the signature.
func (u *unit) sameTo(older *unit) bool {
	if u.kind != older.kind || u.path != older.path {
		return false
	}
	return u.kind == importUnit || u.face() != "" && u.face() == older.face()
}

// face is the text of what the users of a declaration see.
func (u *unit) face() string {
	end := u.node.End()
	if f, ok := u.node.(*ast.FuncDecl); ok && f.Body != nil {
		end = f.Body.Lbrace
	}
	return u.cell.text(u.node.Pos(), end)
}

func collect(n ast.Node, names map[string]bool) {
	ast.Inspect(n, func(n ast.Node) bool {
		if id, ok := n.(*ast.Ident); ok {
			names[id.Name] = true
		}
		return true
	})
}

// reached returns the part of a world that code with some identifiers can need:
// the declarations of those names, the methods of types among them, and so on.
// What is left out cannot change what the code means.
func (w *world) reached(names map[string]bool) *world {
	byName := map[string][]*unit{}
	for _, u := range w.units {
		for _, n := range u.names {
			if u.kind == methodUnit {
				n, _, _ = strings.Cut(n, ".")
			}
			byName[n] = append(byName[n], u)
		}
	}
	in := map[*unit]bool{}
	seen := map[string]bool{}
	var visit func(names map[string]bool)
	visit = func(names map[string]bool) {
		for n := range names {
			if seen[n] {
				continue
			}
			seen[n] = true
			for _, u := range byName[n] {
				if !in[u] {
					in[u] = true
					visit(u.mentions())
				}
			}
		}
	}
	visit(names)
	out := &world{faults: w.faults}
	for _, u := range w.units {
		if in[u] {
			out.units = append(out.units, u)
		}
	}
	return out
}
