package suite_test

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

var (
	howMany   = flag.Int("programs", 60, "how many random programs to compare")
	firstSeed = flag.Uint64("seed", 1, "the seed of the first random program")
	keepIn    = flag.String("keep", "", "folder to write programs that differ into")
)

const perBatch = 100

// Random programs print the same in cells as when compiled. Differences are
// shown with the seed; -seed N -programs 1 repeats one.
func TestRandomPrograms(t *testing.T) {
	needGo(t)
	var same, refused, differ int
	for done := 0; done < *howMany; done += perBatch {
		var batch []program
		for i := range min(perBatch, *howMany-done) {
			batch = append(batch, generate(*firstSeed+uint64(done+i)))
		}
		want := compiledOutput(t, batch)
		for i, p := range batch {
			got, err := cellOutput(p)
			switch {
			case err != nil:
				refused++
				t.Errorf("seed %d does not run: %v", p.seed, err)
			case got != want[i]:
				differ++
				t.Errorf("seed %d: %s", p.seed, firstDifference(got, want[i]))
			default:
				same++
				continue
			}
			keepProgram(t, p)
		}
	}
	t.Logf("%d programs: %d print the same, %d differ, %d do not run", same+differ+refused, same, differ, refused)
}

// FuzzRandomProgram looks for a seed whose program differs.
func FuzzRandomProgram(f *testing.F) {
	f.Add(uint64(1))
	f.Fuzz(func(t *testing.T, seed uint64) {
		needGo(t)
		p := generate(seed)
		got, err := cellOutput(p)
		if err != nil {
			t.Fatalf("seed %d does not run: %v", seed, err)
		}
		if want := compiledOutput(t, []program{p})[0]; got != want {
			t.Fatalf("seed %d: %s", seed, firstDifference(got, want))
		}
	})
}

func needGo(t *testing.T) {
	t.Helper()
	if _, err := exec.LookPath("go"); err != nil {
		t.Skip("needs the go command to compile the programs")
	}
}

const (
	startMark = "=== program"
	stopMark  = "stopped"
)

// compiledOutput compiles the programs as one and runs it.
func compiledOutput(t *testing.T, batch []program) []string {
	t.Helper()
	var b strings.Builder
	b.WriteString("package main\n\n" + programImports + useImports + prelude)
	for _, p := range batch {
		b.WriteString(p.decls)
	}
	b.WriteString("\nfunc main() {\n")
	for _, p := range batch {
		fmt.Fprintf(&b, "\tfmt.Println(%q)\n\treset()\n\tguard(%s)\n", startMark, p.entry)
	}
	fmt.Fprintf(&b, "}\n\nfunc guard(f func()) {\n\tdefer func() {\n\t\tif recover() != nil {\n"+
		"\t\t\tfmt.Println(%q)\n\t\t}\n\t}()\n\tf()\n}\n", stopMark)

	dir := t.TempDir()
	file := filepath.Join(dir, "main.go")
	if err := os.WriteFile(file, []byte(b.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), 5*time.Minute)
	defer cancel()
	cmd := exec.CommandContext(ctx, "go", "run", file)
	cmd.Dir = dir
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	stdout, err := cmd.Output()
	if err != nil {
		t.Fatalf("the compiled programs fail (%v):\n%.3000s", err, stderr.String())
	}
	parts := strings.Split(string(stdout), startMark+"\n")
	if len(parts) != len(batch)+1 {
		t.Fatalf("%d programs printed %d outputs", len(batch), len(parts)-1)
	}
	return parts[1:]
}

// cellOutput runs a program in a new session: its declarations in one cell and
// its statements in another.
func cellOutput(p program) (string, error) {
	var stdout bytes.Buffer
	s, err := newSession(&stdout)
	if err != nil {
		return "", err
	}
	statements := p.entry + "()"
	if p.statements != "" {
		statements = p.statements
	}
	for _, cell := range []string{programImports + prelude, p.decls, "reset()\n" + statements} {
		err := evalFor(s, cell, 30*time.Second)
		switch {
		case err == nil:
		case p.statements != "" && isPanic(err):
			fmt.Fprintln(&stdout, stopMark)
		default:
			return stdout.String(), errors.Join(err, errors.New(strings.TrimSpace(lastLines(stdout.String(), 3))))
		}
	}
	return stdout.String(), nil
}

func lastLines(s string, n int) string {
	lines := strings.Split(strings.TrimSpace(s), "\n")
	return strings.Join(lines[max(0, len(lines)-n):], "\n")
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
		if a != b {
			return fmt.Sprintf("line %d is\n\t%s\ncompiled it is\n\t%s", i+1, a, b)
		}
	}
	return "no difference"
}

// keepProgram writes a program that can be compiled and read on its own.
func keepProgram(t *testing.T, p program) {
	t.Helper()
	if *keepIn == "" {
		return
	}
	text := "package main\n\n" + programImports + useImports + prelude + p.decls +
		"\nfunc main() {\n\treset()\n\t" + p.entry + "()\n}\n"
	file := filepath.Join(*keepIn, fmt.Sprintf("seed%d.go", p.seed))
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}
