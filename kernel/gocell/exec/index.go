package exec

import (
	"fmt"
	"go/types"
	"reflect"
	"strconv"
	"unsafe"

	"golang.org/x/tools/go/ssa"
)

// indexPanic panics with Go's own error for an index outside a length.
//
//go:noinline
func indexPanic(i int64, unsigned bool, n int) {
	s := make([]struct{}, n)
	if unsigned {
		_ = s[uint64(i)]
	}
	_ = s[i]
}

func (k *compiler) indexAddr(in *ssa.IndexAddr) op {
	x, dst := k.val(in.X), k.dst(in).off
	read, unsigned := k.readInt(in.Index.Type(), k.val(in.Index)), isUnsigned(in.Index.Type())
	switch t := in.X.Type().Underlying().(type) {
	case *types.Slice:
		size := k.desc(t.Elem()).size
		if idx := k.val(in.Index); !idx.isConst() && !x.isConst() && idx.cl == clScalar && k.desc(in.Index.Type()).size == 8 {
			a, i := x.off, idx.off
			return func(fr *frame) {
				s, n := objAt[object](fr, a), *at[int](fr, i)
				if uint(n) >= uint(s.n) {
					indexPanic(int64(n), unsigned, s.n)
				}
				*objAt[unsafe.Pointer](fr, dst) = unsafe.Add(s.p, uintptr(n)*size)
			}
		}
		return func(fr *frame) {
			s, n := (*object)(x.at(fr)), read(fr)
			if uint64(n) >= uint64(s.n) {
				indexPanic(n, unsigned, s.n)
			}
			*objAt[unsafe.Pointer](fr, dst) = unsafe.Add(s.p, uintptr(n)*size)
		}
	case *types.Pointer:
		a, ok := t.Elem().Underlying().(*types.Array)
		if !ok {
			break
		}
		size, n := k.desc(a.Elem()).size, int(a.Len())
		return func(fr *frame) {
			p, i := *(*unsafe.Pointer)(x.at(fr)), read(fr)
			if uint64(i) >= uint64(n) {
				indexPanic(i, unsigned, n)
			}
			notNil(p)
			*objAt[unsafe.Pointer](fr, dst) = unsafe.Add(p, uintptr(i)*size)
		}
	}
	k.refuse("an index of %s cannot be run", in.X.Type())
	return nil
}

func (k *compiler) index(in *ssa.Index) op {
	x, dst := k.val(in.X), k.dst(in)
	read, unsigned := k.readInt(in.Index.Type(), k.val(in.Index)), isUnsigned(in.Index.Type())
	switch t := in.X.Type().Underlying().(type) {
	case *types.Basic:
		return func(fr *frame) {
			s, i := *(*string)(x.at(fr)), read(fr)
			if uint64(i) >= uint64(len(s)) {
				indexPanic(i, unsigned, len(s))
			}
			*at[uint8](fr, dst.off) = s[i]
		}
	case *types.Array:
		d, n := k.desc(t.Elem()), int(t.Len())
		load, size := d.loader(), d.size
		return func(fr *frame) {
			i := read(fr)
			if uint64(i) >= uint64(n) {
				indexPanic(i, unsigned, n)
			}
			load(dst.at(fr), unsafe.Add(x.mem(fr), uintptr(i)*size))
		}
	}
	k.refuse("an index of %s cannot be run", in.X.Type())
	return nil
}

// bound reads an optional slice bound.
func (k *compiler) bound(v ssa.Value) func(fr *frame) int64 {
	if v == nil {
		return nil
	}
	return k.readInt(v.Type(), k.val(v))
}

func (k *compiler) slice(in *ssa.Slice) op {
	x, dst := k.val(in.X), k.dst(in).off
	b := bounds{low: k.bound(in.Low), high: k.bound(in.High), max: k.bound(in.Max)}
	for i, v := range []ssa.Value{in.Low, in.High, in.Max} {
		b.unsigned[i] = v != nil && isUnsigned(v.Type())
	}
	switch t := in.X.Type().Underlying().(type) {
	case *types.Basic:
		return func(fr *frame) {
			s := *(*string)(x.at(fr))
			lo, hi := int64(0), int64(len(s))
			if b.low != nil {
				lo = b.low(fr)
			}
			if b.high != nil {
				hi = b.high(fr)
			}
			if uint64(hi) > uint64(len(s)) || uint64(lo) > uint64(hi) {
				b.panic(lo, hi, 0, len(s), true)
			}
			*objAt[string](fr, dst) = s[lo:hi]
		}
	case *types.Slice:
		size := k.desc(t.Elem()).size
		return func(fr *frame) {
			*objAt[object](fr, dst) = b.cut(fr, *(*object)(x.at(fr)), size, false)
		}
	case *types.Pointer:
		a, ok := t.Elem().Underlying().(*types.Array)
		if !ok {
			break
		}
		size, n := k.desc(a.Elem()).size, int(a.Len())
		if al, ok := in.X.(*ssa.Alloc); ok && al.Comment == "makeslice" && b.high != nil {
			// make with a constant capacity.
			return func(fr *frame) {
				h := b.high(fr)
				if h < 0 || h > int64(n) {
					makeSlicePanic(h)
				}
				*objAt[object](fr, dst) = object{*(*unsafe.Pointer)(x.at(fr)), int(h), n}
			}
		}
		return func(fr *frame) {
			p := *(*unsafe.Pointer)(x.at(fr))
			notNil(p)
			*objAt[object](fr, dst) = b.cut(fr, object{p, n, n}, size, true)
		}
	}
	k.refuse("a slice of %s cannot be run", in.X.Type())
	return nil
}

