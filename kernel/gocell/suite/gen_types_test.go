package suite_test

import (
	"fmt"
	"strings"
)

type kind int

const (
	kInt kind = iota
	kUint
	kFloat
	kComplex
	kString
	kBool
	kStruct
	kSlice
	kArray
	kMap
	kPointer
	kFunc
	kInterface
)

// A typ is a type of a random program.
type typ struct {
	kind   kind
	text   string // as it is written
	bits   int
	basis  *typ // the basic type under a named one
	elem   *typ
	key    *typ
	n      int // array length
	fields []variable
	params []*typ
	result *typ
	// methods of a named type: all take an int and give an int, so that one
	// interface fits them all.
	methods []method
	pure    bool // comparable and printable without addresses
}

type method struct {
	name    string
	pointer bool // receiver
}

type variable struct {
	name string
	t    *typ
	// set says that the program may assign to it: loop counters are not.
	set bool
}

var basics = []*typ{
	{kind: kInt, text: "int", bits: 64, pure: true},
	{kind: kInt, text: "int8", bits: 8, pure: true},
	{kind: kInt, text: "int16", bits: 16, pure: true},
	{kind: kInt, text: "int32", bits: 32, pure: true},
	{kind: kInt, text: "int64", bits: 64, pure: true},
	{kind: kUint, text: "uint", bits: 64, pure: true},
	{kind: kUint, text: "uint8", bits: 8, pure: true},
	{kind: kUint, text: "uint16", bits: 16, pure: true},
	{kind: kUint, text: "uint32", bits: 32, pure: true},
	{kind: kUint, text: "uint64", bits: 64, pure: true},
	{kind: kUint, text: "uintptr", bits: 64, pure: true},
	{kind: kFloat, text: "float32", bits: 32, pure: true},
	{kind: kFloat, text: "float64", bits: 64, pure: true},
	{kind: kComplex, text: "complex64", bits: 64, pure: true},
	{kind: kComplex, text: "complex128", bits: 128, pure: true},
	{kind: kString, text: "string", pure: true},
	{kind: kBool, text: "bool", pure: true},
}

var (
	tInt     = basics[0]
	tUint8   = basics[6]
	tFloat64 = basics[12]
	tString  = basics[15]
	tBool    = basics[16]
)

func (t *typ) numeric() bool { return t.kind <= kComplex }
func (t *typ) integer() bool { return t.kind <= kUint }
func (t *typ) ordered() bool { return t.kind <= kFloat || t.kind == kString }

func sliceOf(e *typ) *typ { return &typ{kind: kSlice, text: "[]" + e.text, elem: e} }
func pointerTo(e *typ) *typ {
	return &typ{kind: kPointer, text: "*" + e.text, elem: e}
}

func arrayOf(n int, e *typ) *typ {
	return &typ{kind: kArray, text: fmt.Sprintf("[%d]%s", n, e.text), elem: e, n: n, pure: e.pure}
}

func mapOf(k, v *typ) *typ {
	return &typ{kind: kMap, text: "map[" + k.text + "]" + v.text, key: k, elem: v}
}

func funcOf(result *typ, params ...*typ) *typ {
	var list []string
	for _, p := range params {
		list = append(list, p.text)
	}
	text := "func(" + strings.Join(list, ", ") + ") " + result.text
	return &typ{kind: kFunc, text: text, params: params, result: result}
}

// declareTypes writes the named types of a program.
func (g *gen) declareTypes() {
	for range 1 + g.r.IntN(3) {
		basis := basics[g.r.IntN(len(basics))]
		t := &typ{kind: basis.kind, text: g.name("N"), bits: basis.bits, basis: basis, pure: true}
		g.decl("type %s %s", t.text, basis.text)
		g.named = append(g.named, t)
	}
	for range 1 + g.r.IntN(3) {
		g.declareStruct()
	}
	g.iface = &typ{kind: kInterface, text: g.name("I")}
	g.decl("type %s interface{ Weigh(int) int }", g.iface.text)
}

func (g *gen) declareStruct() {
	t := &typ{kind: kStruct, text: g.name("S"), pure: true}
	var b strings.Builder
	fmt.Fprintf(&b, "type %s struct {\n", t.text)
	if len(g.structs) > 0 && g.chance(3) {
		e := pickOne(g, g.structs)
		fmt.Fprintf(&b, "\t%s\n", e.text)
		t.fields = append(t.fields, variable{e.text, e, true})
	}
	for i := range 1 + g.r.IntN(4) {
		name := fmt.Sprintf("F%d", i)
		if g.chance(3) {
			name = fmt.Sprintf("f%d", i)
		}
		name += t.text // so that a promoted field is never ambiguous
		ft := g.fieldType()
		fmt.Fprintf(&b, "\t%s %s\n", name, ft.text)
		t.fields = append(t.fields, variable{name, ft, true})
		t.pure = t.pure && ft.pure
	}
	b.WriteString("}")
	g.decl("%s", b.String())
	g.structs = append(g.structs, t)
}

func (g *gen) fieldType() *typ {
	switch g.r.IntN(8) {
	case 0:
		return arrayOf(1+g.r.IntN(3), g.basic())
	case 1:
		return sliceOf(g.basic())
	case 2:
		return pickOne(g, g.named)
	case 3:
		return mapOf(g.keyType(), g.basic())
	}
	return g.basic()
}

func (g *gen) basic() *typ { return basics[g.r.IntN(len(basics))] }

// keyType is a type without NaN.
func (g *gen) keyType() *typ {
	return []*typ{tInt, tUint8, tString, tBool, basics[2], basics[9]}[g.r.IntN(6)]
}

// anyType is a type for a variable, a parameter or a result.
func (g *gen) anyType() *typ {
	switch g.r.IntN(14) {
	case 0:
		return pickOne(g, g.structs)
	case 1:
		return pointerTo(pickOne(g, g.structs))
	case 2:
		return sliceOf(g.basic())
	case 3:
		return arrayOf(1+g.r.IntN(4), g.basic())
	case 4:
		return mapOf(g.keyType(), g.basic())
	case 5, 6:
		return pickOne(g, g.named)
	case 7:
		return sliceOf(pickOne(g, g.structs))
	case 8:
		return g.iface
	}
	return g.basic()
}

func pickOne[E any](g *gen, list []E) E { return list[g.r.IntN(len(list))] }
