package svgpath

import (
	"fmt"
	"math"
	"strings"

	"patternkit/patternkit/geom"
)

// transform reads a transform attribute (SVG 1.1, 7.6), the last applied first.
func transform(s string) (geom.Transform, error) {
	var all geom.Transform
	c := &scanner{s: s}
	for {
		c.space()
		if c.done() {
			return all, nil
		}
		open := strings.IndexByte(s[c.at:], '(')
		if open < 0 {
			return all, c.fault(c.at, "want a transform such as translate(10 20)")
		}
		name := strings.TrimSpace(s[c.at : c.at+open])
		start := c.at
		c.at += open + 1
		var v []float64
		for c.space(); c.starts() && len(v) < 7; c.space() {
			n, err := c.number()
			if err != nil {
				return all, err
			}
			v = append(v, n)
		}
		if c.done() || s[c.at] != ')' {
			return all, c.fault(c.at, "want \")\" after the numbers of %.20q", name)
		}
		c.at++
		t, ok := transformOf(name, v)
		if !ok {
			return all, c.fault(start, "%.20q with %d numbers, want matrix with 6, translate or scale with 1 or 2, rotate with 1 or 3, skewX or skewY with 1", name, len(v))
		}
		all = t.Then(all)
	}
}

func transformOf(name string, v []float64) (geom.Transform, bool) {
	pt := func(x, y float64) geom.Point { return geom.Pt(geom.Length(x), geom.Length(y)) }
	angle := func(degrees float64) geom.Angle { return geom.Angle(math.Mod(degrees, 360) * math.Pi / 180) }
	switch fmt.Sprint(name, len(v)) {
	case "matrix6":
		return geom.Affine(v[0], v[2], v[1], v[3], geom.Length(v[4]), geom.Length(v[5])), true
	case "translate1":
		return geom.Translate(pt(v[0], 0)), true
	case "translate2":
		return geom.Translate(pt(v[0], v[1])), true
	case "scale1":
		return geom.Scale(v[0]), true
	case "scale2":
		return geom.ScaleXY(v[0], v[1]), true
	case "rotate1":
		return geom.Rotate(geom.Point{}, angle(v[0])), true
	case "rotate3":
		return geom.Rotate(pt(v[1], v[2]), angle(v[0])), true
	case "skewX1":
		return geom.Affine(1, math.Tan(float64(angle(v[0]))), 0, 1, 0, 0), true
	case "skewY1":
		return geom.Affine(1, 0, math.Tan(float64(angle(v[0]))), 1, 0, 0), true
	}
	return geom.Transform{}, false
}

// pixels are the absolute units of CSS in pixels of 1/96 in (CSS Values
// and Units 3, 6.2).
var pixels = map[string]float64{
	"": 1, "px": 1, "in": 96, "cm": 96 / 2.54, "mm": 96 / 25.4, "q": 96 / 101.6, "pt": 96.0 / 72, "pc": 16,
}

// length reads a length in pixels.
func length(s string) (float64, error) {
	c := &scanner{s: strings.TrimSpace(s)}
	v, err := c.number()
	if err != nil {
		return 0, err
	}
	unit, ok := pixels[strings.ToLower(c.s[c.at:])]
	if !ok {
		return 0, c.fault(c.at, "unit %.20q, want px, mm, cm, Q, in, pt, pc or none", c.s[c.at:])
	}
	return v * unit, nil
}
