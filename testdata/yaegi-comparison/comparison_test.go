// Package yaegicomparison times the programs of kernel/gocell/suite in cells
// and in another interpreter of Go, by turns, so that whatever else the
// machine does meets both. The other is pinned to the version that the ratios
// are stated for. This is a module of its own, so that the project does not
// depend on it:
//
//	cd testdata/yaegi-comparison && go test -bench .
//
// Each benchmark reports the median milliseconds of both, and their ratio:
// how many times faster the cell is.
package yaegicomparison

import (
	"context"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/traefik/yaegi/interp"
	"github.com/traefik/yaegi/stdlib"

	"patternkit/kernel/gocell"
	"patternkit/kernel/gocell/suite/programs"
)

// source gives the text of the program that a call is of.
func source(b *testing.B, call string) string {
	b.Helper()
	files, err := fs.Glob(programs.Source, "*.go")
	if err != nil {
		b.Fatal(err)
	}
	name, _, _ := strings.Cut(call, "(")
	for _, file := range files {
		text, err := fs.ReadFile(programs.Source, file)
		if err != nil {
			b.Fatal(err)
		}
		if strings.Contains(string(text), "func "+name+"(") {
			return string(text)
		}
	}
	b.Fatalf("no program is called %s", name)
	return ""
}

// interpreter gives a function that evaluates calls of the program of text.
func interpreter(b *testing.B, text string) func(call string) any {
	b.Helper()
	in := interp.New(interp.Options{})
	if err := in.Use(stdlib.Symbols); err != nil {
		b.Fatal(err)
	}
	if err := in.Use(drafting); err != nil {
		b.Fatal(err)
	}
	if _, err := in.Eval(text); err != nil {
		b.Fatal(err)
	}
	return func(call string) any {
		v, err := in.Eval("programs." + call)
		if err != nil {
			b.Fatal(err)
		}
		return v
	}
}

// cells gives a function that evaluates the same in a session.
func cells(b *testing.B, text string) func(call string) any {
	b.Helper()
	s, err := gocell.New(gocell.Options{Stdout: io.Discard, Stderr: io.Discard})
	if err != nil {
		b.Fatal(err)
	}
	eval := func(cell string) any {
		values, err := s.Eval(context.Background(), cell)
		if err != nil {
			b.Fatal(err)
		}
		if len(values) == 0 {
			return nil
		}
		return values[0]
	}
	eval(strings.Replace(text, "package programs\n", "", 1))
	return eval
}

// compare evaluates the call in both, by turns.
func compare(b *testing.B, call string) {
	b.Helper()
	text := source(b, call)
	ours, theirs := cells(b, text), interpreter(b, text)
	if a, c := fmt.Sprint(ours(call)), fmt.Sprint(theirs(call)); a != c {
		b.Fatalf("%s gives %s in a cell, %s in the interpreter", call, a, c)
	}
	var mine, other []float64
	timed := func(f func(string) any) float64 {
		start := time.Now()
		f(call)
		return time.Since(start).Seconds() * 1000
	}
	for b.Loop() {
		mine = append(mine, timed(ours))
		other = append(other, timed(theirs))
	}
	median := func(s []float64) float64 {
		slices.Sort(s)
		return s[len(s)/2]
	}
	m, o := median(mine), median(other)
	b.ReportMetric(m, "cell-ms")
	b.ReportMetric(o, "yaegi-ms")
	b.ReportMetric(o/m, "ratio")
}

func BenchmarkLoop(b *testing.B)      { compare(b, "Loop(10_000_000)") }
func BenchmarkFib(b *testing.B)       { compare(b, "Fib(27)") }
func BenchmarkCalls(b *testing.B)     { compare(b, "Calls(1_000_000)") }
func BenchmarkCallbacks(b *testing.B) { compare(b, "Callbacks(1_000_000)") }
func BenchmarkBodices(b *testing.B)   { compare(b, "Bodices(1000)") }
func BenchmarkSlices(b *testing.B)    { compare(b, "Slices(1_000_000)") }
func BenchmarkPoints(b *testing.B)    { compare(b, "Points(300_000)") }
func BenchmarkLengths(b *testing.B)   { compare(b, "Lengths(1_000_000)") }
func BenchmarkSizes(b *testing.B)     { compare(b, "Sizes(200_000)") }
func BenchmarkFields(b *testing.B)    { compare(b, "Fields(5000)") }
func BenchmarkTexts(b *testing.B)     { compare(b, "Texts(20_000)") }
func BenchmarkClosures(b *testing.B)  { compare(b, "Closures(300_000)") }
func BenchmarkMethods(b *testing.B)   { compare(b, "Methods(500_000)") }
func BenchmarkAngles(b *testing.B)    { compare(b, "Angles(300_000)") }
func BenchmarkSorting(b *testing.B)   { compare(b, "Sorting(30_000)") }
func BenchmarkPrinting(b *testing.B)  { compare(b, "Printing(100_000)") }
