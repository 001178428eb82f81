package gocell

import (
	"context"
	"errors"
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"strings"
	"testing"
)

func TestErrorsThatADesignerCanActOn(t *testing.T) {
	setup := step{code: "import `math`\ntype SleeveOptions struct{ CapHeight, CapEase float64 }\nfunc (o SleeveOptions) Height() float64 { return o.CapHeight }\nsleeve := SleeveOptions{CapHeight: 3}\nbustEase := 8.0"}
	runScripts(t, []script{
		{"suggestions", []step{setup,
			{code: "SleeveOptions{CapHieght: 13}", fails: "SleeveOptions has no field CapHieght; did you mean CapHeight? & cell 2, line 1 & ^^^^^^^^^"},
			{code: "bustEsae", fails: "undefined: bustEsae; did you mean bustEase?"},
			{code: "sleeve.Heigth()", fails: "did you mean Height?"},
			{code: "sleeve.capHeight", fails: "did you mean CapHeight?"},
			{code: "math.Sqr(3)", fails: "undefined: math.Sqr; did you mean math.Sqrt?"},
			{code: "strings.ToUpper(`a`)", fails: "undefined: strings; import \"strings\" first"},
			{code: "xyzzyx", fails: "undefined: xyzzyx"},
			{code: "func f(width float64) float64 { return widht }", fails: "did you mean width?"},
			{code: "for i := range 3 {\n\tlocal := i\n\tlocl++\n}", fails: "did you mean local? & cell 10, line 3"},
			{code: "SleeveOptions{Zzz: 1}", fails: "has no field Zzz; it has CapHeight, CapEase"},
			{code: "retrun 3", fails: "cell 12, line 1 & did you mean return?"},
			{code: "fro i := range 3 {\n}", fails: "did you mean for?"},
		}},
		{"several at once", []step{setup,
			{code: "a := bustEsae\nb := 3\nc := sleeve.Heigth()", fails: "cell 2, line 1 & bustEase? & cell 2, line 3 & Height?"},
			{code: "var s string = 3\nvar n int = `a`", fails: "line 1 & line 2 & cannot use 3 & cannot use `a`"},
			{code: "func f() int { return `a` }\nfunc g() string { return 1 }", fails: "line 1 & line 2"},
		}},
		{"positions", []step{setup,
			{code: "x := 1\n\n\tüü := 2 + zz // ü", fails: "cell 2, line 3: & \tüü := 2 + zz // ü & \t          ^^"},
			{code: "func f() int {\n\treturn zz\n}", fails: "cell 3, line 2"},
			{code: "//line other.go:100\nzz", fails: "cell 4, line 2"},
			{code: "/*line other.go:100:1*/ zz", fails: "cell 5, line 1"},
			{code: "a := 1; b := zz; c := 2", fails: "cell 6, line 1:\n & \n                 ^^"},
		}},
		{"syntax", []step{setup,
			{code: "x := (1 + 2", fails: "( is not closed & cell 2, line 1"},
			{code: "x := 1)", fails: ") closes nothing & ^"},
			{code: "f(1, [2)]", fails: ") found, but [ of line 1 must be closed first by ]"},
			{code: "for {\n\tx := \n}", fails: "cell 5, line 3"},
			{code: "x := 08", fails: "cell 6, line 1"},
			{code: "s := \"abc", fails: "string literal not terminated"},
			{code: "if x == 1\n{\n}", fails: "cell 8, line 1"},
			{code: "} func f() {", fails: "} closes nothing"},
			{code: "x := 3 +", fails: "cell 10, line 1 & the end of the cell"},
		}},
		{"run time", []step{setup,
			{code: "func first(list []int) int {\n\treturn list[0]\n}\nfunc second() int {\n\treturn first(nil)\n}"},
			{code: "x := 1\nsecond()", fails: "cell 3, line 2:\n    second()\n    ^^^^^^^^\ncell 2, line 5, in second:\n & cell 2, line 2, in first:\n    \treturn list[0]\n & index out of range [0] with length 0"},
			{code: "f := func() int { return second() }\nf()", fails: "cell 4, line 1, in f & in second & in first"},
			{code: "type T struct{}\nfunc (t T) Run() { panic(`x`) }\nT{}.Run()", fails: "cell 5, line 2, in & Run"},
		}},
	})
}

func TestErrorFields(t *testing.T) {
	s, err := New(Options{})
	if err != nil {
		t.Fatal(err)
	}
	_, err = s.Eval(context.Background(), "x := 1\ny := zz")
	var e *Error
	if !errors.As(err, &e) || e.Kind != Type || e.Message != "undefined: zz" || len(e.Positions) != 1 {
		t.Fatalf("got %#v", err)
	}
	want := Position{Cell: 1, Line: 2, Column: 6, EndColumn: 8, Source: "y := zz", Message: "undefined: zz"}
	if e.Positions[0] != want {
		t.Errorf("position %+v, want %+v", e.Positions[0], want)
	}
	mustRun(t, s, "import `errors`\nvar Sentinel = errors.New(`sentinel`)\nfunc f() (int, error) { return 0, Sentinel }")
	_, err = s.Eval(context.Background(), "f()")
	v, ok := s.Global("Sentinel")
	if !ok || !errors.Is(err, v.(error)) {
		t.Errorf("the error %v does not wrap the one that the call returned", err)
	}
	if _, err := s.EvalCell(context.Background(), 77, "zz"); !strings.HasPrefix(err.(*Error).Traceback()[0], "cell 77, line 1") {
		t.Errorf("traceback %q, want cell 77", err.(*Error).Traceback())
	}
}

// The checker's codes are not exported; this holds our numbers against it.
func TestCodesOfTheChecker(t *testing.T) {
	tests := []struct {
		code string
		want int
	}{
		{"import \"math\"", codeUnusedImport},
		{"var a = b; var b = a", codeInvalidInit},
		{"var a int; var a int", codeDuplicate},
		{"var x = struct{ A int }{B: 3}", codeUnknownField},
		{"import \"math\"; var x = math.Nothing", codeNotInPackage},
		{"import \"math\"; var x = math.sqrt", codeUnexported},
		{"var x = nothing", codeUndeclared},
		{"var x = struct{}{}.Name", codeNoFieldOrMethod},
		{"func f() { 3 }", codeUnusedExpr},
		{"func f() { x := 3 }", codeUnusedVar},
	}
	for _, tt := range tests {
		fset := token.NewFileSet()
		file, err := parser.ParseFile(fset, "", "package p;"+tt.code, 0)
		if err != nil {
			t.Fatal(err)
		}
		var got []int
		config := types.Config{Importer: importer.ForCompiler(fset, "source", nil), Error: func(err error) {
			code, start, _ := faultOf(err.(types.Error))
			if !start.IsValid() {
				t.Errorf("%s: no start", tt.code)
			}
			got = append(got, code)
		}}
		_, _ = config.Check("p", fset, []*ast.File{file}, nil)
		if len(got) == 0 || got[0] != tt.want {
			t.Errorf("%s: codes %v, want %d", tt.code, got, tt.want)
		}
	}
}

func TestNearest(t *testing.T) {
	tests := []struct{ name, want string }{
		{"CapHieght", "CapHeight"}, {"capheight", "CapHeight"}, {"Cap", ""}, {"zz", ""}, {"bdy", "body"}, {"boddy", "body"},
	}
	for _, tt := range tests {
		if got := nearest(tt.name, []string{"CapEase", "CapHeight", "body", "Body"}); got != tt.want {
			t.Errorf("nearest(%q) = %q, want %q", tt.name, got, tt.want)
		}
	}
}
