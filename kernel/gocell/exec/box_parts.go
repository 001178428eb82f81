package exec

import (
	"go/token"
	"reflect"
)

// Items returns the first elements of a slice or an array, at most limit, each
// as the cell expression any(x[i]) gives it, and how many there are in all;
// none for another value.
func (b Box) Items(limit int) (first []any, n int) {
	if b.typ == nil || b.typ.kind != reflect.Slice && b.typ.kind != reflect.Array {
		return nil, 0
	}
	r := reflect.ValueOf(b.val)
	first = make([]any, min(r.Len(), limit))
	for i := range first {
		first[i] = b.typ.elem.part(r.Index(i))
	}
	return first, r.Len()
}

// Fields returns the exported fields of a struct, each as the cell expression
// any(x.F) gives it, and their names; nil for another value.
func (b Box) Fields() (names []string, values []any) {
	if b.typ == nil || b.typ.kind != reflect.Struct {
		return nil, nil
	}
	r := reflect.ValueOf(b.val)
	for i, f := range b.typ.fields {
		if token.IsExported(f.name) {
			names, values = append(names, f.name), append(values, f.desc.part(r.Field(i)))
		}
	}
	return names, values
}

// part is a component of a raw value as the cell has it.
func (d *typeDesc) part(v reflect.Value) any {
	if d.kind == reflect.Interface {
		return v.Interface() // what is in it has its Box already
	}
	return d.boxed(v.Interface())
}
