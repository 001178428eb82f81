package gocell

import (
	"go/ast"
	"go/token"
	"go/types"
)

// A cell that begins with a package clause is a Go file: its variables are
// initialised in the order in which they depend on each other, not in the order
// in which they are written.

// initialise finds out the types of a file's variables and replaces the plan's
// declarations by assignments in the order of initialisation.
func (s *Session) initialise(a *attempt) (*checked, *Error, error) {
	if len(a.plan.stmts) == 0 {
		a.plan.stmts = a.plan.inits
		return &checked{info: newInfo()}, nil, nil
	}
	for _, stmt := range a.plan.stmts {
		a.decls = append(a.decls, stmt.(*ast.DeclStmt).Decl)
	}
	c, err := a.settle(nil, freshBodies)
	a.decls = nil
	if err != nil {
		return nil, nil, err
	}
	if e := s.explain(a, c); e != nil {
		return nil, e, nil
	}
	var stmts []ast.Stmt
	for _, stmt := range a.plan.stmts {
		for _, spec := range stmt.(*ast.DeclStmt).Decl.(*ast.GenDecl).Specs {
			if spec := spec.(*ast.ValueSpec); len(spec.Values) == 0 {
				stmts = append(stmts, assignments(spec)...)
			}
		}
	}
	for _, init := range c.info.InitOrder {
		if a.plan.cell.holds(init.Rhs.Pos()) {
			stmts = append(stmts, initialisation(init, a.plan.stmts))
		}
	}
	a.plan.stmts = append(stmts, a.plan.inits...)
	return c, nil, nil
}

// initialisation assigns the value of an initialiser.
func initialisation(init *types.Initializer, decls []ast.Stmt) ast.Stmt {
	spec := specOf(init.Rhs, decls)
	var lhs []ast.Expr
	for _, v := range init.Lhs {
		lhs = append(lhs, &ast.Ident{NamePos: v.Pos(), Name: v.Name()})
	}
	rhs := init.Rhs
	if spec != nil && spec.Type != nil && len(lhs) == 1 && init.Lhs[0].Name() == "_" {
		rhs = &ast.CallExpr{Fun: &ast.ParenExpr{Lparen: rhs.Pos(), X: spec.Type, Rparen: rhs.Pos()}, Lparen: rhs.Pos(), Args: []ast.Expr{rhs}, Rparen: rhs.End()}
	}
	return &ast.AssignStmt{Lhs: lhs, TokPos: init.Rhs.Pos(), Tok: token.ASSIGN, Rhs: []ast.Expr{rhs}}
}

func specOf(value ast.Expr, decls []ast.Stmt) *ast.ValueSpec {
	for _, stmt := range decls {
		for _, spec := range stmt.(*ast.DeclStmt).Decl.(*ast.GenDecl).Specs {
			spec := spec.(*ast.ValueSpec)
			for _, v := range spec.Values {
				if v == value {
					return spec
				}
			}
		}
	}
	return nil
}

// isFile says whether a cell is a Go file without statements of its own.
func (p *plan) isFile() bool {
	for _, stmt := range p.cell.stmts {
		switch stmt.(type) {
		case *ast.DeclStmt, *ast.EmptyStmt:
		default:
			return false
		}
	}
	return p.cell.file
}
