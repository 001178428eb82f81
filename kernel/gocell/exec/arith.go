package exec

import (
	"go/token"
	"go/types"

	"golang.org/x/tools/go/ssa"
)

type integer interface {
	int8 | int16 | int32 | int64 | uint8 | uint16 | uint32 | uint64
}

type float interface{ float32 | float64 }

type number interface{ integer | float }

func (k *compiler) binop(in *ssa.BinOp) op {
	x, y, d := k.val(in.X), k.val(in.Y), k.dst(in)
	switch in.Op {
	case token.EQL, token.NEQ, token.LSS, token.LEQ, token.GTR, token.GEQ:
		return k.compare(in, x, y, d)
	case token.SHL, token.SHR:
		return k.shift(in, x, y, d)
	}
	b, ok := in.Type().Underlying().(*types.Basic)
	if !ok {
		k.refuse("%s of %s cannot be run", in.Op, in.Type())
	}
	if o := k.arithmetic(b, in.Op, x, y, d.off); o != nil {
		return o
	}
	k.refuse("%s of %s cannot be run", in.Op, in.Type())
	return nil
}

func (k *compiler) arithmetic(b *types.Basic, tok token.Token, x, y operand, d uintptr) op {
	switch kindOf(b) {
	case types.Int, types.Int64:
		return intOp[int64](tok, x, y, d)
	case types.Int8:
		return intOp[int8](tok, x, y, d)
	case types.Int16:
		return intOp[int16](tok, x, y, d)
	case types.Int32:
		return intOp[int32](tok, x, y, d)
	case types.Uint, types.Uint64, types.Uintptr:
		return intOp[uint64](tok, x, y, d)
	case types.Uint8:
		return intOp[uint8](tok, x, y, d)
	case types.Uint16:
		return intOp[uint16](tok, x, y, d)
	case types.Uint32:
		return intOp[uint32](tok, x, y, d)
	case types.Float32:
		return floatOp[float32](tok, x, y, d)
	case types.Float64:
		return floatOp[float64](tok, x, y, d)
	case types.Complex64:
		return complexOp[complex64](tok, x, y, d)
	case types.Complex128:
		return complexOp[complex128](tok, x, y, d)
	case types.String:
		if tok == token.ADD {
			return concat(x, y, d)
		}
	case types.Bool:
		return boolOp(tok, x, y, d)
	}
	return nil
}

// kindOf is the kind of a basic type with the untyped ones at their defaults.
func kindOf(b *types.Basic) types.BasicKind {
	switch b.Kind() {
	case types.UntypedBool:
		return types.Bool
	case types.UntypedInt:
		return types.Int
	case types.UntypedRune:
		return types.Int32
	case types.UntypedFloat:
		return types.Float64
	case types.UntypedComplex:
		return types.Complex128
	case types.UntypedString:
		return types.String
	}
	return b.Kind()
}

// addSubMul makes the fast forms of + - *; nil for other operations.
func addSubMul[T number](tok token.Token, x, y operand, d uintptr) op {
	if x.isConst() && !y.isConst() && (tok == token.ADD || tok == token.MUL) {
		x, y = y, x
	}
	if x.isConst() {
		return nil
	}
	a, b := x.off, y.off
	if y.isConst() {
		c := *(*T)(y.c)
		switch tok {
		case token.ADD:
			return func(fr *frame) { *at[T](fr, d) = *at[T](fr, a) + c }
		case token.SUB:
			return func(fr *frame) { *at[T](fr, d) = *at[T](fr, a) - c }
		case token.MUL:
			return func(fr *frame) { *at[T](fr, d) = *at[T](fr, a) * c }
		}
		return nil
	}
	switch tok {
	case token.ADD:
		return func(fr *frame) { *at[T](fr, d) = *at[T](fr, a) + *at[T](fr, b) }
	case token.SUB:
		return func(fr *frame) { *at[T](fr, d) = *at[T](fr, a) - *at[T](fr, b) }
	case token.MUL:
		return func(fr *frame) { *at[T](fr, d) = *at[T](fr, a) * *at[T](fr, b) }
	}
	return nil
}

