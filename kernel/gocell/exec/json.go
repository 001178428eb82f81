package exec

import (
	"cmp"
	"errors"
	"reflect"
	"strings"
	"unsafe"
)

// encoding/json sees values by reflect, which knows neither the methods of cell
// types nor which fields are embedded, and can't build types that hold
// themselves. So it works on a view of the value: of a type that has the same
// fields and tags for json, with a jsonPart wherever a method of the cell has
// to be called or a type comes back to itself.

// A jsonViewer makes the types of views and copies values to and from them.
type jsonViewer struct {
	decode bool
	strict bool // fields that nobody knows are errors
	number bool // numbers in an any stay texts
	types  map[*typeDesc]reflect.Type
	plans  map[*typeDesc]*jsonPlan
	open   map[*typeDesc]bool
}

// A jsonPlan says which field of a struct goes to which field of its view.
type jsonPlan struct {
	view   reflect.Type
	fields []jsonField
}

type jsonField struct {
	fieldDesc
	key      string                                     // its name in JSON
	omitted  func(d *typeDesc, mem unsafe.Pointer) bool // by omitempty or omitzero
	embedded bool                                       // its own fields are those of the struct
}

func newJSONViewer(decode bool) *jsonViewer {
	return &jsonViewer{
		decode: decode, types: map[*typeDesc]reflect.Type{},
		plans: map[*typeDesc]*jsonPlan{}, open: map[*typeDesc]bool{},
	}
}

// partType is where a jsonPart stands: behind a pointer when writing, so that a
// value that is left out can be nil.
func (v *jsonViewer) partType() reflect.Type {
	if v.decode {
		return reflect.TypeFor[jsonPart]()
	}
	return reflect.TypeFor[*jsonPart]()
}

// view is the type of the view of d, which is d.rt where json can see all.
func (v *jsonViewer) view(d *typeDesc) reflect.Type {
	if t := v.types[d]; t != nil {
		return t
	}
	if v.open[d] || v.needsPart(d) {
		return v.partType()
	}
	if d.compiled || d.faithful || d.kind == reflect.Interface {
		return d.rt
	}
	t := v.inside(d)
	v.types[d] = t
	return t
}

// inside is the view of what d is made of, whatever methods it has itself.
func (v *jsonViewer) inside(d *typeDesc) reflect.Type {
	v.open[d] = true
	defer delete(v.open, d)
	return v.composite(d)
}

func (v *jsonViewer) needsPart(d *typeDesc) bool {
	if d.compiled {
		return false
	}
	if d.kind == reflect.Interface {
		return v.decode && len(d.iface) > 0
	}
	if v.decode {
		return d.kind != reflect.Pointer && d.jsonMethod(true, readJSON, readText) != ""
	}
	return d.jsonMethod(true, writeJSON, writeText) != ""
}

func (v *jsonViewer) composite(d *typeDesc) reflect.Type {
	switch d.kind {
	case reflect.Pointer:
		return reflect.PointerTo(v.view(d.elem))
	case reflect.Slice:
		return reflect.SliceOf(v.view(d.elem))
	case reflect.Array:
		return reflect.ArrayOf(int(d.n), v.view(d.elem))
	case reflect.Map:
		return reflect.MapOf(v.key(d.mapKey), v.view(d.elem))
	case reflect.Struct:
		return v.plan(d).view
	}
	return d.rt
}

// key is the type of a map's keys: texts where a method of the cell makes them.
func (v *jsonViewer) key(d *typeDesc) reflect.Type {
	if d.compiled || d.jsonMethod(true, v.keyMethod()) == "" || d.kind == reflect.String && !v.decode {
		return d.rt
	}
	return reflect.TypeFor[string]()
}

func (v *jsonViewer) keyMethod() jsonMethod {
	if v.decode {
		return readText
	}
	return writeText
}

// plan lays out the view of a struct. Fields that json does not see are left out.
func (v *jsonViewer) plan(d *typeDesc) *jsonPlan {
	if p := v.plans[d]; p != nil {
		return p
	}
	p := &jsonPlan{}
	v.plans[d] = p
	var fields []reflect.StructField
	for i, f := range d.fields {
		if f.blank {
			continue
		}
		sf, field, ok := v.field(f, d.rt.Field(i))
		if ok {
			fields, p.fields = append(fields, sf), append(p.fields, field)
		}
	}
	p.view = reflect.StructOf(fields)
	return p
}

// hiddenName begins the name of a view's field for an embedded struct whose own
// name is not exported: json's messages have it.
const hiddenName = "X__"

