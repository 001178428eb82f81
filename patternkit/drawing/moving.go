package drawing

import (
	"slices"

	"patternkit/patternkit/geom"
)

// smallMark is the size up to which an area is a mark, as an arrowhead or the
// dot of a hole, that nothing is drawn over.
const smallMark = 5 * geom.MM

// gathered returns the elements of a page for a picture that is about to be
// replaced: between texts, all lines of one pen are one element, whichever
// layer they are of, and small marks come last. A browser takes a quarter less
// time for it, and it looks the same.
func gathered(all []element) []element {
	var out, lines, marks []element
	flush := func() {
		out = append(append(out, lines...), marks...)
		lines, marks = lines[:0], marks[:0]
	}
	for _, e := range all {
		switch {
		case e.kind == beginKind || e.kind == endKind:
		case e.kind == strokeKind && e.pen.color().A == 0xff:
			if i := slices.IndexFunc(lines, func(l element) bool { return l.pen.same(e.pen) }); i >= 0 {
				lines[i].paths = append(slices.Clip(lines[i].paths), e.paths...)
			} else {
				lines = append(lines, e)
			}
		case e.kind == fillKind && e.fill.A == 0xff && max(e.bounds().Width(), e.bounds().Height()) < smallMark:
			if i := slices.IndexFunc(marks, func(m element) bool { return m.fill == e.fill && !m.overlaps(e) }); i >= 0 {
				marks[i].paths = append(slices.Clip(marks[i].paths), e.paths...)
			} else {
				marks = append(marks, e)
			}
		default:
			flush()
			out = append(out, e)
		}
	}
	flush()
	return out
}

// overlaps reports whether a path of e may lie on one of other, so that the
// two in one area could leave a hole.
func (e element) overlaps(other element) bool {
	return slices.ContainsFunc(e.paths, func(p geom.Path) bool {
		return slices.ContainsFunc(other.paths, func(q geom.Path) bool { return p.Bounds().Overlaps(q.Bounds()) })
	})
}

// same reports whether two pens draw the same line.
func (p Pen) same(q Pen) bool {
	return p.Width == q.Width && p.Phase == q.Phase && p.color() == q.color() && slices.Equal(p.Dash, q.Dash)
}
