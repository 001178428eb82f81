package patternkit

import "math"

// The rules of the block by direct measure are common practice, no source; the
// numbers are this project's own, settled by drafting all women of ANSUR II
// and looking at what came out.
const (
	scyeEase            = 25 * MM        // the underarm lies below the body's by this much
	armholeEase         = 30 * MM        // the armhole is longer than the armscye girth at least by this much
	backNeckRise        = 1.0 / 3        // of the back neck width
	backNeckTurn        = 105 * Degree   // between back neckline and shoulder; the front has what is missing to 180°
	dartPlace           = 0.45           // of the shoulder length, from the neck: both shoulder darts
	bladeDart           = 0.1            // back shoulder dart, of the shoulder length
	bladeOut, bladeDown = 0.55, 0.47     // its point: of half the back width out, of the armscye depth down
	mostBladeDart       = 20 * MM        // it grows to this where the back is broader than the shoulders
	mostExtension       = 40 * MM        // and from there the shoulder is extended
	overWidth           = 9 * MM         // how far the shoulder point lies beyond the width line at least
	bustTurnPerMM       = 0.095 * Degree // bust dart, for each mm that the bust exceeds the underbust
	backShare           = 0.40           // of the armhole width that the back takes to the side seam
	backRun             = 1.0            // handle of the armhole at the underarm, of that part
	frontRun            = 0.75           // the same in front, where the armhole is hollowed more
	sideTaken           = 0.14           // of the waist suppression, at each side seam
	backTaken           = 0.39           // in the back darts; the front darts take the rest
	belowBust           = 25 * MM        // front waist dart: its point below the bust point
	leastDart           = 6 * MM         // less than this is left to the side seams
	mostTaken           = 120 * MM       // of suppression by one dart in the back and one in front; more is divided between two
)

// A directBlock is the block in the making. Back and front are each drawn with
// the centre line at x = 0 and the arm to the right; the back has the waist
// at y = 0, the front the bust point.
type directBlock struct {
	body Body
	o    BodiceOptions

	half, waist           Length // finished, half of the body
	backWidth, chestWidth Length // half, with ease
	armhole               Length // its width
	taken                 Length // waist suppression
	backBust, frontBust   Length // from the centre to the side seam
	sideIn                Length // taken at each side seam
	backWaist, frontWaist Length
	backNeck, frontNeck   Length // widths
	extension             Length // of the shoulder, beyond the body's
	shoulderLength        Length
	depth                 Length // of the armhole, below the back neck point
	bladeTurn, bustTurn   Angle
	bustPoint             Point
	back, front           halfBlock
}

// A halfBlock holds the points and curves of back or front.
type halfBlock struct {
	neckCentre, neckSide Point
	neckline             bend  // centre to side neck point
	dartNear, dartFar    Point // shoulder dart: the ends of its legs
	dartTip              Point
	shoulder             Point
	armhole              bend // shoulder point to underarm
	underarm             Point
	waist                waistLine
}

func draftDirect(b Body, o BodiceOptions) (*directBlock, error) {
	d := &directBlock{body: b, o: o}
	if err := d.checkBody(); err != nil {
		return nil, err
	}
	d.widths()
	if err := d.checkWidths(); err != nil {
		return nil, err
	}
	if err := d.necks(); err != nil {
		return nil, err
	}
	if err := d.shoulders(); err != nil {
		return nil, err
	}
	return d, d.settleArmhole()
}

// widths divides bust line and waist between back and front.
func (d *directBlock) widths() {
	b, o := d.body, d.o
	d.half, d.waist = (b.BustGirth+o.BustEase)/2, (b.WaistGirth+o.WaistEase)/2
	d.backWidth = b.BackWidth/2 + o.BustEase/16 + o.BackWidthEase
	d.chestWidth = b.ChestWidth/2 + o.BustEase/16 + o.ChestWidthEase
	d.armhole = d.half - d.backWidth - d.chestWidth
	d.backBust = d.backWidth + d.armhole*backShare
	d.frontBust = d.half - d.backBust
	d.taken = d.half - d.waist
	d.sideIn = d.taken * sideTaken
	d.backWaist = d.backBust - d.sideIn - d.taken*backTaken
	if d.taken*backTaken < leastDart {
		d.sideIn = d.taken / 2
		d.backWaist = d.backBust - d.sideIn
	}
	d.frontWaist = d.waist - d.backWaist
}

