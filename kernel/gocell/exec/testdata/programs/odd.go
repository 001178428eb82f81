// Legal Go that is seldom written.
package main

import (
	"cmp"
	"errors"
	"fmt"
	"iter"
	"maps"
	"math"
	"slices"
	"sort"
	"strings"
	"time"
)

type Number interface {
	~int | ~int8 | ~float64 | ~complex128
}

type Length float64

func (l Length) String() string { return fmt.Sprintf("%.1f cm", float64(l)) }

func sum[T Number](xs ...T) (t T) {
	for _, x := range xs {
		t += x
	}
	return t
}

type List[T any] struct {
	head *link[T]
	n    int
}

type link[T any] struct {
	v    T
	next *link[T]
}

func (l *List[T]) Push(v T) *List[T] { l.head, l.n = &link[T]{v, l.head}, l.n+1; return l }

func (l *List[T]) All() iter.Seq2[int, T] {
	return func(yield func(int, T) bool) {
		i := 0
		for e := l.head; e != nil; e = e.next {
			if !yield(i, e.v) {
				return
			}
			i++
		}
	}
}

type Tree[K cmp.Ordered, V any] struct {
	l, r *Tree[K, V]
	k    K
	v    V
}

func (t *Tree[K, V]) Put(k K, v V) *Tree[K, V] {
	switch {
	case t == nil:
		return &Tree[K, V]{k: k, v: v}
	case k < t.k:
		t.l = t.l.Put(k, v)
	case k > t.k:
		t.r = t.r.Put(k, v)
	default:
		t.v = v
	}
	return t
}

func (t *Tree[K, V]) Walk(yield func(K, V) bool) bool {
	return t == nil || t.l.Walk(yield) && yield(t.k, t.v) && t.r.Walk(yield)
}

type Pair[A, B any] struct {
	First  A
	Second B
}

func MakePair[A, B any](a A, b B) Pair[A, B] { return Pair[A, B]{a, b} }

func (p Pair[A, B]) Swap() Pair[B, A] { return MakePair(p.Second, p.First) }

type Set[T comparable] map[T]struct{}

func SetOf[T comparable](xs ...T) Set[T] {
	s := Set[T]{}
	for _, x := range xs {
		s[x] = struct{}{}
	}
	return s
}

type Shape interface {
	Area() float64
	fmt.Stringer
}

type Base struct{ name string }

func (b *Base) Rename(n string) { b.name = n }
func (b Base) Name() string     { return b.name }

type Mid struct{ *Base }
type Top struct {
	Mid
	Area_ float64
}

func (t Top) Area() float64  { return t.Area_ }
func (t Top) String() string { return t.name + "!" }

type Weekday int

const (
	_    = iota
	A, B = iota, iota * 10
	C, D = iota, iota * 10
	_, _
	E, F
	KB = 1 << (10 * iota)
	MB
	big          = 1 << 100
	tiny         = big >> 98
	Mon  Weekday = iota - 3
	Tue
)

func (d Weekday) String() string {
	return [...]string{"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"}[d%7]
}

func constants() {
	fmt.Println(A, B, C, D, E, F, KB, MB, tiny, Mon, Tue)
	const h = 'a' + 1.0
	fmt.Printf("%T %v %T %v\n", h, h, 1<<3.0, 1<<3.0)
	var s uint = 33
	var i = 1 << s
	var j int32 = 1 << s
	var w int64 = 1.0 << s
	fmt.Println(i, j, w, uint8(255)+uint8(s), int8(-128)/int8(s-34), -7/2, -7%2, 7&^5)
	fmt.Println(math.MaxInt64, uint64(math.MaxUint64), math.Inf(1) > big, 0x1p-2, 1_000, 0b101, 0o17, 'x', "\u00e9\x41\101")
	x := 10
	x &^= 2
	x <<= 3
	x %= 7
	fmt.Println(x, 5.0/2, 5/2, 5/2.0, 1/3.0 == 1.0/3)
	var f32 float32 = 16777216
	fmt.Println(f32+1 == f32, float32(0.1) == 0.1, 0.1+0.2, math.NaN() == math.NaN())
	var u8 uint8 = 200
	u8 += 100
	fmt.Println(u8, ^u8, -u8, int8(u8), uint16(int8(u8)))
	c := complex(3, -4)
	fmt.Println(c*c, real(c), imag(c), c == complex128(complex64(c)), sum(c, 1i, 2))
	fmt.Printf("%v %.1f %T\n", c/2i, c, complex64(c))
}

func labels() {
	n := 0
outer:
	for i := range 5 {
		switch {
		case i == 1:
			continue outer
		case i == 4:
			break outer
		}
		for j := 0; ; j++ {
			if j == 3 {
				continue outer
			}
			if i == 3 && j == 2 {
				break outer
			}
			n += 10*i + j
		}
	}
	fmt.Println(n)
	i := 0
again:
	if i < 3 {
		i++
		goto again
	}
	{
		if i == 3 {
			goto end
		}
		fmt.Println("not here")
	}
end:
sel:
	select {
	default:
		if i == 3 {
			break sel
		}
		fmt.Println("nor here")
	}
	switch x := any(i).(type) {
	case int, int8:
		fmt.Printf("%T %v\n", x, x)
	case nil:
	}
	switch i {
	case 1, 2:
	case 3:
		fallthrough
	case 9:
		fmt.Println("fell")
		fallthrough
	default:
		fmt.Println("through")
	}
	switch f := func() bool { return true }; {
	case f():
		fmt.Println("tagless")
	}
}

