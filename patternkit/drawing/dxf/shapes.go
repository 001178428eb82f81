package dxf

import (
	"math"

	"patternkit/patternkit/geom"
)

// path returns what an entity draws, in drawing units; an empty path for one
// that draws no line.
func (e entity) path(vertices []vertex) (geom.Path, error) {
	var path geom.Path
	var err error
	switch e.kind {
	case "LINE":
		path, err = e.straight()
	case "LWPOLYLINE":
		if vertices, err = e.points(10, 42); err == nil {
			path, err = e.polyline(vertices)
		}
	case "POLYLINE":
		path, err = e.polyline(vertices)
	case "ARC", "CIRCLE":
		path, err = e.arc()
	case "ELLIPSE":
		path, err = e.ellipse()
	case "SPLINE":
		path, err = e.spline()
	}
	if err != nil || path.Empty() {
		return geom.Path{}, err
	}
	if !path.Finite() {
		return geom.Path{}, faultAt(e.line, "%s reaches beyond all numbers", e.kind)
	}
	return e.extruded(path)
}

// extruded mirrors what was drawn on the back of the plane.
func (e entity) extruded(path geom.Path) (geom.Path, error) {
	if e.kind == "LINE" || e.kind == "SPLINE" || e.kind == "ELLIPSE" {
		return path, nil // their points are those of the drawing whichever way they face
	}
	mirrored, err := e.faces()
	if err == nil && mirrored {
		path = path.Transformed(mirror)
	}
	return path, err
}

var mirror = geom.Mirror(geom.Pt(0, 0), geom.Pt(0, 1))

// faces reports whether an entity lies on the back of the plane; one at a
// slant is an error.
func (e entity) faces() (back bool, err error) {
	x, err := e.number(210, 0)
	if err != nil {
		return false, err
	}
	y, err := e.number(220, 0)
	if err != nil {
		return false, err
	}
	z, err := e.number(230, 1)
	if err != nil {
		return false, err
	}
	if math.Abs(x) > 1e-9 || math.Abs(y) > 1e-9 || z == 0 {
		return false, faultAt(e.line, "%s lies at a slant to the drawing (groups 210 to 230 are %v, %v, %v), want a flat drawing", e.kind, x, y, z)
	}
	return z < 0, nil
}

func (e entity) straight() (geom.Path, error) {
	a, err := e.point(10)
	if err != nil {
		return geom.Path{}, err
	}
	b, err := e.point(11)
	if err != nil || a == b {
		return geom.Path{}, err
	}
	return geom.Line(a, b), nil
}

// polyline joins vertices by lines and by arcs where they bulge.
func (e entity) polyline(vertices []vertex) (geom.Path, error) {
	flags, err := e.integer(70, 0)
	if err != nil {
		return geom.Path{}, err
	}
	if e.kind == "POLYLINE" && flags&(8|16|64) != 0 {
		return geom.Path{}, faultAt(e.line, "POLYLINE is a line or mesh in space (group 70 is %d), want a flat one", flags)
	}
	if len(vertices) > mostParts {
		return geom.Path{}, faultAt(e.line, "%s has %d points, want at most %d", e.kind, len(vertices), mostParts)
	}
	if flags&1 != 0 && len(vertices) > 1 {
		vertices = append(vertices[:len(vertices):len(vertices)], vertices[0])
	}
	var parts []geom.Path
	for i := 1; i < len(vertices); i++ {
		a, b := vertices[i-1], vertices[i]
		if a.at == b.at {
			continue
		}
		if !(rise(a.at, b.at, a.bulge) <= farthest) {
			return geom.Path{}, faultAt(a.line, "%s bulges by %v of a chord of %v, beyond %v", e.kind, a.bulge, a.at.Dist(b.at), farthest)
		}
		parts = append(parts, bulged(a.at, b.at, a.bulge))
	}
	return geom.Path{}.Append(parts...)
}

// rise is how far the arc from a to b lies from the line between them.
func rise(a, b geom.Point, bulge float64) float64 { return math.Abs(bulge) * float64(a.Dist(b)) / 2 }

