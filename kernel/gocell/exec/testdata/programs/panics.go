// Run-time errors, defer and recover.
package main

import (
	"errors"
	"fmt"
	"runtime"
)

type T struct{ a, b int }
type I interface{ M() }
type J interface{ N() }

func (T) M() {}

func try(name string, f func()) {
	defer func() {
		r := recover()
		_, isRuntime := r.(runtime.Error)
		fmt.Printf("%s: %v (runtime error: %v)\n", name, r, isRuntime)
	}()
	f()
}

func named() (x int, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("caught %v", r)
			x *= 2
		}
	}()
	x = 21
	panic("oh")
}

func rethrow() {
	defer func() { fmt.Println("outer", recover()) }()
	defer func() {
		r := recover()
		panic(fmt.Sprint("again ", r))
	}()
	panic("first")
}

func nested() {
	defer fmt.Println("nested done")
	defer func() {
		defer func() { fmt.Println("inner", recover()) }()
		panic("in deferred")
	}()
	fmt.Println("body")
}

func replaced() {
	defer func() { fmt.Println("got", recover()) }()
	defer func() { panic("second") }()
	panic("first")
}

func helper() any { return recover() }

func indirect() {
	defer func() { fmt.Println("direct", recover()) }()
	defer func() { fmt.Println("helper", helper()) }()
	panic("x")
}

func order() (s string) {
	for i := range 3 {
		defer func() { s += fmt.Sprint(i) }()
	}
	defer func(v string) { s += v }("arg" + s)
	s = "body"
	return s + "!"
}

func loopDefer() {
	for i := 0; i < 3; i++ {
		defer fmt.Print("d", i, " ")
	}
	fmt.Print("loop ")
}

type rec struct{ n int }

func (r rec) close()   { fmt.Println("close", r.n, recover()) }
func (r *rec) pclose() { fmt.Println("pclose", r.n) }

func methods() {
	r := rec{1}
	defer r.close()
	defer r.pclose()
	r.n = 2
	panic("methods")
}

func goexitLike() (err error) {
	defer func() {
		if e, ok := recover().(error); ok {
			err = e
		}
	}()
	var m map[string]int
	m["a"] = 1
	return nil
}

func recoverDeferred() {
	func() {
		defer func() { fmt.Println("a sees", recover()) }()
		defer recover()
		panic(1)
	}()
	func() {
		defer func() { fmt.Println("b sees", recover()) }()
		defer func() { defer recover() }()
		panic(2)
	}()
	defer func() { fmt.Println("c sees", recover()) }()
	defer func() {
		defer func() { fmt.Println("c inner sees", recover()) }()
		defer recover()
		panic(3)
	}()
	panic(4)
}

func main() {
	recoverDeferred()
	s := []int{1, 2, 3}
	var p *T
	var m map[string]int
	var i I
	var e any = "str"
	n, z, neg := 5, 0, -1
	var arr [4]int
	var np *[4]int
	str := "hello"
	try("index", func() { _ = s[n] })
	try("index neg", func() { _ = s[neg] })
	try("array", func() { _ = arr[n] })
	try("string", func() { _ = str[n+5] })
	try("slice", func() { _ = s[n:] })
	try("slice2", func() { _ = s[2 : 1+z] })
	try("slice3", func() { _ = s[0:2:n] })
	try("slice neg", func() { _ = s[neg:] })
	try("slice str", func() { _ = str[3 : n+9] })
	try("slice arr", func() { _ = arr[2:n] })
	try("div", func() { _ = n / z })
	try("mod", func() { _ = n % z })
	try("nil map", func() { m["x"] = 1 })
	try("nil ptr", func() { _ = p.b })
	try("nil ptr store", func() { p.a = 1 })
	try("nil arr", func() { _ = np[1] })
	try("nil iface", func() { i.M() })
	try("nil func", func() { var f func(); f() })
	try("assert", func() { _ = e.(int) })
	try("assert nil", func() { var x any; _ = x.(int) })
	try("assert type", func() { i = T{}; _ = i.(J) })
	try("assert iface", func() { _ = e.(I) })
	try("assert cell", func() { var x any = T{1, 2}; _ = x.(fmt.Stringer) })
	try("assert cell2", func() { var x any = T{1, 2}; _ = x.(*T) })
	try("custom", func() { panic(T{1, 2}) })
	try("error", func() { panic(errors.New("e")) })
	try("nil panic", func() { panic(nil) })
	try("shift", func() { _ = 1 << neg })
	try("make", func() { _ = make([]int, neg) })
	try("makecap", func() { _ = make([]int, 2, z) })
	try("makechan", func() { _ = make(chan int, neg) })
	try("close nil", func() { var c chan int; close(c) })
	try("close twice", func() { c := make(chan int); close(c); close(c) })
	try("send closed", func() { c := make(chan int, 1); close(c); c <- 1 })
	try("toarray", func() { _ = [4]int(s) })
	try("uncomparable", func() { var a, b any = []int{1}, []int{1}; _ = a == b })
	try("uncomparable cell", func() {
		type U struct{ s []int }
		var a, b any = U{}, U{}
		_ = a == b
	})
	try("unhashable", func() { mm := map[any]int{}; mm[[]int{1}] = 2 })
	try("unhashable cell", func() {
		type U []int
		mm := map[any]int{}
		mm[U{}] = 2
	})
	try("conversion", func() { var x any = 3; _ = x.(string) })
	fmt.Println(named())
	rethrow()
	nested()
	replaced()
	indirect()
	fmt.Println(order())
	loopDefer()
	fmt.Println()
	methods()
	fmt.Println(goexitLike())
	func() {
		defer func() { fmt.Println("again", recover()) }()
		func() {
			defer func() { recover() }()
			panic("swallowed")
		}()
	}()
	defer fmt.Println("deferred at the end")
	var q *T
	fmt.Println(q.a)
}
