package suite_test

import (
	"fmt"
	"strconv"
	"strings"
)

// literal writes a constant of a basic type that fits it.
func (g *gen) literal(t *typ) string {
	b := t
	if t.basis != nil {
		b = t.basis
	}
	var s string
	switch b.kind {
	case kInt:
		s = strconv.FormatInt(int64(g.r.Uint64())>>(64-b.bits+g.r.IntN(b.bits)), 10)
	case kUint:
		s = strconv.FormatUint(g.r.Uint64()>>(64-b.bits+g.r.IntN(b.bits)), 10)
	case kFloat:
		s = []string{"0.5", "1.25", "-3.75", "1e10", "1e-3", "0.1", "100", "-7", "3.1415926"}[g.r.IntN(9)]
	case kComplex:
		s = []string{"(1 + 2i)", "(0.5 - 1i)", "3i", "2"}[g.r.IntN(4)]
	case kString:
		s = []string{`""`, `"ease"`, `"né\n"`, `"\xff\x00z"`, "`a\\b`", `"日本"`}[g.r.IntN(6)]
	case kBool:
		s = []string{"true", "false"}[g.r.IntN(2)]
	}
	return t.text + "(" + s + ")"
}

// expr writes an expression without side effects that can't panic. It is never
// constant, so that no overflow is an error of the compiler.
func (g *gen) expr(t *typ, depth int) string {
	if depth <= 0 || g.chance(4) {
		return g.leaf(t, depth)
	}
	switch t.kind {
	case kInt, kUint, kFloat, kComplex:
		return g.number(t, depth)
	case kString:
		return g.stringExpr(t, depth)
	case kBool:
		return g.boolExpr(t, depth)
	}
	return g.leaf(t, depth)
}

// leaf writes a variable, a field, an element or a fresh value.
func (g *gen) leaf(t *typ, depth int) string {
	var found []string
	for _, v := range g.vars {
		found = append(found, parts(v, t)...)
	}
	if len(found) > 0 && !g.chance(6) {
		return pickOne(g, found)
	}
	return g.fresh(t, depth)
}

// parts lists how to read a value of type t out of a variable.
func parts(v variable, t *typ) []string {
	switch {
	case v.t.text == t.text:
		return []string{v.name}
	case v.t.kind == kStruct:
		var out []string
		for _, f := range v.t.fields {
			if f.t.text == t.text {
				out = append(out, v.name+"."+f.name)
			}
		}
		return out
	case v.t.kind == kArray && v.t.elem.text == t.text:
		return []string{fmt.Sprintf("%s[%d]", v.name, v.t.n-1)}
	case v.t.kind == kSlice && v.t.elem.text == t.text:
		return []string{fmt.Sprintf("pick(%s, %d)", v.name, len(v.name))}
	case v.t.kind == kMap && v.t.elem.text == t.text && v.t.key.text == "string":
		return []string{v.name + `["ease"]`}
	}
	return nil
}

// fresh writes a new value: composite, or a literal that was made a variable.
func (g *gen) fresh(t *typ, depth int) string {
	switch t.kind {
	case kStruct:
		var parts []string
		for _, f := range t.fields {
			if g.chance(2) {
				parts = append(parts, f.name+": "+g.expr(f.t, depth-2))
			}
		}
		return t.text + "{" + strings.Join(parts, ", ") + "}"
	case kPointer:
		return "&" + g.fresh(t.elem, depth-1)
	case kSlice, kArray:
		n := g.r.IntN(4)
		if t.kind == kArray {
			n = min(n, t.n)
		}
		var parts []string
		for range n {
			parts = append(parts, g.expr(t.elem, depth-2))
		}
		return t.text + "{" + strings.Join(parts, ", ") + "}"
	case kMap:
		return t.text + "{" + g.expr(t.key, depth-2) + ": " + g.expr(t.elem, depth-2) + "}"
	case kInterface:
		impl := pickOne(g, g.implementers())
		if impl.kind == kStruct && impl.methods[0].pointer {
			return t.text + "(&" + g.fresh(impl, depth-1) + ")"
		}
		return t.text + "(" + g.expr(impl, depth-1) + ")"
	case kFunc:
		return g.closure(t)
	}
	return fmt.Sprintf("[]%s{%s}[0]", t.text, g.literal(t))
}

func (g *gen) implementers() []*typ {
	var out []*typ
	for _, t := range append(append([]*typ{}, g.named...), g.structs...) {
		if len(t.methods) > 0 {
			out = append(out, t)
		}
	}
	return out
}

