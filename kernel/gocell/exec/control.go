package exec

import (
	"go/token"
	"go/types"
	"slices"
	"unsafe"

	"golang.org/x/tools/go/ssa"
)

// fuse marks the comparison that decides the branch, when nothing else uses it.
func (k *compiler) fuse(b *ssa.BasicBlock, br *ssa.If) {
	cmp, ok := br.Cond.(*ssa.BinOp)
	if !ok || cmp.Block() != b || len(*cmp.Referrers()) != 1 {
		return
	}
	if _, ok := basicNumber(cmp.X.Type()); ok {
		k.fused[cmp] = true
	}
}

// basicNumber gives the kind of a number other than complex.
func basicNumber(t types.Type) (types.BasicKind, bool) {
	b, ok := t.Underlying().(*types.Basic)
	if !ok || b.Info()&(types.IsInteger|types.IsFloat) == 0 {
		return 0, false
	}
	switch b.Kind() {
	case types.UntypedInt:
		return types.Int, true
	case types.UntypedRune:
		return types.Int32, true
	case types.UntypedFloat:
		return types.Float64, true
	}
	return b.Kind(), true
}

func (k *compiler) terminator(b *ssa.BasicBlock, in ssa.Instruction) terminator {
	switch in := in.(type) {
	case *ssa.Jump:
		e := k.edge(b, b.Succs[0])
		k.jumps[b.Index] = e
		if e.simple {
			target := e.target
			return func(*frame) int { return target }
		}
		return e.take
	case *ssa.If:
		return k.branch(in, k.edge(b, b.Succs[0]), k.edge(b, b.Succs[1]))
	case *ssa.Return:
		return k.ret(in)
	case *ssa.Panic:
		if t := k.rangePanic(b); t != nil {
			return t
		}
		x := k.val(in.X)
		return func(fr *frame) int { panic(*(*any)(x.at(fr))) }
	}
	k.refuse("%T cannot end a block", in)
	return nil
}

// rangePanic is the panic of a misused range-over-func iterator: go/ssa panics
// with a string of its own, Go with a run-time error.
func (k *compiler) rangePanic(b *ssa.BasicBlock) terminator {
	const pre = "range function "
	switch b.Comment {
	case "rangefunc.resume.busy":
		return func(*frame) int { panic(boundsError(pre + "recovered a loop body panic and did not resume panicking")) }
	case "yield-invalid":
		br, ok := b.Preds[0].Instrs[len(b.Preds[0].Instrs)-1].(*ssa.If)
		if !ok {
			return nil
		}
		cmp, ok := br.Cond.(*ssa.BinOp)
		if !ok {
			return nil
		}
		state := k.val(cmp.X)
		return func(fr *frame) int {
			switch *(*int)(state.at(fr)) {
			case -1:
				panic(boundsError(pre + "continued iteration after loop body panic"))
			case -2:
				panic(boundsError(pre + "continued iteration after whole loop exit"))
			}
			panic(boundsError(pre + "continued iteration after function for loop body returned false"))
		}
	}
	return nil
}

// An edge leads to a block; its moves are the φ-functions of that block.
type edge struct {
	target int
	back   bool // a loop may close here: look at the stop flag
	simple bool // nothing to do
	kind   edgeKind
	a, b   wordMove
	moves  []move
}

type edgeKind uint8

const (
	edgePlain   edgeKind = iota
	edgeOne              // one word
	edgeTwo              // two words
	edgePointer          // one pointer
	edgeMany
)

type wordMove struct{ dst, src uintptr }

// take does the moves; short, so that the compiler inlines it.
func (e *edge) take(fr *frame) int {
	if e.simple {
		return e.target
	}
	return e.move(fr)
}

func (e *edge) move(fr *frame) int {
	switch e.kind {
	case edgeOne:
		*at[uint64](fr, e.a.dst) = *at[uint64](fr, e.a.src)
	case edgeTwo:
		*at[uint64](fr, e.a.dst) = *at[uint64](fr, e.a.src)
		*at[uint64](fr, e.b.dst) = *at[uint64](fr, e.b.src)
	case edgePointer:
		*objAt[unsafe.Pointer](fr, e.a.dst) = *objAt[unsafe.Pointer](fr, e.a.src)
	case edgeMany:
		for i := range e.moves {
			m := &e.moves[i]
			copySlot(m.cl, m.size, unsafe.Add(fr.b[m.cl.bank()], m.off), m.src.at(fr))
		}
	}
	if e.back && fr.t.run.stop.Load() != 0 {
		fr.t.check()
	}
	return e.target
}

