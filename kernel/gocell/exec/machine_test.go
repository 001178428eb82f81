package exec_test

import (
	"context"
	"errors"
	"fmt"
	"io"
	"reflect"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"

	"golang.org/x/tools/go/ssa"

	cells "patternkit/kernel/gocell/exec"
)

// session commits versions of a package to one Machine, as a notebook does.
type session struct {
	t    *testing.T
	m    *cells.Machine
	im   *cells.Image
	out  strings.Builder
	errs []error
	mu   sync.Mutex
}

func newSession(t *testing.T, o cells.Options) *session {
	needGo(t)
	s := &session{t: t}
	o.Symbols = stdTable{}
	if o.Stdout == nil {
		o.Stdout = &s.out
	}
	o.OnGoroutine = func(err error) { s.mu.Lock(); s.errs = append(s.errs, err); s.mu.Unlock() }
	s.m = cells.New(o)
	return s
}

func (s *session) load(src string) (*ssa.Package, *cells.Image, error) {
	s.t.Helper()
	_, pkg, err := build("package main\n" + src)
	if err != nil {
		s.t.Fatal(err)
	}
	im, err := s.m.Load(pkg)
	return pkg, im, err
}

func (s *session) commit(src string) {
	s.t.Helper()
	_, im, err := s.load(src)
	if err != nil {
		s.t.Fatal(err)
	}
	s.m.Commit(im)
	s.im = im
}

func (s *session) call(fn string, args ...any) any {
	s.t.Helper()
	v, err := s.try(context.Background(), fn, args...)
	if err != nil {
		s.t.Fatalf("%s: %v", fn, err)
	}
	return v
}

func (s *session) try(ctx context.Context, fn string, args ...any) (any, error) {
	in := make([]reflect.Value, len(args))
	for i, a := range args {
		in[i] = reflect.ValueOf(a)
	}
	out, err := s.im.Call(ctx, fn, in...)
	if err != nil || len(out) == 0 || !out[0].IsValid() {
		return nil, err
	}
	return out[0].Interface(), nil
}

func (s *session) want(what string, got, want any) {
	s.t.Helper()
	if got != want {
		s.t.Errorf("%s: got %v, want %v", what, got, want)
	}
}

func TestDeclareAgain(t *testing.T) {
	s := newSession(t, cells.Options{})
	s.commit(`var ease int; var fn func() int
func scale(x int) int { return x * ease }
func set() { ease = 3; fn = func() int { return scale(10) } }
func get() int { return fn() }`)
	s.call("set")
	s.want("first", s.call("get"), 30)
	// A new scale: the closure made before calls it; ease keeps its value.
	s.commit(`var ease int; var fn func() int
func scale(x int) int { return x + ease }
func get() int { return fn() }`)
	s.want("after scale changed", s.call("get"), 13)
	// ease has another type: it starts anew, and the old closure keeps the old one.
	s.commit(`var ease float64; var fn func() int
func scale(x int) int { return x + 100 }
func get() int { return fn() }
func read() float64 { return ease }`)
	s.want("after ease changed", s.call("get"), 110)
	s.want("new ease", s.call("read"), 0.0)
	// Another signature: a call checked against the old one stops and says so.
	s.commit(`var fn func() int
func scale(x, y int) int { return x }
func get() int { return fn() }`)
	_, err := s.try(context.Background(), "get")
	var no cells.Unsupported
	if !errors.As(err, &no) || !strings.Contains(err.Error(), "scale was declared again with another signature") {
		t.Errorf("call of a function with a new signature: %v", err)
	}
}

func TestTypeDeclaredAgain(t *testing.T) {
	s := newSession(t, cells.Options{})
	s.commit(`type P struct{ X, Y int }
func (p P) Area() int { return p.X * p.Y }
var v P; var a any
func set() { v = P{2, 3}; a = v }`)
	s.call("set")
	// The method changes, the type does not: values live on and use it.
	s.commit(`type P struct{ X, Y int }
func (p P) Area() int { return p.X + p.Y }
var v P; var a any
func area() int { return v.Area() + a.(interface{ Area() int }).Area() }
func is() bool { _, ok := a.(P); return ok }`)
	s.want("area", s.call("area"), 10)
	s.want("same type", s.call("is"), true)
	// The type changes: the variable starts anew, the old value is of another type.
	s.commit(`type P struct{ X, Y, Z int }
func (p P) Area() int { return -1 }
var v P; var a any
func zero() bool { return v == P{} }
func is() bool { _, ok := a.(P); return ok }
func old() int { return a.(interface{ Area() int }).Area() }`)
	s.want("new variable", s.call("zero"), true)
	s.want("old value has the new type", s.call("is"), false)
	s.want("method of the old value", s.call("old"), 5)
}

