package exec

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"unsafe"
)

// A jsonMethod is a method that json calls instead of looking at a value.
type jsonMethod struct{ name, key string }

var (
	writeJSON = jsonMethod{"MarshalJSON", "func()([]uint8,error,)"}
	writeText = jsonMethod{"MarshalText", "func()([]uint8,error,)"}
	readJSON  = jsonMethod{"UnmarshalJSON", "func([]uint8,)(error,)"}
	readText  = jsonMethod{"UnmarshalText", "func([]uint8,)(error,)"}
)

// jsonMethod is the name of the first of the methods that values of type d
// have, those of the pointer included for addressed ones.
func (d *typeDesc) jsonMethod(addressed bool, methods ...jsonMethod) string {
	for _, m := range methods {
		if d.hasMethod(m) || addressed && d.pointer.Load() != nil && d.pointer.Load().hasMethod(m) {
			return m.name
		}
	}
	return ""
}

func (d *typeDesc) hasMethod(m jsonMethod) bool {
	f := d.method(m.name)
	return f != nil && f.sig.key == m.key
}

// callJSON calls such a method of the value at mem.
func (d *typeDesc) callJSON(mem unsafe.Pointer, name string, args ...any) []reflect.Value {
	if d.method(name) == nil {
		d = d.pointer.Load()
		p := mem
		mem = unsafe.Pointer(&p)
	}
	return Box{d, reflect.NewAt(d.rt, mem).Elem().Interface()}.results(name, args)
}

func (d *typeDesc) keyText(key reflect.Value) string {
	p := reflect.New(d.rt)
	p.Elem().Set(key)
	out := d.callJSON(p.UnsafePointer(), writeText.name)
	return string(out[0].Bytes())
}

func (d *typeDesc) setText(mem unsafe.Pointer, text string) error {
	return asError(d.callJSON(mem, readText.name, []byte(text))[0].Interface())
}

// A jsonPart stands in a view for a value that json does not see: what it would
// write there, or the text that it found there.
type jsonPart struct {
	desc      *typeDesc
	mem       unsafe.Pointer
	addressed bool
	up        *jsonPart // the part that holds this one, when writing

	set bool
	raw []byte
}

// UnmarshalJSON keeps the text of the part.
func (p *jsonPart) UnmarshalJSON(b []byte) error {
	p.set, p.raw = true, slices.Clone(b)
	return nil
}

// MarshalJSON writes the value by its method, or by a view of its own.
func (p *jsonPart) MarshalJSON() ([]byte, error) {
	d := p.desc
	name := d.jsonMethod(p.addressed, writeJSON, writeText)
	if name != "" && d.kind == reflect.Pointer && *(*unsafe.Pointer)(p.mem) == nil {
		return []byte("null"), nil
	}
	if name == "" {
		if p.again() {
			return nil, &partError{errors.New("json: unsupported value: encountered a cycle via " + d.name)}
		}
		return writeView(d, p.mem, p.addressed, p)
	}
	out := d.callJSON(p.mem, name)
	b, err := out[0].Bytes(), asError(out[1].Interface())
	if err != nil {
		return nil, &partError{fmt.Errorf("json: error calling %s for type %s: %w", name, d.name, err)}
	}
	if name == writeText.name {
		return unescaped(string(b))
	}
	if !json.Valid(b) {
		var any any
		return nil, &partError{fmt.Errorf("json: error calling %s for type %s: %w", name, d.name, json.Unmarshal(b, &any))}
	}
	return b, nil
}

// again looks once in a thousand levels whether the part lies in itself.
func (p *jsonPart) again() bool {
	depth := 0
	for q := p.up; q != nil; q = q.up {
		depth++
	}
	if depth == 0 || depth%1000 != 0 {
		return false
	}
	for q := p.up; q != nil; q = q.up {
		if q.desc == p.desc && q.mem == p.mem {
			return true
		}
	}
	return false
}

// A partError goes through json's own errors unchanged.
type partError struct{ error }

func (e *partError) Unwrap() error { return errors.Unwrap(e.error) }

// plainWrite is an error of writing without what tells of views.
func plainWrite(err error) error {
	var part *partError
	if errors.As(err, &part) {
		return part
	}
	return err
}