func closures() {
	var fs []func() int
	for i := 0; i < 3; i++ {
		fs = append(fs, func() int { i += 10; return i })
	}
	for i := range 2 {
		fs = append(fs, func() int { i++; return i })
	}
	for _, f := range fs {
		fmt.Print(f(), " ", f(), " ")
	}
	fmt.Println()
	var fib func(int) int
	fib = func(n int) int {
		if n < 2 {
			return n
		}
		return fib(n-1) + fib(n-2)
	}
	fmt.Println(fib(15))
	x := 1
	defer func(y int) { fmt.Println("deferred", x, y) }(x)
	x = 2
	counter := func() (next func() int, reset func()) {
		n := 0
		return func() int { n++; return n }, func() { n = 0 }
	}
	next, reset := counter()
	next()
	next()
	reset()
	fmt.Println(next())
	for i := 0; i < 6; i++ {
		defer func() { fmt.Print(i, " ") }()
		i++
	}
}

func recovers() {
	try := func(what string, f func()) {
		defer func() {
			r := recover()
			err, ok := r.(error)
			fmt.Println(what, r, ok && err != nil, recover())
		}()
		f()
	}
	var m map[string][]int
	var p *Top
	var s Shape
	var a [3]int
	zero, five := 0, 5
	try("nil map", func() { m["a"] = nil })
	try("read nil map", func() { fmt.Print(len(m["a"]), " ") })
	try("nil pointer", func() { p.Area_ = 1 })
	try("nil interface", func() { s.Area() })
	try("index", func() { a[five%4+2]++ })
	try("slice", func() { _ = a[five-2 : 1+zero] })
	try("divide", func() { _ = five / zero })
	try("assertion", func() { _ = any(five).(string) })
	try("missing", func() { _ = any(five).(Shape) })
	try("array", func() { _ = [4]int(a[:]) })
	try("negative make", func() { _ = make([]int, zero-1) })
	try("closed", func() { c := make(chan int); close(c); close(c) })
	try("compare", func() { fmt.Print(any([]int{}) == any([]int{})) })
	try("key", func() { _ = map[any]int{[1]any{func() {}}: 1} })
	try("custom", func() { panic(fmt.Errorf("wrapped: %w", errors.ErrUnsupported)) })
	try("nested", func() {
		defer func() { panic(fmt.Sprint("again ", recover())) }()
		panic("first")
	})
	for i := range 3 {
		func() {
			defer func() {
				if r := recover(); r != nil {
					fmt.Print("loop ", i, r, "; ")
				}
			}()
			if i%2 == 0 {
				panic(i)
			}
		}()
	}
	fmt.Println(named())
	fmt.Println(double(2))
}

func named() (n int, err error) {
	defer func() {
		if r := recover(); r != nil {
			n, err = n*2, fmt.Errorf("%v", r)
		}
	}()
	n = 21
	panic("stop")
}

func double(x int) (y int) {
	defer func() { y *= 2 }()
	return x + 1
}

func ranges() {
	l := (&List[string]{}).Push("a").Push("b").Push("c")
	for i, s := range l.All() {
		if i == 2 {
			break
		}
		fmt.Print(i, s, " ")
	}
	var t *Tree[string, int]
	for i, w := range strings.Fields("the quick brown fox jumps over the lazy dog") {
		t = t.Put(w, i)
	}
	t.Walk(func(k string, v int) bool { fmt.Print(k, v, " "); return k != "over" })
	find := func(want string) (int, bool) {
		for i, s := range l.All() {
			defer fmt.Print("<", s, "> ")
			if s == want {
				return i, true
			}
		}
		return -1, false
	}
	fmt.Println(find("b"))
	fmt.Println(find("z"))
	for i, r := range "é\xffz" {
		fmt.Print(i, r, " ")
	}
	for range 2 {
		fmt.Print("x")
	}
	for i := range uint8(3) {
		fmt.Printf(" %T%d", i, i)
	}
	arr := [3]int{1, 2, 3}
	for i, v := range arr {
		arr[2] = 10
		if i == 2 {
			fmt.Print(" copy ", v)
		}
	}
	sl := arr[:]
	for i, v := range sl {
		sl[2] = 20
		if i == 2 {
			fmt.Print(" shared ", v)
		}
		if i == 0 {
			sl = append(sl, 1)
		}
	}
	for i := range &arr {
		fmt.Print(" ", i)
	}
	m := map[string]int{"a": 1, "b": 2, "c": 3}
	for k := range m {
		delete(m, k)
	}
	fmt.Println(" ", len(m), slices.Sorted(maps.Keys(SetOf(3, 1, 2, 1))), slices.Collect(maps.Values(map[int]string{1: "x"})))
	for x := range func(yield func(int) bool) {
		for i := 0; yield(i); i++ {
		}
	} {
		for y := range func(yield func(int) bool) { _ = yield(x) && yield(-x) } {
			if y < -2 {
				fmt.Println()
				return
			}
			fmt.Print(y, " ")
		}
	}
}

