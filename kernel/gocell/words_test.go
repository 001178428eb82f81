package gocell

import (
	"context"
	"errors"
	"strings"
	"testing"
)

// The method that words an error of a cell is a cell's too: whatever it does,
// the session lives and says so.
func TestErrorsThatCannotBeWorded(t *testing.T) {
	s, err := New(Options{MaxDepth: 1000, MemoryLimit: 64 << 20})
	if err != nil {
		t.Fatal(err)
	}
	mustRun(t, s, "import (`errors`; `fmt`)\n"+`type Deep struct{}
func (d Deep) Error() string { return d.Error() + "x" }
type Long struct{}
func (Long) Error() string { for {} }
type Again struct{}
func (Again) Error() string { panic(Again{}) }
type Large struct{}
func (Large) String() string { n := 1 << 40; return fmt.Sprint(make([]int, n)) }
func fail(e error) (int, error) { return 0, e }`)
	for code, want := range map[string]string{
		"panic(Deep{})": "can't be made: stack overflow",
		"panic(errors.Join(errors.New(`a`), Deep{}))": "can't be made: stack overflow",
		"panic(Long{})":         "takes too long to make",
		"panic(Again{})":        "can't be made: its method panics",
		"panic(Large{})":        "can't be made: out of memory",
		"panic([]any{Large{}})": "can't be made: out of memory",
		"fail(Deep{})":          "can't be made: stack overflow",
		"fail(fmt.Errorf(`hem: %w`, errors.New(`no`)))": "hem: no",
	} {
		_, err := s.Eval(context.Background(), code)
		var e *Error
		if !errors.As(err, &e) || !strings.Contains(e.Message, want) || len(e.Positions) == 0 {
			t.Errorf("%s: got %v, want %q with its place", code, err, want)
		}
	}
	if v := mustRun(t, s, "1+1"); v[0] != 2 {
		t.Errorf("afterwards: %v", v)
	}
}

// The names of our own that are taken out of messages are nobody else's words.
func TestMessagesAreWhole(t *testing.T) {
	s, err := New(Options{})
	if err != nil {
		t.Fatal(err)
	}
	for code, want := range map[string]string{
		"var list []int\nfunc f(s string) int { return list[s] }": "must be integer",
		"show(1)":          "undefined: show",
		"x := must + stop": "undefined: must",
	} {
		if _, err := s.Eval(context.Background(), code); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: got %v, want %q", code, err, want)
		}
	}
}