func (k *compiler) edge(from, to *ssa.BasicBlock) *edge {
	e := &edge{target: to.Index, back: to.Index <= from.Index}
	pred := slices.Index(to.Preds, from)
	var moves []move
	for _, in := range to.Instrs {
		phi, ok := in.(*ssa.Phi)
		if !ok {
			break
		}
		dst, src := k.dst(phi), k.val(phi.Edges[pred])
		if src.c == nil && src == dst {
			continue
		}
		d := k.desc(phi.Type())
		moves = append(moves, move{src: src, off: dst.off, size: d.operandSize(), cl: d.cl})
	}
	e.moves = k.parallel(moves)
	word := func(m move) bool { return m.cl == clScalar && m.size <= 8 && m.src.c == nil }
	switch {
	case len(e.moves) == 0:
	case len(e.moves) == 1 && word(e.moves[0]):
		e.kind = edgeOne
		e.a = wordMove{e.moves[0].off, e.moves[0].src.off}
	case len(e.moves) == 1 && e.moves[0].cl == clPtr && e.moves[0].src.c == nil:
		e.kind = edgePointer
		e.a = wordMove{e.moves[0].off, e.moves[0].src.off}
	case len(e.moves) == 2 && word(e.moves[0]) && word(e.moves[1]):
		e.kind = edgeTwo
		e.a = wordMove{e.moves[0].off, e.moves[0].src.off}
		e.b = wordMove{e.moves[1].off, e.moves[1].src.off}
	default:
		e.kind = edgeMany
	}
	e.simple = e.kind == edgePlain && !e.back
	return e
}

// parallel orders moves that happen at once, so that none overwrites what a
// later one reads; a cycle goes through a slot of its own.
func (k *compiler) parallel(moves []move) []move {
	var out []move
	reads := func(m move, off uintptr, bank uint8) bool {
		return m.src.c == nil && m.src.off == off && m.src.bank == bank
	}
	for len(moves) > 0 {
		free := slices.IndexFunc(moves, func(m move) bool {
			for _, o := range moves {
				if o.off == m.off && o.cl.bank() == m.cl.bank() {
					continue
				}
				if reads(o, m.off, m.cl.bank()) {
					return false
				}
			}
			return true
		})
		if free >= 0 {
			out = append(out, moves[free])
			moves = slices.Delete(moves, free, free+1)
			continue
		}
		m := &moves[0]
		tmp := k.size.slot(&typeDesc{cl: m.cl, size: max(m.size, 1)}).operand()
		out = append(out, move{src: m.src, off: tmp.off, size: m.size, cl: m.cl})
		m.src = tmp
	}
	return out
}

func (k *compiler) branch(in *ssa.If, yes, no *edge) terminator {
	if cmp, ok := in.Cond.(*ssa.BinOp); ok && k.fused[cmp] {
		x, y := k.val(cmp.X), k.val(cmp.Y)
		kind, _ := basicNumber(cmp.X.Type())
		if (kind == types.Int || kind == types.Int64) && cmp.Op == token.LSS && !x.isConst() {
			k.belows[in.Block().Index] = &below{x: x.off, y: y, yes: yes, no: no}
		}
		return branchOn(kind, cmp.Op, x, y, yes, no)
	}
	cond := k.val(in.Cond)
	if cond.isConst() {
		if *(*bool)(cond.c) {
			return yes.take
		}
		return no.take
	}
	off := cond.off
	return func(fr *frame) int {
		if *at[bool](fr, off) {
			return yes.take(fr)
		}
		return no.take(fr)
	}
}

func branchOn(kind types.BasicKind, tok token.Token, x, y operand, yes, no *edge) terminator {
	switch kind {
	case types.Int, types.Int64:
		return branchCmp[int64](tok, x, y, yes, no)
	case types.Int8:
		return branchCmp[int8](tok, x, y, yes, no)
	case types.Int16:
		return branchCmp[int16](tok, x, y, yes, no)
	case types.Int32:
		return branchCmp[int32](tok, x, y, yes, no)
	case types.Uint, types.Uint64, types.Uintptr:
		return branchCmp[uint64](tok, x, y, yes, no)
	case types.Uint8:
		return branchCmp[uint8](tok, x, y, yes, no)
	case types.Uint16:
		return branchCmp[uint16](tok, x, y, yes, no)
	case types.Uint32:
		return branchCmp[uint32](tok, x, y, yes, no)
	case types.Float32:
		return branchCmp[float32](tok, x, y, yes, no)
	case types.Float64:
		return branchCmp[float64](tok, x, y, yes, no)
	}
	panic(&refused{"this comparison cannot be run"})
}

