package patternkit

import (
	"patternkit/patternkit/drawing"
	"patternkit/patternkit/geom"
)

// A turnedProfile is a turned edge seen from its end, cut through: the strips
// between its folds, where it is stitched, and the elastic in it.
type turnedProfile struct {
	strips   []Length // from the finished edge out
	stitched Length   // from the finished edge
	elastic  Length   // width of the elastic, 0 for none
}

// hemStitching is how far from its inner fold a hem is stitched (common
// practice, no source).
const hemStitching = 2 * MM

// profileOf returns the profile of a run that is folded once or twice, nil for
// another.
func (m *making) profileOf(run turnedRun) *turnedProfile {
	a, ok := m.allowanceOf(run.ring.edges[0])
	if !ok || !a.turnedUp() || len(a.strips()) > 2 {
		return nil
	}
	p := turnedProfile{strips: a.strips()}
	p.stitched = p.strips[0] - min(hemStitching, p.strips[0]/3)
	if c, ok := m.casingOf(run); ok {
		p.stitched, p.elastic = c.channel(), c.channel()*0.8
		if len(c.elastics) > 0 {
			p.elastic = min(c.elastics[0].Width, c.channel())
		}
	}
	return &p
}

// The section is drawn larger than the pieces, so that its layers lie apart.
const (
	profileTall   = 17 * MM // the strip that shows
	profileLayers = 6.5 * MM
	profileBelow  = 9 * MM // of the garment beyond the turned part
)

// profile draws the section with the outer side on the left and the finished
// edge above, or below where the edge is one of the lower half of its piece.
func (s *board) profile(p turnedProfile, left, middle Point, up float64) {
	scale := profileTall / p.strips[0]
	at := func(x, y Length) Point { return Pt(left.X+x, middle.Y+(y+profileTall/2)*Length(up)) }
	cloth := drawing.Pen{Width: 0.45, Color: ink}
	down := -p.strips[0] * scale
	s.stroke(Polyline(at(0, down-profileBelow), at(0, -1.5), at(0.5, -0.4), at(1.6, 0), at(profileLayers-1.6, 0), at(profileLayers-0.5, -0.4), at(profileLayers, -1.5), at(profileLayers, down+1)), cloth)
	if len(p.strips) == 2 {
		x := profileLayers - 1.8
		end := min(down+p.strips[1]*scale, -1.8)
		s.stroke(Polyline(at(profileLayers, down+1), at(profileLayers-0.4, down+0.2), at(x+0.4, down+0.2), at(x, down+1), at(x, end)), cloth)
		s.measured(at(-3, down), at(-3, end), makerLength(p.strips[1]), drawing.MiddleRight, -1)
	}
	s.measured(at(profileLayers+3, 0), at(profileLayers+3, down), makerLength(p.strips[0]), drawing.MiddleLeft, 1)
	stitch := -p.stitched * scale
	s.stroke(Line(at(-1.2, stitch), at(profileLayers+1.2, stitch)), drawing.Pen{Width: 0.6, Color: ink, Dash: []Length{1.1, 0.7}})
	if p.elastic > 0 {
		high, centre := p.elastic*scale, stitch/2
		s.page.Fill(geom.RectAround(at(1.3, centre-high/2), at(2.7, centre+high/2)).Outline(), softInk)
		s.later(func() { s.labelNear(at(2.7, centre+high/2), "elastic", s.style.small, Pt(1, 1), s.style.gap) })
	}
	s.later(func() {
		s.labelNear(at(profileLayers+1.2, stitch), "stitching", s.style.small, at(1, -1).Sub(at(0, 0)), s.style.gap)
		s.labelNear(at(0, down-profileBelow*0.7), "outside", s.style.small, Pt(-1, 0), s.style.gap)
	})
}

// measured draws a measure with its ticks and writes it beside its middle.
func (s *board) measured(a, b Point, words string, anchor drawing.Anchor, side Length) {
	s.stroke(Line(a, b), s.style.hair)
	for _, q := range []Point{a, b} {
		s.stroke(Line(q.Sub(Pt(0.9, 0)), q.Add(Pt(0.9, 0))), s.style.hair)
	}
	s.textAt(drawing.Text{At: a.Mid(b).Add(Pt(1.6*side, 0)), S: words, Font: s.style.small, Anchor: anchor})
}

// profileBeside draws the section to the right of the pieces.
func (s *board) profileBeside(all []placed, pair makingPair) {
	box := geom.EmptyRect()
	for _, p := range all {
		box = box.Union(p.box)
	}
	wide := drawing.TextWidth(makerLength(pair.profile.strips[0]), s.style.small)
	s.profile(*pair.profile, Pt(box.Max.X+wide+16*MM, 0), Pt(0, max(box.Center().Y, box.Max.Y-40*MM)), upOf(all, pair.edges[0]))
}

// upOf is 1 for an edge in the upper half of its piece and -1 for one in the
// lower.
func upOf(all []placed, a Along) float64 {
	for _, p := range all {
		if p.piece.name != a.Piece {
			continue
		}
		if parts, err := p.piece.Edge(a.Edge); err == nil {
			if p.to.Apply(parts[0].Path.At(parts[0].Path.Length()/2)).Y < p.box.Center().Y {
				return -1
			}
		}
	}
	return 1
}