func TestFailedLoadChangesNothing(t *testing.T) {
	s := newSession(t, cells.Options{})
	s.commit("var n int\nfunc f() int { n++; return n }")
	s.call("f")
	pkg, _, err := s.load("import \"unsafe\"\nvar n int\nfunc f() int { p := unsafe.Pointer(&n); return *(*int)(p) }\nfunc g() { var q unsafe.Pointer; _ = q }")
	var no cells.Refusals
	if !errors.As(err, &no) || len(no) == 0 {
		t.Fatalf("unsafe was not refused: %v", err)
	}
	if p := pkg.Prog.Fset.Position(no[0].Pos); p.Line != 4 || no[0].What != "unsafe.Pointer cannot be used in a cell" {
		t.Errorf("refused at %v: %s", p, no[0].What)
	}
	s.want("f afterwards", s.call("f"), 2)
}

func TestGlobals(t *testing.T) {
	s := newSession(t, cells.Options{})
	s.commit(`type T struct{ n int }
func (t T) String() string { return "T!" }
var x = 5; var v T; var e error
func set() { x = 7; v = T{1} }`)
	s.call("set")
	x, ok := s.m.Global("x")
	if !ok || x.Int() != 7 {
		t.Errorf("x is %v, %v", x, ok)
	}
	v, ok := s.m.GlobalAny("v")
	if str, is := v.(fmt.Stringer); !ok || !is || str.String() != "T!" {
		t.Errorf("v is %v", v)
	}
	if b, ok := cells.Unbox(v); !ok || b.TypeString() != "main.T" {
		t.Errorf("v is no boxed main.T: %v", v)
	}
	if e, ok := s.m.GlobalAny("e"); !ok || e != nil {
		t.Errorf("e is %v, %v", e, ok)
	}
	if _, ok := s.m.Global("none"); ok {
		t.Error("found a variable that nobody declared")
	}
	s.m.Forget("x")
	s.commit("var x int\nfunc get() int { return x }")
	s.want("a forgotten variable", s.call("get"), 0)
}

func TestInterrupt(t *testing.T) {
	endless := map[string]string{
		"for loop":        "func f() { for {} }",
		"busy loop":       "func f() { n := 0; for { n++ } }",
		"goto":            "func f() { n := 0\nl: n++; goto l }",
		"recursion":       "func g(n int) { if n > 0 { g(n-1); g(n-1) } }\nfunc f() { g(90) }",
		"receive":         "func f() { <-make(chan int) }",
		"receive struct":  "func f() { <-make(chan struct{a string}) }",
		"receive nil":     "func f() { var c chan struct{}; <-c }",
		"send":            "func f() { make(chan float64) <- 1 }",
		"select":          "func f() { a, b := make(chan int), make(chan string); select { case <-a: case b <- \"\": } }",
		"empty select":    "func f() { select {} }",
		"range channel":   "func f() { for range make(chan int) {} }",
		"sleep":           "import \"time\"\nfunc f() { time.Sleep(time.Hour) }",
		"callback":        "import \"sort\"\nfunc f() { sort.Search(10, func(int) bool { for {} }) }",
		"recover":         "func g() { defer func() { recover() }(); for {} }\nfunc f() { for { g() } }",
		"deferred loop":   "func f() { defer func() { for {} }(); for {} }",
		"stringer":        "import \"fmt\"\ntype T int\nfunc (T) String() string { for {} }\nfunc f() { for { fmt.Println(T(1)) } }",
		"iterator":        "func f() { for range func(yield func() bool) { for yield() {} } {} }",
		"compiled blocks": "import \"sync\"\nfunc f() { var mu sync.Mutex; mu.Lock(); mu.Lock() }",
	}
	for name, src := range endless {
		t.Run(name, func(t *testing.T) {
			s := newSession(t, cells.Options{Stdout: io.Discard})
			s.commit(src + "\nfunc ok() int { return 1 }")
			ctx, cancel := context.WithCancel(context.Background())
			time.AfterFunc(20*time.Millisecond, cancel)
			_, err := s.try(ctx, "f")
			var stopped *cells.Stopped
			if !errors.As(err, &stopped) || !errors.Is(err, context.Canceled) {
				t.Fatalf("got %v", err)
			}
			if stopped.Abandoned != (name == "compiled blocks") {
				t.Errorf("abandoned: %v", stopped.Abandoned)
			}
			s.want("a later call", s.call("ok"), 1)
		})
	}
}

func TestDeferredRunOnInterrupt(t *testing.T) {
	s := newSession(t, cells.Options{})
	s.commit(`var log string
func f() { defer func() { log += "outer "; recover() }(); defer func() { log += "inner " }(); for {} }
func read() string { return log }`)
	ctx, cancel := context.WithTimeout(context.Background(), 20*time.Millisecond)
	defer cancel()
	if _, err := s.try(ctx, "f"); !errors.Is(err, context.DeadlineExceeded) {
		t.Fatal(err)
	}
	s.want("deferred", s.call("read"), "inner outer ")
}

