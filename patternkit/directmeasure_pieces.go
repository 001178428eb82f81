package patternkit

// onSheet carries the front to its place beside the back: centre front on the
// right, both underarm points in one.
func (d *directBlock) onSheet(p Point) Point {
	return Pt(d.back.underarm.X+d.front.underarm.X-p.X, p.Y-d.front.underarm.Y+d.back.underarm.Y)
}

func (d *directBlock) bodice() (Bodice, error) {
	back, err := d.backPiece()
	if err != nil {
		return Bodice{}, d.pieceError(err)
	}
	front, err := d.frontPiece()
	if err != nil {
		return Bodice{}, d.pieceError(err)
	}
	return Bodice{back: back, front: front, block: d}, nil
}

func (d *directBlock) backPiece() (Piece, error) {
	h := &d.back
	edges := []Edge{{"centre back", Line(h.neckCentre, h.waist.start())}}
	edges = append(edges, h.waist.edges()...)
	edges = append(edges,
		Edge{"side seam", Line(h.waist.side, h.underarm)},
		Edge{"armhole", h.armhole.reversed().path()},
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
		notch(Notch{Name: "back", Edge: "armhole", At: h.armhole.length() * backNotchPlace, Double: true}).
		internal("bust line", Line(Pt(0, h.underarm.Y), h.underarm)).
		fold("centre back").
		quantity(1, "on the fold")
	x := d.backWidth * 0.22
	return m.grainline(Pt(x, h.underarm.Y*0.35), Pt(x, h.neckCentre.Y-d.depth*0.35)).done()
}

func (d *directBlock) frontPiece() (Piece, error) {
	h := d.front.mapped(d.onSheet)
	edges := []Edge{
		{"centre front", Line(h.waist.start(), h.neckCentre)},
		{"neckline", h.neckline.path()},
		{"shoulder", Line(h.neckSide, h.dartNear)},
		{"bust dart mouth", Line(h.dartNear, h.dartFar)},
		{"shoulder", Line(h.dartFar, h.shoulder)},
		{"armhole", h.armhole.path()},
		{"side seam", Line(h.underarm, h.waist.side)},
	}
	edges = append(edges, h.waist.edgesBack()...)
	m := makePiece("front", edges...).
		point("front neck point", h.neckCentre).
		point("side neck point", h.neckSide).
		point("shoulder point", h.shoulder).
		point("underarm point", h.underarm).
		point("bust point", h.dartTip).
		point("waist side point", h.waist.side).
		point("centre front waist point", h.waist.start()).
		dart(Dart{"bust dart", "bust dart mouth", h.dartTip}).
		dart(h.waist.pieceDarts()...).
		notch(Notch{Name: "front", Edge: "armhole", At: h.armhole.length() * (1 - frontNotchPlace)}).
		internal("bust line", Line(h.underarm, Pt(h.neckCentre.X, h.underarm.Y))).
		fold("centre front").
		quantity(1, "on the fold")
	x := h.neckCentre.X - d.bustPoint.X*0.45
	return m.grainline(Pt(x, h.underarm.Y*0.35), Pt(x, h.neckCentre.Y-d.depth*0.2)).done()
}

func (h halfBlock) mapped(f func(Point) Point) halfBlock {
	for _, p := range []*Point{&h.neckCentre, &h.neckSide, &h.dartNear, &h.dartFar, &h.dartTip, &h.shoulder, &h.underarm} {
		*p = f(*p)
	}
	h.neckline, h.armhole = h.neckline.mapped(f), h.armhole.mapped(f)
	h.waist = h.waist.mapped(f)
	return h
}

func (w waistLine) mapped(f func(Point) Point) waistLine {
	out := waistLine{side: f(w.side), parts: make([]bend, len(w.parts)), darts: make([]waistDart, len(w.darts))}
	for i, p := range w.parts {
		out.parts[i] = p.mapped(f)
	}
	for i, t := range w.darts {
		out.darts[i] = waistDart{f(t.tip), f(t.near), f(t.far)}
	}
	return out
}

// start is where the waist meets the centre line.
func (w waistLine) start() Point { return w.parts[0][0] }

var waistDartNames = [...]string{"waist dart", "side waist dart"}

func (w waistLine) pieceDarts() []Dart {
	darts := make([]Dart, len(w.darts))
	for i, t := range w.darts {
		darts[i] = Dart{waistDartNames[i], waistDartNames[i] + " mouth", t.tip}
	}
	return darts
}

// edges are the waist of a piece from the centre to the side.
func (w waistLine) edges() []Edge {
	edges := []Edge{{"waist", w.parts[0].path()}}
	for i, t := range w.darts {
		edges = append(edges, Edge{waistDartNames[i] + " mouth", Line(t.near, t.far)}, Edge{"waist", w.parts[i+1].path()})
	}
	return edges
}

// edgesBack are the waist of a piece from the side to the centre.
func (w waistLine) edgesBack() []Edge {
	edges := w.edges()
	out := make([]Edge, len(edges))
	for i, e := range edges {
		out[len(out)-1-i] = Edge{e.Name, e.Path.Reversed()}
	}
	return out
}

func (d *directBlock) armholes() Armhole {
	front := d.front.armhole.mapped(turningBy(d.bustPoint, d.bustTurn).apply)
	return newArmhole([]bend{d.back.armhole.reversed()}, []bend{front.reversed()}, d.body)
}
