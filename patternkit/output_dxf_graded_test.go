package patternkit

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// readCleanly reads a file by ezdxf and wants no error.
func readCleanly(t *testing.T, file []byte) ezdxfFile {
	t.Helper()
	got := readByEzdxf(t, file)
	// ezdxf 0.18 looks for the owner of each SEQEND, which release 12 has no
	// group for.
	got.Fixes = slices.DeleteFunc(got.Fixes, func(fix string) bool { return got.Version == "AC1009" && strings.HasPrefix(fix, "Deleted SEQEND") })
	if len(got.Errors)+len(got.Fixes) > 0 {
		t.Fatalf("errors %q, fixes %q", got.Errors, got.Fixes)
	}
	return got
}

// ezdxf finds a block for each piece in each size, with the geometry of that
// size, in lines and in exact curves.
func TestGradedDXFReadByEzdxf(t *testing.T) {
	_, g := gradedMisses(t)
	for _, kind := range []struct {
		version string
		file    func() ([]byte, error)
	}{{"AC1009", g.DXFFile}, {"AC1015", g.CurveDXFFile}} {
		file, err := kind.file()
		if err != nil {
			t.Fatal(err)
		}
		got := readCleanly(t, file)
		if got.Version != kind.version {
			t.Errorf("version %s, want %s", got.Version, kind.version)
		}
		compareSizesToEzdxf(t, g, got)
		if !strings.Contains(string(file), "SAMPLE SIZE: 10") {
			t.Error("the file does not name the base size")
		}
	}
	_, err := Graded{}.DXFFile()
	wantError(t, err, "want one made by Grade")
	_, err = Graded{}.CurveDXFFile()
	wantError(t, err, "want one made by Grade")
}

func compareSizesToEzdxf(t *testing.T, g Graded, got ezdxfFile) {
	t.Helper()
	if want := len(g.sizes) * len(g.sizes[0].pattern.pieces); len(got.Blocks) != want {
		t.Errorf("%d blocks, want %d", len(got.Blocks), want)
	}
	for _, size := range []gradedSize{g.sizes[0], g.sizes[g.base], g.sizes[11]} {
		for _, piece := range size.pattern.pieces {
			block := got.Blocks[piece.name+"_"+size.name]
			one := ezdxfFile{Blocks: map[string][]struct {
				Kind, Layer, Text string
				Points            [][2]float64
			}{piece.name: block}}
			comparePieceToEzdxf(t, piece, one)
			said := false
			for _, e := range block {
				said = said || e.Text == "SIZE: "+size.name
			}
			if !said {
				t.Errorf("%s in size %s does not say its size", piece.name, size.name)
			}
		}
	}
}

// Each rule of the table has its number in the block of its piece, once, and
// the piece with a reference its line.
func TestRuledDXFNumbersRules(t *testing.T) {
	_, g := gradedMisses(t)
	base := g.sizes[g.base].pattern
	point := base.pieces[0].points[0]
	rules, err := g.Rules(GradeReference{base.pieces[0].name, point.Name})
	if err != nil {
		t.Fatal(err)
	}
	file, err := base.RuledDXFFile(rules, "harbour class")
	if err != nil {
		t.Fatal(err)
	}
	got := readCleanly(t, file)
	for i, r := range rules.namedRules() {
		count := 0
		for _, e := range got.Blocks[r.Piece] {
			if e.Text == fmt.Sprintf("# %d", i+1) {
				count++
			}
		}
		if count != 1 {
			t.Errorf("rule %d, of %s of %s: its number stands %d times", i+1, r.Point, r.Piece, count)
		}
	}
	var lines [][][2]float64
	for _, block := range got.Blocks {
		for _, e := range block {
			if e.Layer == dxfReference {
				lines = append(lines, e.Points)
			}
		}
	}
	if len(lines) != 1 || Pt(Length(lines[0][0][0]), Length(lines[0][0][1])).Dist(point.At) > 0.01 {
		t.Errorf("reference lines %v, want one from %v", lines, point.At)
	}
	if !strings.Contains(string(file), "GRADE RULE TABLE: harbour class") {
		t.Error("the file does not name its rule table")
	}
	_, err = onePiece(t).RuledDXFFile(rules, "harbour class")
	if err == nil {
		t.Error("rules of another pattern are taken")
	}
	_, err = base.RuledDXFFile(rules, "")
	wantError(t, err, "want a name in one line")
}

func TestRulePlaceBesideTheCorner(t *testing.T) {
	places := []gradePlace{{name: "tip", at: Pt(1, 0)}, {name: "tip", at: Pt(2, 0)}}
	for _, tt := range []struct {
		point string
		want  Point
		ok    bool
	}{{"tip", Pt(1, 0), true}, {placeApart("tip"), Pt(2, 0), true}, {"hem", Point{}, false}} {
		if at, ok := rulePlace(places, tt.point); at != tt.want || ok != tt.ok {
			t.Errorf("%q: %v, %v", tt.point, at, ok)
		}
	}
}
