package kernel

import (
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"
)

type (
	withString struct{ N int }
	withHTML   struct{ N int }
	withSVG    struct{ Markup string }
	withAll    struct{}
	withFaults struct{ What string }
	withError  struct{}
	plain      struct {
		Name   string
		Length float64
		hidden int
	}
)

func (v withString) String() string { return fmt.Sprintf("number %d", v.N) }

func (v withHTML) HTML() string { return fmt.Sprintf("<i>%d</i>", v.N) }

func (v withSVG) SVG() string    { return v.Markup }
func (v withSVG) String() string { return "a drawing" }

func (withAll) HTML() string         { return "<i>all</i>" }
func (withAll) SVG() string          { return "<svg/>" }
func (withAll) PNG() []byte          { return []byte("png") }
func (withAll) Markdown() string     { return "*all*" }
func (withAll) Latex() string        { return "$all$" }
func (withAll) JSON() map[string]any { return map[string]any{"all": 1} }
func (withAll) String() string       { return "all" }

func (v withFaults) HTML() string { panic("no cloth") }
func (v withFaults) JSON() map[string]any {
	return map[string]any{"f": func() {}}
}

func (withError) Error() string { return "an error" }

func mimes(b Bundle) []string { return slices.Sorted(maps.Keys(b)) }

