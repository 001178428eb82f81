package patternkit

import (
	"fmt"
	"slices"
)

// When the longer side of a seam is gathered, and not eased in. An inch more
// must be gathered (a sewing shop's page on sleeve heads, 2014), if it is more
// than a tenth: long seams take an inch without folds, and a wool armhole
// shrinks in nearly as much (common practice, no source). A ratio of 1.25 is
// called slight gathers however short the edge (common practice, no source).
const (
	gatherMore     = 1 * Inch
	gatherLeast    = 1.1
	gatherSlightly = 1.25
)

// gathers reports whether so long an edge is gathered when it is sewn to so
// short a one.
func gathers(long, short Length) bool {
	return short > 0 && (long >= short*gatherSlightly || long-short >= gatherMore && long > short*gatherLeast)
}

// A seamStretch is what lies on both sides of a seam between two notches that
// meet, or before the first or after the last.
type seamStretch struct{ a, b Length }

func (s seamStretch) gathers() bool { return gathers(max(s.a, s.b), min(s.a, s.b)) }

// ratio is how often the shorter side goes into the longer.
func (s seamStretch) ratio() float64 { return float64(max(s.a, s.b) / min(s.a, s.b)) }

// takenIn says what a stretch does with the ease of a side: "1.00 cm of A
// eased", "8.00 cm of A gathered".
func (s seamStretch) takenIn() string {
	side, more := "A", s.a-s.b
	if more < 0 {
		side, more = "B", -more
	}
	if s.gathers() {
		return fmt.Sprintf("%s cm of %s gathered", inCM(more), side)
	}
	return fmt.Sprintf("%s cm of %s eased", inCM(more), side)
}

// stretches returns the stretches of a seam between its pairs of notches.
func (r SeamRow) stretches() []seamStretch {
	var all []seamStretch
	var a, b Length
	for _, n := range r.Notches {
		if n.OnA && n.OnB {
			all = append(all, seamStretch{n.AtA - a, n.AtB - b})
			a, b = n.AtA, n.AtB
		}
	}
	return append(all, seamStretch{r.LengthA - a, r.LengthB - b})
}

// gathers reports whether one side is gathered: all along, or in a stretch
// between two notches.
func (r SeamRow) gathers() bool {
	return seamStretch{r.LengthA, r.LengthB}.gathers() || slices.ContainsFunc(r.stretches(), seamStretch.gathers)
}

// judgeGathers calls a seam that meets gathered where more is taken in than can
// be eased: all along, or between two notches.
func (r *SeamRow) judgeGathers() {
	whole := seamStretch{r.LengthA, r.LengthB}
	side, more := "A", r.Difference
	if r.Ease < 0 {
		side, more = "B", -r.Difference
	}
	if r.Fault || r.Ease.Abs() <= walkTolerance || !r.gathers() {
		return
	}
	r.gathered = fmt.Sprintf("gathered %s between its notches", more)
	if whole.gathers() {
		r.gathered = fmt.Sprintf("gathered %s, ratio %.2f", more, whole.ratio())
	}
	r.Verdict = "meets, " + side + " " + r.gathered
}

// gatheredEdges says of the gathered side of each seam that meets how much it
// is gathered; of a side in parts, of its first.
func (p Pattern) gatheredEdges(walk SeamTable) map[Along]string {
	words := map[Along]string{}
	for i, r := range walk.rows {
		side := p.seams[i].A
		if r.Difference < 0 {
			side = p.seams[i].B
		}
		if r.gathered != "" {
			words[Along{Piece: side[0].Piece, Edge: side[0].Edge}] = r.gathered
		}
	}
	return words
}
