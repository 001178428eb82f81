package exec

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"reflect"
	"slices"
	"sort"
	"strconv"
	"strings"
	"sync"
	"time"
	"unsafe"
)

// replacements are the compiled functions that need to know about cells:
// those that print to the standard output, that look into an any with
// reflect, that wait, or whose formats may make more than their operands.
func replacements(m *Machine) map[string]any {
	m.once.Do(func() {
		m.table = map[string]any{
			"fmt.Print": func(a ...any) (int, error) { return io.WriteString(m.stdout, sprint(a)) },
			"fmt.Println": func(a ...any) (int, error) {
				printable(a)
				return fmt.Fprintln(m.stdout, a...)
			},
			"fmt.Sprintln": func(a ...any) string {
				printable(a)
				return fmt.Sprintln(a...)
			},
			"fmt.Fprintln": func(w io.Writer, a ...any) (int, error) {
				printable(a)
				return fmt.Fprintln(w, a...)
			},
			"fmt.Appendln": func(b []byte, a ...any) []byte {
				printable(a)
				return fmt.Appendln(b, a...)
			},
			"fmt.Printf": func(format string, a ...any) (int, error) {
				m.wantFormat("fmt.Printf", format, a)
				return fmt.Fprintf(m.stdout, typeVerbs(format, &a), a...)
			},
			"fmt.Sprint": func(a ...any) string { return sprint(a) },
			"fmt.Sprintf": func(format string, a ...any) string {
				m.wantFormat("fmt.Sprintf", format, a)
				return fmt.Sprintf(typeVerbs(format, &a), a...)
			},
			"fmt.Fprint": func(w io.Writer, a ...any) (int, error) { return io.WriteString(w, sprint(a)) },
			"fmt.Fprintf": func(w io.Writer, format string, a ...any) (int, error) {
				m.wantFormat("fmt.Fprintf", format, a)
				return fmt.Fprintf(w, typeVerbs(format, &a), a...)
			},
			"fmt.Append": func(b []byte, a ...any) []byte { return append(b, sprint(a)...) },
			"fmt.Appendf": func(b []byte, format string, a ...any) []byte {
				m.wantFormat("fmt.Appendf", format, a)
				return fmt.Appendf(b, typeVerbs(format, &a), a...)
			},
			"fmt.Errorf": func(format string, a ...any) error {
				m.wantFormat("fmt.Errorf", format, a)
				return fmt.Errorf(typeVerbs(format, &a), a...)
			},
			"fmt.Sscan":   func(s string, a ...any) (int, error) { return fmt.Sscan(s, rawAll(a)...) },
			"fmt.Sscanln": func(s string, a ...any) (int, error) { return fmt.Sscanln(s, rawAll(a)...) },
			"fmt.Sscanf":  func(s, format string, a ...any) (int, error) { return fmt.Sscanf(s, format, rawAll(a)...) },
			"fmt.Fscan":   func(r io.Reader, a ...any) (int, error) { return fmt.Fscan(r, rawAll(a)...) },

			"errors.As": errorsAs,
			"errors.Is": errorsIs,

			"sort.Slice":         func(x any, less func(i, j int) bool) { sort.Slice(raw(x), less) },
			"sort.SliceStable":   func(x any, less func(i, j int) bool) { sort.SliceStable(raw(x), less) },
			"sort.SliceIsSorted": func(x any, less func(i, j int) bool) bool { return sort.SliceIsSorted(raw(x), less) },
			"reflect.DeepEqual":  deepEqual,

			"encoding/json.Marshal": marshalAny,
			"encoding/json.MarshalIndent": func(v any, prefix, indent string) ([]byte, error) {
				b, err := marshalAny(v)
				if err != nil {
					return nil, err
				}
				var out bytes.Buffer
				err = json.Indent(&out, b, prefix, indent)
				return out.Bytes(), err
			},
			"encoding/json.Unmarshal":      unmarshalAny,
			"encoding/json.Decoder.Decode": decodeAny,
			"encoding/json.Encoder.Encode": encodeAny,

			"time.Sleep": m.sleep,

			"maps.clone": cloneMap,
		}
	})
	return m.table
}

type replaced struct {
	once  sync.Once
	table map[string]any
}

// sleep is time.Sleep that a stop ends.
func (m *Machine) sleep(d time.Duration) {
	r := m.currentRun()
	timer := time.NewTimer(d)
	defer timer.Stop()
	select {
	case <-timer.C:
	case <-r.done():
		panic(&stopSignal{err: r.stopped(), flagged: true})
	}
}

// raw takes a value of a cell type out of its box.
func raw(x any) any {
	if b, ok := Unbox(x); ok {
		return b.val
	}
	return x
}

func rawAll(a []any) []any {
	out := make([]any, len(a))
	for i, x := range a {
		out[i] = raw(x)
	}
	return out
}

// sprint is fmt.Sprint, which puts a space between operands when neither is a string.
func sprint(a []any) string {
	printable(a)
	var b strings.Builder
	wasString := false
	for i, x := range a {
		isString := x != nil && reflect.TypeOf(raw(x)).Kind() == reflect.String
		if i > 0 && !isString && !wasString {
			b.WriteByte(' ')
		}
		fmt.Fprint(&b, x)
		wasString = isString
	}
	return b.String()
}

