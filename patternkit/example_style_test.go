package patternkit_test

import (
	"fmt"
	"log"

	. "patternkit/patternkit"
)

// The class makes a blouse from the block: the bust dart goes half to the side
// seam, and half stays.
func ExamplePiece_PivotDart() {
	front := blouseFront()
	moved, err := front.PivotDart("bust dart", DartMove{To: OnEdge{"side seam", 4 * CM}, Share: 0.5})
	if err != nil {
		log.Fatal(err)
	}
	for _, name := range []string{"bust dart", "side seam dart"} {
		intake, err := moved.DartIntake(name)
		fmt.Println(name, intake, err)
	}
	before, _ := front.EdgeLength("side seam")
	after, _ := moved.EdgeLength("side seam")
	fmt.Println("side seam", before, "then", after)
	// Output:
	// bust dart 2.91 cm <nil>
	// side seam dart 1.98 cm <nil>
	// side seam 15.73 cm then 15.73 cm
}

// Laid 2 in from the fold, the half front gains 4 in across the whole.
func ExamplePiece_WidenAtFold() {
	front := blouseFront()
	wide, err := front.WidenAtFold(2 * Inch)
	if err != nil {
		log.Fatal(err)
	}
	gained := 2 * (wide.Bounds().Width() - front.Bounds().Width())
	fmt.Println(gained.TapeInches())
	// Output: 4 in
}

func blouseFront() Piece {
	body, err := Body{Height: 168 * CM, BustGirth: 92 * CM, WaistGirth: 74 * CM, HipGirth: 98 * CM}.Estimated()
	if err != nil {
		log.Fatal(err)
	}
	bodice, err := DraftBodice(body, DefaultBodice())
	if err != nil {
		log.Fatal(err)
	}
	return bodice.Front()
}
