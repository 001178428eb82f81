package patternkit

import (
	"fmt"

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
// half lies on top of it, the right way up. So one is the neighbouring edge
// mirrored at the leg, the other is that edge turned about the dart's tip. It
// is an error where that edge is too short to lie under the whole fold.
func (p Piece) DartFold(name string, toward Point) (Path, error) {
	d, err := p.Dart(name)
	if err != nil {
		return Path{}, err
	}
	start, end := p.mouth(d)
	first, second := p.legs(d)
	if (first - second).Abs() > joinTolerance {
		return Path{}, fmt.Errorf("piece %q: dart %q has legs of %s and %s (%.4f mm apart), want equal legs to fold it shut",
			p.name, d.Name, first, second, (first - second).Abs().MM())
	}
	halfTurn := start.Sub(d.Tip).AngleTo(end.Sub(d.Tip)) / 2
	centre := d.Tip.Add(start.Sub(d.Tip).Rotated(halfTurn))
	side := centre.Sub(d.Tip).Cross(toward.Sub(d.Tip))
	if !toward.Finite() || side == 0 {
		return Path{}, fmt.Errorf("piece %q: dart %q is to be pressed toward %s, want a point beside the dart's centre line", p.name, d.Name, place(toward))
	}
	toStart := side*centre.Sub(d.Tip).Cross(start.Sub(d.Tip)) > 0
	beside, leg := p.besideMouth(d, toStart), end
	if toStart {
		leg, halfTurn = start, -halfTurn
	}
	under, err := p.underFold(d, beside, d.Tip.Add(leg.Sub(d.Tip).Rotated(halfTurn)))
	if err != nil {
		return Path{}, err
	}
	near := under.Transformed(geom.Mirror(d.Tip, leg))
	path, err := near.Append(near.Transformed(geom.Mirror(d.Tip, centre)).Reversed())
	if err != nil {
		return Path{}, fmt.Errorf("piece %q: dart %q: %w", p.name, d.Name, err)
	}
	if !toStart {
		path = path.Reversed()
	}
	return path, nil
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

// underFold returns what of an edge lies under a folded dart, whose fold lies
// along the line from its tip through fold.
func (p Piece) underFold(d Dart, beside Edge, fold Point) (Path, error) {
	reach := beside.Path.Bounds().Width() + beside.Path.Bounds().Height() + d.Tip.Dist(beside.Path.Start())
	line := Line(d.Tip, d.Tip.Add(fold.Sub(d.Tip).Unit().Scale(2*float64(reach))))
	crossings := beside.Path.Intersections(line)
	if len(crossings) == 0 {
		return Path{}, fmt.Errorf("piece %q: edge %q is %s beside the dart %q, too short to lie under the folded dart: press it to the other side or narrow it",
			p.name, beside.Name, beside.Path.Length(), d.Name)
	}
	s := crossings[0].S
	for _, c := range crossings {
		s = min(s, c.S)
	}
	return beside.Path.Between(0, s)
}
