package exec

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"go/types"
	"strconv"
	"strings"
)

// key names a type canonically across images: structure for unnamed types,
// path and name for compiled ones, and path, name and a digest of all cell
// declarations that it is made of for a cell type.
func (ty *typer) key(t types.Type) string {
	t = types.Unalias(t)
	if k, ok := ty.keys[t]; ok {
		return k
	}
	k := ty.write(t, func(n *types.Named) string { return ty.namedKey(n) })
	ty.keys[t] = k
	return k
}

// write spells t, leaving named types to named.
func (ty *typer) write(t types.Type, named func(*types.Named) string) string {
	w := func(t types.Type) string { return ty.write(t, named) }
	switch t := types.Unalias(t).(type) {
	case *types.Basic:
		return basicName(t)
	case *types.Named:
		return named(t)
	case *types.Pointer:
		return "*" + w(t.Elem())
	case *types.Slice:
		return "[]" + w(t.Elem())
	case *types.Array:
		return "[" + strconv.FormatInt(t.Len(), 10) + "]" + w(t.Elem())
	case *types.Map:
		return "map[" + w(t.Key()) + "]" + w(t.Elem())
	case *types.Chan:
		return [...]string{"chan(", "chan<-(", "<-chan("}[t.Dir()] + w(t.Elem()) + ")"
	case *types.Signature:
		return "func" + ty.writeSig(t, named)
	case *types.Struct:
		var b strings.Builder
		b.WriteString("struct{")
		for i := range t.NumFields() {
			f := t.Field(i)
			if f.Embedded() {
				b.WriteByte('^')
			}
			fmt.Fprintf(&b, "%s %s", f.Id(), w(f.Type()))
			if tag := t.Tag(i); tag != "" {
				b.WriteString(strconv.Quote(tag))
			}
			b.WriteByte(';')
		}
		b.WriteByte('}')
		return b.String()
	case *types.Interface:
		var b strings.Builder
		b.WriteString("interface{")
		for i := range t.NumMethods() {
			f := t.Method(i)
			b.WriteString(f.Id() + ty.writeSig(f.Type().(*types.Signature), named) + ";")
		}
		b.WriteByte('}')
		return b.String()
	case *types.Tuple:
		var b strings.Builder
		for v := range t.Variables() {
			b.WriteString(w(v.Type()) + ",")
		}
		return "(" + b.String() + ")"
	case *types.TypeParam:
		ty.fail("the type parameter %s has no type here", t)
	}
	return fmt.Sprintf("?%T", t)
}

func (ty *typer) writeSig(s *types.Signature, named func(*types.Named) string) string {
	v := ""
	if s.Variadic() {
		v = "..."
	}
	return ty.write(s.Params(), named) + v + ty.write(s.Results(), named)
}

func basicName(t *types.Basic) string {
	switch t.Kind() {
	case types.Uint8:
		return "uint8"
	case types.Int32:
		return "int32"
	}
	return t.Name()
}

func (ty *typer) namedKey(n *types.Named) string {
	obj := n.Obj()
	if obj.Pkg() == nil {
		return obj.Name()
	}
	k := obj.Pkg().Path() + "." + obj.Name()
	if targs := n.TypeArgs(); targs.Len() > 0 {
		var parts []string
		for a := range targs.Types() {
			parts = append(parts, ty.key(a))
		}
		k += "[" + strings.Join(parts, ",") + "]"
	}
	if !ty.isCell(n) {
		return k
	}
	if l, ok := ty.local[n]; ok {
		return l
	}
	full := k + "@" + ty.digest(n)
	if obj.Parent() != obj.Pkg().Scope() {
		// Declared in a function: others may have the same name and shape.
		full = k + "·" + ty.im.scopeName(obj) + "@" + ty.digest(n)
	}
	base := full
	for i := 2; ty.names[full] != nil && !types.Identical(ty.names[full], n); i++ {
		full = base + "#" + strconv.Itoa(i)
	}
	ty.names[full] = n
	ty.local[n] = full
	return full
}

// digest condenses the declarations of all cell types that n reaches.
func (ty *typer) digest(n *types.Named) string {
	if h, ok := ty.hashes[n]; ok {
		return h
	}
	sum := sha256.New()
	plain := func(n *types.Named) string {
		s := n.Obj().Name()
		if n.Obj().Pkg() != nil {
			s = n.Obj().Pkg().Path() + "." + s
		}
		// The arguments are spelt by name only: they are themselves reached.
		for a := range n.TypeArgs().Types() {
			s += "|" + types.TypeString(a, nil)
		}
		return s
	}
	for _, m := range append([]*types.Named{n}, ty.reachable(n)...) {
		fmt.Fprintf(sum, "%s=%s\n", plain(m), ty.write(m.Underlying(), plain))
	}
	h := hex.EncodeToString(sum.Sum(nil)[:9])
	ty.hashes[n] = h
	return h
}

// reachable lists the cell types that the declaration of n leads to, in the
// order of meeting them; n itself when it is recursive.
func (ty *typer) reachable(n *types.Named) []*types.Named {
	if r, ok := ty.reach[n]; ok {
		return r
	}
	var out []*types.Named
	met := map[*types.Named]bool{}
	// A type of one's own that grows at each step has no end: it is refused.
	ty.walk(n.Underlying(), func(m *types.Named) bool {
		if met[m] || !ty.isCell(m) {
			return false
		}
		met[m] = true
		out = append(out, m)
		if len(out) > 2000 {
			ty.fail("the type %s leads to too many others", n.Obj().Name())
		}
		return true
	})
	ty.reach[n] = out
	return out
}

