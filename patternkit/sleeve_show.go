package patternkit

// HTML returns the piece as a picture.
func (s Sleeve) HTML() string { return s.piece.HTML() }

// MovingHTML is HTML without the large picture, for one that is replaced at
// once.
func (s Sleeve) MovingHTML() string { return s.piece.MovingHTML() }

// PNG returns the piece as an image of pixels.
func (s Sleeve) PNG() []byte { return s.piece.PNG() }

// SVG returns the piece as a picture.
func (s Sleeve) SVG() string { return s.piece.SVG() }

// Markdown returns the piece as a table of pipes.
func (s Sleeve) Markdown() string { return s.piece.Markdown() }

// String returns the piece as a table of text.
func (s Sleeve) String() string { return s.piece.String() }
