package exec_test

import (
	"context"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	cells "patternkit/kernel/gocell/exec"
)

// TestSameAsGo runs the programs of testdata/programs with the executor and
// with go run: both must print the same on both outputs, and end alike.
func TestSameAsGo(t *testing.T) {
	needGo(t)
	files, _ := filepath.Glob("testdata/programs/*.go")
	if len(files) == 0 {
		t.Fatal("testdata/programs is empty")
	}
	for _, f := range files {
		t.Run(strings.TrimSuffix(filepath.Base(f), ".go"), func(t *testing.T) {
			path, err := filepath.Abs(f)
			if err != nil {
				t.Fatal(err)
			}
			compareWithGo(t, path)
		})
	}
}

func compareWithGo(t *testing.T, path string) {
	t.Helper()
	want, wantErr := goRun(t, path)
	if strings.HasPrefix(wantErr, "# ") {
		t.Fatalf("not a program: %s", wantErr)
	}
	ctx, cancel := context.WithTimeout(context.Background(), 20*time.Second)
	defer cancel()
	got := runProgram(ctx, cells.Options{}, path)
	if (got.err != nil) != (wantErr != "") {
		t.Errorf("ended with %v, compiled with %q", got.err, wantErr)
	}
	var p *cells.Panic
	if errors.As(got.err, &p) && !strings.Contains(wantErr, p.Error()) {
		t.Errorf("panicked with %q, compiled with %q", p.Error(), wantErr)
	}
	if got.stdout != want {
		t.Errorf("printed other than compiled Go:\n%s", firstDifference(got.stdout, want))
	}
}

func firstDifference(got, want string) string {
	g, w := strings.Split(got, "\n"), strings.Split(want, "\n")
	for i := range max(len(g), len(w)) {
		var a, b string
		if i < len(g) {
			a = g[i]
		}
		if i < len(w) {
			b = w[i]
		}
		if a != b || i >= len(g) || i >= len(w) {
			return "got  " + a + "\nwant " + b
		}
	}
	return ""
}

// goRun gives what a compiled program prints, and the end of its standard
// error when it failed.
func goRun(t *testing.T, path string) (stdout, failure string) {
	t.Helper()
	cmd := exec.Command("go", "run", path)
	cmd.Env = append(os.Environ(), "GOFLAGS=")
	var errs strings.Builder
	cmd.Stderr = &errs
	out, err := cmd.Output()
	if err != nil {
		failure = errs.String()
		if failure == "" {
			failure = err.Error()
		}
	}
	return string(out), failure
}
