package suite_test

import (
	"fmt"
	"strings"
)

// ofKind lists the variables in scope of one kind of type.
func (g *gen) ofKind(k kind) []variable {
	var out []variable
	for _, v := range g.vars {
		if v.t.kind == k && v.set {
			out = append(out, v)
		}
	}
	return out
}

// sliceStmt changes a slice. It appends only to slices without spare capacity:
// how much an append leaves spare is not for Go to say.
func (g *gen) sliceStmt() {
	slices := g.ofKind(kSlice)
	if len(slices) == 0 {
		g.declareVar(sliceOf(g.basic()))
		return
	}
	s := pickOne(g, slices)
	switch g.r.IntN(6) {
	case 0, 1:
		g.line("if len(%s) < 12 {", s.name)
		g.line("\t%s = append(%s[:len(%s):len(%s)], %s, %s)",
			s.name, s.name, s.name, s.name, g.expr(s.t.elem, 2), g.expr(s.t.elem, 1))
		g.line("}")
	case 2:
		alias := variable{g.name("v"), s.t, false}
		i := g.name("i")
		g.line("%s := idx(%s, len(%s)+1)", i, g.expr(tInt, 2), s.name)
		g.line("%s := %s[%s:]", alias.name, s.name, i)
		g.line("for j := range %s {", alias.name)
		g.line("\t%s[j] = %s", alias.name, g.expr(s.t.elem, 1))
		g.line("}")
		g.vars = append(g.vars, alias)
	case 3:
		g.line("out(copy(%s, %s), len(%s))", s.name, g.expr(s.t, 2), s.name)
	case 4:
		if s.t.elem.ordered() && s.t.elem.kind != kFloat {
			g.line("sort.Slice(%s, func(i, j int) bool { return %s[i] < %s[j] })", s.name, s.name, s.name)
		} else {
			g.line("clear(%s)", s.name)
		}
	default:
		v := variable{g.name("v"), sliceOf(tString), true}
		g.line("%s := apply(%s, func(e %s) string { return cut(fmt.Sprint(e)) })", v.name, s.name, s.t.elem.text)
		g.line("_ = %s", v.name)
		g.vars = append(g.vars, v)
	}
}

func (g *gen) mapStmt() {
	maps := g.ofKind(kMap)
	if len(maps) == 0 {
		v := variable{g.name("v"), mapOf(g.keyType(), g.basic()), true}
		g.line("%s := %s", v.name, g.fresh(v.t, 3))
		g.line("_ = %s", v.name)
		g.vars = append(g.vars, v)
		return
	}
	m := pickOne(g, maps)
	switch g.r.IntN(5) {
	case 0, 1:
		g.line("if %s != nil {", m.name)
		g.line("\t%s[%s] = %s", m.name, g.expr(m.t.key, 2), g.expr(m.t.elem, 2))
		g.line("}")
	case 2:
		g.line("delete(%s, %s)", m.name, g.expr(m.t.key, 2))
	case 3:
		v, ok := g.name("v"), g.name("ok")
		g.line("%s, %s := %s[%s]", v, ok, m.name, g.expr(m.t.key, 2))
		g.line("out(%s, %s, len(%s))", v, ok, m.name)
	default:
		sum := g.name("v")
		g.line("%s := 0", sum)
		g.line("for k, e := range %s {", m.name)
		g.line("\t%s += %s + %s", sum, g.intOf(variable{name: "k", t: m.t.key}), g.intOf(variable{name: "e", t: m.t.elem}))
		g.line("}")
		g.line("out(%s)", sum)
	}
}

// methodCall calls a method directly, through an interface, as a value or as an
// expression.
func (g *gen) methodCall() {
	var able []variable
	for _, v := range g.vars {
		if v.set && (len(v.t.methods) > 0 || v.t.kind == kInterface) {
			able = append(able, v)
		}
	}
	if len(able) == 0 {
		g.declareVar(pickOne(g, append(g.implementers(), g.iface)))
		return
	}
	v := pickOne(g, able)
	name := "Weigh"
	if len(v.t.methods) > 0 {
		name = pickOne(g, v.t.methods).name
	}
	result := g.name("v")
	arg := g.expr(tInt, 2)
	switch {
	case g.chance(3):
		m := g.name("m")
		g.line("%s := %s.%s", m, v.name, name)
		g.line("%s := %s(%s)", result, m, arg)
	case g.chance(3) && v.t.kind != kInterface && !v.t.methods[0].pointer:
		g.line("%s := %s.%s(%s, %s)", result, v.t.text, v.t.methods[0].name, v.name, arg)
	case g.chance(3) && v.t.kind != kInterface:
		g.line("%s := (*%s).%s(&%s, %s)", result, v.t.text, name, v.name, arg)
	default:
		g.line("%s := %s.%s(%s)", result, v.name, name, arg)
	}
	g.line("_ = %s", result)
	g.vars = append(g.vars, variable{result, tInt, true})
}

