package patternkit_test

import (
	"fmt"

	. "patternkit/patternkit"
)

// A cushion cover photographed aslant with an A4 sheet on it, its corners read
// off in a program that shows pictures.
func ExamplePhotograph() {
	photo := Photograph{Paper: A4, Lie: Upright, Corners: [4]Pixel{{1510, 2134}, {2146, 2130}, {2129, 1277}, {1535, 1277}}}
	read, err := photo.Read([]PixelPoint{{"bottom", 1187, 2306}, {"right", 2420, 2297}, {"top", 2370, 1149}, {"left", 1266, 1151}})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, r := range read.Rows() {
		fmt.Printf("%s (%.1f, %.1f) cm, a pixel is %.1f mm\n", r.Name, r.At.X.CM(), r.At.Y.CM(), r.Pixel.MM())
	}
	outline, err := read.Outline()
	if err != nil {
		fmt.Println(err)
		return
	}
	cover, err := Trace{Outline: outline, Edges: read.Named(), Within: 2 * MM}.Piece("cushion cover")
	if err != nil {
		fmt.Println(err)
		return
	}
	width, err := cover.EdgeLength("bottom")
	fmt.Printf("%.1f cm wide, %v\n", width.CM(), err)
	// Output:
	// bottom (-10.3, -5.4) cm, a pixel is 0.3 mm
	// right (29.9, -5.4) cm, a pixel is 0.3 mm
	// top (29.8, 34.5) cm, a pixel is 0.4 mm
	// left (-9.7, 34.4) cm, a pixel is 0.4 mm
	// 40.2 cm wide, <nil>
}
