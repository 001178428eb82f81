package exec

import (
	"cmp"
	"reflect"
	"slices"
	"unicode"
	"unicode/utf8"
)

func isExported(name string) bool {
	r, _ := utf8.DecodeRuneInString(name)
	return unicode.IsUpper(r)
}

// mapEntry holds pointers to copies of a key and its element.
type mapEntry struct{ key, elem reflect.Value }

// sortedEntries lists a map in the order in which fmt prints it.
func sortedEntries(m reflect.Value) []mapEntry {
	var out []mapEntry
	for it := m.MapRange(); it.Next(); {
		e := mapEntry{reflect.New(m.Type().Key()), reflect.New(m.Type().Elem())}
		e.key.Elem().Set(it.Key())
		e.elem.Elem().Set(it.Value())
		out = append(out, e)
	}
	slices.SortStableFunc(out, func(a, b mapEntry) int { return compareKeys(a.key.Elem(), b.key.Elem()) })
	return out
}

func compareKeys(a, b reflect.Value) int {
	if a.Type() != b.Type() {
		return -1
	}
	switch a.Kind() {
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		return cmp.Compare(a.Int(), b.Int())
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64, reflect.Uintptr:
		return cmp.Compare(a.Uint(), b.Uint())
	case reflect.String:
		return cmp.Compare(a.String(), b.String())
	case reflect.Float32, reflect.Float64:
		return cmp.Compare(a.Float(), b.Float())
	case reflect.Complex64, reflect.Complex128:
		x, y := a.Complex(), b.Complex()
		return cmp.Or(cmp.Compare(real(x), real(y)), cmp.Compare(imag(x), imag(y)))
	case reflect.Bool:
		switch {
		case a.Bool() == b.Bool():
			return 0
		case a.Bool():
			return 1
		}
		return -1
	case reflect.Pointer, reflect.UnsafePointer, reflect.Chan:
		return cmp.Compare(a.Pointer(), b.Pointer())
	case reflect.Struct:
		for i := range a.NumField() {
			if c := compareKeys(a.Field(i), b.Field(i)); c != 0 {
				return c
			}
		}
		return 0
	case reflect.Array:
		for i := range a.Len() {
			if c := compareKeys(a.Index(i), b.Index(i)); c != 0 {
				return c
			}
		}
		return 0
	case reflect.Interface:
		return compareDynamic(a, b)
	}
	return 0
}

// compareDynamic orders interfaces: nil first, then by type, then by value.
func compareDynamic(a, b reflect.Value) int {
	if a.IsNil() || b.IsNil() {
		switch {
		case a.IsNil() && b.IsNil():
			return 0
		case a.IsNil():
			return -1
		}
		return 1
	}
	x, y := a.Elem(), b.Elem()
	if x.CanInterface() && y.CanInterface() {
		bx, okx := Unbox(x.Interface())
		by, oky := Unbox(y.Interface())
		if okx && oky && bx.typ == by.typ {
			return compareKeys(reflect.ValueOf(bx.val), reflect.ValueOf(by.val))
		}
		if okx || oky {
			return cmp.Compare(typeName(x.Interface()), typeName(y.Interface()))
		}
	}
	if c := cmp.Compare(x.Type().String(), y.Type().String()); c != 0 {
		return c
	}
	return compareKeys(x, y)
}
