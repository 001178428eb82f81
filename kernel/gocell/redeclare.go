package gocell

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"maps"
	"slices"
	"strconv"
	"strings"
)

// An attempt makes the world that a new cell leads to. The world before it
// stays as it is.
type attempt struct {
	checker *checker
	old     *world
	world   *world
	part    *world // what of it must be checked
	whole   bool   // that is all of it
	plan    *plan
	fresh   map[*unit]bool // declared by the cell
	dirty   map[*unit]bool // functions whose bodies must be searched for untaken errors
	musts   []must         // of the cell's own statements
	decls   []ast.Decl     // the variables of a cell that is a Go file, while their types are found out
}

// begin lets the declarations of a plan, without its variables, into a copy of
// the world.
func begin(c *checker, old *world, pl *plan) *attempt {
	a := &attempt{checker: c, old: old, world: old.clone(), plan: pl, fresh: map[*unit]bool{}, dirty: map[*unit]bool{}}
	for u := range old.faults {
		a.dirty[u] = true // it may fit again
	}
	a.world.faults = map[*unit]*fault{}
	a.whole = len(old.faults) > 0
	a.admit(pl.units)
	return a
}

// admit lets new declarations in.
func (a *attempt) admit(units []*unit) {
	for _, u := range units {
		a.fresh[u], a.dirty[u] = true, true
	}
	a.world.add(units...)
	a.narrow()
}

// narrow finds the part of the world that must be checked with the cell: what
// it can reach, or everything when it changes what older code means.
func (a *attempt) narrow() {
	if a.whole {
		a.part = a.world
		return
	}
	names := map[string]bool{}
	for u := range a.fresh {
		for _, n := range u.names {
			names[n] = true
		}
		maps.Copy(names, u.mentions())
		if f, ok := u.decl.(*ast.FuncDecl); ok && f.Recv != nil {
			names[receiverName(f)] = true
		}
	}
	for _, s := range a.plan.stmts {
		collect(s, names)
	}
	a.part = a.world.reached(names)
}

// reconsider makes every function be searched anew for untaken errors, because
// what it uses may mean something else now.
func (a *attempt) reconsider() {
	a.whole = true
	a.narrow()
	for _, u := range a.world.units {
		if u.signature != nil && !a.fresh[u] {
			if u.musts != nil {
				giveBack(u.decl)
				u.musts = nil
			}
			a.dirty[u] = true
		}
	}
}

// shadows says whether a cell's new names hide what earlier code could mean by
// them: a name used without import, or one that Go predeclares.
func (a *attempt) shadows(units []*unit) bool {
	for _, u := range units {
		for _, name := range u.names {
			if types.Universe.Lookup(name) != nil || strings.HasPrefix(name, ". ") {
				return true
			}
			if dot := a.checker.packages.dot; dot != nil && dot.Scope().Lookup(name) != nil {
				return true
			}
		}
	}
	return false
}

// settle checks, takes errors that the code does not take, sets aside older
// declarations that no longer fit, and checks again until nothing changes. What
// errors are left are the cell's own.
func (a *attempt) settle(cell *ast.FuncDecl, d depth) (*checked, error) {
	bare := func(u *unit) bool { return d == signatures || d == freshBodies && !a.fresh[u] }
	for {
		own := a.decls
		if cell != nil {
			own = append(slices.Clone(own), cell)
		}
		c, err := a.checker.check(a.world, a.part, own, a.musts, bare)
		if err != nil {
			return nil, err
		}
		again := false
		for _, d := range own {
			again = take(d, c.info, &a.musts) || again
		}
		for _, u := range a.part.units {
			if a.dirty[u] && u.signature != nil && a.world.faults[u] == nil && !bare(u) {
				again = take(u.decl, c.info, &u.musts) || again
			}
		}
		if !again && !a.setAside(c) {
			return c, nil
		}
	}
}

// setAside marks the older declarations in which there are errors.
func (a *attempt) setAside(c *checked) bool {
	found := false
	for _, e := range c.errs {
		_, start, end := faultOf(e)
		u := a.world.owner(start)
		if u == nil || a.fresh[u] || a.world.faults[u] != nil {
			continue
		}
		f := &fault{err: u.cell.problem(start, end, plain(e.Msg))}
		if d, ok := u.decl.(*ast.FuncDecl); ok && d.Body != nil && d.Body.Pos() <= start {
			f.stub = stub(d, u.noLongerFits(f))
		}
		a.world.faults[u] = f
		found = true
	}
	return found
}

