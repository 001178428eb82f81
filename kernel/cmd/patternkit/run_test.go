package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A cellOf is a code cell of a test notebook; tag may be empty.
type cellOf struct{ id, source, tag string }

// notebookOf writes a notebook of code cells.
func notebookOf(t *testing.T, path string, cells ...cellOf) string {
	t.Helper()
	list := []any{}
	for _, c := range cells {
		metadata := map[string]any{}
		if c.tag != "" {
			metadata["tags"] = []string{c.tag}
		}
		list = append(list, map[string]any{"cell_type": "code", "id": c.id, "source": c.source,
			"metadata": metadata, "execution_count": nil, "outputs": []any{}})
	}
	content, err := json.Marshal(map[string]any{"cells": list, "metadata": map[string]any{}, "nbformat": 4, "nbformat_minor": 5})
	if err != nil {
		t.Fatal(err)
	}
	return write(t, content, path)
}

// outputsOf returns the outputs of each cell of a notebook file as one text.
func outputsOf(t *testing.T, path string) []string {
	t.Helper()
	content := readFile(t, path)
	checkNotebook(t, content)
	var nb struct {
		Cells []struct{ Outputs json.RawMessage }
	}
	if err := json.Unmarshal(content, &nb); err != nil {
		t.Fatal(err)
	}
	var all []string
	for _, c := range nb.Cells {
		all = append(all, string(c.Outputs))
	}
	return all
}

func fitting(t *testing.T, dir string) string {
	return notebookOf(t, filepath.Join(dir, "fitting.ipynb"),
		cellOf{"measures", "bust := 92 * CM\nconst seams = 2\nname := \"Nell\"", "parameters"},
		cellOf{"girth", "bust + 8*CM", ""},
		cellOf{"file", "Save(\"girth.txt\", []byte(name+\" \"+bust.String()))", ""})
}

func TestRunWritesNotebookAndPage(t *testing.T) {
	dir := t.TempDir()
	fitting(t, dir)
	elsewhere := t.TempDir()
	out, page := filepath.Join(elsewhere, "out.ipynb"), filepath.Join(elsewhere, "out.html")
	args := []string{"run", filepath.Join(dir, "fitting.ipynb"), "-o", out, "--html", page}
	r := invoke(t, elsewhere, nil, args...).ok(t)
	says(t, r.stdout, "wrote "+out, "wrote "+page, "fitting.ipynb: every cell ran")
	says(t, r.stderr, "cell 1 of 3  bust := 92 * CM", "cell 3 of 3")
	outputs := outputsOf(t, out)
	says(t, outputs[1], "100 cm")
	if got := string(readFile(t, dir, "girth.txt")); got != "Nell 92 cm" {
		t.Errorf("girth.txt, which the cells save beside the notebook, is %q", got)
	}
	says(t, string(readFile(t, page)), "100 cm", "</html>")

	r = invoke(t, elsewhere, nil, args...).ok(t)
	says(t, r.stdout, "replaced "+out, "replaced "+page)
}

func TestRunAloneWritesNothing(t *testing.T) {
	dir := t.TempDir()
	path := notebookOf(t, filepath.Join(dir, "sum.ipynb"), cellOf{"sum", "1 + 1", ""})
	before := string(readFile(t, path))
	invoke(t, dir, nil, "run", "sum.ipynb").ok(t)
	if got := filesOf(t, dir); len(got) != 1 || string(readFile(t, path)) != before {
		t.Errorf("files %q, and the notebook is now\n%s", got, readFile(t, path))
	}
}

func TestRunSet(t *testing.T) {
	dir := t.TempDir()
	fitting(t, dir)
	invoke(t, dir, nil, "run", "fitting.ipynb", "-o", "ada.ipynb", "--set", "bust=104*CM", "--set", `name="Ada = Lo"`).ok(t)
	content := string(readFile(t, dir, "ada.ipynb"))
	says(t, content, `"injected-parameters"`, `bust = 104*CM\n`, `112 cm`)
	if got := string(readFile(t, dir, "girth.txt")); got != "Ada = Lo 104 cm" {
		t.Errorf("girth.txt is %q", got)
	}

	// Running the result with another value replaces the injected cell.
	invoke(t, dir, nil, "run", "ada.ipynb", "-o", "bea.ipynb", "--set", "bust=88*CM").ok(t)
	again := string(readFile(t, dir, "bea.ipynb"))
	if n := strings.Count(again, `"injected-parameters"`); n != 1 || strings.Contains(again, "104*CM") {
		t.Errorf("%d injected cells:\n%s", n, again)
	}
	says(t, outputsOf(t, filepath.Join(dir, "bea.ipynb"))[2], "96 cm")
}

