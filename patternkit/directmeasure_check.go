package patternkit

// check looks for the body's measurements in the pieces.
func (d *directBlock) check(b Bodice, c *blockChecker) {
	b.checkWaist(c)
	if d.backWidth > d.chestWidth*9/10 { // a back so much narrower than the chest is hollowed by the body itself
		b.checkHollow(c)
	}
	body, o := d.body, d.o
	bust, waist := b.BustGirth(), b.WaistGirth()
	c.length("bust of the block", bust, body.BustGirth+o.BustEase, 0.1*MM)
	c.length("waist of the block", waist, body.WaistGirth+o.WaistEase, 0.1*MM)
	neck := 2 * (edgeLength(b.back, "neckline") + edgeLength(b.front, "neckline"))
	c.length("neckline", neck, body.NeckBaseGirth+o.NeckEase, 0.1*MM)
	c.between("armhole", b.Armhole().Length(), body.ArmscyeGirth+10*MM, body.ArmscyeGirth*1.7)

	shut := turningBy(d.onSheet(d.bustPoint), -d.bustTurn).apply
	c.between("half the back width", d.backAcross(b), min(body.BackWidth/2, d.backWidth), d.backWidth+slackWidth)
	c.between("half the chest width, bust dart closed", d.frontAcross(b, shut), min(body.ChestWidth/2, d.chestWidth), d.chestWidth+slackWidth)
	d.checkBustPoint(b, c)
	d.checkSlope(b, c, shut)
}

func (d *directBlock) backAcross(b Bodice) Length {
	return d.across(b.back, func(p Point) Length { return p.X - b.back.edges[0].Path.Start().X })
}

func (d *directBlock) frontAcross(b Bodice, shut func(Point) Point) Length {
	return d.across(b.front, func(p Point) Length { return b.front.edges[0].Path.Start().X - shut(p).X })
}

// across is the least distance of a piece's armhole from its centre line.
func (d *directBlock) across(p Piece, from func(Point) Length) Length {
	edges, err := p.Edge("armhole")
	if err != nil {
		panic(err)
	}
	path := edges[0].Path
	total := path.Length()
	least := from(path.Start())
	for i := range 401 {
		least = min(least, from(path.At(total*Length(i)/400)))
	}
	return least
}

func (d *directBlock) checkBustPoint(b Bodice, c *blockChecker) {
	bp, centre := b.front.at("bust point"), b.front.at("front neck point").X
	c.length("bust point from the centre front", centre-bp.X, d.body.BustPointDistance/2, 0.1*MM)
	c.length("bust point from the side neck point", bp.Dist(b.front.at("side neck point")), d.body.NeckToBustPoint, 0.1*MM)
	if dart, err := b.front.Dart(waistDartNames[0]); err == nil {
		start, end := b.front.mouth(dart)
		c.length("bust point to the waist", bp.Y-start.Mid(end).Y, d.body.FrontWaistLength-d.body.NeckToBustPoint, 3*MM)
	}
}

// checkSlope compares the shoulders, darts closed, with the body's.
func (d *directBlock) checkSlope(b Bodice, c *blockChecker, shut func(Point) Point) {
	line := shut(b.front.at("shoulder point")).Sub(b.front.at("side neck point"))
	c.angle("slope of the front shoulder", angleBetween(line, Pt(-1, 0)), d.body.ShoulderSlope, 1)
	dart, err := b.back.Dart("shoulder dart")
	if err != nil {
		panic(err)
	}
	line = turned(b.back.at("shoulder point"), dart.Tip, d.bladeTurn).Sub(b.back.at("side neck point"))
	c.angle("slope of the back shoulder", angleBetween(line, Pt(1, 0)), d.body.ShoulderSlope, 1)
}

// at is a point that every block has.
func (p Piece) at(name string) Point {
	at, err := p.Point(name)
	if err != nil {
		panic(err)
	}
	return at
}
