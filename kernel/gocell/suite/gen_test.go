package suite_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
)

// A program is a random well-typed Go program. Its names end in a suffix of its
// own, so that many fit into one compiled program.
type program struct {
	seed  uint64
	decls string // types, variables and functions
	entry string // the function that runs it and prints
	// statements are those of the entry when they stand at the top level of a
	// cell; no function wraps them, and they do nothing that may panic.
	statements string
}

// gen writes one program.
type gen struct {
	r      *rand.Rand
	suffix string
	next   int
	out    strings.Builder // finished declarations
	body   strings.Builder // the function being written
	indent int
	top    bool // writing statements for the top level of a cell

	named, structs []*typ
	iface          *typ
	vars, funcs    []variable
	global         []variable
}

const programImports = `import (
	"errors"
	"fmt"
	"sort"
	"strconv"
	"strings"
	"sync"
)
`

// useImports keeps the compiler from refusing an import that no program uses.
const useImports = `
var _, _, _, _ = errors.As, sort.Ints, strconv.Itoa, strings.ToUpper
var _ sync.Mutex
`

func generate(seed uint64) program {
	g := &gen{r: rand.New(rand.NewPCG(seed, 1)), suffix: fmt.Sprintf("_%x", seed)}
	g.declareTypes()
	g.declareGlobals()
	g.decl("type wrong%[1]s struct{ code int }\n\nfunc (w wrong%[1]s) Error() string { return fmt.Sprint(\"wrong \", w.code) }", g.suffix)
	g.decl("var keep%s []func() int", g.suffix)
	g.declareMethods()
	for range 2 + g.r.IntN(3) {
		g.declareFunc()
	}
	p := program{seed: seed}
	g.top = g.chance(3)
	g.body = strings.Builder{}
	g.vars = g.globals()
	g.mainStatements()
	body := g.body.String()
	p.entry = "main" + g.suffix
	p.decls = g.out.String()
	if g.top {
		p.statements = body
		p.decls += fmt.Sprintf("\nfunc %s() {\n%s}\n", p.entry, body)
		return p
	}
	p.decls += fmt.Sprintf("\nfunc %s() {\n\tdefer func() {\n\t\tif r := recover(); r != nil {\n"+
		"\t\t\tfmt.Println(\"stopped:\", message(r))\n\t\t}\n\t}()\n%s}\n", p.entry, body)
	return p
}

func (g *gen) mainStatements() {
	g.indent++
	for range 8 + g.r.IntN(10) {
		g.stmt()
	}
	for _, v := range g.vars {
		if printable(v.t) {
			g.line("out(%q, %s)", strings.TrimSuffix(v.name, g.suffix), v.name)
		}
	}
	g.line("for _, f := range keep%s {", g.suffix)
	g.line("\tout(f())")
	g.line("}")
	g.indent--
}

func (g *gen) declareGlobals() {
	for _, t := range append(append([]*typ{}, basics...), g.named...) {
		v := variable{g.name("g"), t, true}
		g.decl("var %s %s = %s", v.name, t.text, g.literal(t))
		g.global = append(g.global, v)
	}
	for _, t := range []*typ{pickOne(g, g.structs), sliceOf(g.basic()), mapOf(tString, g.basic())} {
		v := variable{g.name("g"), t, true}
		g.vars = g.globals()
		g.decl("var %s = %s", v.name, g.fresh(t, 2))
		g.global = append(g.global, v)
	}
}

// globals returns a scope that holds a few of the package's variables.
func (g *gen) globals() []variable {
	var out []variable
	for _, v := range g.global {
		if g.chance(2) {
			out = append(out, v)
		}
	}
	return out
}

func (g *gen) declareFunc() {
	t := funcOf(g.anyType(), g.anyType(), g.basic())
	v := variable{g.name("F"), t, false}
	g.vars = g.globals()
	g.body = strings.Builder{}
	var params []string
	for _, p := range t.params {
		pv := variable{g.name("p"), p, true}
		params = append(params, pv.name+" "+p.text)
		g.vars = append(g.vars, pv)
	}
	result := variable{g.name("r"), t.result, true}
	g.vars = append(g.vars, result)
	g.line("func %s(%s) (%s %s) {", v.name, strings.Join(params, ", "), result.name, t.result.text)
	g.line("\ttick()")
	g.function(3 + g.r.IntN(5))
	g.line("}")
	g.decl("%s", g.body.String())
	g.funcs = append(g.funcs, v)
}

// name returns a new name.
func (g *gen) name(kind string) string {
	g.next++
	return fmt.Sprintf("%s%d%s", kind, g.next, g.suffix)
}

func (g *gen) chance(n int) bool { return g.r.IntN(n) == 0 }

func (g *gen) decl(format string, args ...any) {
	fmt.Fprintf(&g.out, format+"\n\n", args...)
}

func (g *gen) line(format string, args ...any) {
	g.body.WriteString(strings.Repeat("\t", g.indent))
	fmt.Fprintf(&g.body, format+"\n", args...)
}
