package patternkit

// A pieceMaker adds to a piece step by step and keeps the first error, so that
// a block is written down without a check after each line.
type pieceMaker struct {
	piece Piece
	err   error
}

func makePiece(name string, edges ...Edge) *pieceMaker {
	p, err := NewPiece(name, edges...)
	return &pieceMaker{p, err}
}

func (m *pieceMaker) step(f func(Piece) (Piece, error)) *pieceMaker {
	if m.err == nil {
		m.piece, m.err = f(m.piece)
	}
	return m
}

func (m *pieceMaker) point(name string, at Point) *pieceMaker {
	return m.step(func(p Piece) (Piece, error) { return p.WithPoint(name, at) })
}

func (m *pieceMaker) dart(darts ...Dart) *pieceMaker {
	return m.step(func(p Piece) (Piece, error) { return p.WithDart(darts...) })
}

func (m *pieceMaker) notch(notches ...Notch) *pieceMaker {
	return m.step(func(p Piece) (Piece, error) { return p.WithNotch(notches...) })
}

func (m *pieceMaker) grainline(a, b Point) *pieceMaker {
	return m.step(func(p Piece) (Piece, error) { return p.WithGrainline(a, b) })
}

func (m *pieceMaker) fold(edge string) *pieceMaker {
	return m.step(func(p Piece) (Piece, error) { return p.WithFold(edge) })
}

func (m *pieceMaker) internal(name string, path Path) *pieceMaker {
	return m.step(func(p Piece) (Piece, error) { return p.WithInternal(name, path) })
}

func (m *pieceMaker) quantity(n int, note string) *pieceMaker {
	return m.step(func(p Piece) (Piece, error) { return p.WithQuantity(n, note) })
}

func (m *pieceMaker) done() (Piece, error) {
	if m.err != nil {
		return Piece{}, m.err
	}
	return m.piece, nil
}
