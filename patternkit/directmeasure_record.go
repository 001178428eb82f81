package patternkit

import "fmt"

// record writes the block down step by step, in the order of drafting. It is
// done when somebody asks: a thousand bodies are drafted without it.
func (d *directBlock) record() Draft {
	s := newSheet()
	d.recordWidths(s)
	d.recordBack(s)
	d.recordFront(s)
	return s.draft("bodice by direct measure")
}

func (d *directBlock) recordWidths(s *sheet) {
	s.measure("half bust", "(bust girth + bust ease) / 2", d.half)
	s.measure("half waist", "(waist girth + waist ease) / 2", d.waist)
	s.measure("half back width", "back width / 2 + bust ease / 16"+added("back width ease", d.o.BackWidthEase), d.backWidth)
	s.measure("half chest width", "chest width / 2 + bust ease / 16"+added("chest width ease", d.o.ChestWidthEase), d.chestWidth)
	s.measure("armhole width", "half bust - half back width - half chest width", d.armhole)
	s.measure("back bust line", fmt.Sprintf("half back width + %g of the armhole width", backShare), d.backBust)
	s.measure("front bust line", "half bust - back bust line", d.frontBust)
	s.measure("waist suppression", "half bust - half waist", d.taken)
	if len(d.back.waist.darts) == 0 {
		s.measure("taken at each side seam", "half the waist suppression, too little for darts", d.sideIn)
	} else {
		s.measure("taken at each side seam", fmt.Sprintf("%g of the waist suppression", sideTaken), d.sideIn)
	}
	s.measure("back waist", "back bust line - side seam - back darts", d.backWaist)
	s.measure("front waist", "half waist - back waist", d.frontWaist)
}

// added says that an option was added, where it was.
func added(name string, l Length) string {
	if l == 0 {
		return ""
	}
	return " + " + name
}

func (d *directBlock) recordBack(s *sheet) {
	h := &d.back
	s.line("centre back", "upright, back waist length", Pt(0, 0), h.neckCentre)
	s.line("waist line", "level", Pt(0, 0), Pt(d.onSheet(Pt(0, 0)).X, 0))
	s.point("back neck point", "top of the centre back", h.neckCentre)
	s.measure("back neck width", "3/16 of the neck base girth + 0.3 cm", d.backNeck)
	s.point("back side neck point", "back neck width out, a third of it up", h.neckSide)
	s.curve("back neckline", "square to the centre back", h.neckline.path())
	s.turn("shoulder slope", "of the body", d.body.ShoulderSlope)
	rule := "of the body"
	if d.extension > 0 {
		rule = fmt.Sprintf("of the body, extended by %v to reach beyond back and chest width", d.extension)
	}
	s.measure("shoulder length", rule+added("shoulder ease", d.o.ShoulderEase), d.shoulderLength)
	s.point("back shoulder dart point", "on the shoulder blade", h.dartTip)
	s.turn("back shoulder dart turn", fmt.Sprintf("%g of the shoulder length at the seam, more where the back is broader than the shoulders", bladeDart), d.bladeTurn)
	s.line("back shoulder, neck part", fmt.Sprintf("at the slope, %g of the shoulder length", dartPlace), h.neckSide, h.dartNear)
	s.line("back shoulder dart, inner leg", "to the dart point", h.dartNear, h.dartTip)
	s.line("back shoulder dart, outer leg", "as long as the inner", h.dartTip, h.dartFar)
	s.line("back shoulder, arm part", "in line with the neck part when the dart is closed", h.dartFar, h.shoulder)
	s.point("back shoulder point", "end of the shoulder length", h.shoulder)
	s.measure("armhole depth", d.depthRule(), d.depth)
	s.line("bust line", "level, armhole depth below the back neck point", Pt(0, h.underarm.Y), d.onSheet(Pt(0, d.front.underarm.Y)))
	s.line("back width line", "upright, half back width from the centre back", Pt(d.backWidth, h.underarm.Y), Pt(d.backWidth, h.dartTip.Y))
	s.point("underarm point", "back bust line out, and what the back darts take at that level", h.underarm)
	d.recordWaist(s, "back", h.waist, h.underarm)
	s.curve("back armhole", "square to the shoulder, touching the back width line, square to the side seam", h.armhole.path())
}

func (d *directBlock) depthRule() string {
	rule := "armscye depth + 2.5 cm + bust ease / 16"
	if d.depth > d.body.ArmscyeDepth+scyeEase+d.o.BustEase/16+d.o.ArmholeDrop+0.01 {
		rule = "so deep that the armhole is 3 cm longer than the armscye girth"
	}
	return rule + added("armhole drop", d.o.ArmholeDrop)
}

func (d *directBlock) recordWaist(s *sheet, side string, w waistLine, underarm Point) {
	for i, t := range w.darts {
		name := side + " " + waistDartNames[i]
		s.measure(name, "what the width has more than the waist, at the waist", t.near.Dist(t.far))
		s.line(name+", inner leg", "axis upright", t.near, t.tip)
		s.line(name+", outer leg", "as long as the inner", t.tip, t.far)
	}
	for i, p := range w.parts {
		s.curve(fmt.Sprintf("%s waist, part %d", side, i+1), "one fair line with the darts closed, square to the centre and the side seam", p.path())
	}
	s.line(side+" side seam", "straight from the underarm point to the waist", underarm, w.side)
}

func (d *directBlock) recordFront(s *sheet) {
	h := d.front.mapped(d.onSheet)
	bust := d.onSheet(d.bustPoint)
	s.line("centre front", "upright", h.waist.start(), h.neckCentre)
	s.point("bust point", "half the bust point distance from the centre front; above the waist by the front waist length less side neck point to bust point", bust)
	s.measure("front neck width", "3/16 of the neck base girth", d.frontNeck)
	s.point("front side neck point", "front neck width from the centre front, side neck point to bust point from the bust point", h.neckSide)
	s.point("front neck point", "so deep that the neckline measures half the neck base girth"+added("neck ease", d.o.NeckEase), h.neckCentre)
	s.curve("front neckline", "square to the centre front, running on over the shoulder", h.neckline.path())
	s.turn("bust dart turn", fmt.Sprintf("%.2g° for each cm that the bust exceeds the under-bust", (bustTurnPerMM*10).Degrees()), d.bustTurn)
	s.line("front shoulder, neck part", fmt.Sprintf("at the slope, %g of the shoulder length", dartPlace), h.neckSide, h.dartNear)
	s.line("bust dart, inner leg", "to the bust point", h.dartNear, bust)
	s.line("bust dart, outer leg", "as long as the inner", bust, h.dartFar)
	s.line("front shoulder, arm part", "in line with the neck part when the dart is closed", h.dartFar, h.shoulder)
	s.point("front shoulder point", "end of the shoulder length", h.shoulder)
	d.recordWaist(s, "front", h.waist, h.underarm)
	s.curve("front armhole", "drawn with the bust dart closed: square to the shoulder, in to the chest width line, square to the side seam", h.armhole.path())
}
