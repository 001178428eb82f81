package patternkit

import "fmt"

// Edge returns the parts of the named edge in outline order, from its start.
// An error lists the edges that p has.
func (p Piece) Edge(name string) ([]Edge, error) {
	parts, err := p.run(name)
	if err != nil {
		return nil, err
	}
	out := make([]Edge, len(parts))
	for i, k := range parts {
		out[i] = p.edges[k]
	}
	return out, nil
}

// EdgeNames returns the names of the edges, each once, in outline order.
func (p Piece) EdgeNames() []string {
	var names []string
	seen := map[string]bool{}
	for _, e := range p.edges {
		if !seen[e.Name] {
			seen[e.Name] = true
			names = append(names, e.Name)
		}
	}
	return names
}

// EdgeLength returns the length of the named edge with its darts closed: dart
// mouths between its parts are not counted.
func (p Piece) EdgeLength(name string) (Length, error) {
	parts, err := p.Edge(name)
	if err != nil {
		return 0, err
	}
	var sum Length
	for _, e := range parts {
		sum += e.Path.Length()
	}
	return sum, nil
}

// PointOn returns the point of the named edge at a length from its start in
// outline order, darts closed.
func (p Piece) PointOn(edge string, at Length) (Point, error) {
	e, s, err := p.locate(edge, at)
	if err != nil {
		return Point{}, err
	}
	return e.Path.At(s), nil
}

// locate finds the part of the named edge that holds the length at, and the
// length within that part.
func (p Piece) locate(edge string, at Length) (Edge, Length, error) {
	parts, err := p.Edge(edge)
	if err != nil {
		return Edge{}, 0, err
	}
	s := at
	for i, e := range parts {
		l := e.Path.Length()
		if s <= l && s >= 0 {
			return e, s, nil
		}
		if i == len(parts)-1 && s <= l+joinTolerance {
			return e, l, nil
		}
		s -= l
	}
	total, _ := p.EdgeLength(edge)
	return Edge{}, 0, fmt.Errorf("piece %q: %s along edge %q, want 0 cm to %s, the length of that edge", p.name, at, edge, total)
}

// run returns the places in the outline of the edges that share a name,
// beginning after the widest stretch of other edges, so that a trade edge
// split by the start of the outline is still read from its own start.
func (p Piece) run(name string) ([]int, error) {
	var at []int
	for i, e := range p.edges {
		if e.Name == name {
			at = append(at, i)
		}
	}
	if len(at) == 0 {
		return nil, fmt.Errorf("piece %q has no edge %q, it has %s", p.name, name, quoted(p.EdgeNames()))
	}
	first, widest := 0, 0
	for k := range at {
		before := at[(k+len(at)-1)%len(at)]
		gap := (at[k] - before + len(p.edges)) % len(p.edges)
		if len(at) > 1 && gap > widest {
			first, widest = k, gap
		}
	}
	return append(append([]int(nil), at[first:]...), at[:first]...), nil
}

// checkParts says which edge of p is in parts that closing the darts would
// not join.
func (p Piece) checkParts() error {
	for _, name := range p.EdgeNames() {
		parts, err := p.run(name)
		if err != nil {
			return err
		}
		for i := 1; i < len(parts); i++ {
			for k := (parts[i-1] + 1) % len(p.edges); k != parts[i]; k = (k + 1) % len(p.edges) {
				if between := p.edges[k].Name; !p.isMouth(between) {
					return fmt.Errorf("piece %q: edge %q is in parts with edge %q between them, want only dart mouths there: name the parts apart or add the dart",
						p.name, name, between)
				}
			}
		}
	}
	return nil
}
