package kernel

import (
	"fmt"
	"reflect"
	"sync"
)

// maxNested is how deep values may be nested to be written as text. Go writes
// one inside the other on the stack of the process, which ends when it is full;
// a value that contains itself has no end.
const maxNested = 1000

// plainText is what fmt prints of v, or a text that says why it isn't printed.
func plainText(v any) string {
	if !writesItself(v) && nestsDeeper(reflect.ValueOf(v), maxNested) {
		return fmt.Sprintf("(a %T that contains itself, or holds values more than %d deep)", v, maxNested)
	}
	if content, ok := v.([]byte); ok && len(content) > maxBytesShown {
		return fmt.Sprintf("(%d bytes; Save(\"name\", …) keeps them in a file)", len(content))
	}
	return fmt.Sprint(v)
}

// maxBytesShown is how many bytes are shown one by one. More of them are the
// content of a file, which says nothing as numbers.
const maxBytesShown = 32

// writesItself reports whether a value of a compiled type has a text of its own.
func writesItself(v any) bool {
	switch v.(type) {
	case error, fmt.Stringer:
		return !isDeclaredInCell(v)
	}
	return false
}

// nestsDeeper reports whether fmt would go more than so deep into a value. It
// does not follow pointers inside of one.
func nestsDeeper(v reflect.Value, depth int) bool {
	if v.Kind() == reflect.Pointer && depth == maxNested {
		v = v.Elem()
	}
	if !v.IsValid() || !nests(v.Type()) {
		return false
	}
	if depth == 0 {
		return true
	}
	switch v.Kind() {
	case reflect.Interface:
		return nestsDeeper(v.Elem(), depth-1)
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			if nestsDeeper(v.Index(i), depth-1) {
				return true
			}
		}
	case reflect.Map:
		for i := v.MapRange(); i.Next(); {
			if nestsDeeper(i.Key(), depth-1) || nestsDeeper(i.Value(), depth-1) {
				return true
			}
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if nestsDeeper(v.Field(i), depth-1) {
				return true
			}
		}
	}
	return false
}

var nesting sync.Map // of reflect.Type to bool

// nests reports whether values of a type can hold others without end: by way
// of an interface, or of a slice or map of the type itself.
func nests(t reflect.Type) bool {
	if known, ok := nesting.Load(t); ok {
		return known.(bool)
	}
	found := leadsOn(t, map[reflect.Type]bool{})
	nesting.Store(t, found)
	return found
}

func leadsOn(t reflect.Type, above map[reflect.Type]bool) bool {
	if above[t] {
		return true
	}
	above[t] = true
	defer delete(above, t)
	switch t.Kind() {
	case reflect.Interface:
		return true
	case reflect.Slice, reflect.Array:
		return leadsOn(t.Elem(), above)
	case reflect.Map:
		return leadsOn(t.Key(), above) || leadsOn(t.Elem(), above)
	case reflect.Struct:
		for f := range t.Fields() {
			if leadsOn(f.Type, above) {
				return true
			}
		}
	}
	return false
}
