package patternkit

import (
	"fmt"
	"slices"
	"strings"
)

// Picture draws the pieces with every ring that does not pass marked along its
// edges or its line, numbered. Under them stands by number what the ring
// measures, what must pass it and what is lacking; or that the garment goes on.
func (t PullOnTable) Picture() Picture {
	var marks []truingMark
	for _, f := range t.Faults() {
		marks = append(marks, told(f.at, f.lacking())...)
	}
	return t.pattern.truingPicture("pull-on of "+t.pattern.name, marks, t.summary())
}

// lacking says what a ring lacks.
func (r PullOnRow) lacking() string {
	must := fmt.Sprintf("for the %s of %s cm%s it must measure", r.judged.Over, inCM(r.judged.Widest), r.how)
	return lackingWords(r.Ring, r.Girth, must, r.judged.Least)
}

// Picture draws the pieces with every level that is too small to be worn marked
// along its line or edge, numbered. Under them stands by number what the level
// measures, what the body does and what is lacking; or that none is too small.
func (t EaseTable) Picture() Picture {
	var marks []truingMark
	for _, f := range t.Faults() {
		must := fmt.Sprintf("the body %s cm; it must measure", inCM(f.Body))
		marks = append(marks, told(f.at, lackingWords(f.Level, f.Garment, must, f.least))...)
	}
	return t.pattern.truingPicture("ease of "+t.pattern.name, marks, "No level is too small to be worn.")
}

func lackingWords(place string, measures Length, must string, least Length) string {
	return fmt.Sprintf("%s: measures %s cm around, %s %s cm, lacking %s cm",
		place, inCM(measures), must, inCM(least), inCM(least-measures))
}

// truingPicture draws the pieces with marks along their lines, or with a line
// that says that all is well.
func (p Pattern) truingPicture(title string, marks []truingMark, well string) Picture {
	if len(p.pieces) == 0 {
		return Picture{}
	}
	pieces, scale := arrange(p.pieces, p.parts, PictureOptions{}.room())
	words := title + ": " + well
	if len(marks) > 0 {
		words = title + "; lines that are too short are marked"
	}
	s := newBoard(title, words, screenStyle(), scale)
	if len(marks) == 0 {
		s.listed = []string{well}
	}
	s.lineFaults(pieces, marks)
	s.pieces(pieces, PictureOptions{})
	s.frame(pieces, title, linesNote(pieces))
	return Picture{s.page, strings.Join(append([]string{title}, s.listed...), "\n")}
}

// lineFaults marks lines by a zigzag and numbers them; the words stand under
// the drawing. A mark with words begins a fault, those after it without words
// are the same fault elsewhere.
func (s *board) lineFaults(all []placed, marks []truingMark) {
	for _, m := range marks {
		if m.words != "" {
			s.listed = append(s.listed, fmt.Sprintf("%d  %s", len(s.listed)+1, m.words))
		}
		p, ok := findPlaced(all, m.piece)
		if !ok {
			continue
		}
		s.shown[meansNarrow] = true
		longest := Path{}
		for _, line := range m.lines {
			offset := s.style.mark // beside an edge, on a line inside
			if p.piece.outline.Dist(line.At(line.Length()/2)) > joinTolerance {
				offset = -0.35 * s.style.mark
			}
			line = line.Transformed(p.to)
			s.stroke(zigzag(line, offset, 0.7*s.style.mark), s.style.fault)
			if line.Length() > longest.Length() {
				longest = line
			}
		}
		number := fmt.Sprint(len(s.listed))
		s.later(func() { s.lineNumber(longest, number) })
	}
}

// lineNumber writes the number of a fault beside its zigzag.
func (s *board) lineNumber(line Path, number string) {
	for _, t := range []Length{0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8} {
		at := line.Length() * t
		out := line.TangentAt(at).Perp()
		middle := line.At(at).Add(out.Scale(float64(1.8*s.style.mark + 0.9*s.style.edge.Size)))
		if s.first(number, s.faultFont(), slices.Values([]spot{{at: middle}})) {
			return
		}
	}
	at := line.Length() / 2
	s.labelNear(line.At(at), number, s.faultFont(), line.TangentAt(at).Perp(), 2*s.style.mark)
}
