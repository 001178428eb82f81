package exec

import (
	"fmt"
	"go/types"
	"reflect"
	"unsafe"

	"golang.org/x/tools/go/ssa"
)

func (k *compiler) callInstr(in *ssa.Call) op {
	if ops, ok := k.tuple[in]; ok {
		return k.call(&in.Call, ops, false)
	}
	return k.call(&in.Call, []operand{k.dst(in)}, false)
}

// call translates a call. dst is where the results go; none are wanted when
// it is nil. deferred says that fr will be the frame of saved operands.
func (k *compiler) call(c *ssa.CallCommon, dst []operand, deferred bool) op {
	if c.IsInvoke() {
		return k.invoke(c, dst, deferred)
	}
	switch fn := c.Value.(type) {
	case *ssa.Builtin:
		return k.builtin(fn.Name(), c, dst, deferred)
	case *ssa.Function:
		if !k.im.hasBody(fn) {
			return k.callCompiled(fn, c, dst)
		}
		return k.callStatic(fn, c, dst, deferred)
	}
	return k.callValue(c, dst, deferred)
}

// A transfer moves the arguments and results of calls of one signature.
type transfer struct {
	in, out []move
	pass    bool // hand on the panic that this frame was deferred for
}

func (k *compiler) transfer(l *layout, args []operand, dst []operand, deferred bool) *transfer {
	t := &transfer{pass: deferred || k.c.wrapper}
	for i, a := range args {
		s := l.params[i]
		t.in = append(t.in, move{src: a, off: s.off, size: s.size, cl: s.cl})
	}
	for i, o := range dst {
		s := l.results[i]
		if o.cl == s.cl && i < len(dst) {
			t.out = append(t.out, move{src: s.operand(), off: o.off, size: s.size, cl: s.cl})
		}
	}
	return t
}

// enter makes the frame of the callee with its arguments.
func (x *transfer) enter(fr *frame, c *code) *frame {
	nf := fr.t.push(c)
	for i := range x.in {
		m := &x.in[i]
		if m.cl == clScalar && m.size <= 8 {
			*at[uint64](nf, m.off) = *(*uint64)(m.src.at(fr))
		} else {
			copySlot(m.cl, m.size, unsafe.Add(nf.b[m.cl.bank()], m.off), m.src.at(fr))
		}
	}
	if x.pass {
		nf.deferOf = fr.deferOf
	}
	return nf
}

// leave takes the results.
func (x *transfer) leave(fr, nf *frame) {
	for i := range x.out {
		m := &x.out[i]
		if m.cl == clScalar && m.size <= 8 {
			*at[uint64](fr, m.off) = *(*uint64)(m.src.at(nf))
		} else {
			copySlot(m.cl, m.size, unsafe.Add(fr.b[m.cl.bank()], m.off), m.src.at(nf))
		}
	}
	fr.t.depth = nf.base - 1
}

func (k *compiler) operands(vs []ssa.Value) []operand {
	out := make([]operand, len(vs))
	for i, v := range vs {
		out[i] = k.val(v)
	}
	return out
}

func (k *compiler) callStatic(fn *ssa.Function, c *ssa.CallCommon, dst []operand, deferred bool) op {
	target := k.im.codeFor(fn)
	args := k.operands(c.Args)
	x := k.transfer(target.layout, argsAfterRecv(fn, args), dst, deferred)
	if r := target.layout.recv; r != nil {
		x.in = append(x.in, move{src: args[0], off: r.off, size: r.size, cl: r.cl})
	}
	live := k.im.slotFor(fn, target)
	if live == nil {
		return func(fr *frame) {
			nf := x.enter(fr, target)
			target.exec(nf)
			x.leave(fr, nf)
		}
	}
	im := k.im
	return func(fr *frame) {
		c := target
		if now := live.cur.Load(); now != c && now != nil && im.live.Load() {
			c = live.fitting(now, target)
		}
		nf := x.enter(fr, c)
		c.exec(nf)
		x.leave(fr, nf)
	}
}

func argsAfterRecv(fn *ssa.Function, args []operand) []operand {
	if fn.Signature.Recv() != nil {
		return args[1:]
	}
	return args
}

// fitting is the live declaration, which must still have the signature that
// the caller was checked against.
func (s *slot) fitting(now, was *code) *code {
	if now.sig.key != was.sig.key {
		panic(&stopSignal{err: unsupported("%s was declared again with another signature than this call has", s.name)})
	}
	return now
}

// callValue calls a func value: a closure of a cell or a compiled function.
func (k *compiler) callValue(c *ssa.CallCommon, dst []operand, deferred bool) op {
	sig := k.ty.sig(c.Signature())
	args := k.operands(c.Args)
	x := k.transfer(layoutOf(sig, nil), args, dst, deferred)
	f := k.val(c.Value)
	native := k.nativeOf(sig, sig.funcType(), args, dst)
	return func(fr *frame) {
		p := *(*unsafe.Pointer)(f.at(fr))
		if p == nil {
			nilDereference()
		}
		cl := closureOf(p)
		if cl == nil {
			native(fr, p)
			return
		}
		nf := x.enter(fr, cl.code)
		cl.bind(nf)
		cl.code.exec(nf)
		x.leave(fr, nf)
	}
}

