package gocell

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"maps"
	"path"
	"slices"
	"strconv"
	"strings"
)

// explain turns what is left of a check's errors into one for the designer, or
// returns nil.
func (s *Session) explain(a *attempt, c *checked) *Error {
	if len(c.errs) == 0 {
		return nil
	}
	e := newError(Type)
	for _, err := range c.errs {
		code, start, end := faultOf(err)
		if code == codeInvalidInit && !a.plan.cell.holds(start) {
			continue
		}
		x := explainer{s: s, a: a, c: c, pos: start}
		e.add(a.locate(start, end, x.words(code, s.packages.unqualified(plain(err.Msg)))))
	}
	slices.SortStableFunc(e.Positions, func(p, q Position) int { return p.Line - q.Line })
	return e.resort()
}

// resort makes the message anew, in the order of positions.
func (e *Error) resort() *Error {
	positions := e.Positions
	e.Positions = nil
	for _, p := range positions {
		e.add(problem{Position: p})
	}
	return e
}

// locate makes a problem of a place in the new cell or in an older one.
func (a *attempt) locate(start, end token.Pos, message string) problem {
	c := a.plan.cell
	if !c.holds(start) {
		if u := a.world.owner(start); u != nil {
			c = u.cell
		}
	}
	return c.problem(start, end, message)
}

// An explainer words one error.
type explainer struct {
	s    *Session
	a    *attempt
	c    *checked
	pos  token.Pos
	path []ast.Node
}

func (x *explainer) words(code int, message string) string {
	x.path = x.c.pathTo(x.pos)
	switch code {
	case codeUndeclared:
		return x.undeclared(message)
	case codeNoFieldOrMethod:
		return x.member(message)
	case codeUnknownField:
		return x.field(message)
	case codeNotInPackage, codeUnexported:
		return x.packageMember(message)
	}
	message = strings.ReplaceAll(message, "missing return", "the function can end without return")
	if code == codeUnusedExpr {
		message += "; only the last expression of a cell is shown"
	}
	return message
}

func suggest(message, closest string) string {
	if closest == "" {
		return message
	}
	return message + "; did you mean " + closest + "?"
}

func (x *explainer) undeclared(message string) string {
	name := strings.TrimPrefix(message, "undefined: ")
	for u, f := range x.a.world.faults {
		if slices.Contains(u.names, name) {
			return u.noLongerFits(f)
		}
	}
	if _, at := x.a.plan.declared(); x.a.plan.cell.holds(x.pos) {
		if i, ok := at[name]; ok && x.a.plan.cell.compare(x.a.plan.stmts[i].Pos(), x.pos) > 0 {
			line := x.a.plan.cell.place(x.a.plan.stmts[i].Pos(), token.NoPos).Line
			return fmt.Sprintf("%s here; it is declared further down, in line %d", message, line)
		}
	}
	known := x.inScope()
	if x.qualifies() {
		for _, p := range x.s.library.Packages() {
			if baseName(p) == name {
				return fmt.Sprintf("%s; import %s first", message, strconv.Quote(p))
			}
			known = append(known, baseName(p))
		}
	}
	return suggest(message, nearest(name, known))
}

// qualifies says whether the name stands before a point.
func (x *explainer) qualifies() bool {
	n := len(x.path)
	if n < 2 {
		return false
	}
	sel, ok := x.path[n-2].(*ast.SelectorExpr)
	return ok && sel.X == x.path[n-1]
}

// baseName is the name by which an import path is mostly used.
func baseName(p string) string {
	base := path.Base(p)
	if strings.HasPrefix(base, "v") && strings.Trim(base[1:], "0123456789") == "" {
		return path.Base(path.Dir(p))
	}
	return base
}

// inScope lists the names that can be used at the place of the error.
func (x *explainer) inScope() []string {
	names := slices.Collect(maps.Keys(x.a.world.names()))
	names = append(names, types.Universe.Names()...)
	if dot := x.s.packages.dot; dot != nil {
		names = append(names, dot.Scope().Names()...)
	}
	for _, n := range x.path {
		if f, ok := n.(*ast.FuncDecl); ok {
			n = f.Type
		}
		if f, ok := n.(*ast.FuncLit); ok {
			n = f.Type
		}
		if scope := x.c.info.Scopes[n]; scope != nil {
			for _, name := range scope.Names() {
				if scope.Lookup(name).Pos() < x.pos {
					names = append(names, name)
				}
			}
		}
	}
	return slices.DeleteFunc(names, func(n string) bool { return strings.Contains(n, "·") || strings.Contains(n, " ") })
}

// member explains x.Name without such a field or method.
func (x *explainer) member(message string) string {
	for _, n := range slices.Backward(x.path) {
		sel, ok := n.(*ast.SelectorExpr)
		if !ok {
			continue
		}
		tv, ok := x.c.info.Types[sel.X]
		if !ok {
			return message
		}
		if i := strings.Index(message, ", but does have "); i >= 0 {
			message = message[:i] + ")"
		}
		return suggest(message, nearest(sel.Sel.Name, memberNames(tv.Type, x.c.pkg)))
	}
	return message
}