func intOp[T integer](tok token.Token, x, y operand, d uintptr) op {
	if o := addSubMul[T](tok, x, y, d); o != nil {
		return o
	}
	if a := x.off; !x.isConst() && y.isConst() && tok == token.AND {
		c := *(*T)(y.c)
		return func(fr *frame) { *at[T](fr, d) = *at[T](fr, a) & c }
	}
	if o := divideBy[T](tok, x, y, d); o != nil {
		return o
	}
	switch tok {
	case token.ADD:
		return func(fr *frame) { *at[T](fr, d) = *(*T)(x.at(fr)) + *(*T)(y.at(fr)) }
	case token.SUB:
		return func(fr *frame) { *at[T](fr, d) = *(*T)(x.at(fr)) - *(*T)(y.at(fr)) }
	case token.MUL:
		return func(fr *frame) { *at[T](fr, d) = *(*T)(x.at(fr)) * *(*T)(y.at(fr)) }
	case token.QUO:
		return func(fr *frame) { *at[T](fr, d) = *(*T)(x.at(fr)) / *(*T)(y.at(fr)) }
	case token.REM:
		return func(fr *frame) { *at[T](fr, d) = *(*T)(x.at(fr)) % *(*T)(y.at(fr)) }
	case token.AND:
		return func(fr *frame) { *at[T](fr, d) = *(*T)(x.at(fr)) & *(*T)(y.at(fr)) }
	case token.OR:
		return func(fr *frame) { *at[T](fr, d) = *(*T)(x.at(fr)) | *(*T)(y.at(fr)) }
	case token.XOR:
		return func(fr *frame) { *at[T](fr, d) = *(*T)(x.at(fr)) ^ *(*T)(y.at(fr)) }
	case token.AND_NOT:
		return func(fr *frame) { *at[T](fr, d) = *(*T)(x.at(fr)) &^ *(*T)(y.at(fr)) }
	}
	return nil
}

// divideBy makes the quotient or rest for a constant divisor.
func divideBy[T integer](tok token.Token, x, y operand, d uintptr) op {
	if x.isConst() || !y.isConst() {
		return nil
	}
	a, c := x.off, *(*T)(y.c)
	switch {
	case c > 0 && tok == token.REM && uint64(c) < 1<<31:
		// Numbers of half the width, as nearly all are, divide much faster.
		half := uint32(c)
		return func(fr *frame) {
			n := *at[T](fr, a)
			if uint64(n) < 1<<32 && n >= 0 {
				*at[T](fr, d) = T(uint32(n) % half)
				return
			}
			*at[T](fr, d) = n % c
		}
	case c > 0 && tok == token.QUO:
		return func(fr *frame) { *at[T](fr, d) = *at[T](fr, a) / c }
	}
	return nil
}

func floatOp[T float](tok token.Token, x, y operand, d uintptr) op {
	if o := addSubMul[T](tok, x, y, d); o != nil {
		return o
	}
	if a, b := x.off, y.off; !x.isConst() && tok == token.QUO {
		if y.isConst() {
			c := *(*T)(y.c)
			return func(fr *frame) { *at[T](fr, d) = *at[T](fr, a) / c }
		}
		return func(fr *frame) { *at[T](fr, d) = *at[T](fr, a) / *at[T](fr, b) }
	}
	switch tok {
	case token.ADD:
		return func(fr *frame) { *at[T](fr, d) = *(*T)(x.at(fr)) + *(*T)(y.at(fr)) }
	case token.SUB:
		return func(fr *frame) { *at[T](fr, d) = *(*T)(x.at(fr)) - *(*T)(y.at(fr)) }
	case token.MUL:
		return func(fr *frame) { *at[T](fr, d) = *(*T)(x.at(fr)) * *(*T)(y.at(fr)) }
	case token.QUO:
		return func(fr *frame) { *at[T](fr, d) = *(*T)(x.at(fr)) / *(*T)(y.at(fr)) }
	}
	return nil
}

