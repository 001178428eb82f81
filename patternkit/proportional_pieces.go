package patternkit

func (d *proportionalBlock) bodice() (Bodice, error) {
	back, err := d.backPiece()
	if err != nil {
		return Bodice{}, err
	}
	front, err := d.frontPiece()
	if err != nil {
		return Bodice{}, err
	}
	return Bodice{back: back, front: front, block: d}, nil
}

// backPiece has a seam at the centre back, which takes in what the sixth dart
// takes from the shoulder-blade level down.
func (d *proportionalBlock) backPiece() (Piece, error) {
	h := &d.back
	blade := Pt(0, d.e.Y)
	armhole := bendsPath([]bend{d.backLower.reversed(), d.backUpper.reversed()})
	edges := []Edge{{"centre back", Polyline(h.neckCentre, blade, h.waist.start())}}
	edges = append(edges, h.waist.edges()...)
	edges = append(edges,
		Edge{"side seam", Line(h.waist.side, h.underarm)},
		Edge{"armhole", armhole},
		Edge{"shoulder", Line(h.shoulder, h.dartFar)},
		Edge{"shoulder dart mouth", Line(h.dartFar, h.dartNear)},
		Edge{"shoulder", Line(h.dartNear, h.neckSide)},
		Edge{"neckline", h.neckline.reversed().path()},
	)
	m := makePiece("back", edges...).
		point("back neck point", h.neckCentre).
		point("side neck point", h.neckSide).
		point("shoulder point", h.shoulder).
		point("underarm point", h.underarm).
		point("waist side point", h.waist.side).
		point("centre back waist point", h.waist.start()).
		dart(Dart{"shoulder dart", "shoulder dart mouth", h.dartTip}).
		dart(h.waist.pieceDarts()...).
		notch(Notch{Name: "back", Edge: "armhole", At: armhole.Length() * backNotchPlace, Double: true}).
		internal("bust line", Line(Pt(d.centreBackAt(d.bustLine), d.bustLine), h.underarm)).
		quantity(2, "a pair")
	x := d.e.X * 0.45
	return m.grainline(Pt(x, d.bustLine*0.35), Pt(x, d.length-(d.length-d.bustLine)*0.4)).done()
}

// centreBackAt is the x of the centre back seam at a height.
func (d *proportionalBlock) centreBackAt(y Length) Length {
	if y >= d.e.Y {
		return 0
	}
	return d.back.waist.start().X * (d.e.Y - y) / d.e.Y
}

func (d *proportionalBlock) frontPiece() (Piece, error) {
	h := &d.front
	edges := []Edge{
		{"centre front", Line(h.waist.start(), h.neckCentre)},
		{"neckline", h.neckline.path()},
		{"shoulder", Line(h.neckSide, h.shoulder)},
		{"armhole", d.frontUpper.path()},
		{"bust dart mouth", Line(d.gUp, d.g)},
		{"armhole", d.frontLower.path()},
		{"side seam", Line(h.underarm, h.waist.side)},
	}
	edges = append(edges, h.waist.edgesBack()...)
	armhole := d.frontUpper.length() + d.frontLower.length()
	m := makePiece("front", edges...).
		point("front neck point", h.neckCentre).
		point("side neck point", h.neckSide).
		point("shoulder point", h.shoulder).
		point("underarm point", h.underarm).
		point("bust point", d.bustPoint).
		point("waist side point", h.waist.side).
		point("centre front waist point", h.waist.start()).
		dart(Dart{"bust dart", "bust dart mouth", d.bustPoint}).
		dart(h.waist.pieceDarts()...).
		notch(Notch{Name: "front", Edge: "armhole", At: armhole * (1 - frontNotchPlace)}).
		internal("bust line", Line(h.underarm, Pt(d.width, d.bustLine))).
		fold("centre front").
		quantity(1, "on the fold")
	x := d.width - (d.width-d.bustPoint.X)*0.45
	return m.grainline(Pt(x, d.bustLine*0.35), Pt(x, h.neckCentre.Y-(h.neckCentre.Y-d.bustLine)*0.3)).done()
}

// armholes turns the front, which has its arm on the left, over.
func (d *proportionalBlock) armholes() Armhole {
	over := func(p Point) Point { return Pt(-p.X, p.Y) }
	front := []bend{d.frontLower.reversed().mapped(over), d.frontClosed.reversed().mapped(over)}
	return newArmhole([]bend{d.backLower.reversed(), d.backUpper.reversed()}, front, d.body)
}

// check looks for what the formulas say in the pieces.
func (d *proportionalBlock) check(b Bodice, c *blockChecker) {
	b.checkHollow(c)
	dart, err := b.front.Dart("bust dart")
	if err != nil {
		panic(err)
	}
	c.angle("front armhole across the bust dart, closed", acrossDart(b.front, dart), 180*Degree, 2)
	paper := b.front.at("front neck point").X - b.back.at("back neck point").X
	c.length("bust line on paper, both halves", 2*paper, d.bust+proportionalBustEase, 0.1*MM)
	c.length("waist of the block", b.WaistGirth(), d.waistGirth+proportionalWaistEase, 0.1*MM)
	c.length("six waist darts together", d.dartsTaken(b), d.taken, 0.1*MM)
}

// dartsTaken adds up what the pieces lose at the waist: four darts, the side
// seam and the centre back.
func (d *proportionalBlock) dartsTaken(b Bodice) Length {
	sum := b.front.at("waist side point").X - b.back.at("waist side point").X
	sum += b.back.at("centre back waist point").X - b.back.at("back neck point").X
	for _, p := range b.Pieces() {
		for _, name := range waistDartNames {
			intake, err := p.DartIntake(name)
			if err != nil {
				panic(err)
			}
			sum += intake
		}
	}
	return sum
}