func methods() {
	t := Top{Mid{&Base{"back"}}, 2.5}
	rename, name, area := t.Rename, t.Name, Top.Area
	rename("front")
	fmt.Println(name(), t.Name(), area(t), (*Base).Rename != nil, t)
	Mid.Rename(t.Mid, "yoke")
	(*Top).Rename(&t, t.Name()+"s")
	var s Shape = t
	f := Shape.String
	g := s.Area
	s = Top{Mid{&Base{"other"}}, 1}
	fmt.Println(f(t), g(), s)
	u := t
	fmt.Println(u == t, u.Base == t.Base, Top{} == Top{}, Pair[int, string]{1, "a"} == MakePair(1, "a").Swap().Swap())
	type local struct {
		a [2][2]Pair[int8, bool]
		_ int
		b struct{ x, y any }
	}
	x, y := local{}, local{}
	y.a[1][0].Second = true
	fmt.Println(x == y, x == local{b: struct{ x, y any }{nil, nil}}, map[local]int{x: 1, y: 2}[y])
	var e1, e2 any = x, y
	fmt.Println(e1 == e2, e1 == any(local{}), e1 != nil)
	grid := [2][3]int{{1, 2, 3}, {4}}
	copy2 := grid
	copy2[1][1] = 9
	pg := &grid
	pg[0][2]++
	fmt.Println(grid, copy2, len(grid[0]), grid == copy2, [...]string{2: "c", 0: "a"}, [2]Length{1})
	fmt.Println(sum[Length](1, 2.5), sum(1, 2), sum(int8(100), 100), MakePair("a", 1.5).Swap())
	fmt.Printf("%T %T %v %+v\n", MakePair[Length, any](1, nil), SetOf("a"), SetOf(Mon), List[Length]{}.n)
}

func builtins() {
	s := []int{5, 3, 8}
	fmt.Println(min(3, 1, 2), max(2.5, 1), min("b", "a"), max(Length(1), 2), min(math.NaN(), 1), s[:2:2], cap(s[:2:2]))
	t := append(s[:1], 7)
	fmt.Println(s, t, len(append([]byte("a"), "bc"...)))
	clear(t)
	m := map[float64]int{math.NaN(): 1, 2: 2}
	fmt.Print(len(m))
	clear(m)
	fmt.Println(s, len(m), copy(s[1:], s), s)
	arr := (*[2]int)(s)
	arr[0] = 100
	fmt.Println(s, *arr, [2]int(s))
	var nilslice []int
	fmt.Println(nilslice == nil, len(nilslice[:0]), append(nilslice, nilslice...) == nil, nilslice[0:])
	b := []rune("hé")
	b[0] = 'j'
	fmt.Println(string(b), []byte("é"), string(rune(233)), strings.Compare("a", "b"))
	sort.Sort(sort.Reverse(sort.IntSlice(s)))
	slices.SortStableFunc(s, func(a, b int) int { return -cmp.Compare(a, b) })
	fmt.Println(s, slices.Max(s), slices.Index(s, 5), slices.Contains(s, 1))
}

func channels() {
	c, done := make(chan int, 2), make(chan struct{})
	go func() {
		defer close(done)
		for v := range c {
			fmt.Print(v, " ")
		}
	}()
	for i := range 4 {
		c <- i
	}
	close(c)
	<-done
	v, ok := <-c
	var never chan int
	tick := time.After(time.Millisecond)
	select {
	case <-never:
		fmt.Println("never")
	case never <- 1:
	case <-tick:
		fmt.Println("tick", v, ok)
	}
	one := make(chan int, 1)
	for i := range 4 {
		select {
		case one <- i:
		case x, ok := <-one:
			fmt.Print(x, ok, " ")
		}
	}
	fmt.Println(len(one), cap(one))
	type shared chan<- func() string
	fs := make(chan func() string, 1)
	var in shared = fs
	in <- func() string { return "called" }
	fmt.Println((<-fs)())
}

func shadows() {
	len := func(x string) string { return x + "?" }
	true := 0
	type int string
	var string int = "s"
	nil := []int{"n"}
	fmt.Println(len("len"), true, string, nil)
	{
		fmt := "shadowed"
		_ = fmt
	}
	if x, err := fmt.Sscan("12", new(Length)); err != nil_() {
		fmt.Println(x, err)
	} else if y := x * 2; y > 1 {
		fmt.Println(x, y)
	}
	x := 1
	x, y := x+1, x
	{
		x, y := y, x
		x++
		_ = y
	}
	fmt.Println(x, y)
}

func nil_() error { return nil }

func main() {
	constants()
	labels()
	closures()
	fmt.Println()
	recovers()
	ranges()
	methods()
	builtins()
	channels()
	shadows()
}