// typeVerbs rewrites the verbs that fmt answers without asking the value, %T
// and %p, for the arguments that are of cell types.
func typeVerbs(format string, args *[]any) string {
	boxed := slices.ContainsFunc(*args, func(x any) bool { _, ok := x.(boxer); return ok })
	if !boxed || !strings.ContainsAny(format, "Tp") {
		return format
	}
	a := slices.Clone(*args)
	out := []byte(format)
	next := 0
	for i := 0; i < len(out); i++ {
		if out[i] != '%' {
			continue
		}
		indexed := false
		for i++; i < len(out) && strings.IndexByte("+-# 0123456789.[]*", out[i]) >= 0; i++ {
			switch out[i] {
			case '*':
				next++
			case '[':
				indexed = true
				if end := bytes.IndexByte(out[i:], ']'); end > 0 {
					if n, err := strconv.Atoi(string(out[i+1 : i+end])); err == nil {
						next = n - 1
					}
				}
			}
		}
		if i >= len(out) || out[i] == '%' {
			continue
		}
		if next >= 0 && next < len(a) && (out[i] == 'T' || out[i] == 'p') {
			if b, ok := Unbox((*args)[next]); ok {
				to := byte('p')
				if out[i] == 'T' {
					to = 's'
				}
				if !indexed {
					a[next], out[i] = verbValue(b, out[i]), to
				} else {
					// The argument may serve other verbs too: this one gets
					// an argument of its own, and the next verb its old index.
					a = append(a, verbValue(b, out[i]))
					start := bytes.LastIndexByte(out[:i], '[')
					spec := fmt.Sprintf("%s[%d]%c", out[:start], len(a), to)
					out = append([]byte(spec), pointNext(string(out[i+1:]), next+1)...)
					i = len(spec) - 1
				}
			}
		}
		next++
	}
	*args = a
	return string(out)
}

// verbValue is what %T or %p prints for a boxed value.
func verbValue(b Box, verb byte) any {
	if verb == 'T' {
		return b.typ.name
	}
	return b.val
}

// pointNext gives the next verb of a format the index of argument n, from 0,
// unless it has one.
func pointNext(format string, n int) string {
	for i := 0; i < len(format); i++ {
		if format[i] != '%' {
			continue
		}
		if i+1 < len(format) && format[i+1] == '%' {
			i++
			continue
		}
		j := i + 1
		for j < len(format) && strings.IndexByte("+-# 0123456789.", format[j]) >= 0 {
			j++
		}
		if j < len(format) && (format[j] == '[' || format[j] == '*') {
			return format
		}
		return format[:j] + fmt.Sprintf("[%d]", n+1) + format[j:]
	}
	return format
}

// errorsIs is errors.Is, comparing values of cell types as cells do.
func errorsIs(err, target error) bool {
	if err == nil || target == nil {
		return err == target
	}
	can := reflect.TypeOf(target).Comparable()
	if b, ok := Unbox(target); ok {
		can = b.typ.comparable
	}
	found := false
	eachError(err, 0, func(e error) bool {
		if can && ifaceEqual(e, target) {
			found = true
		} else if x, ok := e.(interface{ Is(error) bool }); ok && x.Is(target) {
			found = true
		}
		return found
	})
	return found
}

// eachError visits the tree of an error, which is depth levels down, depth first
// until f returns true.
func eachError(err error, depth int, f func(error) bool) bool {
	if err == nil {
		return false
	}
	if depth > deepest {
		panic(&stopSignal{err: ErrDepth}) // an error that wraps itself
	}
	if f(err) {
		return true
	}
	switch x := err.(type) {
	case interface{ Unwrap() error }:
		return eachError(x.Unwrap(), depth+1, f)
	case interface{ Unwrap() []error }:
		for _, e := range x.Unwrap() {
			if eachError(e, depth+1, f) {
				return true
			}
		}
		return false
	}
	if b, ok := Unbox(err); ok {
		if m := b.typ.method("Unwrap"); m != nil && m.sig.key == "func()([]error,)" {
			for _, e := range b.result("Unwrap").([]error) {
				if eachError(e, depth+1, f) {
					return true
				}
			}
		}
	}
	return false
}

// errorsAs is errors.As for targets of cell types too.
func errorsAs(err error, target any) bool {
	b, ok := Unbox(target)
	if !ok {
		return errors.As(err, target)
	}
	if b.typ.kind != reflect.Pointer || *(*unsafe.Pointer)(b.typ.memory(b.val)) == nil {
		panic("errors: target must be a non-nil pointer")
	}
	elem := b.typ.elem
	to := *(*unsafe.Pointer)(b.typ.memory(b.val))
	if elem.kind != reflect.Interface && elem.method("Error") == nil {
		panic("errors: *target must be interface or implement error")
	}
	return eachError(err, 0, func(e error) bool {
		if elem.kind == reflect.Interface {
			if elem.missing(e) == "" {
				x := elem.adapt(e)
				elem.storer()(to, unsafe.Pointer(&x))
				return true
			}
		} else if x, ok := elem.holds()(e); ok {
			reflect.NewAt(elem.rt, to).Elem().Set(reflect.ValueOf(x))
			return true
		}
		x, ok := e.(interface{ As(any) bool })
		return ok && x.As(target)
	})
}

// cloneMap is the part of maps.Clone that Go's run time has.
func cloneMap(x any) any {
	from := reflect.ValueOf(raw(x))
	to := reflect.MakeMapWithSize(from.Type(), from.Len())
	for it := from.MapRange(); it.Next(); {
		to.SetMapIndex(it.Key(), it.Value())
	}
	if b, ok := Unbox(x); ok {
		return b.typ.boxed(to.Interface())
	}
	return to.Interface()
}

func deepEqual(x, y any) bool {
	bx, okx := Unbox(x)
	by, oky := Unbox(y)
	if okx != oky || okx && bx.typ != by.typ {
		return false
	}
	return reflect.DeepEqual(raw(x), raw(y))
}
