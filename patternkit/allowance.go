package patternkit

import (
	"fmt"
	"math"
	"strings"
)

// An Allowance is the cloth beyond one edge of the stitch line: how wide, and
// how it ends at the corners.
type Allowance struct {
	Edge   string // a trade edge of the piece, all its parts
	Width  Length // from the edge out to the cut, 0 for a raw edge
	Corner Corner
	// Folds are the widths of the strips between the folds of an edge turned
	// more than once, from the finished edge out; together they are Width. None
	// says that a folded back edge is turned once.
	Folds []Length
}

// A Corner says how an allowance ends where another edge begins.
type Corner int

// The corners.
const (
	Mitred     Corner = iota // both cut lines run on until they meet; one longer than 3 widths is cut off square
	Squared                  // ended square to its own seam, for seams pressed open
	FoldedBack               // shaped so that, turned up, it lies on the piece from side to side: hems, casings
)

func (c Corner) String() string {
	switch c {
	case Mitred:
		return "mitred"
	case Squared:
		return "squared"
	case FoldedBack:
		return "folded back"
	}
	return fmt.Sprintf("Corner(%d)", int(c))
}

// Allowances narrower than the least can't be sewn in, and wider ones than the
// most are taken for a slip (common practice, no source).
const (
	leastAllowance = 2 * MM
	mostAllowance  = 30 * CM
)

// Hem returns the allowance of an edge turned up once and folded back.
func Hem(edge string, width Length) Allowance {
	return Allowance{Edge: edge, Width: width, Corner: FoldedBack}
}

// DoubleFoldHem returns the allowance of an edge turned twice: the raw edge by
// first, then the whole by second, the width that shows. 1/4 in and 1/4 in
// take 1/2 in.
func DoubleFoldHem(edge string, first, second Length) Allowance {
	return Allowance{Edge: edge, Width: first + second, Corner: FoldedBack, Folds: []Length{second, first}}
}

// strips are the widths between the folds, from the finished edge out.
func (a Allowance) strips() []Length {
	if len(a.Folds) == 0 {
		return []Length{a.Width}
	}
	return a.Folds
}

// turnedUp reports whether a is cloth that is turned up.
func (a Allowance) turnedUp() bool { return a.Corner == FoldedBack && a.Width > 0 }

// String says how wide and how ended: "3 cm folded back (2 cm + 1 cm)".
func (a Allowance) String() string {
	if a.Width == 0 {
		return "none"
	}
	s := a.Width.String()
	if a.Corner != Mitred {
		s += " " + a.Corner.String()
	}
	if len(a.Folds) > 0 {
		s += " (" + joinedLengths(a.Folds) + ")"
	}
	return s
}

func joinedLengths(lengths []Length) string {
	words := make([]string, len(lengths))
	for i, l := range lengths {
		words[i] = l.String()
	}
	return strings.Join(words, " + ")
}

// check says what stops a from being an allowance of an edge of p.
func (a Allowance) check(p Piece) error {
	about := fmt.Sprintf("piece %q: allowance of %q", p.name, a.Edge)
	if _, err := p.Edge(a.Edge); err != nil {
		return fmt.Errorf("allowance: %w", err)
	}
	if err := checkAllowanceWidth(about, a.Width); err != nil {
		return err
	}
	switch {
	case a.Edge == p.fold && a.Width > 0:
		return fmt.Errorf("%s is %s, but that edge lies on the fold of the cloth, want 0", about, a.Width)
	case a.Corner != Mitred && a.Corner != Squared && a.Corner != FoldedBack:
		return fmt.Errorf("%s has the corner %v, want Mitred, Squared or FoldedBack", about, a.Corner)
	case len(a.Folds) == 0:
		return nil
	case a.Corner != FoldedBack:
		return fmt.Errorf("%s has folds but its corner is %v, want FoldedBack", about, a.Corner)
	}
	var sum Length
	for i, f := range a.Folds {
		if !(f >= leastAllowance) || i > 0 && f > a.Folds[i-1] {
			return fmt.Errorf("%s is folded in strips of %s, want each at least %s and none wider than the one before, under which it is turned",
				about, joinedLengths(a.Folds), leastAllowance)
		}
		sum += f
	}
	if (sum - a.Width).Abs() > joinTolerance {
		return fmt.Errorf("%s is %s, but its folds %s come to %s, want the same", about, a.Width, joinedLengths(a.Folds), sum)
	}
	return nil
}

func checkAllowanceWidth(about string, width Length) error {
	if width == 0 {
		return nil
	}
	if err := checkRange(about, "Width", width, leastAllowance, mostAllowance); err != nil {
		return fmt.Errorf("%w, or 0 for a raw edge", err)
	}
	return nil
}

// WithAllowance returns p with allowances, each in place of an earlier one of
// the same edge. A width is 0, for a raw edge, or 2 mm to 30 cm; an edge on
// the fold has none. A mouth of a dart needs none of its own: it has that of
// the edge that it is in, the wider one where it is between two.
func (p Piece) WithAllowance(allowances ...Allowance) (Piece, error) {
	all := append([]Allowance(nil), p.allowances...)
	for _, a := range allowances {
		if err := a.check(p); err != nil {
			return Piece{}, err
		}
		a.Folds = append([]Length(nil), a.Folds...)
		kept := all[:0:0]
		for _, o := range all {
			if o.Edge != a.Edge {
				kept = append(kept, o)
			}
		}
		all = append(kept, a)
	}
	p.allowances = all
	return p, nil
}

