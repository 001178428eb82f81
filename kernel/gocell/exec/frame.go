package exec

import (
	"reflect"
	"sync"
	"unsafe"
)

// A class says in which bank of a frame a value lives, and in what form.
type class uint8

const (
	clScalar class = iota // pointer-free memory, in place, in the words bank
	clPtr                 // one pointer word (pointer, map, channel, func), in the objects bank
	clString              // a string header, in the objects bank
	clSlice               // a slice header, in the objects bank
	clIface               // any interface type, as an any, in the interfaces bank
	clMem                 // all else: a pointer to memory that is never written again, in the objects bank
)

const maxScalar = 128 // bytes that a pointer-free struct or array may take in the words bank

// Banks of a frame.
const (
	bankWords = iota
	bankObjects
	bankIfaces
	banks
)

func (c class) bank() uint8 {
	switch c {
	case clScalar:
		return bankWords
	case clIface:
		return bankIfaces
	}
	return bankObjects
}

// object is one slot of the objects bank: its prefix has the layout of a
// pointer, of a string and of a slice.
type object struct {
	p    unsafe.Pointer
	n, c int
}

const (
	wordSize   = unsafe.Sizeof(uint64(0))
	objectSize = unsafe.Sizeof(object{})
	ifaceSize  = unsafe.Sizeof(any(nil))
)

// An operand is where an instruction finds a value: a slot of the frame, or a
// constant's memory.
type operand struct {
	c    unsafe.Pointer
	off  uintptr
	bank uint8
	cl   class
}

// at is the address of the slot.
func (o operand) at(fr *frame) unsafe.Pointer {
	if o.c != nil {
		return o.c
	}
	return unsafe.Add(fr.b[o.bank], o.off)
}

// mem is the address of the value in Go's own layout, for every class but
// interfaces (whose slot is an any whatever the static type).
func (o operand) mem(fr *frame) unsafe.Pointer {
	p := o.at(fr)
	if o.cl == clMem {
		return *(*unsafe.Pointer)(p)
	}
	return p
}

func (o operand) isConst() bool { return o.c != nil }

// A frame is one call in progress. Frames belong to a depth of a thread and
// are used again by the next call at that depth.
type frame struct {
	b    [banks]unsafe.Pointer
	t    *thread
	fn   *code
	blk  int32
	pc   int32
	base int // depth of this frame

	deferOf  *panicking  // the panic on whose behalf this deferred call runs
	defers   *deferStack // lazily made
	returned *panicking  // for saved operands: what the returning function was deferred for

	words   []uint64
	objects []object
	ifaces  []any
}

// counts are sizes of the three banks.
type counts struct{ words, objects, ifaces int }

func (f *frame) fit(n counts) {
	if n.words > len(f.words) {
		f.words = make([]uint64, n.words+8)
		f.b[bankWords] = unsafe.Pointer(&f.words[0])
	}
	if n.objects > len(f.objects) {
		f.objects = make([]object, n.objects+4)
		f.b[bankObjects] = unsafe.Pointer(&f.objects[0])
	}
	if n.ifaces > len(f.ifaces) {
		f.ifaces = make([]any, n.ifaces+2)
		f.b[bankIfaces] = unsafe.Pointer(&f.ifaces[0])
	}
}

// A thread runs cell functions on one goroutine.
type thread struct {
	run      *run
	frames   []*frame
	depth    int // of the innermost frame; 0 is none
	limit    int
	outer    int        // depth of the calls outside that led to this thread
	grace    int        // checks that pass while a stop unwinds deferred calls
	callback bool       // began in compiled code
	over     bool       // and has returned
	home     bool       // and is known to be on a goroutine of ours
	caller   *thread    // the callback in progress when this one began
	passing  *panicking // the panic that a frame has just handed on
}

var threads = sync.Pool{New: func() any { return &thread{frames: make([]*frame, 1, 16)} }}

func newThread(r *run) *thread {
	t := threads.Get().(*thread)
	t.run = r
	t.depth = 0
	t.outer = 0
	t.grace = 0
	t.passing = nil
	t.callback, t.over, t.home = false, false, false
	t.caller = nil
	t.limit = r.m.maxDepth
	return t
}

// release gives back a thread that ended in the ordinary way.
func (t *thread) release() {
	t.run = nil
	if len(t.frames) <= 64 {
		threads.Put(t)
	}
}

// push makes the frame of a call.
func (t *thread) push(c *code) *frame {
	d := t.depth + 1
	if d >= len(t.frames) {
		t.grow()
	}
	if t.run.stop.Load() != 0 {
		t.check()
	}
	f := t.frames[d]
	if f.fn != c {
		f.fit(c.size)
		f.fn = c
	}
	f.deferOf = nil
	f.defers = nil
	t.depth = d
	return f
}

func (t *thread) grow() {
	if len(t.frames)+t.outer > t.limit {
		panic(&stopSignal{err: ErrDepth})
	}
	f := &frame{t: t, base: len(t.frames)}
	f.fit(counts{8, 8, 2})
	t.frames = append(t.frames, f)
}

// check ends the thread's work when its run was stopped.
func (t *thread) check() {
	if t.grace > 0 {
		t.grace--
		return
	}
	if err := t.run.stopped(); err != nil {
		panic(&stopSignal{err: err, flagged: true})
	}
}

// A move copies one value between slots.
type move struct {
	src  operand
	off  uintptr // of the destination
	size uintptr // bytes, for scalars
	cl   class
}

// copySlot copies a value of class cl between two slots.
func copySlot(cl class, size uintptr, dst, src unsafe.Pointer) {
	switch cl {
	case clScalar:
		if size <= 8 {
			*(*uint64)(dst) = *(*uint64)(src)
		} else {
			copyWords(dst, src, size)
		}
	case clPtr, clMem:
		*(*unsafe.Pointer)(dst) = *(*unsafe.Pointer)(src)
	case clString:
		*(*string)(dst) = *(*string)(src)
	case clSlice:
		*(*object)(dst) = *(*object)(src)
	case clIface:
		*(*any)(dst) = *(*any)(src)
	}
}

func copyWords(dst, src unsafe.Pointer, size uintptr) {
	n := int(size+7) / 8
	copy(unsafe.Slice((*uint64)(dst), n), unsafe.Slice((*uint64)(src), n))
}

func copyBytes(dst, src unsafe.Pointer, size uintptr) {
	copy(unsafe.Slice((*byte)(dst), size), unsafe.Slice((*byte)(src), size))
}

// moveIn copies arguments from one frame into the slots of the next.
func moveIn(moves []move, from, to *frame) {
	for i := range moves {
		m := &moves[i]
		copySlot(m.cl, m.size, unsafe.Add(to.b[m.cl.bank()], m.off), m.src.at(from))
	}
}

// typedMove copies a value of type rt in memory with the write barriers that
// its pointers need.
func typedMove(rt reflect.Type, dst, src unsafe.Pointer) {
	reflect.NewAt(rt, dst).Elem().Set(reflect.NewAt(rt, src).Elem())
}

// eface is the layout of an any.
type eface struct{ typ, data unsafe.Pointer }

func typeWord(rt reflect.Type) unsafe.Pointer { return (*eface)(unsafe.Pointer(&rt)).data }

func typeWordOf(x any) unsafe.Pointer { return (*eface)(unsafe.Pointer(&x)).typ }
