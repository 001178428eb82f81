package exec

import (
	"fmt"
	"go/token"
	"go/types"
	"unsafe"

	"golang.org/x/tools/go/ssa"
)

// A compiler translates one function.
type compiler struct {
	im     *image
	ty     *typer
	fn     *ssa.Function
	c      *code
	size   counts
	regs   map[ssa.Value]operand
	tuple  map[ssa.Value][]operand
	fused  map[ssa.Instruction]bool      // instructions that a later one does: see fuse and fuseAppend
	listed map[ssa.Value]ssa.Value       // the one element of a slice made for append
	loads  map[*ssa.IndexAddr]*ssa.UnOp  // the load of an element, done with its address
	joined map[ssa.Instruction]func() op // first instructions that do what later, fused ones say: see joinPlaces
	homes  map[*ssa.Alloc]uintptr        // slots of variables whose address does not leave the function
	jumps  map[int]*edge                 // by the index of the block that they end
	steps  map[int]*step                 // by the index of the block that they are the last operation of
	belows map[int]*below                // by the index of the block that they end
	pos    token.Pos                     // of the instruction being translated
}

// refused unwinds the translation of one instruction.
type refused struct{ what string }

func (k *compiler) refuse(format string, args ...any) {
	panic(&refused{fmt.Sprintf(format, args...)})
}

// try runs f and notes a refusal at the current position.
func (k *compiler) try(f func()) {
	defer func() {
		switch r := recover().(type) {
		case nil:
		case *refused:
			k.im.refuseAt(k.pos, r.what)
		case *typeError:
			k.im.refuseAt(k.pos, r.what)
		default:
			panic(r)
		}
	}()
	f()
}

func (k *compiler) desc(t types.Type) *typeDesc { return k.ty.desc(t) }

// compile fills in c for fn.
func (im *image) compile(fn *ssa.Function, c *code) {
	k := &compiler{
		im: im, ty: im.ty, fn: fn, c: c, pos: fn.Pos(),
		regs: map[ssa.Value]operand{}, tuple: map[ssa.Value][]operand{}, fused: map[ssa.Instruction]bool{}, listed: map[ssa.Value]ssa.Value{}, jumps: map[int]*edge{}, steps: map[int]*step{}, belows: map[int]*below{},
		loads: map[*ssa.IndexAddr]*ssa.UnOp{}, joined: map[ssa.Instruction]func() op{}, homes: map[*ssa.Alloc]uintptr{},
	}
	k.try(k.body)
}

func (k *compiler) body() {
	fn, c := k.fn, k.c
	k.size = c.layout.size
	params := fn.Params
	if fn.Signature.Recv() != nil {
		k.regs[params[0]] = c.layout.recv.operand()
		params = params[1:]
	}
	for i, p := range params {
		k.regs[p] = c.layout.params[i].operand()
	}
	c.free = k.size
	for _, v := range fn.FreeVars {
		k.regs[v] = k.size.slot(k.desc(v.Type())).operand()
	}
	c.recover = -1
	if fn.Recover != nil {
		c.recover = fn.Recover.Index
		c.hasDefer = true
	}
	for _, b := range fn.Blocks {
		for _, in := range b.Instrs {
			k.fuseAppend(in)
			k.foldAddress(in)
		}
	}
	k.allot()
	k.coalesce()
	c.blocks = make([]block, len(fn.Blocks))
	for i, b := range fn.Blocks {
		k.block(&c.blocks[i], b)
	}
	k.joinBranches()
	c.size = k.size
}

// allot gives every value of the function its slot.
func (k *compiler) allot() {
	for _, b := range k.fn.Blocks {
		for _, in := range b.Instrs {
			if _, ok := in.(*ssa.Defer); ok {
				k.c.hasDefer = true
			}
			v, ok := in.(ssa.Value)
			if _, part := in.(*ssa.Extract); part || !ok {
				continue
			}
			k.pos = v.Pos()
			k.try(func() { k.allotValue(v) })
		}
	}
	// A component of a tuple is used where the tuple has it: the tuple cannot
	// be made anew between an extract and the uses that it dominates.
	for _, b := range k.fn.Blocks {
		for _, in := range b.Instrs {
			if x, ok := in.(*ssa.Extract); ok && k.tuple[x.Tuple] != nil {
				k.regs[x] = k.tuple[x.Tuple][x.Index]
			}
		}
	}
}

func (k *compiler) allotValue(v ssa.Value) {
	switch t := v.Type().(type) {
	case *types.Tuple:
		ops := make([]operand, t.Len())
		for i := range ops {
			ops[i] = k.tupleSlot(v, t, i)
		}
		k.tuple[v] = ops
	default:
		switch v.(type) {
		case *ssa.Range:
			k.regs[v] = k.newSlot(clIface)
		default:
			k.regs[v] = k.size.slot(k.desc(t)).operand()
		}
	}
}

// tupleSlot makes the slot of one component; an unused key or value of a
// range has an invalid type and gets none.
func (k *compiler) tupleSlot(v ssa.Value, t *types.Tuple, i int) operand {
	if b, ok := t.At(i).Type().(*types.Basic); ok && b.Kind() == types.Invalid {
		return operand{}
	}
	return k.size.slot(k.desc(t.At(i).Type())).operand()
}

// newSlot makes an internal slot of a class that takes one place.
func (k *compiler) newSlot(cl class) operand {
	return k.size.slot(&typeDesc{cl: cl, size: 8}).operand()
}