// noLongerFits words a fault for the designer.
func (u *unit) noLongerFits(f *fault) string {
	message, _, _ := strings.Cut(f.err.Message, "\n")
	return fmt.Sprintf("%s (%s, line %d) no longer fits: %s",
		strings.Join(u.names, ", "), u.cell.name(), f.err.Line, message)
}

// stub is a function that stops with a message.
func stub(d *ast.FuncDecl, message string) *ast.FuncDecl {
	out := *d
	at := d.Body.Pos()
	call := &ast.CallExpr{
		Fun:    &ast.SelectorExpr{X: &ast.Ident{NamePos: at, Name: stopPackage}, Sel: &ast.Ident{NamePos: at, Name: "Unfit"}},
		Lparen: at, Rparen: at,
		Args: []ast.Expr{&ast.BasicLit{ValuePos: at, Kind: token.STRING, Value: strconv.Quote(message)}},
	}
	out.Body = &ast.BlockStmt{Lbrace: at, Rbrace: at, List: []ast.Stmt{
		&ast.ExprStmt{X: call},
		&ast.ForStmt{For: at, Body: &ast.BlockStmt{Lbrace: at, Rbrace: at}}, // never reached; it needs no result
	}}
	return &out
}

// newlyUnfit lists, in words, what this cell has made unfit.
func (a *attempt) newlyUnfit() []string {
	var out []string
	for _, u := range a.world.units {
		if f := a.world.faults[u]; f != nil && a.old.faults[u] == nil {
			out = append(out, u.noLongerFits(f))
		}
	}
	return out
}

// variables makes units of the variables that the cell declares, from a check
// of its statements as they stand.
func (a *attempt) variables(c *checked, ids []*ast.Ident, next *int) ([]*unit, *Error) {
	e := newError(Type)
	var units []*unit
	for _, id := range ids {
		obj := c.info.Defs[id]
		if obj == nil {
			continue
		}
		u, err := variable(a.plan.cell, id, &speller{pkg: c.pkg, next: next, prefix: "T"}, obj.Type())
		if err != nil {
			e.add(a.plan.cell.problem(id.Pos(), id.End(), err.Error()))
			continue
		}
		units = append(units, u)
	}
	for _, p := range a.stale(c, ids) {
		e.add(p)
	}
	if len(e.Positions) > 0 {
		return nil, e
	}
	return units, nil
}

// stale finds uses of an older declaration that the cell replaces by a variable
// of another type further down: both can't be kept under one name.
func (a *attempt) stale(c *checked, ids []*ast.Ident) []problem {
	declared := map[string]types.Object{}
	for _, id := range ids {
		declared[id.Name] = c.info.Defs[id]
	}
	var out []problem
	for id, obj := range c.info.Uses {
		now := declared[id.Name]
		if now == nil || obj.Parent() != c.pkg.Scope() || !a.plan.cell.holds(id.Pos()) || a.inDeclaration(id.Pos()) {
			continue
		}
		if _, ok := obj.(*types.Var); ok && types.Identical(obj.Type(), now.Type()) {
			continue
		}
		out = append(out, a.plan.cell.problem(id.Pos(), id.End(), fmt.Sprintf(
			"this %s is the earlier one, which the cell declares anew as %s; give one of them another name",
			id.Name, types.TypeString(now.Type(), types.RelativeTo(c.pkg)))))
	}
	slices.SortFunc(out, func(p, q problem) int { return int(p.pos - q.pos) })
	return out
}

func (a *attempt) inDeclaration(pos token.Pos) bool {
	u := a.world.owner(pos)
	return u != nil && a.fresh[u]
}

// sameVariables says whether the variables replace older ones of the same type.
func sameVariables(c *checked, ids []*ast.Ident) bool {
	for _, id := range ids {
		older := c.pkg.Scope().Lookup(id.Name)
		if older == nil {
			continue
		}
		now := c.info.Defs[id]
		if _, ok := older.(*types.Var); !ok || now == nil || !types.Identical(older.Type(), now.Type()) {
			return false
		}
	}
	return true
}
