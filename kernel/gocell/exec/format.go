package exec

import (
	"fmt"
	"io"
	"reflect"
	"strconv"
	"strings"
	"unsafe"
)

// Format prints the value with every verb of fmt as compiled Go prints the
// cell value: names of types and fields, methods Error, String, GoString and
// Format of the value and of what it holds.
func (b Box) Format(f fmt.State, verb rune) {
	p := &printer{State: f, verb: verb, plus: f.Flag('+') && verb == 'v', sharp: f.Flag('#') && verb == 'v'}
	p.value(b.typ, b.typ.memory(b.val), verb, 0, true)
}

// MarshalJSON writes the value as compiled Go does: by fields, tags and methods
// of the value and of what it holds.
func (b Box) MarshalJSON() ([]byte, error) { return marshalJSON(b) }

// printer follows fmt's own printing of values.
type printer struct {
	fmt.State
	verb        rune
	plus, sharp bool
}

func (p *printer) str(s string) { io.WriteString(p.State, s) }

// leaf prints a value of a compiled or basic type with the flags of the call.
func (p *printer) leaf(x any, verb rune) { fmt.Fprintf(p.State, fmt.FormatString(p.State, verb), x) }

// value prints the value of type d at mem. shown says that fmt could reach
// its methods: it is not in an unexported field.
func (p *printer) value(d *typeDesc, mem unsafe.Pointer, verb rune, depth int, shown bool) {
	if shown && !d.faithful && d.kind != reflect.Interface && p.methods(d, mem, verb) {
		return
	}
	if d.faithful && d.kind != reflect.Interface && (d.compiled || depth == 0 || !nests(d.kind)) {
		p.compiled(d, mem, verb, depth, shown)
		return
	}
	switch d.kind {
	case reflect.Map:
		p.mapValue(d, mem, verb, depth, shown)
	case reflect.Struct:
		p.structValue(d, mem, verb, depth, shown)
	case reflect.Interface:
		p.ifaceValue(d, mem, verb, depth, shown)
	case reflect.Array, reflect.Slice:
		p.list(d, mem, verb, depth, shown)
	case reflect.Pointer:
		p.pointer(d, mem, verb, depth, shown)
	case reflect.Chan, reflect.Func, reflect.UnsafePointer:
		p.address(d, *(*uintptr)(mem), verb)
	default:
		p.basic(d, mem, verb)
	}
}

func nests(k reflect.Kind) bool {
	switch k {
	case reflect.Map, reflect.Struct, reflect.Array, reflect.Slice, reflect.Pointer:
		return true
	}
	return false
}

// compiled prints a value that fmt knows. Out of the reach of its methods, it
// is given as fmt meets it in an unexported field.
func (p *printer) compiled(d *typeDesc, mem unsafe.Pointer, verb rune, depth int, shown bool) {
	v := reflect.NewAt(d.rt, mem).Elem()
	if d.kind == reflect.Pointer && depth > 0 && !(shown && hasPrintMethod(v.Interface(), verb, p.sharp)) {
		p.address(d, *(*uintptr)(mem), verb)
		return
	}
	if shown {
		p.leaf(v.Interface(), verb)
		return
	}
	hidden := reflect.StructOf([]reflect.StructField{{Name: "x", PkgPath: "cell", Type: d.rt}})
	p.leaf(reflect.NewAt(hidden, mem).Elem().Field(0), verb)
}

func hasPrintMethod(x any, verb rune, sharp bool) bool {
	switch x.(type) {
	case fmt.Formatter:
		return true
	case fmt.GoStringer:
		if sharp {
			return true
		}
	}
	switch x.(type) {
	case error, fmt.Stringer:
		return !sharp && strings.ContainsRune("vsxXq", verb)
	}
	return false
}

// methods prints by a method of the value, if it has one for the verb.
func (p *printer) methods(d *typeDesc, mem unsafe.Pointer, verb rune) (done bool) {
	ms := d.methods.Load()
	if ms == nil {
		return false
	}
	name := ""
	switch {
	case hasSig(ms, "Format", "func(fmt.State,int32,)()"):
		name = "Format"
	case p.sharp && hasSig(ms, "GoString", "func()(string,)"):
		name = "GoString"
	case p.sharp || !strings.ContainsRune("vsxXq", verb):
		return false
	case hasSig(ms, "Error", "func()(string,)"):
		name = "Error"
	case hasSig(ms, "String", "func()(string,)"):
		name = "String"
	default:
		return false
	}
	b := Box{d, reflect.NewAt(d.rt, mem).Elem().Interface()}
	done = true
	defer p.caught(d, mem, verb, name)
	switch name {
	case "Format":
		b.do("Format", p.State, verb)
	case "GoString":
		p.str(b.str("GoString"))
	default:
		p.leaf(b.str(name), verb)
	}
	return done
}

