package gocell

import (
	"context"
	"strings"
	"testing"
	"unicode/utf8"
)

var seeds = []string{
	"1+1", "x := 3\nx", "func f[T any](a T) T { return a }", "type T struct { A int; b *T }\nvar t T\nt.A",
	"for i := range 3 {\n\tx += i\n}", "Body{Height: 168*CM}.Estimated()\n", "draft := func() Length { return 3*CM }\ndraft()",
	"import (\"fmt\"; . \"math\")\nfmt.Println(Sqrt(2))", "a, b := 1, \"ü\"\n/* c */ a // d", "s := `raw\nstring`", "package p\nvar a = b\nvar b = 1",
	"L:\nfor {\n\tbreak L\n}", "switch x := any(3).(type) {\ncase int:\n\t_ = x\n}", "DraftBodice(body, BodiceOptions{BustEase: 8*CM,", "x := := 3\ny.", "func (", "}{", "const (\nA = iota\nB\n)\nB",
	"defer func() { recover() }()", "go func() {}()", "var x, y = f()", "if err := f(); err != nil {", "//line a.go:7\nx", "type error int", "x := x", "_ = 3", "goto L\nL:\n1",
}

// Whatever is typed, a cell is accepted or refused in words, and a refusal points
// into the cell.
func FuzzAccept(f *testing.F) {
	for _, s := range seeds {
		f.Add(s)
	}
	s, err := New(Options{})
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, code string) {
		s.world = &world{}
		_, err := s.accept(context.Background(), 1, code)
		if err == nil {
			return
		}
		e := err.(*Error)
		if e.Kind == Internal {
			t.Fatalf("%s\n%s", e.Message, e.Stack())
		}
		lines := strings.Split(code, "\n")
		for _, p := range e.Positions {
			if p.Line < 1 || p.Line > len(lines) || p.Column < 1 || p.Column > utf8.RuneCountInString(lines[p.Line-1])+1 {
				t.Errorf("the error %q is at %d:%d, outside the cell", e.Message, p.Line, p.Column)
			}
		}
		if strings.Contains(strings.Join(e.Traceback(), "\n"), "·") && !strings.Contains(code, "·") {
			t.Errorf("internal names in %q", e.Traceback())
		}
	})
}

// Help can be asked for at any place of any text.
func FuzzHelp(f *testing.F) {
	for i, s := range seeds {
		f.Add(s, i*3)
	}
	s, err := New(Options{})
	if err != nil {
		f.Fatal(err)
	}
	mustRun(f, s, "body := 3\ntype T struct{ A int; b *T }\nfunc f() (int, error) { return 1, nil }")
	f.Fuzz(func(t *testing.T, code string, cursor int) {
		points := utf8.RuneCountInString(code)
		cursor = max(0, min(cursor, points))
		c := s.complete(code, cursor)
		if c.Start < 0 || c.Start > c.End || c.End > points {
			t.Errorf("the completion replaces %d to %d of %d", c.Start, c.End, points)
		}
		s.inspect(code, cursor, true)
		status, _ := s.IsComplete(code)
		if _, _, problem := split(code); status == "complete" && problem != nil {
			t.Errorf("complete, but %s", problem.message)
		}
	})
}
