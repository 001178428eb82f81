package patternkit

// A truingMark is a fault found at a place of a piece or all along lines of
// it, in words that stand under the drawing; one without words belongs to the
// mark before it.
type truingMark struct {
	piece string
	at    Point
	lines []Path // of an edge or a level; none for the place alone
	words string
}

// truingMarks returns what is to be trued, as marks for the drawing: the
// corners that are not as wanted, each on all of its pieces.
func (p Pattern) truingMarks() []truingMark {
	var marks []truingMark
	for _, row := range p.Corners().Faults() {
		marks = append(marks, row.at...)
	}
	return marks
}

// marked keeps where a corner is; the first mark carries the words.
func (r CornerRow) marked(at ...truingMark) CornerRow {
	at[0].words = r.Verdict + ": " + r.Place
	r.at = at
	return r
}

// edgeMark is a trade edge with all its parts.
func (p Pattern) edgeMark(a Along) truingMark {
	piece, _ := p.Piece(a.Piece)
	parts, _ := piece.Edge(a.Edge)
	m := truingMark{piece: a.Piece}
	for _, e := range parts {
		m.lines = append(m.lines, e.Path)
	}
	return m
}

func (p Pattern) edgeMarks(edges []Along) []truingMark {
	marks := make([]truingMark, len(edges))
	for i, a := range edges {
		marks[i] = p.edgeMark(a)
	}
	return marks
}

// told gives the first of the marks of a fault its words.
func told(marks []truingMark, words string) []truingMark {
	if len(marks) == 0 {
		return nil
	}
	out := append([]truingMark(nil), marks...)
	out[0].words = words
	return out
}

// endMark is the end of a trade edge in outline order, or its start.
func (p Pattern) endMark(a Along, atEnd bool) truingMark {
	piece, _ := p.Piece(a.Piece)
	parts, _ := piece.Edge(a.Edge)
	if atEnd {
		return truingMark{piece: a.Piece, at: parts[len(parts)-1].Path.End()}
	}
	return truingMark{piece: a.Piece, at: parts[0].Path.Start()}
}
