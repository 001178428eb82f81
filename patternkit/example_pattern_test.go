package patternkit_test

import (
	"fmt"
	"log"

	. "patternkit/patternkit"
)

// A tab of two layers, one cut a little long to roll over the edge.
func ExamplePattern_Walk() {
	rectangle := func(name string, length Length) Piece {
		a, b, c, d := Pt(0, 0), Pt(length, 0), Pt(length, 4*CM), Pt(0, 4*CM)
		p, err := NewPiece(name, Edge{"long side", Line(a, b)}, Edge{"end", Line(b, c)}, Edge{"other long side", Line(c, d)}, Edge{"joined end", Line(d, a)})
		if err != nil {
			log.Fatal(err)
		}
		return p
	}
	seam := Seam{Name: "long seam", Ease: 2 * MM,
		A: []Along{{Piece: "outer tab", Edge: "long side"}},
		B: []Along{{Piece: "inner tab", Edge: "long side"}}}
	tab, err := NewPattern("tab", rectangle("outer tab", 6.2*CM), rectangle("inner tab", 6*CM), seam)
	if err != nil {
		log.Fatal(err)
	}
	for _, row := range tab.Walk().Rows() {
		fmt.Println(row.Seam, row.LengthA, row.LengthB, row.Difference, row.Verdict)
	}
	// Output: long seam 6.2 cm 6 cm 0.2 cm meets, A eased in
}

func ExamplePiece_EdgeLength() {
	// A waist of 10 cm and 10 cm with a dart of 3 cm between.
	p, err := NewPiece("panel",
		Edge{"side seam", Polyline(Pt(0, 20*CM), Pt(0, 0), Pt(23*CM, 0), Pt(23*CM, 20*CM))},
		Edge{"waist", Line(Pt(23*CM, 20*CM), Pt(13*CM, 20*CM))},
		Edge{"dart mouth", Line(Pt(13*CM, 20*CM), Pt(10*CM, 20*CM))},
		Edge{"waist", Line(Pt(10*CM, 20*CM), Pt(0, 20*CM))})
	if err != nil {
		log.Fatal(err)
	}
	p, err = p.WithDart(Dart{Name: "waist dart", Mouth: "dart mouth", Tip: Pt(11.5*CM, 10*CM)})
	if err != nil {
		log.Fatal(err)
	}
	waist, err := p.EdgeLength("waist")
	fmt.Println(waist, err)
	_, err = p.EdgeLength("hem")
	fmt.Println(err)
	// Output:
	// 20 cm <nil>
	// piece "panel" has no edge "hem", it has "side seam", "waist" and "dart mouth"
}
