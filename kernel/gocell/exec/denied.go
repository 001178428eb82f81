package exec

import (
	"reflect"
	"slices"
)

// A denier is Symbols that say which methods of compiled types are closed to
// cells. What a cell names is checked before; here is where a method is met
// that it does not name: by way of an interface or a type parameter of its own.
type denier interface {
	Denied(pkgPath, recv, name string) (reason string, denied bool)
}

// tellers are methods that only tell what a value is, such as an error that a
// closed package has made.
var tellers = []string{"Error", "String", "GoString", "Format", "Unwrap", "Is", "As", "Timeout", "Temporary", "RuntimeError"}

// denied says why a cell may not call a method of a compiled type, or "".
func (m *Machine) denied(rt reflect.Type, name string) string {
	d, ok := m.opt.Symbols.(denier)
	if !ok || slices.Contains(tellers, name) {
		return ""
	}
	if rt.Kind() == reflect.Pointer && rt.Name() == "" {
		rt = rt.Elem()
	}
	reason, _ := d.Denied(rt.PkgPath(), rt.Name(), name)
	return reason
}
