package gocell

import (
	"go/ast"
	"go/token"
	"go/types"
	"strconv"

	"patternkit/kernel/gocell/exec"
)

// maxMust is the largest number of values before an error that can be taken.
const maxMust = 8

// A must is one call whose trailing error the session takes, with the function
// that takes it:
//
//	func must·1·2345[T0 any](v0 T0, err error) T0 {
//		if err != nil {
//			stop·.At(err, 2345)
//		}
//		return v0
//	}
//
// Each call has its own function, because only that can tell the place of a
// call whose caller is compiled code.
type must struct {
	decl *ast.FuncDecl
}

// wrap makes the must of a call that gives some values before its error, and
// the call that replaces it.
func wrap(call *ast.CallExpr, values int) (must, *ast.CallExpr) {
	name := mustFunc + strconv.Itoa(values) + "·" + strconv.Itoa(int(call.Lparen))
	return must{mustDecl(name, values, call.Lparen)}, &ast.CallExpr{
		Fun:    &ast.Ident{NamePos: call.Pos(), Name: name},
		Lparen: call.Lparen, // where a traceback points to
		Args:   []ast.Expr{call},
		Rparen: call.Rparen,
	}
}

func mustDecl(name string, values int, site token.Pos) *ast.FuncDecl {
	var (
		types    = &ast.Field{Type: predeclared("Any")}
		params   ast.FieldList
		results  ast.FieldList
		returned []ast.Expr
	)
	for i := range values {
		t, v := "T"+strconv.Itoa(i), "v"+strconv.Itoa(i)
		types.Names = append(types.Names, ast.NewIdent(t))
		params.List = append(params.List, &ast.Field{Names: []*ast.Ident{ast.NewIdent(v)}, Type: ast.NewIdent(t)})
		results.List = append(results.List, &ast.Field{Type: ast.NewIdent(t)})
		returned = append(returned, ast.NewIdent(v))
	}
	var err ast.Expr = ast.NewIdent("err")
	errType := predeclared("Error")
	if values == 0 {
		// Generic too: the executor keeps an instance only while it is used, but
		// the name of a plain function for ever.
		types.Names, types.Type = []*ast.Ident{ast.NewIdent("E")}, predeclared("Error")
		errType = ast.NewIdent("E")
		err = &ast.CallExpr{Fun: predeclared("Error"), Args: []ast.Expr{err}}
	}
	params.List = append(params.List, &ast.Field{Names: []*ast.Ident{ast.NewIdent("err")}, Type: errType})
	stop := &ast.ExprStmt{X: &ast.CallExpr{
		Fun:  &ast.SelectorExpr{X: ast.NewIdent(stopPackage), Sel: ast.NewIdent("At")},
		Args: []ast.Expr{ast.NewIdent("err"), &ast.BasicLit{Kind: token.INT, Value: strconv.Itoa(int(site))}},
	}}
	return &ast.FuncDecl{
		Name: ast.NewIdent(name),
		Type: &ast.FuncType{TypeParams: &ast.FieldList{List: []*ast.Field{types}}, Params: &params, Results: &results},
		Body: &ast.BlockStmt{List: []ast.Stmt{
			&ast.IfStmt{
				Cond: &ast.BinaryExpr{X: err, Op: token.NEQ, Y: ast.NewIdent("nil")},
				Body: &ast.BlockStmt{List: []ast.Stmt{stop}},
			},
			&ast.ReturnStmt{Results: returned},
		}},
	}
}

// showDecl makes the function that takes the values of a last expression:
//
//	func show·(values ...any) []any { return values }
func showDecl() *ast.FuncDecl {
	return &ast.FuncDecl{
		Name: ast.NewIdent(showFunc),
		Type: &ast.FuncType{
			Params: &ast.FieldList{List: []*ast.Field{{
				Names: []*ast.Ident{ast.NewIdent("values")}, Type: &ast.Ellipsis{Elt: predeclared("Any")},
			}}},
			Results: &ast.FieldList{List: []*ast.Field{{Type: &ast.ArrayType{Elt: predeclared("Any")}}}},
		},
		Body: &ast.BlockStmt{List: []ast.Stmt{&ast.ReturnStmt{Results: []ast.Expr{ast.NewIdent("values")}}}},
	}
}

// predeclared refers to any or error, whatever a cell has declared by that name.
func predeclared(name string) ast.Expr {
	return &ast.SelectorExpr{X: ast.NewIdent(typePackage), Sel: ast.NewIdent(name)}
}

// predeclaredTypes are what those names stand for.
func predeclaredTypes() []*types.TypeName {
	return []*types.TypeName{
		types.NewTypeName(token.NoPos, nil, "Any", types.Universe.Lookup("any").Type()),
		types.NewTypeName(token.NoPos, nil, "Error", types.Universe.Lookup("error").Type()),
	}
}

// A takenError is an error that stops a cell, with the place of the call that
// returned it.
type takenError struct {
	err  error
	site token.Pos
}

func (e *takenError) Error() string { return e.err.Error() }
func (e *takenError) Unwrap() error { return e.err }

func stopAt(err error, site int) { exec.Stop(&takenError{err, token.Pos(site)}) }

// An unfitError is what calling a function gives that no longer fits the
// declarations it uses.
type unfitError struct{ message string }

func (e *unfitError) Error() string { return e.message }

func stopUnfit(message string) { exec.Stop(&unfitError{message}) }

// stopFunctions is what the code of a cell calls to stop it.
var stopFunctions = map[string]any{"At": stopAt, "Unfit": stopUnfit}

// newStopPackage describes them to the type checker.
func newStopPackage() *types.Package {
	p := types.NewPackage(stopPackage, stopPackage)
	declare := func(name string, params ...types.Type) {
		var vars []*types.Var
		for _, t := range params {
			vars = append(vars, types.NewParam(token.NoPos, p, "", t))
		}
		sig := types.NewSignatureType(nil, nil, nil, types.NewTuple(vars...), nil, false)
		p.Scope().Insert(types.NewFunc(token.NoPos, p, name, sig))
	}
	declare("At", types.Universe.Lookup("error").Type(), types.Typ[types.Int])
	declare("Unfit", types.Typ[types.String])
	p.MarkComplete()
	return p
}
