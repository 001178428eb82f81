package exec

import (
	"go/types"
	"reflect"
	"unsafe"

	"golang.org/x/tools/go/ssa"
)

// loader copies a value from memory at p into a slot.
type loader func(slot, p unsafe.Pointer)

// storer copies a value from a slot into memory at p.
type storer func(p, slot unsafe.Pointer)

func (d *typeDesc) loader() loader {
	switch d.cl {
	case clScalar:
		switch d.size {
		case 0:
			return func(_, p unsafe.Pointer) { notNil(p) }
		case 1:
			return func(slot, p unsafe.Pointer) { *(*uint8)(slot) = *(*uint8)(p) }
		case 2:
			return func(slot, p unsafe.Pointer) { *(*uint16)(slot) = *(*uint16)(p) }
		case 4:
			return func(slot, p unsafe.Pointer) { *(*uint32)(slot) = *(*uint32)(p) }
		case 8:
			return func(slot, p unsafe.Pointer) { *(*uint64)(slot) = *(*uint64)(p) }
		case 16:
			return func(slot, p unsafe.Pointer) { *(*[2]uint64)(slot) = *(*[2]uint64)(p) }
		}
		size := d.size
		return func(slot, p unsafe.Pointer) { notNil(p); copyBytes(slot, p, size) }
	case clPtr:
		return func(slot, p unsafe.Pointer) { *(*unsafe.Pointer)(slot) = *(*unsafe.Pointer)(p) }
	case clString:
		return func(slot, p unsafe.Pointer) { *(*string)(slot) = *(*string)(p) }
	case clSlice:
		return func(slot, p unsafe.Pointer) { *(*object)(slot) = *(*object)(p) }
	case clIface:
		if d.rt.NumMethod() > 0 {
			// The first word of any interface with methods leads to its type.
			return func(slot, p unsafe.Pointer) { *(*any)(slot) = any(*(*error)(p)) }
		}
		return func(slot, p unsafe.Pointer) { *(*any)(slot) = *(*any)(p) }
	}
	rt, place := d.rt, placed(d.rt)
	return func(slot, p unsafe.Pointer) {
		notNil(p)
		to := reflect.New(rt)
		to.Elem().Set(place(p))
		*(*unsafe.Pointer)(slot) = to.UnsafePointer()
	}
}

func (d *typeDesc) storer() storer {
	switch d.cl {
	case clScalar:
		switch d.size {
		case 0:
			return func(p, _ unsafe.Pointer) { notNil(p) }
		case 1:
			return func(p, slot unsafe.Pointer) { *(*uint8)(p) = *(*uint8)(slot) }
		case 2:
			return func(p, slot unsafe.Pointer) { *(*uint16)(p) = *(*uint16)(slot) }
		case 4:
			return func(p, slot unsafe.Pointer) { *(*uint32)(p) = *(*uint32)(slot) }
		case 8:
			return func(p, slot unsafe.Pointer) { *(*uint64)(p) = *(*uint64)(slot) }
		case 16:
			return func(p, slot unsafe.Pointer) { *(*[2]uint64)(p) = *(*[2]uint64)(slot) }
		}
		size := d.size
		return func(p, slot unsafe.Pointer) { notNil(p); copyBytes(p, slot, size) }
	case clPtr:
		return func(p, slot unsafe.Pointer) { *(*unsafe.Pointer)(p) = *(*unsafe.Pointer)(slot) }
	case clString:
		return func(p, slot unsafe.Pointer) { *(*string)(p) = *(*string)(slot) }
	case clSlice:
		return func(p, slot unsafe.Pointer) { storeSlice(p, slot) }
	case clIface:
		return ifaceStorer(d.rt)
	}
	place := placed(d.rt)
	return func(p, slot unsafe.Pointer) { notNil(p); place(p).Set(place(*(*unsafe.Pointer)(slot))) }
}

// storeSlice writes a slice header: 24 bytes whose first word is a pointer,
// as in an object.
func storeSlice(p, slot unsafe.Pointer) { *(*object)(p) = *(*object)(slot) }

