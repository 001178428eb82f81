package exec

import (
	"cmp"
	"context"
	"fmt"
	"go/token"
	"go/types"
	"reflect"
	"slices"
	"strings"
	"sync/atomic"
	"unsafe"

	"golang.org/x/tools/go/ssa"
)

// image is the inner side of Image. What is only needed while loading is let
// go afterwards, so that an image does not keep its program.
type image struct {
	m        *Machine
	path     string
	live     atomic.Bool
	byName   map[string]*code
	globals  map[string]*variable
	slotted  map[string]*code
	methods  map[*typeDesc]*methodSet
	pointers map[*typeDesc]*typeDesc // to types whose pointers json has to know
	inits    []initializer

	*loading
}

type initializer struct {
	path string
	code *code
}

type loading struct {
	pkg      *ssa.Package
	prog     *ssa.Program
	ty       *typer
	funcs    map[*ssa.Function]*code
	queue    []*ssa.Function
	visited  map[string]bool // types whose methods are taken in
	source   map[*types.Package]bool
	refusals Refusals
	scopes   map[*types.Scope]string
	deps     map[*ssa.Package]bool
}

// Load translates pkg and what it reaches in packages built from source.
// Nothing of the Machine changes. The error is a Refusals.
func (m *Machine) Load(pkg *ssa.Package) (*Image, error) {
	m.loadMu.Lock()
	defer m.loadMu.Unlock()
	out := &Image{}
	im := &out.image
	im.m, im.path = m, pkg.Pkg.Path()
	im.byName, im.globals = map[string]*code{}, map[string]*variable{}
	im.slotted, im.methods = map[string]*code{}, map[*typeDesc]*methodSet{}
	im.pointers = map[*typeDesc]*typeDesc{}
	im.loading = &loading{
		pkg: pkg, prog: pkg.Prog, funcs: map[*ssa.Function]*code{}, visited: map[string]bool{},
		source: map[*types.Package]bool{}, deps: map[*ssa.Package]bool{},
	}
	im.ty = &typer{
		m: m, im: im, seen: map[types.Type]*typeDesc{}, byKey: map[string]*typeDesc{}, keys: map[types.Type]string{},
		reach: map[*types.Named][]*types.Named{}, hashes: map[*types.Named]string{},
		names: map[string]*types.Named{}, local: map[*types.Named]string{},
	}
	im.declare()
	for len(im.queue) > 0 {
		fn := im.queue[0]
		im.queue = im.queue[1:]
		im.compile(fn, im.funcs[fn])
	}
	if len(im.refusals) > 0 {
		slices.SortStableFunc(im.refusals, func(a, b Refusal) int { return cmp.Compare(a.Pos, b.Pos) })
		return nil, slices.Compact(im.refusals)
	}
	for d, ms := range im.methods {
		if d.methods.Load() == nil {
			d.methods.Store(ms)
		}
	}
	for d, p := range im.pointers {
		if d.pointer.Load() == nil {
			d.pointer.Store(p)
		}
	}
	im.loading = nil
	return out, nil
}

// declare takes in the functions, methods and variables of the package.
func (im *image) declare() {
	names := make([]string, 0, len(im.pkg.Members))
	for name := range im.pkg.Members {
		names = append(names, name)
	}
	slices.Sort(names)
	k := &compiler{im: im, ty: im.ty}
	for _, name := range names {
		k.pos = im.pkg.Members[name].Pos()
		k.try(func() { im.declareMember(k, name) })
	}
	im.initOrder(im.pkg.Pkg, map[*types.Package]bool{})
}

func (im *image) declareMember(k *compiler, name string) {
	switch v := im.pkg.Members[name].(type) {
	case *ssa.Function:
		if isGeneric(v.Signature) || v.TypeParams().Len() > len(v.TypeArgs()) {
			return
		}
		if v.Blocks == nil {
			k.refuse("%s has no body", name)
		}
		c := im.codeFor(v)
		im.byName[name] = c
		im.slotFor(v, c)
	case *ssa.Global:
		im.global(k, v)
	case *ssa.Type:
		n, ok := types.Unalias(v.Type()).(*types.Named)
		if !ok || n.TypeParams().Len() > 0 || types.IsInterface(n) {
			return
		}
		im.needMethods(n)
		im.needMethods(types.NewPointer(n))
		for m := range n.Methods() {
			fn := im.prog.FuncValue(m)
			if fn == nil || fn.Blocks == nil {
				continue
			}
			c := im.codeFor(fn)
			im.slotFor(fn, c)
		}
	}
}

