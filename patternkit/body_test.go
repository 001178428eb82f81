package patternkit

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"
)

func ExampleBody_Estimated() {
	body, err := Body{Height: 168 * CM, BustGirth: 92 * CM, WaistGirth: 74 * CM, HipGirth: 98 * CM}.Estimated()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("back waist length %.1f cm, armscye depth %.1f cm\n", body.BackWaistLength.CM(), body.ArmscyeDepth.CM())
	e := body.Estimates()[3]
	fmt.Printf("%s: %.1f cm ± %.1f cm\n%s\n", e.Field, e.Value.CM(), e.PlusMinus.CM(), e.From)
	// Output:
	// back waist length 37.7 cm, armscye depth 18.9 cm
	// BackWidth: 36.8 cm ± 2.3 cm
	// ANSUR II: across the back between the armpit folds; on height, bust, waist, hip
}

func ExampleBody_Check() {
	fmt.Println(Body{BustGirth: 92}.Check())
	fmt.Println(Body{Height: 168 * CM, BustGirth: 36 * CM}.Check())
	// Output:
	// body: BustGirth is 9.2 cm, want 35 cm to 200 cm; a bare number is millimetres, did you mean 92*CM?
	// body: BustGirth is 36 cm beside a Height of 168 cm, want 63.9 cm to 184.8 cm; it reads like inches, did you mean 36*Inch?
}

// The table of fields follows the struct: index i is field i.
func TestBodyFieldsFollowTheStruct(t *testing.T) {
	typ := reflect.TypeFor[Body]()
	for i, f := range bodyFields {
		if got := typ.Field(i).Name; got != f.name {
			t.Errorf("field %d is %s in Body and %s in the table", i, got, f.name)
		}
		if f.max/10 >= f.min {
			t.Errorf("%s: a number of centimetres up to %v lies in the range when it is read as millimetres", f.name, f.max)
		}
	}
	if got := typ.Field(shoulderSlope).Name; got != "ShoulderSlope" {
		t.Errorf("field %d is %s, want ShoulderSlope", shoulderSlope, got)
	}
	if got := typ.NumField(); got != shoulderSlope+2 {
		t.Errorf("Body has %d fields, want the %d measurements and the notes", got, shoulderSlope+1)
	}
	for _, p := range proportions {
		if fieldIndex(p.field) < 0 || fieldIndex(p.of) < 0 || p.low >= p.high {
			t.Errorf("proportion %+v names no measurement or is empty", p)
		}
	}
}

func TestCheckNamesTheSlip(t *testing.T) {
	tests := []struct {
		name string
		body Body
		want string // part of the error; "" for none
	}{
		{"nothing given", Body{}, ""},
		{"hip smaller than waist", Body{Height: 160 * CM, BustGirth: 110 * CM, WaistGirth: 116 * CM, HipGirth: 108 * CM}, ""},
		// A 2-year-old girl of NHANES 2017-2020: height 89.5 cm, waist 47.8 cm, arm 16.0 cm (means).
		{"small child", Body{Height: 89.5 * CM, WaistGirth: 47.8 * CM, UpperArmGirth: 16 * CM}, ""},
		{"bare centimetres", Body{WaistGirth: 74}, "WaistGirth is 7.4 cm, want 30 cm to 200 cm; a bare number is millimetres, did you mean 74*CM?"},
		{"bare inches", Body{NeckBaseGirth: 14.5}, "did you mean 14.5*Inch?"},
		{"centimetres as inches", Body{BustGirth: 92 * Inch}, "it reads like centimetres, did you mean 92*CM?"},
		{"millimetres as centimetres", Body{BustGirth: 920 * CM}, "it reads like millimetres, did you mean 920*MM?"},
		{"negative", Body{HipGirth: -98 * CM}, "HipGirth is -98 cm, want 35 cm to 220 cm"},
		{"no number", Body{HipGirth: Length(math.NaN())}, "HipGirth is"},
		{"no end", Body{HipGirth: Length(math.Inf(1))}, "HipGirth is"},
		{"bare degrees", Body{ShoulderSlope: 21}, "a bare number is radians, did you mean 21*Degree?"},
		{"under-bust above bust", Body{BustGirth: 92 * CM, UnderbustGirth: 96 * CM}, "UnderbustGirth is 96 cm beside a BustGirth of 92 cm"},
		{"arm in inches", Body{Height: 168 * CM, ArmLength: 23 * CM}, "ArmLength is 23 cm beside a Height of 168 cm, want 42 cm to 72.2 cm; it reads like inches, did you mean 23*Inch?"},
		{"height in inches among centimetres", Body{Height: 66 * CM, BustGirth: 92 * CM, WaistGirth: 74 * CM, HipGirth: 98 * CM},
			"body: Height is 66 cm beside a BustGirth of 92 cm, want 83.7 cm to 242.1 cm; it reads like inches, did you mean 66*Inch?"},
		{"back waist length to the floor", Body{Height: 168 * CM, BackWaistLength: 58 * CM}, "BackWaistLength is 58 cm beside a Height of 168 cm"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			err := test.body.Check()
			switch {
			case test.want == "" && err != nil:
				t.Error(err)
			case test.want != "" && (err == nil || !strings.Contains(err.Error(), test.want)):
				t.Errorf("got %v\nwant ... %s", err, test.want)
			}
		})
	}
}