func complexOp[T complex64 | complex128](tok token.Token, x, y operand, d uintptr) op {
	switch tok {
	case token.ADD:
		return func(fr *frame) { *at[T](fr, d) = *(*T)(x.at(fr)) + *(*T)(y.at(fr)) }
	case token.SUB:
		return func(fr *frame) { *at[T](fr, d) = *(*T)(x.at(fr)) - *(*T)(y.at(fr)) }
	case token.MUL:
		return func(fr *frame) { *at[T](fr, d) = *(*T)(x.at(fr)) * *(*T)(y.at(fr)) }
	case token.QUO:
		return func(fr *frame) { *at[T](fr, d) = *(*T)(x.at(fr)) / *(*T)(y.at(fr)) }
	}
	return nil
}

func boolOp(tok token.Token, x, y operand, d uintptr) op {
	switch tok {
	case token.AND:
		return func(fr *frame) { *at[bool](fr, d) = *(*bool)(x.at(fr)) && *(*bool)(y.at(fr)) }
	case token.OR:
		return func(fr *frame) { *at[bool](fr, d) = *(*bool)(x.at(fr)) || *(*bool)(y.at(fr)) }
	}
	return nil
}

func concat(x, y operand, d uintptr) op {
	return func(fr *frame) {
		a, b := *(*string)(x.at(fr)), *(*string)(y.at(fr))
		fr.t.run.want(len(a) + len(b))
		*objAt[string](fr, d) = a + b
	}
}

func (k *compiler) shift(in *ssa.BinOp, x, y operand, d operand) op {
	b, ok := in.X.Type().Underlying().(*types.Basic)
	if !ok {
		k.refuse("%s of %s cannot be run", in.Op, in.X.Type())
	}
	count := k.shiftCount(in.Y, y)
	left := in.Op == token.SHL
	switch kindOf(b) {
	case types.Int, types.Int64:
		return shiftOp[int64](left, x, count, d.off)
	case types.Int8:
		return shiftOp[int8](left, x, count, d.off)
	case types.Int16:
		return shiftOp[int16](left, x, count, d.off)
	case types.Int32:
		return shiftOp[int32](left, x, count, d.off)
	case types.Uint, types.Uint64, types.Uintptr:
		return shiftOp[uint64](left, x, count, d.off)
	case types.Uint8:
		return shiftOp[uint8](left, x, count, d.off)
	case types.Uint16:
		return shiftOp[uint16](left, x, count, d.off)
	case types.Uint32:
		return shiftOp[uint32](left, x, count, d.off)
	}
	k.refuse("%s of %s cannot be run", in.Op, in.X.Type())
	return nil
}

// shiftCount reads a shift count; a negative one panics as in Go.
func (k *compiler) shiftCount(v ssa.Value, y operand) func(fr *frame) uint64 {
	if y.isConst() {
		if c, ok := v.(*ssa.Const); ok && c.Value != nil {
			n := c.Uint64()
			return func(*frame) uint64 { return n }
		}
	}
	read := k.readInt(v.Type(), y)
	if b := v.Type().Underlying().(*types.Basic); b.Info()&types.IsUnsigned != 0 {
		return func(fr *frame) uint64 { return uint64(read(fr)) }
	}
	return func(fr *frame) uint64 {
		n := read(fr)
		if n < 0 {
			negativeShift(n)
		}
		return uint64(n)
	}
}

func shiftOp[T integer](left bool, x operand, count func(*frame) uint64, d uintptr) op {
	if left {
		return func(fr *frame) { *at[T](fr, d) = *(*T)(x.at(fr)) << count(fr) }
	}
	return func(fr *frame) { *at[T](fr, d) = *(*T)(x.at(fr)) >> count(fr) }
}

