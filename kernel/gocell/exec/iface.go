package exec

import (
	"go/token"
	"go/types"
	"reflect"
	"sync"
	"unsafe"

	"golang.org/x/tools/go/ssa"
)

func (k *compiler) makeInterface(in *ssa.MakeInterface) op {
	d, to := k.desc(in.X.Type()), k.desc(in.Type())
	x, dst := k.val(in.X), k.dst(in).off
	k.im.needMethods(in.X.Type())
	if d.cl == clScalar && d.faithful {
		if o := smallInterface(d, x, dst); o != nil {
			return o
		}
	}
	raw := d.toAny()
	if d.faithful {
		if x.isConst() {
			v := raw(x.c)
			return func(fr *frame) { *ifaceAt(fr, dst) = v }
		}
		return func(fr *frame) { *ifaceAt(fr, dst) = raw(x.at(fr)) }
	}
	if to.rt.NumMethod() == 0 {
		return func(fr *frame) { *ifaceAt(fr, dst) = d.boxed(raw(x.at(fr))) }
	}
	k.adaptable(to)
	return func(fr *frame) { *ifaceAt(fr, dst) = to.adapt(d.boxed(raw(x.at(fr)))) }
}

func smallInterface(d *typeDesc, x operand, dst uintptr) op {
	switch d.rt {
	case reflect.TypeFor[int]():
		return func(fr *frame) { *ifaceAt(fr, dst) = *(*int)(x.at(fr)) }
	case reflect.TypeFor[float64]():
		return func(fr *frame) { *ifaceAt(fr, dst) = *(*float64)(x.at(fr)) }
	case reflect.TypeFor[bool]():
		return func(fr *frame) { *ifaceAt(fr, dst) = *(*bool)(x.at(fr)) }
	case reflect.TypeFor[byte]():
		return func(fr *frame) { *ifaceAt(fr, dst) = *(*byte)(x.at(fr)) }
	case reflect.TypeFor[rune]():
		return func(fr *frame) { *ifaceAt(fr, dst) = *(*rune)(x.at(fr)) }
	}
	return nil
}

// adaptable refuses a compiled interface with methods for which values of
// cell types have no form.
func (k *compiler) adaptable(to *typeDesc) {
	if to.rt.NumMethod() == 0 || k.im.m.adapter(to.rt) != nil {
		return
	}
	k.refuse("a value of a cell type cannot be given to compiled code as %s", to.name)
}

// adapt gives a boxed value the form that the interface type d wants in
// memory; every other value stays as it is.
func (d *typeDesc) adapt(x any) any {
	if x == nil || d.rt.NumMethod() == 0 {
		return general(x)
	}
	b, ok := Unbox(x)
	if !ok || reflect.TypeOf(x).Implements(d.rt) {
		return x
	}
	if g := b.typ.boxed(b.val); reflect.TypeOf(g).Implements(d.rt) {
		return g
	}
	if a := d.m.adapter(d.rt); a != nil {
		if v := a(b); reflect.TypeOf(v).Implements(d.rt) {
			return v
		}
	}
	panic(&stopSignal{err: unsupported("a value of the cell type %s cannot be given to compiled code as %s", b.typ.name, d.name)})
}

// general brings a value in the form for one interface back to the usual form.
func general(x any) any {
	if b, ok := Unbox(x); ok {
		return b.typ.boxed(b.val)
	}
	return x
}

func (k *compiler) changeInterface(in *ssa.ChangeInterface) op {
	from, to := k.desc(in.X.Type()), k.desc(in.Type())
	x, dst := k.val(in.X), k.dst(in).off
	if from.rt.NumMethod() == 0 && to.rt.NumMethod() == 0 {
		return k.copyTo(k.dst(in), x, to)
	}
	if !from.compiled || from.rt.NumMethod() == 0 || k.im.m.adapter(from.rt) != nil {
		k.adaptable(to) // else no value of a cell type is in it
	}
	return func(fr *frame) { *ifaceAt(fr, dst) = to.adapt(*(*any)(x.at(fr))) }
}

// typeAssert translates x.(T) with its two forms.
func (k *compiler) typeAssert(in *ssa.TypeAssert) op {
	x, to, from := k.val(in.X), k.desc(in.AssertedType), k.desc(in.X.Type())
	var dst, ok operand
	if in.CommaOk {
		dst, ok = k.tuple[in][0], k.tuple[in][1]
	} else {
		dst = k.dst(in)
	}
	if to.cl == clIface {
		return k.assertInterface(in, x, dst, ok, from, to)
	}
	k.im.needMethods(in.AssertedType)
	load, holds := to.fromAny(), to.holds()
	zero := operand{c: zeroSlot(to), cl: to.cl}
	size := to.operandSize()
	if in.CommaOk {
		return func(fr *frame) {
			v := *(*any)(x.at(fr))
			if raw, yes := holds(v); yes {
				load(dst.at(fr), raw)
				*at[bool](fr, ok.off) = true
				return
			}
			copySlot(to.cl, size, dst.at(fr), zero.c)
			*at[bool](fr, ok.off) = false
		}
	}
	return func(fr *frame) {
		v := *(*any)(x.at(fr))
		raw, yes := holds(v)
		if !yes {
			panic(assertError(from, v, to))
		}
		load(dst.at(fr), raw)
	}
}

