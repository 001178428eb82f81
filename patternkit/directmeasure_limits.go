package patternkit

import "fmt"

// What the block can stand (common practice, no source).
const (
	leastArmhole = 0.18        // its width, of the armscye girth
	mostTake     = 0.38        // waist suppression, of the bust line
	mostFlare    = 0.1         // the same outward, where the waist is the wider
	leastSide    = 7.5 * CM    // from the underarm to the waist
	mostBustTurn = 40 * Degree // bust dart
	slackWidth   = 30 * MM     // how far the armhole may stay clear of a width line under a long shoulder
	directWhat   = "bodice by direct measure"
)

func (d *directBlock) checkBody() error {
	b := d.body
	if err := b.Check(); err != nil {
		return err
	}
	if err := checkNeeded(directWhat, needed{"BustGirth", float64(b.BustGirth)}, needed{"UnderbustGirth", float64(b.UnderbustGirth)},
		needed{"WaistGirth", float64(b.WaistGirth)}, needed{"NeckBaseGirth", float64(b.NeckBaseGirth)},
		needed{"ShoulderLength", float64(b.ShoulderLength)}, needed{"BackWidth", float64(b.BackWidth)},
		needed{"ChestWidth", float64(b.ChestWidth)}, needed{"BackWaistLength", float64(b.BackWaistLength)},
		needed{"FrontWaistLength", float64(b.FrontWaistLength)}, needed{"NeckToBustPoint", float64(b.NeckToBustPoint)},
		needed{"BustPointDistance", float64(b.BustPointDistance)}, needed{"ArmscyeDepth", float64(b.ArmscyeDepth)},
		needed{"ArmscyeGirth", float64(b.ArmscyeGirth)}, needed{"ShoulderSlope", float64(b.ShoulderSlope)}); err != nil {
		return err
	}
	return d.checkOptions()
}

func (d *directBlock) checkOptions() error {
	o := d.o
	for _, r := range []struct {
		field         string
		got, min, max Length
	}{
		{"NeckEase", o.NeckEase, -2 * CM, 8 * CM},
		{"ShoulderEase", o.ShoulderEase, -4 * CM, 5 * CM},
		{"BackWidthEase", o.BackWidthEase, -1 * CM, 4 * CM},
		{"ChestWidthEase", o.ChestWidthEase, -1 * CM, 4 * CM},
		{"ArmholeDrop", o.ArmholeDrop, -1 * CM, 8 * CM},
	} {
		if err := checkLimits(directWhat, r.field, r.got, r.min, r.max, ""); err != nil {
			return err
		}
	}
	return nil
}

// checkWidths looks whether the girths leave room for an armhole, and bust and
// waist for each other.
func (d *directBlock) checkWidths() error {
	b, o := d.body, d.o
	lacking := b.ArmscyeGirth*leastArmhole - d.armhole
	because := fmt.Sprintf("back and chest width take %v of half a bust of %v, and the armhole needs %v",
		d.backWidth+d.chestWidth, d.half, b.ArmscyeGirth*leastArmhole)
	const share = 1.0/2 - 1.0/16 - 1.0/16 // of the bust ease that goes to the armhole
	if err := checkLimits(directWhat, "BustEase", o.BustEase, o.BustEase+lacking/share, 30*CM, because); err != nil {
		return err
	}
	because = fmt.Sprintf("the waist is sewn from a bust of %v", d.half*2)
	least, most := d.half*(1-mostTake)*2-b.WaistGirth, d.half*(1+mostFlare)*2-b.WaistGirth
	if err := checkLimits(directWhat, "WaistEase", o.WaistEase, least, most, because); err != nil {
		return err
	}
	turn := Angle(b.BustGirth-b.UnderbustGirth) * bustTurnPerMM
	if turn < 0 || turn > mostBustTurn {
		return checkLimits(directWhat, "UnderbustGirth", b.UnderbustGirth, b.BustGirth-Length(mostBustTurn/bustTurnPerMM), b.BustGirth,
			fmt.Sprintf("the bust is %v", b.BustGirth))
	}
	return checkLimits(directWhat, "NeckToBustPoint", b.NeckToBustPoint, d.frontNeckWidth()+5*CM, b.FrontWaistLength-5*CM,
		fmt.Sprintf("the front is %v long", b.FrontWaistLength))
}

