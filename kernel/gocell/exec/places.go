package exec

import (
	"go/token"
	"go/types"
	"unsafe"

	"golang.org/x/tools/go/ssa"
)

// A place is memory that an instruction reads or writes without that its
// address is put into a slot first.
type place struct {
	kind     placeKind
	base     uintptr        // the slot of the pointer or slice, or of the memory itself
	index    uintptr        // the slot of the index
	unsigned bool           // of the index
	size     uintptr        // of an element
	off      uintptr        // of a field in it
	fixed    unsafe.Pointer // of a package variable
}

type placeKind uint8

const (
	behind  placeKind = iota // a pointer
	inSlice                  // an element
	inFrame                  // a variable whose address does not leave the function
	always                   // a package variable
)

// pointed is the memory at an offset behind the pointer in a slot.
func pointed(fr *frame, base, off uintptr) unsafe.Pointer {
	p := *objAt[unsafe.Pointer](fr, base)
	if p == nil {
		nilDereference()
	}
	return unsafe.Add(p, off)
}

// elementAt is the memory of an element of a slice, or of a field of it.
func elementAt(fr *frame, p *place) unsafe.Pointer {
	s, n := objAt[object](fr, p.base), *at[int](fr, p.index)
	if uint(n) >= uint(s.n) {
		indexPanic(int64(n), p.unsigned, s.n)
	}
	return unsafe.Add(s.p, uintptr(n)*p.size+p.off)
}

// placeOf finds the place that an address is of.
func (k *compiler) placeOf(addr ssa.Value) (p place, ok bool) {
	switch a := addr.(type) {
	case *ssa.FieldAddr:
		off := k.fieldOffset(a.X.Type().Underlying().(*types.Pointer).Elem(), a.Field)
		if home, ok := k.homeOf(a.X); ok {
			return place{kind: inFrame, base: home + off}, true
		}
		x := k.val(a.X)
		if x.isConst() {
			return place{kind: always, fixed: unsafe.Add(*(*unsafe.Pointer)(x.c), off)}, *(*unsafe.Pointer)(x.c) != nil
		}
		return place{kind: behind, base: x.off, off: off}, true
	case *ssa.IndexAddr:
		s, ok := a.X.Type().Underlying().(*types.Slice)
		if !ok {
			return p, false
		}
		x, i := k.val(a.X), k.val(a.Index)
		if x.isConst() || i.isConst() || k.desc(a.Index.Type()).size != 8 {
			return p, false
		}
		return place{kind: inSlice, base: x.off, index: i.off, unsigned: isUnsigned(a.Index.Type()), size: k.desc(s.Elem()).size}, true
	}
	if home, ok := k.homeOf(addr); ok {
		return place{kind: inFrame, base: home}, true
	}
	x := k.val(addr)
	if x.isConst() {
		return place{kind: always, fixed: *(*unsafe.Pointer)(x.c)}, *(*unsafe.Pointer)(x.c) != nil
	}
	return place{kind: behind, base: x.off}, true
}

// homeOf is where the variable of an Alloc lives when its address does not
// leave the function: in the words of the frame.
func (k *compiler) homeOf(v ssa.Value) (uintptr, bool) {
	in, ok := v.(*ssa.Alloc)
	if !ok || in.Heap {
		return 0, false
	}
	d := k.desc(in.Type().Underlying().(*types.Pointer).Elem())
	if d.cl != clScalar {
		return 0, false
	}
	home, ok := k.homes[in]
	if !ok {
		home = k.size.slot(d).off
		k.homes[in] = home
	}
	return home, true
}

// joinPlaces finds instructions of a block that follow each other and are
// one: the address of an element or field, its load, what is computed with it,
// its store. The first of them does it all; nothing lies between them, so that
// all happens in its order.
func (k *compiler) joinPlaces(b *ssa.BasicBlock) {
	last := len(b.Instrs) - 1
	for i, in := range b.Instrs[:last] {
		if !k.fused[in] {
			quietly(func() { k.joinAt(b.Instrs[i:last]) })
		}
	}
}

// foldAddress marks the address of a field of a variable in the frame that is
// only read from and written to: nobody needs it.
func (k *compiler) foldAddress(in ssa.Instruction) {
	if f, ok := in.(*ssa.FieldAddr); ok {
		quietly(func() { k.fused[f] = k.foldable(f) })
	}
}

// quietly runs f; what it refuses is refused again where it is translated.
func quietly(f func()) {
	defer func() {
		switch r := recover().(type) {
		case nil, *refused, *typeError:
		default:
			panic(r)
		}
	}()
	f()
}

