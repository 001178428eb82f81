package gocell

import (
	"context"
	"fmt"
	"runtime"
	"strings"
	"testing"
)

// fill puts about 500 lines of functions, types and variables into a session.
func fill(tb testing.TB, s *Session, functions int) {
	tb.Helper()
	for i := range functions {
		var b strings.Builder
		fmt.Fprintf(&b, "import (\"fmt\"; \"math\")\n")
		fmt.Fprintf(&b, "type Step%d struct {\n\tName string\n\tX, Y float64\n}\n", i)
		fmt.Fprintf(&b, "func (s Step%d) Norm() float64 {\n\treturn math.Hypot(s.X, s.Y)\n}\n", i)
		fmt.Fprintf(&b, "func walk%d(n int) float64 {\n\tsum := 0.0\n\tfor j := range n {\n\t\ts := Step%d{fmt.Sprint(j), float64(j), 2}\n", i, i)
		fmt.Fprintf(&b, "\t\tif s.Norm() > 3 {\n\t\t\tsum += s.Norm()\n\t\t} else {\n\t\t\tsum--\n\t\t}\n\t}\n\treturn sum\n}\n")
		fmt.Fprintf(&b, "total%d := walk%d(10)\n", i, i)
		mustRun(tb, s, b.String())
	}
}

func mustRun(tb testing.TB, s *Session, code string) []any {
	tb.Helper()
	values, err := s.Eval(context.Background(), code)
	if err != nil {
		tb.Fatalf("%q: %s", code, strings.Join(err.(*Error).Traceback(), "\n"))
	}
	return values
}

func BenchmarkFirstCell(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		s, err := New(Options{})
		if err != nil {
			b.Fatal(err)
		}
		mustRun(b, s, "import (\"fmt\"; \"math\")\nfmt.Sprint(math.Pi)")
	}
}

func BenchmarkTrivialCell(b *testing.B) {
	for _, functions := range []int{0, 5, 24} {
		b.Run(fmt.Sprintf("%dlines", functions*21), func(b *testing.B) {
			s, err := New(Options{})
			if err != nil {
				b.Fatal(err)
			}
			fill(b, s, functions)
			b.ReportAllocs()
			for b.Loop() {
				mustRun(b, s, "1+1")
			}
		})
	}
}

// Running a cell again and again must not pile up memory.
func TestMemoryStaysFlat(t *testing.T) {
	const block = `bodice := DraftBodice(body, BodiceOptions{BustEase: 8*CM, WaistEase: 6*CM})
draw := func() Pattern { return NewPattern("block", bodice) }
draw().SVG()`
	for _, tt := range []struct {
		name, before, cell string
		runs               int
	}{
		{"types, functions, closures", "", "type T struct{ A, B float64 }\nt := T{1, 2}\nlist := make([]T, 1000)\nf := func() float64 { return t.A + walk0(3) }\nlist[0].A = f()\nlist[0].A", 400},
		{"errors taken", "func half(n int) (int, error) { return n/2, nil }\nfunc only() error { return nil }", "a := half(half(8))\nonly()\nfunc g() int { only(); return half(a) }\ng()", 400},
		{"a bodice drawn", "body := Body{Height: 168*CM, BustGirth: 92*CM, WaistGirth: 74*CM, HipGirth: 98*CM}.Estimated()", block, 200},
	} {
		t.Run(tt.name, func(t *testing.T) {
			s, err := New(Options{})
			if err != nil {
				t.Fatal(err)
			}
			fill(t, s, 5)
			mustRun(t, s, tt.before)
			for range tt.runs / 5 {
				mustRun(t, s, tt.cell)
			}
			before := heap()
			for range tt.runs {
				mustRun(t, s, tt.cell)
			}
			after := heap()
			t.Logf("heap %d kB, after %d more runs %d kB", before>>10, tt.runs, after>>10)
			if after > before+before/5+256<<10 {
				t.Errorf("heap grew from %d to %d kB in %d runs of a cell", before>>10, after>>10, tt.runs)
			}
			runtime.KeepAlive(s)
		})
	}
}

func heap() uint64 {
	runtime.GC()
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}
