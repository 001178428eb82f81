package svgpath

import (
	"encoding/xml"
	"fmt"
	"math"
	"strings"

	"patternkit/patternkit/geom"
)

// attrs are the attributes of an element by their local names.
type attrs map[string]string

func attributes(e xml.StartElement) attrs {
	a := attrs{}
	for _, at := range e.Attr {
		if at.Name.Space == "" {
			a[at.Name.Local] = at.Value
		}
	}
	return a
}

func (a attrs) hidden() bool {
	style := strings.ReplaceAll(a["style"], " ", "")
	return a["display"] == "none" || strings.Contains(style, "display:none")
}

// lengths reads attributes in pixels, 0 where they are left out.
func (a attrs) lengths(names ...string) ([]float64, error) {
	out := make([]float64, len(names))
	for i, name := range names {
		if strings.TrimSpace(a[name]) == "" {
			continue
		}
		v, err := length(a[name])
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		out[i] = v
	}
	return out, nil
}

// shape returns what an element draws, in its own coordinates.
func (a attrs) shape(name string) ([]geom.Path, error) {
	switch name {
	case "path":
		paths, err := Paths(a["d"])
		if err != nil {
			err = fmt.Errorf("d, %w", err)
		}
		return paths, err
	case "line":
		v, err := a.lengths("x1", "y1", "x2", "y2")
		if err != nil {
			return nil, err
		}
		return Paths(fmt.Sprintf("M%v %vL%v %v", v[0], v[1], v[2], v[3]))
	case "polyline", "polygon":
		return a.polygon(name == "polygon")
	case "rect":
		return a.rect()
	case "circle", "ellipse":
		return a.round(name)
	}
	return nil, nil
}

func (a attrs) polygon(closed bool) ([]geom.Path, error) {
	points := strings.TrimSpace(a["points"])
	if points == "" {
		return nil, nil
	}
	if c := (&scanner{s: points}); !c.starts() {
		return nil, fmt.Errorf("points, %w", c.fault(0, "want a number"))
	}
	end := ""
	if closed {
		end = "Z"
	}
	paths, err := Paths("M" + points + end)
	if err != nil {
		err = fmt.Errorf("points, one more than %w", err)
	}
	return paths, err
}

// rect draws a rectangle, its corners rounded by rx and ry (SVG 1.1, 9.2).
func (a attrs) rect() ([]geom.Path, error) {
	v, err := a.lengths("x", "y", "width", "height", "rx", "ry")
	if err != nil {
		return nil, err
	}
	x, y, w, h, rx, ry := v[0], v[1], v[2], v[3], v[4], v[5]
	if w < 0 || h < 0 || rx < 0 || ry < 0 {
		return nil, fmt.Errorf("width %v, height %v, rx %v, ry %v, want 0 or more", w, h, rx, ry)
	}
	if w == 0 || h == 0 {
		return nil, nil
	}
	if a["rx"] == "" {
		rx = ry
	} else if a["ry"] == "" {
		ry = rx
	}
	rx, ry = min(rx, w/2), min(ry, h/2)
	if rx == 0 || ry == 0 {
		return Paths(fmt.Sprintf("M%v %vh%vv%vh%vz", x, y, w, h, -w))
	}
	return Paths(fmt.Sprintf("M%v %vH%va%v %v 0 0 1 %v %vV%va%v %v 0 0 1 %v %vH%va%v %v 0 0 1 %v %vV%va%v %v 0 0 1 %v %vz",
		x+rx, y, x+w-rx, rx, ry, rx, ry, y+h-ry, rx, ry, -rx, ry, x+rx, rx, ry, -rx, -ry, y+ry, rx, ry, rx, -ry))
}

func (a attrs) round(name string) ([]geom.Path, error) {
	radii := []string{"rx", "ry"}
	if name == "circle" {
		radii = []string{"r", "r"}
	}
	v, err := a.lengths("cx", "cy", radii[0], radii[1])
	if err != nil {
		return nil, err
	}
	if v[2] < 0 || v[3] < 0 {
		return nil, fmt.Errorf("radii of %v and %v, want 0 or more", v[2], v[3])
	}
	if v[2] == 0 || v[3] == 0 {
		return nil, nil
	}
	path, err := geom.PathOf(ellipse(geom.Pt(geom.Length(v[0]), geom.Length(v[1])), v[2], v[3], 0, 0, 2*math.Pi)...)
	return []geom.Path{path}, err
}

const mmPerPixel = 25.4 / 96

// viewport takes user units to those outside the element (SVG 1.1, 7.8): for
// the root to millimetres with y up.
func (a attrs) viewport(root bool) (geom.Transform, error) {
	size, err := a.lengths("x", "y", "width", "height")
	if err != nil {
		return geom.Transform{}, err
	}
	x, y, w, h := size[0], size[1], size[2], size[3]
	if w < 0 || h < 0 {
		return geom.Transform{}, fmt.Errorf("width %v and height %v, want more than 0", w, h)
	}
	to := geom.Transform{}
	if a["viewBox"] != "" {
		if to, h, err = a.fit(w, h); err != nil {
			return geom.Transform{}, err
		}
	}
	if !root {
		return to.Then(geom.Translate(geom.Pt(geom.Length(x), geom.Length(y)))), nil
	}
	return to.Then(geom.ScaleXY(mmPerPixel, -mmPerPixel)).Then(geom.Translate(geom.Pt(0, geom.Length(h*mmPerPixel)))), nil
}

// fit lays the viewBox into the width and height, where those are left out
// into its own, and returns the height too.
func (a attrs) fit(w, h float64) (geom.Transform, float64, error) {
	c := &scanner{s: a["viewBox"]}
	var v [4]float64
	for i := range v {
		var err error
		if v[i], err = c.number(); err != nil {
			return geom.Transform{}, 0, fmt.Errorf("viewBox: %w", err)
		}
	}
	if !(v[2] > 0 && v[3] > 0) {
		return geom.Transform{}, 0, fmt.Errorf("viewBox is %v by %v, want more than 0", v[2], v[3])
	}
	switch {
	case w == 0 && h == 0:
		w, h = v[2], v[3]
	case w == 0:
		w = h * v[2] / v[3]
	case h == 0:
		h = w * v[3] / v[2]
	}
	kx, ky := w/v[2], h/v[3]
	dx, dy := 0.0, 0.0
	if keep := a["preserveAspectRatio"]; !strings.HasPrefix(strings.TrimSpace(keep), "none") {
		k := min(kx, ky)
		if strings.Contains(keep, "slice") {
			k = max(kx, ky)
		}
		kx, ky = k, k
		dx, dy = aligned(keep, "xM", "xMin", w-k*v[2]), aligned(keep, "YM", "YMin", h-k*v[3])
	}
	to := geom.Translate(geom.Pt(geom.Length(-v[0]), geom.Length(-v[1]))).Then(geom.ScaleXY(kx, ky)).Then(geom.Translate(geom.Pt(geom.Length(dx), geom.Length(dy))))
	return to, h, nil
}

// aligned shares out room that is left over: none before it, half, or all.
func aligned(keep, axis, least string, room float64) float64 {
	switch {
	case strings.Contains(keep, least):
		return 0
	case strings.Contains(keep, axis+"ax"):
		return room
	}
	return room / 2
}
