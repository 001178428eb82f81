package patternkit

import (
	"math"
	"strings"
	"testing"
)

// finishPattern is the block of the acceptance cells with allowances: 1.5 cm,
// necklines 1 cm, the sleeve's hem 4 cm turned up.
func finishPattern(t testing.TB) Pattern {
	t.Helper()
	p := blockPattern(t)
	p, err := p.WithAllowances(1.5*CM, Allowance{Edge: "neckline", Width: 1 * CM}, Hem("hem", 4*CM))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func blockPattern(t testing.TB) Pattern {
	t.Helper()
	return blockOf(t, 168*CM, 92*CM, 74*CM, 98*CM, DirectMeasure)
}

// Worked by hand: a rectangle of 20 by 30 cm on the fold, 1 cm all round, is
// cut 42 by 32 cm opened out; cut twice with a strip of 10 by 5 cm raw.
func TestCutAreaAndCuttingList(t *testing.T) {
	p := finishQuad(t, Pt(0, 0), Pt(20*CM, 0), Pt(20*CM, 30*CM), Pt(0, 30*CM))
	p, err := p.WithFold("centre")
	if err != nil {
		t.Fatal(err)
	}
	if p, err = p.WithQuantity(2, ""); err != nil {
		t.Fatal(err)
	}
	if p, err = p.WithGrainline(Pt(5*CM, 5*CM), Pt(5*CM, 20*CM)); err != nil {
		t.Fatal(err)
	}
	p = p.WithMaterial("main cloth")
	strip := finishQuad(t, Pt(0, 0), Pt(10*CM, 0), Pt(10*CM, 5*CM), Pt(0, 5*CM))
	if strip, err = strip.Renamed("strip"); err != nil {
		t.Fatal(err)
	}
	pattern, err := NewPattern("apron", p, strip)
	if err != nil {
		t.Fatal(err)
	}
	if pattern, err = pattern.WithAllowances(1*CM, Hem("hem", 3*CM)); err != nil {
		t.Fatal(err)
	}
	area, err := pattern.CutArea()
	if err != nil {
		t.Fatal(err)
	}
	if want := 2*420*340.0 + 120*90.0; math.Abs(area-want) > 1e-6 {
		t.Errorf("area %.3f mm², want %.3f", area, want)
	}
	list, err := pattern.CuttingList()
	if err != nil {
		t.Fatal(err)
	}
	want := [][]string{
		{"panel", "2", "on the fold", "main cloth", "along the fold", "1 cm; hem 3 cm folded back", "21.0", "34.0"},
		{"strip", "1", "", "", "none marked", "1 cm; hem 3 cm folded back", "12.0", "9.0"},
	}
	for i, row := range want {
		if got := strings.Join(list.Rows[i], "|"); got != strings.Join(row, "|") {
			t.Errorf("row %d: %s, want %s", i, got, strings.Join(row, "|"))
		}
	}
	if got := strings.Join(p.Labels("12"), "|"); got != "panel|cut 2, on the fold|main cloth|size 12" {
		t.Errorf("labels %s", got)
	}
}

// Notches reach the cut line square to the stitch line, folds from cut line to
// cut line.
func TestNotchMarksAndFoldLines(t *testing.T) {
	pattern := finishPattern(t)
	seen := 0
	for _, p := range pattern.Pieces() {
		cut, err := p.CutLine()
		if err != nil {
			t.Fatal(err)
		}
		marks, err := p.NotchMarks()
		if err != nil {
			t.Fatal(err)
		}
		if len(marks) != len(p.Notches()) {
			t.Errorf("%s: %d marks of %d notches", p.Name(), len(marks), len(p.Notches()))
		}
		for _, m := range marks {
			seen++
			if long := m.On.Dist(m.Out); (long-1.5*CM).Abs() > 0.01 || cut.Dist(m.Out) > 1e-6 || p.Outline().Dist(m.On) > 1e-6 {
				t.Errorf("%s: notch %q is %v long", p.Name(), m.Name, long)
			}
		}
		folds, err := p.FoldLines()
		if err != nil {
			t.Fatal(err)
		}
		if want := map[string]int{"sleeve": 1}[p.Name()]; len(folds) != want {
			t.Errorf("%s has %d fold lines, want %d", p.Name(), len(folds), want)
		}
		for _, f := range folds {
			if cut.Dist(f.Path.Start()) > 1e-6 || cut.Dist(f.Path.End()) > 1e-6 || f.Name != "hem fold" {
				t.Errorf("%s: %q runs from %v to %v", p.Name(), f.Name, f.Path.Start(), f.Path.End())
			}
		}
	}
	if seen != 5 {
		t.Errorf("%d notches, want 5", seen)
	}
}

func TestPatternAllowances(t *testing.T) {
	pattern := finishPattern(t)
	table := pattern.CheckAllowances()
	if len(table.Rows()) != 9 || table.Rows()[1].Place != "neckline across the shoulder" || table.Rows()[8].Place != "hem of sleeve" {
		t.Fatalf("want 4 seams, 4 edges across them and a hem:\n%s", table)
	}
	for _, r := range table.Rows()[:8] {
		if r.Fault {
			t.Errorf("%s: %s", r.Place, r.Verdict)
		}
	}
	back, err := pattern.Piece("back")
	if err != nil {
		t.Fatal(err)
	}
	if pattern, err = pattern.WithPiece(finishWith(t, back, Allowance{Edge: "side seam", Width: 2 * CM}, Hem("waist", 2*CM))); err != nil {
		t.Fatal(err)
	}
	faults := pattern.CheckAllowances().Faults()
	if len(faults) < 2 || faults[0].Place != "side seam" || faults[0].A != "2 cm" || faults[0].B != "1.5 cm" ||
		faults[1].Place != "waist across the side seam" || faults[1].A != "2 cm folded back" || faults[1].B != "1.5 cm" {
		t.Errorf("faults %v, want the side seam with 2 cm and 1.5 cm and the waist with 2 cm and 1.5 cm", faults)
	}
	if _, err := pattern.WithAllowances(1*CM, Allowance{Edge: "cuff", Width: 1 * CM}); err == nil || !strings.Contains(err.Error(), `no piece has an edge "cuff"`) {
		t.Errorf("allowance of a cuff: %v", err)
	}
}

// A hem that is an arc of radius 50 cm about a place below, 30° of it: turned up
// by 5 cm its edge of radius 45 cm lies on one of 55 cm.
func TestFoldedLength(t *testing.T) {
	const turn = math.Pi / 6
	hem := Arc(Pt(0, 0), 50*CM, math.Pi/2+turn/2, -turn)
	a, b := hem.Start(), hem.End()
	top := Arc(Pt(0, 0), 80*CM, math.Pi/2-turn/2, turn)
	p, err := NewPiece("cone", Edge{"hem", hem}, Edge{"side", Line(b, top.Start())}, Edge{"top", top}, Edge{"other side", Line(top.End(), a)})
	if err != nil {
		t.Fatal(err)
	}
	p, err = p.WithAllowanceEverywhere(1 * CM)
	if err != nil {
		t.Fatal(err)
	}
	pattern, err := NewPattern("skirt", finishWith(t, p, Hem("hem", 5*CM)))
	if err != nil {
		t.Fatal(err)
	}
	row := pattern.CheckAllowances().Rows()[0]
	turned, under := 45*CM*turn, 55*CM*turn
	if row.A != turned.String() || row.B != under.String() || !row.Fault || !strings.Contains(row.Verdict, "too short") {
		t.Errorf("%+v, want %v on %v", row, turned, under)
	}
}

// An elastic of 1 1/2 in, turned 1/4 then 1 3/4 in, runs in 1 5/8 in
// (allpeoplequilt.com); a finished casing is the elastic and 1/4 in (Easy
// Waistband Casings, extension guideline 12.150); 1/2 in then 1 in takes 1 1/2
// in (common practice, no source).
func TestCasing(t *testing.T) {
	c, err := NewCasing("top", 1.5*Inch, Inch/8)
	if err != nil {
		t.Fatal(err)
	}
	for name, pair := range map[string][2]Length{
		"depth":     {c.Depth(), 1.75 * Inch},
		"finished":  {c.Depth() - c.Elastic, Inch / 4},
		"channel":   {c.Channel(), 1.625 * Inch},
		"allowance": {c.Allowance().Width, 2 * Inch},
		"wide turn": {Casing{Edge: "top", Elastic: Inch / 2, Clearance: 3 * Inch / 8, Turn: Inch / 2}.Allowance().Width, 1.5 * Inch},
	} {
		if (pair[0] - pair[1]).Abs() > 1e-9 {
			t.Errorf("%s is %v, want %v", name, pair[0], pair[1])
		}
	}
	p := finishQuad(t, Pt(0, 0), Pt(20*CM, 0), Pt(20*CM, 30*CM), Pt(0, 30*CM))
	if p, err = p.WithAllowanceEverywhere(1 * CM); err != nil {
		t.Fatal(err)
	}
	if p, err = p.WithCasing(c); err != nil {
		t.Fatal(err)
	}
	cut := finishChecked(t, p)
	if top := cut.Bounds().Max.Y; (top - 30*CM - 2*Inch).Abs() > 1e-9 {
		t.Errorf("the cut line reaches to %v", top)
	}
	line := p.Internals()[0]
	if line.Name != "top stitching" || line.Path.Start().Dist(Pt(20*CM, 30*CM-1.625*Inch)) > 1e-6 || line.Path.End().Dist(Pt(0, 30*CM-1.625*Inch)) > 1e-6 {
		t.Errorf("%q from %v to %v", line.Name, line.Path.Start(), line.Path.End())
	}
	folds, err := p.FoldLines()
	if err != nil {
		t.Fatal(err)
	}
	if len(folds) != 2 || (folds[1].Path.Start().Y-30*CM-1.75*Inch).Abs() > 1e-6 || folds[1].Name != "top fold 2" {
		t.Errorf("folds %v", folds)
	}
	for _, bad := range []Casing{{Edge: "top", Elastic: 1, Clearance: 3}, {Edge: "top", Elastic: 12, Clearance: 0}, {Edge: "top", Elastic: 6, Clearance: 2, Turn: 30}} {
		if _, err := p.WithCasing(bad); err == nil {
			t.Errorf("%+v is taken", bad)
		}
	}
}

func TestElasticLength(t *testing.T) {
	// 70 cm at the waist, 10 % shorter, 1/2 in to join: 63 cm + 1.27 cm.
	if l, err := ElasticLength(70*CM, 0.1, Inch/2); err != nil || (l-64.27*CM).Abs() > 1e-9 {
		t.Errorf("%v, %v", l, err)
	}
	for _, bad := range []struct {
		girth     Length
		reduction float64
		overlap   Length
	}{{70, 0.1, 10}, {70 * CM, 8, 10}, {70 * CM, math.NaN(), 10}, {70 * CM, 0.1, -1}} {
		if l, err := ElasticLength(bad.girth, bad.reduction, bad.overlap); err == nil {
			t.Errorf("%+v gives %v", bad, l)
		}
	}
}
