package patternkit

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"testing"
)

var update = flag.Bool("update", false, "rewrite the files under testdata that tests compare with")

// checkGolden compares got with a file under testdata, or rewrites it.
func checkGolden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if bytes.Equal(got, want) {
		return
	}
	g, w := bytes.Split(got, []byte("\n")), bytes.Split(want, []byte("\n"))
	for i := range max(len(g), len(w)) {
		if i >= len(g) || i >= len(w) || !bytes.Equal(g[i], w[i]) {
			t.Fatalf("%s differs at line %d:\n got %s\nwant %s\nrun go test ./patternkit -update and look at what changed",
				path, i+1, lineOf(g, i), lineOf(w, i))
		}
	}
}

func lineOf(lines [][]byte, i int) []byte {
	if i < len(lines) {
		return lines[i]
	}
	return []byte("(end of file)")
}
