package suite_test

import (
	"fmt"
	"io"
	"io/fs"
	"strings"
	"testing"
	"time"

	"patternkit/kernel/gocell/suite/programs"
)

// A timed program, compiled and as the call that a cell makes. The module
// testdata/yaegi-comparison times the same calls in another interpreter.
var timed = []struct {
	name   string
	small  string // a quick call, to see that both agree
	call   string
	native func() any
	want   func() any // what small gives when compiled
}{
	{"Loop", "Loop(1000)", "Loop(10_000_000)",
		func() any { return programs.Loop(10_000_000) }, func() any { return programs.Loop(1000) }},
	{"Fib", "Fib(10)", "Fib(27)",
		func() any { return programs.Fib(27) }, func() any { return programs.Fib(10) }},
	{"Calls", "Calls(1000)", "Calls(1_000_000)",
		func() any { return programs.Calls(1_000_000) }, func() any { return programs.Calls(1000) }},
	{"Callbacks", "Callbacks(1000)", "Callbacks(1_000_000)",
		func() any { return programs.Callbacks(1_000_000) }, func() any { return programs.Callbacks(1000) }},
	{"Slices", "Slices(1000)", "Slices(1_000_000)",
		func() any { return programs.Slices(1_000_000) }, func() any { return programs.Slices(1000) }},
	{"Bodices", "Bodices(3)", "Bodices(1000)",
		func() any { return programs.Bodices(1000) }, func() any { return programs.Bodices(3) }},
	{"Points", "Points(1000)", "Points(300_000)",
		func() any { return programs.Points(300_000) }, func() any { return programs.Points(1000) }},
	{"Lengths", "Lengths(1000)", "Lengths(1_000_000)",
		func() any { return programs.Lengths(1_000_000) }, func() any { return programs.Lengths(1000) }},
	{"Sizes", "Sizes(1000)", "Sizes(200_000)",
		func() any { return programs.Sizes(200_000) }, func() any { return programs.Sizes(1000) }},
	{"Fields", "Fields(10)", "Fields(5000)",
		func() any { return programs.Fields(5000) }, func() any { return programs.Fields(10) }},
	{"Texts", "Texts(10)", "Texts(20_000)",
		func() any { return programs.Texts(20_000) }, func() any { return programs.Texts(10) }},
	{"Closures", "Closures(1000)", "Closures(300_000)",
		func() any { return programs.Closures(300_000) }, func() any { return programs.Closures(1000) }},
	{"Methods", "Methods(1000)", "Methods(500_000)",
		func() any { return programs.Methods(500_000) }, func() any { return programs.Methods(1000) }},
	{"Angles", "Angles(1000)", "Angles(300_000)",
		func() any { return programs.Angles(300_000) }, func() any { return programs.Angles(1000) }},
	{"Sorting", "Sorting(1000)", "Sorting(30_000)",
		func() any { return programs.Sorting(30_000) }, func() any { return programs.Sorting(1000) }},
	{"Printing", "Printing(100)", "Printing(100_000)",
		func() any { return programs.Printing(100_000) }, func() any { return programs.Printing(100) }},
}

// withPrograms returns a session that has evaluated the source of every program.
func withPrograms(tb testing.TB) *session {
	tb.Helper()
	s, err := newSession(io.Discard)
	if err != nil {
		tb.Fatal(err)
	}
	files, err := fs.Glob(programs.Source, "*.go")
	if err != nil {
		tb.Fatal(err)
	}
	for _, file := range files {
		text, err := fs.ReadFile(programs.Source, file)
		if err != nil {
			tb.Fatal(err)
		}
		cell := strings.Replace(string(text), "package programs\n", "", 1)
		if _, err := evalValues(s, cell, time.Minute); err != nil {
			tb.Fatalf("%s: %v", file, err)
		}
	}
	return s
}

func TestProgramsAgree(t *testing.T) {
	s := withPrograms(t)
	for _, p := range timed {
		values, err := evalValues(s, p.small, time.Minute)
		if err != nil || len(values) != 1 || fmt.Sprint(values[0]) != fmt.Sprint(p.want()) {
			t.Errorf("%s gives %v, %v; compiled %v", p.small, values, err, p.want())
		}
	}
}

func BenchmarkNative(b *testing.B) {
	for _, p := range timed {
		b.Run(p.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				p.native()
			}
		})
	}
}

func BenchmarkCells(b *testing.B) {
	s := withPrograms(b)
	for _, p := range timed {
		b.Run(p.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := evalValues(s, p.call, time.Minute); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkFirstCell times a session from nothing to the value of its first cell.
func BenchmarkFirstCell(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		s, err := newSession(io.Discard)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := evalValues(s, "import \"fmt\"\nfmt.Sprint(1 + 1)", time.Minute); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkLaterCell times a trivial cell after 500 lines of others.
func BenchmarkLaterCell(b *testing.B) {
	s, err := newSession(io.Discard)
	if err != nil {
		b.Fatal(err)
	}
	for i := range 50 {
		cell := fmt.Sprintf("func step%d(x float64) float64 {\n\tsum := x\n\tfor i := range 10 {\n\t\tif i%%2 == 0 {\n"+
			"\t\t\tsum += float64(i)\n\t\t}\n\t}\n\treturn sum * %d\n}\nv%d := step%d(%d)\n", i, i, i, i, i)
		if _, err := evalValues(s, cell, time.Minute); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := evalValues(s, "v7 + 1", time.Minute); err != nil {
			b.Fatal(err)
		}
	}
}
