package geom

import "fmt"

// Split parts p at length s. Both parts must have a length: s at an end of
// the path, or off it, is an error.
func (p Path) Split(s Length) (Path, Path, error) {
	if err := p.inside("split", s); err != nil {
		return Path{}, Path{}, err
	}
	at, _ := p.find(s)
	return p.before(at), p.after(at), nil
}

// Between returns the part of p from length s0 to length s1. On a closed
// path s0 may be larger than s1: the part then runs through the start.
func (p Path) Between(s0, s1 Length) (Path, error) {
	from, ok0 := p.find(s0)
	to, ok1 := p.find(s1)
	total := p.Length()
	switch {
	case !ok0 || !ok1:
		return Path{}, fmt.Errorf("part of a path from %v to %v: want both from 0 cm to its length of %v", s0, s1, total)
	case (s1 - s0).Abs() <= meet:
		return Path{}, fmt.Errorf("part of a path from %v to %v has no length", s0, s1)
	case s0 < s1:
		return p.span(from, to), nil
	case !p.Closed():
		return Path{}, fmt.Errorf("part of a path from %v back to %v: want the smaller length first, as the path is not closed", s0, s1)
	}
	// A part that begins at the very end, or ends at the very start, has
	// nothing on the other side of it.
	if s0 >= total-meet {
		return p.before(to), nil
	}
	if s1 <= meet {
		return p.after(from), nil
	}
	return p.after(from).Append(p.before(to))
}

// inside returns an error where s is not between the ends of p.
func (p Path) inside(verb string, s Length) error {
	if total := p.Length(); !(s > meet && s < total-meet) {
		return fmt.Errorf("%s a path of %v at %v: want more than 0 cm and less than its length", verb, total, s)
	}
	return nil
}

func (p Path) before(at place) Path { return p.span(place{}, at) }

func (p Path) after(at place) Path { return p.span(at, place{len(p.chain.segs) - 1, 1}) }

// span returns the part of p from one place to a later one, leaving out what
// has no extent at either end.
func (p Path) span(from, to place) Path {
	segs := p.chain.segs
	if from.t == 1 && from.seg < to.seg {
		from = place{from.seg + 1, 0}
	}
	if to.t == 0 && to.seg > from.seg {
		to = place{to.seg - 1, 1}
	}
	if from.seg == to.seg {
		return single(segs[from.seg].between(from.t, to.t))
	}
	out := make([]Segment, 0, to.seg-from.seg+1)
	out = append(out, segs[from.seg].between(from.t, 1))
	out = append(out, segs[from.seg+1:to.seg]...)
	return newPath(append(out, segs[to.seg].between(0, to.t)))
}
