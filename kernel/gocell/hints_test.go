package gocell

import (
	"html"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"
)

func TestIsComplete(t *testing.T) {
	s, err := New(Options{})
	if err != nil {
		t.Fatal(err)
	}
	tests := []struct{ code, status, indent string }{
		{"", "complete", ""},
		{"1+1", "complete", ""},
		{"x := 3 // done", "complete", ""},
		{"for i := range 3 {", "incomplete", "\t"},
		{"for i := range 3 {\n\tif i > 1 {", "incomplete", "\t\t"},
		{"for i := range 3 {\n}", "complete", ""},
		{"f(1,", "incomplete", "\t"},
		{"f(1,\n2)", "complete", ""},
		{"x := a +", "incomplete", ""},
		{"x :=", "incomplete", ""},
		{"x := body.", "incomplete", ""},
		{"s := `raw", "incomplete", ""},
		{"/* comment", "incomplete", ""},
		{"s := \"half", "invalid", ""},
		{"func f() {", "incomplete", "\t"},
		{"func (t T) f(", "incomplete", "\t"},
		{"type T struct {", "incomplete", "\t"},
		{"import (", "incomplete", "\t"},
		{"x := := 3", "invalid", ""},
		{"x := := f(", "invalid", ""},
		{")", "invalid", ""},
		{"f(]", "invalid", ""},
		{"if x", "invalid", ""},
		{"x := []int{1,\n\t2,", "incomplete", "\t"},
		{"Live(func() any {", "incomplete", "\t\t"},
	}
	for _, tt := range tests {
		status, indent := s.IsComplete(tt.code)
		if status != tt.status || indent != tt.indent {
			t.Errorf("IsComplete(%q) = %s, %q, want %s, %q", tt.code, status, indent, tt.status, tt.indent)
		}
	}
}

// cursor splits code at the mark |, which stands for the cursor.
func cursor(code string) (string, int) {
	before, after, _ := strings.Cut(code, "|")
	return before + after, utf8.RuneCountInString(before)
}

func TestComplete(t *testing.T) {
	s, err := New(Options{})
	if err != nil {
		t.Fatal(err)
	}
	mustRun(t, s, `import "strings"
type Options struct { CapHeight, CapEase float64; wrist int }
type Sleeve struct { Options; Name string }
func (s Sleeve) Width() float64 { return 3 }
func (s *Sleeve) Wider() {}
func draft(o Options) (Sleeve, error) { return Sleeve{Options: o}, nil }
type Method int
const ( Direct Method = iota; Proportional )
type Block struct { Method Method }
sleeve := draft(Options{})
ärmel := 3`)
	tests := []struct {
		code  string
		first string // comma-separated beginning of the matches; empty when none may come
		lacks string
	}{
		{"sle|", "sleeve", "strings"},
		{"strings.ToUp|", "ToUpper,ToUpperSpecial", ""},
		{"strings.|", "Builder", ""},
		{"sleeve.|", "CapEase,CapHeight,Name,Options,Wider,Width,wrist", ""},
		{"sleeve.W|", "Wider,Width", "Name"},
		{"draft(Options{}).W|", "Wider,Width", ""},
		{"draft(Options{Cap|", "CapHeight,CapEase", ""},
		{"draft(Options{CapHeight: 3, Cap|})", "CapEase", "CapHeight"},
		{"x := Options{\n\tCapHeight: 3,\n\tCap|\n}", "CapEase", "CapHeight"},
		{"Options{CapE|: 3}", "CapEase", "CapHeight"},
		{"b := Block{Method: |}", "Direct,Proportional", ""},
		{"x := := 3\nsleeve.Wi|", "Wider,Width", ""},
		{"y := sleeve\ny.Wi|", "Wider,Width", ""},
		{"y := draft(Options{})\ny.Wi|", "Wider,Width", ""},
		{"func f(long int) {\n\tlonger := 3\n\tlon|\n}", "long,longer", ""},
		{"z := 3\nfunc f(a Sleeve) float64 { return a.Wi| }", "Wider,Width", ""},
		{"for i := range 3 { ret|", "return", ""},
		{"ä|", "ärmel", ""},
		{"\"ä\" + strings.ToTi|", "ToTitle", ""},
		{"// sle|", "", ""},
		{"\"sle|", "", ""},
		{"import \"mat|", "math", ""},
		{"import (\n\t\"mat|", "math", ""},
		{"SLEEV|", "Sleeve,sleeve", ""},
		{"if sleeve.Name == \"\" { sleeve.Wid|", "Wider,Width", ""},
		{"foo(sleeve.Wid|", "Wider,Width", ""},
		{"1 + sleeve.Wid| +", "Wider,Width", ""},
	}
	for _, tt := range tests {
		code, at := cursor(tt.code)
		got := s.Complete(code, at).Texts()
		want := strings.Split(tt.first, ",")
		if tt.first == "" {
			if len(got) != 0 {
				t.Errorf("Complete(%q) = %v, want nothing", tt.code, got)
			}
			continue
		}
		if len(got) < len(want) || !slices.Equal(got[:len(want)], want) {
			t.Errorf("Complete(%q) = %.10q, want %q first", tt.code, got, want)
		}
		if tt.lacks != "" && slices.Contains(got, tt.lacks) {
			t.Errorf("Complete(%q) offers %s", tt.code, tt.lacks)
		}
	}
	c := s.Complete("\"ä\" + strings.ToTi", 18)
	if c.Start != 14 || c.End != 18 {
		t.Errorf("the completion replaces %d to %d, want 14 to 18", c.Start, c.End)
	}
}

