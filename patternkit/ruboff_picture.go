package patternkit

import (
	"image/color"
	"strconv"

	"patternkit/patternkit/drawing"
	"patternkit/patternkit/geom"
)

// flatModel is the top on which the picture shows the measures. Its own are
// chosen so that the lines keep clear of each other.
func flatModel() FlatTop {
	return FlatTop{BackLength: 640, NeckWidth: 200, BackNeckDrop: 45, FrontNeckDrop: 130, AcrossShoulders: 400, ShoulderDrop: 55,
		AcrossBack: 350, AcrossFront: 330, HalfBust: 490, WaistDown: 390, HalfWaist: 450, HipDown: 560, HalfHip: 510, HalfHem: 530,
		ArmholeStraight: 210, SleeveLength: 240, HalfBiceps: 178, HalfSleeveHem: 155}
}

// The page of the picture: one view over the other.
const (
	flatScale  = 0.185
	flatApart  = 20 * MM // between the views
	flatBall   = 2.3 * MM
	flatSleeve = 18 * Degree // of the sleeve's fold below the level, as it lies
)

// A flatView draws one side of the garment at its place on the page.
type flatView struct {
	page *drawing.Page
	half flatHalf
	to   Transform
}

// A flatLine is where one measure is taken, and how far along it its number
// stands.
type flatLine struct {
	name string
	path Path
	at   float64
}

// Picture shows where each measure is taken, on the front and on the back of a
// top that lies flat, by the numbers of PointsOfMeasure. It is the same for
// every top: a sheet to hand out.
func (t FlatTop) Picture() Picture {
	page := drawing.NewPage("where a top is measured", "front and back of a top lying flat, with the numbers of the points of measure")
	d := flatDraft{top: flatModel()}
	if err := d.halves(); err != nil {
		panic("patternkit: the model of a flat top cannot be drawn: " + err.Error())
	}
	height := d.back.neckSide.Y*flatScale + flatApart
	views := []struct {
		title string
		view  flatView
		lines []flatLine
	}{
		{"front, the top lying on its back", flatView{page, d.front, flatPlaced(height)}, d.frontLines()},
		{"back, the top lying on its front", flatView{page, d.back, flatPlaced(0)}, d.backLines()},
	}
	for _, v := range views {
		v.view.garment()
		for _, l := range v.lines {
			v.view.line(l)
		}
		v.view.numbers(v.lines)
		style := screenStyle()
		page.Text(drawing.Text{At: v.view.to.Apply(Pt(-430, v.view.half.neckSide.Y+40)), S: v.title, Font: style.name})
	}
	style := screenStyle()
	page.Text(drawing.Text{At: flatPlaced(0).Apply(Pt(-430, -70)), S: "The numbers are those of the table. CapEase (29) is felt, not taped. The dashed line is a ruler across the side neck points.\n20 to 23 are taken only where the side seams do not lie at the sides.", Font: style.small})
	return Picture{page, "where a top lying flat is measured"}
}

func flatPlaced(up Length) Transform {
	return geom.Scale(flatScale).Then(geom.Translate(Pt(0, up)))
}

// garment draws the outline of a view, with its sleeves and seams.
func (v flatView) garment() {
	style := screenStyle()
	h := v.half
	fold := flatFold(h)
	ruler := flatAcross(h.shoulder.X+60, h.neckSide.Y)
	v.page.Stroke(ruler.Transformed(v.to), style.internal)
	for _, side := range []Transform{v.to, geom.Mirror(Pt(0, 0), Pt(0, 1)).Then(v.to)} {
		draw := func(p Path, pen drawing.Pen) { v.page.Stroke(p.Transformed(side), pen) }
		for _, p := range []Path{h.neckline.path(), Line(h.neckSide, h.shoulder), h.hem.path(), h.side, fold.fold, fold.hem, fold.underarm} {
			draw(p, style.stitch)
		}
		draw(bendsPath(h.armhole[:]), style.dart)
	}
}

// A flatFolded is a sleeve as it lies beside the garment.
type flatFolded struct{ fold, hem, underarm, biceps Path }

func flatFold(h flatHalf) flatFolded {
	m := flatModel()
	along := Polar(1, -flatSleeve)
	end := h.shoulder.Add(along.Scale(float64(m.SleeveLength)))
	under := end.Add(along.Perp().Neg().Scale(float64(m.HalfSleeveHem)))
	foot := h.shoulder.Add(along.Scale(float64(h.underarm.Sub(h.shoulder).Dot(along))))
	return flatFolded{Line(h.shoulder, end), Line(end, under), Line(under, h.underarm), Line(h.underarm, foot)}
}

// line draws where a measure is taken, with an arrowhead at each end.
func (v flatView) line(l flatLine) {
	style := screenStyle()
	p := l.path.Transformed(v.to)
	v.page.Stroke(p, style.dart)
	for _, end := range []struct{ tip, back Point }{{p.Start(), p.TangentAt(0)}, {p.End(), p.TangentAt(p.Length()).Neg()}} {
		back := end.tip.Add(end.back.Scale(1.7))
		side := end.back.Perp().Scale(0.55)
		v.page.Fill(Polyline(end.tip, back.Add(side), back.Sub(side), end.tip), ink)
	}
}