// bulged is the arc from a to b whose sweep is four times the arctangent of
// bulge, to the left of it where positive.
func bulged(a, b geom.Point, bulge float64) geom.Path {
	if rise(a, b, bulge) < 1e-9 {
		return geom.Line(a, b)
	}
	sweep := 4 * math.Atan(bulge)
	// The centre is on the perpendicular through the middle of the chord.
	center := a.Mid(b).Add(b.Sub(a).Perp().Scale((1 - bulge*bulge) / (4 * bulge)))
	radius := center.Dist(a)
	arc := geom.Arc(center, radius, angleOf(a.Sub(center)), geom.Angle(sweep))
	return pinned(arc, a, b)
}

func angleOf(v geom.Point) geom.Angle { return geom.Angle(math.Atan2(float64(v.Y), float64(v.X))) }

// pinned ends a path exactly at a and b, from which rounding has moved it.
func pinned(path geom.Path, a, b geom.Point) geom.Path {
	segments := path.Segments()
	if len(segments) == 0 {
		return geom.Line(a, b)
	}
	segments[0].A, segments[len(segments)-1].B = a, b
	out, err := geom.PathOf(segments...)
	if err != nil {
		return geom.Line(a, b)
	}
	return out
}

func (e entity) arc() (geom.Path, error) {
	center, err := e.point(10)
	if err != nil {
		return geom.Path{}, err
	}
	radius, err := e.number(40, 0)
	if err != nil {
		return geom.Path{}, err
	}
	if !(radius > 0 && radius <= farthest) {
		return geom.Path{}, faultAt(e.line, "%s has a radius of %v, want more than 0 and at most %v", e.kind, radius, farthest)
	}
	from, to := 0.0, 360.0
	if e.kind == "ARC" {
		if from, err = e.number(50, 0); err != nil {
			return geom.Path{}, err
		}
		if to, err = e.number(51, 360); err != nil {
			return geom.Path{}, err
		}
	}
	from, sweep := turn(from/180*math.Pi, to/180*math.Pi)
	return geom.Arc(center, geom.Length(radius), geom.Angle(from), geom.Angle(sweep)), nil
}

// turn returns where a counterclockwise turn starts and how far it goes: a full
// one between equal angles.
func turn(from, to float64) (start, sweep float64) {
	sweep = math.Mod(to-from, 2*math.Pi)
	if sweep <= 1e-12 {
		sweep += 2 * math.Pi
	}
	return math.Mod(from, 2*math.Pi), sweep
}

// ellipse is a circle of radius 1, turned and stretched.
func (e entity) ellipse() (geom.Path, error) {
	center, err := e.point(10)
	if err != nil {
		return geom.Path{}, err
	}
	major, err := e.point(11)
	if err != nil {
		return geom.Path{}, err
	}
	ratio, err := e.number(40, 1)
	if err != nil {
		return geom.Path{}, err
	}
	if !(ratio > 0 && ratio <= 1) || major == (geom.Point{}) {
		return geom.Path{}, faultAt(e.line, "ELLIPSE has axes of %v and %v of it, want a longer one and a ratio up to 1", major.Norm(), ratio)
	}
	from, err := e.number(41, 0)
	if err != nil {
		return geom.Path{}, err
	}
	to, err := e.number(42, 2*math.Pi)
	if err != nil {
		return geom.Path{}, err
	}
	from, sweep := turn(from, to)
	back, err := e.faces()
	if err != nil {
		return geom.Path{}, err
	}
	minor := major.Perp().Scale(ratio)
	if back {
		minor = minor.Neg()
	}
	var segments []geom.Segment
	to2D := func(p geom.Point) geom.Point {
		return center.Add(major.Scale(float64(p.X))).Add(minor.Scale(float64(p.Y)))
	}
	for _, g := range geom.Arc(geom.Point{}, 1000, geom.Angle(from), geom.Angle(sweep)).Segments() {
		const unit = 1.0 / 1000 // the circle is large so that its arcs are exact
		segments = append(segments, geom.Segment{
			A: to2D(g.A.Scale(unit)), C1: to2D(g.C1.Scale(unit)), C2: to2D(g.C2.Scale(unit)), B: to2D(g.B.Scale(unit)), Curve: g.Curve,
		})
	}
	return geom.PathOf(segments...)
}
