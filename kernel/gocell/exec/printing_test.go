package exec_test

import (
	"context"
	"errors"
	"io"
	"testing"
	"time"

	cells "patternkit/kernel/gocell/exec"
)

// callers are compiled calls that call a method or a function of a cell, work,
// which must not go on after that was stopped.
const callers = `import ("bytes"; "encoding/json"; "errors"; "fmt"; "io"; "sort"; "strings")
type S int
func (S) String() string { work(); return "" }
type E struct{ error }
func (E) Error() string { work(); return "" }
type G []int
func (G) GoString() string { work(); return "" }
type F map[string]int
func (F) Format(fmt.State, rune) { work() }
type M struct{}
func (M) MarshalJSON() ([]byte, error) { work(); return nil, nil }
type U struct{}
func (*U) UnmarshalJSON([]byte) error { work(); return nil }
type RW struct{}
func (RW) Write([]byte) (int, error) { work(); return 1, nil }
func (RW) Read([]byte) (int, error) { work(); return 1, nil }
type L []int
func (L) Len() int { return 2 }
func (L) Swap(i, j int) {}
func (L) Less(i, j int) bool { work(); return true }
var buf bytes.Buffer
var wentOn bool
func went() bool { defer func() { wentOn = false }(); return wentOn }
func Print() { fmt.Println(S(1)) }
func PrintPointer() { s := S(1); fmt.Println(&s) }
func PrintList() { fmt.Sprint([]any{1, []S{2}}) }
func PrintMap() { fmt.Sprintf("%v", map[string]S{"a": 1}) }
func PrintField() { fmt.Sprintf("%+v", struct{ A S }{1}) }
func PrintInto() { fmt.Fprintf(&buf, "%q", S(1)) }
func Error() { fmt.Sprint(E{}) }
func Join() { fmt.Sprint(errors.Join(E{}, E{})) }
func Errorf() { _ = fmt.Errorf("a %w", E{}) }
func GoString() { fmt.Sprintf("%#v", G{}) }
func Format() { fmt.Sprint(F{}) }
func Within() { fmt.Sprint(nested{}) }
type nested struct{}
func (nested) String() string { return fmt.Sprint([]S{1}) }
func Marshal() { json.Marshal(M{}) }
func MarshalList() { json.Marshal([]any{M{}}) }
func Encode() { json.NewEncoder(&buf).Encode(M{}) }
func Unmarshal() { json.Unmarshal([]byte("{}"), &U{}) }
func Decode() { json.NewDecoder(RW{}).Decode(&U{}) }
func Write() { fmt.Fprintln(RW{}, "a") }
func Copy() { io.Copy(RW{}, strings.NewReader("a")) }
func ReadFrom() { buf.ReadFrom(RW{}) }
func Scan() { var n int; fmt.Fscan(RW{}, &n) }
func SortSlice() { sort.Slice([]int{2, 1}, func(i, j int) bool { work(); return true }) }
func Sort() { sort.Sort(L{}) }
func Map() { strings.Map(func(r rune) rune { work(); return r }, "a") }
`

var callerNames = []string{
	"Print", "PrintPointer", "PrintList", "PrintMap", "PrintField", "PrintInto", "Error", "Join", "Errorf", "GoString", "Format", "Within",
	"Marshal", "MarshalList", "Encode", "Unmarshal", "Decode", "Write", "Copy", "ReadFrom", "Scan", "SortSlice", "Sort", "Map",
}

// Stops and limits end a cell through the compiled call that is in between,
// though fmt takes whatever comes out of a method for a panic of that method.
func TestStopThroughCompiledCalls(t *testing.T) {
	for _, work := range []struct {
		name, code string
		want       error
	}{
		{"interrupt", "func work() { for {} }", context.Canceled},
		{"depth", "func work() { work(); wentOn = false }", cells.ErrDepth},
		{"memory", "func work() { n := 1 << 40; _ = make([]int, n) }", cells.ErrMemory},
	} {
		t.Run(work.name, func(t *testing.T) {
			s := newSession(t, cells.Options{MemoryLimit: 200 << 20, MaxDepth: 1000, Stdout: io.Discard})
			src := callers + work.code + "\n"
			for _, name := range callerNames {
				src += "func try" + name + "() { func() { defer func() { recover() }(); " + name + "() }(); wentOn = true }\n"
			}
			s.commit(src)
			for _, name := range callerNames {
				ctx, cancel := context.WithCancel(context.Background())
				if work.want == context.Canceled {
					time.AfterFunc(5*time.Millisecond, cancel)
				}
				_, err := s.try(ctx, "try"+name)
				cancel()
				var stopped *cells.Stopped
				if !errors.As(err, &stopped) || !errors.Is(err, work.want) || stopped.Abandoned {
					t.Errorf("%s: got %v, want %v", name, err, work.want)
				}
				if s.call("went") == true {
					t.Errorf("%s: the cell went on", name)
				}
			}
		})
	}
}
