package patternkit

import (
	"fmt"
	"strings"
)

// A Pleat is cloth folded away along straight lines that run in from an edge.
// Its mouth, an edge of the outline, is the cloth it takes there: like a dart's
// it is not counted in the length of the edge that it lies in.
type Pleat struct {
	Name  string
	Kind  PleatKind
	Mouth string // name of the outline edge that is folded away
	End   string // name of the edge folded away at its other end, "" where it hangs free
	// TowardStart turns a knife pleat or a tuck toward the start of its edge in
	// outline order, and not toward the end.
	TowardStart bool
	Sewn        Length // how far from its mouth its fold is stitched down, 0 where only at the mouth
}

// A PleatKind says how a pleat is folded.
type PleatKind int

// The pleats. A depth is from fold to fold.
const (
	KnifePleat    PleatKind = iota // one fold turned to a side: takes 2 depths
	BoxPleat                       // two folds turned away from each other: takes 4 depths
	InvertedPleat                  // two folds turned to meet each other: takes 4 depths
	Tuck                           // one fold stitched down along it: takes 2 depths
)

func (k PleatKind) String() string {
	switch k {
	case KnifePleat:
		return "knife pleat"
	case BoxPleat:
		return "box pleat"
	case InvertedPleat:
		return "inverted pleat"
	case Tuck:
		return "tuck"
	}
	return fmt.Sprintf("PleatKind(%d)", int(k))
}

// depths is how many depths of cloth the pleat takes (exact for equal folds).
func (k PleatKind) depths() Length {
	if k == BoxPleat || k == InvertedPleat {
		return 4
	}
	return 2
}

// WithPleat returns p with pleats added, whose mouths are edges of p. It draws
// no fold lines; Pleated lays a pleat into a piece with its cloth and folds.
func (p Piece) WithPleat(pleats ...Pleat) (Piece, error) {
	for _, pl := range pleats {
		if err := p.checkPleat(pl); err != nil {
			return Piece{}, err
		}
		p.pleats = append(append([]Pleat(nil), p.pleats...), pl)
	}
	return p, nil
}

func (p Piece) checkPleat(pl Pleat) error {
	if strings.TrimSpace(pl.Name) == "" {
		return fmt.Errorf("piece %q: a pleat has no name, want one such as \"waist pleat\"", p.name)
	}
	for _, o := range p.pleats {
		if o.Name == pl.Name {
			return fmt.Errorf("piece %q already has a pleat %q, want another name", p.name, pl.Name)
		}
	}
	if pl.Kind < KnifePleat || pl.Kind > Tuck {
		return fmt.Errorf("piece %q: pleat %q is of kind %v, want KnifePleat, BoxPleat, InvertedPleat or Tuck", p.name, pl.Name, pl.Kind)
	}
	if !(pl.Sewn >= 0) || !pl.Sewn.Finite() {
		return fmt.Errorf("piece %q: pleat %q is stitched down for %s, want 0 or more", p.name, pl.Name, pl.Sewn)
	}
	mouths := []string{pl.Mouth}
	if pl.End != "" {
		mouths = append(mouths, pl.End)
	}
	for _, mouth := range mouths {
		parts, err := p.Edge(mouth)
		if err != nil {
			return fmt.Errorf("pleat %q: %w", pl.Name, err)
		}
		if len(parts) != 1 || p.isMouth(mouth) || pl.Mouth == pl.End {
			return fmt.Errorf("piece %q: pleat %q has mouth %q, want an edge with a name of its own that no other dart or pleat takes", p.name, pl.Name, mouth)
		}
	}
	return nil
}

// Pleats returns the pleats of p in the order they were added.
func (p Piece) Pleats() []Pleat { return append([]Pleat(nil), p.pleats...) }

// Pleat returns the pleat of that name.
func (p Piece) Pleat(name string) (Pleat, error) {
	names := make([]string, len(p.pleats))
	for i, pl := range p.pleats {
		if pl.Name == name {
			return pl, nil
		}
		names[i] = pl.Name
	}
	return Pleat{}, fmt.Errorf("piece %q has no pleat %q, it has %s", p.name, name, quoted(names))
}

// PleatTake returns the cloth that a pleat takes out of its edge.
func (p Piece) PleatTake(name string) (Length, error) {
	pl, err := p.Pleat(name)
	if err != nil {
		return 0, err
	}
	mouth, err := p.Edge(pl.Mouth)
	if err != nil {
		return 0, err
	}
	return mouth[0].Path.Start().Dist(mouth[0].Path.End()), nil
}

// isFoldedAway reports whether an edge is taken by a pleat.
func (p Piece) isFoldedAway(edge string) bool {
	for _, pl := range p.pleats {
		if edge != "" && (pl.Mouth == edge || pl.End == edge) {
			return true
		}
	}
	return false
}
