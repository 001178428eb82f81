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
		":": func(c *closure) unsafe.Pointer {
			f := func() {
				t, fr := c.enter()
				c.code.exec(fr)
				t.leave()
			}
			return *(*unsafe.Pointer)(unsafe.Pointer(&f))
		},
		":f": func(c *closure) unsafe.Pointer {
			f := func() float64 {
				t, fr := c.enter()
				c.code.exec(fr)
				r := *(*float64)(c.code.layout.results[0].at(fr))
				t.leave()
				return r
			}
			return *(*unsafe.Pointer)(unsafe.Pointer(&f))
		},
		":i": func(c *closure) unsafe.Pointer {
			f := func() int {
				t, fr := c.enter()
				c.code.exec(fr)
				r := *(*int)(c.code.layout.results[0].at(fr))
				t.leave()
				return r
			}
			return *(*unsafe.Pointer)(unsafe.Pointer(&f))
		},
		":a": func(c *closure) unsafe.Pointer {
			f := func() any {
				t, fr := c.enter()
				c.code.exec(fr)
				r := *(*any)(c.code.layout.results[0].at(fr))
				t.leave()
				return r
			}
			return *(*unsafe.Pointer)(unsafe.Pointer(&f))
		},
		"f:f": func(c *closure) unsafe.Pointer {
			f := func(x float64) float64 {
				t, fr := c.enter()
				*(*float64)(c.code.layout.params[0].at(fr)) = x
				c.code.exec(fr)
				r := *(*float64)(c.code.layout.results[0].at(fr))
				t.leave()
				return r
			}
			return *(*unsafe.Pointer)(unsafe.Pointer(&f))
		},
		"ff:f": func(c *closure) unsafe.Pointer {
			f := func(x, y float64) float64 {
				t, fr := c.enter()
				*(*float64)(c.code.layout.params[0].at(fr)) = x
				*(*float64)(c.code.layout.params[1].at(fr)) = y
				c.code.exec(fr)
				r := *(*float64)(c.code.layout.results[0].at(fr))
				t.leave()
				return r
			}
			return *(*unsafe.Pointer)(unsafe.Pointer(&f))
		},
		"ii:b": func(c *closure) unsafe.Pointer {
			f := func(x, y int) bool {
				t, fr := c.enter()
				*(*int)(c.code.layout.params[0].at(fr)) = x
				*(*int)(c.code.layout.params[1].at(fr)) = y
				c.code.exec(fr)
				r := *(*bool)(c.code.layout.results[0].at(fr))
				t.leave()
				return r
			}
			return *(*unsafe.Pointer)(unsafe.Pointer(&f))
		},
		"i:b": func(c *closure) unsafe.Pointer {
			f := func(x int) bool {
				t, fr := c.enter()
				*(*int)(c.code.layout.params[0].at(fr)) = x
				c.code.exec(fr)
				r := *(*bool)(c.code.layout.results[0].at(fr))
				t.leave()
				return r
			}
			return *(*unsafe.Pointer)(unsafe.Pointer(&f))
		},
		"i:i": func(c *closure) unsafe.Pointer {
			f := func(x int) int {
				t, fr := c.enter()
				*(*int)(c.code.layout.params[0].at(fr)) = x
				c.code.exec(fr)
				r := *(*int)(c.code.layout.results[0].at(fr))
				t.leave()
				return r
			}
			return *(*unsafe.Pointer)(unsafe.Pointer(&f))
		},
		"i:": func(c *closure) unsafe.Pointer {
			f := func(x int) {
				t, fr := c.enter()
				*(*int)(c.code.layout.params[0].at(fr)) = x
				c.code.exec(fr)
				t.leave()
			}
			return *(*unsafe.Pointer)(unsafe.Pointer(&f))
		},
		"p:b": func(c *closure) unsafe.Pointer {
			f := func(x unsafe.Pointer) bool {
				t, fr := c.enter()
				*(*unsafe.Pointer)(c.code.layout.params[0].at(fr)) = x
				c.code.exec(fr)
				r := *(*bool)(c.code.layout.results[0].at(fr))
				t.leave()
				return r
			}
			return *(*unsafe.Pointer)(unsafe.Pointer(&f))
		},
		"p:": func(c *closure) unsafe.Pointer {
			f := func(x unsafe.Pointer) {
				t, fr := c.enter()
				*(*unsafe.Pointer)(c.code.layout.params[0].at(fr)) = x
				c.code.exec(fr)
				t.leave()
			}
			return *(*unsafe.Pointer)(unsafe.Pointer(&f))
		},
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
		t, fr := c.enter()
		out := callWith(fr, c.code.sig, args)
		t.leave()
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

// enter begins a call from compiled code.
func (c *closure) enter() (*thread, *frame) {
	t := enterThread(c.m)
	fr := t.push(c.code)
	c.bind(fr)
	return t, fr
}

// enterThread begins a call of a cell function from compiled code.
func enterThread(m *Machine) *thread {
	r := m.currentRun()
	t := newThread(r)
	t.callback, t.caller = true, r.inner.Swap(t)
	t.outer = int(r.outside.Load())
	if t.outer > t.limit {
		panic(&stopSignal{err: ErrDepth})
	}
	return t
}

// leave ends it.
func (t *thread) leave() {
	t.depth = 0
	t.run.inner.Store(t.caller)
	t.caller = nil
	t.release()
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
