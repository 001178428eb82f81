package gocell

import (
	"errors"
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"slices"
	"strings"

	"patternkit/kernel/gocell/exec"
	"patternkit/kernel/gocell/symbols"
	"patternkit/kernel/gocell/symbols/policy"
)

// A Refusal is something of Go that a cell can't use, and why. The list is for
// the documentation; what a cell uses of it is refused by name and position.
type Refusal struct{ What, Why string }

// Refusals lists what a cell can't use.
var Refusals = []Refusal{
	{"package unsafe, unsafe.Pointer", "it reaches past what Go can check"},
	{`import "C"`, "cells can't call C"},
	{"functions without a body, //go: directives", "there is no assembler or linker behind a cell"},
	{"generic functions of compiled packages other than slices, maps, cmp and iter", "a compiled generic function has no body that could be run"},
	{"packages outside the list of import paths", "a notebook from somebody else must be safe to run"},
	{"files, network, programs, environment", "a cell saves with controls.Save and loads with controls.Load, under the folder of its notebook"},
	{"setting a variable of a compiled package, or taking its address", "the compiled package relies on it"},
	{"a top-level variable of a type that is declared inside a block", "no other cell could name its type"},
	{"a return outside a function", "a cell shows its last expression"},
}

// A refuser finds uses of compiled functions and methods that a cell may not
// call, and of compiled variables that it may not set.
type refuser struct {
	library  *symbols.Table
	importer *symbols.Importer
	names    map[string]bool
	known    map[types.Object]string // reason; empty when allowed
}

func (r *refuser) check(a *attempt, c *checked) *Error {
	if r.known == nil {
		r.known = map[types.Object]string{}
	}
	var ids []*ast.Ident
	for id, obj := range c.info.Uses {
		if f, ok := obj.(*types.Func); ok && f.Pkg() != nil && f.Pkg() != c.pkg && r.reason(f) != "" {
			ids = append(ids, id)
		}
	}
	ids = append(ids, r.backDoors(a, c)...)
	ids = append(ids, sharedWrites(c)...)
	if len(ids) == 0 {
		return nil
	}
	slices.SortFunc(ids, func(p, q *ast.Ident) int { return int(p.Pos() - q.Pos()) })
	e := newError(Refused)
	for _, id := range ids {
		if v, ok := c.info.Uses[id].(*types.Var); ok {
			e.add(a.locate(id.Pos(), id.End(), fmt.Sprintf("%s can't be set in a cell, nor its address be taken: "+
				"package %s relies on it; copy it to a variable of your own", id.Name, v.Pkg().Name())))
			continue
		}
		f, _ := c.info.ObjectOf(id).(*types.Func)
		if denied := r.denied(f); denied != nil {
			f = denied
		}
		e.add(a.locate(id.Pos(), id.End(), id.Name+" can't be used in a cell: "+r.reason(f)))
	}
	return e
}

// backDoors finds the methods of interface types written in cells that a
// compiled value could satisfy with a method that a cell may not call.
func (r *refuser) backDoors(a *attempt, c *checked) []*ast.Ident {
	var out []*ast.Ident
	for id, obj := range c.info.Defs {
		f, ok := obj.(*types.Func)
		if !ok || !r.closedNames()[f.Name()] || f.Signature().Recv() == nil {
			continue
		}
		if types.IsInterface(f.Signature().Recv().Type()) && r.denied(f) != nil {
			out = append(out, id)
		}
	}
	return out
}

// closedNames are the names of all methods that are denied one by one.
func (r *refuser) closedNames() map[string]bool {
	if r.names == nil {
		r.names = map[string]bool{}
		for _, key := range policy.Closed() {
			if _, _, method := closedMethod(key); method != "" {
				r.names[method] = true
			}
		}
	}
	return r.names
}

// closedMethod splits "import/path.Type.Method"; a function gives no method.
func closedMethod(key string) (pkg, recv, method string) {
	slash := strings.LastIndexByte(key, '/') + 1
	parts := strings.Split(key[slash:], ".")
	if len(parts) != 3 {
		return "", "", ""
	}
	return key[:slash] + parts[0], parts[1], parts[2]
}

// denied returns the method with the name of f and as many parameters and
// results that a cell may not call, or nil. Their types are not compared: type
// parameters can stand for any.
func (r *refuser) denied(f *types.Func) *types.Func {
	for _, key := range policy.Closed() {
		path, recv, method := closedMethod(key)
		if method == "" || method != f.Name() {
			continue
		}
		pkg, err := r.importer.Import(path)
		if err != nil {
			continue
		}
		obj, _, _ := types.LookupFieldOrMethod(types.NewPointer(pkg.Scope().Lookup(recv).Type()), true, pkg, method)
		if m, ok := obj.(*types.Func); ok && sameCounts(m.Signature(), f.Signature()) {
			return m
		}
	}
	return nil
}

func sameCounts(a, b *types.Signature) bool {
	return a.Params().Len() == b.Params().Len() && a.Results().Len() == b.Results().Len()
}

func (r *refuser) reason(f *types.Func) string {
	f = f.Origin()
	if reason, ok := r.known[f]; ok {
		return reason
	}
	path, recv := f.Pkg().Path(), ""
	if v := f.Signature().Recv(); v != nil {
		if n, ok := types.Unalias(deref(v.Type())).(*types.Named); ok {
			recv = n.Obj().Name()
		}
	}
	reason := ""
	if path != stopPackage {
		reason, _ = r.library.Denied(path, recv, f.Name())
	}
	r.known[f] = reason
	return reason
}

// refusal words what the executor can't run.
func (s *Session) refusal(a *attempt, err error) *Error {
	e := newError(Refused)
	var list exec.Refusals
	if !errors.As(err, &list) || len(list) == 0 {
		e.Message, e.cause = err.Error(), err
		return e
	}
	for _, r := range list {
		e.add(a.locate(r.Pos, token.NoPos, plain(r.What)))
	}
	return e.resort()
}