// plain is an error of reading into a value of type d without what tells of views.
func (v *jsonViewer) plain(d *typeDesc, err error) error {
	if e, ok := err.(*fieldError); ok {
		e.Struct, e.Field = e.in.bareName(), e.path
		return e.UnmarshalTypeError
	}
	e, ok := err.(*json.UnmarshalTypeError)
	if !ok {
		return err
	}
	at := d
	if e.Field != "" {
		e.Field = strings.ReplaceAll(e.Field, hiddenName, "")
		in, field := d.onPath(strings.Split(e.Field, "."))
		if in == nil {
			return err
		}
		e.Struct, at = in.bareName(), field
	}
	for ; at != nil; at = at.elem {
		if at.named && !at.compiled && (at.rt == e.Type || v.view(at) == e.Type) {
			return &typeMismatch{e, at.name}
		}
	}
	return err
}

// A typeMismatch names the type of a cell where json would describe its view.
type typeMismatch struct {
	*json.UnmarshalTypeError
	name string
}

func (e *typeMismatch) Error() string {
	if e.Field == "" {
		return "json: cannot unmarshal " + e.Value + " into Go value of type " + e.name
	}
	return "json: cannot unmarshal " + e.Value + " into Go struct field " + e.Struct + "." + e.Field + " of type " + e.name
}

// Unwrap lets errors.As find the error of json.
func (e *typeMismatch) Unwrap() error { return e.UnmarshalTypeError }

// A fieldError is a value that does not fit where it was read to by a part,
// with the way there.
type fieldError struct {
	*json.UnmarshalTypeError
	in   *typeDesc // the innermost struct, which may have embedded the field's
	path string    // from the outermost
}

// inField adds a field of d to the way to a value that does not fit.
func inField(d *typeDesc, key string, err error) error {
	switch e := err.(type) {
	case *json.UnmarshalTypeError:
		return &fieldError{e, d, strings.TrimSuffix(key+"."+e.Field, ".")}
	case *fieldError:
		return &fieldError{e.UnmarshalTypeError, e.in, key + "." + e.path}
	}
	return err
}

// inEmbedded adds the struct embedded in d that has the field.
func inEmbedded(d *typeDesc, name string, err error) error {
	e, ok := err.(*fieldError)
	if !ok {
		return err
	}
	in := e.in
	for _, f := range d.fields {
		if f.name == name && (f.desc == in || f.desc.elem == in) {
			in = d
		}
	}
	return &fieldError{e.UnmarshalTypeError, in, name + "." + e.path}
}

// bareName is the name of a type without its package.
func (d *typeDesc) bareName() string { return d.name[strings.LastIndexByte(d.name, '.')+1:] }

// onPath finds the last field on a path of names as json gives them, and the
// struct that it belongs to; a field of an embedded struct is the outer one's.
func (d *typeDesc) onPath(path []string) (in, field *typeDesc) {
	for d != nil && d.kind != reflect.Struct {
		d = d.elem
	}
	if d == nil {
		return nil, nil
	}
	for i, f := range d.fields {
		name, _, _ := strings.Cut(d.rt.Field(i).Tag.Get("json"), ",")
		if cmp.Or(name, f.name) != path[0] {
			continue
		}
		if len(path) == 1 {
			return d, f.desc
		}
		in, field := f.desc.onPath(path[1:])
		if f.embedded && name == "" && len(path) == 2 {
			in = d
		}
		return in, field
	}
	return nil, nil
}

// unescaped writes JSON as it is, without care for HTML; the writer around it
// escapes if it should.
func unescaped(x any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(x); err != nil {
		return nil, err
	}
	return bytes.TrimSuffix(b.Bytes(), []byte("\n")), nil
}

// seen is the view of a value for writing, or the value itself.
func seen(x any) any {
	b, ok := Unbox(x)
	if !ok {
		return x
	}
	v := newJSONViewer(false)
	to := reflect.New(v.view(b.typ)).Elem()
	v.fill(b.typ, b.typ.memory(b.val), false, to, nil)
	return to.Interface()
}

// writeView writes a value by its parts, by way of a view.
func writeView(d *typeDesc, mem unsafe.Pointer, addressed bool, up *jsonPart) ([]byte, error) {
	v := newJSONViewer(false)
	to := reflect.New(v.inside(d)).Elem()
	v.fill(d, mem, addressed, to, up)
	return unescaped(to.Interface())
}

// writable finds what json would not: a value that holds itself by way of boxes.
func writable(x any) error {
	switch err := walk(x, true); err {
	case errHoldsItself:
		return errors.New("json: unsupported value: encountered a cycle, or more than 10,000 levels, via " + typeName(x))
	default:
		return err
	}
}

