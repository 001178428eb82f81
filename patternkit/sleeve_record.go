package patternkit

import "fmt"

// record writes the sleeve down step by step.
func (f *sleeveForm) record() Draft {
	s := newSheet()
	a, o, c := f.armhole, f.o, f.cap
	s.measure("back armhole", "from the bodice", a.back.length)
	s.measure("front armhole", "from the bodice", a.front.length)
	s.measure("back cap seam", fmt.Sprintf("back armhole + %g of the cap ease", backEase), c.backSide.length)
	s.measure("front cap seam", "front armhole + the rest of the cap ease", c.frontSide.length)
	if o.CapHeight != 0 {
		s.measure("cap height", "as wanted", c.height)
	} else {
		s.measure("cap height", "so high that the sleeve is as wide as wanted", c.height)
	}
	s.measure("back width", "so wide that the back of the cap is as long as its seam", c.backWidth)
	s.measure("front width", "so wide that the front of the cap is as long as its seam", c.frontWidth)
	s.measure("biceps width", "back width + front width", c.biceps())
	s.line("centre line", "upright, length from the crown down", Pt(0, c.height), Pt(0, c.height-o.Length))
	s.line("biceps line", "level, cap height below the crown", f.seams[0][0], f.seams[1][0])
	s.point("crown point", "over the shoulder seam", Pt(0, c.height))
	s.point("back underarm point", "back width from the centre line", f.seams[0][0])
	s.point("front underarm point", "front width from the centre line", f.seams[1][0])
	s.curve("back cap, lower part", "the back armhole itself, laid level at the underarm", f.back.lower.path())
	s.curve("back cap, upper part", "on from there in an S to the crown, full at the head", f.back.upper.path())
	s.curve("front cap, lower part", "the front armhole itself, laid level at the underarm", f.front.lower.path())
	s.curve("front cap, upper part", "on from there in an S to the crown, hollower than the back", f.front.upper.path())
	if y, shown := f.elbow(); shown {
		s.line("elbow line", "half the length and 2.5 cm below the crown", Pt(across(f.seams[0], y), y), Pt(across(f.seams[1], y), y))
	}
	s.point("back hem point", "half the wrist width from the middle of the biceps line", f.seams[0][3])
	s.point("front hem point", "half the wrist width from the middle of the biceps line", f.seams[1][3])
	s.curve("back underarm seam", "square to the biceps line, in to the hem", f.seams[0].path())
	s.curve("front underarm seam", "as the back, turned over", f.seams[1].path())
	s.curve("hem", "wrist width long, square to both underarm seams", f.hem.path())
	return s.draft("sleeve")
}
