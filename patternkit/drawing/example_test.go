package drawing_test

import (
	"fmt"
	"strings"

	"patternkit/patternkit/drawing"
	"patternkit/patternkit/geom"
)

func ExamplePage() {
	page := drawing.NewPage("A square", "A square with sides of 10 cm, and its name.")
	square := geom.RectAround(geom.Pt(0, 0), geom.Pt(100, 100))
	page.Stroke(square.Outline(), drawing.Pen{Width: 0.5})
	page.Text(drawing.Text{At: square.Center(), S: "10 cm", Font: drawing.Font{Size: 5}, Anchor: drawing.MiddleCenter})
	first, _, _ := strings.Cut(string(page.SVG()), " role=")
	fmt.Println(first)
	// Output: <svg xmlns="http://www.w3.org/2000/svg" width="108.5mm" height="108.5mm" viewBox="0 0 108.5 108.5"
}
