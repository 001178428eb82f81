package patternkit_test

import (
	"fmt"
	"log"

	. "patternkit/patternkit"
)

// A gathered skirt for the evening class: two rectangles, three fifths again as
// wide as the waist of the block that they are gathered onto. Sewn to the
// bodice, the waist seam eases the fullness in; worn alone, the skirt runs on
// an elastic.
func ExamplePattern_WithSeam_gatheredSkirt() {
	const ratio, long = 1.6, 60 * CM
	body, bodice := classBodice()
	parts := []Part{bodice}
	for _, piece := range bodice.Pieces() {
		waist, err := piece.EdgeLength("waist")
		if err != nil {
			log.Fatal(err)
		}
		panel, err := skirtPanel("skirt "+piece.Name(), ratio*waist, long)
		if err != nil {
			log.Fatal(err)
		}
		parts = append(parts, panel)
	}
	dress, err := NewPattern("gathered dress", parts...)
	if err != nil {
		log.Fatal(err)
	}
	dress, err = dress.WithSeam(Seam{Name: "skirt side seam", A: []Along{{Piece: "skirt front", Edge: "side"}}, B: []Along{{Piece: "skirt back", Edge: "side"}}})
	if err != nil {
		log.Fatal(err)
	}
	for _, half := range bodice.Pieces() {
		waist, _ := half.EdgeLength("waist")
		dress, err = dress.WithSeam(Seam{Name: half.Name() + " waist seam", Ease: (ratio - 1) * waist,
			A: []Along{{Piece: "skirt " + half.Name(), Edge: "waist"}}, B: []Along{{Piece: half.Name(), Edge: "waist", Reversed: true}}})
		if err != nil {
			log.Fatal(err)
		}
	}
	for _, row := range dress.Walk().Rows() {
		fmt.Printf("%s: %.1f and %.1f cm, %s\n", row.Seam, row.LengthA.CM(), row.LengthB.CM(), row.Verdict)
	}
	alone, err := NewCasing("waist", Inch, Inch/8)
	if err != nil {
		log.Fatal(err)
	}
	elastic, err := ElasticLength(body.WaistGirth, 0.08, Inch/2)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("worn alone: a casing %.1f cm deep, %.0f cm of elastic\n", alone.Depth().CM(), elastic.CM())
	// Output:
	// shoulder: 13.8 and 13.8 cm, meets
	// side seam: 15.7 and 15.7 cm, meets
	// skirt side seam: 60.0 and 60.0 cm, meets
	// back waist seam: 30.5 and 19.1 cm, meets, A gathered 11.45 cm, ratio 1.60
	// front waist seam: 33.5 and 20.9 cm, meets, A gathered 12.55 cm, ratio 1.60
	// worn alone: a casing 3.2 cm deep, 69 cm of elastic
}

// skirtPanel is half a rectangle on the fold.
func skirtPanel(name string, wide, long Length) (Piece, error) {
	panel, err := NewPiece(name,
		Edge{"hem", Line(Pt(0, 0), Pt(wide, 0))}, Edge{"side", Line(Pt(wide, 0), Pt(wide, long))},
		Edge{"waist", Line(Pt(wide, long), Pt(0, long))}, Edge{"centre", Line(Pt(0, long), Pt(0, 0))})
	if err != nil {
		return Piece{}, err
	}
	return panel.WithFold("centre")
}

func classBodice() (Body, Bodice) {
	body, err := Body{Height: 168 * CM, BustGirth: 92 * CM, WaistGirth: 74 * CM, HipGirth: 98 * CM}.Estimated()
	if err != nil {
		log.Fatal(err)
	}
	bodice, err := DraftBodice(body, DefaultBodice())
	if err != nil {
		log.Fatal(err)
	}
	return body, bodice
}

// A shirt back: a yoke is cut from it, square to the centre back and across the
// shoulder dart, which folds shut in the yoke. What is left of the dart below
// is gathered, and so are the 6 cm by which the lower back is laid from the
// fold.
func ExamplePattern_Cut_gatheredBelowAYoke() {
	_, bodice := classBodice()
	p, err := NewPattern("shirt", bodice)
	if err != nil {
		log.Fatal(err)
	}
	at, err := bodice.Back().PointOn("armhole", 17*CM)
	if err != nil {
		log.Fatal(err)
	}
	p, err = p.Cut(Cut{Piece: "back", Along: Line(Pt(-10*CM, at.Y), Pt(60*CM, at.Y)), Left: "back yoke", Right: "back", Seam: "yoke seam"})
	if err != nil {
		log.Fatal(err)
	}
	yoke, err := p.Piece("back yoke")
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println("darts in the yoke:", len(yoke.Darts()))
	if p, err = p.DartToFullness("back", "shoulder dart", 2*CM); err != nil {
		log.Fatal(err)
	}
	back, err := p.Piece("back")
	if err != nil {
		log.Fatal(err)
	}
	if back, err = back.WidenAtFold(6 * CM); err != nil {
		log.Fatal(err)
	}
	if p, err = p.WithPieceEased(back); err != nil {
		log.Fatal(err)
	}
	for _, row := range p.Walk().Rows() {
		fmt.Printf("%s: %.1f and %.1f cm, %s\n", row.Seam, row.LengthA.CM(), row.LengthB.CM(), row.Verdict)
	}
	// Output:
	// darts in the yoke: 0
	// shoulder: 13.8 and 13.8 cm, meets
	// side seam: 15.7 and 15.7 cm, meets
	// yoke seam: 19.1 and 25.3 cm, meets, B gathered 6.15 cm, ratio 1.32
}