// WithAllowanceEverywhere returns p with an allowance of that width on every
// edge that has none of its own, mitred; none on the fold.
func (p Piece) WithAllowanceEverywhere(width Length) (Piece, error) {
	if err := checkAllowanceWidth(fmt.Sprintf("piece %q: allowance of every edge", p.name), width); err != nil {
		return Piece{}, err
	}
	p.everywhere, p.hasEverywhere = width, true
	return p, nil
}

// Allowance returns the allowance of a trade edge, or an error where none has
// been said. An edge cut or renamed by a style operation has that of the edge
// it comes from.
func (p Piece) Allowance(edge string) (Allowance, error) {
	if _, err := p.Edge(edge); err != nil {
		return Allowance{}, err
	}
	if edge == p.fold {
		return Allowance{Edge: edge}, nil
	}
	for _, a := range p.allowances {
		if a.Edge == edge {
			a.Folds = append([]Length(nil), a.Folds...)
			return a, nil
		}
	}
	if p.hasEverywhere {
		return Allowance{Edge: edge, Width: p.everywhere}, nil
	}
	return Allowance{}, fmt.Errorf("piece %q has no allowance for edge %q, want one: WithAllowance for this edge, 0 where it is raw, or WithAllowanceEverywhere",
		p.name, edge)
}

// withAllowanceFrom returns p with the allowance of one edge said of another,
// which is cut from it or is its new name.
func (p Piece) withAllowanceFrom(edge, from string) Piece {
	for _, a := range p.allowances {
		if a.Edge == edge {
			return p
		}
	}
	for _, a := range p.allowances {
		if a.Edge == from {
			a.Edge = edge
			p.allowances = append(p.allowances[:len(p.allowances):len(p.allowances)], a)
			break
		}
	}
	return p
}

// withAllowancesOf returns p with what is said of the allowances of some edges
// only.
func (p Piece) withAllowancesOf(edges func(edge string) bool) Piece {
	kept := p.allowances[:0:0]
	for _, a := range p.allowances {
		if edges(a.Edge) {
			kept = append(kept, a)
		}
	}
	p.allowances = kept
	return p
}

// Allowances returns the allowance of each edge of which one has been said, in
// outline order, dart mouths left out; empty for a piece without allowances.
func (p Piece) Allowances() []Allowance {
	if len(p.allowances) == 0 && !p.hasEverywhere {
		return nil
	}
	var all []Allowance
	for _, name := range p.EdgeNames() {
		if a, err := p.Allowance(name); err == nil && !p.isMouth(name) {
			all = append(all, a)
		}
	}
	return all
}

// WithDartPressed returns p with a dart to be pressed toward a point beside
// it, which shapes its mouth in the cut line. Darts not told otherwise are
// pressed down where they lie across the grainline, else toward the fold or
// the edge "centre front" or "centre back" (common practice, no source).
func (p Piece) WithDartPressed(dart string, toward Point) (Piece, error) {
	if _, err := p.Dart(dart); err != nil {
		return Piece{}, err
	}
	if !toward.Finite() {
		return Piece{}, fmt.Errorf("piece %q: dart %q is to be pressed toward %s, want a point beside it", p.name, dart, place(toward))
	}
	kept := p.pressed[:0:0]
	for _, o := range p.pressed {
		if o.Name != dart {
			kept = append(kept, o)
		}
	}
	p.pressed = append(kept, NamedPoint{dart, toward})
	return p, nil
}

// dartPressed returns the point toward which a dart is pressed.
func (p Piece) dartPressed(d Dart) (Point, error) {
	for _, o := range p.pressed {
		if o.Name == d.Name {
			return o.At, nil
		}
	}
	start, end := p.mouth(d)
	axis := start.Mid(end).Sub(d.Tip)
	a, b, hasGrain := p.Grainline()
	grain := b.Sub(a).Unit()
	across := hasGrain && math.Abs(axis.Unit().Dot(grain)) < math.Sqrt2/2
	switch {
	case across: // down, as far as the dart is long
		return start.Mid(end).Sub(grain.Scale(float64(axis.Norm()))), nil
	case p.fold != "":
		return p.edgeMiddle(p.fold)
	}
	for _, name := range p.EdgeNames() {
		if from := p.origins[name]; isCentre(name) || isCentre(from) {
			return p.edgeMiddle(name)
		}
	}
	return Point{}, fmt.Errorf("piece %q has neither a fold nor a centre edge toward which dart %q is pressed, want WithDartPressed", p.name, d.Name)
}

// pressedDarts are the darts of p, each with the point that it is pressed
// toward; those for which nothing tells are left out.
func (p Piece) pressedDarts() []NamedPoint {
	var all []NamedPoint
	for _, d := range p.darts {
		if toward, err := p.dartPressed(d); err == nil {
			all = append(all, NamedPoint{d.Name, toward})
		}
	}
	return all
}

func isCentre(edge string) bool { return edge == "centre front" || edge == "centre back" }

// edgeMiddle is half way between the ends of an edge.
func (p Piece) edgeMiddle(edge string) (Point, error) {
	parts, err := p.Edge(edge)
	if err != nil {
		return Point{}, err
	}
	return parts[0].Path.Start().Mid(parts[len(parts)-1].Path.End()), nil
}
