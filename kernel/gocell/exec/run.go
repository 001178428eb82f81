package exec

import (
	"context"
	"fmt"
	"reflect"
	"runtime"
	"runtime/metrics"
	"sync"
	"sync/atomic"
	"time"
)

// A run is one Call with the goroutines that it starts: they share its stop flag.
type run struct {
	m       *Machine
	stop    atomic.Uint32
	outside atomic.Int64           // depth of cell calls that wait for compiled code
	alive   atomic.Int64           // goroutines
	base    uint64                 // heap in use at the start
	inner   atomic.Pointer[thread] // of the last callback in progress, for tracebacks

	mu     sync.Mutex
	err    error
	closed chan struct{}
}

func newRun(m *Machine) *run { return &run{m: m, closed: make(chan struct{})} }

// done is closed when the run is stopped.
func (r *run) done() <-chan struct{} { return r.closed }

// end stops the run.
func (r *run) end(err error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.err == nil {
		r.err = err
		r.stop.Store(1)
		close(r.closed)
	}
}

// stopped is the cause of the stop, or nil.
func (r *run) stopped() error {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.err
}

// stopSignal unwinds a cell. recover in a cell does not see it.
type stopSignal struct {
	err     error
	flagged bool // raised by the run's stop flag
}

func unsupported(format string, args ...any) Unsupported {
	return Unsupported(fmt.Sprintf(format, args...))
}

func (s *stopSignal) Error() string { return s.err.Error() }

// Format is called by fmt when a method of a cell, which it called to print a
// value, was stopped: fmt takes the stop for a panic of that method and prints
// it. A panic in printing a panic it lets go on.
func (s *stopSignal) Format(fmt.State, rune) { panic(s) }

// currentRun is the run that a closure called from compiled code belongs to.
func (m *Machine) currentRun() *run {
	if r := m.current.Load(); r != nil {
		return r
	}
	return m.idle
}

func (m *Machine) enlist(r *run) {
	m.runsMu.Lock()
	m.runs[r] = true
	m.runsMu.Unlock()
}

func (m *Machine) delist(r *run) {
	m.runsMu.Lock()
	delete(m.runs, r)
	m.runsMu.Unlock()
}

// abandonAfter is how long a stopped call may stay inside compiled code
// before Call returns without it.
const abandonAfter = 300 * time.Millisecond

// within runs f on a goroutine and thread of a new run.
func (m *Machine) within(ctx context.Context, f func(t *thread)) error {
	if err := context.Cause(ctx); err != nil {
		return &Stopped{Err: err}
	}
	r := newRun(m)
	m.enlist(r)
	was := m.current.Swap(r)
	defer m.current.CompareAndSwap(r, was)
	unwatch := context.AfterFunc(ctx, func() { r.end(context.Cause(ctx)) })
	defer unwatch()
	if m.opt.MemoryLimit > 0 {
		finished := make(chan struct{})
		defer close(finished)
		r.base = heapInUse()
		go r.watchMemory(finished)
	}
	out := make(chan error, 1)
	r.alive.Add(1)
	go func() {
		exited := true
		defer func() {
			if exited {
				out <- &Stopped{Err: fmt.Errorf("the cell ended its goroutine")}
			}
			r.finish()
		}()
		err := r.guard(f)
		exited = false
		out <- err
	}()
	select {
	case err := <-out:
		return err
	case <-r.done():
	}
	select {
	case err := <-out:
		return err
	case <-time.After(abandonAfter):
		return &Stopped{Err: r.stopped(), Abandoned: true}
	}
}

// finish notes the end of a goroutine of the run.
func (r *run) finish() {
	if r.alive.Add(-1) == 0 {
		r.m.delist(r)
	}
}

// guard runs f on a new thread and turns what it panics with into an error.
func (r *run) guard(f func(t *thread)) (err error) {
	t := newThread(r)
	ok := false
	defer func() {
		if ok {
			return
		}
		v := recover()
		if v == nil {
			return // runtime.Goexit
		}
		err = t.errorOf(v)
	}()
	f(t)
	ok = true
	t.release()
	return nil
}