// necks draws both necklines: the back by proportion, the front so deep that
// the whole is as long as the neck base girth.
func (d *directBlock) necks() error {
	b := d.body
	girth := b.NeckBaseGirth + d.o.NeckEase
	d.frontNeck = d.frontNeckWidth()
	d.backNeck = d.frontNeck + 3*MM
	h := &d.back
	h.neckCentre = Pt(0, b.BackWaistLength)
	h.neckSide = h.neckCentre.Add(Pt(d.backNeck, d.backNeck*backNeckRise))
	var ok bool
	if h.neckline, ok = cornerBend(h.neckCentre, Pt(1, 0), h.neckSide, Polar(1, 180*Degree-d.body.ShoulderSlope-backNeckTurn), 0.6); !ok {
		return d.slopeError()
	}
	d.bustPoint = Pt(b.BustPointDistance/2, 0)
	h = &d.front
	aside := float64(d.frontNeck - d.bustPoint.X)
	h.neckSide = Pt(d.frontNeck, Length(math.Sqrt(float64(b.NeckToBustPoint*b.NeckToBustPoint)-aside*aside)))
	rest := girth/2 - d.back.neckline.length()
	_, ok = rootBetween(func(depth float64) float64 {
		d.frontNeckline(Length(depth))
		return float64(h.neckline.length() - rest)
	}, float64(d.frontNeck/3), float64(d.frontNeck*2), 1e-6)
	if !ok {
		return d.slopeError()
	}
	return nil
}

func (d *directBlock) frontNeckWidth() Length { return (d.body.NeckBaseGirth + d.o.NeckEase) * 3 / 16 }

func (d *directBlock) frontNeckline(depth Length) {
	h := &d.front
	h.neckCentre = Pt(0, h.neckSide.Y-depth)
	h.neckline, _ = cornerBend(h.neckCentre, Pt(1, 0), h.neckSide, Polar(1, backNeckTurn-d.body.ShoulderSlope), 0.58)
}

// shoulders draws both shoulders with their darts open. The shoulder point
// must lie beyond the width lines, or the armhole could not run down from it:
// where it does not, the back dart takes more, for the blades of a broad back,
// and then the shoulder is extended.
func (d *directBlock) shoulders() error {
	b, o := d.body, d.o
	along := Polar(1, -d.body.ShoulderSlope)
	d.shoulderLength = b.ShoulderLength + o.ShoulderEase
	d.extension = max(0, (d.chestWidth+overWidth-d.frontNeck)/along.X-d.shoulderLength)
	h := &d.back
	h.dartTip = Pt(d.backWidth*bladeOut, h.neckCentre.Y-b.ArmscyeDepth*bladeDown)
	h.dartNear = h.neckSide.Add(along.Scale(float64(d.shoulderLength * dartPlace)))
	leg := h.dartNear.Dist(h.dartTip)
	turn := func(intake Length) Angle { return Angle(2 * math.Asin(float64(intake/2/leg))) }
	tip := h.neckSide.Add(along.Scale(float64(d.shoulderLength + d.extension)))
	want := d.backWidth + overWidth
	d.bladeTurn = max(turn(d.shoulderLength*bladeDart), min(turn(mostBladeDart), turnToReach(tip.Sub(h.dartTip), want-h.dartTip.X)))
	if short := want - turned(tip, h.dartTip, -d.bladeTurn).X; short > 0 {
		more := short / along.Rotated(-d.bladeTurn).X
		d.extension += more
		tip = tip.Add(along.Scale(float64(more)))
	}
	if d.extension > mostExtension {
		return d.extensionError()
	}
	d.shoulderLength += d.extension
	h.dartFar = turned(h.dartNear, h.dartTip, -d.bladeTurn)
	h.shoulder = turned(tip, h.dartTip, -d.bladeTurn)

	f := &d.front
	d.bustTurn = Angle(b.BustGirth-b.UnderbustGirth) * bustTurnPerMM
	f.dartTip = d.bustPoint
	f.dartNear = f.neckSide.Add(along.Scale(float64((d.shoulderLength - d.extension) * dartPlace)))
	f.dartFar = turned(f.dartNear, f.dartTip, -d.bustTurn)
	f.shoulder = turned(f.neckSide.Add(along.Scale(float64(d.shoulderLength))), f.dartTip, -d.bustTurn)
	return nil
}

