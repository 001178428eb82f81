// Values of the program's own types to and from JSON.
package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"
)

type Size struct {
	Name   string `json:"name"`
	Bust   float64
	Waist  float64 `json:"waist,omitempty"`
	Tags   []string
	hidden int
	Skip   string `json:"-"`
	Dash   string `json:"-,"`
	Count  int    `json:",string"`
}

type Base struct {
	ID   int
	Note string `json:"note,omitempty"`
}

type inner struct {
	Depth int
	ID    string // hidden by Base.ID: both are at the same depth, so neither shows
}

type Piece struct {
	Base
	inner
	*Size
	Named  Base `json:"named"`
	Parts  map[string]Base
	Near   []Base
	Pair   [2]Base
	Maybe  *Base
	Any    any
	Time   time.Time
	Raw    json.RawMessage
	Größe  int
	Number json.Number
}

type Outer struct {
	Base
	*Sheet
	inner2
	In struct{ Deep Base }
}

type inner2 struct{ Low Base }

type Node struct {
	Value    int
	Next     *Node            `json:",omitempty"`
	Children []Node           `json:"children,omitempty"`
	ByName   map[string]*Node `json:",omitempty"`
}

// CM is written as "12 cm".
type CM float64

func (c CM) MarshalText() ([]byte, error) {
	if c < 0 {
		return nil, errors.New("a length below zero")
	}
	return []byte(strconv.FormatFloat(float64(c), 'g', -1, 64) + " cm"), nil
}

func (c *CM) UnmarshalText(b []byte) error {
	n, err := strconv.ParseFloat(strings.TrimSuffix(string(b), " cm"), 64)
	*c = CM(n)
	return err
}

// Point is written as [x, y], by its value, and read by its pointer.
type Point struct{ X, Y float64 }

func (p Point) MarshalJSON() ([]byte, error) { return json.Marshal([]float64{p.X, p.Y}) }

func (p *Point) UnmarshalJSON(b []byte) error {
	var xy [2]float64
	if err := json.Unmarshal(b, &xy); err != nil {
		return err
	}
	p.X, p.Y = xy[0], xy[1]
	return nil
}

// Shy is only written by its pointer.
type Shy struct{ N int }

func (s *Shy) MarshalJSON() ([]byte, error) { return []byte(fmt.Sprintf(`"shy <%d>"`, s.N)), nil }

type Kind int

func (k Kind) IsZero() bool { return k == 7 }

type Sheet struct {
	Width  CM
	Zero   CM            `json:",omitempty"`
	Where  Point         `json:"where"`
	Maybe  *Point        `json:"maybe,omitempty"`
	Nil    *Point        `json:"nil"`
	List   []Point       `json:"list"`
	ByName map[string]CM `json:"by"`
	ByCM   map[CM]string
	Shy    Shy
	Shies  []Shy
	PShy   *Shy
	Kind   Kind  `json:",omitzero"`
	Gone   Point `json:",omitzero"`
	Two    [2]CM
	Any    any
	Err    fmt.Stringer
}

type Promoted struct {
	Point
	Z float64
}

type Shape interface{ Area() float64 }

type Holder struct{ Shape Shape }

func show(what string, x any) {
	b, err := json.Marshal(x)
	fmt.Printf("%s: %s %v\n", what, b, err)
}

func read[T any](what, text string, into T) {
	err := json.Unmarshal([]byte(text), &into)
	fmt.Printf("%s: %s %v\n", what, words(into), err)
	back, err := json.Marshal(into)
	fmt.Printf("  back: %s %v\n", back, err)
	var again T
	dec := json.NewDecoder(strings.NewReader(text))
	err = dec.Decode(&again)
	fmt.Printf("  decoded: %s %v\n", words(again), err)
}

// words prints a value without the addresses in it.
func words(x any) string {
	parts := strings.Split(fmt.Sprintf("%+v", x), "0x")
	for i, p := range parts[1:] {
		parts[i+1] = strings.TrimLeft(p, "0123456789abcdef")
	}
	return strings.Join(parts, "0x")
}

func main() {
	writes()
	reads()
	parts()
	nodes()
	decoders()
	wrong()
}

