package patternkit

import (
	"errors"
	"fmt"
)

// setIn drafts the sleeve for the armholes.
func (d *flatDraft) setIn() error {
	t := d.top
	armhole := newArmhole(d.back.fromUnderarm(), d.front.fromUnderarm(), Body{})
	o := SleeveOptions{BicepsWidth: 2 * t.HalfBiceps, CapEase: t.CapEase, Length: t.SleeveLength, WristWidth: 2 * t.HalfSleeveHem}
	var err error
	if d.sleeve, err = DraftSleeve(armhole, o); err != nil {
		return d.sleeveError(armhole, err)
	}
	// The hem of a sleeve that tapers quickly is bent much, and comes out a
	// little off: what is missing is asked for again.
	for range 8 {
		length, hem := flatSleeveMeasures(d.sleeve)
		if (length-t.SleeveLength).Abs() < 0.001*MM && (hem-2*t.HalfSleeveHem).Abs() < 0.001*MM {
			break
		}
		o.Length += t.SleeveLength - length
		o.WristWidth += 2*t.HalfSleeveHem - hem
		if d.sleeve, err = DraftSleeve(armhole, o); err != nil {
			return d.sleeveError(armhole, err)
		}
	}
	return nil
}

// flatSleeveMeasures are a sleeve's length under the crown and its hem.
func flatSleeveMeasures(s Sleeve) (length, hem Length) {
	path := s.form.hem.path()
	t, _ := rootBetween(func(t float64) float64 { return float64(s.form.hem.at(t).X) }, 0, 1, 1e-12)
	return s.form.cap.height - s.form.hem.at(t).Y, path.Length()
}

// sleeveError words the limits of a sleeve in the measures of the garment.
func (d *flatDraft) sleeveError(armhole Armhole, err error) error {
	var limit *LimitError
	if !errors.As(err, &limit) {
		return err
	}
	as := map[string]struct {
		field string
		share Length
		check string
	}{
		"BicepsWidth": {"HalfBiceps", 2, "ArmholeStraight, the armholes along the seam and HalfBiceps"},
		"WristWidth":  {"HalfSleeveHem", 2, "HalfBiceps and HalfSleeveHem"},
		"Length":      {"SleeveLength", 1, "SleeveLength, HalfBiceps and the armhole"},
		"CapEase":     {"CapEase", 1, "CapEase and the armhole"},
	}[limit.Field]
	return &LimitError{flatWhat, as.field, limit.Got / as.share, limit.Min / as.share, limit.Max / as.share,
		fmt.Sprintf("with an armhole of %v, back and front, and %s; measure again: %s", armhole.Length(), limit.Because, as.check)}
}

// onSheet carries the front to its place beside the back: centre front on the
// right, both underarm points in one.
func (d *flatDraft) onSheet(p Point) Point {
	return Pt(d.back.underarm.X+d.front.underarm.X-p.X, p.Y-d.front.underarm.Y+d.back.underarm.Y)
}

func (d *flatDraft) bodyPieces() (flatBody, error) {
	back, err := d.backPiece()
	if err != nil {
		return flatBody{}, err
	}
	front, err := d.frontPiece()
	return flatBody{back, front}, err
}

func (d *flatDraft) backPiece() (Piece, error) {
	h := &d.back
	m := makePiece("back",
		Edge{"centre back", Line(h.neckCentre, h.hem[0])},
		Edge{"hem", h.hem.path()},
		Edge{"side seam", h.side},
		Edge{"armhole", bendsPath(h.fromUnderarm())},
		Edge{"shoulder", Line(h.shoulder, h.neckSide)},
		Edge{"neckline", h.neckline.reversed().path()},
	).
		point("back neck point", h.neckCentre).
		point("centre back hem point", h.hem[0]).
		notch(Notch{Name: "back", Edge: "armhole", At: bendsLength(h.armhole[:]) * backNotchPlace, Double: true}).
		fold("centre back")
	var up Length
	for _, p := range h.places {
		up += p.below
		m.notch(Notch{Name: p.name, Edge: "side seam", At: up})
	}
	return d.finish(m, h, func(p Point) Point { return p })
}

func (d *flatDraft) frontPiece() (Piece, error) {
	h := &d.front
	to := d.onSheet
	line := func(a, b Point) Path { return Line(to(a), to(b)) }
	side := h.side.Transformed(flatMirror(d)).Reversed()
	m := makePiece("front",
		Edge{"centre front", line(h.hem[0], h.neckCentre)},
		Edge{"neckline", h.neckline.mapped(to).path()},
		Edge{"shoulder", line(h.neckSide, h.shoulder)},
		Edge{"armhole", bendsPath([]bend{h.armhole[0].mapped(to), h.armhole[1].mapped(to)})},
		Edge{"side seam", side},
		Edge{"hem", h.hem.mapped(to).reversed().path()},
	).
		point("front neck point", to(h.neckCentre)).
		point("centre front hem point", to(h.hem[0])).
		notch(Notch{Name: "front", Edge: "armhole", At: bendsLength(h.armhole[:]) * (1 - frontNotchPlace)}).
		fold("centre front")
	whole := h.side.Length()
	for _, p := range h.places {
		whole -= p.below
		m.notch(Notch{Name: p.name, Edge: "side seam", At: whole})
	}
	return d.finish(m, h, to)
}

// finish adds what back and front have alike.
func (d *flatDraft) finish(m *pieceMaker, h *flatHalf, to func(Point) Point) (Piece, error) {
	m.point("side neck point", to(h.neckSide)).
		point("shoulder point", to(h.shoulder)).
		point("underarm point", to(h.underarm)).
		point("hem side point", to(h.hem[3])).
		internal("bust line", Line(to(Pt(0, h.underarm.Y)), to(h.underarm)))
	for _, p := range h.places {
		m.point(p.name+" side point", to(p.at)).
			internal(p.name+" line", Line(to(Pt(0, p.at.Y)), to(p.at)))
	}
	x := h.neckSide.X * 0.6
	return m.quantity(1, "on the fold").
		grainline(to(Pt(x, h.underarm.Y*0.2)), to(Pt(x, h.underarm.Y*0.8))).done()
}
