package patternkit

import (
	"fmt"
	"math"
	"strings"

	"patternkit/patternkit/geom"
)

// Lengths, turns and plane figures are geom's, named here so that a cell needs
// one import.
type (
	// Length is a distance in millimetres: 92*CM, 2.5*Inch.
	Length = geom.Length
	// Angle is a turn in radians, counterclockwise positive: 18*Degree.
	Angle = geom.Angle
	// Point is a place or a vector on the cloth, x to the right and y up.
	Point = geom.Point
	// Rect is a box with sides along x and y.
	Rect = geom.Rect
	// Path is a chain of lines and cubic curves.
	Path = geom.Path
	// Transform moves, turns, mirrors or scales a plane figure.
	Transform = geom.Transform
)

// Units to multiply a number by: 92*CM is 920*MM.
const (
	MM     = geom.MM
	CM     = geom.CM
	M      = geom.M
	Inch   = geom.Inch
	Radian = geom.Radian
	Degree = geom.Degree
)

// Inches reads inches as they are written on a tape: "1 5/8", "3/4", "36.5".
func Inches(s string) (Length, error) { return geom.Inches(s) }

// ParseLength reads a number with its unit: "4.1 cm", "1 5/8 in", "12 mm". A
// number without a unit is an error, because it could be any of them.
func ParseLength(s string) (Length, error) { return geom.ParseLength(s) }

// Pt returns the point x to the right of the origin and y above it.
func Pt(x, y Length) Point { return geom.Pt(x, y) }

// Polar returns the point at distance r from the origin in direction a,
// counted counterclockwise from the x axis.
func Polar(r Length, a Angle) Point { return geom.Polar(r, a) }

// Line returns the straight path from a to b.
func Line(a, b Point) Path { return geom.Line(a, b) }

// Cubic returns the Bezier curve from a to b with handles c1 and c2.
func Cubic(a, c1, c2, b Point) Path { return geom.Cubic(a, c1, c2, b) }

// Polyline returns straight lines through pts in order.
func Polyline(pts ...Point) Path { return geom.Polyline(pts...) }

// Arc returns part of a circle that starts in direction from and turns by
// sweep, counterclockwise where sweep is positive.
func Arc(center Point, r Length, from, sweep Angle) Path {
	return geom.Arc(center, r, from, sweep)
}

// A RangeError names the measurement or option that cannot be used, as the
// designer typed it, with the range that can and the likely slip.
type RangeError struct {
	What          string // what was asked: "body", "sleeve for an armhole of 44 cm"
	Field         string // "CapHeight"
	Got, Min, Max Length
}

// Error reads like "body: BustGirth is 9.2 cm, want 30 cm to 200 cm; a bare
// number is millimetres, did you mean 92*CM?".
func (e *RangeError) Error() string {
	s := fmt.Sprintf("%s: %s is %v, want %v to %v", e.What, e.Field, e.Got, e.Min, e.Max)
	if hint := e.Hint(); hint != "" {
		s += "; " + hint
	}
	return s
}

// Hint returns the likely slip of the unit, or "" where none explains the
// number.
func (e *RangeError) Hint() string {
	n := float64(e.Got)
	slips := []struct {
		number float64 // as it was probably typed
		unit   string  // the unit that was meant
		meant  Length
		reason string
	}{
		{n, "CM", Length(n) * CM, "a bare number is millimetres"},
		{n, "Inch", Length(n) * Inch, "a bare number is millimetres"},
		{n / 10, "Inch", Length(n/10) * Inch, "it reads like inches"},
		{n / 25.4, "CM", Length(n/25.4) * CM, "it reads like centimetres"},
		{n / 10, "MM", Length(n / 10), "it reads like millimetres"},
		{n / 25.4, "MM", Length(n / 25.4), "it reads like millimetres"},
	}
	for _, s := range slips {
		if e.Got > 0 && e.Min <= s.meant && s.meant <= e.Max {
			return fmt.Sprintf("%s, did you mean %s*%s?", s.reason, plainNumber(s.number), s.unit)
		}
	}
	return ""
}

// checkRange returns a *RangeError where got is outside min to max or no
// number at all.
func checkRange(what, field string, got, min, max Length) error {
	if got >= min && got <= max {
		return nil
	}
	return &RangeError{What: what, Field: field, Got: got, Min: min, Max: max}
}

// plainNumber writes n to a hundredth without trailing zeros.
func plainNumber(n float64) string {
	s := fmt.Sprintf("%.2f", n)
	if !math.IsInf(n, 0) && !math.IsNaN(n) {
		s = strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
	}
	return s
}