func TestStop(t *testing.T) {
	wanted := errors.New("no sleeve fits")
	s := newSession(t, cells.Options{Bind: map[string]reflect.Value{
		"os.Getenv": reflect.ValueOf(func(string) string { cells.Stop(wanted); return "" }),
	}})
	s.commit(`import "os"
var log string
func g() { defer func() { recover(); log += "deferred" }(); os.Getenv("x"); log += "after" }
func f() { g(); log += "after g" }
func read() string { return log }`)
	_, err := s.try(context.Background(), "f")
	var stopped *cells.Stopped
	if !errors.As(err, &stopped) || stopped.Err != wanted {
		t.Fatalf("got %v", err)
	}
	if len(stopped.Stack) != 2 || stopped.Stack[0].Function != "g" || stopped.Stack[0].Position.Line != 4 {
		t.Errorf("stack %+v", stopped.Stack)
	}
	s.want("deferred", s.call("read"), "deferred")
}

func TestLimits(t *testing.T) {
	times := func(a []reflect.Value) float64 { return float64(a[0].Len()) * float64(a[1].Int()) }
	s := newSession(t, cells.Options{MemoryLimit: 200 << 20, Size: func(name string) func([]reflect.Value) float64 {
		if name == "strings.Repeat" || name == "bytes.Repeat" {
			return times
		}
		return nil
	}})
	s.commit(`import "bytes"
import "sort"
import "strings"
type T struct{ next *T; b [100]string }
func deep(n int) int { return deep(n+1) + 1 }
func callback(n int) int { return sort.Search(5, func(i int) bool { return callback(n+1) > 0 }) }
func method() { var f func(any); f = func(x any) { f(x) }; f(1) }
func huge() int { n := 1 << 40; return len(make([]int, n)) }
func hugeMap() int { n := 1 << 45; return len(make(map[int]int, n)) }
func grow() { var l *T; for { l = &T{next: l} } }
func repeat() int { return len(strings.Repeat("ab", 1<<40)) }
func repeatBytes() int { return len(bytes.Repeat([]byte("ab"), 1<<40)) }
func double() { s := "x"; for { s += s } }
func slice() { var s [][]byte; for { s = append(s, make([]byte, 1<<20)) } }
func garbage() int { n := 0; for i := 0; i < 3000; i++ { n += len(make([]byte, 1<<20)) }; return n }
func ok() int { return 1 }`)
	for fn, want := range map[string]error{
		"deep": cells.ErrDepth, "callback": cells.ErrDepth, "method": cells.ErrDepth,
		"huge": cells.ErrMemory, "hugeMap": cells.ErrMemory,
		"repeat": cells.ErrMemory, "repeatBytes": cells.ErrMemory, "grow": cells.ErrMemory, "double": cells.ErrMemory, "slice": cells.ErrMemory,
	} {
		var args []any
		if fn == "deep" || fn == "callback" {
			args = []any{1}
		}
		if _, err := s.try(context.Background(), fn, args...); !errors.Is(err, want) {
			t.Errorf("%s: %v, want %v", fn, err, want)
		}
		s.want("after "+fn, s.call("ok"), 1)
		runtime.GC()
	}
	s.want("garbage", s.call("garbage"), 3000<<20)
}

// A value that no cell can hold is refused before anything of it is made.
func TestTooLargeTypesAreRefused(t *testing.T) {
	for _, src := range []string{
		"var a [1 << 40]byte", "func f() int { return len(make([]byte, 1<<40)) }", "func f() *[1 << 28]int { return new([1 << 28]int) }",
		"type T struct{ a, b [150 << 20]byte }\nfunc f() *T { return &T{} }",
	} {
		s := newSession(t, cells.Options{MemoryLimit: 200 << 20})
		if _, _, err := s.load(src); err == nil || !strings.Contains(err.Error(), "more than a cell may fill") && !strings.Contains(err.Error(), "too large") {
			t.Errorf("%s: %v", src, err)
		}
	}
}

