package main

import (
	"fmt"
	"strings"
	"testing"
)

// A request for help at detail level 1 brings what a first one leaves out: the
// source of a cell's own function, the methods of a compiled type in words.
func TestInspectAtBothLevels(t *testing.T) {
	s, err := newSession(t.TempDir(), stranger)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.cells.Eval(t.Context(), "wide := func(l Length) Length { return 2 * l }"); err != nil {
		t.Fatal(err)
	}
	e := &evaluator{cells: s.cells}
	for code, want := range map[string]string{
		"wide":    "wide := func(l Length) Length { return 2 * l }",
		"Pattern": "Walk measures both sides of every seam",
	} {
		first, ok := e.Inspect(code, len(code), 0)
		second, okToo := e.Inspect(code, len(code), 1)
		if !ok || !okToo {
			t.Fatalf("nothing is known of %s", code)
		}
		for _, mime := range []string{"text/plain", "text/html"} {
			if plain := fmt.Sprint(first[mime]); strings.Contains(plain, want) {
				t.Errorf("%s, level 0: %s", code, plain)
			}
			if plain := fmt.Sprint(second[mime]); !strings.Contains(plain, want) {
				t.Errorf("%s, level 1, lacks %q: %s", code, want, plain)
			}
		}
	}
}
