package patternkit_test

import (
	"fmt"

	. "patternkit/patternkit"
)

func plainTop() FlatTop {
	return FlatTop{
		BackLength: 62 * CM, FrontLength: 63 * CM, NeckWidth: 18.5 * CM, BackNeckDrop: 2 * CM, FrontNeckDrop: 9 * CM,
		AcrossShoulders: 38.5 * CM, ShoulderDrop: 4 * CM, AcrossBack: 36 * CM, AcrossFront: 34 * CM, ArmholeStraight: 19.8 * CM,
		HalfBust: 49.5 * CM, HalfHem: 52.5 * CM, SleeveLength: 22 * CM, HalfBiceps: 17 * CM, HalfSleeveHem: 16 * CM, CapEase: 1 * CM,
	}
}

func ExampleFlatTop_Pattern() {
	top, err := plainTop().Pattern("plain top")
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, r := range top.Walk().Rows() {
		fmt.Printf("%s: %v on %v, %s\n", r.Seam, r.LengthA, r.LengthB, r.Verdict)
	}
	wrong := plainTop()
	wrong.HalfBust = 99 * CM
	fmt.Println(wrong.Check())
	// Output:
	// shoulder: 10.77 cm on 10.77 cm, meets
	// side seam: 38.57 cm on 38.57 cm, meets
	// underarm: 8.28 cm on 8.28 cm, meets
	// armhole: 48.4 cm on 47.4 cm, meets, A eased in
	// top measured lying flat: HalfBust is 99 cm beside AcrossShoulders of 38.5 cm, want 30.8 cm to 69.3 cm; is it the whole girth? lying flat it is half of that, did you mean 49.5*CM?
}

func ExampleSewTop() {
	top, err := plainTop().Pattern("plain top")
	if err != nil {
		fmt.Println(err)
		return
	}
	// Pieces as they are traced: edges with names, and a fold.
	traced := map[string]Piece{}
	for _, p := range top.Pieces() {
		bare, err := NewPiece(p.Name(), p.Edges()...)
		if err == nil && p.Fold() != "" {
			bare, err = bare.WithFold(p.Fold())
		}
		if err != nil {
			fmt.Println(err)
			return
		}
		traced[p.Name()] = bare
	}
	sewn, err := SewTop("traced top", traced["back"], traced["front"], traced["sleeve"])
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range sewn.Seams() {
		fmt.Println(s.Name, s.Ease)
	}
	// Output:
	// shoulder 0 cm
	// side seam 0 cm
	// underarm 0 cm
	// armhole 1 cm
}
