package patternkit

import "fmt"

// An Armhole is what a sleeve is sewn into: the seam line from the underarm up
// to the shoulder point in the back and in front, darts closed, and the marks
// on it.
type Armhole struct {
	back, front armholeHalf
	arm         Body // the body, for its arm
}

// An armholeHalf is the seam line of back or front from the underarm to the
// shoulder point, with the arm on the right.
type armholeHalf struct {
	curve  []bend
	length Length
	notch  Length // from the underarm along the seam
}

// Where the armhole notches lie, as parts of its length from the underarm
// (common practice, no source).
const (
	backNotchPlace  = 0.42
	frontNotchPlace = 0.4
)

// newArmhole makes an armhole of the curves from the underarm to the shoulder.
func newArmhole(back, front []bend, arm Body) Armhole {
	b, f := bendsLength(back), bendsLength(front)
	return Armhole{armholeHalf{back, b, b * backNotchPlace}, armholeHalf{front, f, f * frontNotchPlace}, arm}
}

func bendsLength(all []bend) Length {
	var sum Length
	for _, b := range all {
		sum += b.length()
	}
	return sum
}

// Length returns the length of the armhole seam, back and front.
func (a Armhole) Length() Length { return a.back.length + a.front.length }

// BackLength returns the length of the armhole seam in the back.
func (a Armhole) BackLength() Length { return a.back.length }

// FrontLength returns the length of the armhole seam in front.
func (a Armhole) FrontLength() Length { return a.front.length }

// Back returns the seam line of the back from the underarm to the shoulder
// point, with the arm on the right.
func (a Armhole) Back() Path { return bendsPath(a.back.curve) }

// Front returns the seam line of the front from the underarm to the shoulder
// point, with the arm on the right and the bust dart closed.
func (a Armhole) Front() Path { return bendsPath(a.front.curve) }

// String reads like "armhole of 40.2 cm: back 20.48 cm, front 19.72 cm".
func (a Armhole) String() string {
	return fmt.Sprintf("armhole of %v: back %v, front %v", a.Length(), a.back.length, a.front.length)
}

func bendsPath(all []bend) Path {
	var p Path
	for _, b := range all {
		p, _ = p.Append(b.path()) // they are built end to end
	}
	return p
}
