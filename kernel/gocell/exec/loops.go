package exec

import (
	"go/token"
	"go/types"
	"slices"

	"golang.org/x/tools/go/ssa"
)

// A step adds a constant to a number, as the last operation of a block.
type step struct {
	x, dst uintptr
	by     int64
}

// A below is a branch at the end of a block on x < y.
type below struct {
	x       uintptr
	y       operand
	yes, no *edge
	step    *step // done before, if any
}

// stepOf recognises a step.
func (k *compiler) stepOf(in ssa.Instruction) *step {
	add, ok := in.(*ssa.BinOp)
	if !ok || add.Op != token.ADD {
		return nil
	}
	if kind, _ := basicNumber(add.Type()); kind != types.Int && kind != types.Int64 {
		return nil
	}
	x, y := k.val(add.X), k.val(add.Y)
	if x.isConst() || !y.isConst() {
		return nil
	}
	return &step{x.off, k.dst(add).off, *(*int64)(y.c)}
}

// stepInto lets block from end in what it does last, a step, and the branch
// of block to on its result, as the end of a loop does. e leads from the one to
// the other; it is nil when they are one block.
func (k *compiler) stepInto(from, to int, e *edge) bool {
	br, b := k.belows[to], &k.c.blocks[from]
	if br == nil || e != nil && e.kind != edgePlain {
		return false
	}
	st, n := k.steps[from], len(b.ops)
	switch {
	case br.step != nil:
		st = br.step
	case st != nil && st.dst == br.x:
		b.pos = slices.Delete(slices.Clone(b.pos), n-1, n)
		b.ops = b.ops[: n-1 : n-1]
		if e == nil {
			br.step = st
		}
	default:
		return false
	}
	b.term = st.branch(br, e != nil && e.back)
	return true
}

// branch makes the end of a block that does the step and branches; back says
// that a loop closes here.
func (st *step) branch(br *below, back bool) terminator {
	x, dst, by, yes, no := st.x, st.dst, st.by, br.yes, br.no
	if br.y.isConst() {
		limit := *(*int64)(br.y.c)
		return func(fr *frame) int {
			if back && fr.t.run.stop.Load() != 0 {
				fr.t.check()
			}
			v := *at[int64](fr, x) + by
			*at[int64](fr, dst) = v
			if v < limit {
				return yes.take(fr)
			}
			return no.take(fr)
		}
	}
	y := br.y.off
	return func(fr *frame) int {
		if back && fr.t.run.stop.Load() != 0 {
			fr.t.check()
		}
		v := *at[int64](fr, x) + by
		*at[int64](fr, dst) = v
		if v < *at[int64](fr, y) {
			return yes.take(fr)
		}
		return no.take(fr)
	}
}

// joinBranches lets a jump to a short block that ends in a branch, as the head
// of a loop often is, do what that block does.
func (k *compiler) joinBranches() {
	const short = 4
	for i := range k.c.blocks {
		if k.belows[i] != nil {
			k.stepInto(i, i, nil)
		}
	}
	for from, e := range k.jumps {
		to, instrs := k.c.blocks[e.target], k.fn.Blocks[e.target].Instrs
		if _, ok := instrs[len(instrs)-1].(*ssa.If); !ok || to.term == nil || len(to.ops) > short {
			continue
		}
		b := &k.c.blocks[from]
		switch {
		case e.simple:
		case len(to.ops) == 0 && k.stepInto(from, e.target, e):
			continue
		case len(to.ops) == 0:
			b.term = func(fr *frame) int {
				e.move(fr)
				return to.term(fr)
			}
			continue
		default:
			first := to.ops[0]
			to.ops = slices.Clone(to.ops)
			to.ops[0] = func(fr *frame) {
				e.move(fr)
				first(fr)
			}
		}
		b.pos = b.pos[:len(b.ops)]
		b.ops = append(b.ops, to.ops...)
		b.pos = append(b.pos, to.pos...)
		b.term = to.term
	}
}
