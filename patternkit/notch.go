package patternkit

import (
	"fmt"
	"strings"
)

// A Notch is a mark on an edge that meets the notch of the same name on the
// edge sewn to it. A notch may instead bear the name of a seam, which it then
// meets where that seam runs into the edge: the "shoulder" notch of a sleeve.
type Notch struct {
	Name   string
	Edge   string
	At     Length // along the named edge from its start in outline order, darts closed
	Double bool   // two ticks, by custom for the back
}

// WithNotch returns p with notches added, each on an edge that p has and
// within its length.
func (p Piece) WithNotch(notches ...Notch) (Piece, error) {
	all := append([]Notch(nil), p.notches...)
	for _, n := range notches {
		if err := p.checkNotch(n, all); err != nil {
			return Piece{}, err
		}
		all = append(all, n)
	}
	p.notches = all
	return p, nil
}

func (p Piece) checkNotch(n Notch, before []Notch) error {
	if strings.TrimSpace(n.Name) == "" {
		return fmt.Errorf("piece %q: a notch on edge %q has no name, want one such as \"front\"", p.name, n.Edge)
	}
	for _, o := range before {
		if o.Name == n.Name && o.Edge == n.Edge {
			return fmt.Errorf("piece %q already has a notch %q on edge %q, want another name", p.name, n.Name, n.Edge)
		}
	}
	length, err := p.EdgeLength(n.Edge)
	if err != nil {
		return fmt.Errorf("notch %q: %w", n.Name, err)
	}
	if !(n.At >= 0 && n.At <= length) {
		return fmt.Errorf("piece %q: notch %q is at %s on edge %q, want 0 cm to %s, the length of that edge", p.name, n.Name, n.At, n.Edge, length)
	}
	return nil
}

// Notches returns the notches of p in the order they were added.
func (p Piece) Notches() []Notch { return append([]Notch(nil), p.notches...) }