func (v *jsonViewer) field(f fieldDesc, from reflect.StructField) (reflect.StructField, jsonField, bool) {
	tag := from.Tag
	name, options, _ := strings.Cut(tag.Get("json"), ",")
	sf := reflect.StructField{Name: from.Name, Tag: tag}
	if from.PkgPath != "" {
		sf.Name = hiddenName + from.Name
	}
	out := jsonField{fieldDesc: f, key: cmp.Or(name, f.name), omitted: omission(options)}
	base := f.desc
	if f.embedded && base.kind == reflect.Pointer && base.elem != nil {
		base = base.elem
	}
	isStruct := base.kind == reflect.Struct
	switch {
	case !isExported(f.name) && !(f.embedded && isStruct), name == "-" && options == "" && tag.Get("json") == "-":
		return sf, out, false
	case f.embedded && isStruct && name == "" && !base.compiled:
		if v.open[base] {
			return sf, out, false // json sees the fields of the outer one
		}
		v.open[base] = true
		sf.Type = v.plan(base).view
		delete(v.open, base)
		if base != f.desc {
			sf.Type = reflect.PointerTo(sf.Type)
		}
		out.embedded, sf.Anonymous = true, true
		return sf, out, true
	case f.embedded && isStruct && name == "" && f.desc.rt.NumMethod() == 0:
		sf.Anonymous = true
	case name == "":
		// The view's own name of the field is not the one that json knows.
		sf.Tag = reflect.StructTag(`json:"` + f.name + strings.TrimSuffix(","+options, ",") + `"`)
	}
	if sf.Type = v.view(f.desc); !v.decode && strings.Contains(options, "omitzero") && f.desc.method("IsZero") != nil {
		sf.Type = v.partType() // the method says what is left out
	}
	return sf, out, true
}

// omission tells which values json leaves out, for those behind a jsonPart.
func omission(options string) func(d *typeDesc, mem unsafe.Pointer) bool {
	list := strings.Split(options, ",")
	empty, zero := false, false
	for _, o := range list {
		empty, zero = empty || o == "omitempty", zero || o == "omitzero"
	}
	return func(d *typeDesc, mem unsafe.Pointer) bool {
		x := reflect.NewAt(d.rt, mem).Elem()
		if empty {
			switch d.kind {
			case reflect.Map, reflect.Slice, reflect.String:
				if x.Len() == 0 {
					return true
				}
			case reflect.Array, reflect.Struct:
			default:
				if x.IsZero() {
					return true
				}
			}
		}
		if m := d.method("IsZero"); zero && m != nil && m.sig.key == "func()(bool,)" {
			return Box{d, x.Interface()}.result("IsZero").(bool)
		}
		return zero && x.IsZero()
	}
}

// fill copies the value of type d at mem into its view. addressed says that
// json could take its address, and call methods of the pointer.
func (v *jsonViewer) fill(d *typeDesc, mem unsafe.Pointer, addressed bool, to reflect.Value, up *jsonPart) {
	switch t := to.Type(); {
	case t == v.partType():
		part := &jsonPart{desc: d, mem: mem, addressed: addressed, up: up}
		if v.decode {
			to.Set(reflect.ValueOf(*part))
		} else {
			to.Set(reflect.ValueOf(part))
		}
	case t == d.rt:
		to.Set(reflect.NewAt(d.rt, mem).Elem())
	case d.kind == reflect.Pointer:
		if p := *(*unsafe.Pointer)(mem); p != nil {
			to.Set(reflect.New(t.Elem()))
			v.fill(d.elem, p, true, to.Elem(), up)
		}
	case d.kind == reflect.Slice:
		if s := (*object)(mem); s.p != nil {
			to.Set(reflect.MakeSlice(t, s.n, s.n))
			for i := range s.n {
				v.fill(d.elem, unsafe.Add(s.p, uintptr(i)*d.elem.size), true, to.Index(i), up)
			}
		}
	case d.kind == reflect.Array:
		for i := range int(d.n) {
			v.fill(d.elem, unsafe.Add(mem, uintptr(i)*d.elem.size), addressed, to.Index(i), up)
		}
	case d.kind == reflect.Map:
		v.fillMap(d, mem, to, up)
	case d.kind == reflect.Struct:
		v.fillStruct(d, mem, addressed, to, up)
	}
}

func (v *jsonViewer) fillMap(d *typeDesc, mem unsafe.Pointer, to reflect.Value, up *jsonPart) {
	m := d.mapIn(mem)
	if m.IsNil() {
		return
	}
	to.Set(reflect.MakeMap(to.Type()))
	for it := m.MapRange(); it.Next(); {
		elem := reflect.New(d.elem.rt)
		elem.Elem().Set(it.Value())
		seen := reflect.New(to.Type().Elem()).Elem()
		v.fill(d.elem, elem.UnsafePointer(), false, seen, up)
		key := it.Key()
		if to.Type().Key() != d.mapKey.rt {
			key = reflect.ValueOf(d.mapKey.keyText(key))
		}
		to.SetMapIndex(key, seen)
	}
}

// mapIn is the map of type d at mem, whose memory type may be opaque in the
// struct around it.
func (d *typeDesc) mapIn(mem unsafe.Pointer) reflect.Value {
	return reflect.NewAt(reflect.MapOf(d.mapKey.rt, d.elem.rt), mem).Elem()
}

