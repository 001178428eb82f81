package exec

import (
	"fmt"
	"math"
	"reflect"
	"strings"
)

// A tooLarge is the refusal of a single value that passes the memory limit.
// Go ends the whole process when it can't get the memory that a compiled
// function asks for, so this must be found before the call.
type tooLarge struct {
	what  string // "strings.Repeat would make", "one value takes"
	bytes float64
	limit int
}

func (e *tooLarge) Error() string {
	if math.IsInf(e.bytes, 1) {
		return fmt.Sprintf("out of memory: %s more and more without end", e.what)
	}
	return fmt.Sprintf("out of memory: %s %s in one go, a cell may fill %s", e.what, inBytes(e.bytes), inBytes(float64(e.limit)))
}

// Unwrap makes it an ErrMemory.
func (e *tooLarge) Unwrap() error { return ErrMemory }

// inBytes words an amount of memory.
func inBytes(n float64) string {
	units := []string{"bytes", "KB", "MB", "GB", "TB", "PB"}
	i := 0
	for ; n >= 1024 && i < len(units)-1; i++ {
		n /= 1024
	}
	if n >= 1e6 {
		return fmt.Sprintf("%.1e %s", n, units[i])
	}
	return fmt.Sprintf("%.4g %s", n, units[i])
}

// neverMore is the size of a single value that no machine holds.
const neverMore = 1 << 37

// largest is how many bytes a single value may take.
func (m *Machine) largest() int {
	if limit := m.opt.MemoryLimit; limit > 0 && limit < neverMore {
		return int(limit)
	}
	return neverMore
}

// want ends the cell when one value alone would pass the memory limit.
func (r *run) want(bytes int) {
	if bytes > r.m.largest() {
		panic(&stopSignal{err: &tooLarge{"one value takes", float64(bytes), r.m.largest()}})
	}
}

// allow ends the cell when the named compiled function would make a value that
// passes the memory limit.
func (m *Machine) allow(name string, bytes float64) {
	if limit := m.largest(); bytes > float64(limit) {
		panic(&stopSignal{err: &tooLarge{name + " would make", bytes, limit}})
	}
}

// measured is a compiled function that is refused arguments with which it
// would make too large a value; f itself when it makes none.
func (m *Machine) measured(name string, f reflect.Value) reflect.Value {
	if m.opt.Size == nil {
		return f
	}
	size := m.opt.Size(name)
	if size == nil {
		return f
	}
	ft := f.Type()
	return reflect.MakeFunc(ft, func(args []reflect.Value) []reflect.Value {
		m.allow(name, size(args))
		if ft.IsVariadic() {
			return f.CallSlice(args)
		}
		return f.Call(args)
	})
}

// methodKey names a method of a compiled type: "import/path.Type.Method".
func methodKey(rt reflect.Type, method string) string {
	if rt.Kind() == reflect.Pointer && rt.Name() == "" {
		rt = rt.Elem()
	}
	return rt.PkgPath() + "." + rt.Name() + "." + method
}

// widest is the largest width or precision that fmt takes.
const widest = 1_000_000

// wantFormat looks whether the operands can be printed, unless only their types
// and addresses are asked for, and measures what a format makes beyond their
// text: the widths and precisions, and operands that explicit indexes repeat.
func (m *Machine) wantFormat(name, format string, args []any) {
	verbs := float64(strings.Count(format, "%"))
	if verbs > float64(strings.Count(format, "%T")+strings.Count(format, "%p")) {
		printable(args)
	}
	text := 0
	if strings.Contains(format, "[") {
		for _, a := range args {
			if v := reflect.ValueOf(raw(a)); v.Kind() == reflect.String || v.Kind() == reflect.Slice {
				text = max(text, v.Len())
			}
		}
	}
	if verbs*float64(2*widest+text) <= float64(m.largest()) {
		return
	}
	m.allow(name, formatWidths(format)+verbs*float64(text))
}

// formatWidths adds up the widths and precisions of a format; one that an
// operand gives counts as the widest.
func formatWidths(format string) (sum float64) {
	for {
		_, after, found := strings.Cut(format, "%")
		if !found {
			return sum
		}
		n := 0
		for ; len(after) > 0 && strings.IndexByte("+-# 0123456789.[]*", after[0]) >= 0; after = after[1:] {
			switch c := after[0]; {
			case c >= '0' && c <= '9':
				n = min(10*n+int(c-'0'), widest)
			case c == '*':
				sum += widest
			default:
				sum, n = sum+float64(n), 0
			}
		}
		sum += float64(n)
		format = strings.TrimPrefix(after, "%")
	}
}
