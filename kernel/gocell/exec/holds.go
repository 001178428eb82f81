package exec

import (
	"encoding"
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"sync"
	"unsafe"
)

// Compiled code that prints a value which holds itself goes deeper until Go
// ends the whole process, so such values are found before. So are those of
// very many parts: a list that holds the same list twice, forty deep, has more
// parts than any memory.

const (
	deepest   = 10_000  // levels of a value
	mostParts = 1 << 23 // lists, structs and the like in a value
)

var (
	errHoldsItself = errors.New("the value holds itself, or is nested more than 10,000 deep: it can't be printed whole")
	errManyParts   = fmt.Errorf("the value has more than %d parts: it can't be printed or written whole", mostParts)
)

// Printable says why a value can't be printed whole; nil when it can.
func Printable(x any) error { return walk(x, false) }

// printable ends the cell when one of the values can't be printed whole.
func printable(args []any) {
	for _, x := range args {
		if err := walk(x, false); err != nil {
			panic(&stopSignal{err: err})
		}
	}
}

func walk(x any, asJSON bool) error {
	if x == nil {
		return nil
	}
	w := walker{left: mostParts, deepest: deepest}
	if asJSON {
		w = walker{left: mostParts, deepest: 4 * deepest, asJSON: true} // a level of JSON may be four here
	}
	w.dynamic(reflect.ValueOf(x), 0)
	if asJSON && !w.boxed && w.err == errHoldsItself {
		return nil // json finds it itself
	}
	return w.err
}

// A walker goes where fmt goes, or json.
type walker struct {
	left, deepest int
	asJSON        bool
	boxed         bool // met a value of a cell type
	err           error
}

// enter counts one part at a depth.
func (w *walker) enter(depth int) bool {
	w.left--
	switch {
	case w.err != nil:
	case depth > w.deepest:
		w.err = errHoldsItself
	case w.left < 0:
		w.err = errManyParts
	}
	return w.err == nil
}

// dynamic walks the content of an interface.
func (w *walker) dynamic(v reflect.Value, depth int) {
	if v.CanInterface() {
		if b, ok := v.Interface().(boxer); ok {
			w.boxed = true
			if box := b.box(); box.typ != nil && box.typ.loops() {
				w.cell(box.typ, box.typ.memory(box.val), depth)
			}
			return
		}
		if w.byMethod(v.Interface()) {
			return
		}
	}
	if loopsType(v.Type()) {
		w.value(v, depth)
	}
}

// byMethod says whether a method of a compiled value is called instead.
func (w *walker) byMethod(x any) bool {
	switch x.(type) {
	case fmt.Formatter, fmt.Stringer, error:
		return !w.asJSON
	case json.Marshaler, encoding.TextMarshaler:
		return w.asJSON
	}
	return false
}

func (w *walker) value(v reflect.Value, depth int) {
	if !w.enter(depth) {
		return
	}
	switch v.Kind() {
	case reflect.Interface:
		if !v.IsNil() {
			w.dynamic(v.Elem(), depth+1)
		}
	case reflect.Pointer:
		if !v.IsNil() && (depth == 0 || w.asJSON) {
			w.value(v.Elem(), depth+1)
		}
	case reflect.Slice, reflect.Array:
		if loopsType(v.Type().Elem()) {
			for i := 0; i < v.Len() && w.err == nil; i++ {
				w.value(v.Index(i), depth+1)
			}
		}
	case reflect.Map:
		for it := v.MapRange(); it.Next() && w.err == nil; {
			w.value(it.Key(), depth+1)
			w.value(it.Value(), depth+1)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if f := v.Type().Field(i); !w.asJSON || f.IsExported() || f.Anonymous {
				w.value(v.Field(i), depth+1)
			}
		}
	}
}

