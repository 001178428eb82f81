// Types: embedding, methods, interfaces, conversions, generics, recursion.
package main

import (
	"errors"
	"fmt"
	"sort"
	"strings"
)

type Animal interface {
	Name() string
	Sound() string
}
type base struct{ name string }

func (b *base) Name() string    { return b.name }
func (b base) Greet() string    { return "I am " + b.name }
func (b *base) Rename(n string) { b.name = n }

type Dog struct {
	*base
	age int
}

func (d Dog) Sound() string { return "woof" }

type Puppy struct {
	Dog
	extra strings.Builder
}

type Num interface{ ~int | ~float64 }

func Sum[T Num](xs ...T) (t T) {
	for _, x := range xs {
		t += x
	}
	return
}

func Map[T, U any](xs []T, f func(T) U) []U {
	out := make([]U, 0, len(xs))
	for _, x := range xs {
		out = append(out, f(x))
	}
	return out
}

type Stack[T any] struct{ items []T }

func (s *Stack[T]) Push(x T) { s.items = append(s.items, x) }
func (s *Stack[T]) Pop() (x T, ok bool) {
	if len(s.items) == 0 {
		return
	}
	x = s.items[len(s.items)-1]
	s.items = s.items[:len(s.items)-1]
	return x, true
}
func (s Stack[T]) Each(yield func(int, T) bool) {
	for i, x := range s.items {
		if !yield(i, x) {
			return
		}
	}
}

type List struct {
	val  int
	next *List
}

func (l *List) Len() int {
	if l == nil {
		return 0
	}
	return 1 + l.next.Len()
}

type Expr interface {
	Eval(env map[string]float64) float64
}
type Var string
type Const float64
type Bin struct {
	op   byte
	l, r Expr
}

func (v Var) Eval(env map[string]float64) float64 { return env[string(v)] }
func (c Const) Eval(map[string]float64) float64   { return float64(c) }
func (b Bin) Eval(env map[string]float64) float64 {
	l, r := b.l.Eval(env), b.r.Eval(env)
	switch b.op {
	case '+':
		return l + r
	case '*':
		return l * r
	}
	return 0
}

type byLen []string

func (b byLen) Len() int           { return len(b) }
func (b byLen) Less(i, j int) bool { return len(b[i]) < len(b[j]) }
func (b byLen) Swap(i, j int)      { b[i], b[j] = b[j], b[i] }

type MyErr struct{ op string }

func (e *MyErr) Error() string        { return "my " + e.op }
func (e *MyErr) Is(target error) bool { return target == errBase }
func (e *MyErr) Unwrap() error        { return errInner }

var errBase, errInner = errors.New("base"), errors.New("inner")

type Opt func(*cfg)
type cfg struct{ a, b int }
type Matrix [2][2]float64

func (m Matrix) Mul(n Matrix) (r Matrix) {
	for i := range 2 {
		for j := range 2 {
			for k := range 2 {
				r[i][j] += m[i][k] * n[k][j]
			}
		}
	}
	return
}

type Celsius float64
type Temp interface{ ~float64 }

func Avg[T Temp](a, b T) T { return (a + b) / 2 }

type A struct{ X, Y int }
type B struct{ X, Y int }
type Fn func(int) int

func (f Fn) Twice(x int) int { return f(f(x)) }

func classify(x any) string {
	switch v := x.(type) {
	case nil:
		return "nil"
	case int, int8:
		return fmt.Sprintf("int %v", v)
	case []A:
		return fmt.Sprint("As ", len(v))
	case A:
		return fmt.Sprint("A ", v.X)
	case B:
		return fmt.Sprint("B ", v.X)
	case *A:
		return fmt.Sprint("*A ", v.X)
	case error:
		return "error " + v.Error()
	case fmt.Stringer:
		return "stringer"
	case func() int:
		return fmt.Sprint("func ", v())
	case map[string]A:
		return fmt.Sprint("map ", len(v))
	}
	return fmt.Sprintf("other %T", x)
}

