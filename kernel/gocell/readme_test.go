package gocell

import (
	"flag"
	"os"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "rewrite the list of refusals in README")

// TestReadmeListsRefusals keeps the list in README that of the code.
func TestReadmeListsRefusals(t *testing.T) {
	const path, from, to = "../../README.md", "<!-- refusals -->\n", "<!-- end of refusals -->"
	content, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	before, rest, ok1 := strings.Cut(string(content), from)
	listed, after, ok2 := strings.Cut(rest, to)
	if !ok1 || !ok2 {
		t.Fatalf("README has no place for the list: want %q and %q", from, to)
	}
	var want strings.Builder
	want.WriteString("| refused | because |\n|---|---|\n")
	for _, r := range Refusals {
		want.WriteString("| " + r.What + " | " + r.Why + " |\n")
	}
	switch {
	case listed == want.String():
	case *update:
		if err := os.WriteFile(path, []byte(before+from+want.String()+to+after), 0o644); err != nil {
			t.Fatal(err)
		}
	default:
		t.Errorf("README lists\n%s\nwant\n%s\nrewrite it with -update", listed, want.String())
	}
}