// holds tells whether an interface value is of concrete type d, and gives the
// raw value.
func (d *typeDesc) holds() func(x any) (any, bool) {
	if d.faithful {
		word := d.word
		return func(x any) (any, bool) { return x, typeWordOf(x) == word }
	}
	return func(x any) (any, bool) {
		b, ok := x.(boxer)
		if !ok {
			return nil, false
		}
		bx := b.box()
		return bx.val, bx.typ == d
	}
}

func (k *compiler) assertInterface(in *ssa.TypeAssert, x, dst, ok operand, from, to *typeDesc) op {
	if to.rt.NumMethod() > 0 {
		k.adaptable(to)
	}
	if in.CommaOk {
		return func(fr *frame) {
			v := *(*any)(x.at(fr))
			if v != nil && to.missing(v) == "" {
				*ifaceAt(fr, dst.off) = to.adapt(v)
				*at[bool](fr, ok.off) = true
				return
			}
			*ifaceAt(fr, dst.off) = nil
			*at[bool](fr, ok.off) = false
		}
	}
	method := ofMethodValue(in)
	return func(fr *frame) {
		v := *(*any)(x.at(fr))
		if v == nil && method {
			nilDereference()
		}
		if v == nil || to.missing(v) != "" {
			panic(assertError(from, v, to))
		}
		*ifaceAt(fr, dst.off) = to.adapt(v)
	}
}

// ofMethodValue says whether go/ssa made the assertion, to check that the
// interface i of a method value i.M is not nil: it has the position of the
// method value, or none at all when i is of a type parameter.
func ofMethodValue(in *ssa.TypeAssert) bool {
	if !in.Pos().IsValid() {
		return true
	}
	for _, next := range in.Block().Instrs {
		if c, ok := next.(*ssa.MakeClosure); ok && c.Pos() == in.Pos() {
			return true
		}
	}
	return false
}

type implementsKey struct {
	iface *typeDesc
	typ   any // *typeDesc's method set, or a reflect.Type
}

var implements sync.Map // implementsKey -> string, the missing method

// missing names a method of interface d that the dynamic type of x lacks, or
// is empty when x implements d.
func (d *typeDesc) missing(x any) string {
	if d.compiled && d.rt.NumMethod() > 0 {
		return d.missingCompiled(x)
	}
	if len(d.iface) == 0 {
		return ""
	}
	if b, ok := Unbox(x); ok {
		ms := b.typ.methods.Load()
		for _, m := range d.iface {
			if ms == nil || ms.byID[m.id] == nil || ms.byID[m.id].sig.key != m.sig.key {
				return m.name
			}
		}
		return ""
	}
	rt := reflect.TypeOf(x)
	key := implementsKey{d, rt}
	if s, ok := implements.Load(key); ok {
		return s.(string)
	}
	s := d.missingIn(rt)
	implements.Store(key, s)
	return s
}

// missingCompiled is missing for a compiled interface.
func (d *typeDesc) missingCompiled(x any) string {
	b, ok := Unbox(x)
	rt := reflect.TypeOf(x)
	if !ok && rt.Implements(d.rt) {
		return ""
	}
	for i := range d.rt.NumMethod() {
		m := d.rt.Method(i)
		if ok {
			if bm := b.typ.method(m.Name); bm == nil || !bm.sig.matches(m.Type, 0) {
				return m.Name
			}
		} else if f, has := rt.MethodByName(m.Name); !has || !sameFunc(f.Type, m.Type) {
			return m.Name
		}
	}
	if ok {
		return ""
	}
	return "of a package"
}

// sameFunc says whether a method with its receiver has the signature want.
func sameFunc(with, want reflect.Type) bool {
	if with.NumIn() != want.NumIn()+1 || with.NumOut() != want.NumOut() || with.IsVariadic() != want.IsVariadic() {
		return false
	}
	for i := range want.NumIn() {
		if with.In(i+1) != want.In(i) {
			return false
		}
	}
	for i := range want.NumOut() {
		if with.Out(i) != want.Out(i) {
			return false
		}
	}
	return true
}

