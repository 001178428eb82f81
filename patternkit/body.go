package patternkit

// A Body holds the measurements of one person, in the terms of ISO 8559-1.
// Zero means not measured: Estimated fills what is missing. Lengths are taken
// with a tape on the body, without ease.
//
//	body := Body{Height: 168*CM, BustGirth: 92*CM}
type Body struct {
	Height            Length // crown to floor, standing, without shoes
	BustGirth         Length // horizontal, fullest
	UnderbustGirth    Length // horizontal, just below the breasts
	WaistGirth        Length // natural waist, where a belt settles
	HipGirth          Length // horizontal, at the greatest buttock projection
	NeckBaseGirth     Length // over nape, neck sides and front neck point
	ShoulderLength    Length // side neck point to shoulder point
	BackWidth         Length // across the back between the armpit folds
	ChestWidth        Length // across the front between the armpit folds
	ShoulderGirth     Length // around both upper arms, at their fullest below the shoulder points: what must pass an opening from above
	BackWaistLength   Length // nape to natural waist
	FrontWaistLength  Length // side neck point over the bust point to natural waist
	NeckToBustPoint   Length // side neck point to bust point
	BustPointDistance Length // between the bust points
	ArmscyeDepth      Length // nape down to the level of the underarm
	ArmscyeGirth      Length // around the arm over shoulder point and armpit
	UpperArmGirth     Length // midway between shoulder point and elbow
	ElbowGirth        Length // around the bent elbow
	WristGirth        Length // over the wrist bone
	HandGirth         Length // around the knuckles, without the thumb
	ArmLength         Length // shoulder point to wrist
	WaistToHip        Length // natural waist down to hip level
	WaistHeight       Length // natural waist to floor
	BodyRise          Length // natural waist to seat, sitting
	CrotchLength      Length // front waist between the legs to back waist
	InsideLeg         Length // crotch to floor
	ThighGirth        Length // just below the crotch
	KneeGirth         Length // over the middle of the kneecap
	CalfGirth         Length // greatest girth of the calf
	AnkleGirth        Length // smallest girth of the lower leg
	HeelGirth         Length // over heel and instep: what a trouser hem must pass
	HeadGirth         Length // over the brow: what a closed neckline must pass
	ShoulderSlope     Angle  // how far the shoulder falls below horizontal

	notes *bodyNotes // what Estimated filled, never changed once set; nil on a body as given
}

// bodyNotes remembers what Estimated filled, by index of the field.
type bodyNotes struct {
	estimates [shoulderSlope + 1]Estimate
}

// An Estimate is a measurement that was not taken on the body, how far off it
// may be (one standard deviation: two women of three are nearer) and where it
// is from.
type Estimate struct {
	Field          string // "HipGirth"
	Value          Length // zero for the shoulder slope
	PlusMinus      Length // zero where the source gives none
	Angle          Angle  // the shoulder slope
	AnglePlusMinus Angle
	From           string
}

// number is the estimate as Body's field holds it.
func (e Estimate) number() float64 {
	if e.Field == "ShoulderSlope" {
		return float64(e.Angle)
	}
	return float64(e.Value)
}

// Estimates lists the measurements that are estimated, in the order of the
// fields. One that was set anew since counts as given.
func (b Body) Estimates() []Estimate {
	var out []Estimate
	for i := range shoulderSlope + 1 {
		if e, ok := b.estimate(i); ok {
			out = append(out, e)
		}
	}
	return out
}

func (b *Body) estimate(i int) (Estimate, bool) {
	if b.notes == nil {
		return Estimate{}, false
	}
	e := b.notes.estimates[i]
	return e, e.Field != "" && e.number() == b.field(i)
}

// given reports whether a measurement was taken on the body.
func (b *Body) given(i int) bool {
	_, estimated := b.estimate(i)
	return b.field(i) != 0 && !estimated
}
