package exec_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	cells "patternkit/kernel/gocell/exec"
)

// A writer of random programs that pass the type checker. Each program is one
// function of a file; literals go through lit, so that the compiler folds
// nothing away and no constant overflows.
type programs struct {
	r     *rand.Rand
	b     strings.Builder
	vars  []randomVar
	names int
	depth int
}

type randomVar struct{ name, typ string }

var integers = []string{"int", "int8", "int16", "int32", "int64", "uint", "uint8", "uint16", "uint32", "uint64", "Steps"}
var floats = []string{"float64", "float32", "Length"}

const randomPrelude = `package main

import "fmt"

type Steps int16
type Length float64
type Point struct{ X, Y Length }
type Rec struct {
	N    int32
	F    float64
	S    string
	L    []int
	P    Point
	Next *Rec
}
type Shape interface{ Size(n int) int }

func lit[T any](x T) T { return x }

func (s Steps) Twice() Steps           { return s * 2 }
func (s Steps) Size(n int) int         { return int(s) + n }
func (p Point) Add(q Point) Point      { return Point{p.X + q.X, p.Y - q.Y} }
func (r *Rec) Bump(n int32)            { r.N += n; r.L = append(r.L, int(n)) }
func (r Rec) Size(n int) int           { return len(r.L)*n + int(r.N) }
func (r Rec) String() string           { return fmt.Sprintf("Rec(%d %.3f %s %v %v)", r.N, r.F, r.S, r.L, r.P) }
func pair(a int, b string) (int, string) { return a + len(b), b + "!" }
func clip(s string) string {
	if len(s) > 40 {
		return s[:40]
	}
	return s
}
func at(l []int, i int) int {
	if len(l) == 0 {
		return -1
	}
	return l[uint(i)%uint(len(l))]
}
func protect(name string, f func()) {
	defer func() {
		if r := recover(); r != nil {
			fmt.Println(name, "panic:", r)
		}
	}()
	f()
}
`

func (p *programs) pick(from []string) string { return from[p.r.IntN(len(from))] }

func (p *programs) name() string { p.names++; return fmt.Sprint("v", p.names) }

func (p *programs) line(format string, args ...any) {
	p.b.WriteString(strings.Repeat("\t", p.depth+1))
	fmt.Fprintf(&p.b, format+"\n", args...)
}

func (p *programs) varOf(typ string) (string, bool) {
	var have []string
	for _, v := range p.vars {
		if v.typ == typ {
			have = append(have, v.name)
		}
	}
	if len(have) == 0 {
		return "", false
	}
	return p.pick(have), true
}

func isIn(s string, list []string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}

func (p *programs) literal(typ string) string {
	switch {
	case isIn(typ, integers):
		return fmt.Sprintf("lit(%s(%d))", typ, p.r.IntN(128))
	case isIn(typ, floats):
		return fmt.Sprintf("lit(%s(%g))", typ, float64(p.r.IntN(4000))/8-100)
	}
	switch typ {
	case "string":
		return fmt.Sprintf("lit(%q)", p.pick([]string{"", "a", "héé", "世界", "x\xff", "tail"}))
	case "bool":
		return p.pick([]string{"lit(true)", "lit(false)"})
	case "[]int":
		return fmt.Sprintf("[]int{%d, %d, %d}", p.r.IntN(9), p.r.IntN(9), p.r.IntN(9))
	case "map[string]int":
		return fmt.Sprintf(`map[string]int{"a": %d, "k": 2}`, p.r.IntN(9))
	case "Point":
		return fmt.Sprintf("Point{%d, %d.5}", p.r.IntN(9), p.r.IntN(9))
	case "Rec":
		return fmt.Sprintf(`Rec{N: %d, S: "r", P: %s}`, p.r.IntN(9), p.literal("Point"))
	}
	panic("no literal of " + typ)
}

