package exec_test

import (
	"context"
	"testing"

	cells "patternkit/kernel/gocell/exec"
)

func TestHello(t *testing.T) {
	needGo(t)
	r := runProgram(context.Background(), cells.Options{}, `package main
import "fmt"
type P struct{ X, Y float64 }
func (p P) String() string { return fmt.Sprint("P:", p.X) }
func fib(n int) int { if n < 2 { return n }; return fib(n-1)+fib(n-2) }
func main() {
	s := []int{1,2,3}
	m := map[string]P{"a": {1,2}}
	for k, v := range m { fmt.Println(k, v, fib(10)) }
	defer func() { fmt.Println("recovered:", recover()) }()
	fmt.Println(s[len(m)+4])
}`)
	if want := "a P:1 55\nrecovered: runtime error: index out of range [5] with length 3\n"; r.err != nil || r.stdout != want {
		t.Errorf("got %q, %v, want %q", r.stdout, r.err, want)
	}
}