func ifaceStorer(rt reflect.Type) storer {
	switch {
	case rt.NumMethod() == 0:
		return func(p, slot unsafe.Pointer) { *(*any)(p) = *(*any)(slot) }
	case rt == errorType:
		return func(p, slot unsafe.Pointer) {
			err, _ := (*(*any)(slot)).(error)
			*(*error)(p) = err
		}
	}
	return func(p, slot unsafe.Pointer) {
		notNil(p)
		to := reflect.NewAt(rt, p).Elem()
		if x := *(*any)(slot); x != nil {
			to.Set(reflect.ValueOf(x))
		} else {
			to.SetZero()
		}
	}
}

// notNil panics with Go's own error when p is nil.
func notNil(p unsafe.Pointer) {
	if p == nil {
		nilDereference()
	}
}

//go:noinline
func nilDereference() {
	var p *int
	*p = 0
}

// allocator makes zeroed memory for values of type d.
func (d *typeDesc) allocator() func() unsafe.Pointer {
	if pointerFree(d.rt) {
		switch {
		case d.size == 0:
			return func() unsafe.Pointer { return unsafe.Pointer(new(struct{})) }
		case d.size <= 8:
			return func() unsafe.Pointer { return unsafe.Pointer(new(uint64)) }
		case d.size <= 16:
			return func() unsafe.Pointer { return unsafe.Pointer(new([2]uint64)) }
		}
		n := int(d.size+7) / 8
		return func() unsafe.Pointer { return unsafe.Pointer(unsafe.SliceData(make([]uint64, n))) }
	}
	switch d.cl {
	case clPtr:
		return func() unsafe.Pointer { return unsafe.Pointer(new(unsafe.Pointer)) }
	case clString:
		return func() unsafe.Pointer { return unsafe.Pointer(new(string)) }
	case clSlice:
		return func() unsafe.Pointer { return unsafe.Pointer(new([]struct{})) }
	}
	rt := d.rt
	return func() unsafe.Pointer { return reflect.New(rt).UnsafePointer() }
}

func (k *compiler) alloc(in *ssa.Alloc) op {
	d := k.desc(in.Type().Underlying().(*types.Pointer).Elem())
	if d.size > 1<<40 {
		k.refuse("a variable of %d bytes is too large", d.size)
	}
	dst := k.dst(in).off
	if home, ok := k.homeOf(in); ok {
		words := max(1, (d.size+7)/8)
		if words == 1 {
			return func(fr *frame) {
				p := unsafe.Add(fr.b[bankWords], home)
				*(*uint64)(p) = 0
				*objAt[unsafe.Pointer](fr, dst) = p
			}
		}
		return func(fr *frame) {
			p := unsafe.Add(fr.b[bankWords], home)
			clear(unsafe.Slice((*uint64)(p), words))
			*objAt[unsafe.Pointer](fr, dst) = p
		}
	}
	make := d.allocator()
	if d.size > 1<<16 {
		size := int(d.size)
		return func(fr *frame) {
			fr.t.run.want(size)
			*objAt[unsafe.Pointer](fr, dst) = make()
		}
	}
	return func(fr *frame) { *objAt[unsafe.Pointer](fr, dst) = make() }
}

