package geom

import (
	"math"
	"strings"
	"testing"
)

func TestLengthString(t *testing.T) {
	tests := []struct {
		l    Length
		want string
	}{
		{348.7, "34.87 cm"}, {440, "44 cm"}, {9, "0.9 cm"}, {0, "0 cm"}, {-12.34, "-1.23 cm"},
		{0.5, "0.05 cm"}, {0.05, "0.01 cm"}, {0.049, "0.049 mm"}, {-0.0123, "-0.012 mm"}, {0.00001, "0.00001 mm"},
		{1e-9, "0 cm"}, {-1e-9, "0 cm"}, {9999.96, "1000 cm"}, {1.5 * M, "150 cm"}, {2 * Inch, "5.08 cm"},
		{Length(math.NaN()), "NaN cm"}, {Length(math.Inf(1)), "+Inf cm"},
	}
	for _, tt := range tests {
		if got := tt.l.String(); got != tt.want {
			t.Errorf("Length(%v) is written %q, want %q", float64(tt.l), got, tt.want)
		}
	}
}

func TestTapeInches(t *testing.T) {
	tests := []struct {
		l    Length
		want string
	}{
		{1.625 * Inch, "1 5/8 in"}, {0.75 * Inch, "3/4 in"}, {-2 * Inch, "-2 in"}, {0, "0 in"},
		{36.5 * Inch, "36 1/2 in"}, {0.3, "0 in"}, {-0.3, "0 in"}, {1, "1/16 in"}, {11.99 * Inch, "12 in"},
	}
	for _, tt := range tests {
		if got := tt.l.TapeInches(); got != tt.want {
			t.Errorf("%v mm on a tape: %q, want %q", float64(tt.l), got, tt.want)
		}
	}
}

func TestAngleString(t *testing.T) {
	for a, want := range map[Angle]string{18 * Degree: "18°", -22.5 * Degree: "-22.5°", math.Pi: "180°"} {
		if got := a.String(); got != want {
			t.Errorf("%v rad is written %q, want %q", float64(a), got, want)
		}
	}
}

func TestParseLength(t *testing.T) {
	tests := []struct {
		s    string
		want Length
	}{
		{"1 5/8 in", 41.275}, {`1 5/8"`, 41.275}, {"3/4 inch", 19.05}, {"36.5 inches", 927.1},
		{"4.1 cm", 41}, {"41 mm", 41}, {"0.5 m", 500}, {"-2 cm", -20}, {"+2CM", 20}, {" .5 m ", 500}, {"1 1/2 cm", 15},
	}
	for _, tt := range tests {
		got, err := ParseLength(tt.s)
		if err != nil || math.Abs(float64(got-tt.want)) > 1e-12 {
			t.Errorf("ParseLength(%q) = %v mm, %v; want %v mm", tt.s, float64(got), err, float64(tt.want))
		}
	}
}

func TestParseLengthRefuses(t *testing.T) {
	tests := []struct{ s, want string }{
		{"92", `no unit, and none is guessed; write "92 mm", "92 cm" or "92 in"`},
		{"", "no number"}, {"cm", "no number"}, {"NaN cm", "no number"}, {"Inf mm", "no number"},
		{"1e3 mm", `"1e3" is not a number`}, {"0x10 mm", "not a number"},
		{"4,1 cm", `has a comma, want a point: "4.1"`}, {"1 2 cm", "not one number"},
		{"1 5/0 in", "divides by zero"}, {"1/2/3 in", "not a fraction"}, {"--1 cm", "more than one sign"},
		{"3 feet", `unit "feet" is not known`}, {"1.5 1/2 in", "not a whole number"}, {"1-5/8 in", "is not a fraction"},
		{"1" + strings.Repeat("0", 400) + " mm", "not a number that can be held"},
		{"1" + strings.Repeat("0", 306) + " m", "too large"},
	}
	for _, tt := range tests {
		got, err := ParseLength(tt.s)
		if err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("ParseLength(%q) = %v, %v; want an error with %q", tt.s, got, err, tt.want)
		}
	}
}

func TestInches(t *testing.T) {
	for s, want := range map[string]Length{"1 5/8": 41.275, "3/4": 19.05, "36.5": 927.1, "2 in": 50.8, `1/2"`: 12.7} {
		got, err := Inches(s)
		if err != nil || math.Abs(float64(got-want)) > 1e-12 {
			t.Errorf("Inches(%q) = %v mm, %v; want %v mm", s, float64(got), err, float64(want))
		}
	}
	for s, want := range map[string]string{"4 cm": `ends in "cm"`, "": "no number", "1⅝": "ends in"} {
		if got, err := Inches(s); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("Inches(%q) = %v, %v; want an error with %q", s, got, err, want)
		}
	}
}

func FuzzParseLength(f *testing.F) {
	for _, s := range []string{"1 5/8 in", "92", "4.1 cm", `3/4"`, "NaN m", "-0.5 m", "1e9 cm"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		l, err := ParseLength(s)
		if err != nil {
			return
		}
		if !l.Finite() {
			t.Fatalf("ParseLength(%q) = %v", s, l)
		}
		if l.Abs() < 1e9 && l.Abs() >= 1 {
			again, err := ParseLength(l.String())
			if err != nil || (again-l).Abs() > 0.05+1e-9 {
				t.Errorf("ParseLength(%q) is %v, which reads as %v, %v", s, l, again, err)
			}
		}
	})
}
