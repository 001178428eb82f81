package main

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"
)

var demoFiles = []string{"01-first-block.html", "01-first-block.ipynb", "pieces.pdf", "pieces.svg"}

func TestDemoWritesItsFourFiles(t *testing.T) {
	dir := t.TempDir()
	r := invoke(t, dir, nil, "demo").ok(t)
	made := filepath.Join(dir, "patternkit-demo")
	if got := filesOf(t, made); !slices.Equal(got, demoFiles) {
		t.Errorf("files %q, want %q", got, demoFiles)
	}
	if r.stderr != "" {
		t.Errorf("stderr: %s", r.stderr)
	}
	says(t, r.stdout, "Lesson 1: a first block", "cell 1 of ", "verdict", "shoulder", "side seam", "underarm", "armhole",
		"pages of A4 paper", "jupyter notebook "+filepath.Join("patternkit-demo", "01-first-block.ipynb"))
	for _, name := range demoFiles {
		says(t, r.stdout, "wrote    "+filepath.Join("patternkit-demo", name))
	}
	if strings.Contains(r.stdout, "replaced") {
		t.Errorf("the first run replaces something:\n%s", r.stdout)
	}
	nb := readFile(t, made, "01-first-block.ipynb")
	checkNotebook(t, nb)
	if !bytes.Contains(nb, []byte(`"text/html"`)) || bytes.Contains(nb, []byte(`"ename"`)) {
		t.Error("the notebook holds no outputs, or an error")
	}
}

func TestDemoReplacesItsOwnFilesOnly(t *testing.T) {
	dir := t.TempDir()
	write(t, []byte("tapes, chalk, old sheets"), dir, "notes.txt")
	invoke(t, dir, nil, "demo", "--dir", dir).ok(t)
	r := invoke(t, dir, nil, "demo", "--dir", dir).ok(t)
	for _, name := range demoFiles {
		says(t, r.stdout, "replaced "+filepath.Join(dir, name))
	}
	if strings.Contains(r.stdout, "wrote") {
		t.Errorf("the second run says that it wrote something new:\n%s", r.stdout)
	}
	if strings.Contains(r.stdout, "notes.txt") {
		t.Errorf("a file that is not of the run is reported:\n%s", r.stdout)
	}
	if got := string(readFile(t, dir, "notes.txt")); got != "tapes, chalk, old sheets" {
		t.Errorf("notes.txt is now %q", got)
	}
	if got, want := filesOf(t, dir), append(slices.Clone(demoFiles), "notes.txt"); !slices.Equal(got, slices.Sorted(slices.Values(want))) {
		t.Errorf("files %q, want %q", got, want)
	}
}

// Permissions do not stop the superuser, who may be the one to run the tests;
// these places cannot be written to by anybody.
func TestDemoNamesAFolderThatCannotBeWrittenTo(t *testing.T) {
	dir := t.TempDir()
	file := write(t, nil, dir, "shopping-list")
	places := []string{file, filepath.Join(file, "demo")}
	if runtime.GOOS == "linux" {
		places = append(places, "/proc") // a folder that is there already
	}
	for _, place := range places {
		r := invoke(t, dir, nil, "demo", "--dir", place)
		r.fails(t, "the folder "+place+" cannot be written to", "--dir FOLDER")
		if r.stdout != "" {
			t.Errorf("it began to run the lesson: %s", r.stdout)
		}
	}
}

// outside matches what a browser would fetch for a page.
var (
	fetched = regexp.MustCompile(`(?i)<(?:link|script|iframe|object|embed|base)\b|@import`)
	sources = regexp.MustCompile(`(?i)\b(?:src|srcset|poster)\s*=\s*["']([^"']{0,12})|url\(\s*["']?([^"')]{0,12})`)
)

func TestDemoPageIsSelfContained(t *testing.T) {
	dir := t.TempDir()
	invoke(t, dir, nil, "demo", "--dir", dir).ok(t)
	page := string(readFile(t, dir, "01-first-block.html"))
	if found := fetched.FindString(page); found != "" {
		t.Errorf("the page has %q", found)
	}
	pictures := 0
	for _, m := range sources.FindAllStringSubmatch(page, -1) {
		if from := m[1] + m[2]; strings.HasPrefix(from, "data:image/") {
			pictures++
		} else {
			t.Errorf("the page fetches %q", from)
		}
	}
	if pictures < 3 {
		t.Errorf("%d pictures, want the draft, the chart and the pieces at least", pictures)
	}
	says(t, page, "<table", "Do the edges meet?", "armhole", "</html>")
}

// A file for a cutting machine is at true scale when its user unit is the
// millimetre: the size in mm and the view box are the same numbers.
func TestDemoPiecesAreAtTrueScale(t *testing.T) {
	dir := t.TempDir()
	invoke(t, dir, nil, "demo", "--dir", dir).ok(t)
	var svg struct {
		Width   string `xml:"width,attr"`
		Height  string `xml:"height,attr"`
		ViewBox string `xml:"viewBox,attr"`
	}
	if err := xml.Unmarshal(readFile(t, dir, "pieces.svg"), &svg); err != nil {
		t.Fatal(err)
	}
	width, isMM := strings.CutSuffix(svg.Width, "mm")
	height, alsoMM := strings.CutSuffix(svg.Height, "mm")
	if !isMM || !alsoMM || svg.ViewBox != "0 0 "+width+" "+height {
		t.Errorf("pieces.svg is %q by %q and its view box %q", svg.Width, svg.Height, svg.ViewBox)
	}
	// Half a bodice of 100 cm with its sleeve side by side, and its length.
	for _, side := range []string{width, height} {
		if mm, err := strconv.ParseFloat(side, 64); err != nil || mm < 400 || mm > 2000 {
			t.Errorf("a side of %s mm (%v)", side, err)
		}
	}
	pdf := readFile(t, dir, "pieces.pdf")
	// ISO 216: A4 is 210 mm by 297 mm; PDF counts 72 points to the inch.
	a4 := fmt.Sprintf("/MediaBox [0 0 %.2f %.2f]", 210*72/25.4, 297*72/25.4)
	if n := bytes.Count(pdf, []byte(a4)); !bytes.HasPrefix(pdf, []byte("%PDF-")) || n < 4 {
		t.Errorf("pieces.pdf has %d pages of A4", n)
	}
}
