package patternkit_test

import (
	"fmt"

	. "patternkit/patternkit"
)

// eveningTop is the block of the evening class in the harbour town.
func eveningTop() (Body, Pattern, error) {
	body, err := Body{Height: 168 * CM, BustGirth: 92 * CM, WaistGirth: 74 * CM, HipGirth: 98 * CM}.Estimated()
	if err != nil {
		return Body{}, Pattern{}, err
	}
	bodice, err := DraftBodice(body, DefaultBodice())
	if err != nil {
		return Body{}, Pattern{}, err
	}
	sleeve, err := DraftSleeve(bodice.Armhole(), DefaultSleeve())
	if err != nil {
		return Body{}, Pattern{}, err
	}
	top, err := NewPattern("top", bodice, sleeve)
	return body, top, err
}

func ExamplePattern_Ease() {
	body, top, err := eveningTop()
	if err != nil {
		fmt.Println(err)
		return
	}
	ease, err := top.Ease(body, Cloth{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, r := range ease.Rows() {
		fmt.Printf("%s: body %.1f, garment %.1f, ease %.1f cm: %s\n", r.Level, r.Body.CM(), r.Garment.CM(), r.Ease.CM(), r.Verdict)
	}
	// Output:
	// bust: body 92.0, garment 100.0, ease 8.0 cm: loose: 0.38 cm more than usual
	// waist: body 74.0, garment 80.0, ease 6.0 cm: loose: 0.92 cm more than usual
	// biceps: body 29.1, garment 31.3, ease 2.2 cm: as is usual
	// elbow: body 24.4, garment 29.1, ease 4.7 cm: as is usual
	// wrist: body 15.6, garment 24.0, ease 8.4 cm: loose: 0.40 cm more than usual
}

func ExamplePattern_PullOn() {
	body, top, err := eveningTop()
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, cloth := range []Cloth{{}, {Stretch: 0.5}} {
		check, err := top.PullOn(body, cloth)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Println(check.Table().Notes[0])
	}
	// Output:
	// top does not go on. Widen the waist by 24.40 cm, the neckline by 21.30 cm, the bust by 4.40 cm, all around, or let it open there.
	// top does not go on. Widen the neckline by 3.21 cm, all around, or let it open there.
}

// A yoke is cut from the back at the level of half its armhole.
func ExamplePattern_Cut() {
	_, top, err := eveningTop()
	if err != nil {
		fmt.Println(err)
		return
	}
	back, err := top.Piece("back")
	if err != nil {
		fmt.Println(err)
		return
	}
	armhole, err := back.EdgeLength("armhole")
	if err != nil {
		fmt.Println(err)
		return
	}
	at, err := back.PointOn("armhole", armhole/2)
	if err != nil {
		fmt.Println(err)
		return
	}
	top, err = top.Cut(Cut{Piece: "back", Along: Line(Pt(-1*M, at.Y), Pt(1*M, at.Y)), Left: "back yoke", Right: "back", Seam: "yoke seam"})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, r := range top.Walk().Rows() {
		fmt.Printf("%s: %s to %s: %s\n", r.Seam, r.SideA, r.SideB, r.Verdict)
	}
	// Output:
	// shoulder: back yoke shoulder to front shoulder: meets
	// side seam: back side seam to front side seam: meets
	// underarm: sleeve back underarm to sleeve front underarm: meets
	// armhole: sleeve cap to front + back yoke + back armhole: meets, A eased in
	// yoke seam: back yoke yoke seam to back yoke seam: meets
}
