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

	notes *bodyNotes // what Estimated filled; nil on a body as given
}