func writes() {
	s := Size{Name: "a<b>", Bust: 92.5, Count: 3, hidden: 1, Skip: "s", Dash: "d"}
	show("struct", s)
	show("pointer", &s)
	show("list", []Size{s, {}})
	show("map", map[string]Size{"y": s, "x": {}})
	show("in any", []any{s, &s, map[string]any{"s": s}})
	p := Piece{Base: Base{ID: 1, Note: "n"}, inner: inner{Depth: 2, ID: "x"}, Size: &s, Parts: map[string]Base{"p": {}}, Any: Base{ID: 3}, Größe: 42}
	show("embedded", p)
	p.Size, p.Raw = nil, json.RawMessage(`{"a":  1}`)
	show("embedded nil", &p)
	show("promoted", Promoted{Point{1, 2}, 3})
	b, err := json.MarshalIndent(p.Named, "> ", "  ")
	fmt.Println(string(b), err)
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	fmt.Println(e.Encode(s), e.Encode([]any{s, Shy{1}, &Shy{1}}), e.Encode(&Sheet{Shy: Shy{2}}), out.String())
}

func reads() {
	read("struct", `{"name":"x","BUST":1,"waist":2,"Tags":["a",null],"Skip":"no","-":"dash","Count":"12","hidden":3}`, Size{Skip: "kept", hidden: 5, Tags: []string{"q", "r", "s"}})
	read("list", `[{"name":"x"},null,{}]`, []Size{{Bust: 1}, {Bust: 2}})
	read("map", `{"a":{"Bust":1},"b":null}`, map[string]Size{"a": {Waist: 2}, "c": {Waist: 3}})
	read("map of ints", `{"1":{"Bust":1},"-2":{}}`, map[int]Size{})
	read("map of pointers", `{"a":null}`, map[string]*Size{"a": {Waist: 2}})
	read("array", `[{"ID":1},{"ID":2},{"ID":3}]`, [2]Base{})
	read("embedded", `{"ID":5,"note":"n","Depth":4,"named":{"ID":6},"Parts":{"a":{"ID":7}},"Near":[{"ID":8}],"Pair":[{"ID":9}],
		"Maybe":null,"Any":{"x":[1]},"Time":"2026-11-25T19:30:00Z","Raw":[1, 2],"größe":3,"Number":12.50}`, Piece{})
	read("no slice", `null`, []Size{{}})
	read("unmentioned", `{}`, Piece{Base: Base{ID: 3}, Near: []Base{{ID: 4}}})
	read("any", `{"name":[1,"a",null,true,{"b":2}]}`, map[string]any{})
	read("anonymous", `{"A":{"B":[{"C":1}]}}`, struct {
		A struct{ B []struct{ C Kind } }
	}{})
}

func parts() {
	c := CM(12)
	w := Sheet{
		Width: c, Where: Point{1, 2}, Maybe: &Point{3, 4}, List: []Point{{5, 6}}, ByName: map[string]CM{"b": 1, "a": 2},
		ByCM: map[CM]string{3: "x", 1: "y"}, Shy: Shy{1}, Shies: []Shy{{2}}, PShy: &Shy{3}, Kind: 7, Two: [2]CM{1, 2}, Any: []any{c, Point{}, &c},
	}
	show("sheet", w)
	show("sheet pointer", &w)
	show("list", []CM{1, 2})
	show("nil pointers", []*Point{nil, {1, 1}})
	show("bad", []any{map[string]CM{"a": -1}})
	show("bad field", Sheet{Width: -1})
	w.Kind, w.Gone, w.Zero = 0, Point{1, 0}, 5
	show("other omissions", w)
	read("sheet", `{"Width":"3 cm","where":[1,2],"maybe":[3,4],"nil":null,"list":[[5,6],[7,8]],"by":{"a":"4 cm"},"ByCM":{"5 cm":"x"},
		"Shy":{"N":1},"Shies":[{"N":2}],"PShy":{"N":3},"Kind":2,"Gone":[9,9],"Two":["1 cm","2 cm"],"Any":1}`, Sheet{})
	read("over", `{"list":[[1,1]],"by":{"b":"1 cm"},"maybe":null,"where":null}`, Sheet{
		Where: Point{9, 9}, Maybe: &Point{1, 1}, List: []Point{{5, 5}, {6, 6}}, ByName: map[string]CM{"a": 2, "b": 3},
	})
	read("point", `[3,4]`, Point{})
	read("pointer", `[3,4]`, (*Point)(nil))
	read("null pointer", `null`, &Point{1, 1})
	read("length", `"7 cm"`, CM(0))
	read("promoted", `[1,2]`, Promoted{})
}