func (d *directBlock) slopeError() error {
	return fmt.Errorf("%s: ShoulderSlope is %v, want 5° to 40°: the neckline cannot run on over the shoulder", directWhat, d.body.ShoulderSlope)
}

func (d *directBlock) extensionError() error {
	b := d.body
	return &LimitError{What: directWhat, Field: "ShoulderLength", Got: b.ShoulderLength, Min: b.ShoulderLength + d.extension - mostExtension, Max: noMost,
		Because: fmt.Sprintf("back and chest are %v and %v wide, and the armhole must run down from the shoulder point", b.BackWidth, b.ChestWidth)}
}

func (d *directBlock) depthError(lacking Length) error {
	b := d.body
	return &LimitError{What: directWhat, Field: "ArmscyeGirth", Got: b.ArmscyeGirth, Min: noLeast, Max: b.ArmscyeGirth - lacking,
		Because: fmt.Sprintf("a longer armhole does not fit above a waist that is %v below the nape", b.BackWaistLength)}
}

// checkScoop looks at an armhole half as it came out. The width line must be
// reached, or nearly.
func (d *directBlock) checkScoop(field string, width Length, s scoop, b bend, inside bool) error {
	if !inside {
		body := d.body
		return fmt.Errorf("%s: no armhole can be drawn to a %s of %v; measure again ArmscyeDepth (%v), FrontWaistLength (%v) beside BackWaistLength (%v), and UnderbustGirth (%v) beside BustGirth (%v)",
			directWhat, field, width, body.ArmscyeDepth, body.FrontWaistLength, body.BackWaistLength, body.UnderbustGirth, body.BustGirth)
	}
	x, _ := b.leftmost()
	return checkLimits(directWhat, field, width, width+2*(x-s.wall-slackWidth), noMost,
		fmt.Sprintf("the shoulder point is %v out from the centre line, too far to run in from", s.shoulder.X))
}

// mostLean is how far a side seam may lean and still hang straight.
const mostLean = 20 * Degree

// checkSide looks whether a side seam hangs as one can be sewn; height is that
// of the underarm above the waist.
func (d *directBlock) checkSide(lean Angle, height Length) error {
	if lean >= -mostLean && lean <= mostLean {
		return nil
	}
	most := height * Length((mostLean - 2*Degree).Tan())
	e := &LimitError{What: directWhat, Field: "WaistEase", Got: d.o.WaistEase, Min: noLeast, Max: (d.half+2*most)*2 - d.body.WaistGirth}
	if lean > 0 {
		e.Min, e.Max = (d.half-most/sideTaken)*2-d.body.WaistGirth, noMost
	}
	e.Because = fmt.Sprintf("the side seam, %v from the underarm to the waist, would lean by more than %v", height, mostLean)
	return e
}

func (d *directBlock) dropError(depth, most Length) error {
	return &LimitError{What: directWhat, Field: "ArmholeDrop", Got: d.o.ArmholeDrop, Min: -1 * CM, Max: most,
		Because: fmt.Sprintf("the armhole is %v deep already, above a waist %v below the nape", depth, d.body.BackWaistLength)}
}

// checkSettled looks whether front and back came to the same side seam. They
// do not where so little is left of it that the waist darts reach above it.
func (d *directBlock) checkSettled() error {
	back, front := d.back.underarm.Dist(d.back.waist.side), d.front.underarm.Dist(d.front.waist.side)
	if (back-front).Abs() < 0.01*MM && back > leastSide/2 {
		return nil
	}
	return &LimitError{What: directWhat, Field: "BackWaistLength", Got: d.body.BackWaistLength, Min: d.body.BackWaistLength + 2*leastSide, Max: noMost,
		Because: fmt.Sprintf("too little side seam is left below an armhole %v deep", d.depth)}
}

// pieceError is for measurements that are each in range and make no piece
// together.
func (d *directBlock) pieceError(err error) error {
	b := d.body
	return fmt.Errorf("%s: %w; measure again what is odd: BackWaistLength %v, FrontWaistLength %v, NeckToBustPoint %v, BustPointDistance %v, WaistGirth %v",
		directWhat, err, b.BackWaistLength, b.FrontWaistLength, b.NeckToBustPoint, b.BustPointDistance, b.WaistGirth)
}
