package patternkit

import (
	"fmt"
	"math"
	"slices"

	"patternkit/patternkit/geom"
)

// DartFold returns the path that the edge takes across the mouth of a dart so
// that the dart, folded shut and pressed toward a point, ends in the seam: from
// leg to leg in outline order, coming to a tip on the dart's centre line. The
// point may be any on that side of the dart: a centre waist point for a waist
// dart, pressed toward the centre, or a waist point for a dart of the side
// seam, pressed down (common practice, no source).
//
// The half beside the leg lies, once folded, mirrored on the piece; the other
// half lies on top of it, the right way up. So one is the stitch line beside the
// leg mirrored at it, the other is that line turned about the dart's tip. Where
// the edge beside the dart ends under the fold, the next goes on. It is an error
// where that is the mouth of another dart or lies on the fold of the cloth, or
// where it turns back so steeply, less than 30° from the way to the dart's tip,
// that the mouth would be a slot.
func (p Piece) DartFold(name string, toward Point) (Path, error) {
	fold, _, err := p.dartFold(name, toward)
	return fold, err
}

// dartFold is DartFold with the names of the edges that the folded dart lies on.
func (p Piece) dartFold(name string, toward Point) (path Path, on []string, err error) {
	d, err := p.Dart(name)
	if err != nil {
		return Path{}, nil, err
	}
	start, end := p.mouth(d)
	first, second := p.legs(d)
	if (first - second).Abs() > joinTolerance {
		return Path{}, nil, fmt.Errorf("piece %q: dart %q has legs of %s and %s (%.4f mm apart), want equal legs to fold it shut",
			p.name, d.Name, first, second, (first - second).Abs().MM())
	}
	centre := d.Tip.Add(start.Sub(d.Tip).Rotated(start.Sub(d.Tip).AngleTo(end.Sub(d.Tip)) / 2))
	side := centre.Sub(d.Tip).Cross(toward.Sub(d.Tip))
	if !toward.Finite() || side == 0 {
		return Path{}, nil, fmt.Errorf("piece %q: dart %q is to be pressed toward %s, want a point beside the dart's centre line", p.name, d.Name, place(toward))
	}
	toStart := side*centre.Sub(d.Tip).Cross(start.Sub(d.Tip)) > 0
	under, on, err := p.underFold(d, toStart)
	if err != nil {
		want := "narrow or move it"
		if _, _, other := p.underFold(d, !toStart); other == nil {
			want = "press it to the other side (WithDartPressed)"
		}
		return Path{}, nil, fmt.Errorf("piece %q: dart %q, folded shut, %w; %s", p.name, d.Name, err, want)
	}
	near := under.Transformed(geom.Mirror(d.Tip, under.Start()))
	path, err = near.Append(near.Transformed(geom.Mirror(d.Tip, centre)).Reversed())
	if err != nil {
		return Path{}, nil, fmt.Errorf("piece %q: dart %q: %w", p.name, d.Name, err)
	}
	if !toStart {
		path = path.Reversed()
	}
	return path, on, nil
}

// besideMouth returns the edge next to a dart's mouth, running away from it.
func (p Piece) besideMouth(d Dart, atStart bool) Edge {
	n := len(p.edges)
	for i, e := range p.edges {
		if e.Name != d.Mouth {
			continue
		}
		if atStart {
			before := p.edges[(i+n-1)%n]
			return Edge{before.Name, before.Path.Reversed()}
		}
		return p.edges[(i+1)%n]
	}
	return Edge{}
}

// steepestFold is the least angle between the way to a dart's tip and a stitch
// line that the folded dart goes over a corner to lie on. The mouth comes to a
// tip of twice that, which allowances can follow.
const steepestFold = 30 * Degree

// underFold returns what of the stitch line lies under a folded dart, from the
// end of the leg that it is pressed to. The dart's centre line lies folded as far
// beyond that leg as it is on this side of it. on names the edges.
func (p Piece) underFold(d Dart, toStart bool) (under Path, on []string, err error) {
	start, end := p.mouth(d)
	halfTurn, leg := start.Sub(d.Tip).AngleTo(end.Sub(d.Tip))/2, end
	if toStart {
		halfTurn, leg = -halfTurn, start
	}
	box := p.outline.Bounds()
	fold := leg.Sub(d.Tip).Rotated(halfTurn).Unit().Scale(float64(2*(box.Width()+box.Height()) + d.Tip.Dist(leg)))
	centre := Line(d.Tip, d.Tip.Add(fold))
	for _, e := range p.awayFromMouth(d, toStart) {
		switch {
		case p.isMouth(e.Name):
			return Path{}, nil, fmt.Errorf("would lie over %q, %s from it", e.Name, under.Length())
		case e.Name == p.fold:
			return Path{}, nil, fmt.Errorf("would lie over the fold of the cloth, %s from it", under.Length())
		}
		last, crossed := e.Path, false
		if s, ok := firstCrossing(last, centre); ok {
			if last, err = last.Between(0, s); err != nil {
				return Path{}, nil, err
			}
			crossed = true
		}
		if !under.Empty() && steepness(last, d.Tip) < steepestFold {
			return Path{}, nil, fmt.Errorf("would go over the corner to edge %q, %s from it, which turns back toward the dart's tip too steeply for the fold to lie on it", e.Name, under.Length())
		}
		on = append(on, e.Name)
		if under, err = under.Append(last); err != nil || crossed {
			return under, on, err
		}
	}
	return Path{}, nil, fmt.Errorf("would not lie on the piece")
}

// awayFromMouth are the other edges of p in order from the mouth of a dart,
// running away from it.
func (p Piece) awayFromMouth(d Dart, backwards bool) []Edge {
	var edges []Edge
	for i, e := range p.edges {
		if e.Name == d.Mouth {
			edges = slices.Concat(p.edges[i+1:], p.edges[:i])
		}
	}
	if backwards {
		slices.Reverse(edges)
		for i, e := range edges {
			edges[i].Path = e.Path.Reversed()
		}
	}
	return edges
}

// firstCrossing is the length along a path at which it first crosses a line.
func firstCrossing(path, line Path) (Length, bool) {
	s, found := Length(math.Inf(1)), false
	for _, x := range path.Intersections(line) {
		s, found = min(s, x.S), true
	}
	return s, found
}

// steepness is the least angle between a path and the way to a point.
func steepness(path Path, tip Point) Angle {
	const samples = 32
	least := Angle(math.Pi)
	for i := range samples + 1 {
		s := path.Length() * Length(i) / samples
		least = min(least, Angle(math.Abs(float64(path.TangentAt(s).AngleTo(tip.Sub(path.At(s)))))))
	}
	return least
}
