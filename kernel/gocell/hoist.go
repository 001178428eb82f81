package gocell

import (
	"go/ast"
	"go/token"
	"go/types"
	"slices"
	"strconv"
)

// Names that no cell can write. The middle dot is no letter of Go.
const (
	cellFunc    = "cell·" // followed by the number of the cell
	showFunc    = "show·" // takes the values of the last expression
	mustFunc    = "must·" // followed by the number of values before the error
	stopPackage = "stop·"
	typePackage = "type·"
	dotPackage  = "dot·"
)

// A plan is a cell whose declarations have been separated from what it does.
type plan struct {
	cell  *cell
	units []*unit    // constants, types, functions, imports
	stmts []ast.Stmt // the rest, in order, with variables still declared in place
	inits []ast.Stmt // calls of functions init
}

// hoist separates declarations from statements. Variables stay: where they are
// declared matters, and their types are not known yet.
func hoist(c *cell) (*plan, *Error) {
	p := &plan{cell: c}
	for _, spec := range c.imports {
		if u := importUnitOf(c, spec); u != nil {
			p.units = append(p.units, u)
		}
	}
	for _, f := range c.funcs {
		if f.Name.Name == "init" && f.Recv == nil && f.Body != nil {
			p.inits = append(p.inits, runInPlace(f))
			continue
		}
		p.units = append(p.units, funcUnitOf(c, f))
	}
	for _, s := range p.inOrder() {
		p.statement(s)
	}
	if ret := strayReturn(p.stmts); ret != nil {
		e := newError(Syntax)
		e.add(c.problem(ret.Pos(), ret.End(), "return stands outside a function; the last expression of a cell is shown without it"))
		return nil, e
	}
	return p, nil
}

// inOrder lists the statements of the cell with what its init functions do. In a
// file those come last; otherwise they stand where they are written.
func (p *plan) inOrder() []ast.Stmt {
	if p.isFile() {
		return p.cell.stmts
	}
	stmts := append(slices.Clone(p.cell.stmts), p.inits...)
	slices.SortStableFunc(stmts, func(a, b ast.Stmt) int { return p.cell.compare(a.Pos(), b.Pos()) })
	return stmts
}

// runInPlace makes a statement of a function init: it runs once, where it stands.
func runInPlace(f *ast.FuncDecl) ast.Stmt {
	call := &ast.CallExpr{Fun: &ast.FuncLit{Type: f.Type, Body: f.Body}, Lparen: f.Body.Rbrace, Rparen: f.Body.Rbrace}
	return &ast.ExprStmt{X: call}
}

func (p *plan) statement(s ast.Stmt) {
	switch s := s.(type) {
	case *ast.EmptyStmt:
		return
	case *ast.LabeledStmt:
		if declares(s.Stmt) {
			// The label stays in front of what the declaration does.
			empty := &ast.EmptyStmt{Semicolon: s.Stmt.Pos(), Implicit: true}
			p.stmts = append(p.stmts, &ast.LabeledStmt{Label: s.Label, Colon: s.Colon, Stmt: empty})
			p.statement(s.Stmt)
			return
		}
	case *ast.DeclStmt:
		d := s.Decl.(*ast.GenDecl)
		switch d.Tok {
		case token.TYPE:
			for _, spec := range d.Specs {
				t := spec.(*ast.TypeSpec)
				one := &ast.GenDecl{Doc: d.Doc, TokPos: t.Pos(), Tok: token.TYPE, Specs: []ast.Spec{t}}
				p.units = append(p.units, &unit{kind: typeUnit, names: []string{t.Name.Name}, cell: p.cell, node: t, decl: one})
			}
			return
		case token.CONST:
			u := &unit{kind: constUnit, cell: p.cell, node: d, decl: d}
			for _, spec := range d.Specs {
				for _, id := range spec.(*ast.ValueSpec).Names {
					if id.Name != "_" {
						u.names = append(u.names, id.Name)
					}
				}
			}
			p.units = append(p.units, u)
			return
		}
	}
	p.stmts = append(p.stmts, s)
}

