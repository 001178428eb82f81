package geom

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// unitNames are the units that a written length may end in.
var unitNames = map[string]Length{
	"mm": MM, "cm": CM, "m": M,
	"in": Inch, "inch": Inch, "inches": Inch, `"`: Inch,
}

// ParseLength reads a number with its unit: "4.1 cm", "41 mm", "0.5 m",
// "1 5/8 in", `1 5/8"`. A number without a unit is an error, because it could
// be any of them.
func ParseLength(s string) (Length, error) {
	number, unit := splitUnit(s)
	size, known := unitNames[strings.ToLower(unit)]
	switch {
	case number == "":
		return 0, fmt.Errorf("length %q: no number, want a number with its unit, such as \"4.1 cm\" or \"1 5/8 in\"", s)
	case unit == "":
		return 0, fmt.Errorf("length %q: no unit, and none is guessed; write \"%s mm\", \"%s cm\" or \"%s in\"", s, number, number, number)
	case !known:
		return 0, fmt.Errorf("length %q: unit %q is not known, want mm, cm, m or in", s, unit)
	}
	return readLength(s, number, size)
}

// Inches reads inches as they are written on a tape: "1 5/8", "3/4", "36.5".
// The unit may be written too: "1 5/8 in"; another unit is an error.
func Inches(s string) (Length, error) {
	number, unit := splitUnit(s)
	size := Inch
	if unit != "" {
		size = unitNames[strings.ToLower(unit)]
	}
	switch {
	case number == "":
		return 0, fmt.Errorf("inches %q: no number, want one such as \"1 5/8\"", s)
	case size != Inch:
		return 0, fmt.Errorf("inches %q: ends in %q, want inches such as \"1 5/8\"; ParseLength reads other units", s, unit)
	}
	return readLength(s, number, Inch)
}

// splitUnit parts s after the last character of its number.
func splitUnit(s string) (number, unit string) {
	end := strings.LastIndexAny(s, "0123456789.,/") + 1
	return strings.TrimSpace(s[:end]), strings.TrimSpace(s[end:])
}

func readLength(s, number string, unit Length) (Length, error) {
	n, err := readNumber(number)
	if err != nil {
		return 0, fmt.Errorf("length %q: %w", s, err)
	}
	l := Length(n) * unit
	if !l.Finite() {
		return 0, fmt.Errorf("length %q is too large", s)
	}
	return l, nil
}

// readNumber reads "36.5", "5/8", "1 5/8" and the same with a sign.
func readNumber(s string) (float64, error) {
	unsigned := strings.TrimLeft(s, "+-")
	sign := s[:len(s)-len(unsigned)]
	if len(sign) > 1 {
		return 0, fmt.Errorf("%q has more than one sign", s)
	}
	words := strings.Fields(unsigned)
	n, err := 0.0, error(nil)
	switch {
	case len(words) == 2 && strings.Contains(words[1], "/"):
		var whole, part float64
		if whole, err = readWhole(words[0]); err == nil {
			part, err = readFraction(words[1])
		}
		n = whole + part
	case len(words) == 1 && strings.Contains(words[0], "/"):
		n, err = readFraction(words[0])
	case len(words) == 1:
		n, err = readDecimal(words[0])
	default:
		err = fmt.Errorf("%q is not one number", s)
	}
	if sign == "-" {
		n = -n
	}
	return n, err
}

func readDecimal(s string) (float64, error) {
	if strings.Contains(s, ",") {
		return 0, fmt.Errorf("%q has a comma, want a point: %q", s, strings.ReplaceAll(s, ",", "."))
	}
	// Only digits and one point: "1e3", "0x10", "Inf" and "1_000" are not
	// how a length is written.
	if strings.Trim(s, "0123456789.") != "" || strings.Count(s, ".") > 1 || s == "." {
		return 0, fmt.Errorf("%q is not a number", s)
	}
	n, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsInf(n, 0) {
		return 0, fmt.Errorf("%q is not a number that can be held", s)
	}
	return n, nil
}

func readWhole(s string) (float64, error) {
	n, err := strconv.ParseUint(s, 10, 32)
	if err != nil {
		return 0, fmt.Errorf("%q is not a whole number, and a fraction follows it", s)
	}
	return float64(n), nil
}

func readFraction(s string) (float64, error) {
	above, below, _ := strings.Cut(s, "/")
	n, err1 := strconv.ParseUint(above, 10, 32)
	d, err2 := strconv.ParseUint(below, 10, 32)
	switch {
	case err1 != nil || err2 != nil:
		return 0, fmt.Errorf("%q is not a fraction of whole numbers, such as 5/8", s)
	case d == 0:
		return 0, fmt.Errorf("%q divides by zero", s)
	}
	return float64(n) / float64(d), nil
}
