package patternkit_test

import (
	"fmt"
	"log"

	. "patternkit/patternkit"
)

// An apron: 1 cm at the seams, a hem of 1 and 2 cm, a raw neck to be bound, and
// what the cutter needs to know.
func ExamplePattern_WithAllowances() {
	apron, err := NewPiece("apron",
		Edge{"hem", Line(Pt(0, 0), Pt(30*CM, 0))},
		Edge{"side", Line(Pt(30*CM, 0), Pt(30*CM, 45*CM))},
		Edge{"armhole", Cubic(Pt(30*CM, 45*CM), Pt(20*CM, 47*CM), Pt(14*CM, 55*CM), Pt(12*CM, 70*CM))},
		Edge{"neck", Line(Pt(12*CM, 70*CM), Pt(0, 70*CM))},
		Edge{"centre front", Line(Pt(0, 70*CM), Pt(0, 0))})
	if err != nil {
		log.Fatal(err)
	}
	if apron, err = apron.WithFold("centre front"); err != nil {
		log.Fatal(err)
	}
	pattern, err := NewPattern("evening class", apron.WithMaterial("sail cotton"))
	if err != nil {
		log.Fatal(err)
	}
	pattern, err = pattern.WithAllowances(1*CM, DoubleFoldHem("hem", 1*CM, 2*CM), Allowance{Edge: "neck"})
	if err != nil {
		log.Fatal(err)
	}
	list, err := pattern.CuttingList()
	if err != nil {
		log.Fatal(err)
	}
	for i, c := range list.Columns {
		fmt.Printf("%s: %s\n", c.Head, list.Rows[0][i])
	}
	// Output:
	// Piece: apron
	// Cut: 1
	// How: on the fold
	// Cloth: sail cotton
	// Grain: none marked
	// Allowances: 1 cm; hem 3 cm folded back (2 cm + 1 cm); neck none
	// Width (cm): 31.0
	// Height (cm): 73.1
}
