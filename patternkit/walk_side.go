package patternkit

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"
)

// A seamSide is one side of a seam stretched out: its length and the marks on
// it, measured from the start of the seam.
type seamSide struct {
	words  string
	length Length
	marks  []seamMark
	joins  []seamMark // where another seam runs into this side, by its name
}

type seamMark struct {
	name string
	at   Length
}

// side stretches out one side of a seam. NewPattern has checked that every
// piece and edge is there.
func (p Pattern) side(seam Seam, alongs []Along) seamSide {
	s := seamSide{words: sideWords(alongs)}
	for i, a := range alongs {
		piece, _ := p.Piece(a.Piece)
		length, _ := piece.EdgeLength(a.Edge)
		for _, n := range piece.notches {
			if n.Edge != a.Edge {
				continue
			}
			at := n.At
			if a.Reversed {
				at = length - at
			}
			s.marks = append(s.marks, seamMark{n.Name, s.length + at})
		}
		s.length += length
		if i+1 < len(alongs) {
			for _, name := range p.seamsInto(seam, a, alongs[i+1]) {
				s.joins = append(s.joins, seamMark{name, s.length})
			}
		}
	}
	sort.SliceStable(s.marks, func(i, j int) bool { return s.marks[i].at < s.marks[j].at })
	return s
}

// sideWords names a side shortly: "front + back armhole" where its edges share
// their name, "sleeve front cap + back cap" where they share their piece.
func sideWords(alongs []Along) string {
	sameEdge := true
	for _, a := range alongs {
		sameEdge = sameEdge && a.Edge == alongs[0].Edge
	}
	words := make([]string, len(alongs))
	for i, a := range alongs {
		switch {
		case sameEdge && i < len(alongs)-1:
			words[i] = a.Piece
		case i > 0 && a.Piece == alongs[i-1].Piece:
			words[i] = a.Edge
		default:
			words[i] = a.Piece + " " + a.Edge
		}
	}
	return strings.Join(words, " + ")
}

// seamsInto names the seams that join the edge met at the end of one stretch
// to the edge met at the start of the next: the shoulder, between the front
// and the back of an armhole.
func (p Pattern) seamsInto(seam Seam, end, start Along) []string {
	from := p.neighbour(end, !end.Reversed)
	to := p.neighbour(start, start.Reversed)
	var names []string
	for _, s := range p.seams {
		if s.Name == seam.Name {
			continue
		}
		if s.touches(from) && s.touches(to) {
			names = append(names, s.Name)
		}
	}
	return names
}

// neighbour returns the edge that adjoins a stretch at its end in outline
// order, or at its start.
func (p Pattern) neighbour(a Along, atEnd bool) Along {
	piece, _ := p.Piece(a.Piece)
	parts, _ := piece.run(a.Edge)
	n := len(piece.edges)
	k := (parts[0] + n - 1) % n
	if atEnd {
		k = (parts[len(parts)-1] + 1) % n
	}
	return Along{Piece: a.Piece, Edge: piece.edges[k].Name}
}

// touches reports whether the seam sews the edge.
func (s Seam) touches(edge Along) bool {
	for _, side := range [][]Along{s.A, s.B} {
		for _, a := range side {
			if a.Piece == edge.Piece && a.Edge == edge.Edge {
				return true
			}
		}
	}
	return false
}

// pairNotches pairs the marks of both sides by name, in order of sewing.
func pairNotches(a, b seamSide, ease Length) []NotchRow {
	left := append([]seamMark(nil), b.marks...)
	var rows []NotchRow
	for _, m := range a.marks {
		row := NotchRow{Notch: m.name, AtA: m.at, OnA: true}
		if at, ok := take(&left, m.name); ok {
			row.AtB, row.OnB = at, true
		} else if at, ok := findJoin(b.joins, m.name); ok {
			row.AtB, row.OnB = at, true
		}
		rows = append(rows, row)
	}
	for _, m := range left {
		row := NotchRow{Notch: m.name, AtB: m.at, OnB: true}
		if at, ok := findJoin(a.joins, m.name); ok {
			row.AtA, row.OnA = at, true
		}
		rows = append(rows, row)
	}
	sort.SliceStable(rows, func(i, j int) bool { return rows[i].along() < rows[j].along() })
	judgeNotches(rows, a.length-b.length, ease)
	return rows
}