// Several slips are told at once, and Go callers can take them apart.
func TestCheckTellsEverySlip(t *testing.T) {
	err := Body{Height: 168, BustGirth: 92}.Check()
	var first *RangeError
	if !errors.As(err, &first) || first.Field != "Height" || !strings.Contains(err.Error(), "92*CM") {
		t.Errorf("got %v", err)
	}
	var odd *OddError
	if err := (Body{BustGirth: 92 * CM, UnderbustGirth: 96 * CM}).Check(); !errors.As(err, &odd) || odd.Field != "UnderbustGirth" {
		t.Errorf("got %v", err)
	}
}

func TestEstimatedSaysWhatItNeeds(t *testing.T) {
	tests := []struct {
		name string
		body Body
		want string
	}{
		{"nothing", Body{}, "BustGirth is missing"},
		{"no bust", Body{Height: 168 * CM, HipGirth: 98 * CM}, "BustGirth is missing"},
		{"a child", Body{Height: 122 * CM, BustGirth: 62 * CM}, "adult women of 140.9 cm to 182.9 cm only (ANSUR II)"},
		{"a small bust without a height", Body{BustGirth: 62 * CM}, "a child cannot be estimated from adults"},
		{"a slip", Body{Height: 168 * CM, BustGirth: 92}, "did you mean 92*CM?"},
		{"inches without a height", Body{BustGirth: 36 * CM}, "did you mean 36*Inch?"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got, err := test.body.Estimated()
			if err == nil || !strings.Contains(err.Error(), test.want) {
				t.Errorf("got %v\nwant ... %s", err, test.want)
			}
			if got != (Body{}) {
				t.Error("a body came with the error")
			}
		})
	}
}

// Changing a measurement and estimating again is the same as giving the
// changed one at first; estimating twice changes nothing.
func TestEstimatedAgain(t *testing.T) {
	first, err := Body{Height: 168 * CM, BustGirth: 92 * CM}.Estimated()
	if err != nil {
		t.Fatal(err)
	}
	twice, err := first.Estimated()
	if err != nil || !sameMeasurements(first, twice) || len(twice.Estimates()) != len(first.Estimates()) {
		t.Errorf("estimated twice: %v\n%v\n%v", err, first, twice)
	}
	changed := first
	changed.BustGirth = 100 * CM
	again, err1 := changed.Estimated()
	fresh, err2 := Body{Height: 168 * CM, BustGirth: 100 * CM}.Estimated()
	if err := errors.Join(err1, err2); err != nil || !sameMeasurements(again, fresh) {
		t.Errorf("bust changed: %v\n%v\n%v", err, again, fresh)
	}
	changed = first
	changed.ShoulderLength = 12 * CM
	if again, err := changed.Estimated(); err != nil || again.ShoulderLength != 12*CM || len(again.Estimates()) != len(first.Estimates())-1 {
		t.Errorf("a measurement that was taken later did not stay: %v, %v", again.ShoulderLength, err)
	}
}

func sameMeasurements(a, b Body) bool {
	a.notes, b.notes = nil, nil
	return a == b
}

// Whatever is given stays, all else is filled with something that Check
// accepts, or there is an error.
func FuzzEstimated(f *testing.F) {
	f.Add(1680.0, 920.0, 740.0, 980.0, 370.0)
	f.Add(0.0, 1500.0, 0.0, 0.0, 0.0)
	f.Add(1450.0, 1300.0, 1300.0, 1200.0, 0.0)
	f.Fuzz(func(t *testing.T, height, bust, waist, hip, back float64) {
		given := Body{Height: Length(height), BustGirth: Length(bust), WaistGirth: Length(waist), HipGirth: Length(hip), BackWaistLength: Length(back)}
		full, err := given.Estimated()
		if err != nil {
			return
		}
		for i := range shoulderSlope + 1 {
			if v := given.field(i); v != 0 && full.field(i) != v {
				t.Errorf("field %d was given as %v and is %v", i, v, full.field(i))
			}
			if full.field(i) == 0 {
				t.Errorf("field %d is not filled", i)
			}
		}
		if err := full.Check(); err != nil {
			t.Error(err)
		}
	})
}

func TestBodyTable(t *testing.T) {
	body, err := Body{Height: 168 * CM, BustGirth: 92 * CM, WaistGirth: 74 * CM, HipGirth: 98 * CM}.Estimated()
	if err != nil {
		t.Fatal(err)
	}
	checkGolden(t, "body.txt", []byte(body.String()))
	checkGolden(t, "body.html", []byte(body.HTML()))
	if got := len(body.Table().Rows); got != shoulderSlope+1 {
		t.Errorf("%d rows, want one for each of %d measurements", got, shoulderSlope+1)
	}
	if !strings.Contains(body.Markdown(), "| bust girth | 92.0 |  | given |") {
		t.Errorf("Markdown has no row of the bust girth:\n%s", body.Markdown())
	}
	if got := len(Body{BustGirth: 92 * CM}.Table().Rows); got != 1 {
		t.Errorf("a body with one measurement has %d rows", got)
	}
}

func TestCautionsForChildren(t *testing.T) {
	text := CautionsForChildren().String()
	for _, want := range []string{"drawstring", "EN 14682", "16 CFR 1120", "1615", "Small", "local law decides"} {
		if !strings.Contains(strings.ToLower(text), strings.ToLower(want)) {
			t.Errorf("the cautions do not mention %q", want)
		}
	}
}
