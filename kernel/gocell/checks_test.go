package gocell

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"
)

// longToCheck declares structs of structs, each of two of the one before: the
// checker looks at each of 2^n fields.
func longToCheck(n int) string {
	var b strings.Builder
	b.WriteString("type T0 struct{}\n")
	for i := range n {
		fmt.Fprintf(&b, "type T%d struct{ a, b T%d }\n", i+1, i)
	}
	fmt.Fprintf(&b, "var x T%d\n1", n)
	return b.String()
}

// A check that takes long stops neither the interrupt nor, when it is over,
// the next cell; nothing of the interrupted cell is declared.
func TestInterruptOfACheck(t *testing.T) {
	s, err := New(Options{})
	if err != nil {
		t.Fatal(err)
	}
	mustRun(t, s, "kept := 42")
	for n := 20; ; n++ { // as long as this machine needs
		ctx, cancel := context.WithCancel(t.Context())
		time.AfterFunc(50*time.Millisecond, cancel)
		_, err := s.Eval(ctx, longToCheck(n))
		var e *Error
		if errors.As(err, &e) && strings.Contains(e.Message, "in the background") {
			if e.Kind != Interrupted {
				t.Errorf("kind %s", e.Kind)
			}
			break
		}
		if n == 40 {
			t.Fatalf("never interrupted; the last gives %v", err)
		}
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := s.Eval(ctx, "declared := 1"); err == nil {
		t.Error("a cell that was interrupted before it began has run")
	}
	if v, err := s.Eval(t.Context(), "kept"); err != nil || v[0] != 42 {
		t.Errorf("the next cell gives %v, %v", v, err)
	}
	if _, err := s.Eval(t.Context(), "declared"); err == nil {
		t.Error("an interrupted cell has declared something")
	}
}
