package patternkit

import "fmt"

// record writes the block down step by step, in the order and the words of
// its source as remembered.
func (d *proportionalBlock) record() Draft {
	s := newSheet()
	d.recordFrame(s)
	d.recordShoulders(s)
	d.recordCurves(s)
	d.recordWaist(s)
	return s.draft("bodice by the proportional method")
}

func (d *proportionalBlock) recordFrame(s *sheet) {
	b := d.bust
	s.line("centre back", "upright, back waist length", Pt(0, 0), Pt(0, d.length))
	s.measure("half width", "B/2 + 6", d.width)
	s.line("waist line", "level, half width", Pt(0, 0), Pt(d.width, 0))
	s.measure("bust line below A", "B/12 + 13.7", d.length-d.bustLine)
	s.line("bust line", "level", Pt(0, d.bustLine), Pt(d.width, d.bustLine))
	s.measure("back width", "B/8 + 7.4", d.backWidth)
	s.line("back width line", "upright from the bust line to the level of A", Pt(d.backWidth, d.bustLine), Pt(d.backWidth, d.length))
	s.line("blade line", "level, 8 cm below A, from D on the centre back", Pt(0, d.e.Y), Pt(d.backWidth, d.e.Y))
	s.point("E", "1 cm toward the arm from the middle of the blade line", d.e)
	s.line("G line", "level, 0.5 cm below the middle of blade line and bust line", Pt(d.backWidth, d.gLine), d.g)
	s.measure("front top above the bust line", "B/5 + 8.3", d.frontTop-d.bustLine)
	s.line("centre front", "upright from the waist to the front top", Pt(d.width, 0), Pt(d.width, d.frontTop))
	s.measure("chest width", "B/8 + 6.2", d.width-d.chestLine)
	s.line("chest line", "upright, chest width from the centre front", Pt(d.chestLine, d.bustLine), Pt(d.chestLine, d.frontTop))
	s.point("BP", "on the bust line, 0.7 cm toward the side from the middle of the chest width", d.bustPoint)
	s.measure("B/32", "of the bust girth", b/32)
	s.point("F", "on the bust line, B/32 from the chest line toward the side", d.f)
	s.point("G", "F squared up to the G line", d.g)
	s.point("underarm point", "on the bust line, half way between the back width line and F", Pt(d.side, d.bustLine))
}

func (d *proportionalBlock) recordShoulders(s *sheet) {
	back, front := &d.back, &d.front
	s.measure("front neck width", "B/24 + 3.4", d.neckFront)
	s.measure("front neck depth", "front neck width + 0.5", d.frontTop-front.neckCentre.Y)
	s.point("front side neck point", "front neck width from the centre front, at the front top", front.neckSide)
	s.point("front neck point", "front neck depth below the front top", front.neckCentre)
	s.measure("front shoulder", "22° below level to the chest line, and 1.8 cm on", d.frontShoulder)
	s.line("front shoulder line", "22° below level", front.neckSide, front.shoulder)
	s.turn("bust dart", "(B/4 - 2.5)°", d.bustTurn)
	s.line("bust dart, lower leg", "G to BP", d.g, d.bustPoint)
	s.line("bust dart, upper leg", "turned up about BP, as long as the lower", d.bustPoint, d.gUp)
	s.measure("back neck width", "front neck width + 0.2", d.neckBack)
	s.measure("back neck height", "a third of the back neck width", d.neckBack/3)
	s.point("back side neck point", "back neck width from A, back neck height up", back.neckSide)
	s.measure("shoulder dart", "B/32 - 0.8", d.shoulderDart)
	s.measure("back shoulder", "front shoulder + shoulder dart", d.frontShoulder+d.shoulderDart)
	s.point("back shoulder point", "18° below level, back shoulder from the side neck point", back.shoulder)
	s.line("back shoulder, neck part", "to 1.5 cm beyond the upright through E", back.neckSide, back.dartNear)
	s.line("shoulder dart, inner leg", "to E", back.dartNear, back.dartTip)
	s.line("shoulder dart, outer leg", "as long as the inner", back.dartTip, back.dartFar)
	s.line("back shoulder, arm part", "what remains of the front shoulder", back.dartFar, back.shoulder)
}

func (d *proportionalBlock) recordCurves(s *sheet) {
	back, front := &d.back, &d.front
	s.curve("back neckline", "square to the centre back, running on over the shoulder", back.neckline.path())
	s.curve("front neckline", "through the point 0.5 cm beyond two thirds of the diagonal of neck width and depth", front.neckline.path())
	s.measure("back guide", "a sixth of back width line to F, and 0.8 cm", d.guideBack)
	s.measure("front guide", "a sixth of back width line to F, and 0.5 cm", d.guideFront)
	s.curve("back armhole, lower part", "from the back width line over the guide to the underarm", d.backLower.path())
	s.curve("back armhole, upper part", "square to the shoulder, on to the back width line", d.backUpper.path())
	s.curve("front armhole, lower part", "from G over the guide to the underarm", d.frontLower.path())
	s.curve("front armhole, upper part", "square to the shoulder; runs on at the dart when it is closed", d.frontUpper.path())
}

func (d *proportionalBlock) recordWaist(s *sheet) {
	back, front := &d.back, &d.front
	s.measure("waist suppression", "(B/2 + 6) - (W/2 + 3)", d.taken)
	dart := func(name, place string, part float64, t waistDart) {
		s.measure("waist dart "+name, fmt.Sprintf("%.0f %% of the waist suppression", part*100), t.near.Dist(t.far))
		s.line("waist dart "+name+", inner leg", place, t.near, t.tip)
		s.line("waist dart "+name+", outer leg", "as long as the inner", t.tip, t.far)
	}
	dart("a", "below BP, its tip 2.5 cm lower", partA, front.waist.darts[0])
	dart("b", "1.5 cm toward the centre front from F, its tip on the bust line", partB, front.waist.darts[1])
	s.measure("waist dart c", fmt.Sprintf("%.0f %% of the waist suppression, half on each side of the side seam", partC*100), d.taken*partC)
	dart("d", "1 cm toward the centre back from the back width line, its tip on the G line", partD, back.waist.darts[1])
	dart("e", "0.5 cm toward the centre back from E, its tip 2 cm above the bust line", partE, back.waist.darts[0])
	s.measure("waist dart f", fmt.Sprintf("%.0f %% of the waist suppression, at the centre back", partF*100), d.taken*partF)
	s.line("centre back seam", "from D in to waist dart f", Pt(0, d.e.Y), back.waist.start())
	s.line("back side seam", "to half of waist dart c", back.underarm, back.waist.side)
	s.line("front side seam", "to half of waist dart c", front.underarm, front.waist.side)
}