func marshalAny(x any) ([]byte, error) {
	if err := writable(x); err != nil {
		return nil, err
	}
	b, err := json.Marshal(seen(x))
	if err != nil {
		return nil, plainWrite(err)
	}
	return b, nil
}

// marshalJSON writes a value of a cell type inside one of compiled types.
func marshalJSON(b Box) ([]byte, error) {
	return (&jsonPart{desc: b.typ, mem: b.typ.memory(b.val)}).MarshalJSON()
}

func encodeAny(e *json.Encoder, x any) error {
	if err := writable(x); err != nil {
		return err
	}
	if err := e.Encode(seen(x)); err != nil {
		return plainWrite(err)
	}
	return nil
}

func unmarshalAny(data []byte, x any) error {
	b, ok := Unbox(x)
	if !ok {
		return json.Unmarshal(data, x)
	}
	return newJSONViewer(true).read(b, func(to any) error { return json.Unmarshal(data, to) })
}

func decodeAny(dec *json.Decoder, x any) error {
	b, ok := Unbox(x)
	if !ok {
		return dec.Decode(x)
	}
	v := newJSONViewer(true)
	state := reflect.ValueOf(dec).Elem().FieldByName("d")
	v.strict = state.FieldByName("disallowUnknownFields").Bool()
	v.number = state.FieldByName("useNumber").Bool()
	return v.read(b, dec.Decode)
}

// read lets json write to a view of the value that a pointer in a box points to.
func (v *jsonViewer) read(b Box, decode func(to any) error) error {
	if b.typ.kind != reflect.Pointer {
		return errors.New("json: Unmarshal(non-pointer " + b.typ.name + ")")
	}
	p := *(*unsafe.Pointer)(b.typ.memory(b.val))
	if p == nil {
		return errors.New("json: Unmarshal(nil " + b.typ.name + ")")
	}
	return v.readAt(b.typ.elem, p, decode)
}

func (v *jsonViewer) readAt(d *typeDesc, mem unsafe.Pointer, decode func(to any) error) error {
	to := reflect.New(v.view(d))
	v.fill(d, mem, true, to.Elem(), nil)
	err := decode(to.Interface())
	var unfit *json.UnmarshalTypeError
	if err != nil && !errors.As(err, &unfit) && !strings.HasPrefix(err.Error(), "json: ") {
		return err // what is not JSON changes nothing
	}
	taken := v.take(d, mem, to.Elem())
	if err == nil {
		err = taken
	}
	return v.plain(d, err)
}

// readPart reads the text of a part into the value at mem.
func (v *jsonViewer) readPart(d *typeDesc, mem unsafe.Pointer, raw []byte) error {
	null := string(raw) == "null"
	switch d.jsonMethod(true, readJSON, readText) {
	case readJSON.name:
		return asError(d.callJSON(mem, readJSON.name, raw)[0].Interface())
	case readText.name:
		var text string
		if null {
			return nil
		}
		if raw[0] != '"' {
			return unfitting(raw, d)
		}
		if err := json.Unmarshal(raw, &text); err != nil {
			return err
		}
		return d.setText(mem, text)
	}
	if d.kind == reflect.Interface {
		if !null {
			return unfitting(raw, d)
		}
		reflect.NewAt(d.rt, mem).Elem().SetZero()
		return nil
	}
	inner := newJSONViewer(true)
	inner.strict, inner.number = v.strict, v.number
	err := inner.readAt(d, mem, func(to any) error {
		dec := json.NewDecoder(bytes.NewReader(raw))
		if v.strict {
			dec.DisallowUnknownFields()
		}
		if v.number {
			dec.UseNumber()
		}
		return dec.Decode(to)
	})
	var e *json.UnmarshalTypeError
	if errors.As(err, &e) && e.Field != "" {
		if in, _ := d.onPath(strings.Split(e.Field, ".")); in != nil {
			return &fieldError{e, in, e.Field}
		}
	}
	return err
}

func unfitting(raw []byte, d *typeDesc) error {
	kind := "number"
	switch raw[0] {
	case '{':
		kind = "object"
	case '[':
		kind = "array"
	case '"':
		kind = "string"
	case 't', 'f':
		kind = "bool"
	}
	return fmt.Errorf("json: cannot unmarshal %s into Go value of type %s", kind, d.name)
}
