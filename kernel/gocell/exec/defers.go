package exec

import (
	"go/types"
	"unsafe"

	"golang.org/x/tools/go/ssa"
)

// A panicking is one panic on its way through the frames of a thread.
type panicking struct {
	value     any
	stop      bool // a stopSignal: recover does not see it
	recovered bool
	trace     []Frame
}

// A deferStack is the list of a frame's deferred calls. Bodies of
// range-over-func loops push on the stack of the function around them.
type deferStack struct{ calls []deferred }

type deferred struct {
	args *frame // evaluated operands
	call op
}

func (fr *frame) deferStack() *deferStack {
	if fr.defers == nil {
		fr.defers = &deferStack{}
	}
	return fr.defers
}

// runDefers runs the deferred calls at an ordinary return.
func (fr *frame) runDefers() {
	for fr.defers != nil && len(fr.defers.calls) > 0 {
		fr.runDeferred(nil)
	}
}

// runDeferred pops one deferred call and runs it on behalf of panic p, if any.
func (fr *frame) runDeferred(p *panicking) {
	list := fr.defers.calls
	d := list[len(list)-1]
	list[len(list)-1] = deferred{}
	fr.defers.calls = list[:len(list)-1]
	d.args.t = fr.t
	d.args.deferOf = p
	d.args.returned = nil
	if p == nil {
		d.args.returned = fr.deferOf
	}
	d.call(d.args)
}

// protected runs the loop of a function with deferred calls from block k. It
// returns the block that continues after a recovered panic, or a negative
// number at the end.
func (c *code) protected(fr *frame, k int) (next int) {
	normal := false
	defer func() {
		if !normal {
			next = fr.unwind(recover())
		}
	}()
	c.loop(fr, k)
	normal = true
	return -1
}

// unwind runs the deferred calls of a frame whose function panicked with r.
func (fr *frame) unwind(r any) int {
	t := fr.t
	if r == nil {
		// The goroutine is exiting; that goes on by itself.
		t.depth = fr.base
		for fr.defers != nil && len(fr.defers.calls) > 0 {
			fr.runDeferred(nil)
		}
		return -1
	}
	p := t.newPanic(r)
	for fr.defers != nil && len(fr.defers.calls) > 0 {
		t.depth = fr.base
		if again, failed := fr.tryDeferred(p); failed {
			// A stop outlives what deferred functions do about it.
			if next := t.newPanic(again); p == nil || !p.stop {
				p = next
			}
		} else if p != nil && p.recovered {
			p = nil
		}
	}
	t.depth = fr.base
	if p != nil {
		t.passing = p
		panic(p.value)
	}
	return fr.fn.recover
}

// tryDeferred runs one deferred call and catches a panic of it.
func (fr *frame) tryDeferred(p *panicking) (r any, failed bool) {
	ok := false
	defer func() {
		if !ok {
			r, failed = recover(), true
		}
	}()
	fr.runDeferred(p)
	ok = true
	return nil, false
}

// newPanic notes a caught panic with the calls that it came from.
func (t *thread) newPanic(r any) *panicking {
	was := t.passing
	t.passing = nil
	p := &panicking{value: r}
	if s, ok := r.(*stopSignal); ok {
		p.stop = true
		if t.grace == 0 && s.flagged {
			t.grace = deferGrace
		}
	}
	if was != nil {
		p.trace = was.trace
	} else {
		p.trace = t.trace()
	}
	return p
}

// deferGrace is how many calls and loop turns the deferred functions of an
// interrupted cell may take in all.
const deferGrace = 100_000

func (k *compiler) recoverCall(dst operand) op {
	return func(fr *frame) {
		p := fr.deferOf
		var v any
		if p != nil && !p.recovered && !p.stop {
			p.recovered = true
			v = p.value
		}
		*ifaceAt(fr, dst.off) = v
	}
}

// saved translates a call whose operands are evaluated now and used later. It
// returns the moves into a frame of their own, the size of that frame, and
// the call that reads them from there.
func (k *compiler) saved(c *ssa.CallCommon) (moves []move, size counts, call op) {
	var n counts
	at := map[ssa.Value]operand{}
	keep := func(v ssa.Value) {
		switch v.(type) {
		case *ssa.Const, *ssa.Function, *ssa.Builtin, *ssa.Global:
			return
		}
		if _, ok := at[v]; ok {
			return
		}
		d := k.desc(v.Type())
		s := n.slot(d)
		at[v] = s.operand()
		moves = append(moves, move{src: k.val(v), off: s.off, size: s.size, cl: s.cl})
	}
	keep(c.Value)
	for _, a := range c.Args {
		keep(a)
	}
	was := k.regs
	k.regs = at
	wasSize := k.size
	k.size = n
	defer func() { k.regs, k.size = was, wasSize }()
	call = k.call(c, nil, true)
	return moves, k.size, call
}

func newSaved(size counts, moves []move, fr *frame) *frame {
	s := &frame{t: fr.t, fn: fr.fn}
	s.fit(size)
	moveIn(moves, fr, s)
	return s
}

func (k *compiler) deferInstr(in *ssa.Defer) op {
	moves, size, call := k.saved(&in.Call)
	var stack *operand
	if in.DeferStack != nil {
		o := k.val(in.DeferStack)
		stack = &o
	}
	check := k.deferCheck(&in.Call)
	return func(fr *frame) {
		if check != nil {
			check(fr)
		}
		list := fr.deferStack()
		if stack != nil {
			list = *(**deferStack)(stack.at(fr))
		}
		list.calls = append(list.calls, deferred{newSaved(size, moves, fr), call})
	}
}

// deferCheck makes the test that a defer statement does at once: a nil
// interface receiver panics at the defer, a nil function only when it is called.
func (k *compiler) deferCheck(c *ssa.CallCommon) op {
	if !c.IsInvoke() {
		return nil
	}
	x := k.val(c.Value)
	return func(fr *frame) {
		if *(*any)(x.at(fr)) == nil {
			nilDereference()
		}
	}
}

func (k *compiler) goInstr(in *ssa.Go) op {
	moves, size, call := k.saved(&in.Call)
	check := k.goCheck(&in.Call)
	return func(fr *frame) {
		if check != nil {
			check(fr)
		}
		s := newSaved(size, moves, fr)
		fr.t.run.start(s, call)
	}
}

// goCheck makes the test that a go statement does at once.
func (k *compiler) goCheck(c *ssa.CallCommon) op {
	if c.IsInvoke() {
		return k.deferCheck(c)
	}
	if _, ok := c.Value.Type().Underlying().(*types.Signature); !ok {
		return nil
	}
	switch c.Value.(type) {
	case *ssa.Function, *ssa.Builtin, *ssa.MakeClosure:
		return nil
	}
	f := k.val(c.Value)
	return func(fr *frame) {
		if *(*unsafe.Pointer)(f.at(fr)) == nil {
			nilDereference()
		}
	}
}