type bounds struct {
	low, high, max func(fr *frame) int64
	unsigned       [3]bool
}

func (b *bounds) cut(fr *frame, s object, size uintptr, array bool) object {
	lo, hi, most := int64(0), int64(s.n), int64(s.c)
	if b.low != nil {
		lo = b.low(fr)
	}
	if b.high != nil {
		hi = b.high(fr)
	}
	if b.max != nil {
		most = b.max(fr)
	}
	if uint64(most) > uint64(s.c) || uint64(hi) > uint64(most) || uint64(lo) > uint64(hi) {
		b.panic(lo, hi, most, s.c, array)
	}
	out := object{p: s.p, n: int(hi - lo), c: int(most - lo)}
	if out.c > 0 {
		out.p = unsafe.Add(s.p, uintptr(lo)*size)
	}
	return out
}

// slicePanic panics for bounds outside a slice, string or array of length or
// capacity c, in Go's words.
//
//go:noinline
func (b *bounds) panic(lo, hi, most int64, c int, fixed bool) {
	what := "capacity"
	if fixed {
		what = "length"
	}
	spell := func(n int64, unsigned bool) (s string, negative bool) {
		if unsigned {
			return strconv.FormatUint(uint64(n), 10), false
		}
		return strconv.FormatInt(n, 10), n < 0
	}
	l, lneg := spell(lo, b.unsigned[0])
	h, hneg := spell(hi, b.unsigned[1])
	m, mneg := spell(most, b.unsigned[2])
	var s string
	switch {
	case b.max != nil && mneg:
		s = "[::" + m + "]"
	case b.max != nil && uint64(most) > uint64(c):
		s = fmt.Sprintf("[::%s] with %s %d", m, what, c)
	case b.max != nil && hneg:
		s = "[:" + h + ":]"
	case b.max != nil && uint64(hi) > uint64(most):
		s = "[:" + h + ":" + m + "]"
	case b.max != nil && lneg:
		s = "[" + l + "::]"
	case b.max != nil:
		s = "[" + l + ":" + h + ":]"
	case hneg:
		s = "[:" + h + "]"
	case uint64(hi) > uint64(c):
		s = fmt.Sprintf("[:%s] with %s %d", h, what, c)
	case lneg:
		s = "[" + l + ":]"
	default:
		s = "[" + l + ":" + h + "]"
	}
	panic(boundsError("slice bounds out of range " + s))
}

// boundsError is a run-time error that Go words but does not let one make.
type boundsError string

func (e boundsError) Error() string { return "runtime error: " + string(e) }

// RuntimeError makes it a runtime.Error.
func (boundsError) RuntimeError() {}

func (k *compiler) makeSlice(in *ssa.MakeSlice) op {
	d := k.desc(in.Type().Underlying().(*types.Slice).Elem())
	length, capacity := k.readInt(in.Len.Type(), k.val(in.Len)), k.readInt(in.Cap.Type(), k.val(in.Cap))
	dst, size := k.dst(in).off, int64(d.size)
	makeArray := d.arrayAllocator()
	return func(fr *frame) {
		n, c := length(fr), capacity(fr)
		const most = 1 << 47
		if n < 0 || n > most && size > 0 || size > 0 && n > most/size {
			makeSlicePanic(-1)
		}
		if c < n || size > 0 && c > most/size {
			makeSlicePanic(1)
		}
		if bytes := c * size; bytes > 1<<16 {
			fr.t.run.want(int(bytes))
		}
		*objAt[object](fr, dst) = object{p: makeArray(int(c)), n: int(n), c: int(c)}
	}
}

// makeSlicePanic panics with Go's own error: the length is out of range when
// n is negative, else the capacity.
func makeSlicePanic(n int64) {
	if n < 0 {
		_ = make([]struct{}, n)
	}
	n = -1
	_ = make([]struct{}, 0, n)
}

// arrayAllocator makes zeroed memory for n values in a row.
func (d *typeDesc) arrayAllocator() func(n int) unsafe.Pointer {
	size := d.size
	if pointerFree(d.rt) {
		return func(n int) unsafe.Pointer {
			return unsafe.Pointer(unsafe.SliceData(make([]uint64, (uintptr(n)*size+7)/8)))
		}
	}
	switch d.cl {
	case clPtr:
		return func(n int) unsafe.Pointer { return unsafe.Pointer(unsafe.SliceData(make([]unsafe.Pointer, n))) }
	case clString:
		return func(n int) unsafe.Pointer { return unsafe.Pointer(unsafe.SliceData(make([]string, n))) }
	}
	st := reflect.SliceOf(d.rt)
	return func(n int) unsafe.Pointer { return reflect.MakeSlice(st, n, n).UnsafePointer() }
}

func (k *compiler) sliceToArrayPointer(in *ssa.SliceToArrayPointer) op {
	a := in.Type().Underlying().(*types.Pointer).Elem().Underlying().(*types.Array)
	x, dst, n := k.val(in.X), k.dst(in).off, int(a.Len())
	return func(fr *frame) {
		s := *(*object)(x.at(fr))
		if s.n < n {
			panic(boundsError(fmt.Sprintf("cannot convert slice with length %d to array or pointer to array with length %d", s.n, n)))
		}
		*objAt[unsafe.Pointer](fr, dst) = s.p
	}
}