func TestGoroutines(t *testing.T) {
	s := newSession(t, cells.Options{})
	s.commit(`var c = make(chan int); var n int
func setup() { c = make(chan int, 1) }
func bad() { go func() { defer func() { c <- 1 }(); var m map[string]int; m["a"] = 1 }(); <-c }
func forever() {
	up := make(chan bool)
	go func() { defer func() { c <- 2 }(); close(up); for {} }()
	<-up // stopped before it defers, it would run nothing
}
func wait() int { return <-c }`)
	s.call("setup")
	s.call("bad")
	for range 100 {
		s.mu.Lock()
		n := len(s.errs)
		s.mu.Unlock()
		if n > 0 {
			break
		}
		time.Sleep(time.Millisecond)
	}
	s.mu.Lock()
	var p *cells.Panic
	if len(s.errs) != 1 || !errors.As(s.errs[0], &p) || !strings.Contains(p.Error(), "assignment to entry in nil map") {
		t.Errorf("told of %v", s.errs)
	}
	s.mu.Unlock()
	s.call("forever")
	s.m.StopAll(errors.New("restart"))
	s.want("a stopped goroutine ran its deferred call", s.call("wait"), 2)
}

func TestPanicStack(t *testing.T) {
	s := newSession(t, cells.Options{})
	s.commit(`import "sort"
func g(n int) int {
	s := []int{1}
	return s[n]
}
func f() { defer func() {}(); g(3) }
func h() { sort.Slice([]int{2, 1}, func(i, j int) bool { return g(i+5) > 0 }) }`)
	_, err := s.try(context.Background(), "f")
	var p *cells.Panic
	if !errors.As(err, &p) || err.Error() != "panic: runtime error: index out of range [3] with length 1" {
		t.Fatalf("got %v", err)
	}
	var at []string
	for _, fr := range p.Stack {
		at = append(at, fmt.Sprint(fr.Function, ":", fr.Position.Line))
	}
	s.want("stack", strings.Join(at, " "), "g:5 f:7")
	if _, err = s.try(context.Background(), "h"); !errors.As(err, &p) {
		t.Fatalf("got %v", err)
	}
	at = nil
	for _, fr := range p.Stack {
		at = append(at, fmt.Sprint(fr.Function, ":", fr.Position.Line))
	}
	s.want("stack through compiled code", strings.Join(at, " "), "g:5 h$1:8 h:8")
}

// shown is an interface of compiled code that cell types satisfy.
type shown interface {
	SVG() string
	JSON() map[string]any
}

func TestShownByMethods(t *testing.T) {
	s := newSession(t, cells.Options{})
	s.commit(`type T struct{ n int }
func (t T) SVG() string { return "<svg/>" }
func (t T) JSON() map[string]any { return map[string]any{"n": t.n} }
func (t *T) PNG() []byte { return []byte{1, 2} }
func value() any { return T{3} }
func pointer() any { return &T{4} }
func plain() any { return struct{ A int }{5} }
func numbers() any { return []float64{1, 2} }`)
	v := s.call("value")
	if x, ok := v.(shown); !ok || x.SVG() != "<svg/>" || x.JSON()["n"] != 3 {
		t.Errorf("value is %T", v)
	}
	if _, ok := v.(interface{ PNG() []byte }); ok {
		t.Error("the value has the pointer's method")
	}
	if _, ok := v.(fmt.Stringer); ok {
		t.Error("the value has a method that its type lacks")
	}
	if x, ok := s.call("pointer").(interface{ PNG() []byte }); !ok || len(x.PNG()) != 2 {
		t.Error("the pointer cannot be shown as PNG")
	}
	s.want("faithful struct", s.call("plain"), struct{ A int }{5})
	if x, ok := s.call("numbers").([]float64); !ok || len(x) != 2 {
		t.Error("a slice of numbers is not what it is")
	}
}

func TestDoGivesClosuresTheContext(t *testing.T) {
	s := newSession(t, cells.Options{})
	s.commit("func get() func() any { n := 0; return func() any { n++; for n > 1 {}; return n } }")
	f := s.call("get").(func() any)
	s.want("outside a call", f(), 1)
	ctx, cancel := context.WithTimeout(context.Background(), 20*time.Millisecond)
	defer cancel()
	if err := s.m.Do(ctx, func() { f() }); !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("got %v", err)
	}
}

// Loading and calling the same package again and again keeps nothing of the
// earlier ones alive.
func TestMemoryIsFlat(t *testing.T) {
	s := newSession(t, cells.Options{})
	cell := `import "fmt"
type P struct{ X, Y float64; next *P; m map[string]P }
func (p P) String() string { return fmt.Sprint(p.X) }
var keep []P
func f() string { p := P{X: 1}; keep = []P{p}; return fmt.Sprint(p, keep) }`
	heap := func() uint64 {
		runtime.GC()
		runtime.GC()
		var ms runtime.MemStats
		runtime.ReadMemStats(&ms)
		return ms.HeapAlloc
	}
	for range 20 {
		s.commit(cell)
		s.call("f")
	}
	before := heap()
	for range 100 {
		s.commit(cell)
		s.call("f")
	}
	if after := heap(); after > before+2<<20 {
		t.Errorf("the heap grew from %d to %d bytes in 100 cells", before, after)
	}
}
