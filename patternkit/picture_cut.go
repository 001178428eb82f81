package patternkit

import (
	"strings"

	"patternkit/patternkit/geom"
)

// A pictureCut is what a piece has beyond its stitch line.
type pictureCut struct {
	line    Path
	notches []NotchMark
	folds   []Edge // along which edges are turned
	err     error  // why there is no line
}

// pictureCutOf lays out the cut line of a piece, nil where no allowance has
// been said.
func pictureCutOf(p Piece) *pictureCut {
	if len(p.Allowances()) == 0 {
		return nil
	}
	c := &pictureCut{}
	if c.line, c.err = p.CutLine(); c.err != nil {
		return c
	}
	for _, n := range p.notches {
		e, at, err := p.locate(n.Edge, n.At)
		if err != nil {
			continue
		}
		width, err := p.Allowance(n.Edge)
		if err != nil {
			continue
		}
		on := e.Path.At(at)
		c.notches = append(c.notches, NotchMark{n, on, outTo(c.line, on, e.Path.TangentAt(at).Perp().Neg(), width.Width)})
	}
	c.folds, c.err = p.FoldLines()
	return c
}

// rim is the outermost line of a piece as it lies on paper.
func (p placed) rim() Path {
	if p.hasCut() {
		return p.cut.line.Transformed(p.to)
	}
	return p.piece.outline.Transformed(p.to)
}

func (p placed) hasCut() bool { return p.cut != nil && p.cut.err == nil }

// withCuts lays out the cut lines that are not laid out yet.
func withCuts(all []placed) []placed {
	out := append([]placed(nil), all...)
	for i, p := range out {
		if p.cut == nil {
			out[i].cut = pictureCutOf(p.piece)
		}
	}
	return out
}

// cutLine draws where the cloth is cut, the fold of the cloth in its own pen,
// and the lines along which edges are turned.
func (s *board) cutLine(p placed) {
	if p.cut == nil {
		return
	}
	if p.cut.err != nil {
		s.shown[meansFault] = true
		words := linesOf("NO CUT LINE: "+p.cut.err.Error(), 40)
		s.later(func() { s.labelNear(p.box.Center(), words, s.faultFont(), Point{}, 0) })
		return
	}
	for _, run := range p.cut.runs(p.piece) {
		pen, meaning := s.style.cut, meansCut
		if run.onFold {
			pen, meaning = s.style.fold, meansFold
		}
		s.line(run.path.Transformed(p.to), pen, meaning)
	}
	for _, e := range p.cut.folds {
		s.line(e.Path.Transformed(p.to), s.style.turn, meansTurn)
	}
}

// A cutRun is a stretch of the cut line that is cut, or that lies on the fold
// of the cloth.
type cutRun struct {
	path   Path
	onFold bool
}

func (c *pictureCut) runs(p Piece) []cutRun {
	var fold Path
	if parts, err := p.Edge(p.fold); err == nil {
		fold = parts[0].Path
	}
	var runs []cutRun
	for _, g := range c.line.Segments() {
		path, err := geom.PathOf(g)
		if err != nil {
			continue
		}
		onFold := !g.Curve && onLine(fold, g.A) && onLine(fold, g.B)
		if n := len(runs); n > 0 && runs[n-1].onFold == onFold {
			if joined, err := runs[n-1].path.Append(path); err == nil {
				runs[n-1].path = joined
				continue
			}
		}
		runs = append(runs, cutRun{path, onFold})
	}
	return runs
}

// onLine reports whether q lies on the straight line that an edge is part of.
func onLine(edge Path, q Point) bool {
	if edge.Empty() {
		return false
	}
	along := edge.End().Sub(edge.Start()).Unit()
	return Length(along.Cross(q.Sub(edge.Start()))).Abs() < 0.05*MM
}

// drawnByCut reports whether an edge is drawn with the cut line: it is cut
// along, lies on the fold, or is a line along which cloth is turned.
func (p placed) drawnByCut(edge string) bool {
	if !p.hasCut() || p.piece.isMouth(edge) {
		return false
	}
	a, err := p.piece.Allowance(edge)
	return edge == p.piece.fold || err == nil && (a.Width == 0 || a.Corner == FoldedBack)
}

// cutNotches draws the notches from the stitch line out to the cut line.
func (s *board) cutNotches(p placed) {
	for _, n := range p.cut.notches {
		on, out := p.to.Apply(n.On), p.to.Apply(n.Out)
		d := out.Sub(on)
		if d.Norm() < 0.2*s.style.mark { // a raw edge has no room for it outside
			if e, at, err := p.piece.locate(n.Edge, n.At); err == nil {
				s.ticks(on, p.to.ApplyVector(e.Path.TangentAt(at)), n.Double)
			}
			continue
		}
		offsets := []Length{0}
		if n.Double {
			offsets = []Length{-0.4 * s.style.mark, 0.4 * s.style.mark}
		}
		for _, o := range offsets {
			beside := d.Unit().Perp().Scale(float64(o))
			s.stroke(Line(on.Add(beside), out.Add(beside)), s.style.notch)
		}
	}
}

// allowanceLines say under the name of a piece how wide its allowances are.
func (p placed) allowanceLines() []string {
	lines := strings.Split("allowance "+p.piece.allowanceWords(), "; ")
	for i, l := range lines {
		lines[i] = linesOf(l, 34)
	}
	return strings.Split(strings.Join(lines, "\n"), "\n")
}

// linesNote says what line lengths are measured on, and which is cut.
func linesNote(all []placed) string {
	for _, p := range all {
		if p.hasCut() {
			return "lengths on the stitch line"
		}
	}
	return "on the stitch line, no seam allowance"
}

// linesOf breaks words into lines of at most so many letters, where it can.
func linesOf(words string, letters int) string {
	var out strings.Builder
	used := 0
	for i, w := range strings.Fields(words) {
		switch {
		case i == 0:
		case used+1+len(w) > letters:
			out.WriteByte('\n')
			used = 0
		default:
			out.WriteByte(' ')
			used++
		}
		out.WriteString(w)
		used += len(w)
	}
	return out.String()
}

// nameSide is where the names of edges are written: within a piece where
// outside lies its allowance.
func (s *board) nameSide(p placed) float64 {
	if p.hasCut() {
		return 1
	}
	return s.style.edgeSide
}
