package patternkit

import (
	"math"

	"patternkit/patternkit/drawing"
	"patternkit/patternkit/geom"
)

// pieces draws the lines of all pieces, then writes on them: first what has
// only one good place.
func (s *board) pieces(all []placed, o PictureOptions) {
	all = withCuts(all)
	for _, p := range all {
		s.page.Begin(p.piece.name)
		s.internals(p)
		s.pleats(p)
		s.darts(p)
		s.cutLine(p)
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
		s.later(func() { s.writeOn(p, o) })
	}
}

func (s *board) internals(p placed) {
	for _, e := range p.piece.internals {
		pen, meaning := s.style.internal, meansInternal
		if p.piece.pleatLine(e.Name) == "fold line" {
			pen, meaning = s.style.turn, meansTurn
		}
		s.line(e.Path.Transformed(p.to), pen, meaning)
	}
}

func (s *board) darts(p placed) {
	for _, d := range p.piece.darts {
		start, end := p.piece.mouth(d)
		tip := p.to.Apply(d.Tip)
		s.line(Polyline(p.to.Apply(start), tip, p.to.Apply(end)), s.style.dart, meansDart)
		s.hole(tip)
	}
}

// hole draws a drill hole: a ring with a dot.
func (s *board) hole(at Point) {
	s.stroke(circle(at, s.style.mark*0.5), s.style.hair)
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
		if p.drawnByCut(e.Name) {
			flush()
			continue
		}
		edgePen, edgeMeaning := s.edgePen(p, e.Name)
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

func (s *board) edgePen(p placed, edge string) (drawing.Pen, string) {
	switch {
	case edge == p.piece.fold:
		return s.style.fold, meansFold
	case p.piece.isMouth(edge):
		return s.style.mouth, ""
	case p.hasCut():
		return s.style.sewn, meansSewn
	}
	return s.style.stitch, meansStitch
}

// foldMark draws the bracket that points at the edge laid on the fold, where
// it crosses no other line. A short edge has only the words.
func (s *board) foldMark(p placed) {
	bracket := s.foldBracket(p)
	if bracket.Empty() {
		return
	}
	a, b := bracket.Start(), bracket.End()
	s.stroke(bracket, s.style.grain)
	out := b.Sub(a).Perp().Neg()
	s.arrow(a, out, 1.5*s.style.mark)
	s.arrow(b, out, 1.5*s.style.mark)
}

const foldWords = "place on fold"

// foldBracket returns the bracket on the inside of the fold edge, empty where
// the edge is too short for it.
func (s *board) foldBracket(p placed) Path {
	edge := s.foldEdge(p)
	long := drawing.TextWidth(foldWords, s.style.small) + 4*s.style.mark
	if edge.Length() < 1.5*long {
		return Path{}
	}
	in := edge.End().Sub(edge.Start()).Unit().Perp().Scale(float64(3 * s.style.mark)) // the piece is on the left of its edge
	t := Length(0.5)
	for _, other := range []Length{0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74} {
		fits := min(other, 1-other)*edge.Length() >= long/2
		if fits && !p.crossed(edge.At(other*edge.Length()), in, long/2) {
			t = other
			break
		}
	}
	a, b := edge.At(t*edge.Length()-long/2), edge.At(t*edge.Length()+long/2)
	reach := in.Scale(0.12)
	return Polyline(a.Add(reach), a.Add(in), b.Add(in), b.Add(reach))
}

// crossed reports whether an internal line runs into the edge within half of a
// place on it.
func (p placed) crossed(at, in Point, half Length) bool {
	for _, e := range p.piece.internals {
		path := e.Path.Transformed(p.to)
		for _, q := range []Point{path.Start(), path.End()} {
			d := q.Sub(at)
			if Length(d.Dot(in.Unit())).Abs() < 2*in.Norm() && Length(d.Cross(in.Unit())).Abs() < half+1*MM {
				return true
			}
		}
	}
	return false
}

// foldEdge returns the edge on the fold as it lies on paper.
func (s *board) foldEdge(p placed) Path {
	for _, e := range p.piece.edges {
		if e.Name == p.piece.fold {
			return e.Path.Transformed(p.to)
		}
	}
	return Path{}
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
	s.stroke(Line(a.Add(d), b.Sub(d)), s.style.grain)
	s.arrow(a, d.Neg(), 2*s.style.mark)
	s.arrow(b, d, 2*s.style.mark)
}

// marks draws the notches and drill holes.
func (s *board) marks(p placed) {
	for _, n := range p.piece.notches {
		if n.Double {
			s.shown[meansDouble] = true
		} else {
			s.shown[meansNotch] = true
		}
		if p.hasCut() {
			continue
		}
		if e, at, err := p.piece.locate(n.Edge, n.At); err == nil {
			s.ticks(p.to.Apply(e.Path.At(at)), p.to.ApplyVector(e.Path.TangentAt(at)), n.Double)
		}
	}
	if p.hasCut() {
		s.cutNotches(p)
	}
	for _, h := range p.piece.drills {
		s.hole(p.to.Apply(h.At))
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
		s.stroke(Line(q.Sub(across), q.Add(across)), s.style.notch)
	}
}

func (s *board) points(p placed) {
	for _, q := range p.piece.points {
		s.page.Fill(circle(p.to.Apply(q.At), s.style.mark*0.3), ink)
	}
}

// circle is as round as a mark on paper needs: of four cubics, within a
// thousandth of its radius.
func circle(center Point, r Length) Path {
	const handle = 0.5523 // of the radius, for a quarter
	segments := make([]geom.Segment, 4)
	for i := range segments {
		x := Polar(r, Angle(i)*math.Pi/2)
		y := x.Perp()
		segments[i] = geom.Segment{
			A: center.Add(x), C1: center.Add(x).Add(y.Scale(handle)),
			C2: center.Add(y).Add(x.Scale(handle)), B: center.Add(y), Curve: true,
		}
	}
	path, err := geom.PathOf(segments...)
	if err != nil {
		return Arc(center, r, 0, 2*math.Pi)
	}
	return path
}
