package patternkit

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"patternkit/patternkit/geom"
)

// markedPattern has something of everything that a piece can hold, with
// coordinates that no short decimal number holds.
func markedPattern(t testing.TB) Pattern {
	t.Helper()
	p, err := skirtPanel(t, "front").WithPoint("first", Pt(Length(math.Pi), Length(-1.0/3)))
	steps := []func(Piece) (Piece, error){
		func(p Piece) (Piece, error) { return p.WithPoint("second", Pt(Length(math.Copysign(0, -1)), 5e-324)) },
		func(p Piece) (Piece, error) { return p.WithDrillHole("pocket", Pt(10.1, 20.2)) },
		func(p Piece) (Piece, error) {
			return p.WithInternal("hip", Cubic(Pt(0, 1), Pt(2, 3), Pt(4, 5.5), Pt(6, 0.1)))
		},
		func(p Piece) (Piece, error) {
			return p.WithPleat(Pleat{Name: "hem pleat", Kind: Tuck, Mouth: "hem", TowardStart: true, Sewn: 3.3})
		},
		func(p Piece) (Piece, error) {
			return p.WithAllowance(DoubleFoldHem("side seam", 3.7, 22.1), Allowance{Edge: "waist", Width: 10, Corner: Squared})
		},
		func(p Piece) (Piece, error) { return p.WithAllowanceEverywhere(10.1) },
		func(p Piece) (Piece, error) { return p.WithDartPressed("waist dart", Pt(1.1, 2.2)) },
		func(p Piece) (Piece, error) { return p.WithFold("centre front") },
		func(p Piece) (Piece, error) { return p.RenamedEdge("side seam", "side") },
		func(p Piece) (Piece, error) { return p.WithGrainline(Pt(50, 50), Pt(50, 251.7)) },
		func(p Piece) (Piece, error) { return p.WithQuantity(2, "a pair, <mirrored> & \"turned\"") },
	}
	for _, step := range steps {
		if err != nil {
			t.Fatal(err)
		}
		p, err = step(p)
	}
	if err != nil {
		t.Fatal(err)
	}
	pattern, err := NewPattern("marked", p.WithMaterial("lining"), skirtPanel(t, "back"))
	if err != nil {
		t.Fatal(err)
	}
	return pattern
}

// Every field of a piece must be in the marked pattern, so that one which JSON
// forgets is seen.
func TestMarkedPatternHasEveryField(t *testing.T) {
	v := reflect.ValueOf(markedPattern(t).pieces[0])
	for i := range v.NumField() {
		if v.Field(i).IsZero() {
			t.Errorf("the marked piece has no %s: add one, and write it to JSON", v.Type().Field(i).Name)
		}
	}
	for _, noun := range []any{Dart{}, Pleat{}, Notch{}, Allowance{}, Edge{}, NamedPoint{}, Seam{}, Along{}, EaseShare{}} {
		fields := reflect.TypeOf(noun).NumField()
		if want := jsonFieldsOf[reflect.TypeOf(noun).Name()]; fields != want {
			t.Errorf("%T has %d fields, JSON writes %d: write the new one, then count it here", noun, fields, want)
		}
	}
}

var jsonFieldsOf = map[string]int{
	"Dart": 3, "Pleat": 6, "Notch": 4, "Allowance": 4, "Edge": 2, "NamedPoint": 2, "Seam": 5, "Along": 3, "EaseShare": 2,
}

