package exec

import (
	"go/types"
	"reflect"
	"unsafe"

	"golang.org/x/tools/go/ssa"
)

var memory = types.SizesFor("gc", "amd64")

// fuseAppend marks the instructions by which go/ssa makes a slice of the one
// element x of append(s, x), when in is that append: a new array, the address
// of its element, the store of x, and the slice of the array. The append takes
// x itself, which no instruction between can change.
func (k *compiler) fuseAppend(in ssa.Instruction) {
	call, ok := in.(*ssa.Call)
	if !ok || len(call.Call.Args) != 2 {
		return
	}
	if f, ok := call.Call.Value.(*ssa.Builtin); !ok || f.Name() != "append" {
		return
	}
	cut, ok := call.Call.Args[1].(*ssa.Slice)
	if !ok || cut.Block() != call.Block() || len(*cut.Referrers()) != 1 || cut.Low != nil || cut.High != nil || cut.Max != nil {
		return
	}
	array, ok := cut.X.(*ssa.Alloc)
	if !ok || array.Comment != "varargs" || array.Block() != call.Block() || len(*array.Referrers()) != 2 {
		return
	}
	if a, ok := array.Type().Underlying().(*types.Pointer).Elem().Underlying().(*types.Array); !ok || a.Len() != 1 || memory.Sizeof(a) == 0 {
		return
	}
	addr, ok := (*array.Referrers())[0].(*ssa.IndexAddr)
	if !ok || addr.Block() != call.Block() || len(*addr.Referrers()) != 1 {
		return
	}
	store, ok := (*addr.Referrers())[0].(*ssa.Store)
	if !ok || store.Addr != addr || store.Block() != call.Block() {
		return
	}
	for _, done := range []ssa.Instruction{array, addr, store, cut} {
		k.fused[done] = true
	}
	k.listed[cut] = store.Val
}

// appendOne appends the value of y: in place when there is room, else as Go
// grows a slice.
func (k *compiler) appendOne(elem *typeDesc, x, y operand, d uintptr, grow func(to *object, a, b unsafe.Pointer)) op {
	size, store, temp := elem.size, elem.storer(), elem.allocator()
	longer := func(fr *frame, a *object) {
		fr.t.run.wantGrowth(a.n+1, int(size))
		one := object{p: temp(), n: 1, c: 1}
		store(one.p, y.at(fr))
		grow(objAt[object](fr, d), unsafe.Pointer(a), unsafe.Pointer(&one))
	}
	if elem.cl == clScalar && size == 8 && !y.isConst() && !x.isConst() {
		from, slice := y.off, x.off
		if slice == d {
			return func(fr *frame) {
				a := objAt[object](fr, slice)
				if a.n >= a.c {
					longer(fr, a)
					return
				}
				*(*uint64)(unsafe.Add(a.p, uintptr(a.n)*8)) = *at[uint64](fr, from)
				a.n++
			}
		}
		return func(fr *frame) {
			a := objAt[object](fr, slice)
			if a.n >= a.c {
				longer(fr, a)
				return
			}
			*(*uint64)(unsafe.Add(a.p, uintptr(a.n)*8)) = *at[uint64](fr, from)
			*objAt[object](fr, d) = object{p: a.p, n: a.n + 1, c: a.c}
		}
	}
	return func(fr *frame) {
		a := (*object)(x.at(fr))
		if a.n >= a.c {
			longer(fr, a)
			return
		}
		store(unsafe.Add(a.p, uintptr(a.n)*size), y.at(fr))
		*objAt[object](fr, d) = object{p: a.p, n: a.n + 1, c: a.c}
	}
}

// wantGrowth ends the cell when a slice of n elements is more than it may have.
func (r *run) wantGrowth(n, size int) {
	if n < 0 {
		panic(boundsError("growslice: len out of range"))
	}
	if n > 1<<12 {
		r.want(n * size)
	}
}

func (k *compiler) appendCall(c *ssa.CallCommon, to operand) op {
	x := k.val(c.Args[0])
	if len(c.Args) == 1 {
		return k.copyTo(to, x, k.desc(c.Args[0].Type()))
	}
	y, d := k.val(c.Args[1]), to.off
	st, ok := c.Signature().Results().At(0).Type().Underlying().(*types.Slice)
	if !ok {
		k.refuse("append to %s cannot be run", c.Args[0].Type())
	}
	elem := k.desc(st.Elem())
	if b, ok := c.Args[1].Type().Underlying().(*types.Basic); ok && b.Info()&types.IsString != 0 {
		return func(fr *frame) {
			a, s := *(*[]byte)(x.at(fr)), *(*string)(y.at(fr))
			fr.t.run.want(len(a) + len(s))
			*objAt[[]byte](fr, d) = append(a, s...)
		}
	}
	size := int(elem.size)
	grow := elem.appender()
	if one := k.listed[c.Args[1]]; one != nil {
		return k.appendOne(elem, x, k.val(one), d, grow)
	}
	return func(fr *frame) {
		a, b := x.at(fr), y.at(fr)
		if n := (*object)(a).n + (*object)(b).n; n > (*object)(a).c || n < 0 {
			fr.t.run.wantGrowth(n, size)
		}
		grow(objAt[object](fr, d), a, b)
	}
}

// appender appends the slice at b to the slice at a, growing as Go does.
func (d *typeDesc) appender() func(to *object, a, b unsafe.Pointer) {
	if pointerFree(d.rt) {
		switch d.size {
		case 1:
			return appendAs[uint8]
		case 2:
			return appendAs[uint16]
		case 4:
			return appendAs[uint32]
		case 8:
			return appendAs[uint64]
		case 16:
			return appendAs[[2]uint64]
		}
	} else {
		switch d.cl {
		case clPtr:
			return appendAs[unsafe.Pointer]
		case clString:
			return appendAs[string]
		case clIface:
			return appendAs[any]
		case clSlice:
			return appendAs[[]struct{}]
		}
	}
	sliceAt := placed(reflect.SliceOf(d.rt))
	return func(to *object, a, b unsafe.Pointer) {
		out := reflect.AppendSlice(sliceAt(a), sliceAt(b))
		*to = object{out.UnsafePointer(), out.Len(), out.Cap()}
	}
}

func appendAs[T any](to *object, a, b unsafe.Pointer) {
	out := append(*(*[]T)(a), *(*[]T)(b)...)
	*(*[]T)(unsafe.Pointer(to)) = out
}
