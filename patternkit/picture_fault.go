package patternkit

import (
	"fmt"
	"math"

	"patternkit/patternkit/drawing"
)

// faults marks the seams that do not meet: a zigzag inside the edge of each
// side or, where only notches are astray, a ring around each of them; and what
// is wrong in words beside side A.
func (s *board) faults(all []placed, p Pattern) {
	for i, row := range p.Walk().rows {
		if !row.Fault {
			continue
		}
		s.shown[meansFault] = true
		seam := p.seams[i]
		words := row.fault()
		for _, a := range append(append([]Along(nil), seam.A...), seam.B...) {
			piece, ok := findPlaced(all, a.Piece)
			if !ok {
				continue
			}
			if _, fault := lengthVerdict(row.Difference, row.Ease); fault {
				words = s.faultAlong(piece, a, words)
			} else {
				words = s.faultAtNotches(piece, a, row, words)
			}
		}
	}
}

func findPlaced(all []placed, piece string) (placed, bool) {
	for _, p := range all {
		if p.piece.name == piece {
			return p, true
		}
	}
	return placed{}, false
}

// faultAlong marks an edge and writes words beside it, once: it returns what
// is left to write.
func (s *board) faultAlong(p placed, a Along, words string) string {
	parts, err := p.piece.Edge(a.Edge)
	if err != nil {
		return words
	}
	for _, e := range parts {
		s.page.Stroke(zigzag(e.Path.Transformed(p.to), s.style.mark, 0.7*s.style.mark), s.style.fault)
	}
	if words != "" {
		path := parts[0].Path.Transformed(p.to)
		s.later(func() { s.labelAlong(path, path.Length()*0.3, words, s.faultFont(), 1) })
	}
	return ""
}

func (s *board) faultAtNotches(p placed, a Along, row SeamRow, words string) string {
	for _, n := range row.Notches {
		for _, m := range p.piece.notches {
			if !n.Fault || m.Name != n.Notch || m.Edge != a.Edge {
				continue
			}
			q, err := p.piece.PointOn(m.Edge, m.At)
			if err != nil {
				continue
			}
			at := p.to.Apply(q)
			s.page.Stroke(circle(at, 2*s.style.mark), s.style.fault)
			if words != "" {
				s.later(func() {
					s.page.Label(drawing.Label{At: at, S: words, Font: s.faultFont(), Toward: p.box.Center().Sub(at), Gap: 3 * s.style.mark})
				})
				words = ""
			}
		}
	}
	return words
}

func (s *board) faultFont() drawing.Font {
	f := s.style.edge
	f.Bold, f.Color = true, faultInk
	return f
}

// fault says on the drawing what is wrong with the seam, seen from side A.
func (r SeamRow) fault() string {
	off := r.Difference - r.Ease
	switch {
	case off > walkTolerance:
		return fmt.Sprintf("FAULT %s: %s cm too long\nfor %s", r.Seam, inCM(off), r.SideB)
	case off < -walkTolerance:
		return fmt.Sprintf("FAULT %s: %s cm too short\nfor %s", r.Seam, inCM(-off), r.SideB)
	}
	for _, n := range r.Notches {
		if n.Fault {
			return fmt.Sprintf("FAULT %s: notch %s\ndoes not meet its partner", r.Seam, n.Notch)
		}
	}
	return "FAULT " + r.Seam
}

// zigzag follows a path on its left, between offset and offset plus width.
func zigzag(path Path, offset, width Length) Path {
	length := path.Length()
	n := max(2, int(math.Round(float64(length/(1.2*width)))))
	points := make([]Point, n+1)
	for i := range points {
		at := length * Length(i) / Length(n)
		away := offset
		if i%2 == 1 {
			away += width
		}
		points[i] = path.At(at).Add(path.TangentAt(at).Perp().Scale(float64(away)))
	}
	return Polyline(points...)
}
