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
		if fast := fastNatives[shapeOf(sig)]; fast != nil {
			return fast(args, dst)
		}
	}
	pts := make([]reflect.Type, len(args))
	for i := range pts {
		pts[i] = ft.In(i)
	}
	return func(fr *frame, fn unsafe.Pointer) {
		in := make([]reflect.Value, len(args))
		for i, a := range args {
			in[i] = nativeArg(fr, a, sig.params[i], pts[i])
		}
		out := callReflect(fr, reflect.NewAt(ft, unsafe.Pointer(&fn)).Elem(), in)
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
		p := reflect.New(d.rt)
		p.Elem().Set(out[i])
		d.loader()(dst[i].at(fr), p.UnsafePointer())
	}
}

// point has the layout of any struct of two float64.
type point struct{ X, Y float64 }

// shapeOf spells a signature by the layout of its parts: functions of one
// shape are called in the same way.
func shapeOf(sig *sigDesc) string {
	b := make([]byte, 0, 8)
	for _, d := range sig.params {
		b = append(b, shape(d))
	}
	b = append(b, ':')
	for _, d := range sig.results {
		b = append(b, shape(d))
	}
	return string(b)
}

func shape(d *typeDesc) byte {
	switch d.cl {
	case clPtr:
		return 'p'
	case clString:
		return 's'
	case clSlice:
		return 'v'
	case clIface:
		if d.rt == anyType {
			return 'a'
		}
	case clScalar:
		switch d.rt.Kind() {
		case reflect.Float64:
			return 'f'
		case reflect.Int, reflect.Int64, reflect.Uint, reflect.Uint64, reflect.Uintptr:
			return 'i'
		case reflect.Int32, reflect.Uint32:
			return 'r'
		case reflect.Bool:
			return 'b'
		case reflect.Struct:
			if d.rt.NumField() == 2 && d.rt.Field(0).Type.Kind() == reflect.Float64 && d.rt.Field(1).Type.Kind() == reflect.Float64 {
				return 'P'
			}
		}
	}
	return '?'
}

type slice = []struct{}

func fn0[R any](_, d []operand) nativeCall {
	return func(fr *frame, fn unsafe.Pointer) {
		*(*R)(d[0].at(fr)) = (*(*func() R)(unsafe.Pointer(&fn)))()
	}
}

func fn1[A, R any](a, d []operand) nativeCall {
	x, to := a[0], d[0]
	return func(fr *frame, fn unsafe.Pointer) {
		*(*R)(to.at(fr)) = (*(*func(A) R)(unsafe.Pointer(&fn)))(*(*A)(x.at(fr)))
	}
}

func fn2[A, B, R any](a, d []operand) nativeCall {
	x, y, to := a[0], a[1], d[0]
	return func(fr *frame, fn unsafe.Pointer) {
		*(*R)(to.at(fr)) = (*(*func(A, B) R)(unsafe.Pointer(&fn)))(*(*A)(x.at(fr)), *(*B)(y.at(fr)))
	}
}

func fn3[A, B, C, R any](a, d []operand) nativeCall {
	x, y, z, to := a[0], a[1], a[2], d[0]
	return func(fr *frame, fn unsafe.Pointer) {
		*(*R)(to.at(fr)) = (*(*func(A, B, C) R)(unsafe.Pointer(&fn)))(*(*A)(x.at(fr)), *(*B)(y.at(fr)), *(*C)(z.at(fr)))
	}
}

func do1[A any](a, _ []operand) nativeCall {
	return func(fr *frame, fn unsafe.Pointer) { (*(*func(A))(unsafe.Pointer(&fn)))(*(*A)(a[0].at(fr))) }
}

func do0(_, _ []operand) nativeCall {
	return func(_ *frame, fn unsafe.Pointer) { (*(*func())(unsafe.Pointer(&fn)))() }
}

// fastNatives are the shapes that are called without reflect: those of
// numbers, texts and points, which are what patterns are made with. A
// receiver comes first.
var fastNatives = map[string]func(args, dst []operand) nativeCall{
	":": do0, "p:": do1[unsafe.Pointer], "f:": do1[float64], "i:": do1[int], "s:": do1[string],
	":f": fn0[float64], ":i": fn0[int], ":s": fn0[string], ":b": fn0[bool],
	"f:f": fn1[float64, float64], "f:i": fn1[float64, int], "f:s": fn1[float64, string], "f:b": fn1[float64, bool],
	"i:i": fn1[int, int], "i:f": fn1[int, float64], "i:s": fn1[int, string], "i:b": fn1[int, bool],
	"s:s": fn1[string, string], "s:i": fn1[string, int], "s:b": fn1[string, bool],
	"p:f": fn1[unsafe.Pointer, float64], "p:i": fn1[unsafe.Pointer, int], "p:b": fn1[unsafe.Pointer, bool], "p:s": fn1[unsafe.Pointer, string],
	"v:f": fn1[slice, float64], "v:i": fn1[slice, int], "v:s": fn1[slice, string],
	"P:f": fn1[point, float64], "P:P": fn1[point, point], "P:s": fn1[point, string],
	"ff:f": fn2[float64, float64, float64], "ff:P": fn2[float64, float64, point], "ff:b": fn2[float64, float64, bool],
	"ii:i": fn2[int, int, int], "fi:f": fn2[float64, int, float64],
	"ss:b": fn2[string, string, bool], "ss:i": fn2[string, string, int], "ss:s": fn2[string, string, string],
	"si:s": fn2[string, int, string], "ss:v": fn2[string, string, slice], "vs:s": fn2[slice, string, string],
	"PP:P": fn2[point, point, point], "PP:f": fn2[point, point, float64], "Pf:P": fn2[point, float64, point],
	"fff:f": fn3[float64, float64, float64, float64], "PPf:P": fn3[point, point, float64, point],
	"sss:s": fn3[string, string, string, string],
}
