package exec

import (
	"go/types"
	"reflect"
	"unicode/utf8"
	"unsafe"

	"golang.org/x/tools/go/ssa"
)

// reader gives the content of a slot as a reflect value of the memory type. It
// is to be used before the slot changes.
func (o operand) reader(d *typeDesc) func(fr *frame) reflect.Value {
	if d.cl == clIface {
		return func(fr *frame) reflect.Value {
			v := reflect.New(d.rt).Elem()
			if x := *(*any)(o.at(fr)); x != nil {
				v.Set(reflect.ValueOf(x))
			}
			return v
		}
	}
	place := placed(d.rt)
	return func(fr *frame) reflect.Value { return place(o.mem(fr)) }
}

// setter copies a reflect value of type d into a slot.
func (d *typeDesc) setter() func(slot unsafe.Pointer, v reflect.Value) {
	if d.cl != clMem && d.cl != clIface {
		place := placed(d.rt)
		return func(slot unsafe.Pointer, v reflect.Value) { place(slot).Set(v) }
	}
	load, rt := d.loader(), d.rt
	return func(slot unsafe.Pointer, v reflect.Value) {
		p := reflect.New(rt)
		p.Elem().Set(v)
		load(slot, p.UnsafePointer())
	}
}

// taker copies the key or the element that an iterator is at into a slot.
func (d *typeDesc) taker(take func(v reflect.Value, it *reflect.MapIter)) func(slot unsafe.Pointer, it *reflect.MapIter) {
	if d.cl != clMem && d.cl != clIface {
		place := placed(d.rt)
		return func(slot unsafe.Pointer, it *reflect.MapIter) { take(place(slot), it) }
	}
	load, rt := d.loader(), d.rt
	return func(slot unsafe.Pointer, it *reflect.MapIter) {
		p := reflect.New(rt)
		take(p.Elem(), it)
		load(slot, p.UnsafePointer())
	}
}

func (k *compiler) mapType(t types.Type) (key, elem *typeDesc, rt reflect.Type) {
	m, ok := t.Underlying().(*types.Map)
	if !ok {
		k.refuse("%s is not a map", t)
	}
	d := k.desc(t)
	rt = d.rt
	key, elem = k.desc(m.Key()), k.desc(m.Elem())
	// A map inside a recursive type has an opaque memory type there: make
	// and use it with the type that follows from its own parts.
	if rt.Kind() != reflect.Map || rt.Key() != key.rt || rt.Elem() != elem.rt {
		rt = reflect.MapOf(key.rt, elem.rt)
	}
	return key, elem, rt
}

func (k *compiler) makeMap(in *ssa.MakeMap) op {
	_, _, rt := k.mapType(in.Type())
	dst := k.dst(in).off
	reserve := func(*frame) int64 { return 0 }
	if in.Reserve != nil {
		reserve = k.readInt(in.Reserve.Type(), k.val(in.Reserve))
	}
	return func(fr *frame) {
		n := reserve(fr)
		if n < 0 {
			n = 0
		}
		fr.t.run.want(int(n))
		*objAt[unsafe.Pointer](fr, dst) = reflect.MakeMapWithSize(rt, int(n)).UnsafePointer()
	}
}

func (k *compiler) mapUpdate(in *ssa.MapUpdate) op {
	key, elem, rt := k.mapType(in.Map.Type())
	m, kv, ev := k.val(in.Map), k.val(in.Key), k.val(in.Value)
	if f := fastMaps[mapShape(key, elem)]; f != nil {
		return f.update(m, kv, ev)
	}
	check, mapAt, readKey, readElem := key.hashable(), placed(rt), kv.reader(key), ev.reader(elem)
	return func(fr *frame) {
		mv := mapAt(m.at(fr))
		kr := readKey(fr)
		if check != nil {
			check(kr)
		}
		if mv.IsNil() {
			nilMapWrite(nil)
		}
		mv.SetMapIndex(kr, readElem(fr))
	}
}

// nilMapWrite panics with Go's own error.
func nilMapWrite(m map[int]int) { m[0] = 0 }

// hashable makes a test that panics as Go does for a key whose dynamic type
// is an uncomparable cell type; nil where no key can be that.
func (d *typeDesc) hashable() func(reflect.Value) {
	if d.kind != reflect.Interface {
		return nil
	}
	return func(v reflect.Value) {
		if v.IsNil() {
			return
		}
		if b, ok := Unbox(v.Interface()); ok && !b.typ.comparable {
			panic(boundsError("hash of unhashable type " + b.typ.name))
		}
	}
}

func (k *compiler) lookup(in *ssa.Lookup) op {
	x := k.val(in.X)
	var dst, ok operand
	if in.CommaOk {
		dst, ok = k.tuple[in][0], k.tuple[in][1]
	} else {
		dst = k.dst(in)
	}
	key, elem, rt := k.mapType(in.X.Type())
	kv := k.val(in.Index)
	if f := fastMaps[mapShape(key, elem)]; f != nil {
		return f.lookup(x, kv, dst, ok, in.CommaOk)
	}
	set, zero, size := elem.setter(), zeroSlot(elem), elem.operandSize()
	commaOk, check, mapAt, readKey := in.CommaOk, key.hashable(), placed(rt), kv.reader(key)
	return func(fr *frame) {
		kr := readKey(fr)
		if check != nil {
			check(kr)
		}
		v := mapAt(x.at(fr)).MapIndex(kr)
		if v.IsValid() {
			set(dst.at(fr), v)
		} else {
			copySlot(elem.cl, size, dst.at(fr), zero)
		}
		if commaOk {
			*at[bool](fr, ok.off) = v.IsValid()
		}
	}
}

