package symbols

import (
	"fmt"
	"go/types"
	"reflect"
	"strings"
)

// same reports how a type of the checker and a compiled type differ: named
// types are compared by package and name, others part by part.
func same(t types.Type, r reflect.Type) error {
	t = types.Unalias(t)
	switch t := t.(type) {
	case *types.Named:
		path := ""
		if p := t.Obj().Pkg(); p != nil {
			path = p.Path()
		}
		name := r.Name()
		if t.TypeArgs() != nil {
			name, _, _ = strings.Cut(name, "[")
			if err := sameStructure(t.Underlying(), r); err != nil {
				return err
			}
		}
		if name != t.Obj().Name() || r.PkgPath() != path {
			return fmt.Errorf("%v is compiled as %s.%s", t, r.PkgPath(), r.Name())
		}
		return nil
	case *types.Basic:
		if r.PkgPath() != "" || t.Kind() != types.UnsafePointer && r.Name() != kindName(t) {
			return fmt.Errorf("%v is compiled as %v", t, r)
		}
		return nil
	}
	if r.Name() != "" {
		return fmt.Errorf("%v is compiled as %v", t, r)
	}
	return sameStructure(t, r)
}

// kindName resolves byte and rune.
func kindName(t *types.Basic) string { return types.Typ[t.Kind()].Name() }

// sameStructure compares what a type is made of.
func sameStructure(t types.Type, r reflect.Type) error {
	differ := func() error { return fmt.Errorf("%v is compiled as a %v: %v", t, r.Kind(), r) }
	switch t := types.Unalias(t).(type) {
	case *types.Basic:
		if t.Kind() != types.UnsafePointer && kindName(t) != r.Kind().String() {
			return differ()
		}
	case *types.Pointer:
		return sameElem(t.Elem(), r, reflect.Pointer, differ)
	case *types.Slice:
		return sameElem(t.Elem(), r, reflect.Slice, differ)
	case *types.Chan:
		return sameElem(t.Elem(), r, reflect.Chan, differ)
	case *types.Array:
		if r.Kind() != reflect.Array || int64(r.Len()) != t.Len() {
			return differ()
		}
		return same(t.Elem(), r.Elem())
	case *types.Map:
		if r.Kind() != reflect.Map {
			return differ()
		}
		if err := same(t.Key(), r.Key()); err != nil {
			return err
		}
		return same(t.Elem(), r.Elem())
	case *types.Signature:
		return sameSignature(t, r, differ)
	case *types.Struct:
		return sameFields(t, r, differ)
	case *types.Interface:
		if r.Kind() != reflect.Interface || r.NumMethod() != t.NumMethods() {
			return differ()
		}
		for m := range t.Methods() {
			rm, ok := r.MethodByName(m.Name())
			if !ok {
				return differ()
			}
			if err := sameSignature(m.Signature(), rm.Type, differ); err != nil {
				return err
			}
		}
	default:
		return fmt.Errorf("%v: no way to compare it", t)
	}
	return nil
}

func sameElem(elem types.Type, r reflect.Type, kind reflect.Kind, differ func() error) error {
	if r.Kind() != kind {
		return differ()
	}
	return same(elem, r.Elem())
}

func sameSignature(t *types.Signature, r reflect.Type, differ func() error) error {
	if r.Kind() != reflect.Func || r.NumIn() != t.Params().Len() ||
		r.NumOut() != t.Results().Len() || r.IsVariadic() != t.Variadic() {
		return differ()
	}
	for i := range r.NumIn() {
		if err := same(t.Params().At(i).Type(), r.In(i)); err != nil {
			return err
		}
	}
	for i := range r.NumOut() {
		if err := same(t.Results().At(i).Type(), r.Out(i)); err != nil {
			return err
		}
	}
	return nil
}

func sameFields(t *types.Struct, r reflect.Type, differ func() error) error {
	if r.Kind() != reflect.Struct || r.NumField() != t.NumFields() {
		return differ()
	}
	for i := range t.NumFields() {
		f, rf := t.Field(i), r.Field(i)
		if f.Name() != rf.Name || f.Embedded() != rf.Anonymous || t.Tag(i) != string(rf.Tag) {
			return differ()
		}
		if f.Exported() {
			if err := same(f.Type(), rf.Type); err != nil {
				return err
			}
		}
	}
	return nil
}
