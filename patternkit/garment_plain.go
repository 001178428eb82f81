package patternkit

import (
	"fmt"
	"math"

	"patternkit/patternkit/geom"
)

// PlainTopOptions shape a hip-length top with set-in sleeves. Zero means zero,
// not "default": start from DefaultPlainTop and change what you need.
type PlainTopOptions struct {
	BustEase     Length // of the block: its bust less the bust girth, all round
	SideWidth    Length // added at each side of front and back and at both edges of the underarm seam; all round four times that
	HipEase      Length // at least so much at the hip, all round; more where the block is wider above
	BelowHip     Length // the hem below the level of the hip, less than zero above it
	SleeveLength Length // crown down to the hem
	SleeveEase   Length // at least so much wider than the upper arm is the sleeve
	SleeveTaper  Length // the sleeve's hem is narrower than its biceps by so much
}

// DefaultPlainTop returns a start for a loose top in woven cloth with short
// sleeves (common practice, no source): the bust of the block with 8 cm of ease
// let out to 16 cm, 10 cm at the hip, the hem 2 cm below it.
func DefaultPlainTop() PlainTopOptions {
	return PlainTopOptions{BustEase: 8 * CM, SideWidth: 2 * CM, HipEase: 10 * CM, BelowHip: 2 * CM,
		SleeveLength: 24 * CM, SleeveEase: 4 * CM}
}

const plainWhat = "plain top"

// childrensHeight is the height to which EN 14682 counts young children; the
// smallest of the women whose proportions the block has is 140.9 cm tall.
const childrensHeight = 134 * CM

func (o PlainTopOptions) check() error {
	for _, r := range []struct {
		field            string
		got, least, most Length
	}{
		{"BustEase", o.BustEase, 2 * CM, 30 * CM},
		{"SideWidth", o.SideWidth, 0, 20 * CM},
		{"HipEase", o.HipEase, 0, 60 * CM},
		{"BelowHip", o.BelowHip, -12 * CM, 40 * CM},
		{"SleeveLength", o.SleeveLength, 12 * CM, 85 * CM},
		{"SleeveEase", o.SleeveEase, 2 * CM, 20 * CM},
		{"SleeveTaper", o.SleeveTaper, 0, 25 * CM},
	} {
		if err := checkRange(plainWhat, r.field, r.got, r.least, r.most); err != nil {
			return err
		}
	}
	if o.SideWidth != 0 && o.SideWidth < 1*MM {
		return checkRange(plainWhat, "SideWidth", o.SideWidth, 1*MM, 20*CM)
	}
	return nil
}

// A PlainTop is a hip-length top drafted from a body, for those who have no
// garment to start from: as a Part its pieces "back", "front" and "sleeve" on
// the stitch line, and the seams of a block: "shoulder", "side seam",
// "underarm" and "armhole".
type PlainTop struct {
	pattern Pattern
	steps   []DesignStep
}

// DraftPlainTop drafts a plain top from the block of a body, by direct measure
// with a shirt sleeve, whose cap is a fourth of the armhole high (Baldt,
// Clothing for Women, 1916) or lower where the arm needs the width. The waist
// darts are let out, the sides run straight to the hip; the dart of the back
// shoulder is eased into its seam, the bust dart lies in the side seam. The
// body needs all that DraftBodice asks for, HipGirth, WaistToHip and
// UpperArmGirth, so call Estimated first; errors are those of DraftBodice and
// DraftSleeve, and a body of up to 134 cm, whose proportions are not the block's.
func DraftPlainTop(b Body, o PlainTopOptions) (PlainTop, error) {
	fail := func(err error) (PlainTop, error) { return PlainTop{}, fmt.Errorf("%s: %w", plainWhat, err) }
	if err := o.check(); err != nil {
		return PlainTop{}, err
	}
	if err := checkNeeded(plainWhat, needed{"HipGirth", float64(b.HipGirth)}, needed{"WaistToHip", float64(b.WaistToHip)},
		needed{"UpperArmGirth", float64(b.UpperArmGirth)}); err != nil {
		return PlainTop{}, err
	}
	if b.Height > 0 && b.Height <= childrensHeight {
		return PlainTop{}, fmt.Errorf("%s: Height is %s, and the block has the proportions of adult women, from 140.9 cm (ANSUR II); for a child, or an adult of that height, measure a garment that fits and draft from it (FlatTop); for a child see CautionsForChildren",
			plainWhat, b.Height)
	}
	bodice, err := DraftBodice(b, BodiceOptions{BustEase: o.BustEase, WaistEase: 6 * CM})
	if err != nil {
		return fail(err)
	}
	sleeve, err := plainSleeve(bodice.Armhole(), b, o)
	if err != nil {
		return fail(err)
	}
	block, err := NewPattern(plainWhat, bodice, sleeve)
	if err != nil {
		return fail(err)
	}
	g := gathering{p: block}
	if err := g.find(); err != nil {
		return fail(err)
	}
	h := hipLength{body: b, o: o, bodice: bodice}
	for _, step := range []func() error{
		func() error { return g.does("length", h.words(), h.lengthen) },
		g.easeShoulder,
		func() error { g.o.SideWidth = o.SideWidth; return g.letOut() },
		g.dartToSide,
	} {
		if err := step(); err != nil {
			return fail(err)
		}
	}
	return PlainTop{pattern: g.p, steps: g.steps}, nil
}

