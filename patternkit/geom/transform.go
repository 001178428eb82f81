package geom

import (
	"fmt"
	"math"
)

// A Transform moves, turns, mirrors, scales or shears the plane. The zero
// value leaves everything where it is.
type Transform struct {
	set        bool // false for the zero value
	xx, xy, dx float64
	yx, yy, dy float64
}

// entries returns the rows of the matrix, of the identity for the zero value.
func (t Transform) entries() Transform {
	if !t.set {
		return Transform{set: true, xx: 1, yy: 1}
	}
	return t
}

// Translate moves by v.
func Translate(v Point) Transform {
	return Transform{set: true, xx: 1, yy: 1, dx: float64(v.X), dy: float64(v.Y)}
}

// Rotate turns by a about a point.
func Rotate(about Point, a Angle) Transform {
	sin, cos := math.Sincos(float64(a))
	return linearAbout(about, cos, -sin, sin, cos)
}

// Mirror reflects in the line through a and b, which must be apart.
func Mirror(a, b Point) Transform {
	d := b.Sub(a).Unit()
	x, y := float64(d.X), float64(d.Y)
	return linearAbout(a, x*x-y*y, 2*x*y, 2*x*y, y*y-x*x)
}

// Scale enlarges k times from the origin.
func Scale(k float64) Transform { return ScaleXY(k, k) }

// ScaleXY enlarges from the origin, kx times along x and ky times along y.
func ScaleXY(kx, ky float64) Transform { return Transform{set: true, xx: kx, yy: ky} }

// Affine takes (x, y) to (xx*x + xy*y + dx, yx*x + yy*y + dy).
func Affine(xx, xy, yx, yy float64, dx, dy Length) Transform {
	return Transform{set: true, xx: xx, xy: xy, yx: yx, yy: yy, dx: float64(dx), dy: float64(dy)}
}

// linearAbout is the matrix with the point about staying where it is.
func linearAbout(about Point, xx, xy, yx, yy float64) Transform {
	x, y := float64(about.X), float64(about.Y)
	return Transform{
		set: true,
		xx:  xx, xy: xy, dx: x - (xx*x + xy*y),
		yx: yx, yy: yy, dy: y - (yx*x + yy*y),
	}
}

// Then returns the transform that does t first and u after it.
func (t Transform) Then(u Transform) Transform {
	t, u = t.entries(), u.entries()
	return Transform{
		set: true,
		xx:  u.xx*t.xx + u.xy*t.yx, xy: u.xx*t.xy + u.xy*t.yy, dx: u.xx*t.dx + u.xy*t.dy + u.dx,
		yx: u.yx*t.xx + u.yy*t.yx, yy: u.yx*t.xy + u.yy*t.yy, dy: u.yx*t.dx + u.yy*t.dy + u.dy,
	}
}

// Apply returns where t takes the place p.
func (t Transform) Apply(p Point) Point {
	t = t.entries()
	x, y := float64(p.X), float64(p.Y)
	return Point{Length(t.xx*x + t.xy*y + t.dx), Length(t.yx*x + t.yy*y + t.dy)}
}

// ApplyVector returns what t makes of the vector v, which has no place.
func (t Transform) ApplyVector(v Point) Point {
	t = t.entries()
	x, y := float64(v.X), float64(v.Y)
	return Point{Length(t.xx*x + t.xy*y), Length(t.yx*x + t.yy*y)}
}

// Determinant returns by what t multiplies areas, negative where it mirrors.
func (t Transform) Determinant() float64 {
	t = t.entries()
	return t.xx*t.yy - t.xy*t.yx
}

// Inverse returns the transform that undoes t. A transform that flattens the
// plane can't be undone and gives an error.
func (t Transform) Inverse() (Transform, error) {
	t = t.entries()
	det := t.Determinant()
	if det == 0 || math.IsNaN(1/det) || math.IsInf(1/det, 0) {
		return Transform{}, fmt.Errorf("the transform multiplies areas by %v and can't be undone", det)
	}
	xx, xy, yx, yy := t.yy/det, -t.xy/det, -t.yx/det, t.xx/det
	return Transform{
		set: true,
		xx:  xx, xy: xy, dx: -(xx*t.dx + xy*t.dy),
		yx: yx, yy: yy, dy: -(yx*t.dx + yy*t.dy),
	}, nil
}
