package patternkit

import (
	"fmt"
	"math"

	"patternkit/patternkit/drawing"
	"patternkit/patternkit/geom"
)

// writeOn writes on one piece and beside it.
func (s *board) writeOn(p placed, o PictureOptions) {
	name := s.nameOf(p)
	s.foldLabel(p)
	s.edgeLabels(p)
	s.dartLabels(p)
	s.internalLabels(p, name)
	for _, h := range p.piece.drills {
		s.page.Label(drawing.Label{At: p.to.Apply(h.At), S: h.Name, Font: s.style.small, Gap: s.style.gap + s.style.mark/2})
	}
	if o.Points {
		s.pointLabels(p)
	}
}

func (s *board) foldLabel(p placed) {
	edge := s.foldEdge(p)
	if edge.Empty() {
		return
	}
	bracket := s.foldBracket(p)
	if bracket.Empty() {
		s.labelAlong(edge, edge.Length()/2, foldWords, s.style.small, 1)
		return
	}
	long := Line(bracket.Segments()[1].A, bracket.Segments()[1].B)
	s.labelAlong(long, long.Length()/2, foldWords, s.style.small, 1)
}

// edgeLabels writes the name and length of each trade edge beside its longest
// part.
func (s *board) edgeLabels(p placed) {
	for _, name := range p.piece.EdgeNames() {
		if p.piece.isMouth(name) {
			continue
		}
		parts, err := p.piece.Edge(name)
		if err != nil {
			continue
		}
		longest := parts[0].Path
		total := Length(0)
		for _, e := range parts {
			total += e.Path.Length()
			if e.Path.Length() > longest.Length() {
				longest = e.Path
			}
		}
		path := longest.Transformed(p.to)
		s.labelAlong(path, path.Length()/2, fmt.Sprintf("%s %s", name, total), s.style.edge, s.style.edgeSide)
	}
}

// dartLabels writes the name and intake of each dart along its first leg, or
// at its tip where the leg is short.
func (s *board) dartLabels(p placed) {
	for _, d := range p.piece.darts {
		a, b := p.piece.mouth(d)
		start, end, tip := p.to.Apply(a), p.to.Apply(b), p.to.Apply(d.Tip)
		text := fmt.Sprintf("%s %s", d.Name, a.Dist(b))
		leg := Line(start, tip)
		if drawing.TextWidth(text, s.style.small)*1.15 < leg.Length() {
			s.labelAlong(leg, leg.Length()*0.5, text, s.style.small, 1)
			continue
		}
		s.page.Label(drawing.Label{
			At: tip, S: fmt.Sprintf("%s\n%s", d.Name, a.Dist(b)), Font: s.style.small,
			Toward: tip.Sub(start.Mid(end)), Gap: s.style.gap + s.style.mark/2,
		})
	}
}

// internalLabels writes the name of each line beside it, where it is farthest
// from other lines and from the name of the piece.
func (s *board) internalLabels(p placed, name geom.Rect) {
	for i, e := range p.piece.internals {
		path := e.Path.Transformed(p.to)
		length := path.Length()
		width := drawing.TextWidth(e.Name, s.style.small)
		others := [][]Point{polygon(name.Outline())}
		for k, line := range p.obstacles() {
			if k != 1+i {
				others = append(others, line)
			}
		}
		best, room := length/2, Length(math.Inf(-1))
		for t := Length(0.1); t < 0.95; t += 0.1 {
			q := path.At(t * length).Add(path.TangentAt(t * length).Perp().Scale(float64(s.style.small.Size)))
			if r := clearance(q, width/2, s.style.small.Size/2, others); r > room {
				best, room = t*length, r
			}
		}
		s.labelAlong(path, best, e.Name, s.style.small, 1)
	}
}

func (s *board) pointLabels(p placed) {
	middle := p.box.Center()
	for _, q := range p.piece.points {
		at := p.to.Apply(q.At)
		s.page.Label(drawing.Label{At: at, S: q.Name, Font: s.style.small, Toward: middle.Sub(at), Gap: s.style.gap})
	}
}

// labelAlong writes text along a path at a length, on its left side (1) or its
// right (-1), turned with the chord under the text so that it reads upright.
func (s *board) labelAlong(path Path, at Length, text string, font drawing.Font, side float64) {
	half := drawing.TextWidth(text, font) / 2
	length := path.Length()
	a, b := path.At(max(0, at-half)), path.At(min(length, at+half))
	chord := b.Sub(a)
	if chord.Norm() < 0.5*MM {
		chord = path.TangentAt(at)
	}
	out := chord.Unit().Perp().Scale(side)
	foot := path.At(at)
	// Where the edge bulges toward the text, the text stands clear of the bulge.
	bulge := Length(0)
	for k := -4; k <= 4; k++ {
		q := path.At(min(length, max(0, at+half*Length(k)/4)))
		bulge = max(bulge, Length(q.Sub(foot).Dot(out)))
	}
	s.page.Label(drawing.Label{
		At: foot.Add(out.Scale(float64(bulge + font.Size*0.25))), S: text, Font: font,
		Angle: upright(chord.Direction()), Toward: out, Gap: s.style.gap,
	})
}

// upright turns the direction of a base line so that it is read from below or
// from the right.
func upright(a Angle) Angle {
	const quarter = Angle(math.Pi / 2)
	for a > quarter+1e-6 {
		a -= 2 * quarter
	}
	for a <= -quarter+1e-6 {
		a += 2 * quarter
	}
	return a
}
