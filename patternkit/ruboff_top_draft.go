package patternkit

import (
	"fmt"
	"math"

	"patternkit/patternkit/geom"
)

// A flatHalf is half of a back or front in the making: the centre line is at
// x = 0, the arm to the right, the hem at y = 0 on the centre line.
type flatHalf struct {
	neckCentre, neckSide, shoulder, underarm Point
	neckline, hem                            bend    // from the centre
	armhole                                  [2]bend // from the shoulder to the narrowest, and on to the underarm
	side                                     Path    // from the hem up to the underarm
	places                                   []flatPlace
}

// A flatPlace is a level that was measured between hem and underarm.
type flatPlace struct {
	name  string // "hip"
	at    Point  // on the side seam
	below Length // side seam from the place before, or the hem, up to it
}

// A flatDraft is a top in the making.
type flatDraft struct {
	top         FlatTop
	back, front flatHalf
	sleeve      Sleeve
}

// flatWidths are half the widths of a panel: at the hem, at each place
// measured between, and at the underarm.
func (t FlatTop) flatWidths(front bool) []Length {
	panel := func(half, own Length) Length {
		switch {
		case own == 0:
			return half / 2
		case front:
			return own / 2
		}
		return half - own/2
	}
	out := []Length{panel(t.HalfHem, t.FrontHem)}
	if t.HalfHip > 0 {
		out = append(out, panel(t.HalfHip, t.FrontHip))
	}
	if t.HalfWaist > 0 {
		out = append(out, panel(t.HalfWaist, t.FrontWaist))
	}
	return append(out, panel(t.HalfBust, t.FrontBust))
}

// flatRounds is how often a half is drawn anew: hem, levels and underarm hang
// on each other, and settle to less than a micron in a few rounds.
const flatRounds = 60

// flatStep is the part of what is missing that a round makes good: all of it
// could swing to and fro.
const flatStep = 0.7

func (d *flatDraft) halves() error {
	t := d.top
	if err := d.back.drawBack(t); err != nil {
		return err
	}
	d.front.drawFront(t, d.back)
	for i, h := range []*flatHalf{&d.back, &d.front} {
		gap, longer := h.hem[3].Dist(h.side.Start()), (h.side.Length() - d.back.side.Length()).Abs()
		if !(gap < 0.001*MM && longer < 0.001*MM) {
			return fmt.Errorf("%s: the side seam of the %s swings too far between underarm and hem: the widths there contradict each other; measure HalfBust, HalfWaist, HalfHip and HalfHem again, and FrontBust, FrontWaist, FrontHip and FrontHem where they are given",
				flatWhat, [2]string{"back", "front"}[i])
		}
		h.hem[3] = h.side.Start() // what the rounds left open is far below a micron
	}
	if err := d.back.necklines(t, false); err != nil {
		return err
	}
	if err := d.front.necklines(t, true); err != nil {
		return err
	}
	if err := d.back.hollow(flatHollow{"AcrossBack", "BackArmhole", t.AcrossBack / 2, t.BackArmhole, flatBackFull}); err != nil {
		return err
	}
	return d.front.hollow(flatHollow{"AcrossFront", "FrontArmhole", t.AcrossFront / 2, t.FrontArmhole, flatFrontFull})
}

// drawBack finds the levels of the back from the side neck point down.
func (h *flatHalf) drawBack(t FlatTop) error {
	w := t.flatWidths(false)
	for range flatRounds {
		h.top(t, t.BackLength)
		across := h.shoulder.X - w[len(w)-1]
		rise := math.Sqrt(float64(t.ArmholeStraight*t.ArmholeStraight - across*across))
		if math.IsNaN(rise) {
			return fmt.Errorf("%s: ArmholeStraight is %v, but from the shoulder point to the underarm it is already %v across by AcrossShoulders %v and HalfBust %v: measure the three again",
				flatWhat, t.ArmholeStraight, across.Abs(), t.AcrossShoulders, t.HalfBust)
		}
		h.underarm = Pt(w[len(w)-1], h.shoulder.Y-Length(rise))
		h.places = nil
		if t.HalfHip > 0 {
			h.places = append(h.places, flatPlace{"hip", Pt(w[1], h.neckSide.Y-t.HipDown), 0})
		}
		if t.HalfWaist > 0 {
			h.places = append(h.places, flatPlace{"waist", Pt(w[len(w)-2], h.neckSide.Y-t.WaistDown), 0})
		}
		h.drawSide(w[0])
		if err := h.checkLevels(t); err != nil {
			return err
		}
	}
	return nil
}

// checkLevels looks whether hem, hip, waist and underarm lie in that order.
func (h *flatHalf) checkLevels(t FlatTop) error {
	const least = 2 * CM
	words := map[string]string{"hip": "HipDown", "waist": "WaistDown"}
	below, name := h.hem[3].Y, "the hem at the side"
	for _, p := range h.places {
		if p.at.Y < below+least {
			return fmt.Errorf("%s: %s puts the %s line %v above %s, want at least %v: is it measured from the side neck point, straight down? BackLength is %v",
				flatWhat, words[p.name], p.name, p.at.Y-below, name, least, t.BackLength)
		}
		below, name = p.at.Y, "the "+p.name+" line"
	}
	if h.underarm.Y < below+least {
		return fmt.Errorf("%s: the underarm lies %v above %s, want at least %v: BackLength %v, ShoulderDrop %v and ArmholeStraight %v contradict each other",
			flatWhat, h.underarm.Y-below, name, least, t.BackLength, t.ShoulderDrop, t.ArmholeStraight)
	}
	return nil
}

