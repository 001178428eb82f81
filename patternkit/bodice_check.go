package patternkit

// Checks looks the block over as a cutter would: squareness at the centre
// lines, smooth running over every seam with the darts closed, equal seams and
// dart legs, and the body's measurements where the block holds them.
func (b Bodice) Checks() BlockChecks {
	if b.block == nil {
		return BlockChecks{title: "Checks of no bodice"}
	}
	c := &blockChecker{}
	b.checkNeckline(c)
	b.checkShoulder(c)
	b.checkArmhole(c)
	b.checkSides(c)
	b.checkCurves(c)
	b.block.check(b, c)
	return BlockChecks{title: "Checks of the bodice", rows: c.rows}
}

func (b Bodice) checkNeckline(c *blockChecker) {
	c.angle("neckline at the centre back", cornerAt(b.back, "neckline", "centre back"), 90*Degree, 1)
	c.angle("neckline at the centre front", cornerAt(b.front, "centre front", "neckline"), 90*Degree, 1)
	over := cornerAt(b.back, "shoulder", "neckline") + cornerAt(b.front, "neckline", "shoulder")
	c.angle("neckline over the shoulder seam", over, 180*Degree, 2)
}

func (b Bodice) checkShoulder(c *blockChecker) {
	back, front := edgeLength(b.back, "shoulder"), edgeLength(b.front, "shoulder")
	c.length("back shoulder, dart closed, on the front shoulder", back, front, 0.1*MM)
}

func (b Bodice) checkArmhole(c *blockChecker) {
	back, front := cornerAt(b.back, "armhole", "shoulder"), cornerAt(b.front, "shoulder", "armhole")
	c.angle("back armhole at the shoulder", back, 90*Degree, 3)
	c.angle("front armhole at the shoulder", front, 90*Degree, 3)
	c.angle("armhole over the shoulder seam", back+front, 180*Degree, 2)
	back, front = cornerAt(b.back, "side seam", "armhole"), cornerAt(b.front, "armhole", "side seam")
	c.angle("back armhole at the side seam", back, 90*Degree, 3)
	c.angle("front armhole at the side seam", front, 90*Degree, 3)
	c.angle("armhole through the side seam", back+front, 180*Degree, 2)
}

// checkHollow looks whether the front is hollowed more than the back.
func (b Bodice) checkHollow(c *blockChecker) {
	h := b.Armhole()
	more := BlockCheck{Name: "front armhole hollowed more than the back", Want: "more in front", Got: "more in front", Tol: 0.02}
	if more.Off = max(0, hollow(h.Back())-hollow(h.Front())); !more.OK() {
		more.Got = "more in the back"
	}
	c.rows = append(c.rows, more)
}

// hollow is how far half an armhole stands off from the straight line between
// underarm and shoulder point, as part of that line.
func hollow(p Path) float64 {
	a, chord := p.Start(), p.End().Sub(p.Start())
	total := p.Length()
	most := 0.0
	for i := range 101 {
		off := p.At(total * Length(i) / 100).Sub(a).Cross(chord)
		most = max(most, off, -off)
	}
	return most / chord.Dot(chord)
}

func (b Bodice) checkSides(c *blockChecker) {
	c.length("back side seam on the front side seam", edgeLength(b.back, "side seam"), edgeLength(b.front, "side seam"), 0.1*MM)
	for _, p := range b.Pieces() {
		for _, d := range p.darts {
			first, second := p.legs(d)
			c.length(p.name+" "+d.Name+": legs", first, second, 0.1*MM)
		}
	}
}

func (b Bodice) checkCurves(c *blockChecker) {
	for _, p := range b.Pieces() {
		for _, e := range p.edges {
			if len(e.Path.Segments()) > 0 && e.Path.Segments()[0].Curve {
				c.sign(p.name+" "+e.Name, e.Path)
			}
		}
	}
}

// checkWaist looks whether the waist is a fair line with its darts closed.
func (b Bodice) checkWaist(c *blockChecker) {
	c.angle("waist at the centre back", cornerAt(b.back, "centre back", "waist"), 90*Degree, 1)
	c.angle("waist at the centre front", cornerAt(b.front, "waist", "centre front"), 90*Degree, 1)
	through := cornerAt(b.back, "waist", "side seam") + cornerAt(b.front, "side seam", "waist")
	c.angle("waist through the side seam", through, 180*Degree, 3)
	for _, p := range b.Pieces() {
		for _, d := range p.darts {
			if d.Name == waistDartNames[0] || d.Name == waistDartNames[1] {
				c.angle(p.name+" "+d.Name+": waist across it, closed", acrossDart(p, d), 180*Degree, 3)
			}
		}
	}
}

func edgeLength(p Piece, edge string) Length {
	l, err := p.EdgeLength(edge)
	if err != nil {
		panic(err) // every block has it
	}
	return l
}
