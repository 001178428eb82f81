package patternkit

import (
	"fmt"
	"math"
)

// The proportional block follows the steps of the 2009 women's bodice
// prototype of the Bunka school, formulas from memory of the source (Bunka
// Fashion College, Garment Design Textbook 1): three measurements, the rest in
// proportion to the bust. Its ease is part of the formulas.
const (
	proportionalBustEase  = 12 * CM
	proportionalWaistEase = 6 * CM
	proportionalWhat      = "bodice by the proportional method"
)

// Parts of the waist suppression that each dart takes, from the centre front
// to the centre back.
const (
	partA, partB, partC, partD, partE, partF = 0.14, 0.15, 0.11, 0.35, 0.18, 0.07
)

// A proportionalBlock is the block in the making: x from the centre back, the
// waist at y = 0.
type proportionalBlock struct {
	bust, waistGirth, length Length

	width                  Length // half, centre back to centre front
	bustLine, gLine        Length // y
	backWidth, chestLine   Length // x
	side                   Length // x of the side seam on the bust line
	e, f, g, gUp           Point  // shoulder-dart guide; on the bust line beside the chest line; ends of the bust dart
	bustPoint              Point
	bustTurn               Angle
	neckFront, neckBack    Length // widths
	frontTop               Length // y
	frontShoulder          Length
	shoulderDart, taken    Length
	back, front            halfBlock
	backUpper, backLower   bend // armhole: shoulder point to the level of G, and on to the underarm
	frontUpper, frontLower bend // the same in front, bust dart open
	frontClosed            bend // the upper part with the dart closed
	body                   Body // for the arm of the sleeve
	guideBack, guideFront  Length
}

func draftProportional(b Body, o BodiceOptions) (*proportionalBlock, error) {
	if err := checkProportional(b, o); err != nil {
		return nil, err
	}
	d := &proportionalBlock{bust: b.BustGirth, waistGirth: b.WaistGirth, length: b.BackWaistLength, body: b}
	d.frame()
	if err := d.checkTaken(); err != nil {
		return nil, err
	}
	d.shoulders()
	if err := d.curves(); err != nil {
		return nil, err
	}
	d.waist()
	return d, nil
}

// frame is steps 1 to 7: the lines on which the rest is drawn.
func (d *proportionalBlock) frame() {
	b, back := d.bust, &d.back
	d.width = b/2 + 60*MM
	d.bustLine = d.length - (b/12 + 137*MM)
	d.backWidth = b/8 + 74*MM
	level := d.length - 80*MM
	d.e = Pt(d.backWidth/2+10*MM, level)
	d.gLine = (level+d.bustLine)/2 - 5*MM
	d.frontTop = d.bustLine + b/5 + 83*MM
	chest := b/8 + 62*MM
	d.chestLine = d.width - chest
	d.bustPoint = Pt(d.width-chest/2-7*MM, d.bustLine)
	d.f = Pt(d.chestLine-b/32, d.bustLine)
	d.g = Pt(d.f.X, d.gLine)
	d.side = (d.backWidth + d.f.X) / 2
	d.bustTurn = Angle(b.CM()/4-2.5) * Degree
	d.gUp = turned(d.g, d.bustPoint, -d.bustTurn)
	d.taken = d.width - (d.waistGirth/2 + 30*MM)
	back.neckCentre = Pt(0, d.length)
}