func TestRunRefusesWrongSettings(t *testing.T) {
	dir := t.TempDir()
	fitting(t, dir)
	notebookOf(t, filepath.Join(dir, "plain.ipynb"), cellOf{"sum", "1 + 1", ""})
	const older = "an older result"
	for _, c := range []struct {
		name string
		args []string
		says []string
	}{
		{"unknown name", []string{"fitting.ipynb", "--set", "bsut=90*CM"}, []string{"fitting.ipynb", "bsut", "want one of bust, name, seams"}},
		{"constant", []string{"fitting.ipynb", "--set", "seams=3"}, []string{"seams", "constant"}},
		{"no name", []string{"fitting.ipynb", "--set", "=3"}, []string{`--set "=3"`, "bust=92*CM"}},
		{"no value", []string{"fitting.ipynb", "--set", "bust="}, []string{`--set "bust="`, "bust=92*CM"}},
		{"no equals sign", []string{"fitting.ipynb", "--set", "bust"}, []string{`--set "bust"`, "bust=92*CM"}},
		{"twice", []string{"fitting.ipynb", "--set", "bust=90*CM", "--set", "bust=92*CM"}, []string{"bust twice"}},
		{"no expression", []string{"fitting.ipynb", "--set", "bust=90*CM; name = \"x\""}, []string{"bust", "not one Go expression"}},
		{"no parameters cell", []string{"plain.ipynb", "--set", "bust=90*CM"}, []string{"plain.ipynb", "bust", `tagged "parameters"`}},
	} {
		t.Run(c.name, func(t *testing.T) {
			write(t, []byte(older), dir, "out.ipynb")
			r := invoke(t, dir, nil, append([]string{"run", "-o", "out.ipynb"}, c.args...)...)
			r.fails(t, c.says...)
			if got := string(readFile(t, dir, "out.ipynb")); got != older || r.stdout != "" {
				t.Errorf("out.ipynb was written all the same: %s\n%s", r.stdout, got)
			}
		})
	}
	// What only the cell can find out: the value is Go, and of another type.
	r := invoke(t, dir, nil, "run", "fitting.ipynb", "--set", `bust="wide"`)
	r.fails(t, `which begins "bust = \"wide\""`)
	// A bare number is millimetres.
	invoke(t, dir, nil, "run", "fitting.ipynb", "--set", "bust=920", "-o", "out.ipynb").ok(t)
	says(t, outputsOf(t, filepath.Join(dir, "out.ipynb"))[2], "100 cm")
}

func TestRunNamesTheCellThatFails(t *testing.T) {
	dir := t.TempDir()
	notebookOf(t, filepath.Join(dir, "sleeve.ipynb"),
		cellOf{"before", "6 * 7", ""},
		cellOf{"meant", "Inches(\"wide\")", "raises-exception"},
		cellOf{"sleeve", "println(\"cutting\")\nDraftSleeve(Armhole{}, SleeveOptions{})", ""},
		cellOf{"after", "Save(\"after.txt\", nil)", ""})
	r := invoke(t, dir, nil, "run", "sleeve.ipynb", "-o", "out.ipynb", "--html", "out.html")
	r.fails(t, "sleeve.ipynb: cell 3 (id sleeve)", "armhole")
	says(t, r.stdout, "wrote out.ipynb", "wrote out.html")
	if strings.Contains(r.stdout, "every cell ran") {
		t.Errorf("it says that every cell ran: %s", r.stdout)
	}
	outputs := outputsOf(t, filepath.Join(dir, "out.ipynb"))
	says(t, outputs[0], "42")
	says(t, outputs[1], `"error"`)
	says(t, outputs[2], "cutting", `"error"`, "armhole")
	if outputs[3] != "[]" {
		t.Errorf("a cell after the failure ran: %s", outputs[3])
	}
	if _, err := os.Stat(filepath.Join(dir, "after.txt")); err == nil {
		t.Error("a cell after the failure ran and saved a file")
	}
	says(t, string(readFile(t, dir, "out.html")), "42", "cutting", "armhole")
}

func TestRunRefusesWhatIsNoNotebook(t *testing.T) {
	dir := t.TempDir()
	write(t, []byte("bust,waist\n92,74\n"), dir, "class.csv")
	invoke(t, dir, nil, "run", "missing.ipynb").fails(t, "missing.ipynb")
	invoke(t, dir, nil, "run", "class.csv").fails(t, "class.csv")
	invoke(t, dir, nil, "run").fails(t, "arg")
	notebookOf(t, filepath.Join(dir, "sum.ipynb"), cellOf{"sum", "1 + 1", ""})
	invoke(t, dir, nil, "run", "sum.ipynb", "-o", "nowhere/out.ipynb").fails(t, "nowhere/out.ipynb cannot be written")
}