// memberNames lists the fields and methods that code in pkg can reach on a type.
func memberNames(t types.Type, pkg *types.Package) []string {
	var names []string
	for _, m := range members(t, pkg) {
		names = append(names, m.Name())
	}
	return names
}

// members lists the fields and methods that code in pkg can reach on a type,
// nearer ones first.
func members(t types.Type, pkg *types.Package) []types.Object {
	var out []types.Object
	seen := map[string]bool{}
	add := func(o types.Object) {
		if !seen[o.Name()] && (o.Exported() || o.Pkg() == pkg) && o.Name() != "_" {
			seen[o.Name()] = true
			out = append(out, o)
		}
	}
	visited := map[types.Type]bool{}
	level := []types.Type{t}
	for len(level) > 0 {
		var next []types.Type
		for _, t := range level {
			t = types.Unalias(deref(t))
			if visited[t] {
				continue
			}
			visited[t] = true
			next = append(next, fields(t, add)...)
		}
		level = next
	}
	methods := types.NewMethodSet(t)
	if _, ok := t.Underlying().(*types.Interface); !ok {
		if _, ok := t.(*types.Pointer); !ok {
			methods = types.NewMethodSet(types.NewPointer(t))
		}
	}
	for m := range methods.Methods() {
		add(m.Obj())
	}
	return out
}

// fields adds the fields of a struct and returns the types it embeds.
func fields(t types.Type, add func(types.Object)) (embedded []types.Type) {
	s, ok := t.Underlying().(*types.Struct)
	if !ok {
		return nil
	}
	for f := range s.Fields() {
		add(f)
		if f.Embedded() {
			embedded = append(embedded, f.Type())
		}
	}
	return embedded
}

func deref(t types.Type) types.Type {
	if p, ok := t.Underlying().(*types.Pointer); ok {
		return p.Elem()
	}
	return t
}

// field explains a struct literal with a field that the struct has not.
func (x *explainer) field(message string) string {
	id, ok := x.path[len(x.path)-1].(*ast.Ident)
	if !ok {
		return message
	}
	for _, n := range slices.Backward(x.path) {
		lit, ok := n.(*ast.CompositeLit)
		if !ok {
			continue
		}
		tv, ok := x.c.info.Types[lit]
		if !ok {
			return message
		}
		var names []string
		fields(deref(tv.Type), func(o types.Object) { names = append(names, o.Name()) })
		typ := types.TypeString(deref(tv.Type), func(p *types.Package) string { return "" })
		message := fmt.Sprintf("%s has no field %s", typ, id.Name)
		if closest := nearest(id.Name, names); closest != "" {
			return suggest(message, closest)
		}
		if len(names) > 0 && len(names) <= 40 {
			message += "; it has " + strings.Join(names, ", ")
		}
		return message
	}
	return message
}

func (x *explainer) packageMember(message string) string {
	for _, n := range slices.Backward(x.path) {
		sel, ok := n.(*ast.SelectorExpr)
		if !ok {
			continue
		}
		id, ok := sel.X.(*ast.Ident)
		if !ok {
			return message
		}
		p, ok := x.c.info.Uses[id].(*types.PkgName)
		if !ok {
			return message
		}
		names := slices.DeleteFunc(p.Imported().Scope().Names(), func(n string) bool { return !token.IsExported(n) })
		closest := nearest(sel.Sel.Name, names)
		if closest != "" {
			closest = id.Name + "." + closest
		}
		return suggest(message, closest)
	}
	return message
}

// pathTo returns the nodes of the checked file around a position, outermost
// first.
func (c *checked) pathTo(pos token.Pos) []ast.Node {
	var out []ast.Node
	for _, d := range c.file.Decls {
		if d.Pos() <= pos && pos < d.End() {
			out = pathIn(d, pos)
		}
	}
	if len(out) == 0 {
		out = []ast.Node{c.file}
	}
	return out
}

// pathIn returns the nodes below root that contain a position, outermost first.
func pathIn(root ast.Node, pos token.Pos) []ast.Node {
	var out []ast.Node
	ast.Inspect(root, func(n ast.Node) bool {
		if n == nil || pos < n.Pos() || n.End() <= pos {
			return false
		}
		out = append(out, n)
		return true
	})
	return out
}

// span returns the stretch of code that a run-time position stands for: the
// call around it, or the smallest expression.
func (c *cell) span(pos token.Pos) (start, end token.Pos) {
	start, end = pos, token.NoPos
	for _, root := range c.roots() {
		for _, n := range pathIn(root, pos) {
			switch n := n.(type) {
			case *ast.CallExpr:
				if n.Lparen == pos {
					return n.Pos(), n.End()
				}
			case *ast.BinaryExpr:
				if n.OpPos == pos {
					return n.Pos(), n.End()
				}
			case *ast.IndexExpr:
				if n.Lbrack == pos {
					return n.Pos(), n.End()
				}
			case ast.Expr:
				if n.Pos() == pos {
					start, end = n.Pos(), n.End()
				}
			}
		}
	}
	return start, end
}

func (c *cell) roots() []ast.Node {
	var out []ast.Node
	for _, f := range c.funcs {
		out = append(out, f)
	}
	for _, s := range c.stmts {
		out = append(out, s)
	}
	return out
}
