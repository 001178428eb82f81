package patternkit

import (
	"bytes"
	"reflect"
	"strings"
	"testing"
)

// What CSVFile writes is read back to the last bit, of rules by hand and of
// those taken out of drafted sizes, and grades as before.
func TestRulesCSVRoundTrip(t *testing.T) {
	hand := classRules(t, []string{"S", " M, \"medium\"", "L"}, "L")
	_, drafted := gradedMisses(t)
	extracted, err := drafted.Rules()
	if err != nil {
		t.Fatal(err)
	}
	for name, table := range map[string]RuleTable{"by hand": hand, "extracted": extracted} {
		file, err := table.CSVFile()
		if err != nil {
			t.Fatal(err)
		}
		got, err := RulesFromCSV(bytes.NewReader(file), table.Base())
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if !reflect.DeepEqual(got.rules, table.namedRules()) || !reflect.DeepEqual(got.Sizes(), table.Sizes()) || got.Base() != table.Base() {
			t.Errorf("%s: read back otherwise", name)
		}
		if again, err := got.CSVFile(); err != nil || !bytes.Equal(again, file) {
			t.Errorf("%s: written again it is another file, %v", name, err)
		}
	}
}

// Columns in another order, in other units, and breaks of points by turns.
func TestRulesFromCSV(t *testing.T) {
	got, err := RulesFromCSV(strings.NewReader("\ufeffto,from,note,Y (in), X (cm),point,piece\nM,S,a,1,2,tip,front\nM,S,,0,0,hem,front\nL,M,,2,3,tip,front\nL,M,,0,1,hem,front\n"), "M")
	if err != nil {
		t.Fatal(err)
	}
	want, err := NewRuleTable([]string{"S", "M", "L"}, "M",
		GradeRule{"front", "tip", []Point{Pt(2*CM, 1*Inch), Pt(3*CM, 2*Inch)}}, GradeRule{"front", "hem", []Point{{}, Pt(1*CM, 0)}})
	if err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("%+v, want %+v, %v", got, want, err)
	}
}

func TestRulesFromCSVRefuses(t *testing.T) {
	const head = "piece,point,from,to,x (mm),y (mm)\n"
	for _, tt := range []struct{ name, file, want string }{
		{"empty", "", "grade rules in CSV: it is empty"},
		{"no rows", head, "no line under it"},
		{"no unit", "piece,point,from,to,x,y (mm)\n", `line 1: column "x", want its unit`},
		{"no column", "piece,point,from,x (mm),y (mm)\n", "line 1: the columns are"},
		{"twice", "piece,point,from,from,to,x (mm),y (mm)\n", `a second column "from"`},
		{"no number", head + "front,tip,S,M,1,zwei\n", `line 2, column "y (mm)": "zwei" is no number`},
		{"not a number", head + "front,tip,S,M,NaN,2\n", `line 2, column "x (mm)"`},
		{"far", head + "front,tip,S,M,1,1001\n", `line 2, column "y (mm)": 100.1 cm is too far`},
		{"too few", head + "front,tip,S,M,1\n", "line 2"},
		{"no name", head + "front,,S,M,1,2\n", `line 2, column "point": it is empty`},
		{"gap", head + "front,tip,S,M,1,2\nfront,tip,L,XL,1,2\n", `line 3, column "from": "tip" of piece "front" goes on from "L", want "M"`},
		{"round", head + "front,tip,S,M,1,2\nfront,tip,M,S,1,2\n", `line 3, column "to"`},
		{"other sizes", head + "front,tip,S,M,1,2\nfront,hem,S,L,1,2\n", `line 3, column "to": "hem" of piece "front" goes through sizes "S" and "L", want`},
		{"fewer", head + "front,tip,S,M,1,2\nfront,tip,M,L,1,2\nfront,hem,S,M,1,2\n", "line 4"},
		{"base", head + "front,tip,S,XL,1,2\n", `from base size "M", want one of "S" and "XL"`},
		{"long", head + strings.Repeat("a", csvMostBytes), "more than 16777216 bytes"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, err := RulesFromCSV(strings.NewReader(tt.file), "M")
			wantError(t, err, tt.want)
		})
	}
	var sizes strings.Builder
	sizes.WriteString(head)
	for i := range rulesMostSizes + 1 {
		sizes.WriteString("front,tip,M" + strings.Repeat("L", i) + ",M" + strings.Repeat("L", i+1) + ",1,2\n")
	}
	_, err := RulesFromCSV(strings.NewReader(sizes.String()), "M")
	wantError(t, err, "more than 200 sizes")
}

// What is read is written and read again as the same.
func FuzzRulesFromCSV(f *testing.F) {
	f.Add("piece,point,from,to,x (mm),y (mm)\nfront,tip,S,M,1,-2e1\nfront,tip,M,L,.5,-0\n", "M")
	f.Add("to,from,Y (in), X (cm),point,piece\nM,S,1,2,\"a\n\"\"b\",front\n", "S")
	f.Fuzz(func(t *testing.T, file, base string) {
		got, err := RulesFromCSV(strings.NewReader(file), base)
		if err != nil {
			return
		}
		written, err := got.CSVFile()
		if err != nil {
			t.Fatal(err)
		}
		again, err := RulesFromCSV(bytes.NewReader(written), base)
		if err != nil || !reflect.DeepEqual(got, again) {
			t.Fatalf("%+v is read again as %+v, %v", got, again, err)
		}
	})
}
