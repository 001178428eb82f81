package gocell

import "testing"

// What every session of this test begins with: functions that fail on demand.
const failing = `import ("errors"; "fmt")
type Sleeve struct{ Cap float64 }
type Body struct{ Girth float64 }
type Part interface{ Size() float64 }
func (s Sleeve) Size() float64 { return s.Cap }
func (b Body) Estimated() (Body, error) { if b.Girth == 0 { return b, errors.New("girth is missing") }; return Body{b.Girth + 1}, nil }
func (b *Body) Widen(by float64) error { if by < 0 { return fmt.Errorf("can't widen by %v", by) }; b.Girth += by; return nil }
func half(n float64) (float64, error) { if n < 0 { return 0, fmt.Errorf("%v is negative", n) }; return n/2, nil }
func draft(cap float64) (Sleeve, error) { if cap > 20 { return Sleeve{}, fmt.Errorf("cap %v is too high", cap) }; return Sleeve{cap}, nil }
func both(n int) (int, string, error) { if n > 9 { return 0, "", errors.New("too many") }; return n, "ok", nil }
func join(parts ...Part) (float64, error) { if len(parts) == 0 { return 0, errors.New("no parts") }; t := 0.0; for _, p := range parts { t += p.Size() }; return t, nil }
func add(a int, b string) string { return fmt.Sprint(a, b) }
func id(f float64) float64 { return f }`

func TestTrailingError(t *testing.T) {
	first := step{code: failing}
	runScripts(t, []script{
		{"places", []step{first,
			{code: "a := half(4)\na", value: "2"},
			{code: "var b = half(6)\nb", value: "3"},
			{code: "var c float64 = half(8)\nc", value: "4"},
			{code: "a = half(10)\na", value: "5"},
			{code: "n, s := both(3)\nfmt.Sprint(n, s)", value: "3ok"},
			{code: "n, s = both(4)\nn", value: "4"},
			{code: "half(half(16)) + half(2)", value: "5"},
			{code: "id(half(8))", value: "4"},
			{code: "add(both(5))", value: "5ok"},
			{code: "Body{3}.Estimated().Girth", value: "4"},
			{code: "Body{3}.Estimated().Estimated().Girth", value: "5"},
			{code: "join(draft(3), draft(4))", value: "7"},
			{code: "func list() ([]Part, error) { return []Part{Sleeve{5}}, nil }\njoin(list()...)", value: "5"},
			{code: "[]float64{half(2), half(4)}", value: "[1 2]"},
			{code: "map[string]float64{`a`: half(2)}", value: "map[a:1]"},
			{code: "Sleeve{Cap: half(2)}", value: "{1}"},
			{code: "if half(4) > 1 { a = 77 }\na", value: "77"},
			{code: "switch half(4) { case half(4): a = 78 }\na", value: "78"},
			{code: "for range int(half(6)) { a++ }\na", value: "81"},
			{code: "a += half(2)\na", value: "82"},
			{code: "(half(2))", value: "1"},
			{code: "x, y := half(2), half(4)\nx + y", value: "3"},
			{code: "float32(half(2))", value: "1"},
			{code: "p := &Sleeve{half(4)}\np.Cap", value: "2"},
			{code: "func(f float64) float64 { return f * 2 }(half(4))", value: "4"},
			{code: "ch := make(chan float64, 1)\nch <- half(4)\n<-ch", value: "2"},
			{code: "both(3)", value: "3, ok"},
			{code: "_ = half(4)"},
			{code: "_, _ = half(-4)"},
			{code: "(&Body{3}).Widen(2)"},
		}},
		{"stops", []step{first,
			{code: "half(-1)", fails: "-1 is negative & cell 2, line 1 & ^^^^^^^^"},
			{code: "x := 1\ny := 2 + half(-3)", fails: "-3 is negative & cell 3, line 2 & half(-3)"},
			{code: "Body{}.Estimated().Girth", fails: "girth is missing"},
			{code: "_ = half(-4)", fails: "-4 is negative"},
			{code: "half(-5)\n3", fails: "-5 is negative"},
			{code: "b := Body{3}\nb.Widen(-2)\n3", fails: "can't widen by -2 & cell 7, line 2"},
			{code: "if true { b.Widen(-3) }", fails: "can't widen by -3"},
			{code: "both(10)", fails: "too many"},
			{code: "add(both(11))", fails: "too many"},
			{code: "join()", fails: "no parts"},
		}},
		{"functions", []step{first,
			{code: "f := func() float64 { return half(-2) }\ng := func() Sleeve {\n\ts := draft(30)\n\treturn s\n}\nfunc h(n float64) (float64, error) { return half(n) }\nfunc k() float64 { return draft(25).Cap }\nfunc both2() (int, string) { return both(12) }"},
			{code: "f()", fails: "-2 is negative & cell 3, line 1 & cell 2, line 1, in f"},
			{code: "g()", fails: "cap 30 is too high & cell 2, line 3, in g"},
			{code: "h(-4)", fails: "-4 is negative"},
			{code: "v, err := h(-4)\nfmt.Sprint(v, err)", value: "0 -4 is negative"},
			{code: "k()", fails: "cap 25 is too high & in k"},
			{code: "both2()", fails: "too many & in both2"},
			{code: "deep := func() func() float64 { return func() float64 { return id(half(-9)) } }\ndeep()()", fails: "-9 is negative"},
			{code: "recovered := false\nfunc try() { defer func() { if recover() != nil { recovered = true } }(); half(-1) }\ntry()", fails: "-1 is negative"},
			{code: "recovered", value: "false"},
			{code: "type R struct{ n float64 }\nfunc (r R) Half() float64 { return half(r.n) }\nR{-8}.Half()", fails: "-8 is negative"},
		}},
		{"own handling is left alone", []step{first,
			{code: "v, err := half(-1)\nerr", value: "-1 is negative"},
			{code: "_, err = half(-2)\nerr", value: "-2 is negative"},
			{code: "if _, err := half(-3); err != nil { v = 33 }\nv", value: "33"},
			{code: "if err := (&Body{}).Widen(-1); err != nil { v = 34 }\nv", value: "34"},
			{code: "fmt.Sprint(half(-4))", value: "0 -4 is negative"},
			{code: "func pass() (float64, error) { return half(-5) }\nw, err := pass()\nerr", value: "-5 is negative"},
			{code: "err := half(-6)", fails: "assignment mismatch"},
			{code: "errors.Is(err, err)", value: "true"},
			{code: "func same(err error) error { return err }\ne := same(errors.New(`kept`))\ne", value: "kept"},
			{code: "defer half(-7)"},
			{code: "handle := func(f float64, err error) string { return fmt.Sprint(err) }\nhandle(half(-8))", value: "-8 is negative"},
		}},
		{"what can't be taken", []step{first,
			{code: "x := both(3)", fails: "assignment mismatch: 1 variable but both returns 3 values"},
			{code: "id(both(3))", fails: "too many arguments"},
			{code: "1 + both(3)", fails: "multiple-value both(3)"},
			{code: "half(`a`)", fails: "cannot use `a`"},
			{code: "half(missing)", fails: "undefined: missing"},
		}},
		{"generic", []step{first,
			{code: "func apply[T any](v T, f func(T) (T, error)) T { return f(v) }\napply(4.0, half)", value: "2"},
			{code: "apply(-4.0, half)", fails: "-4 is negative"},
			{code: "func must[T any](v T, err error) T { return v }\nmust(half(8))", value: "4"},
		}},
	})
}
