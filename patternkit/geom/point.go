package geom

import "math"

// meet is how near two ends must be, in millimetres, to count as one place.
const meet = 1e-6

// A Point is a place on the plane, or a vector, x to the right and y up.
type Point struct{ X, Y Length }

// Pt returns the point x to the right of the origin and y above it.
func Pt(x, y Length) Point { return Point{x, y} }

// Polar returns the point at distance r from the origin in direction a,
// counted counterclockwise from the x axis.
func Polar(r Length, a Angle) Point {
	sin, cos := math.Sincos(float64(a))
	return Point{r * Length(cos), r * Length(sin)}
}

// Add returns p moved by v.
func (p Point) Add(v Point) Point { return Point{p.X + v.X, p.Y + v.Y} }

// Sub returns the vector from q to p.
func (p Point) Sub(q Point) Point { return Point{p.X - q.X, p.Y - q.Y} }

// Scale returns the vector p, k times as long.
func (p Point) Scale(k float64) Point { return Point{p.X * Length(k), p.Y * Length(k)} }

// Neg returns the vector p turned round.
func (p Point) Neg() Point { return Point{-p.X, -p.Y} }

// Dot returns the dot product in square millimetres.
func (p Point) Dot(q Point) float64 { return float64(p.X*q.X + p.Y*q.Y) }

// Cross returns the cross product in square millimetres, positive where q
// lies to the left of p.
func (p Point) Cross(q Point) float64 { return float64(p.X*q.Y - p.Y*q.X) }

// Norm returns the length of the vector p.
func (p Point) Norm() Length { return Length(math.Hypot(float64(p.X), float64(p.Y))) }

// Unit returns the vector of length 1 in the direction of p. The zero vector
// has no direction: its Unit is not a number (see Finite).
func (p Point) Unit() Point {
	n := p.Norm()
	return Point{p.X / n, p.Y / n}
}

// Perp returns the vector p turned left by a right angle.
func (p Point) Perp() Point { return Point{-p.Y, p.X} }

// Rotated returns p turned about the origin.
func (p Point) Rotated(a Angle) Point {
	sin, cos := math.Sincos(float64(a))
	s, c := Length(sin), Length(cos)
	return Point{p.X*c - p.Y*s, p.X*s + p.Y*c}
}

// Mirrored returns p reflected in the line through a and b.
func (p Point) Mirrored(a, b Point) Point { return Mirror(a, b).Apply(p) }

// Dist returns the distance from p to q.
func (p Point) Dist(q Point) Length { return p.Sub(q).Norm() }

// Lerp returns the point the fraction t of the way from p to q.
func (p Point) Lerp(q Point, t float64) Point {
	return Point{p.X + (q.X-p.X)*Length(t), p.Y + (q.Y-p.Y)*Length(t)}
}

// Mid returns the point half way from p to q.
func (p Point) Mid(q Point) Point { return Point{(p.X + q.X) / 2, (p.Y + q.Y) / 2} }

// Direction returns the angle of the vector p from the x axis, from -180° to
// 180°.
func (p Point) Direction() Angle { return Angle(math.Atan2(float64(p.Y), float64(p.X))) }

// AngleTo returns the turn from the direction of p to that of q, from -180°
// to 180°, positive to the left.
func (p Point) AngleTo(q Point) Angle { return Angle(math.Atan2(p.Cross(q), p.Dot(q))) }

// Finite reports whether both coordinates are numbers and not infinite.
func (p Point) Finite() bool { return p.X.Finite() && p.Y.Finite() }

// Near reports whether p and q are at most tol apart.
func (p Point) Near(q Point, tol Length) bool { return p.Dist(q) <= tol }

// String writes both coordinates, "(12.5 cm, 3 cm)".
func (p Point) String() string { return "(" + p.X.String() + ", " + p.Y.String() + ")" }

// nowhere is the place that is asked for off a path.
func nowhere() Point {
	nan := Length(math.NaN())
	return Point{nan, nan}
}
