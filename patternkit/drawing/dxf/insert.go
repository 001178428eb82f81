package dxf

import (
	"math"
	"strings"

	"patternkit/patternkit/geom"
)

// insert draws a block where an INSERT places it, in rows and columns.
func (f *file) insert(e entity, to geom.Transform, depth int) error {
	name := e.text(2)
	b, known := f.blocks[strings.ToUpper(name)]
	if !known {
		return faultAt(e.line, "INSERT places block %.80q, which the file has not", name)
	}
	if depth == mostDepth {
		return faultAt(e.line, "block %.80q lies within itself, or within more than %d others", name, mostDepth)
	}
	at, err := e.point(10)
	if err != nil {
		return err
	}
	var v [5]float64 // scale across and up, turn, steps across and up
	for i, group := range [5]int{41, 42, 50, 44, 45} {
		otherwise := 0.0
		if i < 2 {
			otherwise = 1
		}
		if v[i], err = e.number(group, otherwise); err != nil {
			return err
		}
	}
	columns, err := e.integer(70, 1)
	if err != nil {
		return err
	}
	rows, err := e.integer(71, 1)
	if err != nil {
		return err
	}
	back, err := e.faces()
	if err != nil {
		return err
	}
	if v[0] == 0 || v[1] == 0 {
		return faultAt(e.line, "INSERT scales block %.80q by %v and %v, want none to be 0", name, v[0], v[1])
	}
	turned := geom.Rotate(geom.Point{}, geom.Angle(math.Mod(v[2], 360)/180*math.Pi))
	for row := range max(rows, 1) {
		for column := range max(columns, 1) {
			step := turned.Apply(geom.Pt(geom.Length(v[3])*geom.Length(column), geom.Length(v[4])*geom.Length(row)))
			here := geom.Translate(b.base.Neg()).Then(geom.ScaleXY(v[0], v[1])).Then(turned).Then(geom.Translate(at.Add(step)))
			if back {
				here = here.Then(mirror)
			}
			if f.placed++; f.placed > 10*mostParts {
				return faultAt(e.line, "the drawing has more than %d things once its blocks are placed", 10*mostParts)
			}
			if err := f.draw(b.entities, here.Then(to), name, depth+1); err != nil {
				return err
			}
		}
	}
	return nil
}
