package patternkit

import "fmt"

// SleeveOptions shape a set-in sleeve. Zero means zero, not "default": start
// from DefaultSleeve and change what you need. Of CapHeight and BicepsWidth
// give one and leave the other zero: it follows.
type SleeveOptions struct {
	CapHeight   Length // crown down to the biceps line
	BicepsWidth Length // width of the sleeve at the underarm
	CapEase     Length // cap seam less armhole, eased in between the notches
	Length      Length // crown down to the hem
	WristWidth  Length // width of the hem

	// MinimumBicepsEase is what the sleeve must at least be wider than the arm.
	MinimumBicepsEase Length
}

// DefaultSleeve returns a start for a long, close sleeve of woven cloth
// (common practice, no source).
func DefaultSleeve() SleeveOptions {
	return SleeveOptions{CapHeight: 13 * CM, CapEase: 2 * CM, Length: 58 * CM, WristWidth: 24 * CM, MinimumBicepsEase: 2 * CM}
}

// A Sleeve is a set-in sleeve in one piece on the stitch line, as a Part of a
// pattern its piece "sleeve" and its seams "underarm" and "armhole", which is
// sewn to the pieces "back" and "front" of the bodice.
type Sleeve struct {
	piece Piece
	form  sleeveForm
}

// DraftSleeve drafts a sleeve for an armhole. Each half of its cap is solved
// to the half of the armhole with its share of the ease, so that the notch at
// the crown sits over the shoulder seam. The error is a *LimitError where an
// option cannot be drafted with the others, and says what could.
func DraftSleeve(a Armhole, o SleeveOptions) (Sleeve, error) {
	f := sleeveForm{armhole: a, o: o}
	if err := f.checkOptions(); err != nil {
		return Sleeve{}, err
	}
	if err := f.solveCap(); err != nil {
		return Sleeve{}, err
	}
	if err := f.checkBelow(); err != nil {
		return Sleeve{}, err
	}
	f.below()
	piece, err := f.piece()
	if err != nil {
		return Sleeve{}, fmt.Errorf("%s: %w", f.what(), err)
	}
	return Sleeve{piece, f}, nil
}

// BicepsWidth returns how wide a sleeve for an armhole is at the biceps line
// when its cap has that height and ease. A higher cap makes a narrower sleeve.
// It does not ask whether the arm fits in.
func BicepsWidth(a Armhole, capHeight, capEase Length) (Length, error) {
	a.arm.UpperArmGirth = 0
	f := sleeveForm{armhole: a, o: SleeveOptions{CapHeight: capHeight, CapEase: capEase}}
	if err := f.checkEase(); err != nil {
		return 0, err
	}
	if err := f.solveCap(); err != nil {
		return 0, err
	}
	return f.cap.biceps(), nil
}

// Piece returns the piece "sleeve".
func (s Sleeve) Piece() Piece { return s.piece }

// Pieces returns the one piece.
func (s Sleeve) Pieces() []Piece { return []Piece{s.piece} }

// Seams returns the underarm seam, sewn from the armhole, and the armhole seam
// from the front underarm over the shoulder to the back.
func (s Sleeve) Seams() []Seam {
	return []Seam{
		{Name: "underarm", A: []Along{{Piece: "sleeve", Edge: "back underarm"}}, B: []Along{{Piece: "sleeve", Edge: "front underarm", Reversed: true}}},
		{Name: "armhole", A: []Along{{Piece: "sleeve", Edge: "cap"}},
			B:    []Along{{Piece: "front", Edge: "armhole", Reversed: true}, {Piece: "back", Edge: "armhole", Reversed: true}},
			Ease: s.form.o.CapEase, Shares: s.form.shares()},
	}
}

// CapHeight returns the height of the cap.
func (s Sleeve) CapHeight() Length { return s.form.cap.height }

// BicepsWidth returns the width of the sleeve at the biceps line.
func (s Sleeve) BicepsWidth() Length { return s.form.cap.biceps() }

// CapLength returns the length of the cap seam.
func (s Sleeve) CapLength() Length {
	c := s.form.cap
	return c.backSide.length + c.frontSide.length
}

// Draft returns the sheet on which the sleeve was drafted, step by step.
func (s Sleeve) Draft() Draft {
	if s.form.armhole.back.length == 0 {
		return Draft{}
	}
	return s.form.record()
}
