package exec

import (
	"fmt"
	"go/token"
	"go/types"
	"reflect"
	"sync/atomic"
	"unsafe"
)

// A typeDesc is the run-time identity of a type. The descriptors of a Machine
// are canonical: two types of any images are the same to the running code
// exactly when their descriptors are the same pointer. A type declared in a
// cell keeps its descriptor while its declaration, and all that it is made
// of, stays as it is.
type typeDesc struct {
	key  string // canonical, with full package paths
	name string // as %T prints it
	kind reflect.Kind
	rt   reflect.Type // in memory
	word unsafe.Pointer
	size uintptr
	cl   class

	named    bool // has a name of its own
	compiled bool // rt is a compiled type with a name
	// faithful: rt tells the type apart from all others, so that a value in an
	// interface needs no Box.
	faithful   bool
	comparable bool

	elem, mapKey *typeDesc
	fields       []fieldDesc
	n            int64 // array length
	iface        []ifaceMethod
	sig          *sigDesc

	m       *Machine
	direct  bool                      // an interface holds the pointer itself
	methods atomic.Pointer[methodSet] // of a boxed type
	pointer atomic.Pointer[typeDesc]  // to it, when that has methods for json
	looping atomic.Uint32             // what loops found: 0 is not yet, 1 yes, 2 no
}

// methodSet is the method set of a cell type, by id, as of some image.
type methodSet struct {
	byID map[string]*boxMethod
	wrap func(Box) any // makes the value that compiled code sees
}

type fieldDesc struct {
	name     string
	desc     *typeDesc
	off      uintptr
	embedded bool
	blank    bool
}

// ifaceMethod is one method of an interface type.
type ifaceMethod struct {
	id   string // name, qualified when unexported
	name string
	sig  *sigDesc
}

// sigDesc describes a signature without receiver.
type sigDesc struct {
	key             string
	params, results []*typeDesc
	variadic        bool
}

// boxMethod is a method of a cell type, ready to be called.
type boxMethod struct {
	name string
	sig  *sigDesc
	code *code
}

func (d *typeDesc) String() string { return d.name }

func (d *typeDesc) operandSize() uintptr {
	if d.cl == clScalar {
		return d.size
	}
	return 0
}

// A typer makes descriptors for one image. What it makes is kept by the
// Machine only when the image is loaded without a refusal.
type typer struct {
	m      *Machine
	im     *image
	seen   map[types.Type]*typeDesc
	byKey  map[string]*typeDesc // begun, not yet kept
	depth  int
	keys   map[types.Type]string
	reach  map[*types.Named][]*types.Named
	hashes map[*types.Named]string
	names  map[string]*types.Named // keys of named types taken in this image
	local  map[*types.Named]string
}

// typeError is a type that cannot be represented.
type typeError struct{ what string }

func (e *typeError) Error() string { return e.what }

func (ty *typer) fail(format string, args ...any) {
	panic(&typeError{fmt.Sprintf(format, args...)})
}

// desc returns the descriptor of t; it panics with a *typeError.
func (ty *typer) desc(t types.Type) *typeDesc {
	t = types.Unalias(t)
	if d := ty.seen[t]; d != nil {
		return d
	}
	key := ty.key(t)
	if d := ty.byKey[key]; d != nil {
		ty.seen[t] = d
		return d
	}
	ty.m.typesMu.Lock()
	d := ty.m.types[key]
	ty.m.typesMu.Unlock()
	if d == nil {
		d = &typeDesc{m: ty.m, key: key, name: typeString(t)}
		ty.byKey[key] = d
		ty.depth++
		defer func() {
			// A type that failed takes along all that was begun with it.
			if ty.depth--; d.rt == nil {
				clear(ty.byKey)
				clear(ty.seen)
			}
		}()
		ty.fill(d, t)
		if ty.depth == 1 {
			ty.keep()
		}
	}
	ty.seen[t] = d
	return d
}

// keep hands finished descriptors to the Machine.
func (ty *typer) keep() {
	ty.m.typesMu.Lock()
	defer ty.m.typesMu.Unlock()
	for k, d := range ty.byKey {
		if ty.m.types[k] == nil {
			ty.m.types[k] = d
		}
	}
	clear(ty.byKey)
}

