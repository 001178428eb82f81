package patternkit

// An Armhole is what a sleeve is sewn into: the seam line from the underarm up
// to the shoulder point in the back and in front, darts closed, and the marks
// on it.
type Armhole struct {
	back, front           Path // underarm to shoulder point, arm to the right
	backLength            Length
	frontLength           Length
	backNotch, frontNotch Length // from the underarm along the seam
	upperArm              Length // girth of the arm, zero where not measured
	wrist, hand, arm      Length
}
