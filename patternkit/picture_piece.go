package patternkit

import (
	"fmt"
	"math"

	"patternkit/patternkit/drawing"
)

// pieces draws the lines of all pieces, then puts off what is written on them.
func (s *board) pieces(all []placed, o PictureOptions) {
	for _, p := range all {
		s.page.Begin(p.piece.name)
		s.internals(p)
		s.darts(p)
		s.outline(p)
		s.foldMark(p)
		s.grainline(p)
		s.marks(p)
		if o.Points {
			s.points(p)
		}
		s.page.End()
	}
	for _, p := range all {
		s.later(func() { s.nameOf(p) })
	}
	for _, p := range all {
		s.later(func() { s.edgeLabels(p) })
	}
}

func (s *board) internals(p placed) {
	for _, e := range p.piece.internals {
		path := e.Path.Transformed(p.to)
		s.line(path, s.style.internal, meansInternal)
		s.later(func() { s.labelAlong(path, path.Length()*0.3, e.Name, s.style.small, 1) })
	}
}

func (s *board) darts(p placed) {
	for _, d := range p.piece.darts {
		a, b := p.piece.mouth(d)
		start, end, tip := p.to.Apply(a), p.to.Apply(b), p.to.Apply(d.Tip)
		s.line(Polyline(start, tip, end), s.style.dart, meansDart)
		s.hole(tip)
		text := fmt.Sprintf("%s\n%s", d.Name, a.Dist(b))
		s.later(func() {
			s.page.Label(drawing.Label{At: tip, S: text, Font: s.style.small, Toward: tip.Sub(start.Mid(end)), Gap: s.style.gap + s.style.mark/2})
		})
	}
}

// hole draws a drill hole: a ring with a dot.
func (s *board) hole(at Point) {
	s.page.Stroke(circle(at, s.style.mark*0.5), s.style.hair)
	s.page.Fill(circle(at, s.style.mark*0.15), ink)
}

// outline draws the edges, each run of one pen as one line.
func (s *board) outline(p placed) {
	var run Path
	var pen drawing.Pen
	var meaning string
	flush := func() {
		if !run.Empty() {
			s.line(run, pen, meaning)
		}
		run = Path{}
	}
	for _, e := range p.piece.edges {
		edgePen, edgeMeaning := s.edgePen(p.piece, e.Name)
		if edgeMeaning != meaning {
			flush()
		}
		pen, meaning = edgePen, edgeMeaning
		joined, err := run.Append(e.Path.Transformed(p.to))
		if err != nil {
			flush()
			joined = e.Path.Transformed(p.to)
		}
		run = joined
	}
	flush()
}

func (s *board) edgePen(p Piece, edge string) (drawing.Pen, string) {
	switch {
	case edge == p.fold:
		return s.style.fold, meansFold
	case p.isMouth(edge):
		return s.style.mouth, ""
	}
	return s.style.stitch, meansStitch
}

// foldMark draws the bracket that points at the edge laid on the fold. A short
// edge has words instead.
func (s *board) foldMark(p placed) {
	if p.piece.fold == "" {
		return
	}
	parts, err := p.piece.Edge(p.piece.fold)
	if err != nil {
		return
	}
	const words = "place on fold"
	edge := parts[0].Path.Transformed(p.to)
	long := drawing.TextWidth(words, s.style.small) * 1.3
	if edge.Length() < 1.5*long {
		s.later(func() { s.labelAlong(edge, edge.Length()/2, words, s.style.small, 1) })
		return
	}
	d := edge.End().Sub(edge.Start()).Unit()
	in := d.Perp().Scale(float64(3 * s.style.mark)) // the piece is on the left of its edge
	middle := edge.Length() * 0.5
	a, b := edge.At(middle-long/2), edge.At(middle+long/2)
	reach := in.Scale(0.12)
	s.page.Stroke(Polyline(a.Add(reach), a.Add(in), b.Add(in), b.Add(reach)), s.style.grain)
	s.arrow(a.Add(reach), in.Neg(), 1.5*s.style.mark)
	s.arrow(b.Add(reach), in.Neg(), 1.5*s.style.mark)
	bracket := Line(a.Add(in), b.Add(in))
	s.later(func() { s.labelAlong(bracket, bracket.Length()/2, words, s.style.small, 1) })
}

func (s *board) grainline(p placed) {
	a, b, ok := p.piece.Grainline()
	if ok {
		s.doubleArrow(p.to.Apply(a), p.to.Apply(b))
		s.shown[meansGrain] = true
	}
}

func (s *board) doubleArrow(a, b Point) {
	d := b.Sub(a).Unit().Scale(float64(s.style.mark))
	s.page.Stroke(Line(a.Add(d), b.Sub(d)), s.style.grain)
	s.arrow(a, d.Neg(), 2*s.style.mark)
	s.arrow(b, d, 2*s.style.mark)
}

// marks draws the notches and drill holes.
func (s *board) marks(p placed) {
	for _, n := range p.piece.notches {
		e, at, err := p.piece.locate(n.Edge, n.At)
		if err != nil {
			continue
		}
		s.ticks(p.to.Apply(e.Path.At(at)), p.to.ApplyVector(e.Path.TangentAt(at)), n.Double)
		if n.Double {
			s.shown[meansDouble] = true
		} else {
			s.shown[meansNotch] = true
		}
	}
	for _, h := range p.piece.drills {
		at := p.to.Apply(h.At)
		s.hole(at)
		s.later(func() { s.page.Label(drawing.Label{At: at, S: h.Name, Font: s.style.small}) })
	}
}

// ticks draws a notch across an edge that runs along d.
func (s *board) ticks(at, d Point, double bool) {
	d = d.Unit()
	across := d.Perp().Scale(float64(s.style.mark))
	offsets := []Length{0}
	if double {
		offsets = []Length{-0.4 * s.style.mark, 0.4 * s.style.mark}
	}
	for _, o := range offsets {
		q := at.Add(d.Scale(float64(o)))
		s.page.Stroke(Line(q.Sub(across), q.Add(across)), s.style.notch)
	}
}

func (s *board) points(p placed) {
	middle := p.box.Center()
	for _, q := range p.piece.points {
		at := p.to.Apply(q.At)
		s.page.Fill(circle(at, s.style.mark*0.3), ink)
		s.later(func() {
			s.page.Label(drawing.Label{At: at, S: q.Name, Font: s.style.small, Toward: middle.Sub(at), Gap: s.style.gap})
		})
	}
}

// edgeLabels writes the name and length of each trade edge beside its longest
// part, outside the piece.
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
		s.labelAlong(path, path.Length()/2, fmt.Sprintf("%s %s", name, total), s.style.edge, -1)
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
		At: foot.Add(out.Scale(float64(bulge + font.Size*0.1))), S: text, Font: font,
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

func circle(center Point, r Length) Path { return Arc(center, r, 0, 2*math.Pi) }
