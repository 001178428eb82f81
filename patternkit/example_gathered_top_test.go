package patternkit_test

import (
	"fmt"

	. "patternkit/patternkit"
)

// A pupil of the evening class has no plain top to copy: it is drafted from her
// block, and gathered. Cut close, it would not go on; the check says what to
// raise.
func ExampleMakeGatheredTop() {
	body, err := Body{Height: 168 * CM, BustGirth: 92 * CM, WaistGirth: 74 * CM, HipGirth: 98 * CM, ShoulderGirth: 104 * CM}.Estimated()
	if err != nil {
		fmt.Println(err)
		return
	}
	plain, err := DraftPlainTop(body, DefaultPlainTop())
	if err != nil {
		fmt.Println(err)
		return
	}
	o := DefaultGatheredTop()
	o.FrontFullness, o.BackFullness, o.SleeveFullness, o.SleeveUnderarm = 0, 0, 0, 10*CM
	o.RunOn = 0
	top, err := MakeGatheredTop(plain.Pattern(), o)
	if err != nil {
		fmt.Println(err)
		return
	}
	check, err := top.GoesOn(body, Cloth{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, r := range check.Raises() {
		fmt.Println(r.Ring+":", r)
	}
	if o, err = check.Widened(); err != nil {
		fmt.Println(err)
		return
	}
	if top, err = MakeGatheredTop(plain.Pattern(), o); err != nil {
		fmt.Println(err)
		return
	}
	if check, err = top.GoesOn(body, Cloth{}); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("goes on:", check.OK())
	for _, s := range top.Pattern().Walk().Rows() {
		fmt.Printf("%s: %s\n", s.Seam, s.Verdict)
	}
	// Output:
	// top edge: raise FrontFullness by 1.1 cm
	// top edge: raise BackFullness by 1.1 cm
	// top edge: raise SleeveFullness by 0.6 cm
	// goes on: true
	// side seam: meets
	// underarm: meets
	// front armhole: meets
	// back armhole: meets
}
