package controls

import (
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"patternkit/patternkit/geom"
)

func TestBadControlsAreRefused(t *testing.T) {
	p, _ := newFake(true)
	first := func(_ any, err error) error { return err }
	tests := []struct {
		name string
		err  error
		want string
	}{
		{"below", first(p.Slider("ease", 1*cm, 2*cm, 3*cm)), `slider "ease": starts at 1 cm, want 2 cm to 3 cm`},
		{"no room", first(p.Slider("ease", 1*cm, 1*cm, 1*cm)), "leaves nothing to choose"},
		{"no label", first(p.Slider(" ", 1*cm, 0, 2*cm)), "the label is empty"},
		{"not a number", first(p.NumberSlider("n", math.NaN(), 0, 1)), "want finite numbers"},
		{"angle", first(p.AngleSlider("flare", 50*geom.Degree, 0, 45*geom.Degree)), "starts at 50°, want 0° to 45°"},
		{"count", first(p.CountSlider("gores", 3, 4, 12)), "starts at 3, want 4 to 12"},
		{"one option", first(p.Choice("collar", "stand")), "1 options, want two or more"},
		{"twice", first(p.Choice("collar", "stand", "stand")), "given twice"},
		{"toggle", first(p.Toggle("", true)), "the label is empty"},
		{"choose", must(p.Choice("collar", "stand", "flat")).Set("round"), `"round" is asked for, want one of`},
		{"number", must(p.NumberSlider("ratio", 1, 0, 2)).Set(3), "3 is asked for, want 0 to 2"},
	}
	for _, test := range tests {
		if test.err == nil || !strings.Contains(test.err.Error(), test.want) {
			t.Errorf("%s: %v, want %q", test.name, test.err, test.want)
		}
	}
}

func TestNumberStepsSuitTheRange(t *testing.T) {
	for _, test := range []struct{ width, step float64 }{{1, 0.01}, {9, 0.01}, {10, 0.1}, {0.5, 0.001}, {5000, 10}} {
		if got, _ := niceStep(test.width); math.Abs(got-test.step) > test.step*1e-9 {
			t.Errorf("a range of %v has steps of %v, want %v", test.width, got, test.step)
		}
	}
}

func TestBindingsHaveTheTypesOfTheFunctions(t *testing.T) {
	functions := map[string]any{
		"Slider": Slider, "AngleSlider": AngleSlider, "NumberSlider": NumberSlider, "CountSlider": CountSlider,
		"Choice": Choice, "Toggle": Toggle, "Live": Live, "Show": Show, "Progress": Progress, "Save": Save, "Load": Load, "Ask": Ask,
		"LengthEntry": LengthEntry, "MeasureIn": MeasureIn, "Aside": Aside, "ClearOutput": ClearOutput,
	}
	bindings := NewPanel().Bindings()
	if len(bindings) != len(functions) {
		t.Errorf("%d bindings of %d functions", len(bindings), len(functions))
	}
	for name, f := range functions {
		if got, want := reflect.TypeOf(bindings["patternkit/kernel/controls."+name]), reflect.TypeOf(f); got != want {
			t.Errorf("%s is bound as %v, want %v", name, got, want)
		}
	}
}

func TestPlainProgramPrints(t *testing.T) {
	var out strings.Builder
	p := NewPanel()
	p.front = &printer{out: &out}
	s := must(p.Slider("ease", 5*cm, 0, 9*cm))
	p.Live(func() any { return "a block with " + s.Value().String() })
	if err := p.Show(s, 7); err != nil {
		t.Error(err)
	}
	want := "ease: 5 cm\na block with 5 cm\nease: 5 cm\n7\n"
	if out.String() != want {
		t.Errorf("printed %q, want %q", out.String(), want)
	}
}

func TestSave(t *testing.T) {
	p, _ := newFake(false)
	dir := t.TempDir()
	p.SetFolder(dir)
	saved, err := p.Save("class/pieces.svg", []byte("<svg/>"))
	if err != nil || saved.Replaced || saved.String() != "class/pieces.svg, 6 B" {
		t.Errorf("%v, %v", saved, err)
	}
	if got, err := os.ReadFile(filepath.Join(dir, "class", "pieces.svg")); err != nil || string(got) != "<svg/>" {
		t.Errorf("the file holds %q, %v", got, err)
	}
	want := `<p><a download="pieces.svg" href="data:image/svg+xml;base64,PHN2Zy8+">class/pieces.svg</a>, 6 B</p>`
	if saved.HTML() != want {
		t.Errorf("HTML %s, want %s", saved.HTML(), want)
	}
	if saved, err = p.Save("class/pieces.svg", make([]byte, maxDownload+1)); err != nil || !saved.Replaced || strings.Contains(saved.HTML(), "href") {
		t.Errorf("%v, %v", saved, err)
	}
	if left, _ := filepath.Glob(filepath.Join(dir, "class", "*.part")); left != nil {
		t.Errorf("left over: %v", left)
	}
}

