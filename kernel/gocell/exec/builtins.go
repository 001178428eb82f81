package exec

import (
	"bytes"
	"go/types"
	"reflect"
	"strconv"
	"strings"
	"unsafe"

	"golang.org/x/tools/go/ssa"
)

func (k *compiler) builtin(name string, c *ssa.CallCommon, dst []operand, deferred bool) op {
	var to operand
	if len(dst) > 0 {
		to = dst[0]
	} else if dst == nil {
		to = k.scratch(c.Signature())
	}
	switch name {
	case "append":
		return k.appendCall(c, to)
	case "copy":
		return k.copyCall(c, to)
	case "len", "cap":
		return k.lenCap(name, c, to)
	case "close":
		_, rt := k.chanType(c.Args[0].Type())
		ch := k.val(c.Args[0])
		return func(fr *frame) { chanAt(rt, ch.at(fr)).Close() }
	case "delete":
		return k.deleteCall(c)
	case "clear":
		return k.clearCall(c)
	case "panic":
		x := k.val(c.Args[0])
		return func(fr *frame) { panic(*(*any)(x.at(fr))) }
	case "print", "println":
		return k.printCall(name == "println", c)
	case "recover":
		return k.recoverBuiltin(to, deferred)
	case "real", "imag", "complex":
		return k.complexCall(name, c, to)
	case "min", "max":
		return k.minMax(name == "min", c, to)
	case "ssa:wrapnilchk":
		return k.wrapNilCheck(c, to)
	case "Sizeof":
		size := k.desc(c.Args[0].Type()).size
		return func(fr *frame) { *at[uintptr](fr, to.off) = size }
	case "ssa:deferstack":
		k.c.hasDefer = true
		return func(fr *frame) { *objAt[unsafe.Pointer](fr, to.off) = unsafe.Pointer(fr.deferStack()) }
	}
	k.refuse("the builtin %s cannot be run", name)
	return nil
}

// scratch is a place for a result that nobody wants.
func (k *compiler) scratch(sig *types.Signature) operand {
	if sig.Results().Len() == 0 {
		return operand{}
	}
	return k.size.slot(k.desc(sig.Results().At(0).Type())).operand()
}

// recoverBuiltin translates recover(). As a deferred call itself it acts like
// a call at the return of the function that deferred it, and does nothing
// when a panic runs it.
func (k *compiler) recoverBuiltin(to operand, deferred bool) op {
	if !deferred {
		return k.recoverCall(to)
	}
	return func(fr *frame) {
		if p := fr.returned; p != nil && !p.recovered && !p.stop {
			p.recovered = true
		}
	}
}

func (k *compiler) lenCap(name string, c *ssa.CallCommon, to operand) op {
	x, d := k.val(c.Args[0]), to.off
	switch t := c.Args[0].Type().Underlying().(type) {
	case *types.Basic:
		return func(fr *frame) { *at[int](fr, d) = len(*(*string)(x.at(fr))) }
	case *types.Slice:
		if name == "cap" {
			return func(fr *frame) { *at[int](fr, d) = (*object)(x.at(fr)).c }
		}
		return func(fr *frame) { *at[int](fr, d) = (*object)(x.at(fr)).n }
	case *types.Array:
		n := int(t.Len())
		return func(fr *frame) { *at[int](fr, d) = n }
	case *types.Pointer:
		if a, ok := t.Elem().Underlying().(*types.Array); ok {
			n := int(a.Len())
			return func(fr *frame) { *at[int](fr, d) = n }
		}
	case *types.Map:
		_, _, rt := k.mapType(c.Args[0].Type())
		mapAt := placed(rt)
		return func(fr *frame) { *at[int](fr, d) = mapAt(x.at(fr)).Len() }
	case *types.Chan:
		_, rt := k.chanType(c.Args[0].Type())
		if name == "cap" {
			return func(fr *frame) { *at[int](fr, d) = chanAt(rt, x.at(fr)).Cap() }
		}
		return func(fr *frame) { *at[int](fr, d) = chanAt(rt, x.at(fr)).Len() }
	}
	k.refuse("%s of %s cannot be run", name, c.Args[0].Type())
	return nil
}

