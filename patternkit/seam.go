package patternkit

// An Along is one stretch of a seam's side: the named edge of a piece, sewn
// from its start in outline order, or from its end when Reversed.
type Along struct {
	Piece    string
	Edge     string
	Reversed bool
}

// A Seam joins side A to side B, each one edge or several end to end. Both
// sides are listed in the direction of sewing, so that they start together.
type Seam struct {
	Name string
	A, B []Along
	Ease Length // intended length of A minus length of B
}

// Pieces returns none, so that a seam can be given to NewPattern by itself.
func (s Seam) Pieces() []Piece { return nil }

// Seams returns s alone.
func (s Seam) Seams() []Seam { return []Seam{s} }

// Pieces returns p alone, so that a piece can be given to NewPattern by itself.
func (p Piece) Pieces() []Piece { return []Piece{p} }

// Seams returns none: a piece by itself is sewn to nothing.
func (p Piece) Seams() []Seam { return nil }