func hasSig(ms *methodSet, name, key string) bool {
	m := ms.byID[name]
	return m != nil && m.sig.key == key
}

// caught prints a panic of a method as fmt does. A stop goes on.
func (p *printer) caught(d *typeDesc, mem unsafe.Pointer, verb rune, name string) {
	r := recover()
	switch r.(type) {
	case nil:
		return
	case *stopSignal:
		panic(r)
	}
	if d.kind == reflect.Pointer && *(*uintptr)(mem) == 0 {
		p.str("<nil>")
		return
	}
	p.str("%!" + string(verb) + "(PANIC=" + name + " method: ")
	fmt.Fprint(p.State, r)
	p.str(")")
}

func (p *printer) basic(d *typeDesc, mem unsafe.Pointer, verb rune) {
	ok := ""
	switch k := d.kind; {
	case k == reflect.Bool:
		ok = "tv"
	case k >= reflect.Int && k <= reflect.Uintptr:
		ok = "vbdoOxXcqU"
	case k >= reflect.Float32 && k <= reflect.Complex128:
		ok = "vbgGxXfFeE"
	case k == reflect.String:
		ok = "vsxXq"
	}
	x := reflect.NewAt(basicOf(d.rt), mem).Elem().Interface()
	if !strings.ContainsRune(ok, verb) {
		p.bad(d, verb, func() { p.leaf(x, 'v') })
		return
	}
	p.leaf(x, verb)
}

// basicOf is the type without name of a basic kind.
func basicOf(rt reflect.Type) reflect.Type {
	for _, b := range basicTypes {
		if b.Kind() == rt.Kind() {
			return b
		}
	}
	return rt
}

func (p *printer) bad(d *typeDesc, verb rune, value func()) {
	p.str("%!" + string(verb) + "(" + d.name + "=")
	value()
	p.str(")")
}

func (p *printer) structValue(d *typeDesc, mem unsafe.Pointer, verb rune, depth int, shown bool) {
	if p.sharp {
		p.str(d.name)
	}
	p.str("{")
	for i, f := range d.fields {
		if i > 0 {
			if p.sharp {
				p.str(", ")
			} else {
				p.str(" ")
			}
		}
		if p.plus || p.sharp {
			p.str(f.name + ":")
		}
		exported := f.name[0] >= 'A' && f.name[0] <= 'Z' || f.name[0] >= 0x80 && isExported(f.name)
		p.field(f.desc, unsafe.Add(mem, f.off), verb, depth+1, shown && exported)
	}
	p.str("}")
}

// field prints a component, going into an interface as fmt does for fields.
func (p *printer) field(d *typeDesc, mem unsafe.Pointer, verb rune, depth int, shown bool) {
	if d.kind == reflect.Interface {
		if x := d.read(mem); x != nil {
			p.dynamic(x, verb, depth, shown)
			return
		}
	}
	p.value(d, mem, verb, depth, shown)
}

// read is the content of an interface variable.
func (d *typeDesc) read(mem unsafe.Pointer) (x any) {
	d.loader()(unsafe.Pointer(&x), mem)
	return x
}

// dynamic prints the content of an interface.
func (p *printer) dynamic(x any, verb rune, depth int, shown bool) {
	if b, ok := Unbox(x); ok {
		p.value(b.typ, b.typ.memory(b.val), verb, depth, shown)
		return
	}
	rt := reflect.TypeOf(x)
	v := reflect.New(rt)
	v.Elem().Set(reflect.ValueOf(x))
	p.compiled(&typeDesc{rt: rt, kind: rt.Kind(), name: rt.String(), faithful: true, compiled: true}, v.UnsafePointer(), verb, depth, shown)
}

func (p *printer) ifaceValue(d *typeDesc, mem unsafe.Pointer, verb rune, depth int, shown bool) {
	x := d.read(mem)
	switch {
	case x != nil:
		p.dynamic(x, verb, depth+1, shown)
	case p.sharp:
		p.str(d.name + "(nil)")
	default:
		p.str("<nil>")
	}
}

