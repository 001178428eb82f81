package suite_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// A corpusCase is a row of cells and what they print together.
type corpusCase struct {
	name  string
	cells []string
	want  string
}

// TestCorpus runs the cells of every case of testdata/corpus in a new session.
func TestCorpus(t *testing.T) {
	files, err := filepath.Glob("testdata/corpus/*.txt")
	if err != nil || len(files) == 0 {
		t.Fatalf("no corpus: %v", err)
	}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range parseCorpus(t, string(text)) {
			t.Run(strings.TrimSuffix(filepath.Base(file), ".txt")+"/"+c.name, func(t *testing.T) {
				t.Parallel()
				if got := c.run(t); !corpusMatches(got, c.want) {
					t.Errorf("cells:\n%s\nprint\n%s\nwant\n%s", strings.Join(c.cells, "---\n"), got, c.want)
				}
			})
		}
	}
}

func parseCorpus(t *testing.T, text string) []corpusCase {
	t.Helper()
	var cases []corpusCase
	for _, part := range strings.Split("\n"+text, "\n== ")[1:] {
		name, rest, _ := strings.Cut(part, "\n")
		code, want, ok := strings.Cut(rest, "-- want\n")
		if !ok {
			t.Fatalf("corpus case %q has no -- want", name)
		}
		cases = append(cases, corpusCase{name, strings.Split(code, "---\n"), want})
	}
	return cases
}

func (c corpusCase) run(t *testing.T) string {
	t.Helper()
	var out bytes.Buffer
	s, err := newSession(&out)
	if err != nil {
		t.Fatal(err)
	}
	for _, cell := range append([]string{"import (\n\t\"fmt\"\n\t\"strconv\"\n)"}, c.cells...) {
		values, err := evalValues(s, cell, 20*time.Second)
		if n := out.Len(); n > 0 && out.Bytes()[n-1] != '\n' && (err != nil || len(values) > 0) {
			out.WriteByte('\n')
		}
		switch {
		case err != nil:
			fmt.Fprintf(&out, "! %s\n", strings.ReplaceAll(err.Error(), "\n", " "))
		case len(values) > 0:
			var shown []string
			for _, v := range values {
				shown = append(shown, fmt.Sprint(v))
			}
			fmt.Fprintf(&out, "= %s\n", strings.Join(shown, ", "))
		}
	}
	return out.String()
}

// corpusMatches compares line by line; an error and a note need to hold the
// wanted words.
func corpusMatches(got, want string) bool {
	g := strings.Split(strings.TrimRight(got, "\n"), "\n")
	w := strings.Split(strings.TrimRight(want, "\n"), "\n")
	if len(g) != len(w) {
		return false
	}
	for i := range w {
		words, isError := strings.CutPrefix(w[i], "! ")
		note, isNote := strings.CutPrefix(w[i], "~ ")
		switch {
		case isError && strings.HasPrefix(g[i], "! ") && strings.Contains(g[i], words):
		case isNote && strings.HasPrefix(g[i], "note: ") && strings.Contains(g[i], note):
		case strings.TrimRight(g[i], " ") != strings.TrimRight(w[i], " "):
			return false
		}
	}
	return true
}