// shoulders is steps 8 to 12 but for the curves.
func (d *proportionalBlock) shoulders() {
	b, back, front := d.bust, &d.back, &d.front
	d.neckFront = b/24 + 34*MM
	d.neckBack = d.neckFront + 2*MM
	front.neckSide = Pt(d.width-d.neckFront, d.frontTop)
	front.neckCentre = Pt(d.width, d.frontTop-d.neckFront-5*MM)
	down := Polar(1, 180*Degree+22*Degree)
	d.frontShoulder = (front.neckSide.X-d.chestLine)/-down.X + 18*MM
	front.shoulder = front.neckSide.Add(down.Scale(float64(d.frontShoulder)))

	back.neckSide = Pt(d.neckBack, d.length+d.neckBack/3)
	down = Polar(1, -18*Degree)
	d.shoulderDart = b/32 - 8*MM
	back.shoulder = back.neckSide.Add(down.Scale(float64(d.frontShoulder + d.shoulderDart)))
	back.dartTip = d.e
	near := (d.e.X-back.neckSide.X)/down.X + 15*MM
	back.dartNear = back.neckSide.Add(down.Scale(float64(near)))
	// The outer leg is made as long as the inner, and what is sewn of the
	// shoulder as long as the front's.
	back.dartFar = circlesMeet(d.e, d.e.Dist(back.dartNear), back.shoulder, d.frontShoulder-near)
}

// circlesMeet is the upper of the two points at those distances from a and b,
// a being left of b.
func circlesMeet(a Point, ra Length, b Point, rb Length) Point {
	gap := a.Dist(b)
	along := (ra*ra - rb*rb + gap*gap) / (2 * gap)
	up := Length(math.Sqrt(float64(ra*ra - along*along)))
	u := b.Sub(a).Unit()
	return a.Add(u.Scale(float64(along))).Add(u.Perp().Scale(float64(up)))
}

// curves is the curves of steps 8, 11 and 13. Where the source leaves a curve
// to the eye, it is drawn square to the shoulder and running on over it.
func (d *proportionalBlock) curves() error {
	back, front := &d.back, &d.front
	var ok1, ok2 bool
	back.neckline, ok1 = cornerBend(back.neckCentre, Pt(1, 0), back.neckSide, Polar(1, 180*Degree-18*Degree-backNeckTurn), 0.6)
	// The guide of the front neckline: 0.5 cm beyond two thirds of the diagonal.
	corner := Pt(d.width, d.frontTop)
	diagonal := Pt(-d.neckFront, -d.neckFront-5*MM)
	guide := corner.Add(diagonal.Scale(2.0 / 3)).Add(diagonal.Unit().Scale(5))
	front.neckline, ok2 = throughGuide(front.neckCentre, Pt(-1, 0), front.neckSide, Polar(1, 22*Degree+180*Degree-backNeckTurn), corner, guide)
	if !ok1 || !ok2 {
		return d.curveError("necklines")
	}
	return d.armholeCurves()
}

// throughGuide is the corner curve that crosses the line from a corner through
// a guide point at that point.
func throughGuide(a, da, b, db, corner, guide Point) (bend, bool) {
	axis := guide.Sub(corner)
	full, ok := rootBetween(func(full float64) float64 {
		c, _ := cornerBend(a, da, b, db, full)
		return c.alongFrom(corner, axis.Unit()) - float64(axis.Norm())
	}, 0.2, 0.95, 1e-9)
	c, drawn := cornerBend(a, da, b, db, full)
	return c, ok && drawn
}

// alongFrom is how far from a corner the curve crosses the line in direction
// axis.
func (b bend) alongFrom(corner, axis Point) float64 {
	t, _ := rootBetween(func(t float64) float64 { return axis.Cross(b.at(t).Sub(corner)) }, 0, 1, 1e-10)
	return b.at(t).Sub(corner).Dot(axis)
}

// backTouch is where the back armhole touches the back width line, as part of
// the way from the bust line up to the blade line. The source leaves it to the
// eye.
const backTouch = 0.56

