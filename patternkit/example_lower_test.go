package patternkit_test

import (
	"fmt"

	. "patternkit/patternkit"
)

// The evening class begins a wide-necked top: the bust dart goes to the side,
// the top edge down to half of the armhole. Does it go on? Not yet: fullness and
// a wider waist are to come.
func ExamplePattern_LowerTop() {
	body, top, err := eveningTop()
	if err != nil {
		fmt.Println(err)
		return
	}
	front, err := top.Piece("front")
	if err != nil {
		fmt.Println(err)
		return
	}
	front, err = front.PivotDart("bust dart", DartMove{To: OnEdge{Edge: "side seam", At: 5 * CM}})
	if err != nil {
		fmt.Println(err)
		return
	}
	if top, err = top.WithPiece(front); err != nil {
		fmt.Println(err)
		return
	}
	if top, err = top.LowerTop("armhole", 0.5, "top edge"); err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range top.Walk().Rows() {
		fmt.Printf("%s: %.2f and %.2f cm, %s\n", s.Seam, s.LengthA.CM(), s.LengthB.CM(), s.Verdict)
	}
	check, err := top.PullOn(body, Cloth{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, r := range check.Rows() {
		fmt.Printf("%s, %.1f cm around: %s\n", r.Ring, r.Girth.CM(), r.Verdict)
	}
	// Output:
	// side seam: 15.73 and 15.73 cm, meets
	// underarm: 45.78 and 45.78 cm, meets
	// front armhole: 12.43 and 12.43 cm, meets
	// back armhole: 11.65 and 11.65 cm, meets
	// waist, 80.0 cm around: FAULT: 20.00 cm too narrow for the hip from below
	// top edge, 100.7 cm around: FAULT: 3.68 cm too narrow for the shoulders from below
	// sleeve hem, 24.0 cm around: passes
	// bust, 100.0 cm around: passes from below
}