func take(marks *[]seamMark, name string) (Length, bool) {
	for i, m := range *marks {
		if m.name == name {
			*marks = append((*marks)[:i:i], (*marks)[i+1:]...)
			return m.at, true
		}
	}
	return 0, false
}

// findJoin finds where the named seam runs in; "right shoulder" is the shoulder
// of an unfolded piece.
func findJoin(joins []seamMark, name string) (Length, bool) {
	for _, m := range joins {
		if m.name == name || strings.HasSuffix(m.name, " "+name) {
			return m.at, true
		}
	}
	return 0, false
}

// along is where a row stands in order of sewing.
func (n NotchRow) along() Length {
	if n.OnA {
		return n.AtA
	}
	return n.AtB
}

// judgeNotches says of each pair how much ease lies before it. Between two
// marks the longer side of the seam must not turn into the shorter.
func judgeNotches(rows []NotchRow, difference, ease Length) {
	var before, atA, atB Length
	last := -1
	for i := range rows {
		r := &rows[i]
		if !r.OnA || !r.OnB {
			r.Verdict = "marks A only, no partner on B"
			if r.OnB {
				r.Verdict = "marks B only, no partner on A"
			}
			continue
		}
		r.Eased = r.AtA - r.AtB - before
		before = r.AtA - r.AtB
		r.Verdict, r.Fault = notchVerdict(seamStretch{r.AtA - atA, r.AtB - atB}, ease)
		atA, atB = r.AtA, r.AtB
		last = i
	}
	if last < 0 || rows[last].Fault {
		return
	}
	if verdict, fault := notchVerdict(seamStretch{difference - before, 0}, ease); fault && math.Abs(float64(difference-ease)) <= float64(walkTolerance) {
		rows[last].Verdict, rows[last].Fault = verdict+" in what comes after it", true
	}
}

// judgeShares holds the ease between notches against what the seam means there.
func (r *SeamRow) judgeShares(shares []EaseShare) {
	for _, share := range shares {
		if share.Upto == "" {
			r.judgeRest(share.Ease)
			continue
		}
		i := slices.IndexFunc(r.Notches, func(n NotchRow) bool { return n.Notch == share.Upto })
		if i < 0 {
			r.Notches = append(r.Notches, NotchRow{Notch: share.Upto, Shared: true, Meant: share.Ease, Fault: true,
				Verdict: "FAULT: neither side has this notch, and ease is meant up to it"})
			continue
		}
		n := &r.Notches[i]
		n.Shared, n.Meant = true, share.Ease
		if n.OnA && n.OnB && !n.Fault {
			n.judgeShare(n.Eased, "before it")
		}
	}
}

func (n *NotchRow) judgeShare(eased Length, where string) {
	if off := eased - n.Meant; off.Abs() > walkTolerance {
		n.Fault = true
		n.Verdict = fmt.Sprintf("FAULT: %s cm eased %s, %s cm meant", inCM(eased), where, inCM(n.Meant))
	}
}

// judgeRest judges what comes after the last pair of notches.
func (r *SeamRow) judgeRest(meant Length) {
	rest, last := r.Difference, -1
	for i, n := range r.Notches {
		if n.OnA && n.OnB {
			rest, last = r.Difference-(n.AtA-n.AtB), i
		}
	}
	if off := rest - meant; last >= 0 && !r.Notches[last].Fault && off.Abs() > walkTolerance {
		r.Notches[last].Fault = true
		r.Notches[last].Verdict = fmt.Sprintf("FAULT: %s cm eased after it, %s cm meant", inCM(rest), inCM(meant))
	}
}

func notchVerdict(s seamStretch, ease Length) (string, bool) {
	eased := s.a - s.b
	switch {
	case eased > walkTolerance && ease < walkTolerance:
		return fmt.Sprintf("FAULT: %s cm too far along A", inCM(eased)), true
	case eased < -walkTolerance && ease > -walkTolerance:
		return fmt.Sprintf("FAULT: %s cm too far along B", inCM(-eased)), true
	case eased.Abs() > walkTolerance && s.gathers():
		return fmt.Sprintf("meets, %s before it, ratio %.2f", s.takenIn(), s.ratio()), false
	case eased.Abs() > walkTolerance:
		return fmt.Sprintf("meets, %s before it", s.takenIn()), false
	}
	return "meets", false
}