func (k *compiler) foldable(f *ssa.FieldAddr) bool {
	if _, ok := k.homeOf(f.X); !ok {
		return false
	}
	for _, r := range *f.Referrers() {
		switch r := r.(type) {
		case *ssa.UnOp:
			if !k.isWord(r.Type()) {
				return false
			}
		case *ssa.Store:
			if r.Addr != f || !k.isWord(r.Val.Type()) {
				return false
			}
		default:
			return false
		}
	}
	return true
}

// isWord says whether values of the type are eight bytes without pointers.
func (k *compiler) isWord(t types.Type) bool {
	d := k.desc(t)
	return d.cl == clScalar && d.size == 8
}

// An access is a place whose address the first n of a run of instructions
// make, none if it is there before them.
type access struct {
	place
	run  []ssa.Instruction
	n    int
	addr ssa.Value
}

// alone says whether nothing but what follows wants the address.
func (a access) alone() bool { return uses(a.addr) == 1 }

// accessAt finds the place that a run of instructions begins with.
func (k *compiler) accessAt(run []ssa.Instruction) (a access, ok bool) {
	a.run = run
	switch in := run[0].(type) {
	case *ssa.FieldAddr, *ssa.IndexAddr:
		a.addr, a.n = in.(ssa.Value), 1
		if f, ok := following[*ssa.FieldAddr](run, 1); ok && f.X == a.addr && a.alone() {
			return k.fieldOf(a, f)
		}
	case *ssa.UnOp:
		a.addr = in.X
		if in.Op != token.MUL {
			return a, false
		}
	default:
		return a, false
	}
	a.place, ok = k.placeOf(a.addr)
	return a, ok
}

// fieldOf is a field of the element or field that a is.
func (k *compiler) fieldOf(a access, f *ssa.FieldAddr) (access, bool) {
	inner, ok := k.placeOf(a.addr)
	if !ok || inner.kind == always {
		return a, false
	}
	off := k.fieldOffset(f.X.Type().Underlying().(*types.Pointer).Elem(), f.Field)
	if inner.kind == inFrame {
		inner.base += off
	} else {
		inner.off += off
	}
	a.place, a.addr, a.n = inner, f, 2
	return a, true
}

// joinAt joins instructions from the first of run on, if they belong together.
func (k *compiler) joinAt(run []ssa.Instruction) {
	a, ok := k.accessAt(run)
	if !ok {
		return
	}
	made := a.n > 0 // the address, which then nothing else may want
	if st, ok := following[*ssa.Store](run, a.n); ok && made && st.Addr == a.addr && a.alone() {
		if k.isWord(st.Val.Type()) {
			val := k.val(st.Val)
			k.join(run[:a.n+1], func() op { return storeWord(a.place, val) })
		}
		return
	}
	load, ok := following[*ssa.UnOp](run, a.n)
	if !ok || load.Op != token.MUL || load.X != a.addr {
		return
	}
	if made && a.alone() && k.desc(load.Type()).cl == clPtr && a.kind != inFrame {
		dst := k.dst(load).off
		k.join(run[:a.n+1], func() op { return loadPointer(a.place, dst) })
		return
	}
	if !k.isWord(load.Type()) || k.joinUpdate(a, load) || made && !a.alone() || k.joinComputed(a, load) {
		return
	}
	if made || a.kind == inFrame {
		dst := k.dst(load).off
		k.join(run[:a.n+1], func() op { return loadWord(a.place, dst) })
	}
}

// computed is what the instruction after a load makes of it alone.
func (a access) computed(load *ssa.UnOp) (*ssa.BinOp, bool) {
	bin, ok := following[*ssa.BinOp](a.run, a.n+1)
	return bin, ok && uses(load) == 1 && joinable(bin) && bin.X != bin.Y
}

// joinUpdate joins a number that is loaded, computed with, and stored where it
// was.
func (k *compiler) joinUpdate(a access, load *ssa.UnOp) bool {
	bin, ok := a.computed(load)
	if !ok || bin.X != load || uses(bin) != 1 {
		return false
	}
	end := storedBack(a.run, a.n, a.addr, bin)
	if end == 0 {
		return false
	}
	y := k.val(bin.Y)
	k.join(a.run[:end], func() op { return updateNumber(bin, a.place, y) })
	return true
}

// joinComputed joins a number that is loaded and computed with.
func (k *compiler) joinComputed(a access, load *ssa.UnOp) bool {
	bin, ok := a.computed(load)
	if !ok {
		return false
	}
	var x ssa.Value
	switch {
	case bin.Y == load:
		x = bin.X
	case bin.X == load && bin.Op != token.SUB:
		x = bin.Y
	default:
		return false
	}
	other, dst := k.val(x), k.dst(bin).off
	k.join(a.run[:a.n+2], func() op { return loadAndCompute(bin, a.place, other, dst) })
	return true
}

