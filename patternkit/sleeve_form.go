package patternkit

import "math"

// A sleeveForm is a sleeve in the making: the crown is above the origin, the
// biceps line at y = 0, the back to the left and the front to the right.
type sleeveForm struct {
	armhole     Armhole
	o           SleeveOptions
	cap         sleeveCap
	back, front capHalf // on the sheet, from the underarm to the crown
	seams       [2]bend // back and front underarm, from the biceps line to the hem
	hem         bend    // from the back to the front
	lean        Angle   // of the underarm seams where they meet the hem
}

// hemTurn is how much more the underarm seams lean at the hem than on the
// whole: they leave the biceps line square and bend in below.
const hemTurn = 1.3

// solveCap finds the cap for the height, or for the width.
func (f *sleeveForm) solveCap() error {
	c := newCap(f.armhole, f.o.CapEase)
	height := f.o.CapHeight
	if height == 0 {
		var err error
		if height, err = f.heightFor(c); err != nil {
			return err
		}
	}
	found, ok := c.of(height)
	if need := f.needed(); !ok || found.biceps() < need || height < leastCapHeight {
		return f.capError(c, height, need)
	}
	f.cap = found
	back, _ := found.backSide.draw(height, found.backWidth)
	front, _ := found.frontSide.draw(height, found.frontWidth)
	f.back = back.mapped(func(p Point) Point { return Pt(p.X-found.backWidth, p.Y) })
	f.front = front.mapped(func(p Point) Point { return Pt(found.frontWidth-p.X, p.Y) })
	return nil
}

// heightFor finds the height of the cap of a sleeve as wide as wanted.
func (f *sleeveForm) heightFor(c sleeveCap) (Length, error) {
	highest := c.highest(0)
	widest, _ := c.of(leastCapHeight)
	narrowest, _ := c.of(highest)
	if err := f.checkBiceps(narrowest.biceps(), widest.biceps()); err != nil {
		return 0, err
	}
	height, _ := rootBetween(func(h float64) float64 {
		at, _ := c.of(Length(h))
		return float64(at.biceps() - f.o.BicepsWidth)
	}, float64(leastCapHeight), float64(highest), 1e-9)
	return Length(height), nil
}

func (c capHalf) mapped(g func(Point) Point) capHalf {
	return capHalf{c.lower.mapped(g), c.upper.mapped(g)}
}

// needed is the least width at the biceps line.
func (f *sleeveForm) needed() Length {
	if f.armhole.arm.UpperArmGirth == 0 {
		return 0
	}
	return f.armhole.arm.UpperArmGirth + f.o.MinimumBicepsEase
}

// middle is the x half way between the ends of the biceps line. Both underarm
// seams go in from it alike, which makes them equal.
func (f *sleeveForm) middle() Length { return (f.cap.frontWidth - f.cap.backWidth) / 2 }

// below draws what lies below the biceps line: seams that leave it square, and
// a hem square to both of them and as long as the wrist is to be wide. Like
// the foot of a cone rolled out, it is highest in its middle.
func (f *sleeveForm) below() {
	half, drop := f.cap.biceps()/2, f.o.Length-f.cap.height
	var reach, rise Length // of the hem from the middle, and of its middle above its ends
	for range 30 {
		f.lean = Angle(math.Atan2(float64(half-reach), float64(drop))) * hemTurn
		reach, rise = arcSpan(f.o.WristWidth, f.lean)
	}
	m := f.middle()
	top := -drop + (m*m/f.o.WristWidth)*Length(f.lean) // so that the hem lies at the full length under the crown
	f.hem = raisedHem(Pt(m, top), reach, rise, f.lean)
	for i, side := range [...]Length{-1, 1} {
		from, to := Pt(m+side*half, 0), Pt(m+side*reach, top-rise)
		end := Polar(1, -90*Degree-Angle(side)*f.lean)
		seam, ok := cornerBend(from, Pt(0, -1), to, end, 0.6)
		if !ok { // as wide at the hem as above
			seam = straight(from, to)
		}
		f.seams[i] = seam
	}
}

// arcSpan returns half the chord and the height of an arc of a length that
// turns by twice lean.
func arcSpan(length Length, lean Angle) (half, height Length) {
	if math.Abs(float64(lean)) < 1e-9 {
		return length / 2, 0
	}
	r := length / Length(2*lean)
	return r * Length(lean.Sin()), r * Length(1-lean.Cos())
}

// raisedHem is the arc whose ends lie half to each side of its top and rise
// below it.
func raisedHem(top Point, half, rise Length, lean Angle) bend {
	h := 2 * float64(half) / 3
	if math.Abs(float64(lean)) > 1e-9 {
		h = 4.0 / 3 * math.Tan(float64(lean)/2) * float64(half) / lean.Sin()
	}
	a, b := top.Add(Pt(-half, -rise)), top.Add(Pt(half, -rise))
	return bend{a, a.Add(Polar(1, lean).Scale(h)), b.Sub(Polar(1, -lean).Scale(h)), b}
}

func straight(a, b Point) bend { return bend{a, a.Lerp(b, 1.0/3), a.Lerp(b, 2.0/3), b} }

// elbow is the height of the elbow line: half the length and 2.5 cm below the
// crown, a rule of the sleeve that belongs to the proportional bodice, from
// memory of its source.
func (f *sleeveForm) elbow() (y Length, shown bool) {
	y = f.cap.height - f.o.Length/2 - 25*MM
	arm := f.armhole.arm.ArmLength
	return y, y < 0 && f.o.Length > arm*3/4
}

// across is the x of an underarm seam at a height.
func across(seam bend, y Length) Length {
	t, _ := rootBetween(func(t float64) float64 { return float64(seam.at(t).Y - y) }, 0, 1, 1e-9)
	return seam.at(t).X
}

func (f *sleeveForm) piece() (Piece, error) {
	back, front := f.seams[0], f.seams[1]
	cap, err := f.front.lower.path().Append(f.front.upper.path(), f.back.upper.reversed().path(), f.back.lower.reversed().path())
	if err != nil {
		return Piece{}, err
	}
	total := cap.Length()
	crown := Pt(0, f.cap.height)
	m := makePiece("sleeve",
		Edge{"hem", f.hem.path()},
		Edge{"front underarm", front.reversed().path()},
		Edge{"cap", cap},
		Edge{"back underarm", back.path()},
	).
		point("crown point", crown).
		point("back underarm point", back[0]).
		point("front underarm point", front[0]).
		point("back hem point", back[3]).
		point("front hem point", front[3]).
		notch(
			Notch{Name: "front", Edge: "cap", At: f.armhole.front.notch},
			Notch{Name: "shoulder", Edge: "cap", At: f.armhole.front.length + f.o.CapEase*(1-backEase)},
			Notch{Name: "back", Edge: "cap", At: total - f.armhole.back.notch, Double: true},
		).
		internal("biceps line", Line(back[0], front[0])).
		quantity(2, "a pair")
	bottom := f.cap.height - f.o.Length
	if y, shown := f.elbow(); shown {
		m.internal("elbow line", Line(Pt(across(back, y), y), Pt(across(front, y), y)))
	}
	return m.grainline(Pt(0, bottom*0.85), Pt(0, f.cap.height*0.7)).done()
}

// shares is the cap ease as it is drafted: between the notches, a little more
// of it at the back, and none below them.
func (f *sleeveForm) shares() []EaseShare {
	ease := f.o.CapEase
	return []EaseShare{{"front", 0}, {"shoulder", ease * (1 - backEase)}, {"back", ease * backEase}, {"", 0}}
}