// turnToReach is the turn to the right that brings v to the given x, and a
// right angle where none does.
func turnToReach(v Point, x Length) Angle {
	cos := float64(x / v.Norm())
	if cos >= 1 {
		return 90 * Degree
	}
	return v.Direction() - Angle(math.Acos(cos))
}

// settleArmhole finds the depth of the armhole: as deep as the armscye of the
// body with ease, and deeper where it would be shorter than the armscye girth
// with ease.
func (d *directBlock) settleArmhole() error {
	if err := d.settleDepth(); err != nil || d.o.ArmholeDrop == 0 {
		return err
	}
	depth, wanted := d.depth, d.o.ArmholeDrop
	if d.dropped(depth, wanted) {
		return nil
	}
	most := wanted
	for most > 0 && !d.dropped(depth, most) {
		most -= 2.5 * MM
	}
	return d.dropError(depth, max(most, 0))
}

// dropped draws the block with its underarm lowered, where that can be.
func (d *directBlock) dropped(depth, drop Length) bool {
	d.depth = depth + drop
	return d.depth <= d.body.BackWaistLength-leastSide && d.lower() == nil
}

func (d *directBlock) settleDepth() error {
	b := d.body
	least := b.ArmscyeDepth + scyeEase + d.o.BustEase/16
	short := func(depth Length) (Length, error) {
		d.depth = depth
		err := d.lower()
		return b.ArmscyeGirth + armholeEase - d.back.armhole.length() - d.front.armhole.length(), err
	}
	lacking, err := short(least)
	if err != nil || lacking <= 0 {
		return err
	}
	enough := least
	for lacking > 0 {
		if enough += 10 * MM; enough > b.BackWaistLength-leastSide {
			return d.depthError(lacking)
		}
		if lacking, err = short(enough); err != nil {
			return err
		}
	}
	_, _ = rootBetween(func(depth float64) float64 {
		lacking, err = short(Length(depth))
		return float64(lacking)
	}, float64(enough-10*MM), float64(enough), 1e-6)
	return err
}

// lower draws what lies below the shoulders, for one depth of the armhole.
func (d *directBlock) lower() error {
	if err := d.lowerBack(); err != nil {
		return err
	}
	return d.lowerFront()
}

func (d *directBlock) lowerBack() error {
	h := &d.back
	tip := Pt(d.backWidth*0.5, h.neckCentre.Y-d.body.ArmscyeDepth-scyeEase)
	plan := waistPlan{width: d.backWaist}
	h.underarm = Pt(d.backBust, h.neckCentre.Y-d.depth)
	for range 40 {
		h.underarm.X = d.backBust + plan.dartsAt(h.underarm.Y)
		plan.tips = d.waistTips(h.underarm.X-d.sideIn-d.backWaist, tip, h.underarm.X)
		s := plan.side()
		lean := Angle(math.Atan2(float64(h.underarm.X-s.X), float64(h.underarm.Y-s.Y)))
		done := math.Abs(float64(lean-plan.lean)) < 1e-12
		if plan.lean = lean; done {
			break
		}
	}
	if err := d.checkSide(plan.lean, h.underarm.Y-plan.start.Y); err != nil {
		return err
	}
	h.waist = plan.draw()
	down := h.shoulder.Sub(h.dartFar).Unit().Perp().Neg()
	level := h.waist.side.Sub(h.underarm).Unit().Perp()
	s := scoop{h.shoulder, down, h.underarm, level, d.backWidth, backRun}
	curve, inside := s.find()
	h.armhole = curve
	return d.checkScoop("BackWidth", d.body.BackWidth, s, curve, inside)
}