func isGeneric(s *types.Signature) bool {
	return s.TypeParams().Len() > 0 || s.RecvTypeParams().Len() > 0
}

// fromSource says whether a package was built from source.
func (im *image) fromSource(p *types.Package) bool {
	if is, ok := im.source[p]; ok {
		return is
	}
	is := false
	if sp := im.prog.Package(p); sp != nil {
		if sp == im.pkg {
			is = true
		} else if f := sp.Func("init"); f != nil && f.Blocks != nil {
			is = true
		}
	}
	im.source[p] = is
	return is
}

// hasBody says whether a function runs from its source.
func (im *image) hasBody(fn *ssa.Function) bool { return fn.Blocks != nil }

// initOrder lists the initialisers of the dependencies built from source, dependencies first.
func (im *image) initOrder(p *types.Package, seen map[*types.Package]bool) {
	if seen[p] {
		return
	}
	seen[p] = true
	for _, d := range p.Imports() {
		im.initOrder(d, seen)
	}
	if p != im.pkg.Pkg && im.fromSource(p) {
		if f := im.prog.Package(p).Func("init"); f != nil && f.Blocks != nil {
			im.inits = append(im.inits, initializer{p.Path(), im.codeFor(f)})
		}
	}
}

// initDeps runs them; a guard variable in each makes it run once.
func (im *image) initDeps(ctx context.Context) error {
	for _, in := range im.inits {
		err := im.m.within(ctx, func(t *thread) { in.code.exec(t.push(in.code)) })
		if err != nil {
			return err
		}
	}
	return nil
}

func (im *image) refuseAt(pos token.Pos, what string) {
	if what != "" || len(im.refusals) == 0 {
		im.refusals = append(im.refusals, Refusal{pos, what})
	}
}

// codeFor is the translation of a function with a body, made later if need be.
func (im *image) codeFor(fn *ssa.Function) *code {
	if c := im.funcs[fn]; c != nil {
		return c
	}
	sig := im.ty.sig(fn.Signature)
	var recv *typeDesc
	if r := fn.Signature.Recv(); r != nil {
		recv = im.ty.desc(r.Type())
	}
	c := &code{name: funcName(fn), fset: im.prog.Fset, pos: fn.Pos(), sig: sig, layout: layoutOf(sig, recv), recover: -1}
	if p := fn.Package(); p != nil {
		c.pkg = p.Pkg.Path()
	}
	c.wrapper = isWrapper(fn)
	im.funcs[fn] = c
	im.queue = append(im.queue, fn)
	return c
}

func isWrapper(fn *ssa.Function) bool {
	s := fn.Synthetic
	return strings.HasPrefix(s, "wrapper for") || strings.HasPrefix(s, "thunk for") || strings.HasPrefix(s, "bound method wrapper for")
}

// funcName names a function as its package does.
func funcName(fn *ssa.Function) string {
	if p := fn.Package(); p != nil {
		return fn.RelString(p.Pkg)
	}
	return fn.String()
}

// slotFor is the slot through which a declared function or method of the
// session's package is called; nil for any other function.
func (im *image) slotFor(fn *ssa.Function, c *code) *slot {
	if fn.Pkg != im.pkg || fn.Parent() != nil || fn.Synthetic != "" || fn.Origin() != nil && fn.Origin() != fn {
		return nil
	}
	key := fn.Name()
	if r := fn.Signature.Recv(); r != nil {
		key = im.ty.key(r.Type()) + "." + key
	}
	m := im.m
	m.mu.Lock()
	defer m.mu.Unlock()
	s := m.slots[key]
	if s == nil {
		s = &slot{name: funcName(fn)}
		m.slots[key] = s
	}
	im.slotted[key] = c
	return s
}

