package exec

import (
	"container/heap"
	"encoding/json"
	"fmt"
	"io"
	"reflect"
	"runtime"
	"sort"
)

//go:generate go run gen_wrappers.go

// Signatures, as keys, of the methods that the wrappers have.
var wrapperSigs = map[string]string{
	"Error": "func()(string,)", "String": "func()(string,)", "SVG": "func()(string,)", "HTML": "func()(string,)",
	"PNG": "func()([]uint8,)", "Markdown": "func()(string,)", "Latex": "func()(string,)",
	"JSON":   "func()(map[string]interface{},)",
	"Unwrap": "func()(error,)", "Is": "func(error,)(bool,)", "As": "func(interface{},)(bool,)",
}

// wrapperFor chooses the type that compiled code sees for values with the
// given methods; nil when there is none.
func wrapperFor(ms *methodSet) func(Box) any {
	has := func(name string) bool {
		m := ms.byID[name]
		return m != nil && m.sig.key == wrapperSigs[name]
	}
	mask := func(names ...string) (n int) {
		for i, name := range names {
			if has(name) {
				n |= 1 << i
			}
		}
		return n
	}
	shown := mask("Error", "String", "SVG", "HTML", "PNG", "Markdown", "Latex", "JSON")
	chain := mask("String", "Unwrap", "Is", "As")
	if !has("Error") || chain>>1 == 0 {
		return shownWrappers[shown]
	}
	if shown>>2 != 0 {
		return nil
	}
	return errorWrappers[chain]
}

func asError(x any) error {
	err, _ := x.(error)
	return err
}

// adapter finds the adapter for a compiled interface with methods.
func (m *Machine) adapter(iface reflect.Type) Adapter {
	if a := m.opt.Adapters[iface]; a != nil {
		return a
	}
	return adapters[iface]
}

var adapters = map[reflect.Type]Adapter{
	reflect.TypeFor[runtime.Error]():    func(b Box) any { return runtimeError{b} },
	errorType:                           func(b Box) any { return b.typ.boxed(b.val) },
	reflect.TypeFor[fmt.Stringer]():     func(b Box) any { return b.typ.boxed(b.val) },
	reflect.TypeFor[fmt.GoStringer]():   func(b Box) any { return goStringer{b} },
	reflect.TypeFor[fmt.Formatter]():    func(b Box) any { return b.typ.boxed(b.val) },
	reflect.TypeFor[sort.Interface]():   func(b Box) any { return sorter{b} },
	reflect.TypeFor[heap.Interface]():   func(b Box) any { return heaper{sorter{b}} },
	reflect.TypeFor[io.Writer]():        func(b Box) any { return writer{b} },
	reflect.TypeFor[io.Reader]():        func(b Box) any { return reader{b} },
	reflect.TypeFor[io.ReadWriter]():    func(b Box) any { return readWriter{b} },
	reflect.TypeFor[io.StringWriter]():  func(b Box) any { return stringWriter{b} },
	reflect.TypeFor[io.Closer]():        func(b Box) any { return closer{b} },
	reflect.TypeFor[json.Marshaler]():   func(b Box) any { return b.typ.boxed(b.val) },
	reflect.TypeFor[json.Unmarshaler](): func(b Box) any { return unmarshaler{b} },
}

type runtimeError struct{ Box }

func (b runtimeError) Error() string { return b.str("Error") }
func (b runtimeError) RuntimeError() { b.do("RuntimeError") }

type goStringer struct{ Box }

func (b goStringer) GoString() string { return b.str("GoString") }

type sorter struct{ Box }

func (b sorter) Len() int           { return b.result("Len").(int) }
func (b sorter) Less(i, j int) bool { return b.result("Less", i, j).(bool) }
func (b sorter) Swap(i, j int)      { b.do("Swap", i, j) }

type heaper struct{ sorter }

func (b heaper) Push(x any) { b.do("Push", x) }
func (b heaper) Pop() any   { return b.result("Pop") }

type writer struct{ Box }

func (b writer) Write(p []byte) (int, error) { return b.transfer("Write", p) }

type reader struct{ Box }

func (b reader) Read(p []byte) (int, error) { return b.transfer("Read", p) }

type readWriter struct{ Box }

func (b readWriter) Read(p []byte) (int, error)  { return b.transfer("Read", p) }
func (b readWriter) Write(p []byte) (int, error) { return b.transfer("Write", p) }

type stringWriter struct{ Box }

func (b stringWriter) WriteString(s string) (int, error) { return b.transfer("WriteString", s) }

type closer struct{ Box }

func (b closer) Close() error { return asError(b.result("Close")) }

type unmarshaler struct{ Box }

func (b unmarshaler) UnmarshalJSON(p []byte) error { return asError(b.result("UnmarshalJSON", p)) }

// do calls a method for its effect.
func (b Box) do(name string, args ...any) { b.results(name, args) }

// result calls a method and returns its first result.
func (b Box) result(name string, args ...any) any { return b.results(name, args)[0].Interface() }

func (b Box) results(name string, args []any) []reflect.Value {
	m := b.typ.method(name)
	in := make([]reflect.Value, len(args))
	for i, a := range args {
		in[i] = reflect.New(m.sig.params[i].rt).Elem()
		if a != nil {
			in[i].Set(reflect.ValueOf(a))
		}
	}
	return m.call(b, in)
}

// transfer calls a method of the form of Read and Write.
func (b Box) transfer(name string, arg any) (int, error) {
	out := b.results(name, []any{arg})
	return int(out[0].Int()), asError(out[1].Interface())
}
