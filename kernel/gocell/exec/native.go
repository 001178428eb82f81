package exec

import (
	"reflect"
	"sync/atomic"
	"unsafe"

	"golang.org/x/tools/go/ssa"
)

type pointerTo[T any] struct{ atomic.Pointer[T] }

// compiledFunc is a compiled function and the pointer that a func variable
// holding it has.
type compiledFunc struct {
	v reflect.Value
	p unsafe.Pointer
}

// funcPointer is what a func variable with the value of v holds.
func funcPointer(v reflect.Value) unsafe.Pointer {
	x := v.Interface()
	return (*eface)(unsafe.Pointer(&x)).data
}

// nativeCall calls the compiled function whose func value is fn.
type nativeCall func(fr *frame, fn unsafe.Pointer)

// compiled finds a compiled function or method, bound or offered, and checks
// that it has the signature that it was type-checked with.
func (im *image) compiled(k *compiler, fn *ssa.Function) compiledFunc {
	name := fn.Name()
	if fn.Signature.Recv() != nil {
		recv := k.desc(fn.Signature.Recv().Type())
		m, ok := recv.rt.MethodByName(name)
		if !ok {
			k.refuse("the method %s of %s cannot be reached", name, recv.name)
		}
		if !k.ty.sig(fn.Signature).fits(m.Func.Type(), 1) {
			k.refuse("the method %s of %s has a signature that cells cannot call", name, recv.name)
		}
		if reason := k.im.m.denied(recv.rt, name); reason != "" {
			k.refuse("%s of %s can't be used in a cell: %s", name, recv.name, reason)
		}
		f := k.im.m.compiledMethod(recv.rt, m)
		return compiledFunc{f, funcPointer(f)}
	}
	path := ""
	if fn.Pkg != nil {
		path = fn.Pkg.Pkg.Path()
	} else if o := fn.Object(); o != nil && o.Pkg() != nil {
		path = o.Pkg().Path()
	}
	if org := fn.Origin(); org != nil && org != fn {
		k.refuse("%s.%s is a compiled generic function, which has no body that cells could run", path, org.Name())
	}
	v, ok := im.m.boundValue(path, name)
	if !ok {
		k.refuse("%s.%s is not offered to cells", path, name)
	}
	im.m.learn(fn.Signature, v.Type())
	if v.Kind() != reflect.Func || v.IsNil() || !k.ty.sig(fn.Signature).fits(v.Type(), 0) {
		k.refuse("%s.%s has a signature that cells cannot call: %s", path, name, v.Type())
	}
	v = im.m.measured(path+"."+name, v)
	return compiledFunc{v, funcPointer(v)}
}

// compiledMethod is a method of a compiled type, with the replacements of this
// package.
func (m *Machine) compiledMethod(rt reflect.Type, method reflect.Method) reflect.Value {
	key, f := methodKey(rt, method.Name), method.Func
	if r := replacements(m)[key]; r != nil {
		f = reflect.ValueOf(r)
	}
	return m.measured(key, f)
}

// fits says whether values of the signature can go to and come from a func of
// type ft without its first skip parameters: the memory types are the same,
// or both are interfaces.
func (s *sigDesc) fits(ft reflect.Type, skip int) bool {
	if ft.NumIn()-skip != len(s.params) || ft.NumOut() != len(s.results) || ft.IsVariadic() != s.variadic {
		return false
	}
	fit := func(d *typeDesc, t reflect.Type) bool {
		return d.rt == t || d.cl == clIface && t.Kind() == reflect.Interface
	}
	for i, d := range s.params {
		if !fit(d, ft.In(i+skip)) {
			return false
		}
	}
	for i, d := range s.results {
		if !fit(d, ft.Out(i)) {
			return false
		}
	}
	return true
}

// callCompiled calls a compiled function or method by name.
func (k *compiler) callCompiled(fn *ssa.Function, c *ssa.CallCommon, dst []operand) op {
	if fn.Name() == "init" && fn.Synthetic != "" {
		return func(*frame) {} // a compiled package is initialised
	}
	f := k.im.compiled(k, fn)
	sig := k.ty.sig(fn.Signature)
	if fn.Signature.Recv() != nil {
		all := *sig
		all.params = append([]*typeDesc{k.desc(fn.Signature.Recv().Type())}, sig.params...)
		sig = &all
	}
	call := k.nativeOf(sig, f.v.Type(), k.operands(c.Args), dst)
	p := f.p
	return func(fr *frame) { call(fr, p) }
}

// nativeOf makes the call of compiled functions of type ft. sig has the
// receiver among its parameters.
func (k *compiler) nativeOf(sig *sigDesc, ft reflect.Type, args, dst []operand) nativeCall {
	if len(dst) == len(sig.results) {
		if fast := fastNative(shapeOf(sig), args, dst); fast != nil {
			return fast
		}
	}
	read := make([]func(fr *frame) reflect.Value, len(args))
	for i, a := range args {
		read[i] = nativeReader(a, sig.params[i], ft.In(i))
	}
	funcAt := placed(ft)
	return func(fr *frame, fn unsafe.Pointer) {
		in := make([]reflect.Value, len(read))
		for i, f := range read {
			in[i] = f(fr)
		}
		out := callReflect(fr, funcAt(unsafe.Pointer(&fn)), in)
		storeResults(fr, sig, out, dst)
	}
}

// nativeArg is an argument for a parameter of type pt.
func nativeArg(fr *frame, o operand, d *typeDesc, pt reflect.Type) reflect.Value {
	if d.cl != clIface {
		return reflect.NewAt(d.rt, o.mem(fr)).Elem()
	}
	x := *(*any)(o.at(fr))
	if x == nil {
		return reflect.Zero(pt)
	}
	return reflect.ValueOf(x)
}

// nativeReader reads an argument for a parameter of type pt.
func nativeReader(o operand, d *typeDesc, pt reflect.Type) func(fr *frame) reflect.Value {
	if d.cl == clIface {
		return func(fr *frame) reflect.Value { return nativeArg(fr, o, d, pt) }
	}
	place := placed(d.rt)
	return func(fr *frame) reflect.Value { return place(o.mem(fr)) }
}

// callReflect calls a compiled function; meanwhile the depth of the thread
// counts for the closures that it calls back.
func callReflect(fr *frame, fn reflect.Value, in []reflect.Value) []reflect.Value {
	t := fr.t
	r, d := t.run, int64(t.depth+2)
	r.outside.Add(d)
	var out []reflect.Value
	ok := false
	defer func() {
		if !ok {
			r.outside.Add(-d)
		}
	}()
	if fn.Type().IsVariadic() {
		out = fn.CallSlice(in)
	} else {
		out = fn.Call(in)
	}
	ok = true
	r.outside.Add(-d)
	return out
}

func storeResults(fr *frame, sig *sigDesc, out []reflect.Value, dst []operand) {
	if dst == nil {
		return
	}
	for i, d := range sig.results {
		if d.cl == clIface {
			var x any
			if v := out[i]; v.Kind() != reflect.Interface || !v.IsNil() {
				x = v.Interface()
			}
			*(*any)(dst[i].at(fr)) = x
			continue
		}
		if d.cl == clMem && !d.direct {
			*(*unsafe.Pointer)(dst[i].at(fr)) = memoryOf(out[i])
			continue
		}
		p := reflect.New(d.rt)
		p.Elem().Set(out[i])
		d.loader()(dst[i].at(fr), p.UnsafePointer())
	}
}
