package patternkit

import (
	"slices"
	"strings"
)

// A makingTask is one thing to sew: the darts or the pleats of a piece, a seam,
// or a run of edges that is turned.
type makingTask struct {
	darts, pleats string // the piece whose darts or pleats they are
	seam          int    // number of the seam, -1 for another task
	turned        *turnedRun
	rank          int
	before        []int // tasks that must be done first

	round bool     // a seam that is sewn around: its ends meet already
	over  []string // seams that cross it and can't be sewn before it
}

// A turnedRun is free edges that are turned, or neatened, in one go.
type turnedRun struct {
	ring  garmentRing
	whole bool // all of an opening, which closes
}

// The ranks order what the seams leave open by the habits of the trade (common
// practice, no source): what lies flat is sewn before what is round.
const (
	rankMakeInner    = 10 // darts and pleats
	rankMakePanel    = 20
	rankMakeShoulder = 30
	rankMakeFlat     = 40 // sleeves set in while the sides are open
	rankMakeSide     = 50
	rankMakeRound    = 60 // sleeves set in around, waists, collars
	rankMakeBehind   = 70 // facings and linings sewn together, then to the garment
	rankMakeNeaten   = 80
	rankMakeFinish   = 90
	rankMakeCasing   = 100
	rankMakeHem      = 110
)

// rankWords place a seam by what its name or its edges are called.
var rankWords = []struct {
	rank  int
	words []string
}{
	{rankMakeSide, []string{"side seam", "underarm", "inside leg", "inseam"}},
	{rankMakeShoulder, []string{"shoulder"}},
	{rankMakeFlat, []string{"armhole", "armscye", "sleeve head"}},
	{rankMakeRound, []string{"waist", "collar", "neck", "cuff", "crotch", "crutch"}},
}

// A making is a pattern on its way to being sewn.
type making struct {
	pattern Pattern
	options MakingOptions
	tasks   []makingTask
	steps   [][]int // tasks done in one step, in order

	toldDarts bool // how a dart is sewn has been said
}

// newMaking finds the tasks of a pattern and puts them in order.
func newMaking(p Pattern, o MakingOptions) *making {
	m := &making{pattern: p, options: o}
	for _, piece := range p.pieces {
		if len(piece.darts) > 0 {
			m.tasks = append(m.tasks, makingTask{darts: piece.name, seam: -1, rank: rankMakeInner})
		}
		if len(piece.pleats) > 0 {
			m.tasks = append(m.tasks, makingTask{pleats: piece.name, seam: -1, rank: rankMakeInner})
		}
	}
	for i, s := range p.seams {
		m.tasks = append(m.tasks, makingTask{seam: i, rank: m.rankOf(s)})
	}
	m.turns()
	for i := range m.tasks {
		m.tasks[i].before = m.mustPrecede(m.tasks[i])
	}
	m.order()
	return m
}

// rankOf places a seam by the habits of the trade.
func (m *making) rankOf(s Seam) int {
	if m.pattern.neatens(s) {
		return rankMakeNeaten
	}
	words := s.Name
	for _, a := range slices.Concat(s.A, s.B) {
		words += ", " + a.Edge
		if piece, err := m.pattern.Piece(a.Piece); err == nil && piece.within() {
			return rankMakeBehind
		}
	}
	words = strings.ToLower(words)
	for _, r := range rankWords {
		if slices.ContainsFunc(r.words, func(w string) bool { return strings.Contains(words, w) }) {
			if r.rank == rankMakeFlat && m.options.SleevesInTheRound {
				return rankMakeRound
			}
			return r.rank
		}
	}
	return rankMakePanel
}

// A seamEnds is where the two sides of a seam end, at its start and its end,
// and the ends of the edges that run on from there.
type seamEnds struct{ own, beside [2][2]edgeEnd }

// endsOf leaves out what a dart or a pleat takes beside the end of a seam.
func (m *making) endsOf(s Seam) seamEnds {
	var e seamEnds
	for last := range 2 {
		for side, alongs := range [2][]Along{s.A, s.B} {
			a := alongs[last*(len(alongs)-1)]
			atEnd := (last == 1) != a.Reversed
			e.own[last][side] = edgeEnd{a.Piece, a.Edge, atEnd}
			e.beside[last][side] = edgeEnd{a.Piece, m.runsOn(a, atEnd), !atEnd}
		}
	}
	return e
}

// runsOn names the edge beside an end of an edge, mouths passed over.
func (m *making) runsOn(a Along, atEnd bool) string {
	piece, _ := m.pattern.Piece(a.Piece)
	beside := m.pattern.neighbour(a, atEnd)
	for range piece.edges {
		if !piece.isMouth(beside.Edge) {
			break
		}
		beside = m.pattern.neighbour(beside, atEnd)
	}
	return beside.Edge
}

// joined reports whether two ends of edges are what a seam, once sewn, makes
// one line of.
func (e seamEnds) joined(a, b edgeEnd) bool {
	for _, pair := range e.beside {
		if pair == [2]edgeEnd{a, b} || pair == [2]edgeEnd{b, a} {
			return true
		}
	}
	return false
}

// mustPrecede lists the tasks that must come before one: the darts and pleats
// of its pieces, the seams that run into the middle of a seam, and all that end
// on an edge that is faced, lined or turned.
func (m *making) mustPrecede(t makingTask) []int {
	var before []int
	for i, o := range m.tasks {
		switch {
		case o.seam < 0 && o.turned == nil:
			piece := o.darts + o.pleats
			if t.turned != nil && t.turned.on(piece) || t.seam >= 0 && m.pattern.seams[t.seam].sews(piece) || t.pleats == piece && o.darts == piece {
				before = append(before, i)
			}
		case o.seam < 0 || o.seam == t.seam:
		case t.seam >= 0:
			if m.runsInto(m.pattern.seams[o.seam], m.pattern.seams[t.seam]) {
				before = append(before, i)
			}
		case t.turned != nil:
			if m.endsOf(m.pattern.seams[o.seam]).endOn(t.turned.ring.edges) {
				before = append(before, i)
			}
		}
	}
	return before
}

