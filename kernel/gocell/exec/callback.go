package exec

import (
	"reflect"
	"unsafe"
)

// A closure of a cell is an ordinary func value, so that compiled code can
// keep and call it. For common shapes it is a Go closure over the *closure;
// for all others reflect.MakeFunc makes it. Its code pointer tells the
// executor that it can go straight to the *closure instead of through Go.

// maker makes the func value of a closure.
type maker func(c *closure) unsafe.Pointer

// funcHead is the layout of the closures below: the code pointer, then the
// one captured variable.
type funcHead struct {
	code uintptr
	c    *closure
}

var (
	makers      map[string]maker
	closureCode codeSet
	// The parts of a func value that reflect made: its code pointer, the
	// place of the Go function in it, and that function's code pointer.
	reflectCode, reflectInner uintptr
	reflectAt                 uintptr
)

// codeSet is a small hash set of code pointers.
type codeSet [256]uintptr

func (s *codeSet) add(p uintptr) {
	i := p >> 4 & 255
	for s[i] != 0 && s[i] != p {
		i = (i + 1) & 255
	}
	s[i] = p
}

func (s *codeSet) has(p uintptr) bool {
	for i := p >> 4 & 255; s[i] != 0; i = (i + 1) & 255 {
		if s[i] == p {
			return true
		}
	}
	return false
}

func init() {
	makers = map[string]maker{
		":": does0, "f:": does1[float64], "i:": does1[int], "s:": does1[string], "p:": does1[unsafe.Pointer], "a:": does1[any],
		":f": gives0[float64], ":i": gives0[int], ":s": gives0[string], ":b": gives0[bool], ":a": gives0[any], ":p": gives0[unsafe.Pointer],
		"f:f": gives1[float64, float64], "f:b": gives1[float64, bool], "f:i": gives1[float64, int], "f:P": gives1[float64, point],
		"i:i": gives1[int, int], "i:b": gives1[int, bool], "i:f": gives1[int, float64], "i:s": gives1[int, string],
		"r:r": gives1[rune, rune], "r:b": gives1[rune, bool],
		"s:s": gives1[string, string], "s:b": gives1[string, bool], "s:i": gives1[string, int],
		"P:P": gives1[point, point], "P:f": gives1[point, float64], "P:b": gives1[point, bool],
		"p:b": gives1[unsafe.Pointer, bool], "p:p": gives1[unsafe.Pointer, unsafe.Pointer], "p:f": gives1[unsafe.Pointer, float64],
		"v:f": gives1[slice, float64], "a:a": gives1[any, any], "a:b": gives1[any, bool],
		"ff:f": gives2[float64, float64, float64], "ff:b": gives2[float64, float64, bool], "ff:i": gives2[float64, float64, int],
		"ii:i": gives2[int, int, int], "ii:b": gives2[int, int, bool], "ii:f": gives2[int, int, float64],
		"ss:i": gives2[string, string, int], "ss:b": gives2[string, string, bool],
		"pp:i": gives2[unsafe.Pointer, unsafe.Pointer, int], "pp:b": gives2[unsafe.Pointer, unsafe.Pointer, bool],
		"PP:b": gives2[point, point, bool], "PP:i": gives2[point, point, int], "PP:f": gives2[point, point, float64],
	}
	// The layouts that closureOf relies on are tested once, here.
	probe := &closure{}
	for shape, mk := range makers {
		h := (*funcHead)(mk(probe))
		if h.c != probe {
			panic("exec: closures of shape " + shape + " have an unknown layout in this version of Go")
		}
		closureCode.add(h.code)
	}
	findReflectLayout(probe)
}

func does0(c *closure) unsafe.Pointer {
	f := func() {
		t := enterThread(c.m)
		defer t.leave()
		c.code.exec(c.frame(t))
		t.over = true
	}
	return *(*unsafe.Pointer)(unsafe.Pointer(&f))
}

func does1[A any](c *closure) unsafe.Pointer {
	f := func(x A) {
		t := enterThread(c.m)
		defer t.leave()
		fr := c.frame(t)
		*(*A)(c.code.layout.params[0].at(fr)) = x
		c.code.exec(fr)
		t.over = true
	}
	return *(*unsafe.Pointer)(unsafe.Pointer(&f))
}

func gives0[R any](c *closure) unsafe.Pointer {
	f := func() R {
		t := enterThread(c.m)
		defer t.leave()
		fr := c.frame(t)
		c.code.exec(fr)
		t.over = true
		return *(*R)(c.code.layout.results[0].at(fr))
	}
	return *(*unsafe.Pointer)(unsafe.Pointer(&f))
}

