package patternkit

import "fmt"

// A Method is a way of drafting a bodice.
type Method int

const (
	// DirectMeasure drafts from the body's own measurements, by common block
	// practice.
	DirectMeasure Method = iota
	// Proportional drafts from bust girth, waist girth and back waist length
	// alone: everything else is a proportion of the bust.
	Proportional
)

// String returns the name of the method in words.
func (m Method) String() string {
	switch m {
	case DirectMeasure:
		return "direct measure"
	case Proportional:
		return "proportional"
	}
	return fmt.Sprintf("Method(%d)", int(m))
}

// BodiceOptions shape a bodice block. Zero means zero, not "default": the zero
// of every field after WaistEase is the plain block. Start from DefaultBodice
// and change what you need.
//
// The proportional method has its ease built in, 12 cm at the bust and 6 cm at
// the waist: there BustEase and WaistEase must be zero or exactly those, and
// the fields after them zero. Its 12 cm are those of the paper, before the
// waist darts are folded; they run up past the bust line and take some 3 cm
// there.
type BodiceOptions struct {
	Method    Method
	BustEase  Length // bust of the block less the bust girth, all round
	WaistEase Length // waist of the block less the waist girth, all round

	NeckEase       Length // added to the neck base girth, all round
	ShoulderEase   Length // added to the shoulder length, each side
	BackWidthEase  Length // added to half the back width, besides a sixteenth of the bust ease
	ChestWidthEase Length // added to half the chest width, besides a sixteenth of the bust ease
	ArmholeDrop    Length // lowers the underarm below the block's own level
}

// DefaultBodice returns a start for a block of woven cloth by direct measure,
// to be fitted closely but not tightly (common practice, no source).
func DefaultBodice() BodiceOptions {
	return BodiceOptions{BustEase: 8 * CM, WaistEase: 6 * CM}
}

// A Bodice is a bodice block: half a back and half a front on the stitch line,
// as a Part of a pattern its pieces "back" and "front" and its seams
// "shoulder" and "side seam".
type Bodice struct {
	back, front Piece
	block       draftedBlock
}

// A draftedBlock is a bodice that can still say how it was drafted.
type draftedBlock interface {
	record() Draft
	armholes() Armhole
	check(b Bodice, c *blockChecker) // adds what belongs to the method
}

// DraftBodice drafts a bodice block for a body. Direct measure needs all
// measurements of the upper body, so call Estimated first where some were not
// taken; proportional needs BustGirth, WaistGirth and BackWaistLength. The
// error is a *LimitError where one measurement or option cannot be drafted
// with the others, and says what could.
func DraftBodice(b Body, o BodiceOptions) (Bodice, error) {
	switch o.Method {
	case DirectMeasure:
		d, err := draftDirect(b, o)
		if err != nil {
			return Bodice{}, err
		}
		return d.bodice()
	case Proportional:
		d, err := draftProportional(b, o)
		if err != nil {
			return Bodice{}, err
		}
		return d.bodice()
	}
	return Bodice{}, fmt.Errorf("bodice: Method is %d, want DirectMeasure or Proportional", int(o.Method))
}

// Back returns the back piece.
func (b Bodice) Back() Piece { return b.back }

// Front returns the front piece.
func (b Bodice) Front() Piece { return b.front }

// Pieces returns the back and the front.
func (b Bodice) Pieces() []Piece { return []Piece{b.back, b.front} }

// Seams returns the shoulder seam, sewn from the neck, and the side seam, sewn
// from the underarm.
func (b Bodice) Seams() []Seam {
	return []Seam{
		{Name: "shoulder", A: []Along{{Piece: "back", Edge: "shoulder", Reversed: true}}, B: []Along{{Piece: "front", Edge: "shoulder"}}},
		{Name: "side seam", A: []Along{{Piece: "back", Edge: "side seam", Reversed: true}}, B: []Along{{Piece: "front", Edge: "side seam"}}},
	}
}

// Draft returns the sheet on which the block was drafted, step by step.
func (b Bodice) Draft() Draft {
	if b.block == nil {
		return Draft{}
	}
	return b.block.record()
}

// Armhole returns the armhole that a sleeve is drafted for.
func (b Bodice) Armhole() Armhole {
	if b.block == nil {
		return Armhole{}
	}
	return b.block.armholes()
}

// BustGirth returns the bust of the block all round: measured on its pieces
// level with the underarm points, with the darts closed.
func (b Bodice) BustGirth() Length {
	if b.block == nil {
		return 0
	}
	return 2 * (levelWidth(b.back, "back neck point") + levelWidth(b.front, "front neck point"))
}

// levelWidth is the width of a piece from its underarm point to the centre
// line, less what its darts take at that level.
func levelWidth(p Piece, centre string) Length {
	underarm := p.at("underarm point")
	width := (p.at(centre).X - underarm.X).Abs()
	for _, d := range p.darts {
		start, end := p.mouth(d)
		a, onA := crossingX(d.Tip, start, underarm.Y)
		b, onB := crossingX(d.Tip, end, underarm.Y)
		if onA && onB {
			width -= (a - b).Abs()
		}
	}
	return width
}

// crossingX is where the line from a to b is at the height y.
func crossingX(a, b Point, y Length) (x Length, crosses bool) {
	if (a.Y-y)*(b.Y-y) >= 0 {
		return 0, false
	}
	return a.X + (b.X-a.X)*(y-a.Y)/(b.Y-a.Y), true
}

// WaistGirth returns the waist of the block all round, measured on its pieces
// with the darts closed.
func (b Bodice) WaistGirth() Length {
	if b.block == nil {
		return 0
	}
	return 2 * (edgeLength(b.back, "waist") + edgeLength(b.front, "waist"))
}