// top places neck and shoulder above the hem as it is drawn.
func (h *flatHalf) top(t FlatTop, length Length) {
	y := length + h.hemUnder(t.NeckWidth/2)
	h.neckSide = Pt(t.NeckWidth/2, y)
	h.shoulder = Pt(t.AcrossShoulders/2, y-t.ShoulderDrop)
}

// hemUnder is how high the hem lies at an x.
func (h *flatHalf) hemUnder(x Length) Length {
	b := h.hem
	if b == (bend{}) || x >= b[3].X {
		return b[3].Y
	}
	s, _ := rootBetween(func(s float64) float64 { return float64(b.at(s).X - x) }, 0, 1, 1e-9)
	return b.at(s).Y
}

// drawSide draws the side seam through the places and the hem square to it.
func (h *flatHalf) drawSide(hem Length) {
	points := []Point{h.hem[3]}
	if h.hem == (bend{}) {
		points[0] = Pt(hem, 0)
	}
	for _, p := range h.places {
		points = append(points, p.at)
	}
	points = append(points, h.underarm)
	h.side = flatSide(points)
	h.measurePlaces()
	h.hem = flatHem(hem, h.side.TangentAt(0).Direction()-90*Degree)
}

// flatSide draws a side seam up through points. One that flares leaves the
// underarm upright, or the armhole, square to it, would dip below the underarm.
func flatSide(points []Point) Path {
	side := Line(points[0], points[1])
	lean := points[1].Sub(points[0]).Unit() // of the lowest stretch, so that it is not swayed by the waist
	if len(points) > 2 {
		side = geom.Spline(points, &lean, nil)
	}
	if side.TangentAt(side.Length()).X < 0 {
		up := Pt(0, 1)
		side = geom.Spline(points, &lean, &up)
	}
	return side
}

// measurePlaces measures the side seam from place to place.
func (h *flatHalf) measurePlaces() {
	parts := h.side.Segments()
	for i := range h.places {
		part, _ := geom.PathOf(parts[i])
		h.places[i].below = part.Length()
	}
}

// flatHem is the hem of half a panel: it leaves the centre line square and
// turns by lean on its whole length, as an arc does.
func flatHem(length Length, lean Angle) bend {
	if math.Abs(float64(lean)) < 1e-9 {
		return straight(Pt(0, 0), Pt(length, 0))
	}
	r := length / Length(lean)
	end := Pt(r*Length(lean.Sin()), r*Length(1-lean.Cos()))
	handle := 4.0 / 3 * math.Tan(float64(lean)/4) * float64(r)
	return bend{Pt(0, 0), Pt(Length(handle), 0), end.Sub(Polar(1, lean).Scale(handle)), end}
}

// drawFront puts the levels of the front where each part of its side seam is
// as long as that of the back.
func (h *flatHalf) drawFront(t FlatTop, back flatHalf) {
	w := t.flatWidths(true)
	h.underarm = Pt(w[len(w)-1], back.underarm.Y)
	for i, p := range back.places {
		h.places = append(h.places, flatPlace{p.name, Pt(w[i+1], p.at.Y), 0})
	}
	length := t.FrontLength
	if length == 0 {
		length = t.BackLength
	}
	whole := back.side.Length()
	h.drawSide(w[0])
	for range flatRounds {
		var up Length
		for i, p := range back.places {
			up += p.below - h.places[i].below
			h.places[i].at.Y += up * flatStep
		}
		h.underarm.Y += (whole - h.side.Length()) * flatStep
		h.drawSide(w[0])
		h.top(t, length)
	}
}

// flatAboveBust is how far a neckline ends above the bust line, or there would be
// no bust to measure.
const flatAboveBust = 2 * CM

// necklines draws the neckline as the block does: level at the centre, and so
// turned to the shoulder that back and front run on into each other.
func (h *flatHalf) necklines(t FlatTop, front bool) error {
	slope := Angle(math.Atan2(float64(t.ShoulderDrop), float64(t.AcrossShoulders-t.NeckWidth)/2))
	name, drop, arrive, full := "BackNeckDrop", t.BackNeckDrop, 180*Degree-slope-backNeckTurn, 0.6
	if front {
		name, drop, arrive, full = "FrontNeckDrop", t.FrontNeckDrop, backNeckTurn-slope, 0.58
	}
	if most := h.neckSide.Y - h.underarm.Y - flatAboveBust; drop > most {
		return &LimitError{flatWhat, name, drop, 0, most, fmt.Sprintf("the neckline ends at least %v above the level of the underarm", flatAboveBust)}
	}
	h.neckCentre = Pt(0, h.neckSide.Y-drop)
	var ok bool
	if h.neckline, ok = cornerBend(h.neckCentre, Pt(1, 0), h.neckSide, Polar(1, arrive), full); !ok {
		return fmt.Errorf("%s: no neckline runs from %s of %v to NeckWidth of %v: measure both, ShoulderDrop and AcrossShoulders again", flatWhat, name, drop, t.NeckWidth)
	}
	return nil
}

// flatMirror is onSheet as a transform.
func flatMirror(d *flatDraft) Transform {
	about := (d.back.underarm.X + d.front.underarm.X) / 2
	return geom.Mirror(Pt(about, 0), Pt(about, 1)).Then(geom.Translate(Pt(0, d.back.underarm.Y-d.front.underarm.Y)))
}
