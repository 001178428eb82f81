package patternkit

import (
	"fmt"
	"strings"

	"patternkit/patternkit/geom"
)

// Beside draws pieces, blocks and patterns in a row at one scale, on more rows
// where that makes them larger. It is an error where there is nothing to draw.
func Beside(parts ...Part) (Picture, error) {
	var all []placed
	var names []string
	for i, part := range parts {
		name := partName(part)
		for _, p := range standingOf(part, i) {
			if name != p.piece.name && name != "" {
				p.note = "of " + name
			}
			all = append(all, p)
			names = append(names, p.piece.name)
		}
	}
	if len(all) == 0 {
		return Picture{}, fmt.Errorf("Beside draws the pieces of %d parts, and they have none: want a piece, a block or a pattern", len(parts))
	}
	words := strings.Join(names, ", ")
	pieces, scale := arrangePlaced(all, roomFor(len(all)))
	s := newBoard("side by side", "pieces side by side at one scale: "+words, screenStyle(), scale)
	s.seamsOf(parts, pieces)
	s.pieces(pieces, PictureOptions{})
	s.frame(pieces, "", linesNote(pieces))
	return Picture{s.page, "side by side: " + words}, nil
}

// BeforeAfter draws two states of a piece or a pattern at one scale: how it was
// and how it is now, and under each piece of now, in a thin dashed line, the
// piece of that name as it was, where both lie on the sheet that they were
// drafted on, their folds on one line. The edges whose lengths changed by more than half a millimetre are listed
// under the drawing. It is an error where either has no piece.
func BeforeAfter(before, after Part) (Picture, error) {
	was, now := before.Pieces(), after.Pieces()
	if len(was) == 0 || len(now) == 0 {
		return Picture{}, fmt.Errorf("BeforeAfter draws %d pieces before and %d after, want at least one of each", len(was), len(now))
	}
	pieces, scale := arrangePair(before, after)
	s := newBoard("before and after", describePair(was, now), screenStyle(), scale)
	for _, p := range pieces[len(was):] {
		s.ghost(p)
	}
	s.seamsOf([]Part{before, after}, pieces)
	s.pieces(pieces, PictureOptions{})
	s.listed = changes(was, now)
	s.frame(pieces, "before and after", linesNote(pieces))
	return Picture{s.page, strings.Join(append([]string{s.page.Description()}, s.listed...), "\n")}, nil
}

func describePair(was, now []Piece) string {
	names := func(pieces []Piece) string {
		words := make([]string, len(pieces))
		for i, p := range pieces {
			words[i] = p.name
		}
		return strings.Join(words, ", ")
	}
	return "before: " + names(was) + "; after: " + names(now)
}

// partName is the name of a pattern or a piece, "" for a block.
func partName(part Part) string {
	if n, ok := part.(interface{ Name() string }); ok {
		return n.Name()
	}
	return ""
}

// standingOf are the pieces of a part that is drawn as one of several, their
// grain upright. Those drafted on one sheet have one part number.
func standingOf(part Part, group int) []placed {
	const apart = 1000 // more than a pattern has parts
	pattern, _ := part.(Pattern)
	var all []placed
	for i, piece := range part.Pieces() {
		number := 0
		if i < len(pattern.parts) {
			number = pattern.parts[i]
		}
		p := standing(piece, apart*group+number)
		p.group = group
		all = append(all, p)
	}
	return all
}

// arrangePair lays what was over or beside what is now, as makes them larger.
func arrangePair(before, after Part) ([]placed, float64) {
	first, second := standingOf(before, 0), standingOf(after, 1)
	for i := range first {
		first[i].note = "before"
	}
	for i := range second {
		p := &second[i]
		p.note = "after"
		if old, ok := pieceNamed(before.Pieces(), p.piece.name); ok {
			old = ontoFold(old, p.piece)
			p.old = &old
			p.box = p.box.Union(old.outline.Transformed(p.to).Bounds())
		}
	}
	size := roomFor(len(first) + len(second))
	rows := [][]placed{first, second}
	if row := [][]placed{append(first[:len(first):len(first)], second...)}; size.scaleFor(row) > size.scaleFor(rows) {
		rows = row
	}
	scale := steady(size.scaleFor(rows))
	return size.setRows(rows, scale), scale
}