// A fastMap has the operations of maps whose keys and elements have a layout
// that is common in cells. Named types of one layout hash and move alike.
type fastMap struct {
	update func(m, key, elem operand) op
	lookup func(m, key, dst, ok operand, commaOk bool) op
}

func fastMapOf[K comparable, V any]() *fastMap {
	return &fastMap{
		update: func(m, key, elem operand) op {
			return func(fr *frame) { (*(*map[K]V)(m.at(fr)))[*(*K)(key.at(fr))] = *(*V)(elem.at(fr)) }
		},
		lookup: func(m, key, dst, ok operand, commaOk bool) op {
			if commaOk {
				return func(fr *frame) {
					v, found := (*(*map[K]V)(m.at(fr)))[*(*K)(key.at(fr))]
					*(*V)(dst.at(fr)) = v
					*at[bool](fr, ok.off) = found
				}
			}
			return func(fr *frame) { *(*V)(dst.at(fr)) = (*(*map[K]V)(m.at(fr)))[*(*K)(key.at(fr))] }
		},
	}
}

var fastMaps = map[string]*fastMap{}

func init() {
	fastMapsOf[string]('s')
	fastMapsOf[int]('i')
	fastMapsOf[rune]('r')
	fastMapsOf[byte]('c')
}

func fastMapsOf[K comparable](key byte) {
	for elem, f := range map[byte]*fastMap{
		'f': fastMapOf[K, float64](), 'i': fastMapOf[K, int](), 'r': fastMapOf[K, rune](), 'c': fastMapOf[K, byte](),
		'b': fastMapOf[K, bool](), 's': fastMapOf[K, string](), 'v': fastMapOf[K, slice](), 'a': fastMapOf[K, any](),
		'p': fastMapOf[K, unsafe.Pointer](), 'P': fastMapOf[K, point](),
	} {
		fastMaps[string([]byte{key, elem})] = f
	}
}

// mapShape spells the layout of a map type.
func mapShape(key, elem *typeDesc) string { return string([]byte{shape(key), shape(elem)}) }

// mapIter and stringIter are the iterators of range.
type mapIter struct{ reflect.MapIter }

type stringIter struct {
	s   string
	pos int
}

func (k *compiler) rangeInstr(in *ssa.Range) op {
	x, dst := k.val(in.X), k.dst(in).off
	if _, ok := in.X.Type().Underlying().(*types.Map); ok {
		_, _, rt := k.mapType(in.X.Type())
		mapAt := placed(rt)
		return func(fr *frame) {
			m := new(unsafe.Pointer) // the slot may change meanwhile
			*m = *(*unsafe.Pointer)(x.at(fr))
			it := &mapIter{}
			it.Reset(mapAt(unsafe.Pointer(m)))
			*ifaceAt(fr, dst) = it
		}
	}
	return func(fr *frame) { *ifaceAt(fr, dst) = &stringIter{s: *(*string)(x.at(fr))} }
}

func (k *compiler) next(in *ssa.Next) op {
	out := k.tuple[in]
	it := k.val(in.Iter).off
	okOff := out[0].off
	used := func(i int) bool {
		b, ok := in.Type().(*types.Tuple).At(i).Type().(*types.Basic)
		return !ok || b.Kind() != types.Invalid
	}
	if in.IsString {
		return nextRune(it, okOff, out, used(1), used(2))
	}
	rng, ok := in.Iter.(*ssa.Range)
	if !ok {
		k.refuse("an iterator from elsewhere cannot be run")
	}
	key, elem, _ := k.mapType(rng.X.Type())
	var takeKey, takeElem func(unsafe.Pointer, *reflect.MapIter)
	if used(1) {
		takeKey = key.taker(reflect.Value.SetIterKey)
	}
	if used(2) {
		takeElem = elem.taker(reflect.Value.SetIterValue)
	}
	return func(fr *frame) {
		m := &(*ifaceAt(fr, it)).(*mapIter).MapIter
		ok := m.Next()
		*at[bool](fr, okOff) = ok
		if !ok {
			return
		}
		if takeKey != nil {
			takeKey(out[1].at(fr), m)
		}
		if takeElem != nil {
			takeElem(out[2].at(fr), m)
		}
	}
}

func nextRune(it, okOff uintptr, out []operand, useKey, useElem bool) op {
	return func(fr *frame) {
		s := (*ifaceAt(fr, it)).(*stringIter)
		if s.pos >= len(s.s) {
			*at[bool](fr, okOff) = false
			return
		}
		*at[bool](fr, okOff) = true
		r, n := rune(s.s[s.pos]), 1
		if r >= utf8.RuneSelf {
			r, n = utf8.DecodeRuneInString(s.s[s.pos:])
		}
		if useKey {
			*at[int](fr, out[1].off) = s.pos
		}
		if useElem {
			*at[rune](fr, out[2].off) = r
		}
		s.pos += n
	}
}
