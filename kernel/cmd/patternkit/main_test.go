package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// program is the command, built as a user builds it.
var program string

func TestMain(m *testing.M) { os.Exit(testMain(m)) }

func testMain(m *testing.M) int {
	if os.Getenv("PATTERNKIT_FUZZED_KERNEL") != "" {
		if err := serveFuzzed(); err != nil {
			fmt.Fprintln(os.Stderr, err)
			return 1
		}
		return 0
	}
	dir, err := os.MkdirTemp("", "patternkit-command-")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	defer os.RemoveAll(dir)
	program = filepath.Join(dir, "patternkit")
	if out, err := exec.Command("go", "build", "-o", program, ".").CombinedOutput(); err != nil {
		fmt.Fprintf(os.Stderr, "building the command: %v\n%s", err, out)
		return 1
	}
	// Kernels that tests start leave the history of whoever runs them alone.
	os.Setenv("XDG_DATA_HOME", filepath.Join(dir, "data"))
	return m.Run()
}

// A ran is what a command said and how it ended.
type ran struct {
	stdout, stderr string
	status         int
}

// invoke runs the command in dir, with env added to its environment.
func invoke(t *testing.T, dir string, env []string, args ...string) ran {
	t.Helper()
	return runIn(t, dir, env, program, args...)
}

func runIn(t *testing.T, dir string, env []string, name string, args ...string) ran {
	t.Helper()
	c := exec.CommandContext(t.Context(), name, args...)
	c.Dir, c.Env = dir, append(os.Environ(), env...)
	var stdout, stderr bytes.Buffer
	c.Stdout, c.Stderr = &stdout, &stderr
	err := c.Run()
	var ended *exec.ExitError
	if err != nil && !errors.As(err, &ended) {
		t.Fatalf("%s %v: %v", name, args, err)
	}
	return ran{stdout.String(), stderr.String(), c.ProcessState.ExitCode()}
}

// ok fails the test unless the command went well.
func (r ran) ok(t *testing.T) ran {
	t.Helper()
	if r.status != 0 {
		t.Fatalf("exit status %d\n%s%s", r.status, r.stdout, r.stderr)
	}
	return r
}

// fails fails the test unless the command ended with status 1 and one line of
// error that says each of what.
func (r ran) fails(t *testing.T, what ...string) {
	t.Helper()
	if r.status != 1 {
		t.Errorf("exit status %d, want 1\n%s%s", r.status, r.stdout, r.stderr)
	}
	for _, w := range what {
		if !strings.Contains(r.stderr, w) {
			t.Errorf("stderr does not say %q:\n%s", w, r.stderr)
		}
	}
	if n := strings.Count(r.stderr, "patternkit: "); n != 1 {
		t.Errorf("stderr says it %d times, want once:\n%s", n, r.stderr)
	}
}

// says fails the test unless text holds each of what.
func says(t *testing.T, text string, what ...string) {
	t.Helper()
	for _, w := range what {
		if !strings.Contains(text, w) {
			t.Errorf("it does not say %q:\n%s", w, text)
		}
	}
}

func readFile(t *testing.T, parts ...string) []byte {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(parts...))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func write(t *testing.T, content []byte, parts ...string) string {
	t.Helper()
	path := filepath.Join(parts...)
	if err := os.WriteFile(path, content, 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// checkNotebook validates a notebook against the published schema of nbformat
// 4.5 (github.com/jupyter/nbformat, nbformat.v4.5.schema.json).
func checkNotebook(t *testing.T, content []byte) {
	t.Helper()
	schema, err := jsonschema.NewCompiler().Compile("../../notebook/testdata/nbformat.v4.5.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	value, err := jsonschema.UnmarshalJSON(bytes.NewReader(content))
	if err != nil {
		t.Fatal(err)
	}
	if err := schema.Validate(value); err != nil {
		t.Errorf("the notebook is not valid: %v", err)
	}
}

// filesOf lists a folder, hidden files too.
func filesOf(t *testing.T, dir string) []string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	return names
}

// lacking skips a test that needs what is not installed; with PATTERNKIT_FULL
// set it fails instead.
func lacking(t testing.TB, format string, args ...any) {
	t.Helper()
	if os.Getenv("PATTERNKIT_FULL") != "" {
		t.Fatalf("PATTERNKIT_FULL is set and "+format, args...)
	}
	t.Skipf(format, args...)
}