// armholeCurves is step 13. Each half runs from the shoulder down to the line
// it touches, the back width line or that of F, with the curvature of what
// follows, and on over its guide to the underarm. The front is drawn with the
// bust dart closed, which is then opened.
func (d *proportionalBlock) armholeCurves() error {
	back, front := &d.back, &d.front
	underarm := Pt(d.side, d.bustLine)
	back.underarm, front.underarm = underarm, underarm
	sixth := (d.f.X - d.backWidth) / 6
	d.guideBack, d.guideFront = sixth+8*MM, sixth+5*MM
	lean := Angle(math.Atan2(float64(d.taken*partC/2), float64(d.bustLine)))
	corner := Pt(d.backWidth, d.bustLine)
	var ok [4]bool
	d.backLower, ok[0] = throughGuide(Pt(d.backWidth, d.bustLine+(d.e.Y-d.bustLine)*backTouch), Pt(0, -1), underarm, Polar(1, -lean), corner, corner.Add(Polar(d.guideBack, 45*Degree)))
	down := back.shoulder.Sub(back.dartFar).Unit().Perp().Neg()
	d.backUpper, ok[1] = cornerBend(back.shoulder, down, d.backLower[0], Pt(0, -1), 0.62)

	d.frontLower, ok[2] = throughGuide(d.g, Pt(0, -1), underarm, Polar(1, 180*Degree+lean), d.f, d.f.Add(Polar(d.guideFront, 135*Degree)))
	shut := turningBy(d.bustPoint, d.bustTurn).apply
	tip := shut(front.shoulder)
	down = tip.Sub(shut(front.neckSide)).Unit().Perp()
	d.frontClosed, ok[3] = ontoCurve(tip, down, d.frontLower)
	d.frontUpper = d.frontClosed.mapped(turningBy(d.bustPoint, -d.bustTurn).apply)
	if ok != [4]bool{true, true, true, true} {
		return d.curveError("armholes")
	}
	return nil
}

// ontoCurve is the corner curve from a, leaving in direction da, to the start
// of next, meeting it with the same direction and curvature.
func ontoCurve(a, da Point, next bend) (bend, bool) {
	db := next.velocity(0).Unit()
	bends := startCurvature(next)
	full, ok := rootBetween(func(full float64) float64 {
		c, _ := cornerBend(a, da, next[0], db, full)
		return startCurvature(c.reversed()) + bends // reversed, it bends the other way
	}, 0.1, 0.97, 1e-9)
	c, drawn := cornerBend(a, da, next[0], db, full)
	return c, ok && drawn
}

// startCurvature is how a curve bends where it starts, 1/mm, left positive.
func startCurvature(b bend) float64 {
	first := b[1].Sub(b[0])
	return 2.0 / 3 * first.Cross(b[2].Sub(b[1])) / math.Pow(float64(first.Norm()), 3)
}

// waist is step 14: six darts on a straight waist, f at the centre back and c
// at the side seam.
func (d *proportionalBlock) waist() {
	upright := func(x, tip, part Length) waistDart {
		half := d.taken * part / 2
		return waistDart{tip: Pt(x, tip), near: Pt(x-half, 0), far: Pt(x+half, 0)}
	}
	half := d.taken * partC / 2
	backDarts := []waistDart{upright(d.e.X-5*MM, d.bustLine+20*MM, partE), upright(d.backWidth-10*MM, d.gLine, partD)}
	d.back.waist = straightWaist(Pt(d.taken*partF, 0), backDarts, Pt(d.side-half, 0))
	a, b := upright(d.bustPoint.X, d.bustLine-25*MM, partA), upright(d.f.X+15*MM, d.bustLine, partB)
	a.near, a.far, b.near, b.far = a.far, a.near, b.far, b.near
	d.front.waist = straightWaist(Pt(d.width, 0), []waistDart{a, b}, Pt(d.side+half, 0))
}

// straightWaist is a waist ruled from the centre to the side.
func straightWaist(start Point, darts []waistDart, side Point) waistLine {
	w := waistLine{side: side, darts: darts}
	for _, t := range darts {
		w.parts = append(w.parts, straight(start, t.near))
		start = t.far
	}
	w.parts = append(w.parts, straight(start, side))
	return w
}

func (d *proportionalBlock) curveError(which string) error {
	return fmt.Errorf("%s: the %s cannot be drawn for a BustGirth of %v and a BackWaistLength of %v; draft by direct measure",
		proportionalWhat, which, d.bust, d.length)
}