// risky does one thing that may panic, with operands that can't. Mostly the
// panic is recovered at once.
func (g *gen) risky() {
	guarded := g.top || !g.chance(4)
	if guarded {
		g.line("func() {")
		g.line("\tdefer func() {")
		g.line("\t\tif problem := recover(); problem != nil {")
		g.line("\t\t\tout(\"recovered\", message(problem))")
		g.line("\t\t}")
		g.line("\t}()")
		g.indent++
		defer func() {
			g.indent--
			g.line("}()")
		}()
	}
	a, b := g.name("a"), g.name("b")
	switch g.r.IntN(6) {
	case 0:
		t := g.integerType()
		g.line("%s, %s := %s, %s", a, b, g.expr(t, 2), g.expr(t, 2)+"&3")
		g.line("%s = %s / %s", a, a, b)
	case 1:
		g.line("%s, %s := %s, %s", a, b, g.expr(sliceOf(g.basic()), 2), g.expr(tInt, 1)+"&7")
		g.line("out(%s[%s])", a, b)
	case 2:
		g.line("%s, %s := %s, %s", a, b, g.expr(tString, 2), g.expr(tInt, 1)+"&7")
		g.line("out(%s[%s:])", a, b)
	case 3:
		g.line("var %s any = %s", a, g.expr(g.basic(), 1))
		g.line("%s := %s.(%s)", b, a, g.basic().text)
		g.line("out(%s)", b)
	case 4:
		g.line("var %s map[int8]bool", a)
		g.line("%s := %s", b, g.expr(tBool, 1))
		g.line("if %s {", b)
		g.line("\t%s[1] = true", a)
		g.line("}")
	default:
		g.line("%s, %s := %s, %s", a, b, g.expr(tInt, 1), g.expr(tInt, 1)+"&15 - 2")
		g.line("%s <<= %s", a, b)
		g.line("out(%s)", a)
	}
}

func (g *gen) swap() {
	for _, v := range g.vars {
		for _, w := range g.vars {
			if v.name != w.name && v.set && w.set && v.t.text == w.t.text && v.t.kind != kFunc && g.chance(3) {
				g.line("%s, %s = %s, %s", v.name, w.name, w.name, v.name)
				return
			}
		}
	}
	g.assign()
}

// print shows variables whose text says nothing of addresses.
func (g *gen) print() {
	var names []string
	for _, v := range g.vars {
		if g.chance(3) && printable(v.t) {
			names = append(names, v.name)
		}
	}
	if len(names) > 0 {
		names = names[max(0, len(names)-5):]
		g.line("out(%s)", strings.Join(names, ", "))
		return
	}
	g.line("out(fmt.Sprintf(%q, %s))", pickOne(g, []string{"%v", "%+v", "%6v|"}), g.expr(g.basic(), 3))
}

// printable excludes what may hold a pointer.
func printable(t *typ) bool {
	switch t.kind {
	case kPointer, kFunc, kInterface:
		return false
	case kSlice, kArray:
		return printable(t.elem)
	}
	return true
}

