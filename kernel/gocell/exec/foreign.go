package exec

import (
	"reflect"
	"runtime"
	"strings"
)

// crossing is what a call from compiled code back into cells counts as in the
// depth of calls: printing with methods takes the stack of so many.
const crossing = 100

// enterThread begins a call of a cell function from compiled code. Its leave
// is to be deferred at once.
func enterThread(m *Machine) *thread {
	r := m.currentRun()
	t := newThread(r)
	t.callback, t.caller = true, r.inner.Swap(t)
	t.outer = int(r.outside.Load()) + crossing
	if c := t.caller; c != nil {
		t.outer = max(t.outer, c.outer+c.depth+crossing)
	}
	return t
}

// leave ends it. A panic goes on to whoever called the compiled code. Where
// that is no goroutine of ours there is nobody to take it, and it would end
// the process; it ends the run instead, and the goroutine.
func (t *thread) leave() {
	if t.over {
		t.depth = 0
		t.run.inner.Store(t.caller)
		t.caller = nil
		t.release()
		return
	}
	if !t.abroad() {
		if t.caller != nil {
			t.caller.home = true
		}
		return
	}
	if v := recover(); v != nil && t.run.stopped() == nil {
		t.run.fail(t.errorOf(v))
	}
	runtime.Goexit()
}

// abroad reports whether the goroutine was started by compiled code, such as a
// solver that works on several points at once.
func (t *thread) abroad() bool {
	if t.home {
		return false
	}
	first := ""
	pcs := make([]uintptr, 1<<10)
	for skip := 0; ; skip += len(pcs) {
		n := runtime.Callers(skip, pcs)
		frames := runtime.CallersFrames(pcs[:n])
		for more := n > 0; more; {
			var f runtime.Frame
			f, more = frames.Next()
			if f.Function != "runtime.goexit" {
				first = f.Function
			}
		}
		if n < len(pcs) {
			return !startedHere(first)
		}
	}
}

// kernelPath is the path of the packages that start goroutines for cells.
var kernelPath = strings.TrimSuffix(reflect.TypeFor[thread]().PkgPath(), "gocell/exec")

// startedHere reports whether a goroutine's first function is one of ours, or
// that of the main goroutine or of a test. A func value of a cell is a plain
// function of this package; what starts goroutines here are methods.
func startedHere(function string) bool {
	own, ours := strings.CutPrefix(function, kernelPath)
	if ours {
		own, ours = strings.CutPrefix(own, "gocell/exec.")
		return !ours || strings.HasPrefix(own, "(")
	}
	return strings.HasPrefix(function, "runtime.main") || strings.HasPrefix(function, "testing.") || strings.HasPrefix(function, "main.")
}

// fail ends the run by a fault in a goroutine that is not its own. When no
// cell runs there is nothing to end.
func (r *run) fail(err error) {
	if r != r.m.idle {
		r.end(err)
	} else if tell := r.m.opt.OnGoroutine; tell != nil {
		tell(err)
	}
}
