package geom

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// A Length is a distance, held in millimetres: 92*CM == 920*MM.
type Length float64

// Units of length, to multiply a number by.
const (
	MM   Length = 1
	CM   Length = 10
	M    Length = 1000
	Inch Length = 25.4 // exact by definition (international inch, 1959)
)

// MM returns the number of millimetres in l.
func (l Length) MM() float64 { return float64(l) }

// CM returns the number of centimetres in l.
func (l Length) CM() float64 { return float64(l / CM) }

// Inches returns the number of inches in l.
func (l Length) Inches() float64 { return float64(l / Inch) }

// Abs returns l without its sign.
func (l Length) Abs() Length { return Length(math.Abs(float64(l))) }

// Finite reports whether l is a number and not infinite.
func (l Length) Finite() bool { return !math.IsNaN(float64(l)) && !math.IsInf(float64(l), 0) }

// String writes centimetres to a tenth of a millimetre, "34.87 cm". A length
// too small for that is written in millimetres, "0.012 mm", and one below a
// millionth of a millimetre, the accuracy of this package, is "0 cm".
func (l Length) String() string {
	size := l.Abs()
	if size >= 1e-6 && size < 0.05 {
		return trimNumber(l.MM(), smallDigits(size)) + " mm"
	}
	return trimNumber(l.CM(), 2) + " cm"
}

// smallDigits is how many decimals show two digits of size millimetres.
func smallDigits(size Length) int {
	return min(6, 1-int(math.Floor(math.Log10(float64(size)))))
}

// TapeInches writes l as on a tape in inches, to the nearest sixteenth:
// "1 5/8 in", "3/4 in", "-2 in".
func (l Length) TapeInches() string {
	if !l.Finite() {
		return fmt.Sprintf("%v in", float64(l))
	}
	n := int64(math.Round(math.Abs(l.Inches()) * 16))
	sign := ""
	if l < 0 && n != 0 {
		sign = "-"
	}
	whole, part, of := n/16, n%16, int64(16)
	for part != 0 && part%2 == 0 {
		part, of = part/2, of/2
	}
	switch {
	case part == 0:
		return fmt.Sprintf("%s%d in", sign, whole)
	case whole == 0:
		return fmt.Sprintf("%s%d/%d in", sign, part, of)
	}
	return fmt.Sprintf("%s%d %d/%d in", sign, whole, part, of)
}

// trimNumber writes x to at most digits decimals, without trailing zeros and
// without the sign of a zero.
func trimNumber(x float64, digits int) string {
	s := strconv.FormatFloat(x, 'f', digits, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}

// An Angle is a turn in radians, counterclockwise positive: 18*Degree.
type Angle float64

// Units of angle, to multiply a number by.
const (
	Radian Angle = 1
	Degree Angle = math.Pi / 180
)

// Radians returns the number of radians in a.
func (a Angle) Radians() float64 { return float64(a) }

// Degrees returns the number of degrees in a.
func (a Angle) Degrees() float64 { return float64(a) / float64(Degree) }

// String writes degrees to a hundredth, "18°".
func (a Angle) String() string { return trimNumber(a.Degrees(), 2) + "°" }

// Sin, Cos and Tan are the trigonometric functions of a.
func (a Angle) Sin() float64 { return math.Sin(float64(a)) }

// Cos returns the cosine of a.
func (a Angle) Cos() float64 { return math.Cos(float64(a)) }

// Tan returns the tangent of a.
func (a Angle) Tan() float64 { return math.Tan(float64(a)) }
