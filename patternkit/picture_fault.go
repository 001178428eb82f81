package patternkit

import (
	"fmt"
	"math"
	"strings"

	"patternkit/patternkit/drawing"
)

// seams says which edges are gathered, and marks the seams that do not meet.
func (s *board) seams(all []placed, p Pattern) {
	walk := p.Walk()
	for edge, words := range p.gatheredEdges(walk) {
		if piece, ok := findPlaced(all, edge.Piece); ok {
			s.edgeNotes[edgeOn{piece.group, edge}] = words
		}
	}
	s.faults(all, p, walk)
}

// faults marks the seams that do not meet: a zigzag inside the edge of each
// side or, where only notches are astray, a ring around each of them; and what
// is wrong in words beside the first edge of side A.
func (s *board) faults(all []placed, p Pattern, walk SeamTable) {
	for i, row := range walk.rows {
		if !row.Fault {
			continue
		}
		s.shown[meansFault] = true
		seam := p.seams[i]
		_, wrongLength := lengthVerdict(row.Difference, row.Ease)
		for k, a := range append(append([]Along(nil), seam.A...), seam.B...) {
			words := ""
			if k == 0 {
				words = row.fault()
			}
			piece, ok := findPlaced(all, a.Piece)
			switch {
			case !ok:
			case wrongLength:
				s.faultAlong(piece, a, words)
			default:
				s.faultAtNotches(piece, a, row, words)
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

// faultAlong marks an edge and writes words beside it, if there are any.
func (s *board) faultAlong(p placed, a Along, words string) {
	parts, err := p.piece.Edge(a.Edge)
	if err != nil {
		return
	}
	for _, e := range parts {
		s.stroke(zigzag(e.Path.Transformed(p.to), s.style.mark, 0.7*s.style.mark), s.style.fault)
	}
	if words != "" {
		s.faultWords(p, parts[0].Path, words)
	}
}

// faultAtNotches rings the notches of an edge that are astray and writes words
// beside the first, or beside the edge where its side has no such notch.
func (s *board) faultAtNotches(p placed, a Along, row SeamRow, words string) {
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
			s.stroke(circle(at, 2*s.style.mark), s.style.fault)
			if text := words; text != "" {
				s.later(func() {
					s.labelNear(at, text, s.faultFont(), p.box.Center().Sub(at), 2.5*s.style.mark)
				})
				words = ""
			}
		}
	}
	if words == "" {
		return
	}
	parts, err := p.piece.Edge(a.Edge)
	if err != nil {
		return
	}
	s.faultWords(p, parts[0].Path, words)
}

// faultWords writes beside an edge, inside the piece where it can.
func (s *board) faultWords(p placed, edge Path, words string) {
	path := edge.Transformed(p.to)
	s.later(func() {
		if !s.first(words, s.faultFont(), s.alongSide(path, 1, words, s.faultFont())) {
			middle := path.Length() / 2
			s.labelNear(path.At(middle), words, s.faultFont(), path.TangentAt(middle).Perp(), 0)
		}
	})
}

// cornerFaults rings what is to be trued and numbers it; the words stand under
// the drawing. A mark with words begins a fault; those after it without words
// are the same fault elsewhere.
func (s *board) cornerFaults(all []placed, marks []truingMark) {
	number := 0
	for i := 0; i < len(marks); {
		if words := marks[i].words; words != "" {
			number++
			s.listed = append(s.listed, fmt.Sprintf("%d  %s", number, strings.TrimPrefix(words, "FAULT: ")))
		}
		p, ok := findPlaced(all, marks[i].piece)
		if !ok {
			i++
			continue
		}
		s.shown[meansTrue] = true
		first := p.to.Apply(marks[i].at)
		middle := first
		s.ring(first)
		if i++; i < len(marks) && marks[i].words == "" && marks[i].piece == p.piece.name {
			second := p.to.Apply(marks[i].at) // the other side of a dart
			s.ring(second)
			middle = first.Mid(second)
			i++
		}
		stitch := p.piece.outline.Transformed(p.to)
		along, _ := stitch.Nearest(middle)
		out := stitch.TangentAt(along).Perp().Neg()
		beside := middle.Add(out.Scale(float64(s.style.mark)))
		label := fmt.Sprint(number)
		s.later(func() {
			s.labelNear(beside, label, s.faultFont(), out, 0.5*s.style.mark)
		})
	}
}

func (s *board) ring(at Point) { s.stroke(circle(at, s.style.mark), s.style.fault) }

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
			return fmt.Sprintf("FAULT %s:\nnotch %s\ndoes not meet its partner", r.Seam, n.Notch)
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