// runsInto reports whether a seam must be sewn before another one: it runs into
// the middle of one of its sides, or ends on an edge that is neatened by it.
func (m *making) runsInto(s, into Seam) bool {
	ends := m.endsOf(s)
	for _, side := range [2][]Along{into.A, into.B} {
		for i := 1; i < len(side); i++ {
			a, b := side[i-1], side[i]
			from, to := Along{Piece: a.Piece, Edge: m.runsOn(a, !a.Reversed)}, Along{Piece: b.Piece, Edge: m.runsOn(b, b.Reversed)}
			if s.touches(from) && s.touches(to) || ends.joined(edgeEnd{a.Piece, a.Edge, !a.Reversed}, edgeEnd{b.Piece, b.Edge, b.Reversed}) {
				return true
			}
		}
	}
	return m.pattern.neatens(into) && !m.pattern.neatens(s) && ends.endOn(slices.Concat(into.A, into.B))
}

// endOn reports whether the seam ends on one of the edges.
func (e seamEnds) endOn(edges []Along) bool {
	for _, pair := range e.beside {
		for _, end := range pair {
			if slices.ContainsFunc(edges, func(a Along) bool { return a.Piece == end.piece && a.Edge == end.edge }) {
				return true
			}
		}
	}
	return false
}

func (s Seam) sews(piece string) bool {
	return slices.ContainsFunc(slices.Concat(s.A, s.B), func(a Along) bool { return a.Piece == piece })
}

func (t turnedRun) on(piece string) bool {
	return slices.ContainsFunc(t.ring.edges, func(a Along) bool { return a.Piece == piece })
}

// order does the tasks one after the other: of those that nothing holds back
// the one that the trade does first, and with it what runs on from it in one
// line. Seams that all wait for each other are begun with that of the lowest
// rank, which is told what it crosses.
func (m *making) order() {
	done := make([]bool, len(m.tasks))
	for range m.tasks {
		next, goesOn := m.next(done)
		t := &m.tasks[next]
		for _, k := range t.before {
			if !done[k] {
				t.over = append(t.over, m.pattern.seams[m.tasks[k].seam].Name)
			}
		}
		t.round = t.seam >= 0 && m.sewnRound(m.pattern.seams[t.seam], done)
		if goesOn {
			m.steps[len(m.steps)-1] = append(m.steps[len(m.steps)-1], next)
		} else {
			m.steps = append(m.steps, []int{next})
		}
		done[next] = true
	}
}

// next chooses a task, and reports whether it runs on from the last step.
func (m *making) next(done []bool) (task int, goesOn bool) {
	best := -1
	for i, t := range m.tasks {
		if done[i] || !m.free(t, done) {
			continue
		}
		if m.inOneWithLast(i, done) {
			return i, true
		}
		if best < 0 || t.rank < m.tasks[best].rank {
			best = i
		}
	}
	if best >= 0 {
		return best, false
	}
	for i, t := range m.tasks { // a ring of seams
		if !done[i] && t.seam >= 0 && (best < 0 || t.rank < m.tasks[best].rank) {
			best = i
		}
	}
	return best, false
}

func (m *making) free(t makingTask, done []bool) bool {
	return !slices.ContainsFunc(t.before, func(k int) bool { return !done[k] })
}

// inOneWithLast reports whether a seam runs on from a seam of the last step,
// across seams that are sewn: side and underarm across the armhole.
func (m *making) inOneWithLast(i int, done []bool) bool {
	if len(m.steps) == 0 || m.tasks[i].seam < 0 {
		return false
	}
	s := m.pattern.seams[m.tasks[i].seam]
	for _, k := range m.steps[len(m.steps)-1] {
		last := m.tasks[k]
		if last.seam < 0 || last.rank != m.tasks[i].rank || len(last.over) > 0 || m.seamTimes(m.pattern.seams[last.seam]) != m.seamTimes(s) {
			return false
		}
		if _, ok := m.across(m.pattern.seams[last.seam], s, done); ok {
			return true
		}
	}
	return false
}

// across finds the sewn seam across which one seam runs on as another.
func (m *making) across(a, b Seam, done []bool) (string, bool) {
	ends, others := m.endsOf(a), m.endsOf(b)
	for _, own := range ends.own {
		for _, other := range others.own {
			first := m.crossing(own[0], other[0], done)
			second := m.crossing(own[1], other[1], done)
			if first == "" || second == "" {
				first, second = m.crossing(own[0], other[1], done), m.crossing(own[1], other[0], done)
			}
			if first != "" && second != "" {
				if first != second {
					first += " and " + second
				}
				return first, true
			}
		}
	}
	return "", false
}

// crossing names the sewn seam that makes one line of two ends of edges.
func (m *making) crossing(a, b edgeEnd, done []bool) string {
	for i, t := range m.tasks {
		if t.seam >= 0 && done[i] && m.endsOf(m.pattern.seams[t.seam]).joined(a, b) {
			return m.pattern.seams[t.seam].Name
		}
	}
	return ""
}

// sewnRound reports whether both sides of a seam are closed to rings by seams
// that are sewn.
func (m *making) sewnRound(s Seam, done []bool) bool {
	e := m.endsOf(s)
	return m.crossing(e.own[0][0], e.own[1][0], done) != "" && m.crossing(e.own[0][1], e.own[1][1], done) != ""
}