// centre is where the number of a measure stands on the page.
func (v flatView) centre(l flatLine) Point {
	p := l.path.Transformed(v.to)
	return p.At(p.Length() * Length(l.at))
}

// numbers writes the number of each measure in a circle on its line.
func (v flatView) numbers(lines []flatLine) {
	style := screenStyle()
	font := style.small
	font.Color = ink
	for _, l := range lines {
		at := v.centre(l)
		ball := circle(at, flatBall)
		v.page.Fill(ball, color.White)
		v.page.Stroke(ball, style.dart)
		v.page.Text(drawing.Text{At: at, S: strconv.Itoa(flatNumber(l.name)), Font: font, Anchor: drawing.MiddleCenter})
	}
}

// flatNumber is the number of a measure in the table.
func flatNumber(name string) int {
	for i, m := range flatMeasures {
		if m.name == name {
			return i + 1
		}
	}
	panic("patternkit: no measure of a flat top is named " + name)
}

// besideTop is a path moved outward or inward.
func besideTop(p Path, by Point) Path { return p.Transformed(geom.Translate(by)) }

func flatMirrored(p Path) Path { return p.Transformed(geom.Mirror(Pt(0, 0), Pt(0, 1))) }

// flatAcross is a line over the whole garment at a height, to both sides alike.
func flatAcross(x, y Length) Path { return Line(Pt(-x, y), Pt(x, y)) }

// flatHemWhole is the hem from corner to corner.
func flatHemWhole(h flatHalf) Path {
	p, _ := flatMirrored(h.hem.path()).Reversed().Append(h.hem.path()) // they meet on the centre line
	return p
}

// backLines are the measures that are taken on the back.
func (d *flatDraft) backLines() []flatLine {
	h := d.back
	neck, top := h.neckSide, h.neckSide.Y
	waist, hip := h.places[1].at, h.places[0].at
	fold := flatFold(h)
	narrow := h.armhole[0][3]
	return []flatLine{
		{"BackLength", Line(neck, Pt(neck.X, h.hemUnder(neck.X))), 0.7},
		{"WaistDown", Line(Pt(-neck.X, top), Pt(-neck.X, waist.Y)), 0.75},
		{"HipDown", Line(Pt(-neck.X-45, top), Pt(-neck.X-45, hip.Y)), 0.85},
		{"NeckWidth", flatAcross(neck.X, top+14), 0.5},
		{"BackNeckDrop", Line(Pt(-45, top), Pt(-45, h.neckCentre.Y)), 0.5},
		{"AcrossShoulders", flatAcross(h.shoulder.X, h.shoulder.Y), 0.45},
		{"ShoulderDrop", Line(Pt(h.shoulder.X+28, top), Pt(h.shoulder.X+28, h.shoulder.Y)), 0.5},
		{"ShoulderLength", besideTop(Line(Pt(-neck.X, top), Pt(-h.shoulder.X, h.shoulder.Y)), Pt(-7, 20)), 0.75},
		{"AcrossBack", flatAcross(narrow.X, narrow.Y), 0.4},
		{"ArmholeStraight", Line(Pt(-h.shoulder.X, h.shoulder.Y), Pt(-h.underarm.X, h.underarm.Y)), 0.45},
		{"BackArmhole", besideTop(bendsPath(h.armhole[:]), Pt(-14, 0)), 0.62},
		{"HalfBust", flatAcross(h.underarm.X, h.underarm.Y), 0.42},
		{"HalfWaist", flatAcross(waist.X, waist.Y), 0.57},
		{"HalfHip", flatAcross(hip.X, hip.Y), 0.57},
		{"HalfHem", besideTop(flatHemWhole(h), Pt(0, -22)), 0.62},
		{"SideSeam", besideTop(h.side, Pt(22, 0)), 0.5},
		{"SleeveUnderarm", besideTop(flatMirrored(fold.underarm), Pt(4, -20)), 0.5},
		{"SleeveLength", besideTop(fold.fold, Pt(6, 20)), 0.5},
		{"HalfBiceps", flatMirrored(fold.biceps), 0.55},
		{"HalfSleeveHem", besideTop(fold.hem, Pt(20, 6)), 0.5},
	}
}

// frontLines are the measures that are taken on the front.
func (d *flatDraft) frontLines() []flatLine {
	h := d.front
	neck, top := h.neckSide, h.neckSide.Y
	waist, hip := h.places[1].at, h.places[0].at
	narrow := h.armhole[0][3]
	return []flatLine{
		{"FrontLength", Line(neck, Pt(neck.X, h.hemUnder(neck.X))), 0.7},
		{"FrontNeckDrop", Line(Pt(0, top), h.neckCentre), 0.5},
		{"AcrossFront", flatAcross(narrow.X, narrow.Y), 0.4},
		{"FrontArmhole", besideTop(bendsPath(h.armhole[:]), Pt(-14, 0)), 0.62},
		{"FrontBust", flatAcross(h.underarm.X, h.underarm.Y), 0.42},
		{"FrontWaist", flatAcross(waist.X, waist.Y), 0.57},
		{"FrontHip", flatAcross(hip.X, hip.Y), 0.57},
		{"FrontHem", besideTop(flatHemWhole(h), Pt(0, -22)), 0.62},
	}
}