func declares(s ast.Stmt) bool {
	switch s := s.(type) {
	case *ast.DeclStmt:
		return true
	case *ast.AssignStmt:
		return s.Tok == token.DEFINE
	case *ast.LabeledStmt:
		return declares(s.Stmt)
	}
	return false
}

func importUnitOf(c *cell, spec *ast.ImportSpec) *unit {
	path, err := strconv.Unquote(spec.Path.Value)
	if err != nil {
		path = spec.Path.Value
	}
	u := &unit{kind: importUnit, cell: c, node: spec, path: path}
	switch {
	case spec.Name == nil:
		// The package's own name is filled in when the package is known.
	case spec.Name.Name == ".":
		u.names = []string{". " + path}
	case spec.Name.Name == "_":
		u.names = []string{"_ " + path}
	default:
		u.names = []string{spec.Name.Name}
	}
	return u
}

func funcUnitOf(c *cell, f *ast.FuncDecl) *unit {
	bare := *f
	bare.Body = nil
	if f.Type.TypeParams != nil || f.Recv != nil && f.Body != nil {
		// A generic function must have a body; this one needs no result.
		at := f.End() - 1
		bare.Body = &ast.BlockStmt{Lbrace: at, Rbrace: at, List: []ast.Stmt{
			&ast.ForStmt{For: at, Body: &ast.BlockStmt{Lbrace: at, Rbrace: at}},
		}}
	}
	u := &unit{kind: funcUnit, names: []string{f.Name.Name}, cell: c, node: f, decl: f, signature: &bare}
	if f.Recv != nil {
		u.kind = methodUnit
		u.names = []string{receiverName(f) + "." + f.Name.Name}
	}
	if f.Name.Name == "_" {
		u.names = nil
	}
	return u
}

func receiverName(f *ast.FuncDecl) string {
	if len(f.Recv.List) == 0 {
		return ""
	}
	t := f.Recv.List[0].Type
	for {
		switch x := t.(type) {
		case *ast.StarExpr:
			t = x.X
		case *ast.ParenExpr:
			t = x.X
		case *ast.IndexExpr:
			t = x.X
		case *ast.IndexListExpr:
			t = x.X
		case *ast.Ident:
			return x.Name
		default:
			return ""
		}
	}
}

// strayReturn finds a return that belongs to no function of the cell.
func strayReturn(stmts []ast.Stmt) (found *ast.ReturnStmt) {
	for _, s := range stmts {
		ast.Inspect(s, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.FuncLit:
				return false
			case *ast.ReturnStmt:
				found = n
			}
			return found == nil
		})
	}
	return found
}

// declared returns the variables that the cell declares at its top level, each
// by its first identifier, with the index of the statement that declares it.
func (p *plan) declared() (ids []*ast.Ident, at map[string]int) {
	at = map[string]int{}
	note := func(e ast.Expr, i int) {
		id, ok := e.(*ast.Ident)
		if !ok || id.Name == "_" {
			return
		}
		if _, seen := at[id.Name]; !seen {
			at[id.Name] = i
			ids = append(ids, id)
		}
	}
	for i, s := range p.stmts {
		switch s := s.(type) {
		case *ast.AssignStmt:
			if s.Tok == token.DEFINE {
				for _, e := range s.Lhs {
					note(e, i)
				}
			}
		case *ast.DeclStmt:
			for _, spec := range s.Decl.(*ast.GenDecl).Specs {
				for _, id := range spec.(*ast.ValueSpec).Names {
					note(id, i)
				}
			}
		}
	}
	return ids, at
}

