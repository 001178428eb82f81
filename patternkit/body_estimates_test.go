package patternkit

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat"
)

// Every measured woman is a body, and can be estimated from all that was
// measured.
func TestEveryMeasuredWoman(t *testing.T) {
	bodies := ansurBodies(t)
	if len(bodies) != 1986 {
		t.Fatalf("%d women, want 1986", len(bodies))
	}
	for i, b := range bodies {
		if err := b.Check(); err != nil {
			t.Errorf("woman %d: %v", i, err)
		}
		full, err := b.Estimated()
		if err != nil {
			t.Errorf("woman %d: %v", i, err)
		} else if err := full.Check(); err != nil {
			t.Errorf("woman %d, estimated: %v", i, err)
		}
	}
}

// On 1,140 of the 1,986 women of ANSUR II the shoulders are wider around than
// the hip, counted from its columns shouldercircumference and
// buttockcircumference apart from this program: hip alone does not say whether
// a garment goes on from above.
func TestShouldersAgainstHips(t *testing.T) {
	wider := 0
	for _, b := range ansurBodies(t) {
		if b.ShoulderGirth > b.HipGirth {
			wider++
		}
	}
	if wider != 1140 {
		t.Errorf("shoulder girth exceeds hip girth on %d women, want 1140", wider)
	}
}

// Over the women that the regressions come from the errors add up to nothing,
// and their spread is the ± that is printed, whichever predictors are given.
func TestEstimatesAreUnbiased(t *testing.T) {
	bodies := ansurBodies(t)
	givens := []func(Body) Body{
		func(b Body) Body {
			return Body{Height: b.Height, BustGirth: b.BustGirth, WaistGirth: b.WaistGirth, HipGirth: b.HipGirth}
		},
		func(b Body) Body { return Body{Height: b.Height, BustGirth: b.BustGirth} },
		func(b Body) Body { return Body{BustGirth: b.BustGirth, HipGirth: b.HipGirth} },
		func(b Body) Body { return Body{BustGirth: b.BustGirth} },
	}
	for k, given := range givens {
		errs := map[string][]float64{}
		plus := map[string]float64{}
		for i, b := range bodies {
			full, err := given(b).Estimated()
			if err != nil {
				t.Fatalf("woman %d: %v", i, err)
			}
			for _, e := range full.Estimates() {
				if was := b.field(fieldIndex(e.Field)); was != 0 && e.Field != "BackWaistLength" {
					errs[e.Field] = append(errs[e.Field], float64(e.Value)-was)
					plus[e.Field] = float64(e.PlusMinus)
				}
			}
		}
		if len(errs) < 13 {
			t.Errorf("givens %d: %d measurements compared, want at least 13", k, len(errs))
		}
		for field, e := range errs {
			mean, sd := stat.MeanStdDev(e, nil)
			if math.Abs(mean) > 0.1 || math.Abs(sd/plus[field]-1) > 0.01 {
				t.Errorf("givens %d: %s is off by %.3f mm ± %.2f mm, want 0 ± %.2f mm", k, field, mean, sd, plus[field])
			}
		}
	}
}

// The woman of the 1988 means (Natick/TR-89/044, women, n = 2,208) gets what
// was measured there, to half a millimetre, where only 1988 has it, and nearly
// so where both surveys meet.
func TestMeanWomanOf1988(t *testing.T) {
	b, err := Body{Height: 1629.4 * MM, BustGirth: 907.1 * MM}.Estimated()
	if err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		name            string
		got, want, near Length
	}{
		{"waist_back_length_natural", b.BackWaistLength, 367.3, 0.5},
		{"neck_bustpoint_length", b.NeckToBustPoint, 268.0, 0.5},
		{"scye_depth", b.ArmscyeDepth, 185.7, 0.5},
		{"scye_circumference", b.ArmscyeGirth, 371.3, 0.5},
		{"chest_circumference_below_breast", b.UnderbustGirth, 769.7, 0.5},
		{"waist_height_sitting_natural", b.BodyRise, 279.5, 0.5},
		{"waist_height_natural", b.WaistHeight, 1056.5, 3},
		{"crotch_length_natural, the mean hip being larger in 2012", b.CrotchLength, 754.3, 8},
		{"waist_hip_length from the navel plus navel to natural waist", b.WaistToHip, 148.4 + 1056.5 - 982.1, 3},
		{"elbow_circumference, the arms being larger in 2012", b.ElbowGirth, 238.3, 7},
		{"sleeve_outseam", b.ArmLength, 547.2, 5},
		{"wrist_circumference", b.WristGirth, 151.2, 3},
		{"crotch_height", b.InsideLeg, 771.4, 14},
	}
	for _, test := range tests {
		if d := test.got - test.want; d < -test.near || d > test.near {
			t.Errorf("%s: %v, want %v within %v", test.name, test.got, test.want, test.near)
		}
	}
}

// Tables of other makers fall within two ± of the estimates.
func TestEstimatesAgainstTables(t *testing.T) {
	chart, err := MissesChart(CurvyWaist) // ASTM D5585-11e1
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range chart.Sizes() {
		full, err := Body{BustGirth: s.Body.BustGirth}.Estimated()
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range full.Estimates() {
			published := Length(s.Body.field(fieldIndex(e.Field)))
			if published != 0 && e.Field != "WaistGirth" && (e.Value-published > 2*e.PlusMinus || published-e.Value > 2*e.PlusMinus) {
				t.Errorf("size %s: %s is %v ± %v, the table has %v", s.Name, e.Field, e.Value, e.PlusMinus, published)
			}
		}
	}
	// Patent CN 02150747, worked at height 160 cm and bust 84 cm: chest width
	// 32.26 cm, back width 33.60 cm.
	b, err := Body{Height: 160 * CM, BustGirth: 84 * CM}.Estimated()
	if err != nil {
		t.Fatal(err)
	}
	if d := b.ChestWidth - 32.26*CM; d < -0.5*MM || d > 0.5*MM {
		t.Errorf("chest width is %v, want 32.26 cm", b.ChestWidth)
	}
	if d := b.BackWidth - 33.60*CM; d < -2*CM || d > 2*CM {
		t.Errorf("back width is %v, want near 33.60 cm", b.BackWidth)
	}
}

func BenchmarkEstimated(b *testing.B) {
	body := Body{Height: 168 * CM, BustGirth: 92 * CM, WaistGirth: 74 * CM, HipGirth: 98 * CM}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := body.Estimated(); err != nil {
			b.Fatal(err)
		}
	}
}
