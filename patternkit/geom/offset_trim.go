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
// so that no place in it tells. As near to each other run two stretches that
// stand for one: parallels that graze each other cross more than once, and no
// place between tells which of them to drop.
const trimLoop Length = 4

// Trimmed returns p without the stretches, from one crossing of p with itself
// to the next, that hold a place to drop, and without loops shorter than 4 mm.
// Of two that run within 4 mm of each other between the same crossings, one
// stays. What is left must be one chain, and closed where p is.
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
		for _, end := range [3]Length{c.S + c.Shared, c.T + c.Shared, c.T - c.Shared} {
			if c.Shared > 0 && end > 0 && end < p.Length() {
				cuts = append(cuts, end)
			}
		}
	}
	slices.Sort(cuts)
	return slices.Compact(cuts)
}

// holdsAny looks at a few places between the ends of p, about evenly spread.
func (p Path) holdsAny(drop func(at Point) bool) bool {
	const places = 8
	var reach Length
	for _, g := range p.segments() {
		reach += g.reach()
	}
	step, before := reach/places, Length(0)
	next := step
	for _, g := range p.segments() {
		own := g.reach()
		for ; next < before+own && next < reach-step/2; next += step {
			if drop(g.at(float64((next - before) / own))) {
				return true
			}
		}
		before += own
	}
	return false
}

// chained joins bits whose ends are readings of the same crossings.
func chained(kept []Path, closed bool) (Path, error) {
	if len(kept) == 0 {
		return Path{}, errors.New("nothing of the path is left")
	}
	if err := loose(kept, closed); err != nil {
		chain := longestChain(kept, closed)
		if chain == nil || !doubled(kept, chain) {
			return Path{}, err
		}
		kept = chain
	}
	var segs []Segment
	for _, bit := range kept {
		joint := len(segs)
		segs = append(segs, bit.segments()...)
		if joint > 0 {
			segs[joint].A = segs[joint-1].B
		}
	}
	if closed {
		segs[len(segs)-1].B = segs[0].A
	}
	return newPath(segs), nil
}

// loose says where bits do not follow each other.
func loose(bits []Path, closed bool) error {
	for i := 1; i < len(bits); i++ {
		if end, next := bits[i-1].End(), bits[i].Start(); end.Dist(next) > trimGap {
			return fmt.Errorf("the path falls into parts, one ends at %v and the next begins at %v", end, next)
		}
	}
	if end, start := bits[len(bits)-1].End(), bits[0].Start(); closed && end.Dist(start) > trimGap {
		return fmt.Errorf("the outline stays open between %v and %v", end, start)
	}
	return nil
}

// longestChain is the longest run of bits, in order, of which each begins where
// the one before ends; none where a closed one is wanted and there is none.
func longestChain(bits []Path, closed bool) []Path {
	const many = 100 // of a tangle, which would take long
	if len(bits) > many {
		return nil
	}
	var best []Path
	var most Length
	for first := range bits {
		// The longest way from the first bit through each later one.
		length, before := make([]Length, len(bits)), make([]int, len(bits))
		length[first], before[first] = bits[first].Length(), -1
		for k := first; k < len(bits); k++ {
			for i := first; i < k; i++ {
				if length[i] > 0 && length[i]+bits[k].Length() > length[k] && bits[i].End().Dist(bits[k].Start()) <= trimGap {
					length[k], before[k] = length[i]+bits[k].Length(), i
				}
			}
			if length[k] <= most || closed && bits[k].End().Dist(bits[first].Start()) > trimGap {
				continue
			}
			most, best = length[k], best[:0]
			for i := k; i >= 0; i = before[i] {
				best = append(best, bits[i])
			}
			slices.Reverse(best)
		}
	}
	return best
}

// doubled reports whether all bits that a chain leaves out run beside it, from
// one of its joints to another.
func doubled(bits, chain []Path) bool {
	joint := func(at Point) bool {
		return slices.ContainsFunc(chain, func(c Path) bool { return c.Start().Dist(at) <= trimGap || c.End().Dist(at) <= trimGap })
	}
	for _, bit := range bits {
		middle := bit.At(bit.Length() / 2)
		beside := slices.ContainsFunc(chain, func(c Path) bool { return c.Dist(middle) <= trimLoop })
		if !beside || !joint(bit.Start()) || !joint(bit.End()) {
			return false
		}
	}
	return true
}