// What is saved goes through no file that was there, whatever else leads to it.
func TestSaveWritesToNoOtherFile(t *testing.T) {
	p, _ := newFake(false)
	outside, dir := t.TempDir(), t.TempDir()
	p.SetFolder(dir)
	mine := filepath.Join(outside, "mine.txt")
	if err := os.WriteFile(mine, []byte("mine"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"x.txt", "x.txt.part"} {
		if err := os.Link(mine, filepath.Join(dir, name)); err != nil {
			t.Skip("no hard links here: ", err)
		}
	}
	must(p.Save("x.txt", []byte("other")))
	if got, err := os.ReadFile(mine); err != nil || string(got) != "mine" {
		t.Errorf("the file outside holds %q, %v", got, err)
	}
	if err := os.Mkdir(filepath.Join(dir, "taken.txt"), 0o700); err != nil {
		t.Fatal(err)
	}
	if _, err := p.Save("taken.txt", []byte("x")); err == nil {
		t.Error("a folder is replaced")
	}
	if left, _ := filepath.Glob(filepath.Join(dir, "*.*.part")); len(left) != 1 {
		t.Errorf("left over: %v", left)
	}
}

func TestSaveWritesNothingThatRuns(t *testing.T) {
	p, _ := newFake(false)
	dir := t.TempDir()
	p.SetFolder(dir)
	for _, name := range []string{
		"sitecustomize.py", "lesson.ipynb", "Makefile", "authorized_keys", "run.sh", "run.BAT", "a.desktop", "a.txt.exe", "a.txt.",
		"jupyter_notebook_config.json", "class/Jupyter_Config.json", "ipython_config.json", "x.pth", "conftest.cfg",
	} {
		if _, err := p.Save(name, []byte("x")); err == nil {
			t.Errorf("%q is written", name)
		}
	}
	p.OpenFolders()
	must(p.Save("mine.py", []byte("x")))
}

func TestSaveStaysInItsFolder(t *testing.T) {
	p, _ := newFake(false)
	outside, dir := t.TempDir(), t.TempDir()
	p.SetFolder(dir)
	if err := os.Symlink(outside, filepath.Join(dir, "link")); err != nil {
		t.Skip("no symbolic links here: ", err)
	}
	for _, name := range []string{"", ".", "..", "../x", "/etc/x", "a/../../x", ".profile", "a/.git/config", "link/x", `c:\x`, "a//b", "x/"} {
		if _, err := p.Save(name, []byte("x")); err == nil {
			t.Errorf("%q is written", name)
		}
		if _, err := p.Load(name); err == nil {
			t.Errorf("%q is read", name)
		}
	}
	for _, d := range []string{outside, dir} {
		entries, err := os.ReadDir(d)
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range entries {
			if e.Name() != "link" {
				t.Errorf("%s was made", e.Name())
			}
		}
	}
}

func TestLoad(t *testing.T) {
	p, _ := newFake(false)
	dir := t.TempDir()
	p.SetFolder(dir)
	must(p.Save("class/bodies.csv", []byte("name,bust\n")))
	if got, err := p.Load("class/bodies.csv"); err != nil || string(got) != "name,bust\n" {
		t.Errorf("%q, %v", got, err)
	}
	for name, want := range map[string]string{"none.csv": `load "none.csv"`, "class": "no plain file"} {
		if _, err := p.Load(name); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want an error that says %q", name, err, want)
		}
	}
}

func TestOpenFolders(t *testing.T) {
	p, _ := newFake(false)
	dir, elsewhere := t.TempDir(), t.TempDir()
	p.SetFolder(dir)
	p.OpenFolders()
	far := filepath.Join(elsewhere, "far.csv")
	must(p.Save(far, []byte("far")))
	must(p.Save("near.csv", []byte("near")))
	for path, want := range map[string]string{far: "far", filepath.Join(dir, "near.csv"): "near"} {
		if got, err := p.Load(path); err != nil || string(got) != want {
			t.Errorf("%s: %q, %v", path, got, err)
		}
	}
}