// template writes one of the constructs that random statements seldom make.
func (g *gen) template() {
	a := g.name("a")
	switch g.r.IntN(6) {
	case 0:
		t := g.basic()
		g.line("%s := make(chan %s, %d)", a, t.text, g.r.IntN(3))
		g.line("go func(list []%s) {", t.text)
		g.line("\tdefer close(%s)", a)
		g.line("\tfor _, e := range list {")
		g.line("\t\t%s <- e", a)
		g.line("\t}")
		g.line("}(%s)", g.expr(sliceOf(t), 3))
		g.line("for e := range %s {", a)
		g.line("\tout(e)")
		g.line("}")
	case 1:
		b := g.name("b")
		g.line("%s := make(chan int)", a)
		g.line("%s := make(chan bool)", b)
		g.line("go func() {")
		g.line("\tfor i := range 4 {")
		g.line("\t\t%s <- i * %d", a, 1+g.r.IntN(9))
		g.line("\t}")
		g.line("\tclose(%s)", b)
		g.line("}()")
		g.line("for open := true; open; {")
		g.line("\tselect {")
		g.line("\tcase e := <-%s:", a)
		g.line("\t\tout(\"received\", e)")
		g.line("\tcase _, open = <-%s:", b)
		g.line("\t}")
		g.line("}")
	case 2:
		g.line("var %s sync.WaitGroup", a)
		g.line("var %smu sync.Mutex", a)
		g.line("%stotal := 0", a)
		g.line("for i := range 5 {")
		g.line("\t%s.Add(1)", a)
		g.line("\tgo func() {")
		g.line("\t\tdefer %s.Done()", a)
		g.line("\t\t%smu.Lock()", a)
		g.line("\t\tdefer %smu.Unlock()", a)
		g.line("\t\t%stotal += i", a)
		g.line("\t}()")
		g.line("}")
		g.line("%s.Wait()", a)
		g.line("out(%stotal)", a)
	case 3:
		g.line("%s := fmt.Errorf(\"outer: %%w\", wrong%s{%s})", a, g.suffix, g.expr(tInt, 1))
		g.line("var %sw wrong%s", a, g.suffix)
		g.line("out(%s, errors.As(%s, &%sw), %sw.code)", a, a, a, a)
	case 4:
		g.line("const (")
		g.line("\t%s = iota*%d + 1", a, 1+g.r.IntN(5))
		g.line("\t%sb", a)
		g.line("\t%sc float32 = 1 << iota / 3.0", a)
		g.line(")")
		g.line("out(%s, %sb, %sc, %sb<<%s/%sb)", a, a, a, a, a, a)
	default:
		g.line("%s := []struct{ name string; n %s }{{\"b\", %s}, {name: \"a\"}}", a, tInt.text, g.expr(tInt, 2))
		g.line("sort.Slice(%s, func(i, j int) bool { return %s[i].name < %s[j].name })", a, a, a)
		g.line("out(%s, len(%s), cap(%s[:1:1]))", a, a, a)
	}
}

// declareMethods gives the named types their methods. Which ones they have is
// settled first, since a body may call any of them.
func (g *gen) declareMethods() {
	all := append(append([]*typ{}, g.named...), g.structs...)
	for i, t := range all {
		if i == 0 || !g.chance(4) {
			t.methods = []method{{"Weigh", t.kind == kStruct && g.chance(2)}}
			if g.chance(2) {
				t.methods = append(t.methods, method{"Grow", true})
			}
		}
		if t.kind == kStruct && g.chance(3) {
			g.declareShow(t)
		}
	}
	for _, t := range all {
		for _, m := range t.methods {
			g.declareMethod(t, m)
		}
	}
}

func (g *gen) declareMethod(t *typ, m method) {
	recv, self := t.text, variable{"self", t, true}
	if m.pointer {
		recv, self.name = "*"+recv, "(*self)"
	}
	g.vars = append(g.globals(), variable{"by", tInt, true}, self, variable{"sum", tInt, true})
	g.body = strings.Builder{}
	g.line("func (self %s) %s(by int) (sum int) {", recv, m.name)
	g.line("\ttick()")
	g.function(1 + g.r.IntN(3))
	g.line("}")
	g.decl("%s", g.body.String())
}

// pointerStmt reads and writes through a pointer.
func (g *gen) pointerStmt() {
	pointers := g.ofKind(kPointer)
	if len(pointers) == 0 {
		g.declareVar(pointerTo(pickOne(g, g.structs)))
		return
	}
	v := pickOne(g, pointers)
	f := pickOne(g, v.t.elem.fields)
	g.line("if %s != nil {", v.name)
	g.line("\t%s.%s = %s", v.name, f.name, g.expr(f.t, 2))
	g.line("\tout(*%s)", v.name)
	if g.chance(2) {
		w := g.name("v")
		g.line("\t%s := &%s.%s", w, v.name, f.name)
		g.line("\t*%s = %s", w, g.expr(f.t, 1))
		g.line("\tout(%s.%s)", v.name, f.name)
	}
	g.line("}")
}

// declareShow makes a type print in words of its own.
func (g *gen) declareShow(t *typ) {
	name := pickOne(g, []string{"String", "Error"})
	g.decl("func (self %s) %s() string { return \"<\" + cut(fmt.Sprint(%s)) + \">\" }",
		t.text, name, fmt.Sprintf("self.%s", t.fields[0].name))
}
