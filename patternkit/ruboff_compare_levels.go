package patternkit

import "patternkit/patternkit/geom"

// A compareLevel is one measure of a top; of returns 0 where there is none.
type compareLevel struct {
	name  string
	field string // Body's measure there, "" for none
	of    func(topMeasure, Body) Length
}

var compareLevels = []compareLevel{
	{"bust", "BustGirth", func(m topMeasure, b Body) Length { return m.around("bust", 0) }},
	{"waist", "WaistGirth", func(m topMeasure, b Body) Length { return m.around("waist", b.BackWaistLength) }},
	{"hip", "HipGirth", func(m topMeasure, b Body) Length {
		if b.BackWaistLength == 0 || b.WaistToHip == 0 {
			return m.around("hip", 0)
		}
		return m.around("hip", b.BackWaistLength+b.WaistToHip)
	}},
	{"biceps", "UpperArmGirth", func(m topMeasure, b Body) Length { return m.around("biceps", 0) }},
	{"armhole", "ArmscyeGirth", func(m topMeasure, b Body) Length {
		return edgeOr0(m.back, "armhole") + edgeOr0(m.front, "armhole")
	}},
	{"across back", "BackWidth", func(m topMeasure, b Body) Length { return 2 * m.back.narrowest() }},
	{"across front", "ChestWidth", func(m topMeasure, b Body) Length { return 2 * m.front.narrowest() }},
	{"shoulder", "ShoulderLength", func(m topMeasure, b Body) Length { return edgeOr0(m.back, "shoulder") }},
	{"neckline", "NeckBaseGirth", func(m topMeasure, b Body) Length {
		return 2 * (edgeOr0(m.back, "neckline") + edgeOr0(m.front, "neckline"))
	}},
	{"nape to underarm level", "ArmscyeDepth", func(m topMeasure, b Body) Length { return m.back.downTo("back neck point", "underarm point") }},
	{"shoulder point to underarm level", "", func(m topMeasure, b Body) Length { return m.back.downTo("shoulder point", "underarm point") }},
	{"centre back", "", func(m topMeasure, b Body) Length { return edgeOr0(m.back, m.back.fold) }},
	{"side seam", "", func(m topMeasure, b Body) Length { return edgeOr0(m.back, "side seam") }},
	{"sleeve, crown to hem", "", func(m topMeasure, b Body) Length {
		up, down := m.sleeveReach()
		return up + down
	}},
	{"cap height", "", func(m topMeasure, b Body) Length { up, _ := m.sleeveReach(); return up }},
	{"sleeve head less armhole", "", func(m topMeasure, b Body) Length {
		if !m.sleeved || edgeOr0(m.sleeve, "cap") == 0 {
			return 0
		}
		return edgeOr0(m.sleeve, "cap") - edgeOr0(m.back, "armhole") - edgeOr0(m.front, "armhole")
	}},
}

func edgeOr0(p Piece, edge string) Length {
	if len(p.edges) == 0 || edge == "" {
		return 0
	}
	l, err := p.EdgeLength(edge)
	if err != nil {
		return 0
	}
	return l
}

// around is the girth at a level: along the lines that the pieces have, or
// across them so far below the back neck point.
func (m topMeasure) around(name string, below Length) Length {
	for _, level := range girthLevels {
		if level.name == name {
			if girth, marks := m.p.girthAt(level); len(marks) > 0 {
				return girth
			}
		}
	}
	neck, err := m.back.Point("back neck point")
	if err != nil || below == 0 {
		return 0
	}
	// The front is measured as far below the underarm as the back.
	back := m.back.footOn(neck).Add(m.back.down().Scale(float64(below)))
	under := back.Sub(m.back.footOn(m.back.at("underarm point"))).Dot(m.back.down())
	front := m.front.footOn(m.front.at("underarm point")).Add(m.front.down().Scale(under))
	a, b := m.back.acrossFrom(back), m.front.acrossFrom(front)
	if a == 0 || b == 0 {
		return 0
	}
	return 2 * (a + b)
}

// acrossFrom is the width of a half square from a place on its centre line.
func (p Piece) acrossFrom(foot Point) Length {
	underarm := p.at("underarm point")
	into := underarm.Sub(p.footOn(underarm)).Unit()
	parts, _ := p.Edge(p.fold)
	if parts[0].Path.Dist(foot) > 0.01*MM {
		return 0
	}
	return p.widthAcross(foot.Add(into), foot.Add(into.Scale(2)))
}

// narrowest is the least width of a half between its centre line and its
// armhole. Darts of the shoulder that reach below it are closed.
func (p Piece) narrowest() Length {
	_, open := p.narrowestOf(Transform{})
	least, _ := p.narrowestOf(p.shoulderClosed(open))
	return least
}

// narrowestOf is the least width to the armhole when it is moved, and where.
func (p Piece) narrowestOf(moved Transform) (least Length, where Point) {
	parts, err := p.Edge("armhole")
	if err != nil {
		return 0, Point{}
	}
	for _, e := range parts {
		path := e.Path.Transformed(moved)
		whole := path.Length()
		const samples = 200
		for i := range samples + 1 {
			at := path.At(whole * Length(i) / samples)
			if width := at.Dist(p.footOn(at)); least == 0 || width < least {
				least, where = width, at
			}
		}
	}
	return least, where
}

// shoulderClosed is how the armhole turns when the darts of the shoulder that
// reach below a place are closed: about their tips, toward the centre line.
func (p Piece) shoulderClosed(below Point) (t Transform) {
	for _, d := range p.darts {
		run, err := p.run(d.Mouth)
		if err != nil || d.Tip.Sub(below).Dot(p.down()) <= 0 {
			continue
		}
		n := len(p.edges)
		if p.edges[(run[0]+n-1)%n].Name != "shoulder" && p.edges[(run[0]+1)%n].Name != "shoulder" {
			continue
		}
		near, far := p.mouth(d)
		if far.Dist(p.footOn(far)) < near.Dist(p.footOn(near)) {
			near, far = far, near
		}
		t = t.Then(geom.Rotate(d.Tip, far.Sub(d.Tip).AngleTo(near.Sub(d.Tip))))
	}
	return t
}

// downTo is how far one named point of a half lies below another.
func (p Piece) downTo(from, to string) Length {
	a, errA := p.Point(from)
	b, errB := p.Point(to)
	if errA != nil || errB != nil {
		return 0
	}
	return Length(b.Sub(a).Dot(p.down()))
}

// sleeveReach is how far the sleeve reaches above and below its biceps line,
// at the crown.
func (m topMeasure) sleeveReach() (up, down Length) {
	if !m.sleeved {
		return 0, 0
	}
	back, errB := m.sleeve.Point("back underarm point")
	front, errF := m.sleeve.Point("front underarm point")
	crown, errC := m.sleeve.Point("crown point")
	hem, errH := m.sleeve.Edge("hem")
	if errB != nil || errF != nil || errC != nil || errH != nil {
		return 0, 0
	}
	square := front.Sub(back).Unit().Perp()
	up = Length(crown.Sub(back).Dot(square))
	if up < 0 {
		up, square = -up, square.Neg()
	}
	reach := m.sleeve.Bounds().Height() + m.sleeve.Bounds().Width()
	for _, e := range hem {
		for _, c := range e.Path.Intersections(Line(crown, crown.Sub(square.Scale(float64(reach))))) {
			down = crown.Dist(c.At) - up
		}
	}
	return up, down
}