// walk visits the named types in t; enter says whether to go into one.
func (ty *typer) walk(t types.Type, enter func(*types.Named) bool) {
	switch t := types.Unalias(t).(type) {
	case *types.Named:
		if enter(t) {
			for a := range t.TypeArgs().Types() {
				ty.walk(a, enter)
			}
			ty.walk(t.Underlying(), enter)
		}
	case *types.Pointer:
		ty.walk(t.Elem(), enter)
	case *types.Slice:
		ty.walk(t.Elem(), enter)
	case *types.Array:
		ty.walk(t.Elem(), enter)
	case *types.Chan:
		ty.walk(t.Elem(), enter)
	case *types.Map:
		ty.walk(t.Key(), enter)
		ty.walk(t.Elem(), enter)
	case *types.Signature:
		ty.walk(t.Params(), enter)
		ty.walk(t.Results(), enter)
	case *types.Tuple:
		for v := range t.Variables() {
			ty.walk(v.Type(), enter)
		}
	case *types.Struct:
		for f := range t.Fields() {
			ty.walk(f.Type(), enter)
		}
	case *types.Interface:
		for m := range t.Methods() {
			ty.walk(m.Type(), enter)
		}
	}
}

// leadsBack says whether t, met inside the declaration of root, is an
// indirection to something that contains root.
func (ty *typer) leadsBack(t types.Type, root *types.Named) bool {
	if opaque(t) == nil {
		return false
	}
	back := false
	ty.walk(t, func(m *types.Named) bool {
		if back || !ty.isCell(m) {
			return false
		}
		if types.Identical(m, root) {
			back = true
			return false
		}
		for _, r := range ty.reachable(m) {
			if types.Identical(r, root) {
				back = true
			}
		}
		return false
	})
	return back
}

// typeString spells a type as reflect does: packages by name, interface {} in full.
func typeString(t types.Type) string {
	switch t := types.Unalias(t).(type) {
	case *types.Basic:
		return basicName(t)
	case *types.Named:
		s := t.Obj().Name()
		if p := t.Obj().Pkg(); p != nil {
			s = p.Name() + "." + s
		}
		if targs := t.TypeArgs(); targs.Len() > 0 {
			var parts []string
			for a := range targs.Types() {
				parts = append(parts, argString(a))
			}
			s += "[" + strings.Join(parts, ",") + "]"
		}
		return s
	case *types.Pointer:
		return "*" + typeString(t.Elem())
	case *types.Slice:
		return "[]" + typeString(t.Elem())
	case *types.Array:
		return "[" + strconv.FormatInt(t.Len(), 10) + "]" + typeString(t.Elem())
	case *types.Map:
		return "map[" + typeString(t.Key()) + "]" + typeString(t.Elem())
	case *types.Chan:
		elem := typeString(t.Elem())
		if c, ok := types.Unalias(t.Elem()).(*types.Chan); ok && c.Dir() == types.RecvOnly && t.Dir() != types.RecvOnly {
			elem = "(" + elem + ")"
		}
		return [...]string{"chan ", "chan<- ", "<-chan "}[t.Dir()] + elem
	case *types.Signature:
		return "func" + sigString(t)
	case *types.Struct:
		var parts []string
		for i := range t.NumFields() {
			f := t.Field(i)
			s := f.Name() + " " + typeString(f.Type())
			if f.Embedded() {
				s = typeString(f.Type())
			}
			if tag := t.Tag(i); tag != "" {
				s += " " + strconv.Quote(tag)
			}
			parts = append(parts, s)
		}
		if len(parts) == 0 {
			return "struct {}"
		}
		return "struct { " + strings.Join(parts, "; ") + " }"
	case *types.Interface:
		var parts []string
		for i := range t.NumMethods() {
			f := t.Method(i)
			name := f.Name()
			if !f.Exported() && f.Pkg() != nil {
				name = f.Pkg().Name() + "." + name
			}
			parts = append(parts, name+sigString(f.Type().(*types.Signature)))
		}
		if len(parts) == 0 {
			return "interface {}"
		}
		return "interface { " + strings.Join(parts, "; ") + " }"
	}
	return types.TypeString(t, nil)
}

// argString spells a type argument, whose packages are by path.
func argString(t types.Type) string {
	if n, ok := types.Unalias(t).(*types.Named); ok && n.Obj().Pkg() != nil {
		s := typeString(n)
		return strings.TrimSuffix(n.Obj().Pkg().Path(), n.Obj().Pkg().Name()) + s
	}
	return typeString(t)
}

func sigString(s *types.Signature) string {
	var in, out []string
	for i := range s.Params().Len() {
		p := typeString(s.Params().At(i).Type())
		if s.Variadic() && i == s.Params().Len()-1 {
			p = "..." + strings.TrimPrefix(p, "[]")
		}
		in = append(in, p)
	}
	for v := range s.Results().Variables() {
		out = append(out, typeString(v.Type()))
	}
	str := "(" + strings.Join(in, ", ") + ")"
	switch len(out) {
	case 0:
		return str
	case 1:
		return str + " " + out[0]
	}
	return str + " (" + strings.Join(out, ", ") + ")"
}
