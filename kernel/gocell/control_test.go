package gocell

import (
	"bytes"
	"context"
	"errors"
	"strings"
	"sync"
	"testing"
	"time"
)

// A buffer may be written by several goroutines.
type buffer struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (b *buffer) Write(p []byte) (int, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.b.Write(p)
}

func (b *buffer) String() string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.b.String()
}

func TestInterrupt(t *testing.T) {
	for _, code := range []string{
		"for {\n}",
		"for { n++ }",
		"<-make(chan int)",
		"select {}",
		"import `time`\ntime.Sleep(time.Hour)",
		"import `sync`\nvar mu sync.Mutex\nmu.Lock()\nmu.Lock()",
		"func loop() { loop2() }\nfunc loop2() { for { inc() } }\nloop()",
	} {
		s, err := New(Options{})
		if err != nil {
			t.Fatal(err)
		}
		mustRun(t, s, "n := 1\nfunc inc() int { n++; return n }\nget := func() int { return n }")
		ctx, cancel := context.WithCancel(context.Background())
		done := make(chan error)
		go func() {
			_, err := s.Eval(ctx, code)
			done <- err
		}()
		time.AfterFunc(20*time.Millisecond, cancel)
		err = <-done
		var e *Error
		if !errors.As(err, &e) || e.Kind != Interrupted || !errors.Is(err, context.Canceled) {
			t.Errorf("%q: got %v, want an interruption", code, err)
			continue
		}
		if v := mustRun(t, s, "n = 5\nget()*100 + inc()"); v[0] != 506 {
			t.Errorf("after %q: %v, want 506", code, v)
		}
	}
}

func TestGoroutineThatPanics(t *testing.T) {
	var out buffer
	s, err := New(Options{Stderr: &out})
	if err != nil {
		t.Fatal(err)
	}
	mustRun(t, s, "done := make(chan bool)\ngo func() {\n\tdefer close(done)\n\tvar list []int\n\t_ = list[2]\n}()\n<-done")
	for !strings.Contains(out.String(), "index out of range") {
		time.Sleep(time.Millisecond) // the report comes after the deferred call
	}
	if !strings.Contains(out.String(), "cell 1, line 5") {
		t.Errorf("the report lacks the place:\n%s", out.String())
	}
	if v := mustRun(t, s, "1+1"); v[0] != 2 {
		t.Errorf("after it: %v", v)
	}
}

func TestGoroutineWhoseCallFails(t *testing.T) {
	var out buffer
	s, err := New(Options{Stderr: &out})
	if err != nil {
		t.Fatal(err)
	}
	mustRun(t, s, "import `errors`\nfunc f() (int, error) { return 0, errors.New(`too narrow`) }\ngo func() {\n\tf()\n}()")
	for !strings.Contains(out.String(), "too narrow\n") {
		time.Sleep(time.Millisecond)
	}
	if !strings.Contains(out.String(), "cell 1, line 4") {
		t.Errorf("the report lacks the place:\n%s", out.String())
	}
}

func TestMemoryLimit(t *testing.T) {
	s, err := New(Options{MemoryLimit: 64 << 20})
	if err != nil {
		t.Fatal(err)
	}
	_, err = s.Eval(context.Background(), "var keep [][]byte\nfor { keep = append(keep, make([]byte, 1<<20)) }")
	var e *Error
	if !errors.As(err, &e) || e.Kind != Exhausted {
		t.Errorf("got %v, want the memory limit", err)
	}
	if v := mustRun(t, s, "keep = nil\n2"); v[0] != 2 {
		t.Errorf("after it: %v", v)
	}
}

func TestBindAndDo(t *testing.T) {
	var given func() any
	s, err := New(Options{Bind: map[string]any{
		"strings.ToUpper": func(s string) string { return "bound " + s },
		"sort.Slice":      func(x any, less func(i, j int) bool) { given = func() any { return less(0, 1) } },
	}})
	if err != nil {
		t.Fatal(err)
	}
	if v := mustRun(t, s, "import (\"strings\"; \"sort\"; \"errors\")\nstrings.ToUpper(`a`)"); v[0] != "bound a" {
		t.Errorf("got %v", v)
	}
	mustRun(t, s, "limit := 1\nfunc fail() (int, error) { return 0, errors.New(`from a callback`) }\nsort.Slice([]int{1}, func(i, j int) bool {\n\tif limit > 1 { return fail() > 0 }\n\treturn limit == 1\n})")
	var got any
	if err := s.Do(context.Background(), func() { got = given() }); err != nil || got != true {
		t.Errorf("the callback gave %v, %v", got, err)
	}
	mustRun(t, s, "limit := 2")
	err = s.Do(context.Background(), func() { got = given() })
	var e *Error
	if !errors.As(err, &e) || e.Kind != Failed || !strings.Contains(strings.Join(e.Traceback(), "\n"), "cell 2, line 4") {
		t.Errorf("got %v, want the error of the callback with its place:\n%s", err, strings.Join(e.Traceback(), "\n"))
	}
}

