package suite_test

// prelude is declared before every random program. It keeps programs finite
// (tick), short of output (out) and free of what Go leaves to the
// implementation: the conversion of a float that does not fit an integer.
const prelude = `
var fuel, lines int

func reset() { fuel, lines = 0, 0 }

// tick is called by every function and every loop body.
func tick() {
	fuel++
	if fuel > 3000 {
		panic("out of fuel")
	}
}

func out(args ...any) {
	lines++
	if lines <= 120 {
		fmt.Println(args...)
	}
}

// message leaves out what names a package or a type.
func message(r any) string {
	s := fmt.Sprint(r)
	if strings.Contains(s, "interface conversion") {
		return "interface conversion"
	}
	return s
}

func idx(i, n int) int {
	if i < 0 {
		i = -(i + 1)
	}
	return i % n
}

func cut(s string) string {
	if len(s) > 24 {
		return s[:24]
	}
	return s
}

func pick[E any](s []E, i int) (zero E) {
	if len(s) == 0 {
		return zero
	}
	return s[idx(i, len(s))]
}

func small(f float64) float64 {
	if f > -100 && f < 100 {
		return f
	}
	return 7
}

func smallPositive(f float64) float64 {
	if f >= 0 && f < 100 {
		return f
	}
	return 9
}

func apply[A, B any](s []A, f func(A) B) []B {
	var r []B
	for _, a := range s {
		r = append(r, f(a))
	}
	return r
}

func count(n int) func(func(int) bool) {
	return func(yield func(int) bool) {
		for i := 0; i < n; i++ {
			if !yield(i * i) {
				return
			}
		}
	}
}
`
