package gocell

import (
	"go/ast"
	"go/types"
	"slices"
	"strings"

	"golang.org/x/tools/go/ast/astutil"
)

// taker finds calls whose trailing error the code does not take, and wraps each
// into a function that stops the cell with that error:
//
//	x := f()        x := must(f())
//	g(f().M())      g(must(f()).M())
//	f()             must(f())
//
// It needs the types of a check that went on after errors. A call that the
// language accepts as it stands is left alone, except one that stands as a
// statement and would drop its error.
type taker struct {
	info    *types.Info
	musts   []must
	changed bool
	path    []ast.Node // from the root to the node being visited, without it
}

// take rewrites below a node and says whether it changed anything.
func take(root ast.Node, info *types.Info, musts *[]must) bool {
	t := &taker{info: info}
	astutil.Apply(root, func(c *astutil.Cursor) bool {
		t.path = append(t.path, c.Node())
		return true
	}, func(c *astutil.Cursor) bool {
		t.path = t.path[:len(t.path)-1]
		t.visit(c)
		return true
	})
	*musts = append(*musts, t.musts...)
	return t.changed
}

func (t *taker) visit(c *astutil.Cursor) {
	switch n := c.Node().(type) {
	case *ast.ReturnStmt:
		t.showStatement(c, n)
	case *ast.CallExpr:
		if values := t.untaken(n); values >= 0 {
			c.Replace(t.wrap(n, values))
		}
	}
}

func (t *taker) wrap(call *ast.CallExpr, values int) *ast.CallExpr {
	m, wrapped := wrap(call, values)
	t.musts = append(t.musts, m)
	t.changed = true
	return wrapped
}

// isHelper says whether a call is to a function of the session's own.
func isHelper(e ast.Expr, prefix string) bool {
	call, ok := e.(*ast.CallExpr)
	if !ok {
		return false
	}
	id, ok := call.Fun.(*ast.Ident)
	return ok && strings.HasPrefix(id.Name, prefix)
}

// trailing returns how many values a call gives before a trailing error, or -1
// when it has no trailing error.
func (t *taker) trailing(call *ast.CallExpr) int {
	tv, ok := t.info.Types[call]
	if !ok || tv.Type == nil {
		return -1
	}
	if tuple, ok := tv.Type.(*types.Tuple); ok {
		n := tuple.Len()
		if n > 0 && n-1 <= maxMust && isError(tuple.At(n-1).Type()) {
			return n - 1
		}
		return -1
	}
	if tv.IsValue() && isError(tv.Type) && !t.info.Types[call.Fun].IsType() {
		return 0
	}
	return -1
}

func isError(t types.Type) bool {
	return types.Identical(t, types.Universe.Lookup("error").Type())
}

// untaken returns the number of values before the error that a call drops or
// that is in the way of its use, or -1.
func (t *taker) untaken(call *ast.CallExpr) int {
	values := t.trailing(call)
	if values < 0 || isHelper(call, mustFunc) {
		return -1
	}
	parent, child := t.context(call)
	if yes := t.wants(parent, child, call, values); yes {
		return values
	}
	return -1
}

// context returns the node around an expression, and the expression in it;
// parentheses don't count.
func (t *taker) context(e ast.Expr) (parent ast.Node, child ast.Node) {
	child = e
	for _, n := range slices.Backward(t.path) {
		if p, ok := n.(*ast.ParenExpr); ok {
			child = p
			continue
		}
		return n, child
	}
	return nil, child
}

func (t *taker) wants(parent, child ast.Node, call *ast.CallExpr, values int) bool {
	switch p := parent.(type) {
	case *ast.ExprStmt:
		return !t.printing(call)
	case *ast.GoStmt, *ast.DeferStmt:
		return false
	case *ast.AssignStmt:
		if len(p.Rhs) == 1 {
			// err := f() is a slip, not a wish for f's value.
			return values == len(p.Lhs) && values > 0 && !(values == 1 && isNamed(p.Lhs[0], "err"))
		}
	case *ast.ValueSpec:
		if len(p.Values) == 1 {
			return values == len(p.Names) && values > 0
		}
	case *ast.ReturnStmt:
		if len(p.Results) == 1 {
			return values > 0 && values == t.results()
		}
	case *ast.CallExpr:
		if p.Fun == child {
			return values == 1
		}
		if len(p.Args) == 1 {
			return t.argument(p, call, values)
		}
	}
	return values == 1
}