// expr writes an expression of a type.
func (p *programs) expr(typ string, deep int) string {
	if v, ok := p.varOf(typ); ok && (deep <= 0 || p.r.IntN(4) == 0) {
		return v
	}
	if deep <= 0 {
		return p.literal(typ)
	}
	sub := func(t string) string { return p.expr(t, deep-1) }
	switch {
	case isIn(typ, integers):
		return p.integer(typ, sub)
	case isIn(typ, floats):
		return p.float(typ, sub)
	}
	switch typ {
	case "string":
		switch p.r.IntN(5) {
		case 0:
			return fmt.Sprintf("clip(%s + %s)", sub("string"), sub("string"))
		case 1:
			return fmt.Sprintf("fmt.Sprint(%s, %s)", sub("int32"), sub("Point"))
		case 2:
			return fmt.Sprintf("string(rune(%s))", sub("uint8"))
		case 3:
			return fmt.Sprintf("string([]byte(%s))", sub("string"))
		}
	case "bool":
		t := p.pick([]string{"int", "uint8", "float64", "string", "int64", "Steps"})
		switch p.r.IntN(4) {
		case 0:
			return fmt.Sprintf("(%s && %s)", sub("bool"), sub("bool"))
		case 1:
			return fmt.Sprintf("!(%s || %s)", sub("bool"), sub("bool"))
		case 2:
			return fmt.Sprintf("(%s == %s)", sub("Point"), sub("Point"))
		}
		return fmt.Sprintf("(%s %s %s)", sub(t), p.pick([]string{"<", "<=", "==", "!=", ">", ">="}), sub(t))
	case "[]int":
		switch p.r.IntN(3) {
		case 0:
			return fmt.Sprintf("append(%s, %s)", sub("[]int"), sub("int"))
		case 1:
			return fmt.Sprintf("append([]int(nil), %s...)", sub("[]int"))
		}
	case "Point":
		switch p.r.IntN(2) {
		case 0:
			return fmt.Sprintf("%s.Add(%s)", sub("Point"), sub("Point"))
		}
		return fmt.Sprintf("Point{%s, %s}", sub("Length"), sub("Length"))
	case "Rec":
		return fmt.Sprintf("Rec{N: %s, F: %s, S: %s, L: %s}", sub("int32"), sub("float64"), sub("string"), sub("[]int"))
	}
	return p.literal(typ)
}

func (p *programs) integer(typ string, sub func(string) string) string {
	switch p.r.IntN(9) {
	case 0, 1, 2:
		return fmt.Sprintf("(%s %s %s)", sub(typ), p.pick([]string{"+", "-", "*", "&", "|", "^", "&^"}), sub(typ))
	case 3:
		return fmt.Sprintf("(%s %s %s)", sub(typ), p.pick([]string{"/", "%"}), sub(typ))
	case 4:
		return fmt.Sprintf("(%s %s (%s & 31))", sub(typ), p.pick([]string{"<<", ">>"}), sub(p.pick([]string{"uint", "uint8", "uint32"})))
	case 5:
		return fmt.Sprintf("%s(%s)", typ, sub(p.pick(integers)))
	case 6:
		return "(" + p.pick([]string{"-", "^"}) + sub(typ) + ")"
	case 7:
		switch typ {
		case "int":
			return p.pick([]string{
				fmt.Sprintf("at(%s, %s)", sub("[]int"), sub("int")), fmt.Sprintf("len(%s)", sub("string")),
				fmt.Sprintf("Shape(%s).Size(%s)", sub("Rec"), sub("int")), fmt.Sprintf("Shape(%s).Size(%s)", sub("Steps"), sub("int")),
				fmt.Sprintf("func(x int) int { return x - %s }(%s)", sub("int"), sub("int")),
				fmt.Sprintf("%s[%s]", sub("map[string]int"), sub("string")), fmt.Sprintf("len(append(%s, 1))", sub("[]int")),
			})
		case "Steps":
			return fmt.Sprintf("%s.Twice()", sub("Steps"))
		case "uint8":
			return fmt.Sprintf("(%s + \"z\")[0]", sub("string"))
		}
	}
	return fmt.Sprintf("%s(%s, %s)", p.pick([]string{"min", "max"}), sub(typ), sub(typ))
}

func (p *programs) float(typ string, sub func(string) string) string {
	switch p.r.IntN(6) {
	case 0, 1, 2:
		return fmt.Sprintf("(%s %s %s)", sub(typ), p.pick([]string{"+", "-", "*", "/"}), sub(typ))
	case 3:
		return fmt.Sprintf("%s(%s)", typ, sub(p.pick(floats)))
	case 4:
		return fmt.Sprintf("%s(%s)", typ, sub(p.pick(integers)))
	}
	if typ == "Length" {
		return sub("Point") + "." + p.pick([]string{"X", "Y"})
	}
	return "(-" + sub(typ) + ")"
}

func (p *programs) anyType() string {
	return p.pick(append(append([]string{"string", "bool", "[]int", "map[string]int", "Point", "Rec"}, integers...), floats...))
}

// block writes statements with variables of their own.
func (p *programs) block(n int) {
	vars := len(p.vars)
	p.depth++
	for range n {
		p.statement()
	}
	p.depth--
	p.vars = p.vars[:vars]
}

