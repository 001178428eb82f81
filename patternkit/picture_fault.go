package patternkit

import (
	"fmt"
	"math"
)

// faults marks the seams that do not meet: a zigzag inside the edge of each
// side, and what is wrong in words beside the first.
func (s *board) faults(all []placed, p Pattern) {
	for i, row := range p.Walk().rows {
		if !row.Fault {
			continue
		}
		s.shown[meansFault] = true
		seam := p.seams[i]
		for k, a := range append(append([]Along(nil), seam.A...), seam.B...) {
			s.faultAlong(all, a, row, k == 0)
		}
	}
}

func (s *board) faultAlong(all []placed, a Along, row SeamRow, inWords bool) {
	for _, p := range all {
		if p.piece.name != a.Piece {
			continue
		}
		parts, err := p.piece.Edge(a.Edge)
		if err != nil {
			continue
		}
		for _, e := range parts {
			s.page.Stroke(zigzag(e.Path.Transformed(p.to), s.style.mark, 0.7*s.style.mark), s.style.fault)
		}
		if !inWords {
			continue
		}
		path := parts[0].Path.Transformed(p.to)
		font := s.style.edge
		font.Bold, font.Color = true, faultInk
		s.later(func() { s.labelAlong(path, path.Length()*0.3, row.fault(), font, 1) })
	}
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