// invoke calls a method of an interface value.
func (k *compiler) invoke(c *ssa.CallCommon, dst []operand, deferred bool) op {
	sig := k.ty.sig(c.Method.Type().(*types.Signature))
	args := k.operands(c.Args)
	x := k.transfer(layoutOf(sig, nil), args, dst, deferred)
	v := k.val(c.Value)
	id, name := c.Method.Id(), c.Method.Name()
	compiled := k.invokeCompiled(sig, name, args, dst)
	type cached struct {
		typ  *typeDesc
		ms   *methodSet
		m    *boxMethod
		load func(unsafe.Pointer, any)
	}
	var last pointerTo[cached]
	return func(fr *frame) {
		val := *(*any)(v.at(fr))
		bx, ok := val.(boxer)
		if !ok {
			if val == nil {
				nilDereference()
			}
			compiled(fr, val)
			return
		}
		b := bx.box()
		e := last.Load()
		if ms := b.typ.methods.Load(); e == nil || e.typ != b.typ || e.ms != ms {
			if ms == nil || ms.byID[id] == nil {
				panic(&stopSignal{err: unsupported("%s has no method %s now", b.typ.name, name)})
			}
			if ms.byID[id].sig.key != sig.key {
				panic(&stopSignal{err: unsupported("the method %s of %s was declared again with another signature than this call has", name, b.typ.name)})
			}
			e = &cached{b.typ, ms, ms.byID[id], b.typ.fromAny()}
			last.Store(e)
		}
		nf := x.enter(fr, e.m.code)
		e.load(e.m.code.layout.recv.at(nf), b.val)
		e.m.code.exec(nf)
		x.leave(fr, nf)
	}
}

// invokeCompiled calls a method of a compiled type.
func (k *compiler) invokeCompiled(sig *sigDesc, name string, args, dst []operand) func(fr *frame, val any) {
	if sig.key == "func()(string,)" && (name == "Error" || name == "String") && len(dst) == 1 {
		to := dst[0].off
		return func(fr *frame, val any) {
			switch v := val.(type) {
			case error:
				if name == "Error" {
					*objAt[string](fr, to) = v.Error()
					return
				}
			}
			*objAt[string](fr, to) = val.(fmt.Stringer).String()
		}
	}
	type cached struct {
		typ reflect.Type
		fn  reflect.Value
	}
	var last pointerTo[cached]
	return func(fr *frame, val any) {
		e := last.Load()
		if rt := reflect.TypeOf(val); e == nil || e.typ != rt {
			m, ok := rt.MethodByName(name)
			if !ok {
				panic(&stopSignal{err: unsupported("%s has no method %s that a cell can call", rt, name)})
			}
			if reason := k.im.m.denied(rt, name); reason != "" {
				panic(&stopSignal{err: unsupported("%s of %s can't be used in a cell: %s", name, rt, reason)})
			}
			e = &cached{typ: rt, fn: k.im.m.compiledMethod(rt, m)}
			last.Store(e)
		}
		in := make([]reflect.Value, len(args)+1)
		in[0] = reflect.ValueOf(val)
		ft := e.fn.Type()
		for i, a := range args {
			in[i+1] = nativeArg(fr, a, sig.params[i], ft.In(i+1))
		}
		storeResults(fr, sig, callReflect(fr, e.fn, in), dst)
	}
}

// makeClosure captures values.
func (k *compiler) makeClosure(in *ssa.MakeClosure) op {
	fn := in.Fn.(*ssa.Function)
	target := k.im.codeFor(fn)
	d := k.desc(in.Type())
	make := makerOf(k.ty.sig(fn.Signature), d)
	var n counts
	var moves []move
	for i, b := range in.Bindings {
		fd := k.desc(fn.FreeVars[i].Type())
		s := n.slot(fd)
		moves = append(moves, move{src: k.val(b), off: s.off, size: s.size, cl: s.cl})
	}
	dst, m := k.dst(in).off, k.im.m
	return func(fr *frame) {
		c := &closure{code: target, m: m}
		if n.objects > 0 {
			c.objects = newObjects(n.objects)
		}
		if n.words > 0 {
			c.words = newWords(n.words)
		}
		if n.ifaces > 0 {
			c.ifaces = newIfaces(n.ifaces)
		}
		for i := range moves {
			mv := &moves[i]
			copySlot(mv.cl, mv.size, c.slot(mv), mv.src.at(fr))
		}
		*objAt[unsafe.Pointer](fr, dst) = make(c)
	}
}

func newObjects(n int) []object { return make([]object, n) }
func newWords(n int) []uint64   { return make([]uint64, n) }
func newIfaces(n int) []any     { return make([]any, n) }

func (c *closure) slot(m *move) unsafe.Pointer {
	switch m.cl.bank() {
	case bankWords:
		return unsafe.Add(unsafe.Pointer(unsafe.SliceData(c.words)), m.off)
	case bankObjects:
		return unsafe.Add(unsafe.Pointer(unsafe.SliceData(c.objects)), m.off)
	}
	return unsafe.Add(unsafe.Pointer(unsafe.SliceData(c.ifaces)), m.off)
}

// funcValue is a declared function as a value.
func (k *compiler) funcValue(fn *ssa.Function) unsafe.Pointer {
	if !k.im.hasBody(fn) {
		return k.im.compiled(k, fn).p
	}
	c := k.im.codeFor(fn)
	if v := c.value.Load(); v != nil {
		return v.fn
	}
	v := &closure{code: c, m: k.im.m}
	v.fn = makerOf(c.sig, k.desc(fn.Signature))(v)
	c.value.Store(v)
	return v.fn
}