// fill completes d for t. The parts below a pointer of a recursive type may
// be still incomplete when it returns; they are complete when the outermost
// call of desc returns.
func (ty *typer) fill(d *typeDesc, t types.Type) {
	rt := ty.rtype(t, nil)
	d.word = typeWord(rt)
	d.size = rt.Size()
	if largest := ty.m.largest(); d.size > uintptr(largest) {
		ty.fail("values of type %s take %d bytes, more than a cell may fill (%d)", t, d.size, largest)
	}
	d.kind = rt.Kind()
	d.comparable = types.Comparable(t)
	if n, ok := t.(*types.Named); ok {
		d.named = true
		d.compiled = !ty.isCell(n)
	}
	u := t.Underlying()
	d.cl = classOf(u, rt)
	if _, ok := u.(*types.Interface); ok {
		d.kind = reflect.Interface
	}
	d.faithful = ty.faithful(t)
	if !d.compiled {
		ty.fillParts(d, u, rt)
	}
	d.direct = d.cl != clIface && d.size <= unsafe.Sizeof(uintptr(0)) && isDirect(rt)
	d.rt = rt // last: it marks the descriptor as complete
}

// isDirect reports whether an interface holds a value of type rt itself, and
// not a pointer to it.
func isDirect(rt reflect.Type) bool {
	zero := reflect.Zero(rt).Interface()
	return (*eface)(unsafe.Pointer(&zero)).data == nil
}

// fillParts describes what a type of cells is made of.
func (ty *typer) fillParts(d *typeDesc, u types.Type, rt reflect.Type) {
	switch u := u.(type) {
	case *types.Pointer:
		d.kind = reflect.Pointer
		d.elem = ty.desc(u.Elem())
	case *types.Slice:
		d.elem = ty.desc(u.Elem())
	case *types.Array:
		d.elem, d.n = ty.desc(u.Elem()), u.Len()
	case *types.Chan:
		d.elem = ty.desc(u.Elem())
	case *types.Map:
		d.mapKey, d.elem = ty.desc(u.Key()), ty.desc(u.Elem())
	case *types.Struct:
		for i := range u.NumFields() {
			f := u.Field(i)
			d.fields = append(d.fields, fieldDesc{
				name: f.Name(), desc: ty.desc(f.Type()), off: rt.Field(i).Offset,
				embedded: f.Embedded(), blank: f.Name() == "_",
			})
		}
	case *types.Signature:
		d.sig = ty.sig(u)
	case *types.Interface:
		for i := range u.NumMethods() {
			f := u.Method(i)
			d.iface = append(d.iface, ifaceMethod{
				id: f.Id(), name: f.Name(), sig: ty.sig(f.Type().(*types.Signature)),
			})
		}
	}
}

func (ty *typer) sig(s *types.Signature) *sigDesc {
	out := &sigDesc{variadic: s.Variadic()}
	for v := range s.Params().Variables() {
		out.params = append(out.params, ty.desc(v.Type()))
	}
	for v := range s.Results().Variables() {
		out.results = append(out.results, ty.desc(v.Type()))
	}
	out.key = ty.key(types.NewSignatureType(nil, nil, nil, s.Params(), s.Results(), s.Variadic()))
	return out
}

func classOf(u types.Type, rt reflect.Type) class {
	switch u := u.(type) {
	case *types.Basic:
		switch {
		case u.Info()&types.IsString != 0:
			return clString
		case u.Kind() == types.UnsafePointer:
			return clPtr
		}
		return clScalar
	case *types.Pointer, *types.Map, *types.Chan, *types.Signature:
		return clPtr
	case *types.Slice:
		return clSlice
	case *types.Interface:
		return clIface
	}
	if rt.Size() <= maxScalar && pointerFree(rt) {
		return clScalar
	}
	return clMem
}

func pointerFree(rt reflect.Type) bool {
	switch rt.Kind() {
	case reflect.Array:
		return rt.Len() == 0 || pointerFree(rt.Elem())
	case reflect.Struct:
		for i := range rt.NumField() {
			if !pointerFree(rt.Field(i).Type) {
				return false
			}
		}
		return true
	case reflect.String, reflect.Slice, reflect.Pointer, reflect.Map, reflect.Chan,
		reflect.Func, reflect.Interface, reflect.UnsafePointer:
		return false
	}
	return true
}