// roomFor is the room of a page for so many pieces: as high as a screen for
// each three, so that they are drawn as large as by themselves.
func roomFor(pieces int) sheetSize {
	size := PictureOptions{}.room()
	size.height *= Length((pieces + 2) / 3)
	return size
}

// ontoFold moves a piece square to its fold until it is on the fold of another.
func ontoFold(p, to Piece) Piece {
	a, errA := p.Edge(p.fold)
	b, errB := to.Edge(to.fold)
	if p.fold == "" || to.fold == "" || errA != nil || errB != nil {
		return p
	}
	line := b[0].Path
	square := line.End().Sub(line.Start()).Unit().Perp()
	away := line.Start().Sub(a[0].Path.Start()).Dot(square)
	moved, err := p.Transformed(geom.Translate(square.Scale(away)))
	if err != nil {
		return p
	}
	return moved
}

func pieceNamed(pieces []Piece, name string) (Piece, bool) {
	for _, p := range pieces {
		if p.name == name {
			return p, true
		}
	}
	return Piece{}, false
}

// ghost draws the stitch line and the darts of a piece as it was before, where
// something has moved.
func (s *board) ghost(p placed) {
	if p.old == nil || sameLines(*p.old, p.piece) {
		return
	}
	s.line(p.old.outline.Transformed(p.to), s.style.before, meansBefore)
	for _, d := range p.old.darts {
		a, b := p.old.mouth(d)
		s.line(Polyline(p.to.Apply(a), p.to.Apply(d.Tip), p.to.Apply(b)), s.style.before, meansBefore)
	}
}

// sameLines reports whether two pieces have one stitch line and the same darts.
func sameLines(a, b Piece) bool {
	if len(a.darts) != len(b.darts) || (a.outline.Length()-b.outline.Length()).Abs() > joinTolerance {
		return false
	}
	for i, d := range a.darts {
		if d.Tip.Dist(b.darts[i].Tip) > joinTolerance {
			return false
		}
	}
	const samples = 48
	for i := range samples {
		if b.outline.Dist(a.outline.At(a.outline.Length()*Length(i)/samples)) > joinTolerance {
			return false
		}
	}
	return true
}

// seamsOf tells of the seams of each pattern among the parts, on the pieces that
// it brought.
func (s *board) seamsOf(parts []Part, all []placed) {
	for i, part := range parts {
		pattern, ok := part.(Pattern)
		if !ok {
			continue
		}
		var own []placed
		for _, p := range all {
			if p.group == i {
				own = append(own, p)
			}
		}
		s.seams(own, pattern)
	}
}

// changes lists what became of pieces and of the lengths of their edges.
func changes(was, now []Piece) []string {
	var lines []string
	for _, p := range now {
		old, ok := pieceNamed(was, p.name)
		if !ok {
			lines = append(lines, p.name+": new")
			continue
		}
		lines = append(lines, edgeChanges(old, p)...)
	}
	for _, p := range was {
		if _, ok := pieceNamed(now, p.name); !ok {
			lines = append(lines, p.name+": gone")
		}
	}
	if len(lines) == 0 {
		return []string{"No edge has another length."}
	}
	return lines
}

// edgeChanges lists the edges of a piece that have another length, darts
// closed.
func edgeChanges(old, now Piece) []string {
	var parts []string
	for _, edge := range now.EdgeNames() {
		if now.isMouth(edge) {
			continue
		}
		length, err := now.EdgeLength(edge)
		if err != nil {
			continue
		}
		before, err := old.EdgeLength(edge)
		switch {
		case err != nil:
			parts = append(parts, fmt.Sprintf("%s %s, new", edge, length))
		case (length - before).Abs() > walkTolerance:
			parts = append(parts, fmt.Sprintf("%s %s, was %s", edge, length, before))
		}
	}
	for _, edge := range old.EdgeNames() {
		if _, err := now.Edge(edge); err != nil && !old.isMouth(edge) {
			parts = append(parts, edge+" gone")
		}
	}
	if len(parts) == 0 {
		return nil
	}
	return strings.Split(linesOf(now.name+": "+strings.Join(parts, "; "), 110), "\n")
}