// storedBack says how many instructions from the first of run on store bin to
// where addr, the address that the first n make, leads; 0 when they don't.
// go/ssa makes the address of an updated element or field a second time.
func storedBack(run []ssa.Instruction, n int, addr ssa.Value, bin *ssa.BinOp) int {
	if st, ok := following[*ssa.Store](run, n+2); ok && st.Addr == addr && st.Val == bin && (n == 0 || uses(addr) == 2) {
		return n + 3
	}
	st, ok := following[*ssa.Store](run, n+2+n)
	if n == 0 || !ok || st.Val != bin || uses(addr) != 1 || uses(st.Addr) != 1 {
		return 0
	}
	if again, ok := run[n+1+n].(ssa.Value); !ok || again != st.Addr {
		return 0
	}
	for i := range n {
		if a, b := run[i], run[n+2+i]; !sameAddress(a, b) && (i == 0 || !sameField(a, b, run[i-1], run[n+1+i])) {
			return 0
		}
	}
	return n + 3 + n
}

// sameAddress says whether two instructions make the same address.
func sameAddress(a, b ssa.Instruction) bool {
	switch a := a.(type) {
	case *ssa.FieldAddr:
		b, ok := b.(*ssa.FieldAddr)
		return ok && a.X == b.X && a.Field == b.Field
	case *ssa.IndexAddr:
		b, ok := b.(*ssa.IndexAddr)
		return ok && a.X == b.X && a.Index == b.Index
	}
	return false
}

// sameField says whether a and b are the same field of what x and y are the
// addresses of, for nothing else.
func sameField(a, b, x, y ssa.Instruction) bool {
	f, ok1 := a.(*ssa.FieldAddr)
	g, ok2 := b.(*ssa.FieldAddr)
	return ok1 && ok2 && f.Field == g.Field && f.X == x.(ssa.Value) && g.X == y.(ssa.Value) && uses(g.X) == 1
}

// following is the nth instruction if it is of kind I.
func following[I ssa.Instruction](run []ssa.Instruction, n int) (in I, ok bool) {
	if n < len(run) {
		in, ok = run[n].(I)
	}
	return in, ok
}

func uses(v ssa.Value) int { return len(*v.Referrers()) }

// join lets the first of the instructions do what all of them do.
func (k *compiler) join(run []ssa.Instruction, do func() op) {
	k.joined[run[0]] = do
	for _, in := range run[1:] {
		k.fused[in] = true
	}
}

// joinable says whether a sum, difference or product is of numbers that are
// eight bytes wide.
func joinable(in *ssa.BinOp) bool {
	if in.Op != token.ADD && in.Op != token.SUB && in.Op != token.MUL {
		return false
	}
	kind, ok := basicNumber(in.Type())
	switch kind {
	case types.Int, types.Int64, types.Uint, types.Uint64, types.Uintptr, types.Float64:
		return ok
	}
	return false
}

func isFloat(in *ssa.BinOp) bool {
	kind, _ := basicNumber(in.Type())
	return kind == types.Float64
}

func loadWord(p place, dst uintptr) op {
	base, off, fixed := p.base, p.off, (*uint64)(p.fixed)
	switch p.kind {
	case inFrame:
		return func(fr *frame) { *at[uint64](fr, dst) = *at[uint64](fr, base) }
	case behind:
		return func(fr *frame) { *at[uint64](fr, dst) = *(*uint64)(pointed(fr, base, off)) }
	case inSlice:
		return func(fr *frame) { *at[uint64](fr, dst) = *(*uint64)(elementAt(fr, &p)) }
	}
	return func(fr *frame) { *at[uint64](fr, dst) = *fixed }
}

func loadPointer(p place, dst uintptr) op {
	base, off, fixed := p.base, p.off, (*unsafe.Pointer)(p.fixed)
	switch p.kind {
	case behind:
		return func(fr *frame) { *objAt[unsafe.Pointer](fr, dst) = *(*unsafe.Pointer)(pointed(fr, base, off)) }
	case inSlice:
		return func(fr *frame) { *objAt[unsafe.Pointer](fr, dst) = *(*unsafe.Pointer)(elementAt(fr, &p)) }
	}
	return func(fr *frame) { *objAt[unsafe.Pointer](fr, dst) = *fixed }
}

func storeWord(p place, val operand) op {
	base, off, fixed := p.base, p.off, (*uint64)(p.fixed)
	switch p.kind {
	case inFrame:
		return func(fr *frame) { *at[uint64](fr, base) = *(*uint64)(val.at(fr)) }
	case behind:
		return func(fr *frame) { *(*uint64)(pointed(fr, base, off)) = *(*uint64)(val.at(fr)) }
	case inSlice:
		return func(fr *frame) { *(*uint64)(elementAt(fr, &p)) = *(*uint64)(val.at(fr)) }
	}
	return func(fr *frame) { *fixed = *(*uint64)(val.at(fr)) }
}