func TestInspect(t *testing.T) {
	s, err := New(Options{})
	if err != nil {
		t.Fatal(err)
	}
	mustRun(t, s, `import "strings"
// Options shape a sleeve.
type Options struct {
	// CapHeight is the crown's height.
	CapHeight float64
	Ease float64 // added to the cap
}

// draft makes a sleeve.
func draft(height float64, o Options) (float64, error) { return height, nil }

// Area is the surface.
func (o Options) Area() float64 { return 1 }
const depth = 2.5 // how deep
o := Options{CapHeight: 3}`)
	tests := []struct{ code, want string }{
		{"dra|ft(3, o)", "func draft(height float64, o Options) (float64, error) & draft makes a sleeve."},
		{"draft(|", "func draft(height float64"},
		{"draft(3, Op|tions{})", "type Options struct & Options shape a sleeve. & CapHeight float64 & CapHeight is the crown's height. & added to the cap & Area() float64"},
		{"o|", "var o Options & = {3 0}"},
		{"o.Are|a()", "Area() float64 & Area is the surface."},
		{"Options{CapHei|ght: 3}", "CapHeight is the crown's height."},
		{"depth|", "const depth & 2.5 & how deep"},
		{"strings.Repea|t", "func strings.Repeat(s string, count int) string & Repeat returns a new string"},
		{"string|s", "package strings"},
		{"len|", "builtin len"},
	}
	for _, tt := range tests {
		code, at := cursor(tt.code)
		p, ok := s.Inspect(code, at, 0)
		if !ok {
			t.Errorf("Inspect(%q) knows nothing", tt.code)
			continue
		}
		for _, part := range strings.Split(tt.want, " & ") {
			if !strings.Contains(p.String(), part) {
				t.Errorf("Inspect(%q) lacks %q:\n%s", tt.code, part, p.String())
			}
		}
	}
	mustRun(t, s, "type Slow struct{}\nfunc (Slow) String() string { for {} }\nslow := Slow{}")
	if p, ok := s.Inspect("slow", 1, 0); !ok || p.Value != "" {
		t.Errorf("a value that can't be printed is %q", p.Value)
	}
	if _, ok := s.Inspect("nobody", 3, 0); ok {
		t.Error("an unknown name is explained")
	}
}

// A second look has the source of what cells declare, as it is written, and
// what the methods of a type do; a first look has neither.
func TestInspectFully(t *testing.T) {
	s, err := New(Options{})
	if err != nil {
		t.Fatal(err)
	}
	mustRun(t, s, `import "strings"
// Cap is the head of a sleeve.
type Cap struct{ Height float64 }

// Room is what it leaves.
func (c Cap) Room() float64 {
	return c.Height / 2 // by eye
}
high, low := Cap{13}, Cap{9}
double := func(c Cap) Cap { return Cap{2 * c.Height} }
var _ strings.Builder`)
	for _, tt := range []struct{ code, want string }{
		{"Ca|p{}", "type Cap struct{ Height float64 } & Room() float64 & Room is what it leaves."},
		{"high.Roo|m()", "func (c Cap) Room() float64 {\n\treturn c.Height / 2 // by eye\n}"},
		{"lo|w", "high, low := Cap{13}, Cap{9}"},
		{"doubl|e(low)", "double := func(c Cap) Cap { return Cap{2 * c.Height} }"},
		{"low.Heigh|t", "// Cap is the head of a sleeve.\ntype Cap struct{ Height float64 }"},
		{"strings.Builde|r", "Reset() & Reset resets the [Builder] to be empty."},
	} {
		code, at := cursor(tt.code)
		fully, ok := s.Inspect(code, at, 1)
		briefly, _ := s.Inspect(code, at, 0)
		for _, part := range strings.Split(tt.want, " & ") {
			if !ok || !strings.Contains(fully.String(), part) || !strings.Contains(fully.HTML(), html.EscapeString(part)) {
				t.Errorf("Inspect(%q) fully lacks %q:\n%s", tt.code, part, fully)
			}
		}
		if briefly.Source != "" || len(briefly.String()) >= len(fully.String()) {
			t.Errorf("Inspect(%q) is as long at first look:\n%s", tt.code, briefly)
		}
	}
}
