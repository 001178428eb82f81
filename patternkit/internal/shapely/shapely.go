// Package shapely asks Debian's python3-shapely for the tests, as a second
// opinion on geometry.
package shapely

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"testing"
)

// Run hands asked to a Python script as JSON on its input and reads its output
// into answer. It returns false where there is no shapely, and fails the test
// there when PATTERNKIT_FULL is set.
func Run(t testing.TB, script string, asked, answer any) bool {
	t.Helper()
	in, err := json.Marshal(asked)
	if err != nil {
		t.Fatal(err)
	}
	// Debian's own Python has Debian's shapely; another may come first.
	for _, python := range []string{"python3", "/usr/bin/python3"} {
		if exec.Command(python, "-c", "import shapely").Run() != nil {
			continue
		}
		run := exec.Command(python, "-c", script)
		run.Stdin, run.Stderr = bytes.NewReader(in), os.Stderr
		out, err := run.Output()
		if err != nil {
			t.Fatal(err)
		}
		if err := json.Unmarshal(out, answer); err != nil {
			t.Fatal(err)
		}
		return true
	}
	if os.Getenv("PATTERNKIT_FULL") != "" {
		t.Fatal("python3-shapely is not installed, and PATTERNKIT_FULL asks for it")
	}
	return false
}
