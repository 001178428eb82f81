package main

import (
	"go/constant"
	"go/token"
	"go/types"
	"maps"
	"math"
	"strings"
	"testing"

	"patternkit/kernel/notebook"
	"patternkit/patternkit/geom"
)

// lessonOf is a notebook whose parameters cell is source.
func lessonOf(source string) notebook.Notebook {
	return notebook.Notebook{Cells: []notebook.Cell{{
		ID: "measures", Type: notebook.Code, Source: source, Metadata: map[string]any{"tags": []any{"parameters"}},
	}}}
}

var measures = lessonOf("bust := 92 * CM\nwaist := 74 * CM\nfabric := \"linen\"\nfold := true\nconst seams = 2")

func TestGoValue(t *testing.T) {
	for text, want := range map[string]string{
		"92 cm": "92*CM", "92cm": "92*CM", "36 1/2 in": "36.5*Inch", `36 1/2"`: "36.5*Inch", "36 1/3 in": "(109.0/3)*Inch",
		"0.925 m": "0.925*M", "0920 mm": "920*MM", "-1.5 CM": "-1.5*CM", "+.5 in": "0.5*Inch", "5/8 inch": "0.625*Inch",
		"92.10 cm": "92.1*CM", "0 cm": "0*CM", "08 01/08 in": "8.125*Inch",
		// Go stays as it is, a bare number too.
		"92": "92", "92*CM": "92*CM", "36*Inch + 1*CM": "36*Inch + 1*CM", "true": "true", "`linen`": "`linen`", "linen": "linen",
	} {
		got, err := goValue(text)
		if err != nil || got != want {
			t.Errorf("%q is %q, %v, want %q", text, got, err, want)
		}
	}
	for text, why := range map[string]string{
		"": "it is empty", "92,5 cm": "want a point", "92 ells": `unit "ells" is not known`, "1/0 in": "1/0",
		"about 92": "neither a length", "92*CM; waist = 1": "neither a length", "92 *": "neither a length", "92*CM\nwaist = 1": "neither a length",
	} {
		if got, err := goValue(text); err == nil || !strings.Contains(err.Error(), why) {
			t.Errorf("%q is %q, error %v, want one that says %q", text, got, err, why)
		}
	}
}

// TestLengthInGo lets go/types, which knows nothing of this package, work out
// what was written and holds it against the reader of lengths.
func TestLengthInGo(t *testing.T) {
	scope := types.NewPackage("cell", "cell")
	for name, millimetres := range map[string]string{"MM": "1", "CM": "10", "M": "1000", "Inch": "25.4"} {
		value := constant.MakeFromLiteral(millimetres, token.FLOAT, 0)
		scope.Scope().Insert(types.NewConst(token.NoPos, scope, name, types.Typ[types.Float64], value))
	}
	for _, text := range []string{"92 cm", "36 1/2 in", "36 1/3 in", "-1 63/64 in", "0.1 m", "007.70 mm", "099 cm", `11 7/8"`, "12345.678 cm"} {
		want, err := geom.ParseLength(text)
		if err != nil {
			t.Fatal(err)
		}
		v, err := types.Eval(token.NewFileSet(), scope, token.NoPos, lengthInGo(text))
		if err != nil {
			t.Errorf("%q: %v", text, err)
			continue
		}
		if got, _ := constant.Float64Val(v.Value); math.Abs(got-want.MM()) > 1e-12*math.Abs(want.MM()) {
			t.Errorf("%q as %q is %v mm, want %v", text, lengthInGo(text), got, want.MM())
		}
	}
}

func TestReadTable(t *testing.T) {
	rows, err := readTable("class.csv", "\ufeffperson, bust ,waist,fabric\r\nAda,92 cm,740,linen\r\n\r\n\"Anna-Lise, Quay\",36 1/2 in, 74*CM ,`wool`\r\n", measures, nil)
	if err != nil {
		t.Fatal(err)
	}
	want := []tableRow{
		{1, "Ada", map[string]string{"bust": "92*CM", "waist": "740", "fabric": "linen"}},
		{2, "Anna-Lise, Quay", map[string]string{"bust": "36.5*Inch", "waist": "74*CM", "fabric": "`wool`"}},
	}
	for i, w := range want {
		if i >= len(rows) || rows[i].number != w.number || rows[i].name != w.name || !maps.Equal(rows[i].set, w.set) {
			t.Fatalf("rows are %+v, want %+v", rows, want)
		}
	}
}