func (d *typeDesc) missingIn(rt reflect.Type) string {
	for _, m := range d.iface {
		if !token.IsExported(m.name) {
			return m.name
		}
		f, ok := rt.MethodByName(m.name)
		if !ok || !m.sig.matches(f.Type, 1) {
			return m.name
		}
	}
	return ""
}

// matches says whether a compiled func type, without its first skip
// parameters, is the signature.
func (s *sigDesc) matches(ft reflect.Type, skip int) bool {
	if ft.NumIn()-skip != len(s.params) || ft.NumOut() != len(s.results) || ft.IsVariadic() != s.variadic {
		return false
	}
	for i, d := range s.params {
		if !d.faithful || ft.In(i+skip) != d.rt {
			return false
		}
	}
	for i, d := range s.results {
		if !d.faithful || ft.Out(i) != d.rt {
			return false
		}
	}
	return true
}

// typeAssertion is the run-time error of a failed x.(T), worded as Go does.
type typeAssertion string

func (e typeAssertion) Error() string { return string(e) }

// RuntimeError makes it a runtime.Error.
func (typeAssertion) RuntimeError() {}

func assertError(from *typeDesc, x any, to *typeDesc) error {
	const pre = "interface conversion: "
	if to.cl == clIface {
		if x == nil {
			return typeAssertion(pre + "interface is nil, not " + to.name)
		}
		return typeAssertion(pre + typeName(x) + " is not " + to.name + ": missing method " + to.missing(x))
	}
	if x == nil {
		return typeAssertion(pre + from.name + " is nil, not " + to.name)
	}
	s := pre + from.name + " is " + typeName(x) + ", not " + to.name
	if typeName(x) == to.name {
		s += " (types from different scopes)"
	}
	return typeAssertion(s)
}

// ifaceEqual compares two interface values as Go does.
func ifaceEqual(x, y any) bool {
	bx, okx := x.(boxer)
	by, oky := y.(boxer)
	if !okx && !oky {
		return x == y
	}
	if okx != oky {
		return false
	}
	a, b := bx.box(), by.box()
	if a.typ != b.typ {
		return false
	}
	if !a.typ.comparable {
		panic(boundsError("comparing uncomparable type " + a.typ.name))
	}
	return a.typ.equal()(a.typ.memory(a.val), a.typ.memory(b.val))
}

// equal compares two values in memory.
func (d *typeDesc) equal() func(p, q unsafe.Pointer) bool {
	if d.compiled && (d.kind == reflect.Struct || d.kind == reflect.Array) {
		rt := d.rt
		return func(p, q unsafe.Pointer) bool {
			return reflect.NewAt(rt, p).Elem().Interface() == reflect.NewAt(rt, q).Elem().Interface()
		}
	}
	switch d.kind {
	case reflect.Float32:
		return func(p, q unsafe.Pointer) bool { return *(*float32)(p) == *(*float32)(q) }
	case reflect.Float64:
		return func(p, q unsafe.Pointer) bool { return *(*float64)(p) == *(*float64)(q) }
	case reflect.Complex64:
		return func(p, q unsafe.Pointer) bool { return *(*complex64)(p) == *(*complex64)(q) }
	case reflect.Complex128:
		return func(p, q unsafe.Pointer) bool { return *(*complex128)(p) == *(*complex128)(q) }
	case reflect.String:
		return func(p, q unsafe.Pointer) bool { return *(*string)(p) == *(*string)(q) }
	case reflect.Interface:
		return d.ifaceEqual()
	case reflect.Struct:
		return d.structEqual()
	case reflect.Array:
		return d.arrayEqual()
	}
	switch d.size {
	case 1:
		return func(p, q unsafe.Pointer) bool { return *(*uint8)(p) == *(*uint8)(q) }
	case 2:
		return func(p, q unsafe.Pointer) bool { return *(*uint16)(p) == *(*uint16)(q) }
	case 4:
		return func(p, q unsafe.Pointer) bool { return *(*uint32)(p) == *(*uint32)(q) }
	}
	return func(p, q unsafe.Pointer) bool { return *(*uint64)(p) == *(*uint64)(q) }
}

func (d *typeDesc) ifaceEqual() func(p, q unsafe.Pointer) bool {
	if d.rt.NumMethod() > 0 {
		return func(p, q unsafe.Pointer) bool { return ifaceEqual(any(*(*error)(p)), any(*(*error)(q))) }
	}
	return func(p, q unsafe.Pointer) bool { return ifaceEqual(*(*any)(p), *(*any)(q)) }
}

