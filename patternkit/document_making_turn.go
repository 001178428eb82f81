package patternkit

import (
	"slices"
	"strings"
)

// turns adds the tasks of the edges that no seam takes and that have an
// allowance, those that run on into each other and are turned alike as one.
func (m *making) turns() {
	var free []ringEdge
	for _, piece := range m.pattern.pieces {
		for _, name := range piece.EdgeNames() {
			a := Along{Piece: piece.name, Edge: name}
			if name == piece.fold || piece.isMouth(name) || m.taken(a) {
				continue
			}
			free = append(free, ringEdge{Along: a, next: [2]edgeLink{m.pattern.goesOn(a, false), m.pattern.goesOn(a, true)}})
		}
	}
	var seen []Along
	for _, e := range free {
		if slices.Contains(seen, e.Along) {
			continue
		}
		ring := m.pattern.ringFrom(e, free)
		if unseen := slices.DeleteFunc(slices.Clone(ring.edges), func(a Along) bool { return slices.Contains(seen, a) }); len(unseen) < len(ring.edges) {
			ring = garmentRing{edges: unseen} // a line that runs into another one
		}
		seen = append(seen, ring.edges...)
		for _, run := range m.alike(ring) {
			m.tasks = append(m.tasks, makingTask{seam: -1, turned: &run, rank: m.turnRank(run)})
		}
	}
}

func (m *making) taken(edge Along) bool {
	return slices.ContainsFunc(m.pattern.seams, func(s Seam) bool { return s.touches(edge) })
}

// alike splits an opening into the runs that are turned alike; what has no
// allowance is left out.
func (m *making) alike(ring garmentRing) []turnedRun {
	var keys []string
	runs := map[string][]Along{}
	for _, a := range ring.edges {
		allowance, ok := m.allowanceOf(a)
		if !ok {
			continue
		}
		key := allowance.String()
		if runs[key] == nil {
			keys = append(keys, key)
		}
		runs[key] = append(runs[key], a)
	}
	if len(keys) == 1 && len(runs[keys[0]]) == len(ring.edges) {
		return []turnedRun{{ring, ring.length > 0}}
	}
	var out []turnedRun
	for _, key := range keys {
		for len(runs[key]) > 0 {
			name := runs[key][0].Edge
			var same, rest []Along
			for _, a := range runs[key] {
				if a.Edge == name {
					same = append(same, a)
				} else {
					rest = append(rest, a)
				}
			}
			part := garmentRing{edges: same}
			part.length = m.pattern.around(part)
			out = append(out, turnedRun{ring: part})
			runs[key] = rest
		}
	}
	return out
}

// allowanceOf returns the allowance of an edge, false where it has none.
func (m *making) allowanceOf(a Along) (Allowance, bool) {
	piece, err := m.pattern.Piece(a.Piece)
	if err != nil {
		return Allowance{}, false
	}
	allowance, err := piece.Allowance(a.Edge)
	return allowance, err == nil && allowance.Width > 0
}

// turnRank places a run: what is hemmed last, a casing before it.
func (m *making) turnRank(run turnedRun) int {
	allowance, _ := m.allowanceOf(run.ring.edges[0])
	_, isCasing := m.casingOf(run)
	switch {
	case isCasing:
		return rankMakeCasing
	case allowance.turnedUp():
		return rankMakeHem
	case m.isInner(run):
		return rankMakeBehind + 1
	}
	return rankMakeFinish
}

func (m *making) within(run turnedRun) bool {
	piece, err := m.pattern.Piece(run.ring.edges[0].Piece)
	return err == nil && piece.within()
}

// isInner reports whether a run is the inner edge of facings, which lies free.
func (m *making) isInner(run turnedRun) bool {
	return m.within(run) && !slices.ContainsFunc(run.ring.edges, func(a Along) bool { return a.Edge != innerEdge })
}

// A madeCasing is a casing as it is read off the pattern and the elastics.
type madeCasing struct {
	depth, turn, stitching Length // from edge to inner fold, of the raw edge, from the inner fold
	elastics               []Elastic
}

func (c madeCasing) channel() Length { return c.depth - c.stitching }

// casingOf reads the casing of a run: it is folded twice, and bears a line of
// stitching, as WithCasing draws it, or an elastic is meant for it.
func (m *making) casingOf(run turnedRun) (madeCasing, bool) {
	a := run.ring.edges[0]
	allowance, ok := m.allowanceOf(a)
	if !ok || !allowance.turnedUp() || len(allowance.strips()) > 2 {
		return madeCasing{}, false
	}
	strips := allowance.strips()
	c := madeCasing{depth: strips[0], stitching: casingStitching, elastics: m.elasticsOf(run)}
	if len(strips) == 2 {
		c.turn = strips[1]
	}
	if line, ok := m.stitchingOf(a); ok {
		piece, _ := m.pattern.Piece(a.Piece)
		parts, _ := piece.Edge(a.Edge)
		middle := line.At(line.Length() / 2)
		_, at := parts[0].Path.Nearest(middle)
		c.stitching = max(0, c.depth-at.Dist(middle))
		return c, true
	}
	return c, len(c.elastics) > 0
}

// stitchingOf is the line of stitching that WithCasing draws along an edge.
func (m *making) stitchingOf(a Along) (Path, bool) {
	piece, _ := m.pattern.Piece(a.Piece)
	for _, line := range piece.internals {
		if name, ok := strings.CutSuffix(line.Name, " stitching"); ok && (name == a.Edge || name == piece.origins[a.Edge]) {
			return line.Path, true
		}
	}
	return Path{}, false
}

// elasticsOf are the elastics meant for a run, by its edge, its piece and
// edge, or its edges together. Of several edges of that name it is those that
// WithCasing has made a casing: a sleeve's hem, and not that of the body.
func (m *making) elasticsOf(run turnedRun) []Elastic {
	var out []Elastic
	for _, e := range m.options.Elastics {
		if m.isNamedBy(e, run.ring) && (m.hasStitching(run.ring) || !m.hasCasingFor(e)) {
			out = append(out, e)
		}
	}
	return out
}

func (m *making) hasStitching(r garmentRing) bool {
	_, ok := m.stitchingOf(r.edges[0])
	return ok
}

// hasCasingFor reports whether some edge that an elastic names is a casing
// already.
func (m *making) hasCasingFor(e Elastic) bool {
	for _, piece := range m.pattern.pieces {
		for _, edge := range piece.EdgeNames() {
			ring := garmentRing{edges: []Along{{Piece: piece.name, Edge: edge}}}
			if m.isNamedBy(e, ring) && m.hasStitching(ring) {
				return true
			}
		}
	}
	return false
}

func (m *making) isNamedBy(e Elastic, r garmentRing) bool {
	if e.Edge == r.words() {
		return true
	}
	return slices.ContainsFunc(r.edges, func(a Along) bool {
		piece, _ := m.pattern.Piece(a.Piece)
		return e.Edge == a.Edge || e.Edge == a.Piece+" "+a.Edge || e.Edge == piece.origins[a.Edge]
	})
}
