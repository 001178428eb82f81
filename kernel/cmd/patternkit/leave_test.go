package main

import (
	"testing"

	"patternkit/kernel/notebook"
)

// Where nobody can leave, the words by which consoles are left are names like
// others: not declared at first.
func TestLeavingWithoutAConsole(t *testing.T) {
	s, err := newSession(t.TempDir(), stranger)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		code string
		fine bool
	}{{"exit", false}, {"quit", false}, {"exit := 3*CM", true}, {"exit", true}, {"quit", false}} {
		nb := notebook.Notebook{Cells: []notebook.Cell{{ID: "a", Type: notebook.Code, Source: c.code}}}
		if _, err := notebook.Run(t.Context(), nb, s.Session, notebook.RunOptions{}); (err == nil) != c.fine {
			t.Errorf("%s: %v", c.code, err)
		}
	}
}
