package patternkit

import "reflect"

// A bodyField describes a measurement: its words, and the least and most that
// a person of any age may have. The limits are set so that no length in
// centimetres lies in them when it is read as millimetres.
type bodyField struct {
	name, words string
	min, max    Length
}

// bodyFields stands in the order of Body's fields, without ShoulderSlope,
// which comes after them and is an angle. The limits are common practice, no
// source: wide enough for a newborn and for the largest of bodies.
var bodyFields = [...]bodyField{
	{"Height", "height", 45 * CM, 230 * CM},
	{"BustGirth", "bust girth", 35 * CM, 200 * CM},
	{"UnderbustGirth", "under-bust girth", 30 * CM, 180 * CM},
	{"WaistGirth", "waist girth", 30 * CM, 200 * CM},
	{"HipGirth", "hip girth", 35 * CM, 220 * CM},
	{"NeckBaseGirth", "neck base girth", 18 * CM, 70 * CM},
	{"ShoulderLength", "shoulder length", 4 * CM, 22 * CM},
	{"BackWidth", "back width", 12 * CM, 70 * CM},
	{"ChestWidth", "chest width", 12 * CM, 70 * CM},
	{"ShoulderGirth", "shoulder girth (over both arms)", 35 * CM, 220 * CM},
	{"BackWaistLength", "back waist length (nape to waist)", 12 * CM, 60 * CM},
	{"FrontWaistLength", "front waist length (side neck point to waist)", 12 * CM, 75 * CM},
	{"NeckToBustPoint", "side neck point to bust point", 8 * CM, 50 * CM},
	{"BustPointDistance", "bust point distance", 6 * CM, 40 * CM},
	{"ArmscyeDepth", "armscye depth", 7 * CM, 40 * CM},
	{"ArmscyeGirth", "armscye girth", 15 * CM, 80 * CM},
	{"UpperArmGirth", "upper arm girth", 10 * CM, 75 * CM},
	{"ElbowGirth", "elbow girth", 9 * CM, 60 * CM},
	{"WristGirth", "wrist girth", 7 * CM, 30 * CM},
	{"HandGirth", "hand girth", 8 * CM, 32 * CM},
	{"ArmLength", "arm length", 15 * CM, 85 * CM},
	{"WaistToHip", "waist to hip", 6 * CM, 40 * CM},
	{"WaistHeight", "waist height", 25 * CM, 150 * CM},
	{"BodyRise", "body rise", 10 * CM, 50 * CM},
	{"CrotchLength", "crotch length", 20 * CM, 130 * CM},
	{"InsideLeg", "inside leg", 12 * CM, 115 * CM},
	{"ThighGirth", "thigh girth", 15 * CM, 120 * CM},
	{"KneeGirth", "knee girth", 12 * CM, 80 * CM},
	{"CalfGirth", "calf girth", 10 * CM, 75 * CM},
	{"AnkleGirth", "ankle girth", 8 * CM, 45 * CM},
	{"HeelGirth", "heel girth", 12 * CM, 50 * CM},
	{"HeadGirth", "head girth", 30 * CM, 70 * CM},
}

// shoulderSlope is the index of Body's one angle.
const shoulderSlope = len(bodyFields)

// maxShoulderSlope bounds the angle as bodyFields bounds the lengths: the
// steepest of the women of ANSUR II have 46 degrees.
const maxShoulderSlope = 50 * Degree

// field returns the i-th measurement: millimetres, or radians for the slope.
func (b *Body) field(i int) float64 {
	return reflect.ValueOf(b).Elem().Field(i).Float()
}

func (b *Body) setField(i int, v float64) {
	reflect.ValueOf(b).Elem().Field(i).SetFloat(v)
}

// fieldIndex finds a measurement by the name of its field, -1 where none has
// that name.
func fieldIndex(name string) int {
	if name == "ShoulderSlope" {
		return shoulderSlope
	}
	for i, f := range bodyFields {
		if f.name == name {
			return i
		}
	}
	return -1
}
