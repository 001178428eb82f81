package gocell

import (
	"errors"
	"go/ast"
	"go/token"
	"go/types"
	"slices"

	"patternkit/kernel/gocell/exec"
	"patternkit/kernel/gocell/symbols"
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
	{"files, network, programs, environment", "a cell saves with controls.Save and reads what the notebook gives it"},
	{"a top-level variable of a type that is declared inside a block", "no other cell could name its type"},
	{"a return outside a function", "a cell shows its last expression"},
}

// A refuser finds uses of compiled functions and methods that a cell may not
// call.
type refuser struct {
	library *symbols.Table
	known   map[types.Object]string // reason; empty when allowed
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
	if len(ids) == 0 {
		return nil
	}
	slices.SortFunc(ids, func(p, q *ast.Ident) int { return int(p.Pos() - q.Pos()) })
	e := newError(Refused)
	for _, id := range ids {
		e.add(a.locate(id.Pos(), id.End(), id.Name+" can't be used in a cell: "+r.reason(c.info.Uses[id].(*types.Func))))
	}
	return e
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
	if !errors.As(err, &list) {
		e.Message, e.cause = err.Error(), err
		return e
	}
	for _, r := range list {
		e.add(a.locate(r.Pos, token.NoPos, plain(r.What)))
	}
	return e.resort()
}
