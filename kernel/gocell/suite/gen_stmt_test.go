package suite_test

import (
	"fmt"
	"strings"
)

// declareVar writes a new variable and puts it in scope.
func (g *gen) declareVar(t *typ) variable {
	v := variable{g.name("v"), t, true}
	switch g.r.IntN(3) {
	case 0:
		g.line("var %s %s = %s", v.name, t.text, g.expr(t, 3))
	case 1:
		g.line("%s := %s", v.name, g.typed(t, g.expr(t, 3)))
	default:
		if t.kind == kPointer || t.kind == kInterface || t.kind == kFunc {
			g.line("var %s = %s", v.name, g.typed(t, g.expr(t, 2)))
		} else {
			g.line("var %s %s", v.name, t.text)
		}
	}
	g.line("_ = %s", v.name)
	g.vars = append(g.vars, v)
	return v
}

// typed keeps the type of a variable of an interface type.
func (g *gen) typed(t *typ, expr string) string {
	if t.kind == kInterface {
		return t.text + "(" + expr + ")"
	}
	return expr
}

// block writes statements in a scope of their own.
func (g *gen) block(n int) {
	vars := len(g.vars)
	g.indent++
	for range n {
		g.stmt()
	}
	g.indent--
	g.vars = g.vars[:vars]
}

func (g *gen) stmt() {
	if g.indent > 5 {
		g.assign()
		return
	}
	switch g.r.IntN(28) {
	case 0, 1, 2, 3:
		g.declareVar(g.anyType())
	case 4, 5, 6, 7:
		g.assign()
	case 8:
		g.ifStmt()
	case 9, 10:
		g.loop()
	case 11:
		g.switchStmt()
	case 12:
		g.typeSwitch()
	case 13, 14:
		g.callFunc()
	case 15:
		g.declareClosure()
	case 16, 17:
		g.sliceStmt()
	case 18:
		g.mapStmt()
	case 19, 20:
		g.methodCall()
	case 21:
		g.risky()
	case 22:
		g.swap()
	case 23:
		g.template()
	case 24:
		g.pointerStmt()
	default:
		g.print()
	}
}

// target picks a variable, or a part of one, that can be assigned to.
func (g *gen) target() (string, *typ, bool) {
	for range 10 {
		if len(g.vars) == 0 {
			break
		}
		v := pickOne(g, g.vars)
		switch {
		case !v.set || v.t.kind == kFunc:
		case v.t.kind == kStruct && g.chance(2):
			f := pickOne(g, v.t.fields)
			return v.name + "." + f.name, f.t, true
		case v.t.kind == kArray && g.chance(2):
			return fmt.Sprintf("%s[idx(%s, %d)]", v.name, g.expr(tInt, 1), v.t.n), v.t.elem, true
		default:
			return v.name, v.t, true
		}
	}
	return "", nil, false
}

func (g *gen) assign() {
	dst, t, ok := g.target()
	if !ok {
		g.declareVar(g.basic())
		return
	}
	switch {
	case t.integer() && g.chance(3):
		g.line("%s%s", dst, pickOne(g, []string{"++", "--"}))
	case t.integer() && g.chance(3):
		g.line("%s %s= (%s & 7)", dst, pickOne(g, []string{"<<", ">>"}), g.expr(tUint8, 1))
	case t.integer() && g.chance(3):
		g.line("%s %s= (%s | 1)", dst, pickOne(g, []string{"/", "%"}), g.expr(t, 2))
	case t.integer() && g.chance(2):
		g.line("%s %s= %s", dst, pickOne(g, []string{"+", "-", "*", "&", "|", "^", "&^"}), g.expr(t, 2))
	case t.numeric() && g.chance(2):
		g.line("%s %s= %s", dst, pickOne(g, []string{"+", "-", "*"}), g.expr(t, 2))
	default:
		g.line("%s = %s", dst, g.expr(t, 3))
	}
}