func (p *programs) statement() {
	deep := 3
	if p.depth > 3 {
		deep = 1
	}
	switch k := p.r.IntN(16); {
	case k < 4 || len(p.vars) == 0:
		v := randomVar{p.name(), p.anyType()}
		p.line("var %s %s = %s", v.name, v.typ, p.expr(v.typ, deep))
		p.line("_ = %s", v.name)
		p.vars = append(p.vars, v)
	case k < 7:
		v := p.vars[p.r.IntN(len(p.vars))]
		p.line("%s = %s", v.name, p.expr(v.typ, deep))
	case k == 7:
		v := p.vars[p.r.IntN(len(p.vars))]
		p.line(`fmt.Println(%q, %s)`, v.name, v.name)
	case k == 8 && p.depth < 4:
		p.line("if %s {", p.expr("bool", 2))
		p.block(2)
		p.line("} else {")
		p.block(1)
		p.line("}")
	case k == 9 && p.depth < 4:
		i := p.name()
		p.line("for %s := range %d {", i, 1+p.r.IntN(4))
		p.line("\t_ = %s", i)
		p.vars = append(p.vars, randomVar{i, "int"})
		p.block(3)
		p.vars = p.vars[:len(p.vars)-1]
		p.line("}")
	case k == 10 && p.depth < 4:
		p.line("protect(%q, func() {", p.name())
		p.block(3)
		p.line("})")
	case k == 11:
		if v, ok := p.varOf("Rec"); ok {
			p.line("%s.Bump(%s)", v, p.expr("int32", 1))
			p.line("%s.P.X += %s", v, p.expr("Length", 1))
		}
	case k == 12:
		if v, ok := p.varOf("map[string]int"); ok {
			p.line("%s[%s] += %s", v, p.expr("string", 1), p.expr("int", 2))
		}
	case k == 13:
		p.line("defer fmt.Println(%q, %s)", p.name(), p.expr(p.anyType(), 2))
	case k == 14:
		a, b := p.name(), p.name()
		p.line("%s, %s := pair(%s, %s)", a, b, p.expr("int", 2), p.expr("string", 1))
		p.line("_, _ = %s, %s", a, b)
		p.vars = append(p.vars, randomVar{a, "int"}, randomVar{b, "string"})
	default:
		t := p.pick(integers)
		p.line("switch x := any(%s).(type) {", p.expr(p.anyType(), 2))
		p.line("case %s:", t)
		p.line("\tfmt.Println(%q, x/3, x)", t)
		p.line("case string, bool:")
		p.line("\tfmt.Println(x)")
		p.line("case fmt.Stringer:")
		p.line("\tfmt.Println(x.String())")
		p.line("default:")
		p.line("\tfmt.Printf(\"%%T %%v\\n\", x, x)")
		p.line("}")
	}
}

// randomPrograms is the text of n programs as one.
func randomPrograms(seed uint64, n int) string {
	p := &programs{r: rand.New(rand.NewPCG(seed, 1))}
	p.b.WriteString(randomPrelude)
	for i := range n {
		p.vars, p.names, p.depth = nil, 0, 0
		fmt.Fprintf(&p.b, "\nfunc program%d() {\n", i)
		for range 6 + p.r.IntN(14) {
			p.statement()
		}
		p.b.WriteString("}\n")
	}
	p.b.WriteString("\nfunc main() {\n")
	for i := range n {
		fmt.Fprintf(&p.b, "\tfmt.Println(\"program\", %d)\n\tprotect(\"program\", program%d)\n", i, i)
	}
	p.b.WriteString("}\n")
	return p.b.String()
}

func compareRandom(t *testing.T, seed uint64, n int) {
	needGo(t)
	src := randomPrograms(seed, n)
	path := filepath.Join(t.TempDir(), "main.go")
	if err := os.WriteFile(path, []byte(src), 0o644); err != nil {
		t.Fatal(err)
	}
	want, failure := goRun(t, path)
	if failure != "" {
		t.Fatalf("seed %d: compiled Go ends with %s", seed, failure)
	}
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	got := runProgram(ctx, cells.Options{}, path)
	if got.err != nil || got.stdout != want {
		t.Errorf("seed %d: %v\n%s", seed, got.err, firstDifference(got.stdout, want))
		if keep := os.Getenv("EXEC_KEEP"); keep != "" {
			os.WriteFile(keep, []byte(src), 0o644)
		}
	}
}

// TestRandomPrograms compares a few hundred programs with compiled Go.
func TestRandomPrograms(t *testing.T) {
	for seed := range uint64(2) {
		compareRandom(t, seed, 150)
	}
}

// FuzzRandomPrograms goes on with other seeds, a hundred programs at a time.
func FuzzRandomPrograms(f *testing.F) {
	f.Add(uint64(7))
	f.Fuzz(func(t *testing.T, seed uint64) { compareRandom(t, seed, 100) })
}