func (p *printer) mapValue(d *typeDesc, mem unsafe.Pointer, verb rune, depth int, shown bool) {
	m := reflect.NewAt(reflect.MapOf(d.mapKey.rt, d.elem.rt), mem).Elem()
	if p.sharp {
		p.str(d.name)
		if m.IsNil() {
			p.str("(nil)")
			return
		}
		p.str("{")
	} else {
		p.str("map[")
	}
	for i, e := range sortedEntries(m) {
		if i > 0 {
			if p.sharp {
				p.str(", ")
			} else {
				p.str(" ")
			}
		}
		p.value(d.mapKey, e.key.UnsafePointer(), verb, depth+1, shown)
		p.str(":")
		p.value(d.elem, e.elem.UnsafePointer(), verb, depth+1, shown)
	}
	if p.sharp {
		p.str("}")
	} else {
		p.str("]")
	}
}

// list prints a slice or an array.
func (p *printer) list(d *typeDesc, mem unsafe.Pointer, verb rune, depth int, shown bool) {
	at, n := mem, int(d.n)
	isNil := false
	if d.kind == reflect.Slice {
		s := (*object)(mem)
		at, n, isNil = s.p, s.n, s.p == nil
	}
	if d.elem.kind == reflect.Uint8 && strings.ContainsRune("sqxX", verb) {
		p.leaf(append([]byte{}, unsafe.Slice((*byte)(at), n)...), verb)
		return
	}
	open, sep, end := "[", " ", "]"
	if p.sharp {
		open, sep, end = "{", ", ", "}"
		p.str(d.name)
		if isNil {
			p.str("(nil)")
			return
		}
	}
	p.str(open)
	for i := range n {
		if i > 0 {
			p.str(sep)
		}
		p.value(d.elem, unsafe.Add(at, uintptr(i)*d.elem.size), verb, depth+1, shown)
	}
	p.str(end)
}

func (p *printer) pointer(d *typeDesc, mem unsafe.Pointer, verb rune, depth int, shown bool) {
	to := *(*unsafe.Pointer)(mem)
	if depth == 0 && to != nil && d.elem != nil {
		switch d.elem.kind {
		case reflect.Array, reflect.Slice, reflect.Struct, reflect.Map:
			p.str("&")
			p.value(d.elem, to, verb, depth+1, shown)
			return
		}
	}
	p.address(d, uintptr(to), verb)
}

// address prints a pointer, channel or function.
func (p *printer) address(d *typeDesc, u uintptr, verb rune) {
	switch {
	case verb == 'v' && p.sharp && u == 0:
		p.str("(" + d.name + ")(nil)")
	case verb == 'v' && p.sharp:
		p.str("(" + d.name + ")(0x" + strconv.FormatUint(uint64(u), 16) + ")")
	case verb == 'v' && u == 0:
		p.leaf("<nil>", 's')
	case verb == 'v' || verb == 'p':
		// unsafe.Pointer prints as any pointer does.
		fmt.Fprintf(p.State, fmt.FormatString(p.State, verb), *(*unsafe.Pointer)(unsafe.Pointer(&u)))
	case strings.ContainsRune("bodxX", verb):
		p.leaf(u, verb)
	default:
		p.bad(d, verb, func() {
			if u == 0 {
				p.str("<nil>")
			} else {
				p.str("0x" + strconv.FormatUint(uint64(u), 16))
			}
		})
	}
}

// PanicString words a panic's value as Go prints it after "panic: ".
func PanicString(v any) string {
	if err := walk(v, false); err != nil {
		return "(" + typeName(v) + ") " + err.Error()
	}
	if err, ok := v.(error); ok {
		return err.Error()
	}
	if s, ok := v.(fmt.Stringer); ok {
		return s.String()
	}
	if b, ok := Unbox(v); ok {
		if b.typ.kind <= reflect.Complex128 || b.typ.kind == reflect.String {
			if b.typ.kind == reflect.String {
				return b.typ.name + fmt.Sprintf("(%q)", b.val)
			}
			return b.typ.name + fmt.Sprintf("(%v)", b.val)
		}
		return fmt.Sprintf("(%s) %+v", b.typ.name, v)
	}
	switch v := v.(type) {
	case nil:
		return "nil"
	case string, bool, int, int8, int16, int32, int64, uint, uint8, uint16, uint32, uint64, uintptr, float32, float64, complex64, complex128:
		return fmt.Sprint(v)
	}
	return fmt.Sprintf("(%T) %+v", v, v)
}
