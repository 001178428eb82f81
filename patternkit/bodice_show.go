package patternkit

// shown is the bodice as a pattern by itself, in which form it is shown.
func (b Bodice) shown() Pattern {
	p, err := NewPattern("bodice", b)
	if err != nil {
		return Pattern{} // the zero value, which DraftBodice did not make
	}
	return p
}

// HTML returns the pieces as a picture.
func (b Bodice) HTML() string { return b.shown().HTML() }

// MovingHTML is HTML without the large picture, for one that is replaced at
// once.
func (b Bodice) MovingHTML() string { return b.shown().MovingHTML() }

// PNG returns the pieces as an image of pixels.
func (b Bodice) PNG() []byte { return b.shown().PNG() }

// SVG returns the pieces as a picture.
func (b Bodice) SVG() string { return b.shown().SVG() }

// Markdown returns the pieces as a table of pipes.
func (b Bodice) Markdown() string { return b.shown().Markdown() }

// String returns the pieces as a table of text.
func (b Bodice) String() string { return b.shown().String() }