// isCell says whether a named type was declared in source that this image runs.
func (ty *typer) isCell(n *types.Named) bool {
	pkg := n.Obj().Pkg()
	return pkg != nil && ty.im.fromSource(pkg)
}

var basicTypes = map[types.BasicKind]reflect.Type{
	types.Bool: reflect.TypeFor[bool](), types.String: reflect.TypeFor[string](),
	types.Int: reflect.TypeFor[int](), types.Int8: reflect.TypeFor[int8](),
	types.Int16: reflect.TypeFor[int16](), types.Int32: reflect.TypeFor[int32](),
	types.Int64: reflect.TypeFor[int64](), types.Uint: reflect.TypeFor[uint](),
	types.Uint8: reflect.TypeFor[uint8](), types.Uint16: reflect.TypeFor[uint16](),
	types.Uint32: reflect.TypeFor[uint32](), types.Uint64: reflect.TypeFor[uint64](),
	types.Uintptr: reflect.TypeFor[uintptr](), types.Float32: reflect.TypeFor[float32](),
	types.Float64: reflect.TypeFor[float64](), types.Complex64: reflect.TypeFor[complex64](),
	types.Complex128: reflect.TypeFor[complex128](), types.UnsafePointer: reflect.TypeFor[unsafe.Pointer](),
	types.UntypedBool: reflect.TypeFor[bool](), types.UntypedNil: reflect.TypeFor[unsafe.Pointer](),
	types.UntypedInt: reflect.TypeFor[int](), types.UntypedRune: reflect.TypeFor[rune](),
	types.UntypedFloat: reflect.TypeFor[float64](), types.UntypedString: reflect.TypeFor[string](),
}

var (
	anyType   = reflect.TypeFor[any]()
	errorType = reflect.TypeFor[error]()
)

// rtype is the memory type of t. root is the cell type being expanded: a
// pointer, slice, map, channel or function inside it that leads back to it
// becomes an opaque one of the same layout, since reflect cannot build
// recursive types.
func (ty *typer) rtype(t types.Type, root *types.Named) reflect.Type {
	t = types.Unalias(t)
	if root != nil && ty.leadsBack(t, root) {
		if o := opaque(t); o != nil {
			return o
		}
	}
	switch t := t.(type) {
	case *types.Basic:
		if rt := basicTypes[t.Kind()]; rt != nil {
			return rt
		}
		ty.fail("values of type %s cannot be represented", t)
	case *types.Named:
		return ty.namedType(t)
	case *types.Pointer:
		return reflect.PointerTo(ty.rtype(t.Elem(), root))
	case *types.Slice:
		return reflect.SliceOf(ty.rtype(t.Elem(), root))
	case *types.Array:
		elem := ty.rtype(t.Elem(), root)
		if size := elem.Size(); size > 0 && t.Len() > (1<<40)/int64(size) {
			ty.fail("an array of %d elements is too large", t.Len())
		}
		return reflect.ArrayOf(int(t.Len()), elem)
	case *types.Map:
		return reflect.MapOf(ty.rtype(t.Key(), root), ty.rtype(t.Elem(), root))
	case *types.Chan:
		elem := ty.rtype(t.Elem(), root)
		if elem.Size() >= 1<<16 {
			ty.fail("channel elements of %d bytes are too large", elem.Size())
		}
		dir := map[types.ChanDir]reflect.ChanDir{types.SendRecv: reflect.BothDir, types.SendOnly: reflect.SendDir, types.RecvOnly: reflect.RecvDir}
		return reflect.ChanOf(dir[t.Dir()], elem)
	case *types.Signature:
		return ty.funcType(t, root)
	case *types.Interface:
		return anyType
	case *types.Struct:
		return ty.structType(t, root)
	case *types.TypeParam:
		ty.fail("the type parameter %s has no type here", t)
	}
	ty.fail("values of type %s cannot be represented", t)
	return nil
}

func opaque(t types.Type) reflect.Type {
	switch t.(type) {
	case *types.Pointer:
		return reflect.TypeFor[*struct{}]()
	case *types.Slice:
		return reflect.TypeFor[[]struct{}]()
	case *types.Map:
		return reflect.TypeFor[map[struct{}]struct{}]()
	case *types.Chan:
		return reflect.TypeFor[chan struct{}]()
	case *types.Signature:
		return reflect.TypeFor[func()]()
	}
	return nil
}

