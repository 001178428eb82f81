package exec_test

import (
	"testing"

	cells "patternkit/kernel/gocell/exec"
)

// Compiled code calls closures of the common shapes without reflection, so
// that a call allocates nothing.
func TestCallbacksDoNotAllocate(t *testing.T) {
	s := newSession(t, cells.Options{})
	s.commit(`var calls int
type point struct{ X, Y float64 }
func runes() any { return func(r rune) rune { calls++; return r + 1 } }
func isRune() any { return func(r rune) bool { calls++; return r < 'b' } }
func ints() any { return func(x int) int { calls++; return x + 1 } }
func isInt() any { return func(x int) bool { calls++; return x > 2 } }
func less() any { return func(a, b int) bool { calls++; return a < b } }
func compare() any { return func(a, b string) int { calls++; return len(a) - len(b) } }
func texts() any { return func(s string) string { calls++; return s[1:] } }
func value() any { v := any("kept"); return func() any { calls++; return v } }
func mix() any { return func(a, b float64) float64 { calls++; return a - b } }
func unsigned() any { return func(x uint32) uint32 { calls++; return x - 1 } }
func get() int { return calls }`)
	runes, isRune := s.call("runes").(func(rune) rune), s.call("isRune").(func(rune) bool)
	ints, isInt := s.call("ints").(func(int) int), s.call("isInt").(func(int) bool)
	less, compare := s.call("less").(func(a, b int) bool), s.call("compare").(func(a, b string) int)
	texts, value := s.call("texts").(func(string) string), s.call("value").(func() any)
	mix, unsigned := s.call("mix").(func(a, b float64) float64), s.call("unsigned").(func(uint32) uint32)
	for _, tt := range []struct {
		name string
		call func() bool
	}{
		{"func(rune) rune", func() bool { return runes('a') == 'b' && runes(-2) == -1 }},
		{"func(rune) bool", func() bool { return isRune('a') && !isRune('b') && isRune(-1) }},
		{"func(int) int", func() bool { return ints(-1) == 0 }},
		{"func(int) bool", func() bool { return isInt(3) && !isInt(2) }},
		{"func(a, b int) bool", func() bool { return less(-1, 1) && !less(1, -1) }},
		{"func(a, b string) int", func() bool { return compare("abc", "a") == 2 }},
		{"func(string) string", func() bool { return texts("abc") == "bc" }},
		{"func() any", func() bool { return value() == "kept" }},
		{"func(a, b float64) float64", func() bool { return mix(3, 1) == 2 }},
		{"func(uint32) uint32", func() bool { return unsigned(0) == 1<<32-1 }},
	} {
		before := s.call("get").(int)
		if !tt.call() {
			t.Errorf("%s gives another result", tt.name)
		}
		if s.call("get").(int) == before {
			t.Errorf("%s does not run", tt.name)
		}
		if n := testing.AllocsPerRun(200, func() { tt.call() }); n != 0 {
			t.Errorf("%s allocates %v times a call", tt.name, n)
		}
	}
}
