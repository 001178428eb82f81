package exec

import (
	"reflect"
	"unsafe"
)

// rvalue is the layout of a reflect.Value.
type rvalue struct {
	typ, ptr unsafe.Pointer
	flag     uintptr
}

func init() {
	// The layout that placed and memoryOf rely on is tested once, here.
	x, y := 1, 2
	if v := placed(reflect.TypeFor[int]())(unsafe.Pointer(&y)); v.Int() != 2 || !v.CanSet() || v.Addr().Interface() != any(&y) {
		panic("exec: a reflect.Value has an unknown layout in this version of Go")
	}
	if *(*int)(memoryOf(reflect.ValueOf(&x).Elem())) != 1 {
		panic("exec: a reflect.Value has an unknown layout in this version of Go")
	}
}

// placed gives what reflect.NewAt(rt, p).Elem() gives for any p but nil,
// without looking for the type of pointers to rt at each call.
func placed(rt reflect.Type) func(p unsafe.Pointer) reflect.Value {
	model := reflect.New(rt).Elem()
	return func(p unsafe.Pointer) reflect.Value {
		v := model
		(*rvalue)(unsafe.Pointer(&v)).ptr = p
		return v
	}
}

// memoryOf is where the value is kept; v is not of a type that is a pointer
// in itself.
func memoryOf(v reflect.Value) unsafe.Pointer { return (*rvalue)(unsafe.Pointer(&v)).ptr }
