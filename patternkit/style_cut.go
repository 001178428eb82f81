package patternkit

import (
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// A clothRegion is where one part of a cut piece lies: its stretch of the
// stitch line, and that closed along the cut, both followed by chords.
type clothRegion struct {
	corners []Point
	chain   orb.LineString
	ring    orb.Ring
}

// regionTolerance is how finely curves are followed to tell on which side of
// a cut a point lies.
const regionTolerance = 0.01 * MM

func regionOf(edges []openEdge, cut Path) clothRegion {
	var r clothRegion
	for _, e := range edges {
		r.corners = append(r.corners, e.Path.Start(), e.Path.End())
		r.chain = append(r.chain, e.Path.Flatten(regionTolerance)...)
	}
	r.ring = slices.Concat(orb.Ring(r.chain), orb.Ring(cut.Flatten(regionTolerance)))
	if len(r.ring) > 0 {
		r.ring = append(r.ring, r.ring[0])
	}
	return r
}

// holds grades how surely a point belongs to the region: 3 at a corner of its
// stitch line, 2 along that, 1 inside, 0 elsewhere.
func (r clothRegion) holds(q Point) int {
	for _, c := range r.corners {
		if c.Dist(q) <= joinTolerance {
			return 3
		}
	}
	switch {
	case r.dist(q) <= 2*regionTolerance:
		return 2
	case planar.RingContains(r.ring, orb.Point{float64(q.X), float64(q.Y)}):
		return 1
	}
	return 0
}

// dist is how far a point is from the region's stitch line.
func (r clothRegion) dist(q Point) Length {
	return Length(planar.DistanceFrom(r.chain, orb.Point{float64(q.X), float64(q.Y)}))
}

// partFor tells which of some regions a point goes with: that which holds it
// most surely, else the nearest, else the first.
func partFor(q Point, regions []clothRegion) int {
	best := 0
	for i := 1; i < len(regions); i++ {
		switch inBest, in := regions[best].holds(q), regions[i].holds(q); {
		case in > inBest:
			best = i
		case in == inBest && regions[i].dist(q) < regions[best].dist(q)-joinTolerance:
			best = i
		}
	}
	return best
}

// A clothPart is a run of the edges of a piece and the line that closes it
// from its end to its start.
type clothPart struct {
	edges []openEdge
	cut   Path
}

// halves parts c along a cut that runs from the corner of edge to across the
// cloth to the corner of edge from: first has the edges between from and to,
// second the others. The cut closes first, and reversed closes second. What
// lies on the cut itself goes with the part that holds, or the first.
func (c openPiece) halves(from, to int, cut Path) (first, second openPiece, err error) {
	return c.twoParts(c.between(from, to), c.between(to, from), cut, cut.Reversed())
}

// twoParts shares out what lies on c between two runs of its edges, each
// closed by its own side of the cut. The two sides differ where a dart lies
// between them.
func (c openPiece) twoParts(a, b []openEdge, cutA, cutB Path) (first, second openPiece, err error) {
	parts, err := c.parted([]clothPart{{a, cutA}, {b, cutB}}, nil)
	if err != nil {
		return openPiece{}, openPiece{}, err
	}
	return parts[0], parts[1], nil
}

// parted shares out what lies on c between parts of it. Lines are cut where
// parts end. What lies in a region that is folded away is left out, and so are
// stretches of lines that lie in none of the parts.
func (c openPiece) parted(cloth []clothPart, away []clothRegion) ([]openPiece, error) {
	regions := make([]clothRegion, len(cloth), len(cloth)+len(away))
	parts := make([]openPiece, len(cloth))
	cuts := make([]Path, len(cloth))
	for i, k := range cloth {
		regions[i], cuts[i] = regionOf(k.edges, k.cut), k.cut
		parts[i] = openPiece{name: c.name, edges: k.edges, pleats: c.pleats, last: c.last}
	}
	all := slices.Concat(regions, away)
	which := func(q Point) *openPiece {
		if i := partFor(q, all); i < len(parts) {
			return &parts[i]
		}
		return &openPiece{} // folded away
	}
	for _, q := range c.points {
		k := which(q.At)
		k.points = append(k.points, q)
	}
	for _, q := range c.drills {
		k := which(q.At)
		k.drills = append(k.drills, q)
	}
	c.shareDarts(parts, regions)
	for _, line := range c.internals {
		pieces, err := cutLine(line.Path, cuts...)
		if err != nil {
			return nil, err
		}
		for _, path := range pieces {
			mid := path.At(path.Length() / 2)
			held := slices.ContainsFunc(regions, func(r clothRegion) bool { return r.holds(mid) > 0 })
			if len(pieces) > 1 && !held && !(len(cuts) == 2 && same(cuts[0], cuts[1])) {
				continue // folded away in a dart
			}
			k := which(mid)
			k.internals = append(k.internals, Edge{line.Name, path})
		}
	}
	if c.hasGrain {
		k := &parts[partFor(c.grain[0].Mid(c.grain[1]), regions)]
		k.grain, k.hasGrain = c.grain, true
	}
	return parts, nil
}

// shareDarts gives each dart to the part that has its mouth, and with it the
// point toward which it is pressed.
func (c openPiece) shareDarts(parts []openPiece, regions []clothRegion) {
	for _, d := range c.darts {
		for i := range parts {
			if slices.ContainsFunc(parts[i].edges, func(e openEdge) bool { return e.Name == d.Mouth }) {
				parts[i].darts = append(parts[i].darts, d)
			}
		}
	}
	for _, q := range c.pressed {
		k := &parts[partFor(q.At, regions)]
		for i := range parts {
			if slices.ContainsFunc(parts[i].darts, func(d Dart) bool { return d.Name == q.Name }) {
				k = &parts[i]
			}
		}
		k.pressed = append(k.pressed, q)
	}
}

func same(a, b Path) bool { return a.Equal(b) || a.Equal(b.Reversed()) }

// cutLine parts a line where it crosses cuts.
func cutLine(line Path, cuts ...Path) ([]Path, error) {
	length := line.Length()
	at := []Length{0, length}
	for _, cut := range cuts {
		for _, x := range line.Intersections(cut) {
			at = append(at, x.S)
		}
	}
	slices.Sort(at)
	at = slices.CompactFunc(at, func(a, b Length) bool { return (a - b).Abs() < shortestEdge })
	if last := len(at) - 1; length-at[last] < shortestEdge && last > 0 {
		at[last] = length
	}
	if len(at) < 3 {
		return []Path{line}, nil
	}
	var out []Path
	for i := 1; i < len(at); i++ {
		part, err := line.Between(at[i-1], at[i])
		if err != nil {
			return nil, err
		}
		out = append(out, part)
	}
	return out, nil
}

// anchored reports whether the part holds what stays in place when a piece is
// cut and moved: the edge on the fold, else the grainline; where neither
// says, the greater part.
func (c openPiece) anchored(other openPiece, fold string) bool {
	onFold := func(c openPiece) bool {
		return slices.ContainsFunc(c.edges, func(e openEdge) bool { return e.Name == fold })
	}
	switch {
	case fold != "" && onFold(c) != onFold(other):
		return onFold(c)
	case c.hasGrain != other.hasGrain:
		return c.hasGrain
	}
	return c.chainLength() >= other.chainLength()
}

func (c openPiece) chainLength() Length {
	var sum Length
	for _, e := range c.edges {
		sum += e.Path.Length()
	}
	return sum
}
