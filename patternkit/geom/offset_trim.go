package geom

import (
	"errors"
	"fmt"
	"slices"
)

// trimGap is how far apart the two readings of one crossing may lie.
const trimGap Length = 1e-4

// trimLoop is the longest loop that is dropped unasked: where a path turns in
// by a degree or two, the whole loop of its parallel is within the tolerance,
// so that no place in it tells.
const trimLoop Length = 4

// Trimmed returns p without the stretches, from one crossing of p with itself
// to the next, that hold a place to drop, and without loops shorter than 4 mm.
// What is left must be one chain, and closed where p is.
func (p Path) Trimmed(drop func(at Point) bool) (Path, error) {
	crossings := p.SelfCrossings()
	cuts := p.cuts(crossings)
	if len(cuts) == 2 {
		if p.holdsAny(drop) {
			return Path{}, errors.New("nothing of the path is left")
		}
		return p, nil
	}
	var kept []Path
	for i := 1; i < len(cuts); i++ {
		if cuts[i]-cuts[i-1] < 1e-5 || smallLoop(crossings, cuts[i-1], cuts[i]) {
			continue
		}
		bit, err := p.Between(cuts[i-1], cuts[i])
		if err != nil {
			return Path{}, err
		}
		if !bit.holdsAny(drop) {
			kept = append(kept, bit)
		}
	}
	return chained(kept, p.Closed())
}

func smallLoop(crossings []Crossing, s, t Length) bool {
	return t-s < trimLoop && slices.ContainsFunc(crossings, func(c Crossing) bool { return c.S == s && c.T == t })
}

// cuts are the lengths along p at which it crosses itself, with its two ends,
// in order.
func (p Path) cuts(crossings []Crossing) []Length {
	cuts := []Length{0, p.Length()}
	for _, c := range crossings {
		cuts = append(cuts, c.S, c.T)
	}
	slices.Sort(cuts)
	return slices.Compact(cuts)
}

// holdsAny looks at a few places between the ends of p.
func (p Path) holdsAny(drop func(at Point) bool) bool {
	const places = 8
	for i := 1; i < places; i++ {
		if drop(p.At(p.Length() * Length(i) / places)) {
			return true
		}
	}
	return false
}

// chained joins bits whose ends are readings of the same crossings.
func chained(kept []Path, closed bool) (Path, error) {
	if len(kept) == 0 {
		return Path{}, errors.New("nothing of the path is left")
	}
	var segs []Segment
	for _, bit := range kept {
		next := bit.Segments()
		if len(segs) > 0 {
			end := segs[len(segs)-1].B
			if end.Dist(next[0].A) > trimGap {
				return Path{}, fmt.Errorf("the path falls into parts, one ends at %v and the next begins at %v", end, next[0].A)
			}
			next[0].A = end
		}
		segs = append(segs, next...)
	}
	if closed {
		last := len(segs) - 1
		if segs[last].B.Dist(segs[0].A) > trimGap {
			return Path{}, fmt.Errorf("the outline stays open between %v and %v", segs[last].B, segs[0].A)
		}
		segs[last].B = segs[0].A
	}
	return newPath(segs), nil
}