func (g *gen) ifStmt() {
	if g.chance(3) {
		v := variable{g.name("v"), g.basic(), true}
		g.line("if %s := %s; %s {", v.name, g.expr(v.t, 2), g.condition())
		g.vars = append(g.vars, v)
		g.line("\t_ = %s", v.name)
		g.block(1 + g.r.IntN(3))
		g.vars = g.vars[:len(g.vars)-1]
	} else {
		g.line("if %s {", g.condition())
		g.block(1 + g.r.IntN(3))
	}
	switch g.r.IntN(3) {
	case 0:
		g.line("} else if %s {", g.condition())
		g.block(1 + g.r.IntN(2))
	case 1:
		g.line("} else {")
		g.block(1 + g.r.IntN(2))
	}
	g.line("}")
}

// condition is parenthesised, so that it may hold composite literals.
func (g *gen) condition() string { return "(" + g.expr(tBool, 2) + ")" }

func (g *gen) loop() {
	label := ""
	if g.chance(4) {
		label = g.name("L")
		g.line("%s:", label)
	}
	i := variable{g.name("i"), tInt, false}
	vars := len(g.vars)
	loopVars := []variable{i}
	n := 1 + g.r.IntN(5)
	switch g.r.IntN(6) {
	case 0:
		g.line("for %s := 0; %s < %d; %s++ {", i.name, i.name, n, i.name)
	case 1:
		g.line("for %s := range %d {", i.name, n)
	case 2:
		e := variable{g.name("e"), g.basic(), true}
		g.line("for %s, %s := range %s {", i.name, e.name, g.expr(sliceOf(e.t), 3))
		loopVars = append(loopVars, e)
	case 3:
		e := variable{g.name("e"), basics[3], true} // int32 is rune
		g.line("for %s, %s := range %s {", i.name, e.name, g.expr(tString, 3))
		loopVars = append(loopVars, e)
	case 4:
		e := variable{g.name("e"), g.basic(), true}
		g.line("for %s, %s := range %s {", i.name, e.name, "("+g.expr(arrayOf(1+g.r.IntN(3), e.t), 3)+")")
		loopVars = append(loopVars, e)
	case 5:
		g.line("for %s := range count(%d) {", i.name, n)
	}
	g.line("\ttick()")
	g.vars = append(g.vars, loopVars...)
	for _, v := range loopVars {
		g.line("\t_ = %s", v.name)
	}
	g.block(1 + g.r.IntN(3))
	if label != "" || g.chance(4) {
		jump := pickOne(g, []string{"break", "continue"})
		g.line("\tif %s {", g.condition())
		g.line("\t\t%s %s", jump, label)
		g.line("\t}")
		g.block(1)
	}
	if g.chance(4) { // a closure over the variables of the loop
		g.line("\tkeep%[1]s = append(keep%[1]s, func() int { return %[2]s })", g.suffix, g.intOf(g.vars[len(g.vars)-1]))
	}
	g.line("}")
	g.vars = g.vars[:vars]
}

// intOf turns a variable of a basic type into an int.
func (g *gen) intOf(v variable) string {
	switch v.t.kind {
	case kInt, kUint:
		return "int(" + v.name + ")"
	case kFloat:
		return "int(small(float64(" + v.name + ")))"
	case kString:
		return "len(" + v.name + ")"
	}
	return fmt.Sprintf("len(fmt.Sprint(%s))", v.name)
}

func (g *gen) switchStmt() {
	switch g.r.IntN(3) {
	case 0:
		g.line("switch {")
		for range 1 + g.r.IntN(3) {
			g.line("case %s:", g.condition())
			g.block(1 + g.r.IntN(2))
			if g.chance(4) {
				g.line("\tfallthrough")
			}
		}
	case 1:
		g.line("switch %s %% 4 {", g.expr(tInt, 2))
		for n := range 3 {
			g.line("case %d, %d:", n, -n-10)
			g.block(1 + g.r.IntN(2))
			if g.chance(4) {
				g.line("\tfallthrough")
			}
		}
	default:
		t := pickOne(g, g.comparable())
		g.line("switch x := (%s); x {", g.expr(t, 2))
		g.line("case (%s), (%s):", g.expr(t, 2), g.expr(t, 2))
		g.block(1)
	}
	g.line("default:")
	g.block(1 + g.r.IntN(2))
	g.line("}")
}

