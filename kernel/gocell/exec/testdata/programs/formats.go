// What fmt prints of values of cell types.
package main

import (
	"errors"
	"fmt"
	"time"
)

type Celsius float64
type Name string
type Flag bool
type Bytes []byte
type Pair struct {
	A int
	b string
}
type Tree struct {
	Left, Right *Tree
	Val         int
	kids        []Tree
}
type Str struct{ n int }

func (s Str) String() string { return fmt.Sprintf("Str<%d>", s.n) }

type PtrStr struct{ n int }

func (s *PtrStr) String() string { return fmt.Sprintf("PtrStr<%d>", s.n) }

type Err struct{ Code int }

func (e Err) Error() string { return fmt.Sprintf("err %d", e.Code) }

type Gs struct{}

func (Gs) GoString() string { return "Gs!" }

type Fm struct{}

func (Fm) Format(f fmt.State, v rune) { fmt.Fprintf(f, "<%c %v>", v, f.Flag('+')) }

type Outer struct {
	S    Str
	P    *PtrStr
	E    error
	Any  any
	priv Str
	D    time.Duration
	d    time.Duration
	M    map[Name]Pair
	F    func()
	C    chan int
}
type Embed struct {
	Str
	X int
}
type Shape interface{ Area() float64 }
type Sq float64

func (s Sq) Area() float64 { return float64(s * s) }

type Pan struct{}

func (Pan) String() string { panic("boom") }

type Weekday int

const (
	Mon Weekday = iota
	Tue
)

func (d Weekday) String() string { return [...]string{"Mon", "Tue"}[d] }

type Gen[T any] struct{ V T }

func main() {
	for _, v := range []string{"%v", "%+v", "%#v", "%T", "%d", "%s", "%q", "%x", "%5v|", "%-8v|", "%08.3f", "%t", "%e", "%c", "%U"} {
		fmt.Printf(v+"\n", Celsius(36.6))
		fmt.Printf(v+"\n", Name("ann"))
		fmt.Printf(v+"\n", Flag(true))
		fmt.Printf(v+"\n", Bytes("hi"))
		fmt.Printf(v+"\n", Pair{1, "x"})
		fmt.Printf(v+"\n", []Pair{{1, "x"}, {2, "y"}})
		fmt.Printf(v+"\n", map[Name]int{"b": 2, "a": 1})
		fmt.Printf(v+"\n", Str{3})
		fmt.Printf(v+"\n", []Str{{3}, {4}})
		fmt.Printf(v+"\n", Err{5})
		fmt.Printf(v+"\n", Gs{})
		fmt.Printf(v+"\n", Fm{})
		fmt.Printf(v+"\n", Tue)
		fmt.Printf(v+"\n", [2]Weekday{Mon, Tue})
		fmt.Printf(v+"\n", Embed{Str{1}, 2})
		fmt.Printf(v+"\n", Gen[int]{7})
		fmt.Printf(v+"\n", Gen[Name]{"g"})
		fmt.Printf(v+"\n", struct{ A, B int }{1, 2})
		fmt.Printf(v+"\n", [3]Celsius{1, 2, 3})
		fmt.Printf(v+"\n", []any{Celsius(1), Name("x"), nil, Str{1}, 2})
		fmt.Printf(v+"\n", Pan{})
	}
	o := Outer{S: Str{1}, E: Err{2}, Any: Pair{3, "z"}, priv: Str{4}, D: time.Second, d: time.Second, M: map[Name]Pair{"k": {1, "v"}}}
	fmt.Printf("%v\n%+v\n", o, o)
	fmt.Printf("%v %+v\n", &o.S, &Pair{1, "q"})
	fmt.Println(&Tree{Val: 1}, Tree{Val: 2, kids: []Tree{{Val: 3}}})
	fmt.Printf("%+v\n", &Tree{Val: 1})
	var np *PtrStr
	var ns *Str
	var e error
	var sh Shape
	fmt.Println(np == nil, ns, e, sh)
	sh = Sq(2)
	fmt.Printf("%T %v %T\n", sh, sh, &sh)
	fmt.Println(PtrStr{1}, &PtrStr{2}, []PtrStr{{3}})
	fmt.Print(Name("a"), Name("b"), 1, 2, Str{1}, Str{2}, "\n")
	fmt.Print(1, 2, "x", 3, Celsius(4), Celsius(5), "\n")
	fmt.Println(errors.New("plain"), fmt.Errorf("wrapped: %w", Err{9}))
	fmt.Printf("%[1]T %[1]v %[2]T %[2]v\n", Name("n"), Pair{1, "p"})
	fmt.Printf("%T %v %T\n", Name("n"), 5, Celsius(1))
	fmt.Printf("%T %T %T %T %T\n", []Name{}, map[Name][]Pair{}, func(Name) Pair { return Pair{} }, make(chan Name), &Gen[Pair]{})
	fmt.Printf("%T\n", struct {
		X Name `json:"x"`
		y int
	}{})
	fmt.Printf("%d %!\n", Pair{1, "a"}, 5)
	fmt.Printf("%*d|%-*d|\n", 5, Weekday(1), 4, 3)
	fmt.Printf("%v %v\n", struct{}{}, [0]Pair{})
	fmt.Printf("%x %X %q %s\n", Bytes("hi"), Name("hi"), Name("hi"), Bytes("hi"))
	fmt.Printf("%6.2f|%+d|%#x|%08b\n", Celsius(3.14159), Weekday2(5), Weekday2(255), Weekday2(5))
	fmt.Println(map[any]int{1: 1, "a": 2, Name("b"): 3, 2.5: 4}[Name("b")])
	var nilmap map[Name]int
	var nilslice []Pair
	fmt.Printf("%v %#v %v %#v\n", nilmap, nilmap, nilslice, nilslice)
	fmt.Println(Sprint(1, "a", Name("x")))
}

func Sprint(a ...any) string { return fmt.Sprint(a...) }

type Weekday2 int