// updateNumber is place = place op y.
func updateNumber(in *ssa.BinOp, p place, y operand) op {
	if isFloat(in) {
		return update[float64](in.Op, p, y)
	}
	return update[uint64](in.Op, p, y)
}

func update[T float64 | uint64](tok token.Token, p place, y operand) op {
	base, off, fixed := p.base, p.off, (*T)(p.fixed)
	switch {
	case p.kind == inFrame && tok == token.ADD:
		return func(fr *frame) { *at[T](fr, base) += *(*T)(y.at(fr)) }
	case p.kind == inFrame && tok == token.SUB:
		return func(fr *frame) { *at[T](fr, base) -= *(*T)(y.at(fr)) }
	case p.kind == inFrame:
		return func(fr *frame) { *at[T](fr, base) *= *(*T)(y.at(fr)) }
	case p.kind == behind && tok == token.ADD:
		return func(fr *frame) { *(*T)(pointed(fr, base, off)) += *(*T)(y.at(fr)) }
	case p.kind == behind && tok == token.SUB:
		return func(fr *frame) { *(*T)(pointed(fr, base, off)) -= *(*T)(y.at(fr)) }
	case p.kind == behind:
		return func(fr *frame) { *(*T)(pointed(fr, base, off)) *= *(*T)(y.at(fr)) }
	case p.kind == inSlice && tok == token.ADD:
		return func(fr *frame) { *(*T)(elementAt(fr, &p)) += *(*T)(y.at(fr)) }
	case p.kind == inSlice && tok == token.SUB:
		return func(fr *frame) { *(*T)(elementAt(fr, &p)) -= *(*T)(y.at(fr)) }
	case p.kind == inSlice:
		return func(fr *frame) { *(*T)(elementAt(fr, &p)) *= *(*T)(y.at(fr)) }
	case tok == token.ADD:
		return func(fr *frame) { *fixed += *(*T)(y.at(fr)) }
	case tok == token.SUB:
		return func(fr *frame) { *fixed -= *(*T)(y.at(fr)) }
	}
	return func(fr *frame) { *fixed *= *(*T)(y.at(fr)) }
}

// loadAndCompute is dst = x op place.
func loadAndCompute(in *ssa.BinOp, p place, x operand, dst uintptr) op {
	if isFloat(in) {
		return compute[float64](in.Op, p, x, dst)
	}
	return compute[uint64](in.Op, p, x, dst)
}

func compute[T float64 | uint64](tok token.Token, p place, x operand, dst uintptr) op {
	base, off, fixed := p.base, p.off, (*T)(p.fixed)
	switch {
	case p.kind == inFrame && tok == token.ADD:
		return func(fr *frame) { *at[T](fr, dst) = *(*T)(x.at(fr)) + *at[T](fr, base) }
	case p.kind == inFrame && tok == token.SUB:
		return func(fr *frame) { *at[T](fr, dst) = *(*T)(x.at(fr)) - *at[T](fr, base) }
	case p.kind == inFrame:
		return func(fr *frame) { *at[T](fr, dst) = *(*T)(x.at(fr)) * *at[T](fr, base) }
	case p.kind == behind && tok == token.ADD:
		return func(fr *frame) { *at[T](fr, dst) = *(*T)(x.at(fr)) + *(*T)(pointed(fr, base, off)) }
	case p.kind == behind && tok == token.SUB:
		return func(fr *frame) { *at[T](fr, dst) = *(*T)(x.at(fr)) - *(*T)(pointed(fr, base, off)) }
	case p.kind == behind:
		return func(fr *frame) { *at[T](fr, dst) = *(*T)(x.at(fr)) * *(*T)(pointed(fr, base, off)) }
	case p.kind == inSlice && tok == token.ADD:
		return func(fr *frame) { *at[T](fr, dst) = *(*T)(x.at(fr)) + *(*T)(elementAt(fr, &p)) }
	case p.kind == inSlice && tok == token.SUB:
		return func(fr *frame) { *at[T](fr, dst) = *(*T)(x.at(fr)) - *(*T)(elementAt(fr, &p)) }
	case p.kind == inSlice:
		return func(fr *frame) { *at[T](fr, dst) = *(*T)(x.at(fr)) * *(*T)(elementAt(fr, &p)) }
	case tok == token.ADD:
		return func(fr *frame) { *at[T](fr, dst) = *(*T)(x.at(fr)) + *fixed }
	case tok == token.SUB:
		return func(fr *frame) { *at[T](fr, dst) = *(*T)(x.at(fr)) - *fixed }
	}
	return func(fr *frame) { *at[T](fr, dst) = *(*T)(x.at(fr)) * *fixed }
}
