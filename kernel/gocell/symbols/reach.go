package symbols

import "reflect"

// reach walks from every exported symbol through the types that it mentions and
// returns the named ones by "path.Name". Two types that share a path and a name
// (declared inside functions) can't be told apart; their entry is nil.
func (t *Table) reach() map[string]reflect.Type {
	w := reacher{seen: map[reflect.Type]bool{}, named: map[string]reflect.Type{}}
	for _, p := range t.packages {
		for _, s := range p.values {
			w.visit(reflect.TypeOf(s.value))
		}
		for _, s := range p.types {
			w.visit(reflect.TypeOf(s.value))
		}
	}
	return w.named
}

type reacher struct {
	seen  map[reflect.Type]bool
	named map[string]reflect.Type
}

func (w *reacher) visit(t reflect.Type) {
	if w.seen[t] {
		return
	}
	w.seen[t] = true
	if t.Name() != "" && t.PkgPath() != "" {
		key := t.PkgPath() + "." + t.Name()
		if _, taken := w.named[key]; taken {
			w.named[key] = nil
		} else {
			w.named[key] = t
		}
	}
	switch t.Kind() {
	case reflect.Pointer, reflect.Slice, reflect.Array, reflect.Chan:
		w.visit(t.Elem())
	case reflect.Map:
		w.visit(t.Key())
		w.visit(t.Elem())
	case reflect.Struct:
		for i := range t.NumField() {
			w.visit(t.Field(i).Type)
		}
	case reflect.Func:
		w.signature(t)
	}
	for i := range t.NumMethod() {
		w.signature(t.Method(i).Type)
	}
	if t.Name() != "" && t.Kind() != reflect.Interface {
		pointer := reflect.PointerTo(t)
		for i := range pointer.NumMethod() {
			w.signature(pointer.Method(i).Type)
		}
	}
}

func (w *reacher) signature(t reflect.Type) {
	for i := range t.NumIn() {
		w.visit(t.In(i))
	}
	for i := range t.NumOut() {
		w.visit(t.Out(i))
	}
}
