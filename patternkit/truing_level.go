package patternkit

import (
	"slices"
	"strings"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// A girthLevel is a height at which a garment is measured around the body or a
// limb: along lines and edges that bear its names.
type girthLevel struct {
	name  string
	field string   // Body's girth there
	lines []string // internal lines, or edges of a piece that ends there
	on    string   // a line that a piece must have too, "" for any
	limb  bool     // around one of two limbs
	rank  int      // order from the head down, for what goes around the trunk

	low, high Length // usual ease
	source    string
}

// The usual ease of woven garments by level: what the sources give as wearing
// ease and as a minimum, taken together. Central Washington University's costume
// text (Robinson, chapter 16) has bust 1 1/2 to 2 in, dress waist 3/4 to 1 in,
// skirt waist 1/2 to 3/4 in, hip 2 to 2 3/4 in; a sewing teacher's page of 2019
// has as a minimum for light cloth bust 3, waist 1 to 2, hip 2 in; biceps 2 in is
// a textbook's sleeve as a teacher quotes it. Elbow, wrist and the legs are
// common practice, no source.
var girthLevels = []girthLevel{
	{name: "bust", field: "BustGirth", lines: []string{"bust line"}, rank: rankBust,
		low: 1.5 * Inch, high: 3 * Inch, source: "a university's costume text and a teacher's page: 1 1/2 to 3 in"},
	{name: "waist", field: "WaistGirth", lines: []string{"waist line", "waist"}, rank: rankWaist,
		low: 0.5 * Inch, high: 2 * Inch, source: "a university's costume text and a teacher's page: 1/2 to 2 in"},
	{name: "hip", field: "HipGirth", lines: []string{"hip line", "hip"}, rank: rankHip,
		low: 2 * Inch, high: 3 * Inch, source: "a university's costume text and teachers' pages: 2 to 3 in"},
	{name: "biceps", field: "UpperArmGirth", lines: []string{"biceps line"}, limb: true,
		low: 2 * CM, high: 6 * CM, source: "a textbook's sleeve: about 2 in"},
	{name: "elbow", field: "ElbowGirth", lines: []string{"elbow line"}, limb: true,
		low: 2 * CM, high: 10 * CM, source: "common practice, no source"},
	{name: "wrist", field: "WristGirth", lines: []string{"wrist line", "hem"}, on: "elbow line", limb: true,
		low: 2.5 * CM, high: 8 * CM, source: "common practice, no source"},
	{name: "thigh", field: "ThighGirth", lines: []string{"thigh line"}, limb: true,
		low: 1 * Inch, high: 4 * Inch, source: "a university's costume text: at least 1 in, of men"},
	{name: "knee", field: "KneeGirth", lines: []string{"knee line"}, limb: true,
		low: 4 * CM, high: 14 * CM, source: "common practice, no source"},
}

// Where a ring goes around the trunk, from the head down.
const (
	rankNeck = iota + 1
	rankTop  // an upper edge below the shoulders
	rankBust
	rankWaist
	rankHip
	rankHem
)

// girthAt returns what the garment measures at a level, darts closed, and
// where: no marks where no piece is measured there. Linings and facings lie
// within and are not counted; of two edges sewn to each other one is.
func (p Pattern) girthAt(level girthLevel) (Length, []truingMark) {
	var sum Length
	var marks []truingMark
	for _, piece := range p.pieces {
		if piece.within() || (level.on != "" && !piece.hasInternal(level.on)) {
			continue
		}
		width, mark, ok := p.widthAt(piece, level)
		if !ok {
			continue
		}
		marks = append(marks, mark)
		sum += width * Length(piece.copies())
	}
	if level.limb {
		sum /= 2
	}
	return sum, marks
}

// copies is how often the width of a piece goes into the garment: a half laid
// on the fold counts twice.
func (p Piece) copies() int {
	if p.fold != "" {
		return 2 * p.quantity
	}
	return p.quantity
}

// within reports whether a piece lies inside the garment, behind another.
func (p Piece) within() bool {
	words := strings.ToLower(p.name + " " + p.material)
	return strings.Contains(words, "lining") || strings.Contains(words, "facing")
}

// neatens reports whether a seam joins a piece to its own facing or lining,
// which is turned in behind it.
func (p Pattern) neatens(s Seam) bool {
	within := func(side []Along) bool {
		return slices.ContainsFunc(side, func(a Along) bool {
			piece, err := p.Piece(a.Piece)
			return err == nil && piece.within()
		})
	}
	return within(s.A) != within(s.B)
}

func (p Piece) hasInternal(name string) bool {
	return slices.ContainsFunc(p.internals, func(e Edge) bool { return e.Name == name })
}

// widthAt measures a piece at a level, and says where: along the first of the
// level's names that it has, as a line drawn inside or as an edge.
func (p Pattern) widthAt(piece Piece, level girthLevel) (Length, truingMark, bool) {
	for _, name := range level.lines {
		if lines := piece.linesOf(name); len(lines) > 0 {
			return piece.widthAlong(lines...), truingMark{piece: piece.name, lines: lines}, true
		}
		if _, err := piece.run(name); err != nil || p.sewnToLevel(Along{Piece: piece.name, Edge: name}, level) {
			continue
		}
		width, err := piece.EdgeLength(name)
		return width, p.edgeMark(Along{Piece: piece.name, Edge: name}), err == nil
	}
	return 0, truingMark{}, false
}

// sewnToLevel reports whether an edge is the B side of a seam whose A side is
// measured at the same level.
func (p Pattern) sewnToLevel(edge Along, level girthLevel) bool {
	return slices.ContainsFunc(p.seams, func(s Seam) bool {
		return sideHas(s.B, edge) && slices.ContainsFunc(s.A, func(a Along) bool { return slices.Contains(level.lines, a.Edge) })
	})
}

// linesOf returns the parts of a line drawn inside: "bust line", "bust line 2".
func (p Piece) linesOf(name string) []Path {
	var lines []Path
	for _, e := range p.internals {
		if plainName(e.Name) == name {
			lines = append(lines, e.Path)
		}
	}
	return lines
}

// plainName is a name without the number that a part of a cut line has.
func plainName(name string) string {
	plain := strings.TrimRight(name, "0123456789")
	if strings.HasSuffix(plain, " ") {
		return plain[:len(plain)-1]
	}
	return name
}

// widthAlong is the width of a piece along a line drawn in it, on to the
// outline at both ends, less what the darts take there. A line that is bent is
// measured as it is drawn, and so is one in parts: a dart that was pivoted
// turns them apart, and closed it lays them together again.
func (p Piece) widthAlong(lines ...Path) Length {
	var width Length
	for _, line := range lines {
		a, b := line.Start(), line.End()
		if length := line.Length(); len(lines) > 1 || length-a.Dist(b) > 0.01*MM || a.Dist(b) < shortestEdge {
			width += length - p.takenByDarts(line, [2]Length{0, length})
		} else {
			width += p.widthAcross(a, b)
		}
	}
	return width
}

// widthAcross is the width of a piece along the line through two points in it.
func (p Piece) widthAcross(a, b Point) Length {
	along := b.Sub(a).Unit()
	reach := p.Bounds().Width() + p.Bounds().Height() + a.Dist(b)
	whole := Line(a.Sub(along.Scale(float64(reach))), b.Add(along.Scale(float64(reach))))
	var width Length
	for _, span := range spansInside(p.outline, whole) {
		if span[1] > reach && span[0] < reach+a.Dist(b) {
			width += span[1] - span[0] - p.takenByDarts(whole, span)
		}
	}
	return width
}

// takenByDarts is what the darts of a piece take out of a stretch of a line.
func (p Piece) takenByDarts(line Path, span [2]Length) Length {
	var sum Length
	for _, d := range p.darts {
		start, end := p.mouth(d)
		for _, taken := range spansInside(Polyline(d.Tip, start, end, d.Tip), line) {
			sum += max(0, min(taken[1], span[1])-max(taken[0], span[0]))
		}
	}
	return sum
}

// spansInside returns the stretches of a line, by length from its start, that
// lie inside a closed outline or on it.
func spansInside(outline, line Path) [][2]Length {
	at := []Length{0, line.Length()}
	for _, c := range outline.Intersections(line) {
		at = append(at, c.T, max(0, c.T-c.Shared), min(line.Length(), c.T+c.Shared))
	}
	slices.Sort(at)
	ring := orb.Ring(outline.Flatten(0.01 * MM))
	var spans [][2]Length
	for i := 1; i < len(at); i++ {
		if mid := line.At((at[i-1] + at[i]) / 2); at[i]-at[i-1] < joinTolerance || !(insideOf(ring, mid) || outline.Dist(mid) <= joinTolerance) {
			continue
		}
		if n := len(spans); n > 0 && at[i-1]-spans[n-1][1] < joinTolerance {
			spans[n-1][1] = at[i]
			continue
		}
		spans = append(spans, [2]Length{at[i-1], at[i]})
	}
	return spans
}

func insideOf(ring orb.Ring, q Point) bool {
	return planar.RingContains(ring, orb.Point{float64(q.X), float64(q.Y)})
}
