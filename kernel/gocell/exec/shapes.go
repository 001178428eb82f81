package exec

import (
	"io"
	"reflect"
	"strings"
	"unsafe"
)

// point has the layout of any struct of two float64.
type point struct{ X, Y float64 }

var writerType = reflect.TypeFor[io.Writer]()

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
		switch d.rt {
		case anyType:
			return 'a'
		case errorType:
			return 'e'
		case writerType:
			return 'w'
		}
	case clScalar:
		switch d.rt.Kind() {
		case reflect.Float64:
			return 'f'
		case reflect.Int, reflect.Int64, reflect.Uint, reflect.Uint64, reflect.Uintptr:
			return 'i'
		case reflect.Int32, reflect.Uint32:
			return 'r'
		case reflect.Uint8:
			return 'c'
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

// fastNative calls functions of a shape without reflect; nil when that is not known.
func fastNative(shape string, args, dst []operand) nativeCall {
	mk := fastNatives[shape]
	if mk == nil {
		return nil
	}
	call := mk(args, dst)
	if params, _, _ := strings.Cut(shape, ":"); strings.ContainsAny(params, "pvaew") {
		return counted(call)
	}
	return call
}

// counted is for functions that may call back into the cell, through what
// they are given: meanwhile the depth of the thread counts for those calls.
func counted(call nativeCall) nativeCall {
	return func(fr *frame, fn unsafe.Pointer) {
		r, d := fr.t.run, int64(fr.t.depth+2)
		r.outside.Add(d)
		defer r.outside.Add(-d)
		call(fr, fn)
	}
}

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

// pair1 and those after it call functions with two results.
func pair1[A, R, S any](a, d []operand) nativeCall {
	x, r, s := a[0], d[0], d[1]
	return func(fr *frame, fn unsafe.Pointer) {
		p, q := (*(*func(A) (R, S))(unsafe.Pointer(&fn)))(*(*A)(x.at(fr)))
		*(*R)(r.at(fr)), *(*S)(s.at(fr)) = p, q
	}
}

// try1 and those after it have an error as the last result.
func try1[A, R any](a, d []operand) nativeCall {
	x, r, e := a[0], d[0], d[1].off
	return func(fr *frame, fn unsafe.Pointer) {
		p, err := (*(*func(A) (R, error))(unsafe.Pointer(&fn)))(*(*A)(x.at(fr)))
		*(*R)(r.at(fr)), *ifaceAt(fr, e) = p, err
	}
}

func try2[A, B, R any](a, d []operand) nativeCall {
	x, y, r, e := a[0], a[1], d[0], d[1].off
	return func(fr *frame, fn unsafe.Pointer) {
		p, err := (*(*func(A, B) (R, error))(unsafe.Pointer(&fn)))(*(*A)(x.at(fr)), *(*B)(y.at(fr)))
		*(*R)(r.at(fr)), *ifaceAt(fr, e) = p, err
	}
}

// print1 and print2 call functions that write to what they are given first.
func print1(a, d []operand) nativeCall {
	w, x, r, e := a[0], a[1], d[0], d[1].off
	return func(fr *frame, fn unsafe.Pointer) {
		to, _ := (*(*any)(w.at(fr))).(io.Writer)
		n, err := (*(*func(io.Writer, slice) (int, error))(unsafe.Pointer(&fn)))(to, *(*slice)(x.at(fr)))
		*(*int)(r.at(fr)), *ifaceAt(fr, e) = n, err
	}
}

func print2(a, d []operand) nativeCall {
	w, f, x, r, e := a[0], a[1], a[2], d[0], d[1].off
	return func(fr *frame, fn unsafe.Pointer) {
		to, _ := (*(*any)(w.at(fr))).(io.Writer)
		n, err := (*(*func(io.Writer, string, slice) (int, error))(unsafe.Pointer(&fn)))(to, *(*string)(f.at(fr)), *(*slice)(x.at(fr)))
		*(*int)(r.at(fr)), *ifaceAt(fr, e) = n, err
	}
}

// fail2 calls functions of a format and its operands that give an error.
func fail2(a, d []operand) nativeCall {
	f, x, e := a[0], a[1], d[0].off
	return func(fr *frame, fn unsafe.Pointer) {
		*ifaceAt(fr, e) = (*(*func(string, slice) error)(unsafe.Pointer(&fn)))(*(*string)(f.at(fr)), *(*slice)(x.at(fr)))
	}
}

func failByte(a, d []operand) nativeCall {
	x, y, e := a[0], a[1], d[0].off
	return func(fr *frame, fn unsafe.Pointer) {
		*ifaceAt(fr, e) = (*(*func(unsafe.Pointer, byte) error)(unsafe.Pointer(&fn)))(*(*unsafe.Pointer)(x.at(fr)), *(*byte)(y.at(fr)))
	}
}

func do1[A any](a, _ []operand) nativeCall {
	return func(fr *frame, fn unsafe.Pointer) { (*(*func(A))(unsafe.Pointer(&fn)))(*(*A)(a[0].at(fr))) }
}

func do2[A, B any](a, _ []operand) nativeCall {
	x, y := a[0], a[1]
	return func(fr *frame, fn unsafe.Pointer) {
		(*(*func(A, B))(unsafe.Pointer(&fn)))(*(*A)(x.at(fr)), *(*B)(y.at(fr)))
	}
}

func do0(_, _ []operand) nativeCall {
	return func(_ *frame, fn unsafe.Pointer) { (*(*func())(unsafe.Pointer(&fn)))() }
}

// fastNatives are the shapes that are called without reflect: those of
// numbers, texts and points, which are what patterns are made with, and those
// that print. A receiver comes first.
var fastNatives = map[string]func(args, dst []operand) nativeCall{
	":": do0, "p:": do1[unsafe.Pointer], "f:": do1[float64], "i:": do1[int], "s:": do1[string],
	"v:": do1[slice], "pi:": do2[unsafe.Pointer, int], "ap:": do2[any, unsafe.Pointer], "vp:": do2[slice, unsafe.Pointer],
	":f": fn0[float64], ":i": fn0[int], ":s": fn0[string], ":b": fn0[bool],
	"f:f": fn1[float64, float64], "f:i": fn1[float64, int], "f:s": fn1[float64, string], "f:b": fn1[float64, bool],
	"i:i": fn1[int, int], "i:f": fn1[int, float64], "i:s": fn1[int, string], "i:b": fn1[int, bool],
	"r:r": fn1[rune, rune], "r:b": fn1[rune, bool], "r:i": fn1[rune, int],
	"s:s": fn1[string, string], "s:i": fn1[string, int], "s:b": fn1[string, bool], "s:v": fn1[string, slice],
	"p:f": fn1[unsafe.Pointer, float64], "p:i": fn1[unsafe.Pointer, int], "p:b": fn1[unsafe.Pointer, bool], "p:s": fn1[unsafe.Pointer, string],
	"v:f": fn1[slice, float64], "v:i": fn1[slice, int], "v:s": fn1[slice, string],
	"P:f": fn1[point, float64], "P:P": fn1[point, point], "P:s": fn1[point, string],
	"ff:f": fn2[float64, float64, float64], "ff:P": fn2[float64, float64, point], "ff:b": fn2[float64, float64, bool],
	"ii:i": fn2[int, int, int], "fi:f": fn2[float64, int, float64], "fi:b": fn2[float64, int, bool], "ii:s": fn2[int, int, string],
	"ss:b": fn2[string, string, bool], "ss:i": fn2[string, string, int], "ss:s": fn2[string, string, string],
	"si:s": fn2[string, int, string], "ss:v": fn2[string, string, slice], "vs:s": fn2[slice, string, string],
	"sv:s": fn2[string, slice, string],
	"PP:P": fn2[point, point, point], "PP:f": fn2[point, point, float64], "Pf:P": fn2[point, float64, point], "PP:b": fn2[point, point, bool],
	"fff:f": fn3[float64, float64, float64, float64], "PPf:P": fn3[point, point, float64, point],
	"sss:s": fn3[string, string, string, string],
	"f:ff":  pair1[float64, float64, float64], "f:fi": pair1[float64, float64, int],
	"s:fe": try1[string, float64], "s:ie": try1[string, int], "s:be": try1[string, bool],
	"v:ie": try1[slice, int], "si:fe": try2[string, int, float64],
	"ps:ie": try2[unsafe.Pointer, string, int], "pr:ie": try2[unsafe.Pointer, rune, int], "pv:ie": try2[unsafe.Pointer, slice, int],
	"sv:ie": try2[string, slice, int], "sv:e": fail2, "pc:e": failByte, "wv:ie": print1, "wsv:ie": print2,
}
