package patternkit

import "math"

// Checks looks the sleeve over as a cutter would: cap and armhole, the S of
// each half, the underarm and the notches.
func (s Sleeve) Checks() BlockChecks {
	if s.form.armhole.back.length == 0 {
		return BlockChecks{title: "Checks of no sleeve"}
	}
	c := &blockChecker{}
	f := &s.form
	c.length("cap seam on armhole and cap ease", edgeLength(s.piece, "cap"), f.armhole.Length()+f.o.CapEase, 0.01*MM)
	c.length("back underarm seam on the front underarm seam", edgeLength(s.piece, "back underarm"), edgeLength(s.piece, "front underarm"), 0.1*MM)
	c.length("hem", edgeLength(s.piece, "hem"), f.o.WristWidth, 0.1*MM)
	s.checkCap(c)
	s.checkHalf(c, "back", f.armhole.back, f.back)
	s.checkHalf(c, "front", f.armhole.front, f.front)
	fuller := BlockCheck{Name: "cap fuller at the back, hollower in front", Want: "yes", Got: "yes", Tol: 0.02}
	if fuller.Off = max(above(f.front)-above(f.back), below(f.back)-below(f.front), 0); !fuller.OK() {
		fuller.Got = "no"
	}
	c.rows = append(c.rows, fuller)
	return BlockChecks{title: "Checks of the sleeve", rows: c.rows}
}

// checkCap looks at the corners of the piece: level at the underarm and at the
// crown, square at the hem.
func (s Sleeve) checkCap(c *blockChecker) {
	cap := s.piece.edges[2].Path
	crown := s.piece.notches[1].At
	level := func(name string, at Length) {
		c.angle(name, angleBetween(cap.TangentAt(at), Pt(-1, 0)), 0, 0.5)
	}
	level("cap level at the front underarm", 0)
	level("cap level at the crown", crown)
	level("cap level at the back underarm", cap.Length())
	c.angle("underarm closed: cap runs on", cornerAt(s.piece, "front underarm", "cap")+cornerAt(s.piece, "cap", "back underarm"), 180*Degree, 1)
	c.angle("underarm closed: hem runs on", cornerAt(s.piece, "hem", "front underarm")+cornerAt(s.piece, "back underarm", "hem"), 180*Degree, 1)
	c.length("crown point on the cap", cap.At(crown).Dist(s.piece.at("crown point")), 0, 0.01*MM)
}

// checkHalf looks whether half the cap is one S that lies on the armhole where
// it is sewn without ease.
func (s Sleeve) checkHalf(c *blockChecker, name string, a armholeHalf, half capHalf) {
	path := bendsPath([]bend{half.lower, half.upper})
	turns := 0
	k := curvatures(path)
	for i := 1; i < len(k); i++ {
		if math.Signbit(k[i]) != math.Signbit(k[i-1]) {
			turns++
		}
	}
	c.rows = append(c.rows, BlockCheck{
		Name: name + " cap is one S", Got: plainNumber(float64(turns)) + " change of bend", Want: "1 change of bend",
		Off: math.Abs(float64(turns - 1)), Tol: 0,
	})
	c.between(name+" cap off the armhole, over its lowest seventh", offArmhole(a, path), 0, 5*MM)
}

// offArmhole is the greatest distance between cap and armhole, both laid level
// at the underarm, over the lowest seventh of the half armhole. A low cap must
// leave the armhole soon after.
func offArmhole(a armholeHalf, cap Path) Length {
	toward := cap.TangentAt(0.01).X // the side on which the crown is
	start := cap.Start()
	seam := levelled(a.curve[0]).path()
	var most Length
	for i := range 26 {
		at := a.length * Length(i) / (7 * 25)
		p := cap.At(at)
		on := Pt((p.X-start.X)*Length(math.Copysign(1, float64(toward))), p.Y-start.Y)
		_, q := seam.Nearest(on)
		most = max(most, on.Dist(q))
	}
	return most
}

// above is how far half a cap stands above the straight line from the underarm
// to the crown, and below how far under it, as parts of that line.
func above(c capHalf) float64 { return offLine(c, 1) }
func below(c capHalf) float64 { return offLine(c, -1) }

func offLine(c capHalf, sign float64) float64 {
	from := c.lower[0]
	chord := c.upper[3].Sub(from)
	if chord.X < 0 { // the front, seen from the other side
		sign = -sign
	}
	most := 0.0
	for _, b := range [...]bend{c.lower, c.upper} {
		for i := range 51 {
			most = max(most, sign*chord.Cross(b.at(float64(i)/50).Sub(from))/chord.Dot(chord))
		}
	}
	return most
}
