// Numbers, strings, slices, maps, closures, control flow.
package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

const (
	KB = 1 << (10 * (iota + 1))
	MB
)

func vals() (int, string, float64) { return 1, "b", 2.5 }

func variadic(pre string, xs ...int) string { return fmt.Sprint(pre, len(xs), xs == nil, xs) }

func gen(n int) func(func(int) bool) {
	return func(yield func(int) bool) {
		for i := 0; i < n; i++ {
			if !yield(i * i) {
				fmt.Println("stopped at", i)
				return
			}
		}
	}
}

func find(n int) int {
	for x := range gen(10) {
		if x > n {
			return x
		}
	}
	return -1
}

func main() {
	var i8 int8 = 127
	i8++
	var u8 uint8
	u8--
	var u16 uint16 = 65535
	u16 += 2
	var i32 int32 = math.MaxInt32
	i32 *= 2
	var i64 int64 = math.MinInt64
	i64 = -i64
	fmt.Println(i8, u8, u16, i32, i64, i64/-1, KB, MB)
	var sh uint = 70
	one := 1
	fmt.Println(one<<sh, -1>>sh, uint32(1)<<31>>sh, int8(-128)>>1, ^0, 7&^5, -7/2, -7%3, 7%-3)
	nan := math.NaN()
	fmt.Println(nan == nan, nan < 1, nan != nan, math.Inf(1) > math.MaxFloat64, 0.1+0.2, float32(0.1)+float32(0.2))
	f := 3.99
	g := -3.99
	fmt.Println(int(f), int(g), uint8(int(f)), int64(1e18), float32(16777217), math.Sqrt(2))
	c := complex(1, 2)
	c = c * c / (1 + 1i)
	fmt.Println(c, real(c), imag(c), c == complex(real(c), imag(c)), -c)
	s := "héllo, 世界\xff!"
	for i, r := range s {
		fmt.Print(i, ":", string(r), "(", r, ") ")
	}
	fmt.Println(len(s), []rune(s)[1], []byte(s)[1], string([]rune{72, 0x4e16, -1}), string(rune(65)), strings.ToUpper(s))
	fmt.Println(s[1:3], s[7:], s < "z", s+"x" == s, "a"+"b")
	a := []int{1, 2, 3, 4, 5}
	b := a[1:3]
	b = append(b, 99)
	d := a[1:2:2]
	d = append(d, 77)
	fmt.Println(a, b, d, len(b), cap(b), len(d), cap(a[2:]))
	copy(a[2:], a)
	fmt.Println(a, copy(a, []int{7}), min(3, 1, 2), max(2.5, 1), min("b", "a"))
	clear(b)
	fmt.Println(a, b)
	var grow []int
	var caps []int
	grow = append(grow, 1, 2, 3, 4) // compilers differ in the first capacity
	for i := 4; i < 2000; i++ {
		grow = append(grow, i)
		if len(caps) == 0 || caps[len(caps)-1] != cap(grow) {
			caps = append(caps, cap(grow))
		}
	}
	fmt.Println(caps)
	type big struct {
		s string
		n [3]int
	}
	var bs []big
	caps = nil
	for i := 0; i < 100; i++ {
		bs = append(bs, big{strconv.Itoa(i), [3]int{i}})
		if len(caps) == 0 || caps[len(caps)-1] != cap(bs) {
			caps = append(caps, cap(bs))
		}
	}
	fmt.Println(caps, bs[42])
	bytes := append([]byte("abc"), "def"...)
	fmt.Println(string(bytes), cap(append([]byte(nil), "12345"...)), *(*[2]byte)(bytes), [3]byte(bytes))
	m := map[string][]int{"a": {1}}
	m["b"] = append(m["b"], 2, 3)
	m["a"][0]++
	v, ok := m["zz"]
	delete(m, "a")
	fmt.Println(m, v == nil, ok, len(m))
	cnt := map[rune]int{}
	for _, r := range "hello" {
		cnt[r]++
	}
	fmt.Println(cnt)
	total := 0
	for k := range map[int]bool{1: true, 2: false, 4: true} {
		total += k
	}
	fmt.Println(total)
	nested := map[string]map[string]int{"x": {"y": 1}}
	nested["x"]["z"] = 2
	fmt.Println(nested, nested["q"]["r"])
	var fs []func() int
	for i := 0; i < 3; i++ {
		fs = append(fs, func() int { i *= 10; return i })
	}
	for _, f := range fs {
		fmt.Print(f(), f(), " ")
	}
	fmt.Println()
	acc := 0
	add := func(n int) int { acc += n; return acc }
	fmt.Println(add(1), add(2), acc)
	var rec func(int) int
	rec = func(n int) int {
		if n == 0 {
			return 1
		}
		return n * rec(n-1)
	}
	fmt.Println(rec(10))
	x, y, z := vals()
	x, y = x+1, y+"c"
	fmt.Println(x, y, z)
	i, j := 1, 2
	i, j = j, i
	a[i], a[j] = a[j], a[i]
	fmt.Println(i, j, a)
	fmt.Println(variadic("a"), variadic("b", 1, 2), variadic("c", a...), variadic("d", nil...))
outer:
	for i := range 5 {
		for j := range 5 {
			switch {
			case j == 3:
				continue outer
			case i == 3:
				break outer
			case i == j:
				fallthrough
			case false:
				fmt.Print("[", i, j, "]")
			default:
				fmt.Print(".")
			}
		}
	}
	fmt.Println()
	n := 0
loop:
	if n < 3 {
		n++
		goto loop
	}
	fmt.Println(n, find(20), find(1000))
	for x := range gen(3) {
		defer fmt.Println("deferred in loop", x)
	}
	switch x := any(n).(type) {
	case int:
		fmt.Println("int", x+1)
	}
	switch n {
	case 1, 2:
		fmt.Println("low")
	case 3:
		fmt.Println("three")
	}
	p := &n
	*p += 4
	pp := &p
	**pp *= 2
	fmt.Println(n)
	var arr [5]int
	for i := range arr {
		arr[i] = i * i
	}
	sl := arr[:]
	sl[0] = 100
	fmt.Println(arr, len(arr), arr == [5]int{100, 1, 4, 9, 16})
	grid := [3][4]int{}
	grid[1][2] = 5
	g2 := grid
	g2[1][2]++
	fmt.Println(grid, g2)
	var e1, e2 struct{}
	fmt.Println(e1 == e2, len([0]int{}))
	fmt.Printf("%v %v %.3f %s\n", math.MaxUint32, uint64(math.MaxUint64), math.Pi, strconv.Quote("a\n"))
	lbl := strings.Map(func(r rune) rune {
		if r == 'a' {
			return -1
		}
		return r + 1
	}, "banana")
	fmt.Println(lbl, strings.FieldsFunc("a1b2c", func(r rune) bool { return r < 'a' }))
}