// global is the storage of a package variable: the live one when its type is
// the same, else new.
func (im *image) global(k *compiler, g *ssa.Global) unsafe.Pointer {
	path := g.Pkg.Pkg.Path()
	if !im.fromSource(g.Pkg.Pkg) {
		v, ok := im.m.boundValue(path, g.Name())
		if !ok {
			k.refuse("%s.%s is not offered to cells", path, g.Name())
		}
		im.m.learn(g.Type(), v.Type())
		d := k.desc(g.Type().Underlying().(*types.Pointer).Elem())
		if v.Kind() != reflect.Pointer || v.Type().Elem() != d.rt {
			k.refuse("%s.%s has a type that cells cannot use: %s", path, g.Name(), v.Type())
		}
		return v.UnsafePointer()
	}
	key := path + "." + g.Name()
	d := k.desc(g.Type().Underlying().(*types.Pointer).Elem())
	if v := im.globals[key]; v != nil {
		return v.p
	}
	im.m.mu.Lock()
	v := im.m.globals[key]
	im.m.mu.Unlock()
	if v == nil || v.desc != d {
		if d.size > neverMore {
			k.refuse("the variable %s is too large", g.Name())
		}
		v = &variable{d, d.allocator()()}
	}
	im.globals[key] = v
	return v.p
}

// needMethods takes in the methods of t and of the types that it is made of,
// because a value of type t goes into an interface.
func (im *image) needMethods(t types.Type) {
	t = types.Unalias(t)
	key := im.ty.key(t)
	if im.visited[key] {
		return
	}
	im.visited[key] = true
	if n, ok := t.(*types.Named); ok && !im.ty.isCell(n) {
		return
	}
	d := im.ty.desc(t)
	if !d.faithful && !types.IsInterface(t) {
		im.takeMethods(d, t)
		im.takeJSONMethods(d, t)
	}
	switch u := t.Underlying().(type) {
	case *types.Pointer:
		im.needMethods(u.Elem())
	case *types.Slice:
		im.needMethods(u.Elem())
	case *types.Array:
		im.needMethods(u.Elem())
	case *types.Chan:
		im.needMethods(u.Elem())
	case *types.Map:
		im.needMethods(u.Key())
		im.needMethods(u.Elem())
	case *types.Struct:
		for f := range u.Fields() {
			im.needMethods(f.Type())
		}
	}
}

func (im *image) takeMethods(d *typeDesc, t types.Type) {
	set := im.prog.MethodSets.MethodSet(t)
	ms := &methodSet{byID: map[string]*boxMethod{}}
	for sel := range set.Methods() {
		if o := sel.Obj(); !o.Exported() && !im.fromSource(o.Pkg()) {
			continue // nothing in a cell can call it
		}
		fn := im.prog.MethodValue(sel)
		if fn == nil {
			continue
		}
		if !im.hasBody(fn) {
			// A method of a compiled type that t has by another name.
			im.refuseAt(fn.Pos(), fmt.Sprintf("the method %s of %s has no body", fn.Name(), d.name))
			continue
		}
		c := im.codeFor(fn)
		f := sel.Obj().(*types.Func)
		ms.byID[f.Id()] = &boxMethod{name: f.Name(), sig: c.sig, code: c}
	}
	if ms.wrap = wrapperFor(ms); ms.wrap == nil {
		im.refuseAt(token.NoPos, fmt.Sprintf("%s has methods of an error with Unwrap, Is or As and methods to be shown by, which cannot both be given to compiled code", d.name))
		return
	}
	im.methods[d] = ms
}

// takeJSONMethods finds the pointer to values of t, if that has methods that
// json calls for values inside others.
func (im *image) takeJSONMethods(d *typeDesc, t types.Type) {
	if _, ok := t.(*types.Named); !ok {
		return
	}
	im.pointers[d] = nil
	pointer := types.NewPointer(t)
	set := im.prog.MethodSets.MethodSet(pointer)
	for _, m := range []jsonMethod{writeJSON, writeText, readJSON, readText} {
		if set.Lookup(nil, m.name) != nil {
			im.pointers[d] = im.ty.desc(pointer)
			im.needMethods(pointer)
			return
		}
	}
}

// scopeName names the function that a local type is declared in.
func (im *image) scopeName(obj types.Object) string {
	if im.scopes == nil {
		im.scopes = map[*types.Scope]string{}
	}
	pkg := obj.Pkg().Scope()
	s := obj.Parent()
	if s == nil {
		return "?"
	}
	for s.Parent() != nil && s.Parent().Parent() != pkg {
		s = s.Parent()
	}
	return fmt.Sprint(int(obj.Pos() - s.Pos()))
}