func (g *gen) typeSwitch() {
	x := g.name("x")
	types := []*typ{g.basic()}
	for _, t := range append(g.implementers(), g.basic(), g.basic(), pickOne(g, g.structs)) {
		seen := false
		for _, u := range types {
			seen = seen || u.text == t.text
		}
		if !seen {
			types = append(types, t)
		}
	}
	g.line("switch %s := any(%s).(type) {", x, g.expr(pickOne(g, types), 2))
	for _, t := range types[:len(types)-1] {
		g.line("case %s:", t.text)
		g.line("\tout(%q, %s)", "a "+fmt.Sprint(t.kind), x)
	}
	last := types[len(types)-1]
	g.line("case nil, *%s, error:", last.text)
	g.line("\tout(\"pointer or error\", %s == nil)", x)
	g.line("default:")
	g.line("\tout(\"other\", %s)", x)
	g.line("}")
}

// callFunc calls a function or closure; its arguments have no side effects.
func (g *gen) callFunc() {
	var callable []variable
	for _, v := range append(append([]variable{}, g.funcs...), g.vars...) {
		if v.t.kind == kFunc {
			callable = append(callable, v)
		}
	}
	if len(callable) == 0 {
		g.assign()
		return
	}
	f := pickOne(g, callable)
	v := variable{g.name("v"), f.t.result, true}
	g.line("%s := %s(%s)", v.name, f.name, g.arguments(f.t))
	g.line("_ = %s", v.name)
	g.vars = append(g.vars, v)
}

func (g *gen) arguments(f *typ) string {
	var args []string
	for _, p := range f.params {
		args = append(args, g.expr(p, 2))
	}
	return strings.Join(args, ", ")
}

func (g *gen) declareClosure() {
	t := funcOf(g.basic(), g.basic(), g.anyType())
	v := variable{g.name("f"), t, false}
	g.line("%s := %s", v.name, g.closure(t))
	g.line("_ = %s", v.name)
	g.vars = append(g.vars, v)
}

// closure writes a function literal; its body is written into place.
func (g *gen) closure(t *typ) string {
	outer, vars := g.body, len(g.vars)
	g.body = strings.Builder{}
	var params []string
	for _, p := range t.params {
		v := variable{g.name("p"), p, true}
		params = append(params, v.name+" "+p.text)
		g.vars = append(g.vars, v)
	}
	result := variable{g.name("r"), t.result, true}
	g.vars = append(g.vars, result)
	g.indent++
	g.line("tick()")
	g.indent--
	g.function(2 + g.r.IntN(3))
	text := fmt.Sprintf("func(%s) (%s %s) {\n%s}", strings.Join(params, ", "), result.name, t.result.text, g.body.String())
	g.body, g.vars = outer, g.vars[:vars]
	return text
}

// function writes statements with a defer now and then, and a return.
func (g *gen) function(n int) {
	result := g.vars[len(g.vars)-1]
	g.indent++
	if g.chance(3) {
		g.deferStmt(result)
	}
	g.indent--
	g.block(n)
	g.indent++
	if g.chance(2) {
		g.line("return %s", g.expr(result.t, 3))
	} else {
		g.line("%s = %s", result.name, g.expr(result.t, 3))
		g.line("return")
	}
	g.indent--
}

func (g *gen) deferStmt(result variable) {
	switch g.r.IntN(3) {
	case 0:
		g.line("defer out(\"deferred\", %s)", g.expr(g.basic(), 2))
	case 1:
		g.line("defer func() {")
		g.line("\tif problem := recover(); problem != nil {")
		g.line("\t\tout(\"recovered\", message(problem))")
		g.line("\t\t%s = %s", result.name, g.expr(result.t, 1))
		g.line("\t}")
		g.line("}()")
	default:
		g.line("for i := range 3 {")
		g.line("\tdefer func(n int) { out(\"loop deferred\", i, n, %s) }(i * i)", g.expr(g.basic(), 1))
		g.line("}")
	}
}