func TestShowUsesEveryMethod(t *testing.T) {
	want := Bundle{
		"text/plain": "all", "text/html": "<i>all</i>", "image/png": base64.StdEncoding.EncodeToString([]byte("png")),
		"text/markdown": "*all*", "text/latex": "$all$", "application/json": json.RawMessage(`{"all":1}`),
	}
	if got := Show(withAll{}); !reflect.DeepEqual(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
	for _, slow := range []string{"image/png", "text/markdown", "text/latex"} {
		delete(want, slow)
	}
	if got := ShowQuick(withAll{}); !reflect.DeepEqual(got, want) {
		t.Errorf("quick: %v, want %v", got, want)
	}
}

func TestShowTexts(t *testing.T) {
	var nothing *withAll
	tests := []struct {
		name  string
		value any
		want  string
	}{
		{"nil", nil, "<nil>"},
		{"nil pointer", nothing, "<nil>"},
		{"string", "one\ntwo", "one\ntwo"},
		{"number", 1.5, "1.5"},
		{"Stringer", withString{3}, "number 3"},
		{"error", errors.New("no cloth"), "no cloth"},
		{"type with Error", withError{}, "an error"},
		{"slice", []int{1, 2}, "[1 2]"},
		{"slice of Stringers", []withString{{1}, {2}}, "[number 1 number 2]"},
		{"empty slice of structs", []plain{}, "[]"},
		{"a few bytes", []byte{1, 2}, "[1 2]"},
		{"content of a file", make([]byte, 1234), `(1234 bytes; Save("name", …) keeps them in a file)`},
	}
	for _, test := range tests {
		if got := Show(test.value); !reflect.DeepEqual(got, Bundle{"text/plain": test.want}) {
			t.Errorf("%s: %v, want %q", test.name, got, test.want)
		}
	}
}

func TestShowSVGAsImage(t *testing.T) {
	tests := []struct{ name, svg, want string }{
		{"millimetres", `<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg" width="50.8mm" height="25.4mm"><title>A &lt;cap&gt;</title></svg>`,
			` width="192" height="96" alt="A &lt;cap&gt;">`},
		{"viewBox", `<svg viewBox="0 0 300 200"><desc>x</desc></svg>`, ` width="300" height="200" alt="a drawing">`},
		{"wider than a page", `<svg width="1800" height="90px"/>`, ` width="900" height="45" alt="a drawing">`},
		{"relative", `<svg width="100%" height="100%"/>`, `" alt="a drawing">`},
		{"not SVG", `<html>`, `" alt="a drawing">`},
		{"a title of a part", `<svg width="1" height="1"><g><title>part</title></g></svg>`, ` width="1" height="1" alt="a drawing">`},
	}
	for _, test := range tests {
		b := Show(withSVG{test.svg})
		want := `<img src="data:image/svg+xml;base64,` + base64.StdEncoding.EncodeToString([]byte(test.svg)) + `"`
		got, _ := b["text/html"].(string)
		if !strings.HasPrefix(got, want) || !strings.HasSuffix(got, test.want) {
			t.Errorf("%s: %s, want it to end in %s", test.name, got, test.want)
		}
		if want := []string{"text/html", "text/plain"}; !slices.Equal(mimes(b), want) {
			t.Errorf("%s: %v, want %v", test.name, mimes(b), want)
		}
	}
}

func TestShowReportsPanics(t *testing.T) {
	b := Show(withFaults{"x"})
	text := b["text/plain"].(string)
	if !strings.Contains(text, "HTML() of this value panics: no cloth") || !strings.Contains(text, "JSON() of this value can't be written") {
		t.Errorf("text %q", text)
	}
	if html := b["text/html"].(string); !strings.Contains(html, "no cloth") {
		t.Errorf("html %q", html)
	}
}

func TestShowTable(t *testing.T) {
	b := Show([]plain{{"hem <a>", 4, 1}, {"side", 12.5, 2}})
	if want := "Name     Length\nhem <a>       4\nside       12.5"; b["text/plain"] != want {
		t.Errorf("text\n%s, want\n%s", b["text/plain"], want)
	}
	want := `<table>
<thead><tr><th align="left">Name</th><th align="right">Length</th></tr></thead>
<tbody>
<tr><td align="left">hem &lt;a&gt;</td><td align="right">4</td></tr>
<tr><td align="left">side</td><td align="right">12.5</td></tr>
</tbody>
</table>`
	if b["text/html"] != want {
		t.Errorf("html\n%s, want\n%s", b["text/html"], want)
	}
	b = Show(plain{"hem <a>", 4, 1})
	if want := "Field   Value\nName    hem <a>\nLength  4"; b["text/plain"] != want {
		t.Errorf("one struct\n%s, want\n%s", b["text/plain"], want)
	}
	if want := `<tr><td align="left">Name</td><td align="left">hem &lt;a&gt;</td></tr>`; !strings.Contains(b["text/html"].(string), want) {
		t.Errorf("one struct: no %s in\n%s", want, b["text/html"])
	}
	long := Show(make([]plain, maxRows+3))
	if text := long["text/plain"].(string); !strings.HasSuffix(text, "\n… and 3 more") {
		t.Errorf("a long table ends in %q", text[len(text)-40:])
	}
}

func TestShowSlicesOfShown(t *testing.T) {
	for _, v := range []any{[]withHTML{{1}, {2}}, []any{withHTML{1}, withHTML{2}}, [2]withHTML{{1}, {2}}} {
		b := Show(v)
		if want := "<div><i>1</i></div>\n<div><i>2</i></div>"; b["text/html"] != want {
			t.Errorf("%T: %v", v, b)
		}
	}
	b := Show([]any{withHTML{1}, "a <b>", nil})
	if want := "<div><i>1</i></div>\n<pre>a &lt;b&gt;</pre>\n<pre>&lt;nil&gt;</pre>"; b["text/html"] != want {
		t.Errorf("mixed: %v", b["text/html"])
	}
}

// A showing writes down what is shown.
type showing struct{ lines []string }

func (o *showing) Stream(name, text string) { o.lines = append(o.lines, name+" "+text) }
func (o *showing) Display(d Display) {
	o.lines = append(o.lines, fmt.Sprint("display ", mimes(d.Data)))
}
func (o *showing) ClearOutput(bool) { o.lines = append(o.lines, "clear") }
func (o *showing) Result(_ int, d Display) {
	o.lines = append(o.lines, fmt.Sprint("result ", d.Data["text/plain"]))
}

type selfShown struct{ out Output }

func (s selfShown) ShowInNotebook() error {
	s.out.Display(Display{Data: Bundle{"text/self": ""}})
	return nil
}

func TestResultsOfSeveralValues(t *testing.T) {
	self := &showing{}
	tests := []struct {
		values []any
		want   []string
	}{
		{nil, nil},
		{[]any{nil}, []string{"result <nil>"}},
		{[]any{1, "two"}, []string{"result 1, two"}},
		{[]any{withHTML{1}, 2}, []string{"display [text/html text/plain]", "result 2"}},
		{[]any{selfShown{self}}, []string{"display [text/self]"}},
	}
	for _, test := range tests {
		self.lines = nil
		if err := showResult(test.values, 1, self); err != nil {
			t.Error(err)
		}
		if !slices.Equal(self.lines, test.want) {
			t.Errorf("%v: %q, want %q", test.values, self.lines, test.want)
		}
	}
}
