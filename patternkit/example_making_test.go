package patternkit_test

import (
	"fmt"

	. "patternkit/patternkit"
)

// The order of sewing follows from the seams: nobody has written it down.
func ExamplePattern_Making() {
	body, err := Body{Height: 168 * CM, BustGirth: 92 * CM, WaistGirth: 74 * CM, HipGirth: 98 * CM}.Estimated()
	if err != nil {
		fmt.Println(err)
		return
	}
	bodice, err := DraftBodice(body, DefaultBodice())
	if err != nil {
		fmt.Println(err)
		return
	}
	sleeve, err := DraftSleeve(bodice.Armhole(), DefaultSleeve())
	if err != nil {
		fmt.Println(err)
		return
	}
	block, err := NewPattern("blouse", bodice, sleeve)
	if err == nil {
		block, err = block.WithAllowances(1.5*CM, DoubleFoldHem("hem", 1*CM, 2*CM), Hem("waist", 3*CM))
	}
	if err != nil {
		fmt.Println(err)
		return
	}
	making, err := block.Making(MakingOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for i, step := range making.Steps() {
		fmt.Printf("%d. %s\n", i+1, step.Title)
	}
	// Output:
	// 1. Darts of the back
	// 2. Darts of the front
	// 3. Shoulder
	// 4. Armhole
	// 5. Side seam and underarm, in one
	// 6. Finish of the neckline
	// 7. Hem of the waist
	// 8. Hem of the sleeve
}