// lowerFront hangs the front so that both side seams are equally long and the
// front is as long over the bust point as the body.
func (d *directBlock) lowerFront() error {
	h := &d.front
	b := d.body
	seam := d.back.underarm.Dist(d.back.waist.side)
	toWaist := b.FrontWaistLength - b.NeckToBustPoint
	plan := waistPlan{start: Pt(0, -toWaist), width: d.frontWaist}
	h.underarm = Pt(d.frontBust, seam-toWaist)
	for range 40 {
		h.underarm.X = d.frontBust + d.bustDartAt(h.underarm.Y) + plan.dartsAt(h.underarm.Y)
		intake := h.underarm.X - d.sideIn - d.frontWaist
		plan.tips = d.waistTips(intake, d.bustPoint.Sub(Pt(0, belowBust)), h.underarm.X)
		plan.start.Y -= toWaist + plan.below(d.bustPoint)
		s := plan.side()
		in := float64(h.underarm.X - s.X)
		up := math.Sqrt(float64(seam*seam) - in*in)
		before := h.underarm.Y
		h.underarm.Y = s.Y + Length(up)
		plan.lean = Angle(math.Atan2(in, up))
		if (h.underarm.Y - before).Abs() < 1e-10 {
			break
		}
	}
	if err := d.checkSide(plan.lean, h.underarm.Y-plan.start.Y); err != nil {
		return err
	}
	h.waist = plan.draw()
	if err := d.checkSettled(); err != nil {
		return err
	}
	return d.frontArmhole()
}

// frontArmhole draws the armhole with the bust dart closed, as it will lie on
// the body, and opens the dart again.
func (d *directBlock) frontArmhole() error {
	h := &d.front
	shut := turningBy(d.bustPoint, d.bustTurn)
	shoulder, underarm := shut.apply(h.shoulder), shut.apply(h.underarm)
	down := shoulder.Sub(h.dartNear).Unit().Perp().Neg()
	level := h.waist.side.Sub(h.underarm).Unit().Perp().Rotated(d.bustTurn)
	s := scoop{shoulder, down, underarm, level, d.chestWidth, frontRun}
	curve, inside := s.find()
	h.armhole = curve.mapped(turningBy(d.bustPoint, -d.bustTurn).apply)
	return d.checkScoop("ChestWidth", d.body.ChestWidth, s, curve, inside)
}

// bustDartAt is how wide the open bust dart is at a height above the bust
// point.
func (d *directBlock) bustDartAt(y Length) Length {
	if y <= 0 {
		return 0
	}
	h := &d.front
	at := func(leg Point) Length { return (leg.X - d.bustPoint.X) * y / leg.Y }
	return at(h.dartFar) - at(h.dartNear)
}

// waistTips places the darts that take an intake: none, one, or two where one
// would stand off in a bag at its tip. How many is settled by what the whole
// waist takes, so that back and front have as many.
func (d *directBlock) waistTips(intake Length, main Point, side Length) []waistTip {
	switch {
	case d.taken*backTaken < leastDart:
		return nil
	case d.taken <= mostTaken:
		return []waistTip{{main, intake}}
	}
	return []waistTip{{main, intake * 0.6}, {Pt(main.X+(side-main.X)*0.5, main.Y-15*MM), intake * 0.4}}
}