// A pattern after style operations has edges renamed, allowances, mouths.
func styledPattern(t testing.TB) Pattern {
	t.Helper()
	p, err := NewPattern("styled", skirtPanel(t, "front"), skirtPanel(t, "back"),
		Seam{Name: "side", A: []Along{{"front", "side seam", false}}, B: []Along{{"back", "side seam", false}},
			Ease: 0.3, Shares: []EaseShare{{"hip", 0.1}, {"", 0.2}}})
	if err == nil {
		p, err = p.WithPieceTransformed("back", geom.Mirror(Pt(0, 0), Pt(1.3, 7.7)))
	}
	if err == nil {
		p, err = p.RenamedEdge("front", "side seam", "left seam")
	}
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func panelAlone(t testing.TB) Pattern {
	t.Helper()
	p, err := NewPattern("panel", skirtPanel(t, "front"))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestJSONRoundTripsExactly(t *testing.T) {
	patterns := testPatterns(t)
	patterns["block"] = blockOf(t, 168*CM, 92*CM, 74*CM, 98*CM, DirectMeasure)
	patterns["proportional"] = blockOf(t, 168*CM, 92*CM, 74*CM, 98*CM, Proportional)
	patterns["styled"] = styledPattern(t)
	patterns["marked"] = markedPattern(t)
	for name, p := range patterns {
		t.Run(name, func(t *testing.T) {
			data, err := p.JSONFile()
			if err != nil {
				t.Fatal(err)
			}
			q, err := PatternFromJSON(data)
			if err != nil {
				t.Fatal(err)
			}
			sameAsRead(t, p, q)
			again, err := q.JSONFile()
			if err != nil || string(again) != string(data) {
				t.Errorf("written again it differs (%v)", err)
			}
			if p.SVG() != q.SVG() || p.Walk().String() != q.Walk().String() {
				t.Error("drawn or walked it differs")
			}
		})
	}
}

// sameAsRead compares every field, to the last bit and the sign of a zero.
func sameAsRead(t testing.TB, p, q Pattern) {
	t.Helper()
	if p.name != q.name || !slices.Equal(p.parts, q.parts) || !reflect.DeepEqual(p.seams, q.seams) || len(p.pieces) != len(q.pieces) {
		t.Fatalf("pattern %q with parts %v, read as %q with parts %v", p.name, p.parts, q.name, q.parts)
	}
	for i, a := range p.pieces {
		b := q.pieces[i]
		if !reflect.DeepEqual(bitsOf(reflect.ValueOf(a)), bitsOf(reflect.ValueOf(b))) {
			t.Errorf("piece %q is read otherwise", a.name)
		}
	}
}

// bitsOf lists a value's fields with floats as bits, paths by their parts.
func bitsOf(v reflect.Value) []any {
	switch v.Kind() {
	case reflect.Float64:
		return []any{math.Float64bits(v.Float())}
	case reflect.Slice, reflect.Array:
		out := []any{v.Len()}
		for i := range v.Len() {
			out = append(out, bitsOf(v.Index(i))...)
		}
		return out
	case reflect.Map:
		keys := v.MapKeys()
		slices.SortFunc(keys, func(a, b reflect.Value) int { return strings.Compare(a.String(), b.String()) })
		out := []any{v.Len()}
		for _, k := range keys {
			out = append(out, k.String(), v.MapIndex(k).String())
		}
		return out
	case reflect.Pointer:
		return bitsOf(v.Elem())
	case reflect.Struct:
		var out []any
		for i := range v.NumField() {
			if name := v.Type().Field(i).Name; v.Type().Name() != "chain" || name == "segs" {
				out = append(out, bitsOf(v.Field(i))...)
			}
		}
		return out
	case reflect.String:
		return []any{v.String()}
	case reflect.Bool:
		return []any{v.Bool()}
	case reflect.Int:
		return []any{v.Int()}
	}
	panic("a field of kind " + v.Kind().String() + " in a piece: compare it here and write it to JSON")
}

// The comparison of two patterns must be able to fail.
func TestComparisonSeesLastBit(t *testing.T) {
	p := markedPattern(t)
	for _, change := range []func(*Piece){
		func(p *Piece) { p.points[1].At.X = Length(math.Nextafter(math.Pi, 4)) },
		func(p *Piece) { p.points[2].At.X = 0 },
		func(p *Piece) { p.internals[0].Path = Cubic(Pt(0, 1), Pt(2, 3), Pt(4, 5), Pt(6, 0.1)) },
	} {
		before := bitsOf(reflect.ValueOf(p.pieces[0]))
		q := p.pieces[0]
		q.points, q.internals = slices.Clone(q.points), slices.Clone(q.internals)
		change(&q)
		if reflect.DeepEqual(before, bitsOf(reflect.ValueOf(q))) {
			t.Error("a changed piece counts as the same")
		}
	}
}

func TestJSONErrors(t *testing.T) {
	data, err := markedPattern(t).JSONFile()
	if err != nil {
		t.Fatal(err)
	}
	good := string(data)
	replaced := func(old, with string) string {
		if !strings.Contains(good, old) {
			t.Fatalf("the file has no %s", old)
		}
		return strings.Replace(good, old, with, 1)
	}
	for _, tt := range []struct{ name, data, want string }{
		{"empty", "", "line 1 column 1: the file ends before"},
		{"cut short", good[:len(good)-4], "the file ends before the pattern does"},
		{"no JSON", "{\n  \"format\": ?}", "line 2 column 13"},
		{"two", good + "{}", "more after the end"},
		{"another file", `{"format": "picture", "version": 1}`, `format is "picture", want "patternkit pattern"`},
		{"later version", replaced(`"version": 1`, `"version": 2`), "version is 2, want 1"},
		{"inches", replaced(`"unit": "mm"`, `"unit": "in"`), `unit is "in", want "mm"`},
		{"unknown member", replaced(`"unit"`, `"colour": 1, "unit"`), `unknown field "colour"`},
		{"text for a number", replaced(`"quantity": 2`, `"quantity": "2"`), "line "},
		{"no pieces", `{"format": "patternkit pattern", "version": 1, "unit": "mm", "name": "x"}`, "0 pieces, want 1 to 1000"},
		{"part out of order", replaced(`"part": 1`, `"part": 7777`), "pieces[1].part is 7777, want 0 to 999"},
		{"far away", replaced("3.141592653589793", "1e9"), "pieces[0].points[1].at is at 1e+09 mm"},
		{"too large", replaced("3.141592653589793", "1e999"), "line "},
		{"open", replaced(`"start": [`, `"start": [7,`), "pieces[0].edges[0].start has 3 numbers, want x and y"},
		{"none cut", replaced(`"quantity": 2`, `"quantity": 0`), "pieces[0]: quantity: piece \"front\" is to be cut 0 times"},
		{"too long", strings.Repeat(" ", jsonMostBytes+1), "want at most 16777216"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, err := PatternFromJSON([]byte(tt.data))
			wantError(t, err, tt.want)
		})
	}
}

// Curves that all lie over each other are refused before their crossings are
// sought, which would take minutes.
func TestJSONTangledOutline(t *testing.T) {
	var parts []string
	for i := range 600 {
		parts = append(parts, fmt.Sprintf("[%d, 900, -900, %d, %d, %d]", i, -i, i%7*100, i%5*100))
	}
	file := `{"format":"patternkit pattern","version":1,"unit":"mm","name":"x","pieces":[{"name":"y","quantity":1,` +
		`"edges":[{"name":"e","start":[0,0],"to":[` + strings.Join(parts, ",") + `]}]}]}`
	_, err := PatternFromJSON([]byte(file))
	wantError(t, err, "its 600 lines and curves lie over each other")
}

func TestJSONOfNoPattern(t *testing.T) {
	_, err := Pattern{}.JSONFile()
	wantError(t, err, "0 pieces")
}

// Whatever is read is written and read again the same; the rest is refused
// without a panic.
func FuzzPatternFromJSON(f *testing.F) {
	for _, p := range []Pattern{panelAlone(f), markedPattern(f)} {
		data, err := p.JSONFile()
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Add([]byte(`{"format":"patternkit pattern","version":1,"unit":"mm","name":"x","pieces":[{"name":"y","quantity":1}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := PatternFromJSON(data)
		if err != nil {
			return
		}
		again, err := p.JSONFile()
		if err != nil {
			t.Fatal(err)
		}
		q, err := PatternFromJSON(again)
		if err != nil {
			t.Fatal(err)
		}
		sameAsRead(t, p, q)
	})
}
