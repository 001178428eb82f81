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

	// Shares say, where it matters, how much of Ease lies between which
	// notches; without them a notch may draw it either way.
	Shares []EaseShare
}

// An EaseShare is the ease meant between one notch of a seam, or its start, and
// the next in order of sewing.
type EaseShare struct {
	Upto string // the notch at which the stretch ends; "" for the last stretch, to the end of the seam
	Ease Length
}

// Pieces returns none, so that a seam can be given to NewPattern by itself.
func (s Seam) Pieces() []Piece { return nil }

// Seams returns s alone.
func (s Seam) Seams() []Seam { return []Seam{s} }

// Pieces returns p alone, so that a piece can be given to NewPattern by itself.
func (p Piece) Pieces() []Piece { return []Piece{p} }

// Seams returns none: a piece by itself is sewn to nothing.
func (p Piece) Seams() []Seam { return nil }