func main() {
	d := Dog{&base{"rex"}, 3}
	var a Animal = d
	fmt.Println(a.Name(), a.Sound(), d.Greet())
	d.Rename("max")
	fmt.Println(a.Name())
	p := &Puppy{Dog: d}
	p.extra.WriteString("hi")
	a = p
	fmt.Println(a.Name(), p.extra.String(), p.Greet())
	f := p.Greet
	d.Rename("new")
	fmt.Println(f(), (*base).Name(d.base), Dog.Sound(d), base.Greet(*d.base))
	fmt.Println(Sum(1, 2, 3), Sum(1.5, 2), Sum[Celsius](1, 2))
	fmt.Println(Map([]int{1, 2}, func(i int) string { return strings.Repeat("x", i) }))
	fmt.Println(Map([]A{{1, 2}}, func(a A) B { return B(a) }))
	var s Stack[A]
	s.Push(A{1, 2})
	s.Push(A{3, 4})
	for i, x := range s.Each {
		fmt.Println(i, x)
		if i == 0 {
			continue
		}
	}
	fmt.Println(s.Pop())
	var ss Stack[string]
	fmt.Println(ss.Pop())
	l := &List{1, &List{2, &List{3, nil}}}
	fmt.Println(l.Len(), *l.next.next)
	e := Bin{'+', Var("x"), Bin{'*', Const(2), Var("y")}}
	fmt.Println(e.Eval(map[string]float64{"x": 1, "y": 3}), e)
	w := byLen{"ccc", "a", "bb"}
	sort.Sort(w)
	fmt.Println(w)
	sort.Sort(sort.Reverse(w))
	fmt.Println(w)
	as := []A{{3, 1}, {1, 2}, {2, 3}}
	sort.Slice(as, func(i, j int) bool { return as[i].X < as[j].X })
	fmt.Println(as)
	var err error = &MyErr{"open"}
	wrapped := fmt.Errorf("ctx: %w", err)
	var me *MyErr
	fmt.Println(errors.Is(wrapped, errBase), errors.Is(wrapped, errInner), errors.Is(wrapped, err), errors.As(wrapped, &me), me.op)
	fmt.Println(errors.Unwrap(errors.Unwrap(wrapped)), errors.Join(err, errBase))
	c := cfg{}
	for _, o := range []Opt{func(c *cfg) { c.a = 1 }, func(c *cfg) { c.b = 2 }} {
		o(&c)
	}
	fmt.Println(c)
	m := Matrix{{1, 1}, {1, 0}}
	fmt.Println(m.Mul(m).Mul(m), Avg(Celsius(1), 2))
	for _, x := range []any{nil, 1, int8(2), []A{{}}, A{1, 2}, B{3, 4}, &A{5, 6}, err, func() int { return 7 }, map[string]A{}, 3.5, "s", []B{}} {
		fmt.Println(classify(x))
	}
	fmt.Println(Fn(func(x int) int { return x * 3 }).Twice(2))
	fmt.Println(any(A{1, 2}) == any(A{1, 2}), any(A{1, 2}) == any(B{1, 2}), any(1) == any(1.0))
	keys := map[any]string{A{1, 2}: "a", B{1, 2}: "b", "x": "s", [2]int{1, 2}: "arr"}
	fmt.Println(keys[A{1, 2}], keys[B{1, 2}], keys["x"], keys[[2]int{1, 2}], len(keys))
	sk := map[A]int{{1, 2}: 3}
	sk[A{1, 2}]++
	sk[A{2, 3}] += 5
	fmt.Println(sk, len(sk))
	var nilErr *MyErr
	var asErr error = nilErr
	fmt.Println(asErr == nil, nilErr == nil)
	type local struct{ v int }
	var x any = local{1}
	_, ok := x.(local)
	fmt.Println(ok)
	arr := [3]A{{1, 1}, {2, 2}}
	brr := arr
	brr[0].X = 9
	fmt.Println(arr, brr, arr == [3]A{{1, 1}, {2, 2}}, arr != brr)
	ptrs := []*A{{1, 2}, {3, 4}}
	for _, p := range ptrs {
		p.X *= 10
	}
	fmt.Println(*ptrs[0], *ptrs[1])
	anon := struct {
		A
		z int
	}{A{1, 2}, 3}
	anon.X += 4
	fmt.Println(anon, anon.Y)
	var iface interface{ Name() string } = d
	_, isAnimal := iface.(Animal)
	_, isStringer := iface.(fmt.Stringer)
	fmt.Println(isAnimal, isStringer)
}
