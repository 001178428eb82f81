package patternkit

// An Armhole is what a sleeve is sewn into: the seam line from the underarm up
// to the shoulder point in the back and in front, darts closed, and the marks
// on it.
type Armhole struct {
	back, front           Path   // underarm to shoulder point, arm to the right
	backNotch, frontNotch Length // from the underarm along the seam
	upperArm              Length // girth of the arm, zero where not measured
	wrist, hand, arm      Length
}

// Length returns the length of the armhole seam, back and front.
func (a Armhole) Length() Length { return a.back.Length() + a.front.Length() }