func branchCmp[T number](tok token.Token, x, y operand, yes, no *edge) terminator {
	if !x.isConst() && y.isConst() {
		if t := branchConst(tok, x.off, *(*T)(y.c), yes, no); t != nil {
			return t
		}
	}
	if !x.isConst() && !y.isConst() {
		if t := branchRegs[T](tok, x.off, y.off, yes, no); t != nil {
			return t
		}
	}
	test := compareFunc[T](tok)
	return func(fr *frame) int {
		if test(*(*T)(x.at(fr)), *(*T)(y.at(fr))) {
			return yes.take(fr)
		}
		return no.take(fr)
	}
}

func branchConst[T number](tok token.Token, x uintptr, c T, yes, no *edge) terminator {
	switch tok {
	case token.LSS:
		return func(fr *frame) int {
			if *at[T](fr, x) < c {
				return yes.take(fr)
			}
			return no.take(fr)
		}
	case token.GTR:
		return func(fr *frame) int {
			if *at[T](fr, x) > c {
				return yes.take(fr)
			}
			return no.take(fr)
		}
	case token.LEQ:
		return func(fr *frame) int {
			if *at[T](fr, x) <= c {
				return yes.take(fr)
			}
			return no.take(fr)
		}
	case token.EQL:
		return func(fr *frame) int {
			if *at[T](fr, x) == c {
				return yes.take(fr)
			}
			return no.take(fr)
		}
	case token.NEQ:
		return func(fr *frame) int {
			if *at[T](fr, x) != c {
				return yes.take(fr)
			}
			return no.take(fr)
		}
	}
	return nil
}

func branchRegs[T number](tok token.Token, x, y uintptr, yes, no *edge) terminator {
	switch tok {
	case token.LSS:
		return func(fr *frame) int {
			if *at[T](fr, x) < *at[T](fr, y) {
				return yes.take(fr)
			}
			return no.take(fr)
		}
	case token.GTR:
		return func(fr *frame) int {
			if *at[T](fr, x) > *at[T](fr, y) {
				return yes.take(fr)
			}
			return no.take(fr)
		}
	case token.LEQ:
		return func(fr *frame) int {
			if *at[T](fr, x) <= *at[T](fr, y) {
				return yes.take(fr)
			}
			return no.take(fr)
		}
	}
	return nil
}

func compareFunc[T number](tok token.Token) func(a, b T) bool {
	switch tok {
	case token.EQL:
		return func(a, b T) bool { return a == b }
	case token.NEQ:
		return func(a, b T) bool { return a != b }
	case token.LSS:
		return func(a, b T) bool { return a < b }
	case token.LEQ:
		return func(a, b T) bool { return a <= b }
	case token.GTR:
		return func(a, b T) bool { return a > b }
	case token.GEQ:
		return func(a, b T) bool { return a >= b }
	}
	panic(&refused{"this comparison cannot be run"})
}

// ret copies the results to their places in the frame, where the caller takes them.
func (k *compiler) ret(in *ssa.Return) terminator {
	if k.deferredBelow() {
		return k.retAfterDefers(in)
	}
	return k.plainRet(in)
}

// deferredBelow says whether only the bodies of range-over-func loops nested
// in others defer calls to this function: go/ssa does not run those.
func (k *compiler) deferredBelow() bool {
	stack := false
	for _, b := range k.fn.Blocks {
		for _, in := range b.Instrs {
			switch in := in.(type) {
			case *ssa.RunDefers:
				return false
			case *ssa.Call:
				if f, ok := in.Call.Value.(*ssa.Builtin); ok && f.Name() == "ssa:deferstack" {
					stack = true
				}
			}
		}
	}
	return stack
}

func (k *compiler) retAfterDefers(in *ssa.Return) terminator {
	res := k.fn.Signature.Results()
	if res.Len() > 0 && res.At(0).Name() != "" {
		k.refuse("a defer in a range over a function within another one, in a function with named results, cannot be run")
	}
	ret := k.plainRet(in)
	return func(fr *frame) int {
		fr.runDefers()
		return ret(fr)
	}
}

func (k *compiler) plainRet(in *ssa.Return) terminator {
	out := k.c.layout.results
	moves := make([]move, len(in.Results))
	for i, r := range in.Results {
		moves[i] = move{src: k.val(r), off: out[i].off, size: out[i].size, cl: out[i].cl}
	}
	switch {
	case len(moves) == 0:
		return func(*frame) int { return -1 }
	case len(moves) == 1 && moves[0].cl == clScalar && moves[0].size <= 8 && !moves[0].src.isConst():
		dst, src := moves[0].off, moves[0].src.off
		return func(fr *frame) int {
			*at[uint64](fr, dst) = *at[uint64](fr, src)
			return -1
		}
	}
	return func(fr *frame) int {
		moveIn(moves, fr, fr)
		return -1
	}
}