func nodes() {
	n := Node{1, &Node{Value: 2, Next: &Node{Value: 3}}, []Node{{Value: 4, Children: []Node{{Value: 5}}}}, map[string]*Node{"n": {Value: 6}, "z": nil}}
	show("node", n)
	show("pointer to node", &n)
	var back Node
	err := json.Unmarshal([]byte(`{"Value":1,"Next":{"Value":2,"Next":{"Value":3}},"children":[{"Value":4,"children":[{"Value":5}]},null],"ByName":{"n":{"Value":6},"z":null}}`), &back)
	fmt.Println(err, back.Value, back.Next.Value, back.Next.Next.Value, back.Next.Next.Next, len(back.Children), back.Children[0].Children[0].Value, back.ByName["n"].Value, back.ByName["z"])
	show("back", back)
	err = json.Unmarshal([]byte(`{"Next":{"Value":9}}`), &back)
	fmt.Println(err, back.Value, back.Next.Value, back.Next.Next.Value)
	long := &Node{}
	for i := range 5000 {
		long = &Node{Value: i, Next: long}
	}
	b, err := json.Marshal(long)
	fmt.Println(len(b), err)
	ring := &Node{}
	ring.Next = &Node{Next: ring}
	_, err = json.Marshal(ring)
	fmt.Println(err != nil, strings.Contains(fmt.Sprint(err), "encountered a cycle"))
}

func decoders() {
	dec := json.NewDecoder(strings.NewReader(`{"ID":1} {"ID":2}` + "\n" + `{"ID":3,"what":4} {"ID":"x"} {"ID":5`))
	dec.DisallowUnknownFields()
	for {
		var b Base
		err := dec.Decode(&b)
		fmt.Println(b, err)
		if err != nil && (errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF)) {
			break
		}
	}
	dec = json.NewDecoder(strings.NewReader(`[{"ID":1},{"ID":2}]`))
	dec.Token()
	for dec.More() {
		var b *Base
		fmt.Println(dec.Decode(&b), b.ID)
	}
	dec = json.NewDecoder(strings.NewReader(`{"Any":12345678901234567890}`))
	dec.UseNumber()
	var p Piece
	fmt.Println(dec.Decode(&p), p.Any)
	f := dec.Decode
	fmt.Println(f(&p))
	var d interface{ Decode(any) error } = json.NewDecoder(strings.NewReader(`{"Depth":9}`))
	fmt.Println(d.Decode(&p), p.Depth)
}

func wrong() {
	var s Size
	var p Piece
	var h Holder
	var w Sheet
	var o Outer
	for _, err := range []error{
		json.Unmarshal([]byte(`{"name":1}`), &s),
		json.Unmarshal([]byte(`{"Bust":"x","name":"set"}`), &s),
		json.Unmarshal([]byte(`{"named":{"ID":"x"}}`), &p),
		json.Unmarshal([]byte(`{"name`), &s),
		json.Unmarshal([]byte(`[1]`), &w.List),
		json.Unmarshal([]byte(`{"where":{"X":1}}`), &w),
		json.Unmarshal([]byte(`{"Width":"wide"}`), &w),
		json.Unmarshal([]byte(`{"Shape":null}`), &h),
		json.Unmarshal([]byte(`{"ID":"x"}`), &o),
		json.Unmarshal([]byte(`{"where":{}}`), &o),
		json.Unmarshal([]byte(`{"list":[[1,2],{}]}`), &o),
		json.Unmarshal([]byte(`{"Low":{"ID":true}}`), &o),
		json.Unmarshal([]byte(`{"Low":[]}`), &o.inner2),
		json.Unmarshal([]byte(`{"In":{"Deep":{"ID":"x"}}}`), &o),
		json.Unmarshal([]byte(`{"Next":{"children":[{"ByName":{"a":{"Value":"x"}}}]}}`), &Node{}),
	} {
		fmt.Println(err)
	}
	fmt.Println(s.Name, h.Shape == nil)
	fmt.Println(json.Unmarshal([]byte(`{"Shape":{}}`), &h) != nil, json.Unmarshal([]byte(`{}`), s), json.Unmarshal([]byte(`{}`), (*Size)(nil)))
	var e *json.UnmarshalTypeError
	err := json.Unmarshal([]byte(`{"name":1}`), &s)
	fmt.Println(errors.As(err, &e), e.Field, e.Value, e.Offset)
	var se *json.SyntaxError
	fmt.Println(errors.As(json.Unmarshal([]byte(`{"a":}`), &p), &se), se.Offset)
}
