package suite_test

import (
	"bytes"
	"errors"
	"fmt"
	"go/build"
	"go/parser"
	"go/token"
	"io/fs"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"patternkit/kernel/gocell"
	sandbox "patternkit/kernel/gocell/exec"
	"patternkit/kernel/gocell/symbols"
)

// A verdict is what became of one file of Go's own test folder.
type verdict int

const (
	passed  verdict = iota
	refused         // by name
	slow            // it did not end in time
	wrong           // it ran and did not do what Go does
)

// programLimit is how long a program may take; a few compute for minutes.
const programLimit = 10 * time.Second

// TestGoSuite runs the programs of $GOROOT/test that import only what a cell
// may: the file as one cell, a call of main as the next. Such a program
// panics when something is not as the language says. All of them take minutes,
// so without PATTERNKIT_FULL only every tenth is run.
func TestGoSuite(t *testing.T) {
	files := suiteFiles(t)
	if os.Getenv("PATTERNKIT_FULL") == "" {
		files = everyTenth(files)
	}
	counts := map[verdict]int{}
	reasons := map[string]int{}
	for _, file := range files {
		v, reason := runSuiteFile(t, file)
		counts[v]++
		switch v {
		case refused:
			reason, _, _ = strings.Cut(reason, "\n")
			reasons[reason]++
			t.Logf("%s refused: %s", filepath.Base(file), reason)
		case slow:
			t.Logf("%s did not end in %v", filepath.Base(file), programLimit)
		case wrong:
			t.Errorf("%s: %s", file, reason)
		}
	}
	t.Logf("%d programs: %d passed, %d refused, %d slow, %d wrong",
		len(files), counts[passed], counts[refused], counts[slow], counts[wrong])
	for _, reason := range slices.Sorted(maps.Keys(reasons)) {
		t.Logf("%4d refused: %s", reasons[reason], reason)
	}
	if share := float64(counts[passed]) / float64(len(files)); share < 0.9 {
		t.Errorf("%.1f %% of the programs pass, want at least 90 %%", share*100)
	}
}

func everyTenth(files []string) []string {
	var out []string
	for i := 0; i < len(files); i += 10 {
		out = append(out, files[i])
	}
	return out
}

// suiteFiles lists the programs, or skips where Go's test folder is absent.
func suiteFiles(t *testing.T) []string {
	t.Helper()
	needGo(t)
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		t.Fatal(err)
	}
	dir := filepath.Join(strings.TrimSpace(string(root)), "test")
	if _, err := os.Stat(dir); err != nil {
		t.Skipf("Go's own tests are not installed: %v", err)
	}
	var files []string
	err = filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() && strings.HasSuffix(path, ".go") && isRunnable(path) {
			files = append(files, path)
		}
		return err
	})
	if err != nil || len(files) < 100 {
		t.Fatalf("%d programs in %s: %v", len(files), dir, err)
	}
	return files
}

var runLine = regexp.MustCompile(`^// run( -gcflags\S*| -ldflags\S*)*\s*$`)

// isRunnable reports whether a file is a program of its own for this machine
// that imports only what a cell may.
func isRunnable(path string) bool {
	text, err := os.ReadFile(path)
	first, _, _ := strings.Cut(string(text), "\n")
	if err != nil || !runLine.MatchString(first) {
		return false
	}
	if ok, err := build.Default.MatchFile(filepath.Dir(path), filepath.Base(path)); err != nil || !ok {
		return false
	}
	file, err := parser.ParseFile(token.NewFileSet(), path, text, parser.ImportsOnly)
	if err != nil {
		return false
	}
	for _, spec := range file.Imports {
		imported, err := strconv.Unquote(spec.Path.Value)
		if err != nil || !symbols.Default().Allowed(imported) {
			return false
		}
	}
	return true
}

func runSuiteFile(t *testing.T, path string) (verdict, string) {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	s, err := newSession(&out)
	if err != nil {
		t.Fatal(err)
	}
	for _, cell := range []string{string(text), "main()"} {
		if err := evalFor(s, cell, programLimit); err != nil {
			return verdictOf(err), fmt.Sprintf("%v\n%s", err, lastLines(out.String(), 5))
		}
	}
	want, err := os.ReadFile(strings.TrimSuffix(path, ".go") + ".out")
	if err == nil && out.String() != string(want) {
		return wrong, firstDifference(out.String(), string(want))
	}
	return passed, ""
}

// verdictOf judges a program by how its cell stopped.
func verdictOf(err error) verdict {
	var e *gocell.Error
	var late sandbox.Unsupported
	switch {
	case errors.As(err, &late):
		return refused
	case !errors.As(err, &e):
		return wrong
	case e.Kind == gocell.Refused, e.Kind == gocell.Type, e.Kind == gocell.Syntax:
		return refused
	case e.Kind == gocell.Failed:
		return refused // the program drops an error on purpose, which stops a cell
	case e.Kind == gocell.Interrupted:
		return slow
	}
	return wrong
}