// function makes the cell's function of its statements; the value of a last
// expression is returned through show.
func (p *plan) function(stmts []ast.Stmt) *ast.FuncDecl {
	body := &ast.BlockStmt{List: make([]ast.Stmt, 0, len(stmts)+1)}
	body.List = append(body.List, stmts...)
	var result ast.Expr = ast.NewIdent("nil")
	var end token.Pos
	if n := len(stmts); n > 0 {
		body.Lbrace, body.Rbrace = stmts[0].Pos(), stmts[n-1].End()
		end = body.Rbrace
		if last, ok := stmts[n-1].(*ast.ExprStmt); ok {
			x := last.X
			result = &ast.CallExpr{Fun: &ast.Ident{NamePos: x.Pos(), Name: showFunc}, Lparen: x.Pos(), Args: []ast.Expr{x}, Rparen: x.End()}
			body.List = body.List[:n-1]
			end = x.Pos()
		}
	}
	body.List = append(body.List, &ast.ReturnStmt{Return: end, Results: []ast.Expr{result}})
	return &ast.FuncDecl{
		Name: &ast.Ident{NamePos: body.Lbrace, Name: cellFunc},
		Type: &ast.FuncType{Params: &ast.FieldList{}, Results: &ast.FieldList{List: []*ast.Field{
			{Type: &ast.ArrayType{Elt: predeclared("Any")}},
		}}},
		Body: body,
	}
}

// lifted returns the statements with every top-level declaration of a variable
// turned into an assignment, and for each statement the index of the one of the
// plan that it came from.
func (p *plan) lifted() (out []ast.Stmt, from []int) {
	for i, s := range p.stmts {
		switch s := s.(type) {
		case *ast.AssignStmt:
			if s.Tok == token.DEFINE {
				assign := *s
				assign.Tok = token.ASSIGN
				out = append(out, &assign)
				break
			}
			out = append(out, s)
		case *ast.DeclStmt:
			for _, spec := range s.Decl.(*ast.GenDecl).Specs {
				out = append(out, assignments(spec.(*ast.ValueSpec))...)
			}
		default:
			out = append(out, s)
		}
		for len(from) < len(out) {
			from = append(from, i)
		}
	}
	return out, from
}

// assignments does at run time what "var a, b T = x, y" does.
func assignments(spec *ast.ValueSpec) []ast.Stmt {
	names := make([]ast.Expr, len(spec.Names))
	for i, id := range spec.Names {
		names[i] = id
	}
	if len(spec.Values) > 0 {
		values := spec.Values
		if spec.Type != nil && len(values) == len(names) {
			values = make([]ast.Expr, len(spec.Values))
			for i, v := range spec.Values {
				values[i] = v
				if spec.Names[i].Name == "_" { // the type is not known from the left side
					values[i] = &ast.CallExpr{Fun: &ast.ParenExpr{Lparen: v.Pos(), X: spec.Type, Rparen: v.Pos()}, Lparen: v.Pos(), Args: []ast.Expr{v}, Rparen: v.End()}
				}
			}
		}
		return []ast.Stmt{&ast.AssignStmt{Lhs: names, TokPos: spec.Pos(), Tok: token.ASSIGN, Rhs: values}}
	}
	var out []ast.Stmt
	for _, name := range names {
		// A variable declared without a value is zero, also when its cell is run again.
		zero := &ast.StarExpr{Star: name.Pos(), X: &ast.CallExpr{
			Fun: &ast.Ident{NamePos: name.Pos(), Name: "new"}, Lparen: name.Pos(), Args: []ast.Expr{spec.Type}, Rparen: name.End()}}
		out = append(out, &ast.AssignStmt{Lhs: []ast.Expr{name}, TokPos: name.Pos(), Tok: token.ASSIGN, Rhs: []ast.Expr{zero}})
	}
	return out
}

// variable makes the unit of a variable of a known type.
func variable(c *cell, id *ast.Ident, s *speller, t types.Type) (*unit, error) {
	typ, err := s.spell(t, id.Pos())
	if err != nil {
		return nil, err
	}
	name := &ast.Ident{NamePos: id.NamePos, Name: id.Name}
	decl := &ast.GenDecl{TokPos: id.Pos(), Tok: token.VAR, Specs: []ast.Spec{
		&ast.ValueSpec{Names: []*ast.Ident{name}, Type: typ},
	}}
	return &unit{kind: varUnit, names: []string{id.Name}, cell: c, node: name, decl: decl, leaves: s.leaves}, nil
}