func (d *typeDesc) structEqual() func(p, q unsafe.Pointer) bool {
	type part struct {
		off uintptr
		eq  func(p, q unsafe.Pointer) bool
	}
	var parts []part
	for _, f := range d.fields {
		if !f.blank {
			parts = append(parts, part{f.off, f.desc.equal()})
		}
	}
	return func(p, q unsafe.Pointer) bool {
		for _, f := range parts {
			if !f.eq(unsafe.Add(p, f.off), unsafe.Add(q, f.off)) {
				return false
			}
		}
		return true
	}
}

func (d *typeDesc) arrayEqual() func(p, q unsafe.Pointer) bool {
	eq, size, n := d.elem.equal(), d.elem.size, d.n
	return func(p, q unsafe.Pointer) bool {
		for i := range uintptr(n) {
			if !eq(unsafe.Add(p, i*size), unsafe.Add(q, i*size)) {
				return false
			}
		}
		return true
	}
}

func (k *compiler) compare(in *ssa.BinOp, x, y, dst operand) op {
	xd, yd := k.desc(in.X.Type()), k.desc(in.Y.Type())
	d := dst.off
	if kind, ok := basicNumber(in.X.Type()); ok {
		return compareNumbers(kind, in.Op, x, y, d)
	}
	if b, ok := in.X.Type().Underlying().(*types.Basic); ok && b.Info()&types.IsString != 0 {
		if o := compareStrings(in.Op, x, y, d); o != nil {
			return o
		}
	}
	not := in.Op == token.NEQ
	if !not && in.Op != token.EQL {
		k.refuse("%s of %s cannot be run", in.Op, in.X.Type())
	}
	switch {
	case xd.cl == clIface && yd.cl == clIface:
		return func(fr *frame) {
			*at[bool](fr, d) = ifaceEqual(*(*any)(x.at(fr)), *(*any)(y.at(fr))) != not
		}
	case xd.cl == clIface || yd.cl == clIface:
		k.refuse("a comparison of %s with %s cannot be run", in.X.Type(), in.Y.Type())
	case xd.cl == clSlice: // with nil
		return func(fr *frame) {
			*at[bool](fr, d) = ((*object)(x.at(fr)).p == (*object)(y.at(fr)).p) != not
		}
	case xd.cl == clPtr:
		return func(fr *frame) {
			*at[bool](fr, d) = (*(*unsafe.Pointer)(x.at(fr)) == *(*unsafe.Pointer)(y.at(fr))) != not
		}
	}
	eq := xd.equal()
	return func(fr *frame) { *at[bool](fr, d) = eq(x.mem(fr), y.mem(fr)) != not }
}

func compareStrings(tok token.Token, x, y operand, d uintptr) op {
	switch tok {
	case token.EQL:
		return func(fr *frame) { *at[bool](fr, d) = *(*string)(x.at(fr)) == *(*string)(y.at(fr)) }
	case token.NEQ:
		return func(fr *frame) { *at[bool](fr, d) = *(*string)(x.at(fr)) != *(*string)(y.at(fr)) }
	case token.LSS:
		return func(fr *frame) { *at[bool](fr, d) = *(*string)(x.at(fr)) < *(*string)(y.at(fr)) }
	case token.LEQ:
		return func(fr *frame) { *at[bool](fr, d) = *(*string)(x.at(fr)) <= *(*string)(y.at(fr)) }
	case token.GTR:
		return func(fr *frame) { *at[bool](fr, d) = *(*string)(x.at(fr)) > *(*string)(y.at(fr)) }
	case token.GEQ:
		return func(fr *frame) { *at[bool](fr, d) = *(*string)(x.at(fr)) >= *(*string)(y.at(fr)) }
	}
	return nil
}

func compareNumbers(kind types.BasicKind, tok token.Token, x, y operand, d uintptr) op {
	switch kind {
	case types.Int, types.Int64:
		return compareOp[int64](tok, x, y, d)
	case types.Int8:
		return compareOp[int8](tok, x, y, d)
	case types.Int16:
		return compareOp[int16](tok, x, y, d)
	case types.Int32:
		return compareOp[int32](tok, x, y, d)
	case types.Uint, types.Uint64, types.Uintptr:
		return compareOp[uint64](tok, x, y, d)
	case types.Uint8:
		return compareOp[uint8](tok, x, y, d)
	case types.Uint16:
		return compareOp[uint16](tok, x, y, d)
	case types.Uint32:
		return compareOp[uint32](tok, x, y, d)
	case types.Float32:
		return compareOp[float32](tok, x, y, d)
	}
	return compareOp[float64](tok, x, y, d)
}

func compareOp[T number](tok token.Token, x, y operand, d uintptr) op {
	test := compareFunc[T](tok)
	return func(fr *frame) { *at[bool](fr, d) = test(*(*T)(x.at(fr)), *(*T)(y.at(fr))) }
}
