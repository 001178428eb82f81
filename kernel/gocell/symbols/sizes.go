package symbols

import (
	"bytes"
	"encoding/json"
	"io"
	"maps"
	"math"
	"math/rand/v2"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"sync"
)

// A size tells from the arguments of a call, the receiver first, how many bytes
// it makes in one go. Go ends the whole process when it can't get them.
type size = func(a []reflect.Value) float64

// Size returns what measures the calls of a function ("import/path.Func") or
// method ("import/path.Type.Method") that makes much more than it is given: as
// much as a count among its arguments says, or the product of two lengths. It
// is nil for all others, whose results grow with what they are given.
//
// Not measured are functions that write more and more because their input goes
// on and on (a reader of cell code is stopped by the memory limit at its next
// turn), values that are reached on many ways (a list that holds the same list
// twice, forty deep), and what takes a size from data (mat.Dense's
// UnmarshalBinaryFrom).
func (t *Table) Size(name string) func(args []reflect.Value) float64 { return sizes()[name] }

// Measured lists the functions and methods that Size measures, sorted.
func (t *Table) Measured() []string { return slices.Sorted(maps.Keys(sizes())) }

var sizes = sync.OnceValue(func() map[string]size {
	all := maps.Clone(stdSizes)
	maps.Copy(all, matSizes())
	maps.Copy(all, gonumSizes)
	maps.Copy(all, orbSizes)
	for _, path := range []string{"patternkit/patternkit", "patternkit/patternkit/geom"} {
		all[path+".Arc"] = turns
	}
	return all
})

var stdSizes = map[string]size{
	"bufio.NewReaderSize":  counted(1, 1),
	"bufio.NewWriterSize":  counted(1, 1),
	"bytes.Buffer.Grow":    func(a []reflect.Value) float64 { return number(a[1]) + 2*float64(of[*bytes.Buffer](a[0]).Cap()) },
	"strings.Builder.Grow": func(a []reflect.Value) float64 { return number(a[1]) + 2*float64(of[*strings.Builder](a[0]).Cap()) },

	"bytes.Repeat":       func(a []reflect.Value) float64 { return length(a[0]) * number(a[1]) },
	"strings.Repeat":     func(a []reflect.Value) float64 { return length(a[0]) * number(a[1]) },
	"bytes.Join":         joined,
	"strings.Join":       joined,
	"bytes.Replace":      replaced,
	"bytes.ReplaceAll":   replaced,
	"strings.Replace":    replaced,
	"strings.ReplaceAll": replaced,

	"strings.Replacer.Replace":              func(a []reflect.Value) float64 { return replacerLength(a[0], a[1]) },
	"strings.Replacer.WriteString":          func(a []reflect.Value) float64 { return replacerLength(a[0], a[2]) },
	"regexp.Regexp.ReplaceAll":              expanded,
	"regexp.Regexp.ReplaceAllString":        expanded,
	"regexp.Regexp.ReplaceAllLiteral":       expanded,
	"regexp.Regexp.ReplaceAllLiteralString": expanded,

	"bytes.Split":        pieces(24),
	"bytes.SplitAfter":   pieces(24),
	"strings.Split":      pieces(16),
	"strings.SplitAfter": pieces(16),

	"strconv.AppendFloat":   counted(1, 3),
	"strconv.FormatFloat":   counted(1, 2),
	"strconv.FormatComplex": counted(2, 2),

	"encoding/json.Indent":        func(a []reflect.Value) float64 { return indented(a[1].Bytes(), a[2], a[3]) },
	"encoding/json.MarshalIndent": marshalled,

	"io.ReadAll":            func(a []reflect.Value) float64 { return endless(a[0]) },
	"io.Copy":               func(a []reflect.Value) float64 { return endless(a[1]) },
	"io.CopyBuffer":         func(a []reflect.Value) float64 { return endless(a[1]) },
	"io.CopyN":              func(a []reflect.Value) float64 { return min(number(a[2]), endless(a[1])) },
	"bytes.Buffer.ReadFrom": func(a []reflect.Value) float64 { return endless(a[1]) },
	"bufio.Writer.ReadFrom": func(a []reflect.Value) float64 { return endless(a[1]) },

	"math/rand/v2.Perm":      counted(8, 0),
	"math/rand/v2.Rand.Perm": counted(8, 1),

	// Each cell is filled up to these widths.
	"text/tabwriter.NewWriter":   func(a []reflect.Value) float64 { return tabbed(a[1:]) },
	"text/tabwriter.Writer.Init": func(a []reflect.Value) float64 { return tabbed(a[2:]) },
}

