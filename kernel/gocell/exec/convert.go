package exec

import (
	"go/constant"
	"go/types"
	"math"
	"reflect"
	"unsafe"

	"golang.org/x/tools/go/ssa"
)

// constant puts the value of a constant in memory of its own.
func (k *compiler) constant(v *ssa.Const) operand {
	d := k.desc(v.Type())
	o := operand{bank: d.cl.bank(), cl: d.cl}
	if v.Value == nil {
		o.c = zeroSlot(d)
		return o
	}
	b, ok := v.Type().Underlying().(*types.Basic)
	if !ok {
		k.refuse("a constant of type %s cannot be represented", v.Type())
	}
	p := unsafe.Pointer(new([16]byte))
	switch kindOf(b) {
	case types.Bool:
		*(*bool)(p) = constant.BoolVal(v.Value)
	case types.String:
		s := new(string)
		*s = constString(v.Value)
		p = unsafe.Pointer(s)
	case types.Float32:
		*(*float32)(p) = constFloat32(v.Value)
	case types.Float64:
		*(*float64)(p), _ = constant.Float64Val(constant.ToFloat(v.Value))
	case types.Complex64:
		c := constant.ToComplex(v.Value)
		*(*complex64)(p) = complex(constFloat32(constant.Real(c)), constFloat32(constant.Imag(c)))
	case types.Complex128:
		*(*complex128)(p) = v.Complex128()
	default:
		if b.Info()&types.IsInteger == 0 {
			k.refuse("a constant of type %s cannot be represented", v.Type())
		}
		*(*uint64)(p) = constWord(v.Value)
	}
	o.c = p
	return o
}

func constString(v constant.Value) string {
	if v.Kind() == constant.String {
		return constant.StringVal(v)
	}
	n, ok := constant.Int64Val(v)
	if !ok || n < 0 || n > math.MaxInt32 {
		return "\uFFFD"
	}
	return string(rune(n))
}

func constFloat32(v constant.Value) float32 {
	f, _ := constant.Float32Val(constant.ToFloat(v))
	return f
}

func constWord(v constant.Value) uint64 {
	v = constant.ToInt(v)
	if n, ok := constant.Int64Val(v); ok {
		return uint64(n)
	}
	n, _ := constant.Uint64Val(v)
	return n
}

// zeroSlot is a slot with the zero value of a type.
func zeroSlot(d *typeDesc) unsafe.Pointer {
	switch d.cl {
	case clScalar:
		return unsafe.Pointer(unsafe.SliceData(make([]uint64, d.size/8+1)))
	case clIface:
		return unsafe.Pointer(new(any))
	case clMem:
		p := new(unsafe.Pointer)
		*p = reflect.New(d.rt).UnsafePointer()
		return unsafe.Pointer(p)
	}
	return unsafe.Pointer(new(object))
}

func (k *compiler) convert(in *ssa.Convert) op {
	x, d := k.val(in.X), k.dst(in)
	from, to := in.X.Type().Underlying(), in.Type().Underlying()
	fb, _ := from.(*types.Basic)
	tb, _ := to.(*types.Basic)
	if fb != nil && fb.Kind() == types.UnsafePointer || tb != nil && tb.Kind() == types.UnsafePointer {
		k.refuse("unsafe.Pointer cannot be used in a cell")
	}
	switch {
	case fb != nil && tb != nil && fb.Info()&types.IsString != 0 && tb.Info()&types.IsString != 0:
		return k.copyTo(d, x, k.desc(in.Type()))
	case fb != nil && tb != nil && tb.Info()&types.IsString != 0 && fb.Info()&types.IsInteger != 0:
		return k.runeString(in, x, d)
	case fb != nil && tb != nil && fb.Info()&types.IsComplex != 0 && tb.Info()&types.IsComplex != 0:
		return convertComplex(kindOf(fb), kindOf(tb), x, d.off)
	case fb != nil && tb != nil:
		if o := convertNumber(kindOf(fb), kindOf(tb), x, d.off); o != nil {
			return o
		}
	case tb != nil && tb.Info()&types.IsString != 0:
		if o := sliceString(from, x, d.off); o != nil {
			return o
		}
	case fb != nil && fb.Info()&types.IsString != 0:
		if o := stringSlice(to, x, d.off); o != nil {
			return o
		}
	}
	k.refuse("a conversion from %s to %s cannot be run", in.X.Type(), in.Type())
	return nil
}

