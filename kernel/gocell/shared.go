package gocell

import (
	"go/ast"
	"go/token"
	"go/types"
)

// sharedWrites finds the variables of compiled packages that a cell sets, in
// whole or in part, or takes the address of, which would let it set them later.
func sharedWrites(c *checked) []*ast.Ident {
	var out []*ast.Ident
	refuse := func(targets ...ast.Expr) {
		for _, x := range targets {
			if id := sharedVar(c, x); id != nil {
				out = append(out, id)
			}
		}
	}
	ast.Inspect(c.file, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.AssignStmt:
			if n.Tok != token.DEFINE {
				refuse(n.Lhs...)
			}
		case *ast.IncDecStmt:
			refuse(n.X)
		case *ast.RangeStmt:
			if n.Tok == token.ASSIGN {
				refuse(n.Key, n.Value)
			}
		case *ast.UnaryExpr:
			if n.Op == token.AND {
				refuse(n.X)
			}
		case *ast.SliceExpr:
			if _, ok := c.info.TypeOf(n.X).Underlying().(*types.Array); ok {
				refuse(n.X)
			}
		case *ast.CallExpr:
			if len(n.Args) > 0 && writesFirst(c, n.Fun) {
				refuse(n.Args[0])
			}
		}
		return true
	})
	return out
}

// writesFirst says whether fun is a builtin that writes what its first
// argument holds.
func writesFirst(c *checked, fun ast.Expr) bool {
	id, ok := ast.Unparen(fun).(*ast.Ident)
	if !ok {
		return false
	}
	b, ok := c.info.Uses[id].(*types.Builtin)
	return ok && (b.Name() == "clear" || b.Name() == "copy" || b.Name() == "delete")
}

// sharedVar is the name of the variable of a compiled package that x is, or
// that x is reached through by fields, indices and pointers; or nil.
func sharedVar(c *checked, x ast.Expr) *ast.Ident {
	for {
		switch e := x.(type) {
		case *ast.ParenExpr:
			x = e.X
		case *ast.IndexExpr:
			x = e.X
		case *ast.SliceExpr:
			x = e.X
		case *ast.StarExpr:
			x = e.X
		case *ast.SelectorExpr:
			if isShared(c, e.Sel) {
				return e.Sel
			}
			x = e.X
		case *ast.Ident:
			if isShared(c, e) {
				return e
			}
			return nil
		default:
			return nil
		}
	}
}

func isShared(c *checked, id *ast.Ident) bool {
	v, ok := c.info.Uses[id].(*types.Var)
	return ok && v.Pkg() != nil && v.Pkg() != c.pkg && v.Parent() == v.Pkg().Scope()
}