func (k *compiler) copyCall(c *ssa.CallCommon, to operand) op {
	x, y, d := k.val(c.Args[0]), k.val(c.Args[1]), to.off
	if b, ok := c.Args[1].Type().Underlying().(*types.Basic); ok && b.Info()&types.IsString != 0 {
		return func(fr *frame) { *at[int](fr, d) = copy(*(*[]byte)(x.at(fr)), *(*string)(y.at(fr))) }
	}
	elem := k.desc(c.Args[0].Type().Underlying().(*types.Slice).Elem())
	if pointerFree(elem.rt) {
		size := elem.size
		return func(fr *frame) {
			a, b := (*object)(x.at(fr)), (*object)(y.at(fr))
			n := min(a.n, b.n)
			if n > 0 && size > 0 {
				copyBytes(a.p, b.p, uintptr(n)*size)
			}
			*at[int](fr, d) = n
		}
	}
	sliceAt := placed(reflect.SliceOf(elem.rt))
	return func(fr *frame) {
		*at[int](fr, d) = reflect.Copy(sliceAt(x.at(fr)), sliceAt(y.at(fr)))
	}
}

func (k *compiler) deleteCall(c *ssa.CallCommon) op {
	m, kv := k.val(c.Args[0]), k.val(c.Args[1])
	key, _, rt := k.mapType(c.Args[0].Type())
	check, mapAt, readKey := key.hashable(), placed(rt), kv.reader(key)
	return func(fr *frame) {
		kr := readKey(fr)
		if check != nil {
			check(kr)
		}
		if mv := mapAt(m.at(fr)); !mv.IsNil() {
			mv.SetMapIndex(kr, reflect.Value{})
		}
	}
}

func (k *compiler) clearCall(c *ssa.CallCommon) op {
	x := k.val(c.Args[0])
	switch t := c.Args[0].Type().Underlying().(type) {
	case *types.Map:
		_, _, rt := k.mapType(c.Args[0].Type())
		mapAt := placed(rt)
		return func(fr *frame) {
			if m := mapAt(x.at(fr)); !m.IsNil() {
				m.Clear()
			}
		}
	case *types.Slice:
		st := reflect.SliceOf(k.desc(t.Elem()).rt)
		return func(fr *frame) { reflect.NewAt(st, x.at(fr)).Elem().Clear() }
	}
	k.refuse("clear of %s cannot be run", c.Args[0].Type())
	return nil
}

func (k *compiler) complexCall(name string, c *ssa.CallCommon, to operand) op {
	x, d := k.val(c.Args[0]), to.off
	wide := k.desc(c.Args[0].Type()).size == 16
	switch {
	case name == "complex" && k.desc(c.Args[0].Type()).size == 8:
		y := k.val(c.Args[1])
		return func(fr *frame) { *at[complex128](fr, d) = complex(*(*float64)(x.at(fr)), *(*float64)(y.at(fr))) }
	case name == "complex":
		y := k.val(c.Args[1])
		return func(fr *frame) { *at[complex64](fr, d) = complex(*(*float32)(x.at(fr)), *(*float32)(y.at(fr))) }
	case name == "real" && wide:
		return func(fr *frame) { *at[float64](fr, d) = real(*(*complex128)(x.at(fr))) }
	case name == "real":
		return func(fr *frame) { *at[float32](fr, d) = real(*(*complex64)(x.at(fr))) }
	case wide:
		return func(fr *frame) { *at[float64](fr, d) = imag(*(*complex128)(x.at(fr))) }
	}
	return func(fr *frame) { *at[float32](fr, d) = imag(*(*complex64)(x.at(fr))) }
}

func (k *compiler) minMax(least bool, c *ssa.CallCommon, to operand) op {
	args := k.operands(c.Args)
	b, ok := c.Signature().Results().At(0).Type().Underlying().(*types.Basic)
	if !ok {
		k.refuse("min and max of %s cannot be run", c.Args[0].Type())
	}
	switch kindOf(b) {
	case types.Int, types.Int64:
		return minMaxOp[int64](least, args, to)
	case types.Int8:
		return minMaxOp[int8](least, args, to)
	case types.Int16:
		return minMaxOp[int16](least, args, to)
	case types.Int32:
		return minMaxOp[int32](least, args, to)
	case types.Uint, types.Uint64, types.Uintptr:
		return minMaxOp[uint64](least, args, to)
	case types.Uint8:
		return minMaxOp[uint8](least, args, to)
	case types.Uint16:
		return minMaxOp[uint16](least, args, to)
	case types.Uint32:
		return minMaxOp[uint32](least, args, to)
	case types.Float32:
		return minMaxOp[float32](least, args, to)
	case types.Float64:
		return minMaxOp[float64](least, args, to)
	case types.String:
		return minMaxOp[string](least, args, to)
	}
	k.refuse("min and max of %s cannot be run", b)
	return nil
}

func minMaxOp[T number | string](least bool, args []operand, to operand) op {
	return func(fr *frame) {
		v := *(*T)(args[0].at(fr))
		for _, a := range args[1:] {
			if least {
				v = min(v, *(*T)(a.at(fr)))
			} else {
				v = max(v, *(*T)(a.at(fr)))
			}
		}
		*(*T)(to.at(fr)) = v
	}
}