// errorOf makes the error of a call that panicked with v.
func (t *thread) errorOf(v any) error {
	trace := t.trace()
	if s, ok := v.(*stopSignal); ok {
		return &Stopped{Err: s.err, Stack: trace}
	}
	return &Panic{Value: v, Stack: trace}
}

// trace lists the calls that a panic just caught came through: those of
// callbacks from compiled code that it ended, then the thread's own. With
// several goroutines at work it is not known whose a callback was.
func (t *thread) trace() []Frame {
	if t.passing != nil {
		return t.passing.trace
	}
	var out []Frame
	if t.run.alive.Load() <= 1 {
		for in := t.run.inner.Load(); in != nil && in != t; in = in.caller {
			if in.passing != nil {
				out = append(out, in.passing.trace...)
			} else {
				out = append(out, in.stack(0)...)
			}
		}
		t.run.inner.Store(t.enclosing())
	}
	return append(out, t.stack(0)...)
}

// enclosing is t itself when it runs a callback.
func (t *thread) enclosing() *thread {
	if t.callback {
		return t
	}
	return nil
}

// start runs a deferred-style call on a goroutine of the run.
func (r *run) start(args *frame, call op) {
	r.alive.Add(1)
	r.m.enlist(r)
	go func() {
		defer r.finish()
		err := r.guard(func(t *thread) {
			args.t = t
			call(args)
		})
		if err == nil {
			return
		}
		if s, ok := err.(*Stopped); ok && r.stopped() != nil && s.Err == r.stopped() {
			return // told by the call itself
		}
		if tell := r.m.opt.OnGoroutine; tell != nil {
			tell(err)
		}
	}()
	runtime.Gosched()
}

func heapInUse() uint64 {
	s := []metrics.Sample{{Name: "/memory/classes/heap/objects:bytes"}}
	metrics.Read(s)
	return s[0].Value.Uint64()
}

// liveHeap is what the last collection has left, at most what is in use: a cell
// may have made much garbage since, when this goroutine had to wait.
func liveHeap() uint64 {
	s := []metrics.Sample{{Name: "/gc/heap/live:bytes"}}
	metrics.Read(s)
	return min(s[0].Value.Uint64(), heapInUse())
}

// watchMemory ends the run when the heap has grown by more than the limit.
func (r *run) watchMemory(finished <-chan struct{}) {
	tick := time.NewTicker(5 * time.Millisecond)
	defer tick.Stop()
	limit := uint64(r.m.opt.MemoryLimit)
	for {
		select {
		case <-finished:
			return
		case <-r.done():
			return
		case <-tick.C:
		}
		if heapInUse() < r.base+limit {
			continue
		}
		if stillHolds(r.base+limit, r.base+2*limit) {
			r.end(ErrMemory)
			return
		}
	}
}

// stillHolds says whether collections leave so many bytes. A collection counts
// what is made while it goes on as live, and goes on for long on a busy
// machine, so a single one may be wrong; but who holds far too much gets no
// time to fill the machine.
func stillHolds(bytes, farTooMuch uint64) bool {
	for range 3 {
		runtime.GC() // garbage is no reason to stop
		switch live := liveHeap(); {
		case live < bytes:
			return false
		case live >= farTooMuch:
			return true
		}
	}
	return true
}

// call runs a function of the image by name.
func (im *image) call(ctx context.Context, name string, args []reflect.Value) ([]reflect.Value, error) {
	c := im.byName[name]
	if c == nil {
		return nil, fmt.Errorf("the package has no function %s", name)
	}
	want := len(c.sig.params)
	if c.layout.recv != nil || len(args) != want {
		return nil, fmt.Errorf("%s takes %d arguments, got %d", name, want, len(args))
	}
	for i, d := range c.sig.params {
		if !args[i].IsValid() && d.cl == clIface {
			continue
		}
		if !args[i].IsValid() || !args[i].Type().AssignableTo(d.rt) {
			return nil, fmt.Errorf("argument %d of %s is not a %s", i+1, name, d.name)
		}
	}
	var out []reflect.Value
	err := im.m.within(ctx, func(t *thread) {
		fr := t.push(c)
		out = callWith(fr, c.sig, args)
	})
	if err != nil {
		return nil, err
	}
	for i, v := range out {
		if v.Kind() == reflect.Interface {
			out[i] = v.Elem()
		}
	}
	return out, nil
}
