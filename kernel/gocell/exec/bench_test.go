package exec_test

import (
	"context"
	"io"
	"reflect"
	"testing"

	cells "patternkit/kernel/gocell/exec"
)

// compile loads a program for repeated calls.
func compile(tb testing.TB, src string) *cells.Image {
	tb.Helper()
	needGo(tb)
	_, pkg, err := build(src)
	if err != nil {
		tb.Fatal(err)
	}
	m := cells.New(cells.Options{Symbols: stdTable{}, Stdout: io.Discard, Stderr: io.Discard})
	im, err := m.Load(pkg)
	if err != nil {
		tb.Fatal(err)
	}
	m.Commit(im)
	if _, err := im.Call(context.Background(), "init"); err != nil {
		tb.Fatal(err)
	}
	return im
}

func benchmark(b *testing.B, src string, args ...any) {
	im := compile(b, "package main\n"+src)
	in := make([]reflect.Value, len(args))
	for i, a := range args {
		in[i] = reflect.ValueOf(a)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := im.Call(context.Background(), "f", in...); err != nil {
			b.Fatal(err)
		}
	}
}

// 10 million steps of a loop of floats.
func BenchmarkFloatLoop10M(b *testing.B) {
	benchmark(b, `func f() float64 { s := 0.0; for i := 0; i < 10_000_000; i++ { s += float64(i)*0.5 }; return s }`)
}

func BenchmarkFib27(b *testing.B) {
	benchmark(b, `func fib(n int) int { if n < 2 { return n }; return fib(n-1) + fib(n-2) }
func f() int { return fib(27) }`)
}

func BenchmarkCompiledCalls1M(b *testing.B) {
	benchmark(b, `import "math"
func f() float64 { s := 0.0; for i := 0; i < 1_000_000; i++ { s += math.Sqrt(float64(i)) }; return s }`)
}

func BenchmarkCompiledCallsReflect100k(b *testing.B) {
	benchmark(b, `import "math"
func f() float64 { s := 0.0; for i := 0; i < 100_000; i++ { x, e := math.Frexp(float64(i)); s += x+float64(e) }; return s }`)
}

// 1 million calls of a cell's closure from compiled code.
func BenchmarkCallbacks1M(b *testing.B) {
	benchmark(b, `func f(call func(func(float64) float64, int) float64) float64 { k := 0.5; return call(func(x float64) float64 { return x*k }, 1_000_000) }`,
		func(g func(float64) float64, n int) float64 {
			s := 0.0
			for i := range n {
				s += g(float64(i))
			}
			return s
		})
}

func BenchmarkCallbacksReflect100k(b *testing.B) {
	benchmark(b, `func f(call func(func(float64, string, int) float64, int) float64) float64 { k := 0.5; return call(func(x float64, s string, n int) float64 { return x*k }, 100_000) }`,
		func(g func(float64, string, int) float64, n int) float64 {
			s := 0.0
			for i := range n {
				s += g(float64(i), "", i)
			}
			return s
		})
}

func BenchmarkSliceFillSum1M(b *testing.B) {
	benchmark(b, `func f() int { s := make([]int, 1_000_000); for i := range s { s[i] = i }; t := 0; for _, v := range s { t += v }; return t }`)
}

func BenchmarkStructMethods300k(b *testing.B) {
	benchmark(b, `type V struct{ X, Y float64 }
func (v V) Add(w V) V { return V{v.X + w.X, v.Y + w.Y} }
func f() float64 { var s V; for i := 0; i < 300_000; i++ { s = s.Add(V{1, 2}) }; return s.X }`)
}

func BenchmarkClosureCalls1M(b *testing.B) {
	benchmark(b, `func f() int { n := 0; g := func(x int) int { n++; return x + n }; t := 0; for i := 0; i < 1_000_000; i++ { t += g(i) }; return t }`)
}

func BenchmarkMap300k(b *testing.B) {
	benchmark(b, `type K struct{ a, b int }
func f() int { m := map[K]int{}; for i := 0; i < 300_000; i++ { m[K{i%100, i%7}] += i }; return len(m) }`)
}

func BenchmarkStrings100k(b *testing.B) {
	benchmark(b, `import "strings"
func f() int { var b strings.Builder; for i := 0; i < 100_000; i++ { b.WriteString("ab"); b.WriteByte('c') }; return b.Len() }`)
}
