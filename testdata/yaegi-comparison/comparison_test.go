// Package yaegicomparison times the programs of kernel/gocell/suite in another
// interpreter of Go, pinned to the version that the ratios are stated for. It
// is a module of its own, so that the project does not depend on it:
//
//	cd testdata/yaegi-comparison && go test -bench .
package yaegicomparison

import (
	"io/fs"
	"testing"

	"github.com/traefik/yaegi/interp"
	"github.com/traefik/yaegi/stdlib"

	"patternkit/kernel/gocell/suite/programs"
)

// run evaluates the source of every program, and then the call in each round.
func run(b *testing.B, call string) {
	b.Helper()
	in := interp.New(interp.Options{})
	if err := in.Use(stdlib.Symbols); err != nil {
		b.Fatal(err)
	}
	if err := in.Use(drafting); err != nil {
		b.Fatal(err)
	}
	files, err := fs.Glob(programs.Source, "*.go")
	if err != nil {
		b.Fatal(err)
	}
	for _, file := range files {
		text, err := fs.ReadFile(programs.Source, file)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := in.Eval(string(text)); err != nil {
			b.Fatalf("%s: %v", file, err)
		}
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := in.Eval("programs." + call); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkLoop(b *testing.B)      { run(b, "Loop(10_000_000)") }
func BenchmarkFib(b *testing.B)       { run(b, "Fib(27)") }
func BenchmarkCalls(b *testing.B)     { run(b, "Calls(1_000_000)") }
func BenchmarkCallbacks(b *testing.B) { run(b, "Callbacks(1_000_000)") }
func BenchmarkBodices(b *testing.B)   { run(b, "Bodices(1000)") }
func BenchmarkSlices(b *testing.B)    { run(b, "Slices(1_000_000)") }