func plainSleeve(a Armhole, b Body, o PlainTopOptions) (Sleeve, error) {
	const capEase = 1 * CM
	s := SleeveOptions{CapHeight: a.Length() / 4, CapEase: capEase, Length: o.SleeveLength, MinimumBicepsEase: 2 * CM}
	width, err := BicepsWidth(a, s.CapHeight, capEase)
	if err != nil {
		return Sleeve{}, err
	}
	if least := b.UpperArmGirth + o.SleeveEase; width < least {
		s.CapHeight, s.BicepsWidth, width = 0, least, least
	}
	s.WristWidth = width - max(o.SleeveTaper, joinTolerance) // a width that was solved for is as near as that
	return DraftSleeve(a, s)
}

// easeShoulder leaves the dart of the back shoulder open and eases it in.
func (g *gathering) easeShoulder() error {
	return g.does("dart of the back shoulder", "The dart of the back shoulder is left open and eased into the seam between two notches.",
		func(p Pattern) (Pattern, error) { return p.DartToFullness("back", "shoulder dart", 0) })
}

// dartToSide moves the bust dart from the shoulder into the side seam.
func (g *gathering) dartToSide() error {
	return g.does("bust dart", "The bust dart is pivoted from the shoulder into the side seam, where no top edge will cut it.",
		func(p Pattern) (Pattern, error) {
			return onPiece(p, "front", func(q Piece) (Piece, error) { return g.body[0].toSide(q, "bust dart", 0.15) })
		})
}

// A hipLength draws the block on from its waist to the hip.
type hipLength struct {
	body   Body
	o      PlainTopOptions
	bodice Bodice
}

func (h hipLength) words() string {
	return fmt.Sprintf("The waist darts are let out. The sides run straight from the underarm to the hip, which measures %s with the sides let out, and the hem lies %s below it.",
		h.around(), h.o.BelowHip)
}

// across is the width of half the block below the bust, back and front.
func (h hipLength) across() Length {
	return h.bodice.front.at("front neck point").X - h.bodice.back.at("back neck point").X
}

// run is by how much each side goes out from the underarm to the hip.
func (h hipLength) run() Length {
	return max(0, (h.body.HipGirth+h.o.HipEase-4*h.o.SideWidth)/4-h.across()/2)
}

// around is the hip of the top with its sides let out.
func (h hipLength) around() Length { return 2*h.across() + 4*h.run() + 4*h.o.SideWidth }

// side is the side seam from the underarm down, the piece to its left: square
// to the armhole above, out to the hip and on to the hem, which turns up to
// stand square to it, by rise.
func (h hipLength) side() (side Path, rise Length, err error) {
	back := h.bodice.back
	from := back.at("underarm point")
	drop := h.toHip()
	hip := from.Add(Pt(h.run(), -drop))
	out := Pt(h.run()*1.3, -drop).Unit()
	start := Pt(0, -1) // square to the strip that lets the side out
	if h.o.SideWidth == 0 {
		start = back.at("waist side point").Sub(from).Unit() // square to the armhole of the block
	}
	curve := geom.Hermite(from, start.Scale(float64(drop)), hip, out.Scale(float64(drop)))
	if side, err = curve.Append(Line(hip, hip.Add(out.Scale(float64(50*CM))))); err != nil {
		return Path{}, 0, err
	}
	width := from.X - back.at("back neck point").X
	rise = width * Length(math.Abs(float64(out.X/out.Y))) / 3
	level := from.Y - drop - h.o.BelowHip + rise
	crossings := side.Intersections(Line(Pt(from.X-1*M, level), Pt(from.X+1*M, level)))
	if len(crossings) != 1 {
		return Path{}, 0, fmt.Errorf("the sides run out from the underarm to the hip by %s over %s, too far for a side seam: want less HipEase, or more BustEase or SideWidth", h.run(), drop)
	}
	side, err = side.Between(0, crossings[0].S)
	return side, rise, err
}

// toHip is how far the hip lies below the underarm.
func (h hipLength) toHip() Length {
	back := h.bodice.back
	return back.at("underarm point").Y - back.at("centre back waist point").Y + h.body.WaistToHip
}

