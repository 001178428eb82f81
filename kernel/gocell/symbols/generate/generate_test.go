package main

import (
	"bytes"
	"go/parser"
	"go/token"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"patternkit/kernel/gocell/symbols/policy"
)

func needGo(t *testing.T) {
	t.Helper()
	if _, err := exec.LookPath("go"); err != nil {
		t.Skip("needs the go command")
	}
}

func TestTwoRunsWriteTheSame(t *testing.T) {
	needGo(t)
	first, second := t.TempDir(), t.TempDir()
	for _, dir := range []string{first, second} {
		if err := run(dir, nil); err != nil {
			t.Fatal(err)
		}
	}
	files, err := os.ReadDir(first)
	if err != nil {
		t.Fatal(err)
	}
	if want := len(policy.Groups) + 4; len(files) != want {
		t.Errorf("%d files written, want %d", len(files), want)
	}
	for _, f := range files {
		a, err1 := os.ReadFile(filepath.Join(first, f.Name()))
		b, err2 := os.ReadFile(filepath.Join(second, f.Name()))
		if err1 != nil || err2 != nil || !bytes.Equal(a, b) {
			t.Errorf("%s differs between two runs (%d and %d bytes)", f.Name(), len(a), len(b))
		}
	}
}

func TestBrokenPackageIsNamed(t *testing.T) {
	needGo(t)
	const path = "patternkit/kernel/gocell/symbols/generate/testdata/broken"
	_, err := load([]policy.Group{{File: "x", Paths: []string{path}}})
	if err == nil || !strings.Contains(err.Error(), path+" does not compile") ||
		!strings.Contains(err.Error(), "broken.go:4") || !strings.Contains(err.Error(), "-skip="+path) {
		t.Errorf("error is %v, want the package, the position and the way out", err)
	}
}

func TestReaching(t *testing.T) {
	const source = `package plot

import (
	"log"
	env "os"
)

var home = env.Getenv("HOME")

func Show() { log.Print("shown") }

func (p *Plot) Save() { env.Create("x") } // denied by the policy

func (p *Plot) Add() { p.n++ }
`
	file, err := parser.ParseFile(token.NewFileSet(), "x.go", source, parser.SkipObjectResolution)
	if err != nil {
		t.Fatal(err)
	}
	want := []string{
		"gonum.org/v1/plot. mentions os.Getenv",
		"gonum.org/v1/plot.Show mentions log.Print",
	}
	if got := reaching("gonum.org/v1/plot", file); !slices.Equal(got, want) {
		t.Errorf("reaching: %q, want %q", got, want)
	}
}

func TestImportAliasesDiffer(t *testing.T) {
	seen := map[string]string{}
	for _, g := range policy.Groups {
		for _, path := range g.Paths {
			alias := importAlias(path)
			if other, taken := seen[alias]; taken || !token.IsIdentifier(alias) {
				t.Errorf("%s is called %s in the tables, as is %q", path, alias, other)
			}
			seen[alias] = path
		}
	}
}
