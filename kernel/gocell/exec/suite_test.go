package exec_test

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"sort"
	"strings"
	"testing"
	"time"

	cells "patternkit/kernel/gocell/exec"
)

// suiteDir is the test folder of the installed Go.
func suiteDir(t *testing.T) string {
	needGo(t)
	out, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		t.Skip("the go tool does not say where it is")
	}
	dir := filepath.Join(strings.TrimSpace(string(out)), "test")
	if _, err := os.Stat(dir); err != nil {
		t.Skipf("this Go has no test folder: %v", err)
	}
	return dir
}

// TestGoSuite runs Go's own test programs. Each must end without a panic and
// print what its .out file holds, or be refused.
func TestGoSuite(t *testing.T) {
	if testing.Short() {
		t.Skip("runs some thousand programs")
	}
	dir := suiteDir(t)
	only := os.Getenv("EXEC_SUITE_ONLY")
	var passed int
	var refused, wrong, slow, outside []string
	reasons := map[string]int{}
	filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || only != "" && !strings.Contains(path, only) {
			return nil
		}
		src, err := os.ReadFile(path)
		if err != nil || !strings.HasPrefix(string(src), "// run\n") && !strings.HasPrefix(string(src), "// run\r\n") {
			return nil
		}
		name, _ := filepath.Rel(dir, path)
		verdict, why := runSuiteProgram(path)
		switch verdict {
		case "passed":
			passed++
		case "slow":
			slow = append(slow, name)
		case "outside":
			outside = append(outside, name)
		case "refused":
			refused = append(refused, name+": "+why)
			first, _, _ := strings.Cut(why, "\n")
			reasons[first]++
		case "wrong":
			wrong = append(wrong, name+": "+why)
		}
		return nil
	})
	for _, r := range refused {
		t.Log("refused: ", r)
	}
	var list []string
	for r := range reasons {
		list = append(list, r)
	}
	sort.Slice(list, func(i, j int) bool { return reasons[list[i]] > reasons[list[j]] })
	for _, r := range list {
		t.Logf("%4d times %s", reasons[r], r)
	}
	for _, w := range wrong {
		t.Error("wrong: ", w)
	}
	t.Logf("not ended within %v: %v", suiteLimit, slow)
	t.Logf("%d passed, %d refused, %d wrong, %d too slow, %d import other packages or are not for this system", passed, len(refused), len(wrong), len(slow), len(outside))
}

func runSuiteProgram(path string) (verdict, why string) {
	ctx, cancel := context.WithTimeoutCause(context.Background(), suiteLimit, errSlow)
	defer cancel()
	r := runProgram(ctx, cells.Options{MemoryLimit: 2 << 30}, path)
	var no cells.Refusals
	var late cells.Unsupported
	switch {
	case errors.As(r.err, &no):
		return "refused", no.Error()
	case errors.Is(r.err, errLowering):
		return "refused", errLowering.Error()
	case errors.Is(r.err, errNotOffered) || r.err != nil && strings.Contains(r.err.Error(), errNotOffered.Error()):
		return "outside", ""
	case errors.Is(r.err, errSlow):
		return "slow", ""
	case errors.Is(r.err, cells.ErrDepth), errors.Is(r.err, cells.ErrMemory), errors.As(r.err, &late):
		return "refused", r.err.Error()
	case r.err != nil:
		why := r.err.Error()
		var p *cells.Panic
		if errors.As(r.err, &p) {
			for _, f := range p.Stack[:min(4, len(p.Stack))] {
				why += "\n\t" + f.Function + " " + f.Position.String()
			}
		}
		return "wrong", why + "\n" + tail(r.stdout+r.stderr)
	}
	want, err := os.ReadFile(strings.TrimSuffix(path, ".go") + ".out")
	if err != nil {
		// Without a file of outputs a program prints only to complain, or
		// what nobody compares.
		return "passed", ""
	}
	if got := r.both; got != string(want) {
		return "wrong", "printed other than its .out file: " + tail(got)
	}
	return "passed", ""
}

var errSlow = errors.New("the time of this program is over")

const suiteLimit = 10 * time.Second

func tail(s string) string {
	lines := strings.Split(s, "\n")
	return strings.Join(slices.Clone(lines[max(0, len(lines)-6):]), "\n")
}