func (k *compiler) runeString(in *ssa.Convert, x, d operand) op {
	read := k.readInt(in.X.Type(), x)
	return func(fr *frame) {
		n := read(fr)
		if n < 0 || n > math.MaxInt32 {
			n = -1
		}
		*objAt[string](fr, d.off) = string(rune(n))
	}
}

// elemKind is the kind of a slice's elements, for conversions of strings.
func elemKind(t types.Type) types.BasicKind {
	if s, ok := t.(*types.Slice); ok {
		if b, ok := s.Elem().Underlying().(*types.Basic); ok {
			return b.Kind()
		}
	}
	return types.Invalid
}

func sliceString(from types.Type, x operand, d uintptr) op {
	switch elemKind(from) {
	case types.Uint8:
		return func(fr *frame) { *objAt[string](fr, d) = string(*(*[]byte)(x.at(fr))) }
	case types.Int32:
		return func(fr *frame) { *objAt[string](fr, d) = string(*(*[]rune)(x.at(fr))) }
	}
	return nil
}

func stringSlice(to types.Type, x operand, d uintptr) op {
	switch elemKind(to) {
	case types.Uint8:
		return func(fr *frame) { *objAt[[]byte](fr, d) = []byte(*(*string)(x.at(fr))) }
	case types.Int32:
		return func(fr *frame) { *objAt[[]rune](fr, d) = []rune(*(*string)(x.at(fr))) }
	}
	return nil
}

func convertComplex(from, to types.BasicKind, x operand, d uintptr) op {
	switch {
	case from == types.Complex64 && to == types.Complex128:
		return func(fr *frame) { *at[complex128](fr, d) = complex128(*(*complex64)(x.at(fr))) }
	case from == types.Complex128 && to == types.Complex64:
		return func(fr *frame) { *at[complex64](fr, d) = complex64(*(*complex128)(x.at(fr))) }
	case from == types.Complex64:
		return func(fr *frame) { *at[complex64](fr, d) = *(*complex64)(x.at(fr)) }
	}
	return func(fr *frame) { *at[complex128](fr, d) = *(*complex128)(x.at(fr)) }
}

func convertNumber(from, to types.BasicKind, x operand, d uintptr) op {
	switch from {
	case types.Int, types.Int64:
		return convertFrom[int64](to, x, d)
	case types.Int8:
		return convertFrom[int8](to, x, d)
	case types.Int16:
		return convertFrom[int16](to, x, d)
	case types.Int32:
		return convertFrom[int32](to, x, d)
	case types.Uint, types.Uint64, types.Uintptr:
		return convertFrom[uint64](to, x, d)
	case types.Uint8:
		return convertFrom[uint8](to, x, d)
	case types.Uint16:
		return convertFrom[uint16](to, x, d)
	case types.Uint32:
		return convertFrom[uint32](to, x, d)
	case types.Float32:
		return convertFrom[float32](to, x, d)
	case types.Float64:
		return convertFrom[float64](to, x, d)
	}
	return nil
}

func convertFrom[F number](to types.BasicKind, x operand, d uintptr) op {
	switch to {
	case types.Int, types.Int64:
		return convertTo[F, int64](x, d)
	case types.Int8:
		return convertTo[F, int8](x, d)
	case types.Int16:
		return convertTo[F, int16](x, d)
	case types.Int32:
		return convertTo[F, int32](x, d)
	case types.Uint, types.Uint64, types.Uintptr:
		return convertTo[F, uint64](x, d)
	case types.Uint8:
		return convertTo[F, uint8](x, d)
	case types.Uint16:
		return convertTo[F, uint16](x, d)
	case types.Uint32:
		return convertTo[F, uint32](x, d)
	case types.Float32:
		return convertTo[F, float32](x, d)
	case types.Float64:
		return convertTo[F, float64](x, d)
	}
	return nil
}

func convertTo[F, T number](x operand, d uintptr) op {
	if x.isConst() {
		c := T(*(*F)(x.c))
		return func(fr *frame) { *at[T](fr, d) = c }
	}
	a := x.off
	return func(fr *frame) { *at[T](fr, d) = T(*at[F](fr, a)) }
}
