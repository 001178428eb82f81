package exec

import (
	"reflect"
	"unsafe"
)

// A Box is a value of a cell type inside an interface: reflect cannot tell
// two cell types of the same shape apart. Boxes compare as the cell values do
// and print with fmt as compiled Go would print them. The dynamic value that
// compiled code sees embeds a Box and has the methods Error, String, SVG,
// HTML, PNG, Markdown, Latex, JSON, Unwrap, Is and As exactly where the cell
// type has them with their usual signatures.
type Box struct {
	typ *typeDesc
	val any // of typ.rt
}

type boxer interface{ box() Box }

func (b Box) box() Box { return b }

// Unbox returns the Box of a value that came from a cell, false for a value
// of a compiled type.
func Unbox(v any) (Box, bool) {
	if b, ok := v.(boxer); ok {
		return b.box(), true
	}
	return Box{}, false
}

// TypeString is the name of the cell type, as %T prints it.
func (b Box) TypeString() string { return b.typ.name }

// Raw is the value in the plain type of the same layout: a struct without
// name and methods, say.
func (b Box) Raw() any { return b.val }

// Method returns the method of that name bound to the value, as a func value
// of the method's type, or nil.
func (b Box) Method(name string) any {
	if b.typ == nil {
		return nil
	}
	m := b.typ.method(name)
	if m == nil {
		return nil
	}
	ft := m.sig.funcType()
	return reflect.MakeFunc(ft, func(args []reflect.Value) []reflect.Value {
		return m.call(b, args)
	}).Interface()
}

// method finds an exported method of a boxed type.
func (d *typeDesc) method(name string) *boxMethod {
	if ms := d.methods.Load(); ms != nil {
		return ms.byID[name]
	}
	return nil
}

// call runs a cell method from compiled code.
func (m *boxMethod) call(b Box, args []reflect.Value) []reflect.Value {
	t := enterThread(b.typ.m)
	defer t.leave()
	fr := t.push(m.code)
	b.typ.fromAny()(m.code.layout.recv.at(fr), b.val)
	out := callWith(fr, m.sig, args)
	t.over = true
	return out
}

// str calls a method without parameters that returns a string.
func (b Box) str(name string) string {
	m := b.typ.method(name)
	t := enterThread(b.typ.m)
	defer t.leave()
	fr := t.push(m.code)
	b.typ.fromAny()(m.code.layout.recv.at(fr), b.val)
	m.code.exec(fr)
	t.over = true
	return *(*string)(m.code.layout.results[0].at(fr))
}

func (s *sigDesc) funcType() reflect.Type {
	in, out := make([]reflect.Type, len(s.params)), make([]reflect.Type, len(s.results))
	for i, d := range s.params {
		in[i] = d.rt
	}
	for i, d := range s.results {
		out[i] = d.rt
	}
	return reflect.FuncOf(in, out, s.variadic)
}

// toAny makes the raw interface value of a slot's content.
func (d *typeDesc) toAny() func(slot unsafe.Pointer) any {
	word := d.word
	make := func(data unsafe.Pointer) (x any) {
		*(*eface)(unsafe.Pointer(&x)) = eface{word, data}
		return x
	}
	switch {
	case d.cl == clPtr:
		return func(slot unsafe.Pointer) any { return make(*(*unsafe.Pointer)(slot)) }
	case d.cl == clMem && d.direct:
		return func(slot unsafe.Pointer) any { return make(**(**unsafe.Pointer)(slot)) }
	case d.cl == clMem:
		// The memory is never written again: the interface shares it.
		return func(slot unsafe.Pointer) any { return make(*(*unsafe.Pointer)(slot)) }
	case d.cl == clString:
		return func(slot unsafe.Pointer) any {
			p := new(string)
			*p = *(*string)(slot)
			return make(unsafe.Pointer(p))
		}
	case d.cl == clSlice:
		return func(slot unsafe.Pointer) any {
			p := new([]struct{})
			storeSlice24(unsafe.Pointer(p), slot)
			return make(unsafe.Pointer(p))
		}
	}
	alloc, size := d.allocator(), d.size
	return func(slot unsafe.Pointer) any {
		p := alloc()
		copyBytes(p, slot, size)
		return make(p)
	}
}

func storeSlice24(p, slot unsafe.Pointer) { *(*[]struct{})(p) = *(*[]struct{})(slot) }

// fromAny copies the content of a raw interface value of type d into a slot.
func (d *typeDesc) fromAny() func(slot unsafe.Pointer, x any) {
	data := func(x any) unsafe.Pointer { return (*eface)(unsafe.Pointer(&x)).data }
	switch {
	case d.cl == clPtr:
		return func(slot unsafe.Pointer, x any) { *(*unsafe.Pointer)(slot) = data(x) }
	case d.cl == clMem && d.direct:
		return func(slot unsafe.Pointer, x any) {
			p := new(unsafe.Pointer)
			*p = data(x)
			*(*unsafe.Pointer)(slot) = unsafe.Pointer(p)
		}
	case d.cl == clMem:
		return func(slot unsafe.Pointer, x any) { *(*unsafe.Pointer)(slot) = data(x) }
	}
	load := d.loader()
	return func(slot unsafe.Pointer, x any) { load(slot, data(x)) }
}

// boxed makes the interface value of a raw value of type d.
func (d *typeDesc) boxed(raw any) any {
	if d.faithful {
		return raw
	}
	if ms := d.methods.Load(); ms != nil {
		return ms.wrap(Box{d, raw})
	}
	return Box{d, raw}
}

// typeName is the dynamic type of an interface value as %T prints it.
func typeName(x any) string {
	if b, ok := Unbox(x); ok {
		return b.typ.name
	}
	return reflect.TypeOf(x).String()
}

// memory is the address of a raw value of type d, for reading.
func (d *typeDesc) memory(raw any) unsafe.Pointer {
	p := (*eface)(unsafe.Pointer(&raw)).data
	if d.direct {
		q := new(unsafe.Pointer)
		*q = p
		return unsafe.Pointer(q)
	}
	return p
}