func (g *gen) number(t *typ, depth int) string {
	x := g.expr(t, depth-1)
	y := g.expr(t, depth-1)
	if g.chance(4) {
		y = g.literal(t)
	}
	switch g.r.IntN(9) {
	case 0, 1, 2:
		return fmt.Sprintf("(%s %s %s)", x, pickOne(g, []string{"+", "-", "*"}), y)
	case 3:
		if t.integer() {
			return fmt.Sprintf("(%s %s (%s | 1))", x, pickOne(g, []string{"/", "%"}), g.expr(t, depth-1))
		}
		return fmt.Sprintf("(%s / %s)", x, g.expr(t, depth-1))
	case 4:
		if t.integer() {
			return fmt.Sprintf("(%s %s %s)", x, pickOne(g, []string{"&", "|", "^", "&^"}), y)
		}
		return "(-" + x + ")"
	case 5:
		if t.integer() {
			return g.shift(t, x, depth)
		}
		return fmt.Sprintf("(%s * %s)", x, y)
	case 6:
		if t.integer() {
			return "(" + pickOne(g, []string{"-", "^", "+"}) + x + ")"
		}
		return "(-" + x + ")"
	case 7:
		return g.convert(t, depth)
	}
	if t.kind != kComplex {
		return fmt.Sprintf("%s(%s, %s)", pickOne(g, []string{"min", "max"}), x, y)
	}
	f := basics[11]
	if t.bits == 128 {
		f = tFloat64
	}
	return fmt.Sprintf("%s(complex(%s, %s))", t.text, g.expr(f, depth-1), g.expr(f, depth-1))
}

func (g *gen) shift(t *typ, x string, depth int) string {
	op := pickOne(g, []string{"<<", ">>"})
	switch g.r.IntN(3) {
	case 0:
		return fmt.Sprintf("(%s %s %d)", x, op, g.r.IntN(70))
	case 1:
		return fmt.Sprintf("(%s %s (%s %% 70))", x, op, g.expr(tUint8, depth-1))
	}
	return fmt.Sprintf("(%s %s (%s & 63))", x, op, g.expr(g.integerType(), depth-1))
}

func (g *gen) integerType() *typ { return basics[g.r.IntN(11)] }

// convert writes a conversion from another type of number.
func (g *gen) convert(t *typ, depth int) string {
	if t.kind == kComplex {
		from := pickOne(g, basics[13:15])
		return fmt.Sprintf("%s(%s)", t.text, g.expr(from, depth-1))
	}
	from := basics[g.r.IntN(13)]
	if g.chance(8) {
		return fmt.Sprintf("%s(len(%s))", t.text, g.expr(tString, depth-1))
	}
	x := g.expr(from, depth-1)
	if from.kind == kFloat && t.integer() {
		guard := "small"
		if t.kind == kUint {
			guard = "smallPositive"
		}
		return fmt.Sprintf("%s(%s(float64(%s)))", t.text, guard, x)
	}
	return fmt.Sprintf("%s(%s)", t.text, x)
}

func (g *gen) stringExpr(t *typ, depth int) string {
	wrap := func(s string) string {
		if t.basis != nil {
			return t.text + "(" + s + ")"
		}
		return s
	}
	s := g.expr(tString, depth-1)
	switch g.r.IntN(8) {
	case 0, 1:
		return wrap(fmt.Sprintf("cut(%s + %s)", s, g.expr(tString, depth-1)))
	case 2:
		return wrap(fmt.Sprintf("string(rune(%s))", g.expr(basics[3], depth-1)))
	case 3:
		return wrap(fmt.Sprintf("string([]%s(%s))", pickOne(g, []string{"byte", "rune"}), s))
	case 4:
		return wrap(fmt.Sprintf("cut(fmt.Sprint(%s))", g.expr(g.basic(), depth-1)))
	case 5:
		return wrap(fmt.Sprintf("(%s + \"k\")[idx(%s, len(%s)+1):]", s, g.expr(tInt, depth-1), s))
	case 6:
		return wrap(fmt.Sprintf("strings.ToUpper(%s)", s))
	}
	return wrap(fmt.Sprintf("strconv.Itoa(%s)", g.expr(tInt, depth-1)))
}

func (g *gen) boolExpr(t *typ, depth int) string {
	var s string
	switch g.r.IntN(6) {
	case 0:
		s = fmt.Sprintf("(%s %s %s)", g.expr(tBool, depth-1), pickOne(g, []string{"&&", "||"}), g.expr(tBool, depth-1))
	case 1:
		s = "(!" + g.expr(tBool, depth-1) + ")"
	case 2:
		c := pickOne(g, append(g.comparable(), arrayOf(2, g.basic())))
		// a composite literal is parenthesised, so that it can stand in a condition
		s = fmt.Sprintf("((%s) %s (%s))", g.expr(c, depth-1), pickOne(g, []string{"==", "!="}), g.expr(c, depth-1))
	case 3:
		c := pickOne(g, g.comparable())
		s = fmt.Sprintf("(any(%s) == any(%s))", g.expr(g.basic(), depth-1), g.expr(c, depth-1))
	default:
		c := basics[g.r.IntN(16)]
		for !c.ordered() {
			c = basics[g.r.IntN(16)]
		}
		s = fmt.Sprintf("(%s %s %s)", g.expr(c, depth-1), pickOne(g, []string{"<", "<=", ">", ">="}), g.expr(c, depth-1))
	}
	if t.basis != nil {
		return t.text + "(" + s + ")"
	}
	return s
}

// comparable lists types that == takes and never panics on.
func (g *gen) comparable() []*typ {
	list := append([]*typ{}, basics...)
	for _, t := range append(append([]*typ{}, g.named...), g.structs...) {
		if t.pure && !hasUncomparable(t) {
			list = append(list, t)
		}
	}
	return list
}

func hasUncomparable(t *typ) bool {
	for _, f := range t.fields {
		if f.t.kind == kSlice || f.t.kind == kMap || hasUncomparable(f.t) {
			return true
		}
	}
	return false
}
