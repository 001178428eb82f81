package exec

import (
	"go/token"
	"go/types"
	"slices"
	"unsafe"

	"golang.org/x/tools/go/ssa"
)

// coalesce lets values be computed straight into the slot of the φ-function
// that they go to, where the old content of that slot is no longer wanted.
// The edges then have nothing to move.
func (k *compiler) coalesce() {
	for _, b := range k.fn.Blocks {
		for _, in := range b.Instrs {
			phi, ok := in.(*ssa.Phi)
			if !ok {
				break
			}
			if k.shareWithNext(phi) {
				continue
			}
			for i, v := range phi.Edges {
				if k.endsInto(v, phi, i) {
					k.regs[v] = k.regs[phi]
				}
			}
		}
	}
}

// shareWithNext handles i = φ(start, next); next = i + 1 in one block, where
// nothing else reads i: from the φ to the sum the slot holds i, from then on
// next. Every use of next comes after the sum, or is on an edge into the block.
func (k *compiler) shareWithNext(phi *ssa.Phi) bool {
	if len(*phi.Referrers()) != 1 {
		return false
	}
	next, ok := (*phi.Referrers())[0].(*ssa.BinOp)
	if !ok || next.Block() != phi.Block() || !k.inOneStep(next) || !slices.Contains(phi.Edges, ssa.Value(next)) {
		return false
	}
	k.regs[next] = k.regs[phi]
	return true
}

// endsInto says whether v, which the φ takes on its ith edge, can be computed
// into the slot of the φ: only the φ reads v, v is computed in the block that
// the edge comes from, and nothing reads the φ from there on, up to the edge.
func (k *compiler) endsInto(v ssa.Value, phi *ssa.Phi, i int) bool {
	in, ok := v.(ssa.Instruction)
	from := phi.Block().Preds[i]
	if !ok || in.Block() != from || !k.inOneStep(in) || len(*v.Referrers()) != 1 || len(from.Succs) != 1 {
		return false
	}
	at := slices.Index(from.Instrs, in)
	for _, r := range *phi.Referrers() {
		if other, ok := r.(*ssa.Phi); ok {
			if other.Block() == phi.Block() && other.Edges[i] == ssa.Value(phi) {
				return false
			}
			continue
		}
		if r.Block() == from && (k.fused[r] || slices.Index(from.Instrs, r) > at) {
			return false
		}
	}
	return true
}

// inOneStep says whether an instruction has read all its operands before it
// writes its result, a number or an appended slice.
func (k *compiler) inOneStep(in ssa.Instruction) bool {
	switch in := in.(type) {
	case *ssa.BinOp:
		_, ok := basicNumber(in.Type())
		return ok
	case *ssa.UnOp:
		_, ok := basicNumber(in.Type())
		return ok && (in.Op == token.SUB || in.Op == token.XOR)
	case *ssa.Call:
		return len(in.Call.Args) == 2 && k.listed[in.Call.Args[1]] != nil
	}
	return false
}

// fuseElements marks the loads of slice elements that directly follow the
// making of their address, when nothing else wants that address.
func (k *compiler) fuseElements(b *ssa.BasicBlock) {
	for i, in := range b.Instrs[:len(b.Instrs)-1] {
		addr, ok := in.(*ssa.IndexAddr)
		if !ok || len(*addr.Referrers()) != 1 || k.fused[addr] || k.joined[addr] != nil {
			continue
		}
		load, ok := b.Instrs[i+1].(*ssa.UnOp)
		if !ok || load.Op != token.MUL || load.X != addr {
			continue
		}
		if s, ok := addr.X.Type().Underlying().(*types.Slice); ok && memory.Sizeof(s.Elem()) > 0 {
			k.loads[addr] = load
			k.fused[load] = true
		}
	}
}

// element loads an element of a slice.
func (k *compiler) element(in *ssa.IndexAddr, value *ssa.UnOp) op {
	elem := k.desc(value.Type())
	x, index, dst := k.val(in.X), k.val(in.Index), k.dst(value)
	read, unsigned := k.readInt(in.Index.Type(), index), isUnsigned(in.Index.Type())
	load, size := elem.loader(), elem.size
	if elem.cl == clScalar && size == 8 && !x.isConst() && !index.isConst() && k.desc(in.Index.Type()).size == 8 {
		a, i, to := x.off, index.off, dst.off
		return func(fr *frame) {
			s, n := objAt[object](fr, a), *at[int](fr, i)
			if uint(n) >= uint(s.n) {
				indexPanic(int64(n), unsigned, s.n)
			}
			*at[uint64](fr, to) = *(*uint64)(unsafe.Add(s.p, uintptr(n)*8))
		}
	}
	return func(fr *frame) {
		s, n := (*object)(x.at(fr)), read(fr)
		if uint64(n) >= uint64(s.n) {
			indexPanic(n, unsigned, s.n)
		}
		load(dst.at(fr), unsafe.Add(s.p, uintptr(n)*size))
	}
}
