package gocell

import (
	"context"
	"strings"
	"testing"
	"time"
)

// Compiled code may call back from goroutines of its own, where nobody takes
// a panic, nor a stop: neither may end the process.
func TestCallbacksOnOtherGoroutines(t *testing.T) {
	for _, c := range []struct{ name, imports, code, want string }{
		{"solver", "gonum.org/v1/gonum/optimize",
			"optimize.Minimize(optimize.Problem{Func: func(x []float64) float64 { return x[5] }}, []float64{1}, nil, nil)", "index out of range [5]"},
		{"solver that is stopped", "gonum.org/v1/gonum/optimize",
			"optimize.Minimize(optimize.Problem{Func: func(x []float64) float64 { for {} }}, []float64{1}, nil, nil)", "interrupted"},
		{"integral", "gonum.org/v1/gonum/integrate/quad",
			"quad.Fixed(func(x float64) float64 { var s []float64; return s[3] }, 0, 1, 10, nil, 4)", "index out of range [3]"},
		{"timer", "time", "time.AfterFunc(0, func() { panic(`no cloth`) }); time.Sleep(time.Hour)", "no cloth"},
		{"end of a context", "context",
			"ctx, end := context.WithCancel(context.Background()); context.AfterFunc(ctx, func() { panic(`no cloth`) }); end(); select {}", "no cloth"},
		{"group", "sync", "var g sync.WaitGroup; g.Go(func() { panic(`no cloth`) }); g.Wait(); select {}", "no cloth"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, err := New(Options{})
			if err != nil {
				t.Fatal(err)
			}
			ctx, cancel := context.WithCancel(t.Context())
			defer cancel()
			if c.want == "interrupted" {
				time.AfterFunc(200*time.Millisecond, cancel)
			}
			_, err = s.Eval(ctx, "import \""+c.imports+"\"\n"+c.code)
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("error %v, want one with %q", err, c.want)
			}
			if v, err := s.Eval(t.Context(), "40+2"); err != nil || v[0] != 42 {
				t.Errorf("the next cell gives %v, %v", v, err)
			}
		})
	}
}

// A timer that runs out while no cell runs has none to end.
func TestTimerBetweenCells(t *testing.T) {
	var told buffer
	s, err := New(Options{Stderr: &told})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if _, err := s.Eval(t.Context(), "import \"time\"\nended := make(chan bool)\ntime.AfterFunc(50*time.Millisecond, func() { defer close(ended); panic(`no cloth`) })"); err != nil {
		t.Fatal(err)
	}
	time.Sleep(200 * time.Millisecond)
	if _, err := s.Eval(t.Context(), "<-ended"); err != nil {
		t.Error(err)
	}
	if !strings.Contains(told.String(), "no cloth") {
		t.Errorf("told %q", told.String())
	}
}

// What calls itself by way of compiled code ends at a depth that the stack of
// a goroutine can hold.
func TestCallbacksNestedWithoutEnd(t *testing.T) {
	s, err := New(Options{})
	if err != nil {
		t.Fatal(err)
	}
	_, err = s.Eval(t.Context(), "import \"fmt\"\ntype T struct{}\nfunc (v T) String() string { return fmt.Sprint(v) }\nlen(T{}.String())")
	if err != nil && !strings.Contains(err.Error(), "nested too deep") {
		t.Error(err)
	}
	if v, err := s.Eval(t.Context(), "40+2"); err != nil || v[0] != 42 {
		t.Errorf("the next cell gives %v, %v", v, err)
	}
}
