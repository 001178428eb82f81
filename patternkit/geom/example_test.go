package geom_test

import (
	"fmt"

	"patternkit/patternkit/geom"
)

func ExampleParseLength() {
	fmt.Println(geom.ParseLength("1 5/8 in"))
	fmt.Println(geom.ParseLength("92"))
	// Output:
	// 4.13 cm <nil>
	// 0 cm length "92": no unit, and none is guessed; write "92 mm", "92 cm" or "92 in"
}

func ExampleSpline() {
	down := geom.Pt(0, -1)
	right := geom.Pt(1, 0)
	curve := geom.Spline([]geom.Point{geom.Pt(0, 60), geom.Pt(8, 20), geom.Pt(40, 0)}, &down, &right)
	fmt.Println(curve)
	fmt.Println("half way:", curve.At(curve.Length()/2))
	// Output:
	// a path of 2 parts, 8.07 cm long, from (0 cm, 6 cm) to (4 cm, 0 cm)
	// half way: (0.75 cm, 2.08 cm)
}

func ExamplePath_Intersections() {
	circle := geom.Arc(geom.Pt(0, 0), 5*geom.CM, 0, 360*geom.Degree)
	for _, c := range geom.Line(geom.Pt(-60, 30), geom.Pt(60, 30)).Intersections(circle) {
		fmt.Println(c.At, "after", c.S)
	}
	// Output:
	// (-4 cm, 3 cm) after 2 cm
	// (4 cm, 3 cm) after 10 cm
}