func (v *jsonViewer) fillStruct(d *typeDesc, mem unsafe.Pointer, addressed bool, to reflect.Value, up *jsonPart) {
	for i, f := range v.plan(d).fields {
		at, field := unsafe.Add(mem, f.off), to.Field(i)
		switch {
		case f.embedded && f.desc.kind == reflect.Pointer:
			if p := *(*unsafe.Pointer)(at); p != nil {
				field.Set(reflect.New(field.Type().Elem()))
				v.fillStruct(f.desc.elem, p, true, field.Elem(), up)
			}
		case f.embedded:
			v.fillStruct(f.desc, at, addressed, field, up)
		case field.Type() == reflect.TypeFor[*jsonPart]() && f.omitted(f.desc, at):
		default:
			v.fill(f.desc, at, addressed, field, up)
		}
	}
}

// take copies a view that json has written to back into the value.
func (v *jsonViewer) take(d *typeDesc, mem unsafe.Pointer, from reflect.Value) error {
	switch t := from.Type(); {
	case t == v.partType():
		if part := from.Addr().Interface().(*jsonPart); part.set {
			return v.readPart(d, mem, part.raw)
		}
		return nil
	case t == d.rt:
		typedMove(d.rt, mem, from.Addr().UnsafePointer())
		return nil
	case d.kind == reflect.Pointer:
		p := (*unsafe.Pointer)(mem)
		if from.IsNil() {
			*p = nil
			return nil
		}
		if *p == nil {
			*p = reflect.New(d.elem.rt).UnsafePointer()
		}
		return v.take(d.elem, *p, from.Elem())
	case d.kind == reflect.Slice:
		return v.takeSlice(d, mem, from)
	case d.kind == reflect.Array:
		var errs firstError
		for i := range int(d.n) {
			errs.note(v.take(d.elem, unsafe.Add(mem, uintptr(i)*d.elem.size), from.Index(i)))
		}
		return errs.err
	case d.kind == reflect.Map:
		return v.takeMap(d, mem, from)
	case d.kind == reflect.Struct:
		return v.takeStruct(d, mem, from)
	}
	return nil
}

// firstError keeps the first of several errors, as json does.
type firstError struct{ err error }

func (f *firstError) note(err error) {
	if f.err == nil {
		f.err = err
	}
}

func (v *jsonViewer) takeSlice(d *typeDesc, mem unsafe.Pointer, from reflect.Value) error {
	s := reflect.NewAt(reflect.SliceOf(d.elem.rt), mem).Elem()
	switch n := from.Len(); {
	case from.IsNil():
		s.SetZero()
	case s.IsNil() || n > s.Cap():
		grown := reflect.MakeSlice(s.Type(), n, n)
		reflect.Copy(grown, s)
		s.Set(grown)
	default:
		s.SetLen(n)
	}
	var errs firstError
	for i := range from.Len() {
		errs.note(v.take(d.elem, s.Index(i).Addr().UnsafePointer(), from.Index(i)))
	}
	return errs.err
}

func (v *jsonViewer) takeMap(d *typeDesc, mem unsafe.Pointer, from reflect.Value) error {
	m := d.mapIn(mem)
	if from.IsNil() {
		m.SetZero()
		return nil
	}
	if m.IsNil() {
		m.Set(reflect.MakeMapWithSize(m.Type(), from.Len()))
	}
	var errs firstError
	for it := from.MapRange(); it.Next(); {
		key := reflect.New(d.mapKey.rt)
		if it.Key().Type() == d.mapKey.rt {
			key.Elem().Set(it.Key())
		} else if err := d.mapKey.setText(key.UnsafePointer(), it.Key().String()); err != nil {
			errs.note(err)
			continue
		}
		view := reflect.New(from.Type().Elem()).Elem()
		view.Set(it.Value())
		if view.Type() == v.partType() && !view.Addr().Interface().(*jsonPart).set {
			continue // it was there before
		}
		elem := reflect.New(d.elem.rt)
		errs.note(v.take(d.elem, elem.UnsafePointer(), view))
		m.SetMapIndex(key.Elem(), elem.Elem())
	}
	return errs.err
}

func (v *jsonViewer) takeStruct(d *typeDesc, mem unsafe.Pointer, from reflect.Value) error {
	var errs firstError
	for i, f := range v.plan(d).fields {
		at, field := unsafe.Add(mem, f.off), from.Field(i)
		switch {
		case f.embedded && f.desc.kind == reflect.Pointer:
			p := (*unsafe.Pointer)(at)
			if field.IsNil() {
				continue
			}
			if *p == nil && !isExported(f.name) {
				errs.note(errors.New("json: cannot set embedded pointer to unexported struct: " + f.desc.elem.name))
				continue
			}
			if *p == nil {
				*p = reflect.New(f.desc.elem.rt).UnsafePointer()
			}
			errs.note(inEmbedded(d, f.name, v.takeStruct(f.desc.elem, *p, field.Elem())))
		case f.embedded:
			errs.note(inEmbedded(d, f.name, v.takeStruct(f.desc, at, field)))
		default:
			errs.note(inField(d, f.key, v.take(f.desc, at, field)))
		}
	}
	return errs.err
}