func isNamed(e ast.Expr, name string) bool {
	id, ok := e.(*ast.Ident)
	return ok && id.Name == name
}

// results counts the results of the function around the node being visited.
func (t *taker) results() int {
	for _, n := range slices.Backward(t.path) {
		switch n := n.(type) {
		case *ast.FuncLit:
			return n.Type.Results.NumFields()
		case *ast.FuncDecl:
			return n.Type.Results.NumFields()
		}
	}
	return -1
}

// argument decides about f(g()), where g's results are f's arguments.
func (t *taker) argument(outer, inner *ast.CallExpr, values int) bool {
	if values == 0 {
		return false // f(errors.New("x")) takes the error
	}
	if outer.Ellipsis.IsValid() {
		return values == 1
	}
	if isHelper(outer, showFunc) {
		return !t.printing(inner)
	}
	fun := t.info.Types[outer.Fun]
	if fun.IsType() || fun.IsBuiltin() {
		return values == 1
	}
	if fun.Type == nil {
		return false
	}
	sig, ok := fun.Type.Underlying().(*types.Signature)
	if !ok {
		return false
	}
	if fits(sig, values+1) && t.takesError(sig, values) {
		return false
	}
	return fits(sig, values)
}

func fits(sig *types.Signature, n int) bool {
	if sig.Variadic() {
		return n >= sig.Params().Len()-1
	}
	return n == sig.Params().Len()
}

// takesError says whether the parameter for argument i can be an error.
func (t *taker) takesError(sig *types.Signature, i int) bool {
	last := sig.Params().Len() - 1
	var typ types.Type
	switch {
	case sig.Variadic() && i >= last:
		typ = sig.Params().At(last).Type().(*types.Slice).Elem()
	default:
		typ = sig.Params().At(i).Type()
	}
	if _, open := typ.(*types.TypeParam); open {
		return true
	}
	return types.AssignableTo(types.Universe.Lookup("error").Type(), typ)
}

// printing says whether a call is to one of fmt's printing functions, whose
// count and error nobody looks at.
func (t *taker) printing(call *ast.CallExpr) bool {
	var id *ast.Ident
	switch f := call.Fun.(type) {
	case *ast.SelectorExpr:
		id = f.Sel
	case *ast.Ident:
		id = f
	default:
		return false
	}
	f, ok := t.info.Uses[id].(*types.Func)
	if !ok || f.Pkg() == nil || f.Pkg().Path() != "fmt" {
		return false
	}
	return strings.HasPrefix(f.Name(), "Print") || strings.HasPrefix(f.Name(), "Fprint")
}

// showStatement makes a statement of a last expression that has no value to be
// shown: a call without results, one that only can fail, one that prints.
func (t *taker) showStatement(c *astutil.Cursor, ret *ast.ReturnStmt) {
	if len(ret.Results) != 1 || !isHelper(ret.Results[0], showFunc) {
		return
	}
	x := ret.Results[0].(*ast.CallExpr).Args[0]
	call, ok := ast.Unparen(x).(*ast.CallExpr)
	if !ok || isHelper(call, mustFunc) {
		return
	}
	silent := t.info.Types[call].IsVoid() || t.printing(call)
	if values := t.trailing(call); values == 0 {
		call, silent = t.wrap(call, 0), true
	}
	if silent {
		t.changed = true
		c.InsertBefore(&ast.ExprStmt{X: call})
		ret.Results[0] = &ast.Ident{NamePos: ret.Pos(), Name: "nil"}
	}
}

// giveBack undoes take.
func giveBack(root ast.Node) {
	astutil.Apply(root, nil, func(c *astutil.Cursor) bool {
		if call, ok := c.Node().(*ast.CallExpr); ok && isHelper(call, mustFunc) {
			c.Replace(call.Args[0])
		}
		return true
	})
}
