package gocell

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"
)

// A step is one cell and what is expected of it.
type step struct {
	code  string
	value string // the values of the last expression, as fmt prints them, joined by ", "
	print string // what it prints, standard output and standard error together
	fails string // parts of the error, joined by " & "; empty when the cell must run
}

// A script is a session: cells one after the other.
type script struct {
	name  string
	steps []step
}

func runScripts(t *testing.T, scripts []script) {
	t.Helper()
	for _, sc := range scripts {
		t.Run(sc.name, func(t *testing.T) {
			var out strings.Builder
			s, err := New(Options{Stdout: &out, Stderr: &out})
			if err != nil {
				t.Fatal(err)
			}
			for i, st := range sc.steps {
				out.Reset()
				values, err := s.Eval(context.Background(), st.code)
				checkStep(t, i+1, st, values, err, out.String())
			}
		})
	}
}

func checkStep(t *testing.T, number int, st step, values []any, err error, printed string) {
	t.Helper()
	where := fmt.Sprintf("cell %d %q", number, st.code)
	if st.fails != "" {
		if err == nil {
			t.Fatalf("%s: gave %q, want an error with %q", where, show(values), st.fails)
		}
		var e *Error
		if !errors.As(err, &e) {
			t.Fatalf("%s: the error is a %T, want *Error", where, err)
		}
		story := strings.Join(e.Traceback(), "\n")
		for _, part := range strings.Split(st.fails, " & ") {
			if !strings.Contains(story, part) {
				t.Errorf("%s: error lacks %q:\n%s", where, part, story)
			}
		}
		if strings.Contains(story, "·") {
			t.Errorf("%s: internal names in the error:\n%s", where, story)
		}
	} else if err != nil {
		var e *Error
		if errors.As(err, &e) {
			t.Fatalf("%s: %s", where, strings.Join(e.Traceback(), "\n"))
		}
		t.Fatalf("%s: %v", where, err)
	}
	if got := show(values); got != st.value {
		t.Errorf("%s: value %q, want %q", where, got, st.value)
	}
	if st.print != "*" && printed != st.print && !(strings.HasSuffix(st.print, "*") && strings.HasPrefix(printed, strings.TrimSuffix(st.print, "*"))) {
		t.Errorf("%s: printed %q, want %q", where, printed, st.print)
	}
}

func show(values []any) string {
	var parts []string
	for _, v := range values {
		parts = append(parts, fmt.Sprint(v))
	}
	return strings.Join(parts, ", ")
}

func TestCells(t *testing.T) {
	runScripts(t, []script{
		{"last expression", []step{
			{code: "1+1", value: "2"},
			{code: "x := 2"},
			{code: "x", value: "2"},
			{code: "x*21 // comment", value: "42"},
			{code: "// nothing"},
			{code: ""},
			{code: "nil", value: "<nil>"},
			{code: "func() (int, string) { return 1, `a` }()", value: "1, a"},
			{code: "func() {}()"},
			{code: "x; x+1", fails: "not used"},
			{code: "'a'", value: "97"},
			{code: "[]int{1,2,3}", value: "[1 2 3]"},
		}},
		{"statements", []step{
			{code: "import \"fmt\"\nfor i := range 3 {\n\tfmt.Println(i)\n}", print: "0\n1\n2\n"},
			{code: "if true { fmt.Print(`yes`) } else { fmt.Print(`no`) }", print: "yes"},
			{code: "switch { case 2 > 1: fmt.Print(`two`); fallthrough; case false: fmt.Print(`three`); default: fmt.Print(`none`) }", print: "twothree"},
		}},
		{"trailing error", []step{
			{code: "import (`errors`; `fmt`)"},
			{code: "func half(n int) (int, error) {\n\tif n%2 != 0 { return 0, fmt.Errorf(`%d is odd`, n) }\n\treturn n/2, nil\n}"},
			{code: "a := half(8)\na", value: "4"},
			{code: "half(half(8))", value: "2"},
			{code: "half(half(6))", fails: "3 is odd & half(half(6)) & cell 5, line 1"},
			{code: "v, err := half(3)\nv, err", fails: "expected 1 expression & cell 6, line 2"},
			{code: "v, err := half(3)\nerr", value: "3 is odd"},
			{code: "f := func() int { return half(7) }"},
			{code: "f()", fails: "7 is odd & cell 8, line 1, in f:"},
			{code: "half(5)\na", fails: "5 is odd"},
			{code: "func onlyErr(b bool) error { if b { return errors.New(`only`) }; return nil }"},
			{code: "onlyErr(false)"},
			{code: "onlyErr(true)", fails: "only"},
			{code: "onlyErr(true)\n1", fails: "only"},
			{code: "_ = onlyErr(true)"},
		}},
	})
}
