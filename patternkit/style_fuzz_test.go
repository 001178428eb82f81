package patternkit

import (
	"testing"
)

// FuzzStyleOperations applies a run of style operations, each read from five
// bytes, to the pieces of a block. Whatever is taken leaves a piece whose
// marks lie on it and whose outline a new piece can be made of.
func FuzzStyleOperations(f *testing.F) {
	blocks := stylePatterns(f)
	f.Add(uint8(0), []byte{0, 1, 2, 100, 100, 1, 3, 4, 50, 20})
	f.Add(uint8(3), []byte{2, 5, 1, 80, 30, 0, 0, 6, 200, 7, 3, 0, 0, 0, 0})
	f.Add(uint8(5), []byte{4, 0, 0, 0, 0, 5, 2, 0, 0, 0, 1, 2, 7, 128, 90})
	f.Add(uint8(2), []byte{7, 5, 2, 90, 128, 7, 1, 3, 40, 60, 3, 0, 0, 20, 0})
	f.Fuzz(func(t *testing.T, block uint8, ops []byte) {
		pieces := blocks[int(block)%len(blocks)].Pieces()
		p := pieces[int(block/16)%len(pieces)]
		for n := 0; len(ops) >= 5 && n < 6; n++ {
			if q, err := styleStep(p, ops[:5], n); err == nil {
				p = q
			}
			ops = ops[5:]
			soundPiece(t, p)
		}
	})
}

// styleStep does what five bytes say: an operation, two edges and two places.
func styleStep(p Piece, b []byte, n int) (Piece, error) {
	names := p.EdgeNames()
	at := func(edge, s byte) OnEdge {
		name := names[int(edge)%len(names)]
		length, _ := p.EdgeLength(name)
		return OnEdge{name, length * Length(s) / 255}
	}
	from, to := at(b[1], b[3]), at(b[2], b[4])
	suffix := string(rune('a' + n))
	dart := ""
	if darts := p.Darts(); len(darts) > 0 {
		dart = darts[int(b[2])%len(darts)].Name
	}
	switch b[0] % 9 {
	case 0:
		return p.PivotDart(dart, DartMove{To: from, Share: float64(b[4]%4) / 4, Name: "dart " + suffix})
	case 1:
		return p.SlashAndSpread(Slash{From: from, To: to, AtTo: Length(b[3])})
	case 2:
		return p.Pleated(PleatAt{Name: "pleat " + suffix, Kind: PleatKind(b[1] % 4), From: from, To: to, Depth: Length(b[4])})
	case 3:
		return p.WidenAtFold(Length(b[3]))
	case 4:
		return p.SmoothEdge(from.Edge)
	case 5:
		return p.DartToFullness(dart, Length(b[4]))
	case 6:
		return p.SplitEdge(from.Edge, from.At, from.Edge+" "+suffix, from.Edge)
	case 7:
		return p.SlashAndSpread(Slash{From: from, To: to, AtFrom: -Length(b[0]) / 8, AtTo: -Length(b[3]) / 4})
	}
	return p.DartToTuck(dart, Length(b[4]))
}

// soundPiece checks that a piece would be taken if it were built anew.
func soundPiece(t *testing.T, p Piece) {
	t.Helper()
	q, err := NewPiece(p.Name(), p.Edges()...)
	if err == nil {
		q, err = q.WithDart(p.Darts()...)
	}
	if err == nil {
		q, err = q.WithPleat(p.Pleats()...)
	}
	if err == nil {
		q, err = q.WithNotch(p.Notches()...)
	}
	if err == nil {
		err = q.checkParts()
	}
	seen := map[string]bool{}
	for _, l := range p.Internals() {
		if seen[l.Name] || !l.Path.Finite() {
			t.Errorf("internal line %q twice or not finite", l.Name)
		}
		seen[l.Name] = true
	}
	if err != nil {
		t.Error(err)
	}
}
