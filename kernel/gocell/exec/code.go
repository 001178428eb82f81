package exec

import (
	"go/token"
	"sync/atomic"
	"unsafe"
)

// An op runs one instruction.
type op func(fr *frame)

// A terminator ends a block and names the next one; a negative number returns.
type terminator func(fr *frame) int

type block struct {
	ops  []op
	term terminator
	pos  []token.Pos // of ops, then of term
}

// code is one translated function.
type code struct {
	name   string
	pkg    string
	fset   *token.FileSet
	pos    token.Pos
	blocks []block
	size   counts
	sig    *sigDesc // without receiver
	layout *layout
	free   counts // where free variables begin

	hasDefer bool
	recover  int  // block that continues after a recovered panic, or -1
	wrapper  bool // made by go/ssa around a method: transparent for recover

	value atomic.Pointer[closure] // the function as a value
}

// A layout is where the results and parameters of a call live in the frame of
// the called function. Results and parameters other than the receiver are at
// places that follow from the signature alone.
type layout struct {
	results []slotAt
	params  []slotAt // without receiver
	recv    *slotAt
	size    counts
}

type slotAt struct {
	off  uintptr
	cl   class
	size uintptr
}

func (s slotAt) operand() operand { return operand{off: s.off, bank: s.cl.bank(), cl: s.cl} }

func (s slotAt) at(fr *frame) unsafe.Pointer { return unsafe.Add(fr.b[s.cl.bank()], s.off) }

func (n *counts) slot(d *typeDesc) slotAt {
	s := slotAt{cl: d.cl, size: d.operandSize()}
	switch d.cl.bank() {
	case bankWords:
		s.off = uintptr(n.words) * wordSize
		n.words += max(1, int(d.size+7)/8)
	case bankObjects:
		s.off = uintptr(n.objects) * objectSize
		n.objects++
	case bankIfaces:
		s.off = uintptr(n.ifaces) * ifaceSize
		n.ifaces++
	}
	return s
}

func layoutOf(sig *sigDesc, recv *typeDesc) *layout {
	l := &layout{}
	for _, d := range sig.results {
		l.results = append(l.results, l.size.slot(d))
	}
	for _, d := range sig.params {
		l.params = append(l.params, l.size.slot(d))
	}
	if recv != nil {
		s := l.size.slot(recv)
		l.recv = &s
	}
	return l
}

// exec runs the function in a frame whose parameters are in place.
func (c *code) exec(fr *frame) {
	if c.hasDefer {
		for k := 0; k >= 0; {
			k = c.protected(fr, k)
		}
		return
	}
	c.loop(fr, 0)
}

// loop runs from block k to a return.
func (c *code) loop(fr *frame, k int) {
	for k >= 0 {
		b := &c.blocks[k]
		fr.blk = int32(k)
		for i, o := range b.ops {
			fr.pc = int32(i)
			o(fr)
		}
		fr.pc = int32(len(b.ops))
		k = b.term(fr)
	}
}

// position is where the frame is at.
func (fr *frame) position() token.Pos {
	if int(fr.blk) < len(fr.fn.blocks) {
		b := &fr.fn.blocks[fr.blk]
		for i := min(int(fr.pc), len(b.pos)-1); i >= 0; i-- {
			if b.pos[i].IsValid() {
				return b.pos[i]
			}
		}
	}
	return fr.fn.pos
}

// stack lists the frames of the thread above depth base, innermost first.
func (t *thread) stack(base int) []Frame {
	const most = 200
	var out []Frame
	for d := t.depth; d > base && d > 0; d-- {
		fr := t.frames[d]
		if fr.fn.wrapper {
			continue
		}
		if len(out) == most/2 && d > most/2 {
			d = most / 2
		}
		pos := fr.position()
		out = append(out, Frame{Function: fr.fn.name, Package: fr.fn.pkg, Pos: pos, Position: fr.fn.fset.Position(pos)})
	}
	return out
}

// A closure is a function with its captured values. Compiled code holds it as
// an ordinary func value; see callback.go.
type closure struct {
	code    *code
	m       *Machine
	words   []uint64
	objects []object
	ifaces  []any
	fn      unsafe.Pointer // the func value, for a closure without captured values
}

// bind puts the captured values into the frame.
func (c *closure) bind(fr *frame) {
	if len(c.objects) > 0 {
		copy(fr.objects[c.code.free.objects:], c.objects)
	}
	if len(c.words) > 0 {
		copy(fr.words[c.code.free.words:], c.words)
	}
	if len(c.ifaces) > 0 {
		copy(fr.ifaces[c.code.free.ifaces:], c.ifaces)
	}
}

// A slot is the live declaration of a function's or method's name.
type slot struct {
	name string
	cur  atomic.Pointer[code]
}
