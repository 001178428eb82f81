package exec

import (
	"go/types"
	"reflect"
)

// learn notes the compiled types without an exported name, and the instances
// of compiled generic types, that a compiled function or variable shows: t is
// its type as checked, rt as compiled.
func (m *Machine) learn(t types.Type, rt reflect.Type) {
	l := learner{m, map[reflect.Type]bool{}}
	l.walk(t, rt)
}

type learner struct {
	m    *Machine
	seen map[reflect.Type]bool
}

func (l *learner) walk(t types.Type, rt reflect.Type) {
	t = types.Unalias(t)
	if n, ok := t.(*types.Named); ok {
		l.named(n, rt)
		return
	}
	switch t := t.(type) {
	case *types.Pointer:
		if rt.Kind() == reflect.Pointer {
			l.walk(t.Elem(), rt.Elem())
		}
	case *types.Slice:
		if rt.Kind() == reflect.Slice {
			l.walk(t.Elem(), rt.Elem())
		}
	case *types.Array:
		if rt.Kind() == reflect.Array {
			l.walk(t.Elem(), rt.Elem())
		}
	case *types.Chan:
		if rt.Kind() == reflect.Chan {
			l.walk(t.Elem(), rt.Elem())
		}
	case *types.Map:
		if rt.Kind() == reflect.Map {
			l.walk(t.Key(), rt.Key())
			l.walk(t.Elem(), rt.Elem())
		}
	case *types.Signature:
		l.signature(t, rt)
	}
}

func (l *learner) signature(t *types.Signature, rt reflect.Type) {
	if rt.Kind() != reflect.Func || rt.NumIn() != t.Params().Len() || rt.NumOut() != t.Results().Len() {
		return
	}
	for i := range t.Params().Len() {
		l.walk(t.Params().At(i).Type(), rt.In(i))
	}
	for i := range t.Results().Len() {
		l.walk(t.Results().At(i).Type(), rt.Out(i))
	}
}

func (l *learner) named(n *types.Named, rt reflect.Type) {
	if l.seen[rt] || rt.Name() == "" || n.Obj().Pkg() == nil {
		return
	}
	l.seen[rt] = true
	path, name := n.Obj().Pkg().Path(), n.Obj().Name()
	if rt.PkgPath() != path {
		return
	}
	if n.TypeArgs().Len() > 0 {
		l.note(types.TypeString(n, nil), rt)
	} else if _, ok := l.m.opt.Symbols.Type(path, name); !ok {
		l.note(path+"."+name, rt)
	}
	// What the fields show.
	st, ok := n.Underlying().(*types.Struct)
	if !ok || rt.Kind() != reflect.Struct || rt.NumField() != st.NumFields() {
		return
	}
	for i := range st.NumFields() {
		if st.Field(i).Exported() {
			l.walk(st.Field(i).Type(), rt.Field(i).Type)
		}
	}
}

func (l *learner) note(key string, rt reflect.Type) {
	l.m.typesMu.Lock()
	defer l.m.typesMu.Unlock()
	if l.m.learnt[key] == nil {
		l.m.learnt[key] = rt
	}
}
