package patternkit

import (
	"reflect"
	"strings"
	"testing"
)

func TestPointsRoundTrip(t *testing.T) {
	for name, p := range map[string]Pattern{"marked": markedPattern(t), "block": blockOf(t, 168*CM, 92*CM, 74*CM, 98*CM, DirectMeasure)} {
		file, err := p.PointsFile()
		if err != nil {
			t.Fatal(err)
		}
		got, err := PointsFromCSV(strings.NewReader(string(file)))
		if err != nil {
			t.Fatal(err)
		}
		for _, piece := range p.pieces {
			if !reflect.DeepEqual(got[piece.name], piece.Points()) {
				t.Errorf("%s: points of %q are read as %v, want %v", name, piece.name, got[piece.name], piece.Points())
			}
		}
	}
}

func TestPointsFromCSVUnits(t *testing.T) {
	got, err := PointsFromCSV(strings.NewReader("\ufeffY (in), note, X (cm), Name\n1,a,2,\"tip, front\"\n"))
	want := map[string][]NamedPoint{"": {{"tip, front", Pt(2*CM, 1*Inch)}}}
	if err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("%v, %v, want %v", got, err, want)
	}
}

func TestPointsFromCSVErrors(t *testing.T) {
	const head = "point,x (mm),y (mm)\n"
	for _, tt := range []struct{ name, file, want string }{
		{"empty", "", "it is empty"},
		{"no unit", "point,x,y\n", `line 1: column "x", want its unit`},
		{"no y", "point,x (mm)\n", "want point, x (mm) and y (mm)"},
		{"twice x", "point,x (mm),x (cm),y (mm)\n", "a second column"},
		{"too few", head + "a,1,2\nb,1\n", "line 3"},
		{"comma for point", head + "a,\"1,5\",2\n", `line 2: point "a": "1,5" is no number`},
		{"not a number", head + "a,NaN,2\n", "too far"},
		{"infinite", head + "a,1e999,2\n", "no number"},
		{"far", head + "a,1e7,2\n", "at most 1 km"},
		{"no name", head + " ,1,2\n", "line 2: a point has no name"},
		{"twice", head + "a,1,2\na,1,2\n", `line 3: a second point "a"`},
		{"quote", head + "\"a,1,2\n", "line"},
		{"long", head + strings.Repeat("a", csvMostBytes), "more than 16777216 bytes"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, err := PointsFromCSV(strings.NewReader(tt.file))
			wantError(t, err, tt.want)
		})
	}
}

func FuzzPointsFromCSV(f *testing.F) {
	f.Add("point,x (mm),y (mm)\na,1,2\n")
	f.Add("piece,name,x (in),y (cm)\n\"a\n\",b,-1e3,.5\n")
	f.Fuzz(func(t *testing.T, file string) {
		got, err := PointsFromCSV(strings.NewReader(file))
		for _, points := range got {
			for _, q := range points {
				if err != nil || !q.At.Finite() || q.Name == "" {
					t.Fatalf("%v, %v", q, err)
				}
			}
		}
	})
}
