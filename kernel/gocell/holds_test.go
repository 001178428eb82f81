package gocell

import (
	"context"
	"strings"
	"testing"
)

// Printing a value that holds itself would end the process, so it is refused.
func TestValuesThatHoldThemselves(t *testing.T) {
	s, err := New(Options{})
	if err != nil {
		t.Fatal(err)
	}
	mustRun(t, s, "import (`encoding/json`; `errors`; `fmt`; `strings`)\n"+`list := []any{nil}
list[0] = list
table := map[string]any{}
table["self"] = table
type L []L
own := L{nil}
own[0] = own
type P struct{ Next any }
p := &P{}
p.Next = []any{p}
type E struct{ inner error }
func (e *E) Error() string { return "e" }
func (e *E) Unwrap() error { return e.inner }
e := &E{}
e.inner = e
type Tree struct { Kids []*Tree; Up *Tree }
tree := &Tree{}
tree.Kids = []*Tree{{Up: tree}}
var many any
for range 40 { many = []any{many, many} }`)
	const itself, parts = "the value holds itself", "parts"
	for code, want := range map[string]string{
		"list":                     itself,
		"table":                    itself,
		"own":                      itself,
		"fmt.Sprint(list)":         itself,
		"fmt.Sprintf(`%v`, table)": itself,
		"fmt.Println(own)":         itself,
		"fmt.Fprintln(&strings.Builder{}, struct{ A any }{own})": itself,
		"fmt.Errorf(`%v`, list)":                                 itself,
		"panic(list)":                                            itself,
		"json.Marshal(p)":                                        "encountered a cycle",
		"json.Marshal(tree)":                                     "encountered a cycle",
		"json.Marshal(table)":                                    "encountered a cycle",
		"errors.Is(e, errors.New(`x`))":                          "nested too deep",
		"many":                                                   parts,
		"fmt.Sprint(many)":                                       parts,
	} {
		if _, err := s.Eval(context.Background(), code); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: got %v, want %q", code, err, want)
		}
	}
	for code, want := range map[string]any{
		"fmt.Sprintf(`%T`, list)":                                    "[]interface {}",
		"strings.HasPrefix(fmt.Sprint(tree), `&{[0x`)":               true,
		"fmt.Sprint([]any{1, []any{nil}, map[string]any{`a`: P{}}})": "[1 [<nil>] map[a:{<nil>}]]",
		"len(own)": 1,
	} {
		if v := mustRun(t, s, code); len(v) != 1 || v[0] != want {
			t.Errorf("%s: got %v, want %v", code, v, want)
		}
	}
}