func TestNamingColumn(t *testing.T) {
	for _, c := range []struct{ csv, name string }{
		{"bust,name\n92 cm,Ada\n", "Ada"},
		{"bust,person,name\n92 cm,Nell,Ada\n", ""}, // person is then an unknown parameter
		{"fabric,person,bust\nlinen,Ada Lo,92 cm\n", "Ada Lo"},
		{"fold,person\ntrue,Ada\n", "Ada"},
		{"bsut,person\n92 cm,Ada\n", ""},
		{"bust,waist\n92 cm,74 cm\n", ""},
		{"name,bust\n12,92 cm\n", "12"},
	} {
		rows, err := readTable("class.csv", c.csv, measures, nil)
		if got := append(rows, tableRow{})[0].name; got != c.name || (err == nil) != (c.name != "") {
			t.Errorf("%q names %q, error %v, want %q", c.csv, got, err, c.name)
		}
	}
	// A parameter of that name gets the text.
	rows, err := readTable("class.csv", "name\nAda \"\"Quay\n", lessonOf("name := \"\""), nil)
	if err == nil {
		t.Errorf("a bare quote was read: %v", rows)
	}
	rows, err = readTable("class.csv", "name\nO'Hara; Ada\n", lessonOf("name := \"\""), nil)
	if err != nil || rows[0].set["name"] != `"O'Hara; Ada"` {
		t.Errorf("rows %v, error %v", rows, err)
	}
}

func TestTableFaults(t *testing.T) {
	for _, c := range []struct {
		name, csv string
		says      []string
	}{
		{"empty", "", []string{"class.csv: want a heading"}},
		{"heading only", "name,bust\n", []string{"class.csv: want a heading", "a row for each run"}},
		{"unknown parameter", "name,bust,bsut\nAda,1,2\n", []string{"line 1, column 3: setting bsut", "want one of bust, fabric, fold, seams, waist"}},
		{"constant", "name,seams\nAda,1\n", []string{"line 1, column 2", "constant"}},
		{"other separator", "name;bust\nAda;92 cm\n", []string{"line 1, column 1", "name;bust", "commas"}},
		{"no heading", "name,bust,\nAda,1,2\n", []string{"line 1, column 3: it has no heading"}},
		{"heading twice", "name,bust,bust\nAda,1,2\n", []string{"line 1, column 3: bust is also the heading of column 2"}},
		{"set twice", "name,waist\nAda,1\n", []string{"line 1, column 2: waist is given by --set too"}},
		{"short row", "name,bust\nAda,1\nBea\n", []string{"line 3 has 1 columns and the heading has 2"}},
		{"long row", "name,bust\nAda,92,5 cm\n", []string{"line 2 has 3 columns and the heading has 2", "in quotes"}},
		{"inch mark", "name,bust\nAda,36\"\n", []string{"line 2, character 7", "36 1/2 in"}},
		{"open quote", "name,bust\nAda,\"36\n", []string{"character", "quote"}},
		{"not UTF-8", "name,bust\nAda,1\nAndr\xe9,1\n", []string{"line 3 is not UTF-8"}},
		{"values", "name,bust,fabric\nAda,92 ells,\nBea,\"92,5 cm\",1\n",
			[]string{"line 2, column 2 (bust)", "ells", "line 2, column 3 (fabric): it is empty", "line 3, column 2 (bust)", "want a point"}},
		{"line of a row after a long one", "name,fabric,bust\nAda,\"`a\nb`\",1\nBea,1,92 ells\n", []string{"line 4, column 3 (bust)"}},
		{"same name", "name,bust\nAda,1\nBea,1\nADA,2\n", []string{`line 4, column 1 (name): "ADA" is also the name of the row in line 2`}},
		{"no name", "name,bust\n,1\n", []string{"line 2, column 1 (name): the row has no name"}},
		{"folder", "name,bust\n../Ada,1\n", []string{"line 2, column 1 (name)", "can't name a file", "'/'"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := readTable("class.csv", c.csv, measures, map[string]string{"waist": "700"})
			if err == nil {
				t.Fatal("it was read without an error")
			}
			says(t, err.Error(), append(c.says, "class.csv: ")...)
		})
	}
	if _, err := readTable("class.csv", "name,bust\nAda,1\n", notebook.Notebook{}, nil); err == nil || !strings.Contains(err.Error(), `tagged "parameters"`) {
		t.Errorf("a notebook without parameters: %v", err)
	}
}

func TestFitName(t *testing.T) {
	for _, name := range []string{"Ada", "Ada Quay", "Ægir Ö", "size 12", "a.b", "Konrad", "comb", "陳"} {
		if err := fitName(name); err != nil {
			t.Error(err)
		}
	}
	for _, name := range []string{"", ".", "..", ".ada", "-o", "a/b", `a\b`, "a:b", "a\x00b", "a\nb", "a?", "a*", "ada.", "ada.ipynb", "Ada.HTML",
		"con", "NUL.x", "Com1", strings.Repeat("a", 101)} {
		if err := fitName(name); err == nil {
			t.Errorf("%q is taken as a name", name)
		}
	}
}
