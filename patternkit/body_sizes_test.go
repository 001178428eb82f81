package patternkit

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"patternkit/patternkit/internal/ansur"
)

func ExampleBodiesFromCSV() {
	sizes, err := BodiesFromCSV(strings.NewReader(`size, BustGirth (cm), waist girth (in), Height
harbour small, 84, 26 1/2, 162 cm
harbour tall, 92, 29, 1.8 m
`))
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range sizes {
		fmt.Println(s.Name, s.Body.BustGirth, s.Body.WaistGirth, s.Body.Height)
	}
	// Output:
	// harbour small 84 cm 67.31 cm 162 cm
	// harbour tall 92 cm 73.66 cm 180 cm
}

// The typed rows against the table as it was read from the publisher's page.
func TestMissesChartAgainstThePublishedTable(t *testing.T) {
	f, err := os.Open(filepath.Join(ansur.TestFolder(t), "astm_d5585_11e1_partial_inches.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	curvy, straight := missesChart(t, CurvyWaist), missesChart(t, StraightWaist)
	field := map[string]func(size string) Length{
		"Head girth":            func(s string) Length { return sizeOf(t, curvy, s).HeadGirth },
		"Neck base girth":       func(s string) Length { return sizeOf(t, curvy, s).NeckBaseGirth },
		"Shoulder girth":        func(s string) Length { return sizeOf(t, curvy, s).ShoulderGirth },
		"Chest/bust girth":      func(s string) Length { return sizeOf(t, curvy, s).BustGirth },
		"Under-bust girth":      func(s string) Length { return sizeOf(t, curvy, s).UnderbustGirth },
		"Waist girth, curvy":    func(s string) Length { return sizeOf(t, curvy, s).WaistGirth },
		"Waist girth, straight": func(s string) Length { return sizeOf(t, straight, s).WaistGirth },
	}
	compared := 0
	for _, row := range records[1:] {
		get, ok := field[row[0]]
		if !ok {
			continue
		}
		for i, size := range records[0][1:] {
			want, err := strconv.ParseFloat(row[i+1], 64)
			if err != nil {
				t.Fatal(err)
			}
			if got := get(size); got != Length(want)*Inch {
				t.Errorf("%s, size %s: %v in, want %v in", row[0], size, got.Inches(), want)
			}
			compared++
		}
	}
	if compared != 7*12 {
		t.Errorf("compared %d values, want 84", compared)
	}
}

// What the handbook of the table points out: straight less curvy waist is
// 1 1/2 in throughout, and bust steps are uneven.
func TestMissesChartSteps(t *testing.T) {
	curvy, straight := missesChart(t, CurvyWaist).Sizes(), missesChart(t, StraightWaist).Sizes()
	steps := map[float64]bool{} // in millionths of an inch
	for i := range curvy {
		if got := straight[i].Body.WaistGirth - curvy[i].Body.WaistGirth; math.Abs(got.Inches()-1.5) > 1e-9 {
			t.Errorf("size %s: straight less curvy waist is %v", curvy[i].Name, got)
		}
		if i > 0 {
			steps[math.Round(1e6*(curvy[i].Body.BustGirth-curvy[i-1].Body.BustGirth).Inches())] = true
		}
		if _, err := curvy[i].Body.Estimated(); err != nil {
			t.Errorf("size %s: %v", curvy[i].Name, err)
		}
	}
	if len(steps) != 9 { // 0.625, 1.25, 1.125, 1, 1.5, 1.625, 1.75, 1.875, 2 in
		t.Errorf("%d different bust steps, want uneven ones", len(steps))
	}
}

func missesChart(t *testing.T, w WaistShape) SizeChart {
	t.Helper()
	c, err := MissesChart(w)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func sizeOf(t *testing.T, c SizeChart, name string) Body {
	t.Helper()
	b, err := c.Size(name)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func TestSizeChartErrors(t *testing.T) {
	small := Size{Name: "small", Body: Body{BustGirth: 84 * CM}}
	for name, sizes := range map[string][]Size{
		"no sizes":             nil,
		"has no name":          {{Body: small.Body}},
		"two sizes are called": {small, small},
		"did you mean 84*CM?":  {{Name: "small", Body: Body{BustGirth: 84}}},
	} {
		if _, err := NewSizeChart("own", "", sizes...); err == nil || !strings.Contains(err.Error(), name) {
			t.Errorf("want ... %s, got %v", name, err)
		}
	}
	if _, err := MissesChart(7); err == nil {
		t.Error("a waist shape of 7 is taken")
	}
	if _, err := missesChart(t, CurvyWaist).Size("9"); err == nil || !strings.Contains(err.Error(), "want one of 00, 0, 2") {
		t.Errorf("size 9: %v", err)
	}
}

func TestBustClassOf(t *testing.T) {
	for _, test := range []struct {
		bust Length
		want string
	}{{74 * CM, "XS"}, {89.9 * CM, "S"}, {90 * CM, "M"}, {106.9 * CM, "L"}, {107 * CM, "XL"}, {130.9 * CM, "XXL"}} {
		if got, err := BustClassOf(test.bust); err != nil || got.Letter != test.want {
			t.Errorf("%v is %v, %v, want %s", test.bust, got, err, test.want)
		}
	}
	if _, err := BustClassOf(92); err == nil || !strings.Contains(err.Error(), "did you mean 92*CM?") {
		t.Errorf("a bare 92: %v", err)
	}
	for i, c := range BustClasses()[1:] {
		if c.Min != BustClasses()[i].Max {
			t.Errorf("class %d starts at %v and the one before ends at %v", i+1, c.Min, BustClasses()[i].Max)
		}
	}
}

func TestBodiesFromCSVErrors(t *testing.T) {
	tests := []struct{ name, text, want string }{
		{"empty", "", "the file is empty"},
		{"heading alone", "size,BustGirth (cm)\n", "no line under it"},
		{"one column", "size\nsmall\n", "want the name of the size and at least one measurement"},
		{"unknown measurement", "size,Chest (cm)\nsmall,84\n", `there is no measurement "Chest", want one of Height, BustGirth`},
		{"twice", "size,BustGirth (cm),bust girth\nsmall,84,\n", "two columns hold BustGirth"},
		{"no unit", "size,BustGirth\nsmall,84\n", "line 2: size small, column BustGirth"},
		{"no name", "size,BustGirth (cm)\n ,84\n", "line 2: the first column is empty"},
		{"bad number", "size,BustGirth (cm)\nsmall,84\nlarge,lots\n", "line 3: size large, column BustGirth (cm)"},
		{"slip", "size,BustGirth (mm)\nsmall,84\n", "did you mean 84*CM?"},
		{"negative", "size,BustGirth (cm)\nsmall,-84\n", "size small"},
		{"ragged", "size,BustGirth (cm)\nsmall,84,3\n", "wrong number of fields"},
		{"slope without unit", "size,ShoulderSlope\nsmall,21\n", "want degrees such as 21°"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if _, err := BodiesFromCSV(strings.NewReader(test.text)); err == nil || !strings.Contains(err.Error(), test.want) {
				t.Errorf("got %v\nwant ... %s", err, test.want)
			}
		})
	}
	sizes, err := BodiesFromCSV(strings.NewReader("size,ShoulderSlope,BustGirth (cm)\nsmall,21°,\n"))
	if err != nil || sizes[0].Body.ShoulderSlope != 21*Degree || sizes[0].Body.BustGirth != 0 {
		t.Errorf("got %+v, %v", sizes, err)
	}
}