// readInt reads an integer of any width. A uint64 above the largest int64
// comes as a negative number.
func (k *compiler) readInt(t types.Type, o operand) func(fr *frame) int64 {
	b, ok := t.Underlying().(*types.Basic)
	if !ok {
		k.refuse("%s is not an integer type", t)
	}
	if o.isConst() {
		n := readIntAt(kindOf(b), o)(nil)
		return func(*frame) int64 { return n }
	}
	if f := readIntAt(kindOf(b), o); f != nil {
		return f
	}
	k.refuse("%s is not an integer type", t)
	return nil
}

func readIntAt(kind types.BasicKind, o operand) func(fr *frame) int64 {
	switch kind {
	case types.Int, types.Int64, types.Uint, types.Uint64, types.Uintptr:
		if !o.isConst() {
			off := o.off
			return func(fr *frame) int64 { return *at[int64](fr, off) }
		}
		return readAs[int64](o)
	case types.Int8:
		return readAs[int8](o)
	case types.Int16:
		return readAs[int16](o)
	case types.Int32:
		return readAs[int32](o)
	case types.Uint8:
		return readAs[uint8](o)
	case types.Uint16:
		return readAs[uint16](o)
	case types.Uint32:
		return readAs[uint32](o)
	}
	return nil
}

func readAs[T integer](o operand) func(fr *frame) int64 {
	return func(fr *frame) int64 { return int64(*(*T)(o.at(fr))) }
}

func isUnsigned(t types.Type) bool {
	b, ok := t.Underlying().(*types.Basic)
	return ok && b.Info()&types.IsUnsigned != 0
}

func (k *compiler) unop(in *ssa.UnOp) op {
	switch in.Op {
	case token.MUL:
		return k.load(in)
	case token.ARROW:
		return k.receive(in)
	}
	x, d := k.val(in.X), k.dst(in).off
	b, ok := in.Type().Underlying().(*types.Basic)
	if !ok {
		k.refuse("%s of %s cannot be run", in.Op, in.Type())
	}
	if in.Op == token.NOT {
		return func(fr *frame) { *at[bool](fr, d) = !*(*bool)(x.at(fr)) }
	}
	var o op
	switch kindOf(b) {
	case types.Int, types.Int64:
		o = negOp[int64](in.Op, x, d)
	case types.Int8:
		o = negOp[int8](in.Op, x, d)
	case types.Int16:
		o = negOp[int16](in.Op, x, d)
	case types.Int32:
		o = negOp[int32](in.Op, x, d)
	case types.Uint, types.Uint64, types.Uintptr:
		o = negOp[uint64](in.Op, x, d)
	case types.Uint8:
		o = negOp[uint8](in.Op, x, d)
	case types.Uint16:
		o = negOp[uint16](in.Op, x, d)
	case types.Uint32:
		o = negOp[uint32](in.Op, x, d)
	case types.Float32:
		o = negFloat[float32](x, d)
	case types.Float64:
		o = negFloat[float64](x, d)
	case types.Complex64:
		o = negFloat[complex64](x, d)
	case types.Complex128:
		o = negFloat[complex128](x, d)
	}
	if o == nil {
		k.refuse("%s of %s cannot be run", in.Op, in.Type())
	}
	return o
}

func negOp[T integer](tok token.Token, x operand, d uintptr) op {
	switch tok {
	case token.SUB:
		return func(fr *frame) { *at[T](fr, d) = -*(*T)(x.at(fr)) }
	case token.XOR:
		return func(fr *frame) { *at[T](fr, d) = ^*(*T)(x.at(fr)) }
	}
	return nil
}

func negFloat[T float | complex64 | complex128](x operand, d uintptr) op {
	return func(fr *frame) { *at[T](fr, d) = -*(*T)(x.at(fr)) }
}

// negativeShift panics with Go's own error.
func negativeShift(n int64) {
	one := 1
	_ = one << n
}