// cell walks the value of a cell type at mem.
func (w *walker) cell(d *typeDesc, mem unsafe.Pointer, depth int) {
	if d.compiled || d.faithful {
		w.dynamic(reflect.NewAt(d.rt, mem).Elem(), depth)
		return
	}
	if !d.loops() || w.cellMethod(d) || !w.enter(depth) {
		return
	}
	switch d.kind {
	case reflect.Interface:
		if x := d.read(mem); x != nil {
			w.dynamic(reflect.ValueOf(x), depth+1)
		}
	case reflect.Pointer:
		if p := *(*unsafe.Pointer)(mem); p != nil && (depth == 0 || w.asJSON) {
			w.cell(d.elem, p, depth+1)
		}
	case reflect.Slice, reflect.Array:
		at, n := mem, int(d.n)
		if d.kind == reflect.Slice {
			at, n = (*object)(mem).p, (*object)(mem).n
		}
		for i := 0; i < n && w.err == nil; i++ {
			w.cell(d.elem, unsafe.Add(at, uintptr(i)*d.elem.size), depth+1)
		}
	case reflect.Map:
		for it := d.mapIn(mem).MapRange(); it.Next() && w.err == nil; {
			w.part(d.mapKey, it.Key(), depth+1)
			w.part(d.elem, it.Value(), depth+1)
		}
	case reflect.Struct:
		for _, f := range d.fields {
			if !w.asJSON || isExported(f.name) || f.embedded {
				w.cell(f.desc, unsafe.Add(mem, f.off), depth+1)
			}
		}
	}
}

// part walks a key or an element of a map.
func (w *walker) part(d *typeDesc, v reflect.Value, depth int) {
	if d.loops() {
		p := reflect.New(d.rt)
		p.Elem().Set(v)
		w.cell(d, p.UnsafePointer(), depth)
	}
}

func (w *walker) cellMethod(d *typeDesc) bool {
	if w.asJSON {
		return d.jsonMethod(true, writeJSON, writeText) != ""
	}
	ms := d.methods.Load()
	return ms != nil && (hasSig(ms, "Format", "func(fmt.State,int32,)()") || hasSig(ms, "Error", "func()(string,)") || hasSig(ms, "String", "func()(string,)"))
}

// loops says whether a value of type d could hold itself: there is an interface
// in it, or the type itself.
func (d *typeDesc) loops() bool {
	if s := d.looping.Load(); s != 0 {
		return s == 1
	}
	s := uint32(2)
	if d.findLoop(map[*typeDesc]bool{}) {
		s = 1
	}
	d.looping.Store(s)
	return s == 1
}

func (d *typeDesc) findLoop(open map[*typeDesc]bool) bool {
	switch {
	case d.compiled || d.faithful:
		return loopsType(d.rt)
	case d.kind == reflect.Interface || open[d]:
		return true
	}
	open[d] = true
	defer delete(open, d)
	for _, part := range []*typeDesc{d.elem, d.mapKey} {
		if part != nil && d.kind != reflect.Chan && part.findLoop(open) {
			return true
		}
	}
	for _, f := range d.fields {
		if f.desc.findLoop(open) {
			return true
		}
	}
	return false
}

// compiledLoops remembers loopsType; compiled types are as many as the program has.
var compiledLoops sync.Map

func loopsType(t reflect.Type) bool {
	switch k := t.Kind(); {
	case k <= reflect.Complex128, k == reflect.String, k == reflect.Chan, k == reflect.Func, k == reflect.UnsafePointer:
		return false
	case k == reflect.Interface:
		return true
	}
	if known, ok := compiledLoops.Load(t); ok {
		return known.(bool)
	}
	loops := findLoopType(t, map[reflect.Type]bool{})
	if t.Name() != "" {
		compiledLoops.Store(t, loops)
	}
	return loops
}

func findLoopType(t reflect.Type, open map[reflect.Type]bool) bool {
	if t.Kind() == reflect.Interface || open[t] {
		return true
	}
	open[t] = true
	defer delete(open, t)
	switch t.Kind() {
	case reflect.Pointer, reflect.Slice, reflect.Array:
		return findLoopType(t.Elem(), open)
	case reflect.Map:
		return findLoopType(t.Key(), open) || findLoopType(t.Elem(), open)
	case reflect.Struct:
		for i := range t.NumField() {
			if findLoopType(t.Field(i).Type, open) {
				return true
			}
		}
	}
	return false
}