func TestRefused(t *testing.T) {
	runScripts(t, []script{
		{"methods that reach too far", []step{
			{code: "import (`gonum.org/v1/plot`; `gonum.org/v1/plot/vg`)\np := plot.New()\nx := vg.Length(3)"},
			{code: "p.Save(1, 1, `x.png`)", fails: "Save can't be used in a cell & cell 2, line 1"},
			{code: "f := p.Save", fails: "Save can't be used in a cell"},
			{code: "f := (*plot.Plot).Save", fails: "Save can't be used in a cell"},
			{code: "type W struct{ *plot.Plot }\nW{p}.Save(1, 1, `x`)", fails: "Save can't be used in a cell & line 2"},
			{code: "var s interface{ Save(w, h vg.Length, file string) error } = p", fails: "Save can't be used in a cell"},
			{code: "type saver interface{ Save(w, h vg.Length, file string) error }", fails: "Save can't be used in a cell"},
			{code: "type saver[X any] interface{ Save(w, h X, file string) error }", fails: "Save can't be used in a cell"},
			{code: "func save[X any, P interface{ Save(w, h X, file string) error }](p P, x X) error { return p.Save(x, x, `x`) }", fails: "Save can't be used in a cell"},
			{code: "func save[F any, P interface{ Save(w, h vg.Length, file F) error }](p P, file F) error { return p.Save(1, 1, file) }", fails: "Save can't be used in a cell"},
			{code: "type mine interface{ Save(name string) }"},
		}},
		{"methods of closed packages that a value is met with", []step{
			{code: "import (`encoding/json`; `errors`)\nm := map[string]any{}\nm[`m`] = m\n_, err := json.Marshal(m)\nvar u *json.UnsupportedValueError\nerrors.As(err, &u)", value: "true"},
			{code: "u.Value.Pointer()", fails: "Pointer can't be used in a cell & reach past"},
			{code: "var v any = u.Value\nv.(interface{ Pointer() uintptr }).Pointer()", fails: "Pointer of reflect.Value can't be used in a cell & line 2"},
			{code: "func where[P interface{ Pointer() uintptr }](p P) uintptr { return p.Pointer() }\nwhere(u.Value)", fails: "Pointer of reflect.Value can't be used in a cell"},
			{code: "func part[X any, P interface{ MapKeys() X }](p P) X { return p.MapKeys() }\npart(u.Value)", fails: "can't be used in a cell"},
			{code: "err.(interface{ Error() string }).Error() != ``", value: "true"},
		}},
		{"variables of packages", []step{
			{code: "import (`io`; `image/color`; `unicode`)\nmine := io.EOF\nmine = nil\nio.EOF.Error()", value: "EOF"},
			{code: "x := 1\nio.EOF = nil", fails: "EOF can't be set in a cell & package io & cell 2, line 2 & io.EOF = nil & ^^^"},
			{code: "func f() { (io.EOF), mine = nil, nil }", fails: "EOF can't be set & line 1"},
			{code: "func() {\n\tfor _, io.EOF = range []error{nil} {\n\t}\n}()", fails: "EOF can't be set & line 2"},
			{code: "p := &io.EOF", fails: "EOF can't be set in a cell, nor its address be taken & line 1"},
			{code: "color.Black.Y = 9", fails: "Black can't be set"},
			{code: "color.Black.Y++", fails: "Black can't be set"},
			{code: "color.Black.Y += 3", fails: "Black can't be set"},
			{code: "q := &color.Black.Y", fails: "Black can't be set"},
			{code: "unicode.Scripts[`Latin`] = nil", fails: "Scripts can't be set"},
			{code: "delete(unicode.Scripts, `Latin`)", fails: "Scripts can't be set"},
			{code: "unicode.Latin.R16[0].Lo = 3", fails: "Latin can't be set"},
			{code: "black := color.Black\nblack.Y = 9\nr := &black\n[]any{r.Y, color.Black.Y, len(unicode.Scripts) > 9}", value: "[9 0 true]"},
			{code: "io.EOF.Error()", value: "EOF"},
		}},
		{"input", []step{
			{code: "import `fmt`\nvar n int\nfmt.Scan(&n)", fails: "Scan & standard input & line 3"},
		}},
		{"functions without a body", []step{
			{code: "func f() int", fails: "cell 1, line 1"},
			{code: "1", value: "1"},
		}},
		{"packages", []step{
			{code: "import (\n\t`fmt`\n\t`os/exec`\n\t`net/http`\n)", fails: "line 3 & can't import \"os/exec\" & line 4 & can't import \"net/http\""},
		}},
	})
}

// Completion, help and cells may be asked for at the same time.
func TestConcurrentUse(t *testing.T) {
	s, err := New(Options{})
	if err != nil {
		t.Fatal(err)
	}
	fill(t, s, 3)
	var wg sync.WaitGroup
	for i := range 4 {
		wg.Go(func() {
			for range 10 {
				switch i {
				case 0:
					mustRun(t, s, "total0 := walk0(3)\nfunc extra() float64 { return total0 }\nextra()")
				case 1:
					s.Complete("s := Step0{}\ns.No", 17)
				case 2:
					s.Inspect("walk1(3)", 3, 1)
				case 3:
					s.IsComplete("for {")
				}
			}
		})
	}
	wg.Wait()
}