// counted is a value of so many bytes times the product of the arguments at
// the given places.
func counted(bytes float64, at ...int) size {
	return func(a []reflect.Value) float64 {
		n := bytes
		for _, i := range at {
			n *= number(a[i])
		}
		return n
	}
}

// number is a numeric argument; a negative one makes nothing.
func number(v reflect.Value) float64 {
	switch {
	case v.CanInt():
		return max(0, float64(v.Int()))
	case v.CanUint():
		return float64(v.Uint())
	}
	return max(0, v.Float())
}

func length(v reflect.Value) float64 { return float64(v.Len()) }

// of is an argument of a known type; a nil receiver fails as it does in the call.
func of[T any](v reflect.Value) T {
	x, _ := v.Interface().(T)
	return x
}

func joined(a []reflect.Value) float64 {
	n := length(a[1]) * max(0, length(a[0])-1)
	for i := range a[0].Len() {
		n += length(a[0].Index(i))
	}
	return n
}

// text is a string, or bytes seen as one.
func text(v reflect.Value) string {
	if v.Kind() == reflect.String {
		return v.String()
	}
	return string(v.Bytes())
}

// small is a bound below which nothing is counted exactly.
const small = 1 << 20

func replaced(a []reflect.Value) float64 {
	s, by := length(a[0]), length(a[2])
	if most := s + (s+1)*by; most < small {
		return most
	}
	n := float64(strings.Count(text(a[0]), text(a[1])))
	if len(a) > 3 && a[3].Int() >= 0 {
		n = min(n, number(a[3]))
	}
	return s + n*max(0, by-length(a[1]))
}

func pieces(header float64) size {
	return func(a []reflect.Value) float64 {
		if length(a[0]) < small {
			return 0
		}
		return header * float64(1+strings.Count(text(a[0]), text(a[1])))
	}
}

// A tally counts what is written to it.
type tally float64

func (t *tally) Write(p []byte) (int, error)       { *t += tally(len(p)); return len(p), nil }
func (t *tally) WriteString(s string) (int, error) { *t += tally(len(s)); return len(s), nil }

func replacerLength(r, s reflect.Value) float64 {
	var n tally
	if r := of[*strings.Replacer](r); r != nil {
		r.WriteString(&n, s.String())
	}
	return float64(n)
}

// expanded is what a regular expression's matches replaced make. Each $ of the
// replacement may stand for a whole match.
func expanded(a []reflect.Value) float64 {
	src, by := length(a[1]), text(a[2])
	refs := strings.Count(by, "$")
	if most := (src + 1) * float64(len(by)+1); most < small && refs == 0 {
		return most
	}
	n := src
	for _, m := range of[*regexp.Regexp](a[0]).FindAllStringIndex(text(a[1]), -1) {
		n += float64(len(by)) + float64(refs*(m[1]-m[0]))
	}
	return n
}

// indented is the length of JSON with a line for each element, which starts with
// the prefix and as many indents as it is deep.
func indented(src []byte, prefix, indent reflect.Value) float64 {
	n, depth, inText := float64(len(src)), 0.0, false
	for i := 0; i < len(src); i++ {
		switch c := src[i]; {
		case inText && c == '\\':
			i++
		case c == '"':
			inText = !inText
		case inText:
		case c == '{', c == '[', c == ',', c == '}', c == ']':
			switch c {
			case '{', '[':
				depth++
			case '}', ']':
				depth = max(0, depth-1)
			}
			n += 2 + length(prefix) + depth*length(indent)
		}
	}
	return n
}

func marshalled(a []reflect.Value) float64 {
	if length(a[1])+length(a[2]) < 256 {
		return 0
	}
	src, err := json.Marshal(a[0].Interface())
	if err != nil {
		return 0 // the call says so itself
	}
	return indented(src, a[1], a[2])
}

// endless is how much comes out of a reader that never ends; 0 of all others.
func endless(v reflect.Value) float64 {
	switch r := v.Interface().(type) {
	case *rand.ChaCha8:
		return math.Inf(1)
	case *io.LimitedReader:
		if r != nil && r.R != nil {
			return min(endless(reflect.ValueOf(r.R)), float64(r.N))
		}
	}
	return 0
}

func tabbed(a []reflect.Value) float64 {
	widest := number(a[0]) + number(a[1]) + number(a[2])
	if widest < small {
		return 0
	}
	return widest * (1 << 10) // some lines of a few cells
}

// turns is an arc of cubics, four or more to the turn.
func turns(a []reflect.Value) float64 {
	const quarter = 200 // a segment and where it starts
	return quarter * math.Abs(a[3].Float()) / (math.Pi / 2)
}