func (ty *typer) namedType(t *types.Named) reflect.Type {
	obj := t.Obj()
	if obj.Pkg() == nil {
		if obj.Name() == "error" {
			return errorType
		}
		return ty.rtype(t.Underlying(), nil)
	}
	if ty.isCell(t) {
		if _, ok := t.Underlying().(*types.Interface); ok {
			return anyType
		}
		return ty.rtype(t.Underlying(), t)
	}
	if t.TypeArgs().Len() > 0 {
		if rt := ty.m.learned(types.TypeString(t, nil)); rt != nil {
			return rt
		}
		ty.fail("the compiled generic type %s has no instance for cells", types.TypeString(t, nil))
	}
	path, name := obj.Pkg().Path(), obj.Name()
	if path == "$ssa" { // the type of a defer stack
		return ty.rtype(t.Underlying(), nil)
	}
	if path == "unsafe" {
		ty.fail("unsafe.Pointer cannot be used in a cell")
	}
	if rt, ok := ty.m.opt.Symbols.Type(path, name); ok {
		return rt
	}
	if rt := ty.m.learned(path + "." + name); rt != nil {
		return rt
	}
	ty.fail("the compiled type %s.%s is not offered to cells", path, name)
	return nil
}

func (ty *typer) funcType(t *types.Signature, root *types.Named) reflect.Type {
	var in, out []reflect.Type
	for v := range t.Params().Variables() {
		in = append(in, ty.rtype(v.Type(), root))
	}
	for v := range t.Results().Variables() {
		out = append(out, ty.rtype(v.Type(), root))
	}
	if len(in) > 50 || len(out) > 50 {
		ty.fail("a function of %d parameters and %d results has too many", len(in), len(out))
	}
	return reflect.FuncOf(in, out, t.Variadic())
}

func (ty *typer) structType(t *types.Struct, root *types.Named) reflect.Type {
	fields := make([]reflect.StructField, t.NumFields())
	pkg := ""
	for i := range fields {
		f := t.Field(i)
		fields[i] = reflect.StructField{Name: f.Name(), Type: ty.rtype(f.Type(), root), Tag: reflect.StructTag(t.Tag(i))}
		if !token.IsExported(f.Name()) {
			// reflect wants one package for all of them.
			if pkg == "" {
				pkg = "cell"
				if f.Pkg() != nil {
					pkg = f.Pkg().Path()
				}
			}
			fields[i].PkgPath = pkg
			if !asciiName(f.Name()) {
				fields[i].Name = fmt.Sprintf("f%d_%x", i, f.Name())
			}
		} else if !asciiName(f.Name()) {
			fields[i].Name = fmt.Sprintf("F%d_%x", i, f.Name())
		}
	}
	return reflect.StructOf(fields)
}

// asciiName says whether reflect.StructOf takes the name for sure.
func asciiName(s string) bool {
	for _, c := range s {
		if c >= 0x80 {
			return false
		}
	}
	return true
}

// faithful says whether the memory type of t tells it apart from every other type.
func (ty *typer) faithful(t types.Type) bool {
	switch t := types.Unalias(t).(type) {
	case *types.Basic:
		return true
	case *types.Named:
		return !ty.isCell(t)
	case *types.Pointer:
		return ty.faithful(t.Elem())
	case *types.Slice:
		return ty.faithful(t.Elem())
	case *types.Array:
		return ty.faithful(t.Elem())
	case *types.Chan:
		return ty.faithful(t.Elem())
	case *types.Map:
		return ty.faithful(t.Key()) && ty.faithful(t.Elem())
	case *types.Signature:
		for _, tuple := range []*types.Tuple{t.Params(), t.Results()} {
			for v := range tuple.Variables() {
				if !ty.faithful(v.Type()) {
					return false
				}
			}
		}
		return true
	case *types.Interface:
		return t.NumMethods() == 0
	case *types.Struct:
		for f := range t.Fields() {
			if f.Embedded() || !f.Exported() || !asciiName(f.Name()) || !ty.faithful(f.Type()) {
				return false
			}
		}
		return true
	}
	return false
}
