package patternkit

import (
	"fmt"
	"math"
	"slices"
)

// A Trued pattern is one whose seams were made to meet, and what was changed.
type Trued struct {
	pattern Pattern
	table   Table
}

// The most that is trued: more is no slip of the tape or the pencil (common
// practice, no source).
const (
	truedMost  = 25 * MM
	truedTurn  = 25 * Degree
	truedShare = 0.1 // of the longer side
	truedNear  = 0.05 * MM
)

// TrueSeams makes the seams of a traced pattern meet, by as little as
// possible. Of two edges sewn to each other the longer gives half of the
// difference and the shorter takes the other half, at the end whose neighbour is
// not sewn: a side seam at the hem, a shoulder at the neck. An edge sewn to
// several, as a sleeve head is to both armholes, takes the whole of it, half at
// each end. Then edges that run on across a seam, a neckline, an armhole, a hem, are turned
// there by half of what is missing on each side, where they are curved. Ease
// that is meant stays; notches of a seam are laid on each other again. The
// result lists each change. It is an error where a seam differs by more than
// 2.5 cm or a tenth of its length, and where darts or pleats are in the way.
func (p Pattern) TrueSeams() (Trued, error) {
	t := truing{p: p, was: p}
	for range 6 {
		for _, s := range p.seams {
			if err := t.meet(s); err != nil {
				return Trued{}, fmt.Errorf("truing %q: %w", p.name, err)
			}
		}
		for _, s := range p.seams {
			if err := t.runOn(s); err != nil {
				return Trued{}, fmt.Errorf("truing %q: %w", p.name, err)
			}
		}
	}
	for _, s := range p.seams {
		if err := t.meet(s); err != nil {
			return Trued{}, fmt.Errorf("truing %q: %w", p.name, err)
		}
	}
	for _, s := range p.seams {
		if err := t.layNotches(s); err != nil {
			return Trued{}, fmt.Errorf("truing %q: %w", p.name, err)
		}
	}
	if faults := t.p.Walk().Faults(); len(faults) > 0 {
		return Trued{}, fmt.Errorf("truing %q: the %s still does not meet (%s): trace it again", p.name, faults[0].Seam, faults[0].Verdict)
	}
	return Trued{t.p, t.list()}, nil
}

// Pattern returns the pattern whose seams meet.
func (t Trued) Pattern() Pattern { return t.pattern }

// Table lists what was changed.
func (t Trued) Table() Table { return t.table }

// HTML returns what was changed as a table.
func (t Trued) HTML() string { return t.table.HTML() }

// Markdown returns what was changed as a table of pipes.
func (t Trued) Markdown() string { return t.table.Markdown() }

// String returns what was changed as text in columns.
func (t Trued) String() string { return t.table.String() }

// A truing is a pattern being trued.
type truing struct {
	p, was Pattern
}

func (t *truing) set(piece Piece, err error) error {
	if err != nil {
		return err
	}
	pieces := append([]Piece(nil), t.p.pieces...)
	for i := range pieces {
		if pieces[i].name == piece.name {
			pieces[i] = piece
		}
	}
	t.p.pieces, t.p.drawn = pieces, &drawnPage{}
	return nil
}

// meet makes both sides of a seam as long as they are meant to be.
func (t *truing) meet(s Seam) error {
	row := t.p.walk(s)
	off := row.Difference - s.Ease
	if off.Abs() <= truedNear {
		return nil
	}
	if most := max(row.LengthA, row.LengthB); off.Abs() > truedMost || off.Abs() > most*truedShare {
		return fmt.Errorf("the %s misses by %v, want at most %v and a tenth of it: trace or measure it again", s.Name, off.Abs(), truedMost)
	}
	switch {
	case len(s.A) == 1 && len(s.B) == 1:
		if err := t.stretch(s.A[0], -off/2, false); err != nil {
			return err
		}
		return t.stretch(s.B[0], off/2, false)
	case len(s.A) == 1:
		return t.stretch(s.A[0], -off, true)
	case len(s.B) == 1:
		return t.stretch(s.B[0], off, true)
	}
	return fmt.Errorf("the %s joins several edges to several, want one edge on one side", s.Name)
}

