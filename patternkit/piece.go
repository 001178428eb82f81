package patternkit

import (
	"fmt"
	"strings"

	"patternkit/patternkit/geom"
)

// A Piece is one piece of a pattern on its stitch line: named edges, darts,
// notches and what is written on it. It does not change: each With method
// returns another piece.
type Piece struct {
	name      string
	edges     []Edge
	outline   Path
	points    []NamedPoint
	darts     []Dart
	pleats    []Pleat
	notches   []Notch
	internals []Edge
	drills    []NamedPoint
	grain     [2]Point
	hasGrain  bool
	fold      string
	quantity  int
	cutNote   string
	material  string
	origins   map[string]string // edges cut or renamed, by what they were drafted as

	allowances    []Allowance
	everywhere    Length // allowance of the edges that have none of their own
	hasEverywhere bool
	pressed       []NamedPoint // toward what darts are pressed, by their names
}

// A NamedPoint is a point of a piece with its trade name: "side neck point".
type NamedPoint struct {
	Name string
	At   Point
}

// NewPiece returns the piece whose stitch line is the edges, in order. They
// must form one closed chain, counterclockwise, that crosses itself nowhere;
// the error names the edge that does not.
func NewPiece(name string, edges ...Edge) (Piece, error) {
	if strings.TrimSpace(name) == "" {
		return Piece{}, fmt.Errorf("a piece has no name, want one such as \"front\"")
	}
	outline, err := checkEdges(name, edges)
	if err != nil {
		return Piece{}, err
	}
	return Piece{name: name, edges: append([]Edge(nil), edges...), outline: outline, quantity: 1}, nil
}

// WithPoint returns p with a named point added, inside the piece or on its
// edge or beside it.
func (p Piece) WithPoint(name string, at Point) (Piece, error) {
	if err := p.checkPoint("point", name, at, p.points); err != nil {
		return Piece{}, err
	}
	p.points = append(append([]NamedPoint(nil), p.points...), NamedPoint{name, at})
	return p, nil
}

// WithDrillHole returns p with a hole added, drilled through the plies to mark
// a place inside the piece.
func (p Piece) WithDrillHole(name string, at Point) (Piece, error) {
	if err := p.checkPoint("drill hole", name, at, p.drills); err != nil {
		return Piece{}, err
	}
	p.drills = append(append([]NamedPoint(nil), p.drills...), NamedPoint{name, at})
	return p, nil
}

func (p Piece) checkPoint(what, name string, at Point, before []NamedPoint) error {
	if strings.TrimSpace(name) == "" {
		return fmt.Errorf("piece %q: a %s at %s has no name", p.name, what, place(at))
	}
	if !at.Finite() {
		return fmt.Errorf("piece %q: %s %q is not a number or is infinite", p.name, what, name)
	}
	for _, o := range before {
		if o.Name == name {
			return fmt.Errorf("piece %q already has a %s %q, at %s", p.name, what, name, place(o.At))
		}
	}
	return nil
}

// WithGrainline returns p with its grainline from a to b, which lies along the
// warp of the cloth. A piece is drawn and printed with its grainline upright.
func (p Piece) WithGrainline(a, b Point) (Piece, error) {
	if !a.Finite() || !b.Finite() || a.Dist(b) < 1*MM {
		return Piece{}, fmt.Errorf("piece %q: the grainline runs from %s to %s, want two points at least 1 mm apart", p.name, place(a), place(b))
	}
	p.grain, p.hasGrain = [2]Point{a, b}, true
	return p, nil
}

// WithFold returns p with the named edge laid on the fold of the cloth. The
// edge must be straight.
func (p Piece) WithFold(edge string) (Piece, error) {
	parts, err := p.Edge(edge)
	if err != nil {
		return Piece{}, fmt.Errorf("fold: %w", err)
	}
	if len(parts) != 1 {
		return Piece{}, fmt.Errorf("piece %q: edge %q is in %d parts, want one straight edge to lay on the fold", p.name, edge, len(parts))
	}
	path := parts[0].Path
	if bend := path.Length() - path.Start().Dist(path.End()); bend > 0.01*MM {
		return Piece{}, fmt.Errorf("piece %q: edge %q is curved, want a straight edge to lay on the fold", p.name, edge)
	}
	p.fold = edge
	return p, nil
}

// WithInternal returns p with a line drawn inside it: a bust line, a pocket
// place.
func (p Piece) WithInternal(name string, path Path) (Piece, error) {
	if strings.TrimSpace(name) == "" || path.Empty() || !path.Finite() {
		return Piece{}, fmt.Errorf("piece %q: internal line %q, want a name and a line or curve of finite points", p.name, name)
	}
	for _, o := range p.internals {
		if o.Name == name {
			return Piece{}, fmt.Errorf("piece %q already has an internal line %q", p.name, name)
		}
	}
	p.internals = append(append([]Edge(nil), p.internals...), Edge{name, path})
	return p, nil
}

// WithQuantity returns p with the number of times it is cut and a note for the
// cutter, such as "a pair" or "on the fold"; the note may be empty.
func (p Piece) WithQuantity(n int, note string) (Piece, error) {
	if n < 1 || n > 1000 {
		return Piece{}, fmt.Errorf("piece %q is to be cut %d times, want 1 to 1000", p.name, n)
	}
	p.quantity, p.cutNote = n, note
	return p, nil
}

// WithMaterial returns p with the cloth it is cut from: "main cloth", "lining".
func (p Piece) WithMaterial(material string) Piece {
	p.material = material
	return p
}

// Name returns the name of the piece.
func (p Piece) Name() string { return p.name }

// Edges returns the edges of the stitch line in outline order.
func (p Piece) Edges() []Edge { return append([]Edge(nil), p.edges...) }

// Outline returns the stitch line as one closed path, counterclockwise.
func (p Piece) Outline() Path { return p.outline }

// Points returns the named points in the order they were added.
func (p Piece) Points() []NamedPoint { return append([]NamedPoint(nil), p.points...) }

// Point returns the point of that name.
func (p Piece) Point(name string) (Point, error) {
	names := make([]string, len(p.points))
	for i, q := range p.points {
		if q.Name == name {
			return q.At, nil
		}
		names[i] = q.Name
	}
	return Point{}, fmt.Errorf("piece %q has no point %q, it has %s", p.name, name, quoted(names))
}

// Internals returns the lines drawn inside the piece.
func (p Piece) Internals() []Edge { return append([]Edge(nil), p.internals...) }

// DrillHoles returns the drill holes of the piece.
func (p Piece) DrillHoles() []NamedPoint { return append([]NamedPoint(nil), p.drills...) }

// Grainline returns the ends of the grainline, and false when there is none.
func (p Piece) Grainline() (a, b Point, ok bool) { return p.grain[0], p.grain[1], p.hasGrain }

// Fold returns the name of the edge laid on the fold, or "".
func (p Piece) Fold() string { return p.fold }

// Quantity returns how often the piece is cut, and the note for the cutter.
func (p Piece) Quantity() (n int, note string) { return p.quantity, p.cutNote }

// Material returns the cloth that the piece is cut from, or "".
func (p Piece) Material() string { return p.material }

// Area returns the area inside the stitch line in mm², dart mouths lying flat.
func (p Piece) Area() float64 { return p.outline.Area() }

// Bounds returns the box around the stitch line.
func (p Piece) Bounds() geom.Rect { return p.outline.Bounds() }