// lengthen redraws the lower part of back and front. Where the front's centre
// sinks below the level of the back's waist, its hem sinks as well.
func (h hipLength) lengthen(p Pattern) (Pattern, error) {
	back, front := h.bodice.back, h.bodice.front
	side, rise, err := h.side()
	if err != nil {
		return Pattern{}, err
	}
	hem := side.End().Y - rise
	levels := []NamedPoint{{"bust line", back.at("underarm point")}, {"waist line", back.at("centre back waist point")}}
	if h.o.BelowHip > 1*CM {
		levels = append(levels, NamedPoint{"hip line", Pt(0, hem+h.o.BelowHip)})
	}
	newBack, err := hipPiece(back, side, Pt(back.at("back neck point").X, hem), levels)
	if err != nil {
		return Pattern{}, err
	}
	axis := front.at("underarm point")
	mirrored := side.Transformed(geom.Mirror(axis, axis.Add(Pt(0, 1)))) // both underarm points lie in one on the sheet
	sink := min(0, front.at("centre front waist point").Y-back.at("centre back waist point").Y)
	newFront, err := hipPiece(front, mirrored, Pt(front.at("front neck point").X, hem+sink), levels)
	if err != nil {
		return Pattern{}, err
	}
	return p.withSeams(p.seams, newBack, newFront)
}

// hipPiece is a half of the block with another lower part: a side seam, and a
// hem from its end to the centre, square to both.
func hipPiece(p Piece, side Path, centre Point, levels []NamedPoint) (Piece, error) {
	end := side.End()
	front := end.X < centre.X
	reach := float64((end.X - centre.X).Abs())
	out, along := Pt(1, 0), side.TangentAt(side.Length()).Perp()
	if front {
		out, along = out.Neg(), along.Neg()
	}
	hem := geom.Hermite(centre, out.Scale(reach), end, along.Scale(reach))
	var edges []Edge
	for _, e := range p.edges {
		switch {
		case e.Name == p.fold && front:
			edges = append(edges, Edge{e.Name, Line(centre, e.Path.End())})
		case e.Name == p.fold:
			edges = append(edges, Edge{e.Name, Line(e.Path.Start(), centre)}, Edge{"hem", hem}, Edge{"side seam", side.Reversed()})
		case e.Name == "side seam" && front:
			edges = append(edges, Edge{e.Name, side}, Edge{"hem", hem.Reversed()})
		case e.Name == "side seam", e.Name == "waist", waistMouth(p, e.Name):
		default:
			edges = append(edges, e)
		}
	}
	m := makePiece(p.name, edges...)
	for _, q := range p.points {
		if q.At.Y > side.Start().Y-1*MM || q.Name == "bust point" {
			m.point(q.Name, q.At)
		}
	}
	m.point("hem side point", end).point("centre "+p.name+" hem point", centre)
	for _, d := range p.darts {
		if !waistMouth(p, d.Mouth) {
			m.dart(d)
		}
	}
	m.notch(p.notches...).fold(p.fold).quantity(p.quantity, p.cutNote).grainline(p.grain[0], p.grain[1])
	for _, level := range levels {
		at := side.Start()
		if level.At.Y < at.Y {
			for _, c := range side.Intersections(Line(Pt(centre.X, level.At.Y), Pt(end.X*2-centre.X, level.At.Y))) {
				at = c.At
			}
		}
		m.internal(level.Name, Line(Pt(centre.X, level.At.Y), at))
	}
	return m.done()
}

// waistMouth reports whether an edge is the mouth of a dart in the waist.
func waistMouth(p Piece, edge string) bool {
	for _, d := range p.darts {
		if d.Mouth == edge {
			return p.besideMouth(d, true).Name == "waist"
		}
	}
	return false
}

// Pattern returns the top.
func (t PlainTop) Pattern() Pattern { return t.pattern }

// Pieces returns back, front and sleeve.
func (t PlainTop) Pieces() []Piece { return t.pattern.Pieces() }

// Seams returns the seams of the top.
func (t PlainTop) Seams() []Seam { return t.pattern.Seams() }

// Steps returns the changes from the block to the top, in order.
func (t PlainTop) Steps() []DesignStep { return append([]DesignStep(nil), t.steps...) }

// Table lists the steps.
func (t PlainTop) Table() Table { return stepTable("How the "+plainWhat+" came about", t.steps) }

// HTML returns the drawing of the top.
func (t PlainTop) HTML() string { return t.pattern.HTML() }

// MovingHTML returns the drawing for a live view.
func (t PlainTop) MovingHTML() string { return t.pattern.MovingHTML() }

// SVG returns the drawing of the top.
func (t PlainTop) SVG() string { return t.pattern.SVG() }

// PNG returns the drawing of the top.
func (t PlainTop) PNG() []byte { return t.pattern.PNG() }

// Markdown returns the pattern in words.
func (t PlainTop) Markdown() string { return t.pattern.Markdown() }

// String returns the pattern in words.
func (t PlainTop) String() string { return t.pattern.String() }
