package patternkit

import (
	"fmt"
	"strings"
)

// A Dart is a wedge of cloth folded away: from the two ends of its mouth, an
// edge of the outline, to its tip.
type Dart struct {
	Name  string
	Mouth string // name of the outline edge between the legs
	Tip   Point
}

// legTolerance is how unequal the legs of a dart may be and still be sewn
// together (common practice, no source).
const legTolerance = 1 * MM

// WithDart returns p with darts added. Each names an outline edge of its own
// as its mouth; legs that differ by more than 1 mm are an error.
func (p Piece) WithDart(darts ...Dart) (Piece, error) {
	all := append([]Dart(nil), p.darts...)
	for _, d := range darts {
		if err := p.checkDart(d, all); err != nil {
			return Piece{}, err
		}
		all = append(all, d)
	}
	p.darts = all
	return p, nil
}

func (p Piece) checkDart(d Dart, before []Dart) error {
	if strings.TrimSpace(d.Name) == "" {
		return fmt.Errorf("piece %q: a dart has no name, want one such as \"waist dart\"", p.name)
	}
	for _, o := range before {
		if o.Name == d.Name {
			return fmt.Errorf("piece %q already has a dart %q, want another name", p.name, d.Name)
		}
		if o.Mouth == d.Mouth {
			return fmt.Errorf("piece %q: darts %q and %q have the same mouth %q, want an edge for each", p.name, o.Name, d.Name, d.Mouth)
		}
	}
	mouth, err := p.Edge(d.Mouth)
	if err != nil {
		return fmt.Errorf("dart %q: %w", d.Name, err)
	}
	if len(mouth) != 1 {
		return fmt.Errorf("piece %q: dart %q has mouth %q, the name of %d edges, want an edge with a name of its own", p.name, d.Name, d.Mouth, len(mouth))
	}
	if !d.Tip.Finite() {
		return fmt.Errorf("piece %q: dart %q has a tip that is not a number or is infinite", p.name, d.Name)
	}
	first, second := p.legs(d)
	if diff := first - second; diff > legTolerance || diff < -legTolerance {
		return fmt.Errorf("piece %q: dart %q has legs of %s and %s, want legs equal within %s: move its tip or an end of its mouth %q",
			p.name, d.Name, first, second, legTolerance, d.Mouth)
	}
	if first <= joinTolerance {
		return fmt.Errorf("piece %q: dart %q has its tip on its mouth, want a tip inside the piece", p.name, d.Name)
	}
	return nil
}

// mouth returns the ends of a dart's mouth in outline order.
func (p Piece) mouth(d Dart) (start, end Point) {
	for _, e := range p.edges {
		if e.Name == d.Mouth {
			return e.Path.Start(), e.Path.End()
		}
	}
	return d.Tip, d.Tip
}

// legs returns the lengths of a dart's legs in outline order.
func (p Piece) legs(d Dart) (first, second Length) {
	start, end := p.mouth(d)
	return start.Dist(d.Tip), end.Dist(d.Tip)
}

// DartIntake returns the width of a dart's mouth, leg to leg: the cloth that
// it takes out of the edge.
func (p Piece) DartIntake(name string) (Length, error) {
	d, err := p.Dart(name)
	if err != nil {
		return 0, err
	}
	start, end := p.mouth(d)
	return start.Dist(end), nil
}

// Dart returns the dart of that name.
func (p Piece) Dart(name string) (Dart, error) {
	names := make([]string, len(p.darts))
	for i, d := range p.darts {
		if d.Name == name {
			return d, nil
		}
		names[i] = d.Name
	}
	return Dart{}, fmt.Errorf("piece %q has no dart %q, it has %s", p.name, name, quoted(names))
}

// Darts returns the darts of p in the order they were added.
func (p Piece) Darts() []Dart { return append([]Dart(nil), p.darts...) }

func (p Piece) isMouth(edge string) bool {
	for _, d := range p.darts {
		if d.Mouth == edge {
			return true
		}
	}
	return p.isFoldedAway(edge)
}