// wrapNilCheck guards the wrapper that calls a value method through a pointer.
func (k *compiler) wrapNilCheck(c *ssa.CallCommon, to operand) op {
	p, typ, method := k.val(c.Args[0]), k.val(c.Args[1]), k.val(c.Args[2])
	return func(fr *frame) {
		v := *(*unsafe.Pointer)(p.at(fr))
		if v == nil {
			t := *(*string)(typ.at(fr))
			bare := t[strings.LastIndexByte(t, '.')+1:]
			panic(nilWrapped("value method " + t + "." + *(*string)(method.at(fr)) + " called using nil *" + bare + " pointer"))
		}
		*objAt[unsafe.Pointer](fr, to.off) = v
	}
}

// nilWrapped is the error of a value method called through a nil pointer.
type nilWrapped string

func (e nilWrapped) Error() string { return string(e) }

// RuntimeError makes it a runtime.Error.
func (nilWrapped) RuntimeError() {}

// printCall translates print and println in the format of Go's run time.
func (k *compiler) printCall(line bool, c *ssa.CallCommon) op {
	type arg struct {
		o     operand
		write func(b *bytes.Buffer, slot unsafe.Pointer)
	}
	var args []arg
	for _, a := range c.Args {
		args = append(args, arg{k.val(a), k.printer(a.Type())})
	}
	m := k.im.m
	return func(fr *frame) {
		var b bytes.Buffer
		for i, a := range args {
			if line && i > 0 {
				b.WriteByte(' ')
			}
			a.write(&b, a.o.at(fr))
		}
		if line {
			b.WriteByte('\n')
		}
		m.stderr.Write(b.Bytes())
	}
}

func (k *compiler) printer(t types.Type) func(b *bytes.Buffer, slot unsafe.Pointer) {
	if b, ok := t.Underlying().(*types.Basic); ok {
		kind := kindOf(b)
		switch {
		case kind == types.String:
			return func(b *bytes.Buffer, p unsafe.Pointer) { b.WriteString(*(*string)(p)) }
		case kind == types.Bool:
			return func(b *bytes.Buffer, p unsafe.Pointer) { b.WriteString(strconv.FormatBool(*(*bool)(p))) }
		case kind == types.Float32:
			return func(b *bytes.Buffer, p unsafe.Pointer) {
				b.WriteString(strconv.FormatFloat(float64(*(*float32)(p)), 'g', -1, 32))
			}
		case kind == types.Float64:
			return func(b *bytes.Buffer, p unsafe.Pointer) {
				b.WriteString(strconv.FormatFloat(*(*float64)(p), 'g', -1, 64))
			}
		case kind == types.Complex64:
			return func(b *bytes.Buffer, p unsafe.Pointer) {
				b.WriteString(strconv.FormatComplex(complex128(*(*complex64)(p)), 'g', -1, 64))
			}
		case kind == types.Complex128:
			return func(b *bytes.Buffer, p unsafe.Pointer) {
				b.WriteString(strconv.FormatComplex(*(*complex128)(p), 'g', -1, 128))
			}
		case b.Info()&types.IsUnsigned != 0:
			return func(b *bytes.Buffer, p unsafe.Pointer) {
				b.WriteString(strconv.FormatUint(uint64(readIntAt(kind, operand{c: p})(nil)), 10))
			}
		case b.Info()&types.IsInteger != 0:
			return func(b *bytes.Buffer, p unsafe.Pointer) {
				b.WriteString(strconv.FormatInt(readIntAt(kind, operand{c: p})(nil), 10))
			}
		}
	}
	switch t.Underlying().(type) {
	case *types.Interface:
		return func(b *bytes.Buffer, p unsafe.Pointer) {
			e := (*eface)(p)
			b.WriteString("(" + hexAddr(uintptr(e.typ)) + "," + hexAddr(uintptr(e.data)) + ")")
		}
	case *types.Slice:
		return func(b *bytes.Buffer, p unsafe.Pointer) {
			s := (*object)(p)
			b.WriteString("[" + strconv.Itoa(s.n) + "/" + strconv.Itoa(s.c) + "]" + hexAddr(uintptr(s.p)))
		}
	}
	return func(b *bytes.Buffer, p unsafe.Pointer) { b.WriteString(hexAddr(uintptr(*(*unsafe.Pointer)(p)))) }
}

func hexAddr(p uintptr) string { return "0x" + strconv.FormatUint(uint64(p), 16) }