// stretch makes an edge longer by a length, at both ends or at the free one.
func (t *truing) stretch(a Along, by Length, both bool) error {
	piece, err := t.p.Piece(a.Piece)
	if err != nil {
		return err
	}
	if both {
		if err := t.set(piece.endMoved(a.Edge, false, by/2)); err != nil {
			return err
		}
		piece, _ = t.p.Piece(a.Piece)
		return t.set(piece.endMoved(a.Edge, true, by/2))
	}
	// Where both neighbours are sewn, or neither, the end that is sewn last
	// gives: there a slip has added up.
	atEnd := !a.Reversed
	endFree, startFree := !t.sewn(t.p.neighbour(a, true)), !t.sewn(t.p.neighbour(a, false))
	if endFree != startFree {
		atEnd = endFree
	}
	return t.set(piece.endMoved(a.Edge, atEnd, by))
}

func (t *truing) sewn(a Along) bool {
	piece, _ := t.p.Piece(a.Piece)
	return t.p.sewn(a) || piece.fold == a.Edge
}

// endMoved moves an end of an edge on along it.
func (p Piece) endMoved(edge string, end bool, by Length) (Piece, error) {
	run, err := p.run(edge)
	if err != nil {
		return Piece{}, err
	}
	if end {
		k := run[len(run)-1]
		path := p.edges[k].Path
		out := path.TangentAt(path.Length())
		return p.WithCornerAt(p.edges[(k+1)%len(p.edges)].Name, path.End().Add(out.Scale(float64(by))))
	}
	path := p.edges[run[0]].Path
	return p.WithCornerAt(edge, path.Start().Sub(path.TangentAt(0).Scale(float64(by))))
}

// runOn turns the edges that run on across the ends of a seam.
func (t *truing) runOn(s Seam) error {
	ends := [2][2]Along{{s.A[0], s.B[0]}, {s.A[len(s.A)-1], s.B[len(s.B)-1]}}
	for i, end := range ends {
		last := i == 1
		a, b := end[0], end[1]
		endA, endB := last != a.Reversed, last != b.Reversed
		nextA, nextB := t.p.neighbour(a, endA), t.p.neighbour(b, endB)
		if !t.p.continued(nextA, nextB) {
			continue
		}
		missing := cornerRunsOn - (t.p.endCorner(a, endA) + t.p.endCorner(b, endB))
		if math.Abs(float64(missing)) < float64(0.1*Degree) || math.Abs(float64(missing)) > float64(truedTurn) {
			continue
		}
		if err := t.turn(missing, truedEnd{nextA, !endA}, truedEnd{nextB, !endB}); err != nil {
			return err
		}
	}
	return nil
}

// A truedEnd is the end of an edge in outline order, or its start.
type truedEnd struct {
	along Along
	end   bool
}

// turn turns the ends that are curved, each by its part of an angle.
func (t *truing) turn(by Angle, ends ...truedEnd) error {
	curved := slices.DeleteFunc(ends, func(e truedEnd) bool { return !t.bends(e) })
	for _, e := range curved {
		piece, err := t.p.Piece(e.along.Piece)
		if err != nil {
			return err
		}
		if err := t.set(piece.WithEndTurned(e.along.Edge, e.end, by/Angle(len(curved)))); err != nil {
			return err
		}
	}
	return nil
}

// bends reports whether an edge is curved there.
func (t *truing) bends(e truedEnd) bool {
	piece, _ := t.p.Piece(e.along.Piece)
	parts, err := piece.Edge(e.along.Edge)
	if err != nil {
		return false
	}
	if e.end {
		segments := parts[len(parts)-1].Path.Segments()
		return segments[len(segments)-1].Curve
	}
	return parts[0].Path.Segments()[0].Curve
}