func (k *compiler) block(out *block, b *ssa.BasicBlock) {
	last := len(b.Instrs) - 1
	if last < 0 {
		out.term = func(*frame) int { panic("exec: empty block") }
		return
	}
	if br, ok := b.Instrs[last].(*ssa.If); ok {
		k.fuse(b, br)
	}
	k.joinPlaces(b)
	k.fuseElements(b)
	for _, in := range b.Instrs[:last] {
		if k.fused[in] {
			continue
		}
		k.setPos(in)
		k.try(func() {
			if o := k.instr(in); o != nil {
				out.ops = append(out.ops, o)
				out.pos = append(out.pos, in.Pos())
				k.steps[b.Index] = k.stepOf(in)
			}
		})
	}
	in := b.Instrs[last]
	k.setPos(in)
	out.pos = append(out.pos, in.Pos())
	k.try(func() { out.term = k.terminator(b, in) })
}

func (k *compiler) setPos(in ssa.Instruction) {
	if p := in.Pos(); p.IsValid() {
		k.pos = p
	} else if !k.pos.IsValid() {
		k.pos = k.fn.Pos()
	}
}

// val is where the value of v is found.
func (k *compiler) val(v ssa.Value) operand {
	switch v := v.(type) {
	case *ssa.Const:
		return k.constant(v)
	case *ssa.Global:
		p := new(unsafe.Pointer)
		*p = k.im.global(k, v)
		return operand{c: unsafe.Pointer(p), bank: bankObjects, cl: clPtr}
	case *ssa.Function:
		p := new(unsafe.Pointer)
		*p = k.funcValue(v)
		return operand{c: unsafe.Pointer(p), bank: bankObjects, cl: clPtr}
	case *ssa.Builtin:
		k.refuse("the builtin %s cannot be used as a value", v.Name())
	}
	return k.dst(v)
}

// dst is the place of v. A value without one has been refused where it is made.
func (k *compiler) dst(v ssa.Value) operand {
	o, ok := k.regs[v]
	if !ok {
		k.refuse("")
	}
	return o
}

// instr translates an instruction that does not end a block.
func (k *compiler) instr(in ssa.Instruction) op {
	if do := k.joined[in]; do != nil {
		return do()
	}
	switch in := in.(type) {
	case *ssa.DebugRef, *ssa.Phi, *ssa.Extract:
		return nil
	case *ssa.Alloc:
		return k.alloc(in)
	case *ssa.BinOp:
		return k.binop(in)
	case *ssa.UnOp:
		return k.unop(in)
	case *ssa.Call:
		return k.callInstr(in)
	case *ssa.ChangeType:
		return k.copyTo(k.dst(in), k.val(in.X), k.desc(in.Type()))
	case *ssa.Convert:
		return k.convert(in)
	case *ssa.ChangeInterface:
		return k.changeInterface(in)
	case *ssa.SliceToArrayPointer:
		return k.sliceToArrayPointer(in)
	case *ssa.MakeInterface:
		return k.makeInterface(in)
	case *ssa.MakeClosure:
		return k.makeClosure(in)
	case *ssa.MakeMap:
		return k.makeMap(in)
	case *ssa.MakeChan:
		return k.makeChan(in)
	case *ssa.MakeSlice:
		return k.makeSlice(in)
	case *ssa.Slice:
		return k.slice(in)
	case *ssa.FieldAddr:
		return k.fieldAddr(in)
	case *ssa.Field:
		return k.field(in)
	case *ssa.IndexAddr:
		if load := k.loads[in]; load != nil {
			return k.element(in, load)
		}
		return k.indexAddr(in)
	case *ssa.Index:
		return k.index(in)
	case *ssa.Lookup:
		return k.lookup(in)
	case *ssa.Select:
		return k.selectInstr(in)
	case *ssa.Range:
		return k.rangeInstr(in)
	case *ssa.Next:
		return k.next(in)
	case *ssa.TypeAssert:
		return k.typeAssert(in)
	case *ssa.RunDefers:
		return func(fr *frame) { fr.runDefers() }
	case *ssa.Go:
		return k.goInstr(in)
	case *ssa.Defer:
		return k.deferInstr(in)
	case *ssa.Send:
		return k.send(in)
	case *ssa.Store:
		return k.store(in)
	case *ssa.MapUpdate:
		return k.mapUpdate(in)
	}
	k.refuse("%T cannot be run", in)
	return nil
}

// copyTo copies a value between slots.
func (k *compiler) copyTo(dst, src operand, d *typeDesc) op {
	cl, size := d.cl, d.operandSize()
	switch {
	case cl == clScalar && size <= 8 && !src.isConst():
		to, from := dst.off, src.off
		return func(fr *frame) { *at[uint64](fr, to) = *at[uint64](fr, from) }
	case (cl == clPtr || cl == clMem) && !src.isConst():
		to, from := dst.off, src.off
		return func(fr *frame) { *objAt[unsafe.Pointer](fr, to) = *objAt[unsafe.Pointer](fr, from) }
	}
	return func(fr *frame) { copySlot(cl, size, dst.at(fr), src.at(fr)) }
}

// at is the address of a slot in the words bank.
func at[T any](fr *frame, off uintptr) *T { return (*T)(unsafe.Add(fr.b[bankWords], off)) }

// objAt is the address of a slot in the objects bank.
func objAt[T any](fr *frame, off uintptr) *T { return (*T)(unsafe.Add(fr.b[bankObjects], off)) }

// ifaceAt is the address of a slot in the interfaces bank.
func ifaceAt(fr *frame, off uintptr) *any { return (*any)(unsafe.Add(fr.b[bankIfaces], off)) }
