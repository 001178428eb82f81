package patternkit

import (
	"math"
	"testing"
)

// Rules for the front of a bodice whose girth grows by 1 in, 1/4 in a quarter
// (classroom rule, from memory), then by more; the rest is invented.
func classRules(t *testing.T, sizes []string, base string) RuleTable {
	t.Helper()
	table, err := NewRuleTable(sizes, base,
		GradeRule{"front", "shoulder tip", []Point{Pt(0.125*Inch, 0), Pt(0.2*Inch, 0.05*Inch)}},
		GradeRule{"front", "underarm", []Point{Pt(0.25*Inch, Length(math.Copysign(0, -1))), Pt(0.375*Inch, -0.125*Inch)}})
	if err != nil {
		t.Fatal(err)
	}
	return table
}

func TestExchangeFile(t *testing.T) {
	file, err := classRules(t, []string{"10", "12", "14"}, "12").ExchangeFile("class")
	if err != nil {
		t.Fatal(err)
	}
	const want = "UNITS: METRIC\nGRADE RULE TABLE: class\nNUMERIC SIZES\nSIZE LIST: 10 12 14\nSAMPLE SIZE: 12\n" +
		"RULE: DELTA 1\n -3.175,0.000 0.000,0.000 5.080,1.270\n" +
		"RULE: DELTA 2\n -6.350,0.000 0.000,0.000 9.525,-3.175\nEND\n"
	if string(file) != want {
		t.Errorf("wrote\n%s\nwant\n%s", file, want)
	}
}

func TestExchangeFileRefuses(t *testing.T) {
	_, err := classRules(t, []string{"size 10", "12", "14"}, "12").ExchangeFile("class")
	wantError(t, err, `size "size 10" has a space`)
	_, err = classRules(t, []string{"10", "12", "14"}, "12").ExchangeFile("a\nb")
	wantError(t, err, "want a name in one line")
	_, err = RuleTable{}.ExchangeFile("none")
	wantError(t, err, "no rules of named points")
}

func TestRulesCSV(t *testing.T) {
	file, err := classRules(t, []string{"S", "M", "L"}, "M").CSVFile()
	if err != nil {
		t.Fatal(err)
	}
	const want = "piece,point,from,to,x (mm),y (mm)\n" +
		"front,shoulder tip,S,M,3.175,0\nfront,shoulder tip,M,L,5.08,1.27\n" +
		"front,underarm,S,M,6.35,-0\nfront,underarm,M,L,9.524999999999999,-3.175\n"
	if string(file) != want {
		t.Errorf("wrote\n%s\nwant\n%s", file, want)
	}
}
