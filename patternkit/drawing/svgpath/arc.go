package svgpath

import (
	"math"

	"patternkit/patternkit/geom"
)

// arc draws an elliptical arc between two points (SVG 1.1, F.6.5 and F.6.6:
// radii too small to reach are enlarged until they do).
func (p *pen) arc(from geom.Point) error {
	var v [3]float64 // radii and turn
	for i := range v {
		var err error
		if v[i], err = p.number(); err != nil {
			return err
		}
	}
	large, err := p.flag()
	if err != nil {
		return err
	}
	sweep, err := p.flag()
	if err != nil {
		return err
	}
	to, err := p.point(from)
	if err != nil || to == p.at {
		return err
	}
	rx, ry := math.Abs(v[0]), math.Abs(v[1])
	if rx < 1e-9 || ry < 1e-9 {
		p.line(to)
		return nil
	}
	turn := geom.Angle(math.Mod(v[2], 360) * math.Pi / 180)
	half := p.at.Sub(to).Scale(0.5).Rotated(-turn)
	x, y := float64(half.X)/rx, float64(half.Y)/ry // on the unit circle
	reach := math.Hypot(x, y)
	if reach > 1 {
		rx, ry, x, y = rx*reach, ry*reach, x/reach, y/reach
		reach = 1
	}
	off := math.Sqrt(max(0, 1-reach*reach)) / reach
	if large == sweep {
		off = -off
	}
	cx, cy := off*y, -off*x
	begin := math.Atan2(y-cy, x-cx)
	angle := math.Mod(math.Atan2(-y-cy, -x-cx)-begin, 2*math.Pi)
	if sweep && angle < 0 {
		angle += 2 * math.Pi
	} else if !sweep && angle > 0 {
		angle -= 2 * math.Pi
	}
	center := p.at.Mid(to).Add(geom.Pt(geom.Length(cx*rx), geom.Length(cy*ry)).Rotated(turn))
	segments := ellipse(center, rx, ry, turn, begin, angle)
	segments[0].A, segments[len(segments)-1].B = p.at, to
	for _, g := range segments {
		p.add(g)
	}
	return nil
}

// ellipse is an arc of a circle, stretched and turned. The circle is large so
// that the cubics that draw it are near enough.
func ellipse(center geom.Point, rx, ry float64, turn geom.Angle, begin, angle float64) []geom.Segment {
	const radius = 1000
	to := geom.ScaleXY(rx/radius, ry/radius).Then(geom.Rotate(geom.Point{}, turn)).Then(geom.Translate(center))
	return geom.Arc(geom.Point{}, radius, geom.Angle(begin), geom.Angle(angle)).Transformed(to).Segments()
}