func (k *compiler) load(in *ssa.UnOp) op {
	d := k.desc(in.Type())
	x, dst := k.val(in.X), k.dst(in)
	if x.isConst() {
		// A package variable: its place is known.
		p := *(*unsafe.Pointer)(x.c)
		if d.cl == clScalar && d.size == 8 {
			to := dst.off
			return func(fr *frame) { *at[uint64](fr, to) = *(*uint64)(p) }
		}
		load := d.loader()
		return func(fr *frame) { load(dst.at(fr), p) }
	}
	from, to := x.off, dst.off
	if _, ok := in.Type().Underlying().(*types.Array); ok && len(*in.Referrers()) == 0 {
		// go/ssa also makes this load for a range over *p that does not
		// evaluate *p, and the two cannot be told apart.
		return func(fr *frame) {
			if *objAt[unsafe.Pointer](fr, from) == nil {
				panic(&stopSignal{err: Unsupported("an array is taken from a nil pointer, perhaps only for its length")})
			}
		}
	}
	switch {
	case d.cl == clScalar && d.size == 8:
		return func(fr *frame) { *at[uint64](fr, to) = **objAt[*uint64](fr, from) }
	case d.cl == clScalar && d.size == 1:
		return func(fr *frame) { *at[uint8](fr, to) = **objAt[*uint8](fr, from) }
	case d.cl == clScalar && d.size == 4:
		return func(fr *frame) { *at[uint32](fr, to) = **objAt[*uint32](fr, from) }
	case d.cl == clPtr:
		return func(fr *frame) { *objAt[unsafe.Pointer](fr, to) = **objAt[*unsafe.Pointer](fr, from) }
	case d.cl == clString:
		return func(fr *frame) { *objAt[string](fr, to) = **objAt[*string](fr, from) }
	case d.cl == clSlice:
		return func(fr *frame) { *objAt[object](fr, to) = **objAt[*object](fr, from) }
	}
	load := d.loader()
	return func(fr *frame) { load(dst.at(fr), *objAt[unsafe.Pointer](fr, from)) }
}

func (k *compiler) store(in *ssa.Store) op {
	d := k.desc(in.Val.Type())
	if f, ok := in.Addr.(*ssa.FieldAddr); ok && k.fused[f] {
		if p, ok := k.placeOf(f); ok && p.kind == inFrame {
			return storeWord(p, k.val(in.Val))
		}
	}
	p, v := k.val(in.Addr), k.val(in.Val)
	if d.cl == clScalar && d.size == 8 && !p.isConst() {
		to := p.off
		if v.isConst() {
			c := *(*uint64)(v.c)
			return func(fr *frame) { **objAt[*uint64](fr, to) = c }
		}
		from := v.off
		return func(fr *frame) { **objAt[*uint64](fr, to) = *at[uint64](fr, from) }
	}
	store := d.storer()
	return func(fr *frame) { store(*(*unsafe.Pointer)(p.at(fr)), v.at(fr)) }
}

func (k *compiler) fieldAddr(in *ssa.FieldAddr) op {
	st := in.X.Type().Underlying().(*types.Pointer).Elem()
	off := k.fieldOffset(st, in.Field)
	x, dst := k.val(in.X), k.dst(in).off
	return func(fr *frame) {
		p := *(*unsafe.Pointer)(x.at(fr))
		if p == nil {
			nilDereference()
		}
		*objAt[unsafe.Pointer](fr, dst) = unsafe.Add(p, off)
	}
}

// fieldOffset is the place of a field; a compiled struct of reflect has the
// same fields in the same order.
func (k *compiler) fieldOffset(st types.Type, i int) uintptr {
	d := k.desc(st)
	if d.kind != reflect.Struct || i >= d.rt.NumField() {
		k.refuse("the fields of %s are not known", st)
	}
	return d.rt.Field(i).Offset
}

func (k *compiler) field(in *ssa.Field) op {
	off := k.fieldOffset(in.X.Type(), in.Field)
	return k.part(in.X, in, off)
}

// part reads a component at a fixed place of a struct or array.
func (k *compiler) part(x ssa.Value, v ssa.Value, off uintptr) op {
	d := k.desc(v.Type())
	from, dst := k.val(x), k.dst(v)
	if d.cl == clScalar && d.size == 8 && from.cl == clScalar && !from.isConst() {
		a, to := from.off+off, dst.off
		return func(fr *frame) { *at[uint64](fr, to) = *at[uint64](fr, a) }
	}
	if d.cl == clMem && from.cl == clMem {
		// The whole is never written again, so its part needs no copy.
		to := dst.off
		return func(fr *frame) { *objAt[unsafe.Pointer](fr, to) = unsafe.Add(from.mem(fr), off) }
	}
	load := d.loader()
	return func(fr *frame) { load(dst.at(fr), unsafe.Add(from.mem(fr), off)) }
}