func gives1[A, R any](c *closure) unsafe.Pointer {
	f := func(x A) R {
		t := enterThread(c.m)
		defer t.leave()
		fr := c.frame(t)
		*(*A)(c.code.layout.params[0].at(fr)) = x
		c.code.exec(fr)
		t.over = true
		return *(*R)(c.code.layout.results[0].at(fr))
	}
	return *(*unsafe.Pointer)(unsafe.Pointer(&f))
}

func gives2[A, B, R any](c *closure) unsafe.Pointer {
	f := func(x A, y B) R {
		t := enterThread(c.m)
		defer t.leave()
		fr := c.frame(t)
		*(*A)(c.code.layout.params[0].at(fr)) = x
		*(*B)(c.code.layout.params[1].at(fr)) = y
		c.code.exec(fr)
		t.over = true
		return *(*R)(c.code.layout.results[0].at(fr))
	}
	return *(*unsafe.Pointer)(unsafe.Pointer(&f))
}

// findReflectLayout learns where a func value made by reflect.MakeFunc keeps
// the Go function that it calls.
func findReflectLayout(probe *closure) {
	inner := reflectFunc(probe)
	innerPtr := *(*unsafe.Pointer)(unsafe.Pointer(&inner))
	v := reflect.MakeFunc(reflect.TypeFor[func(complex64) complex64](), inner)
	p := funcPointer(v)
	reflectCode = *(*uintptr)(p)
	reflectInner = *(*uintptr)(innerPtr)
	for off := uintptr(8); off <= 48; off += 8 {
		if *(*unsafe.Pointer)(unsafe.Add(p, off)) == innerPtr {
			reflectAt = off
			if (*funcHead)(innerPtr).c == probe {
				return
			}
		}
	}
	panic("exec: funcs made by reflect have an unknown layout in this version of Go")
}

// reflectFunc is the Go function behind a func value of an uncommon shape.
//
//go:noinline
func reflectFunc(c *closure) func(args []reflect.Value) []reflect.Value {
	return func(args []reflect.Value) []reflect.Value {
		t := enterThread(c.m)
		defer t.leave()
		out := callWith(c.frame(t), c.code.sig, args)
		t.over = true
		return out
	}
}

// closureOf finds the closure behind a func value, or nil for compiled code.
func closureOf(p unsafe.Pointer) *closure {
	h := (*funcHead)(p)
	if closureCode.has(h.code) {
		return h.c
	}
	if h.code == reflectCode {
		inner := *(**funcHead)(unsafe.Add(p, reflectAt))
		if inner != nil && inner.code == reflectInner {
			return inner.c
		}
	}
	return nil
}

// makerOf chooses how closures of a signature become func values of type d.
func makerOf(sig *sigDesc, d *typeDesc) maker {
	if mk := makers[shapeOf(sig)]; mk != nil {
		return mk
	}
	ft := sig.funcType()
	return func(c *closure) unsafe.Pointer {
		return funcPointer(reflect.MakeFunc(ft, reflectFunc(c)))
	}
}

// frame is that of a call from compiled code on a thread of its own.
func (c *closure) frame(t *thread) *frame {
	fr := t.push(c.code)
	c.bind(fr)
	return fr
}

// callWith runs the function of a frame on reflect values.
func callWith(fr *frame, sig *sigDesc, args []reflect.Value) []reflect.Value {
	l := fr.fn.layout
	for i, d := range sig.params {
		d.put(l.params[i].at(fr), args[i])
	}
	fr.fn.exec(fr)
	out := make([]reflect.Value, len(sig.results))
	for i, d := range sig.results {
		out[i] = d.get(l.results[i].at(fr))
	}
	return out
}

// put copies a reflect value into a slot.
func (d *typeDesc) put(slot unsafe.Pointer, v reflect.Value) {
	if d.cl == clIface {
		var x any
		if v.IsValid() && (v.Kind() != reflect.Interface || !v.IsNil()) {
			x = v.Interface()
		}
		*(*any)(slot) = x
		return
	}
	p := reflect.New(d.rt)
	p.Elem().Set(v)
	d.loader()(slot, p.UnsafePointer())
}

// get copies the content of a slot into a reflect value of its own.
func (d *typeDesc) get(slot unsafe.Pointer) reflect.Value {
	p := reflect.New(d.rt)
	d.storer()(p.UnsafePointer(), slot)
	return p.Elem()
}
