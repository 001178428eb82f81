package patternkit

import "fmt"

// A FlatTop is what a tape reads on a plain top that lies flat: no darts, a
// back, a front and set-in sleeves. It is buttoned, smoothed and lies on its
// back for the front measures, on its front for the back ones. Measures that
// are named Half go straight across the garment as it lies, from edge to edge:
// half of what goes around. PointsOfMeasure says how each is taken, and
// Picture where. Zero means not measured; the comment says where that is
// allowed, and what is then drawn.
type FlatTop struct {
	BackLength      Length // side neck point straight down to the hem, in the back
	FrontLength     Length // the same in front; 0 is as long as the back
	NeckWidth       Length // side neck point to side neck point
	BackNeckDrop    Length // level of the side neck points down to the neckline, centre back
	FrontNeckDrop   Length // the same at centre front
	AcrossShoulders Length // shoulder point to shoulder point
	ShoulderDrop    Length // level of the side neck points down to that of the shoulder points
	AcrossBack      Length // armhole seam to armhole seam, at the narrowest of the back
	AcrossFront     Length // the same in front

	HalfBust  Length // underarm point to underarm point
	HalfWaist Length // across, WaistDown below the side neck point; 0 with WaistDown: no waist line
	WaistDown Length // side neck point down to the level of HalfWaist, in the back
	HalfHip   Length // across, HipDown below the side neck point; 0 with HipDown: no hip line
	HipDown   Length // side neck point down to the level of HalfHip, in the back
	HalfHem   Length // hem corner to hem corner, along the edge

	// The front alone, from side seam to side seam. 0 where the side seams lie
	// at the sides, so that front and back are as wide.
	FrontBust, FrontWaist, FrontHip, FrontHem Length

	ArmholeStraight Length // shoulder point to underarm point, straight, in the back
	BackArmhole     Length // shoulder point to underarm point along the back armhole seam; 0 draws an even curve
	FrontArmhole    Length // the same along the front seam

	SleeveLength  Length // shoulder point along the fold to the hem of the sleeve
	HalfBiceps    Length // underarm point square to the fold of the sleeve
	HalfSleeveHem Length // across the hem of the sleeve
	CapEase       Length // what the sleeve head is longer than its armhole; 0 is set in flat

	// Measured to be sure: each follows from the others, and is held against
	// them. 0 is not measured.
	ShoulderLength, SideSeam, SleeveUnderarm Length
}

// Pattern drafts the pieces "back" and "front", halves on the fold, and
// "sleeve", with the names of edges, points, lines and seams that a block of
// DraftBodice and DraftSleeve has, and solves them so that each measure comes
// back: armholes that were measured along the seam are as long, the sleeve
// head fits its armhole with CapEase, the side seams are equal part by part,
// and each hem meets them square. The error names a measure that cannot be
// (*RangeError), the two that contradict each other, or what was not measured.
func (t FlatTop) Pattern(name string) (Pattern, error) {
	if err := t.Check(); err != nil {
		return Pattern{}, err
	}
	d := flatDraft{top: t}
	if err := d.halves(); err != nil {
		return Pattern{}, err
	}
	if err := d.setIn(); err != nil {
		return Pattern{}, err
	}
	if err := d.checkDrawn(); err != nil {
		return Pattern{}, err
	}
	body, err := d.bodyPieces()
	if err != nil {
		return Pattern{}, fmt.Errorf("%s: %w", flatWhat, err)
	}
	return NewPattern(name, body, d.sleeve)
}

// A flatBody is back and front as one part, drawn level.
type flatBody struct{ back, front Piece }

func (b flatBody) Pieces() []Piece { return []Piece{b.back, b.front} }
func (b flatBody) Seams() []Seam   { return Bodice{}.Seams() }

const flatWhat = "top measured lying flat"
