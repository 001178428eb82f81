package main

import (
	"bytes"
	"fmt"
	"io/fs"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"testing"

	"patternkit/kernel"
	"patternkit/kernel/notebook"
	"patternkit/notebooks"
)

func lessonSource(t *testing.T, name string) []byte {
	t.Helper()
	source, err := notebooks.Lessons.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return source
}

func lesson(t *testing.T, name string) notebook.Notebook {
	t.Helper()
	source := lessonSource(t, name)
	checkNotebook(t, source)
	nb, err := notebook.Read(bytes.NewReader(source))
	if err != nil {
		t.Fatal(err)
	}
	return nb
}

// lessonNames lists the embedded lessons.
func lessonNames(t *testing.T) []string {
	t.Helper()
	names, err := fs.Glob(notebooks.Lessons, "*.ipynb")
	if err != nil || len(names) == 0 {
		t.Fatalf("no lessons: %v", err)
	}
	return names
}

// Each lesson runs from top to bottom in a session of its own, no cell warns,
// and every cell that ends in a value shows it.
func TestLessonsRun(t *testing.T) {
	for _, name := range lessonNames(t) {
		t.Run(name, func(t *testing.T) {
			s, err := newSession(t.TempDir(), stranger)
			if err != nil {
				t.Fatal(err)
			}
			ran, err := notebook.Run(t.Context(), lesson(t, name), s.Session, notebook.RunOptions{})
			if err != nil {
				t.Fatal(err)
			}
			shown := 0
			for i, c := range ran.Cells {
				for _, o := range c.Outputs {
					shown++
					if o.Type == notebook.Stream && o.Name == "stderr" {
						t.Errorf("cell %d warns: %s", i+1, o.Text)
					}
				}
			}
			if shown < 3 {
				t.Errorf("the lesson shows %d outputs", shown)
			}
			var file bytes.Buffer
			if err := ran.Write(&file); err != nil {
				t.Fatal(err)
			}
			checkNotebook(t, file.Bytes())
		})
	}
}

// A measured length in the prose of a lesson would go stale when a number
// above it changes: such numbers are shown by cells. Code in the prose shows
// how to write one.
func TestLessonsMeasureInCells(t *testing.T) {
	code := regexp.MustCompile("(?s)```.*?```|`[^`]*`")
	length := regexp.MustCompile(`(?i)\b\d+([.,]\d+)?\s*(mm|cm|inch(es)?|in|°)\b`)
	for _, name := range lessonNames(t) {
		for i, c := range lesson(t, name).Cells {
			if c.Type != notebook.Markdown {
				continue
			}
			if found := length.FindString(code.ReplaceAllString(c.Source, "")); found != "" {
				t.Errorf("%s: the prose of cell %d says %q, which no cell has computed", name, i+1, found)
			}
		}
	}
}

// A showing is an Output that keeps what a cell shows.
type showing struct {
	mu      sync.Mutex
	streams string
	shown   []kernel.Display
}

func (o *showing) Stream(name, text string) {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.streams += name + ": " + text
}

func (o *showing) Display(d kernel.Display) {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.shown = append(o.shown, d)
}

func (o *showing) Result(_ int, d kernel.Display) { o.Display(d) }
func (o *showing) ClearOutput(bool)               {}

// text returns what was shown under a MIME type.
func (o *showing) text(mime string) string {
	var all []string
	for _, d := range o.shown {
		if v, ok := d.Data[mime]; ok {
			all = append(all, fmt.Sprint(v))
		}
	}
	return strings.Join(all, "\n")
}

// cell runs a cell that must go well and prints nothing.
func cell(t *testing.T, s *session, code string) *showing {
	t.Helper()
	out := &showing{}
	reply := s.Execute(t.Context(), kernel.Request{Code: code, StoreHistory: true}, out)
	if reply.Error != nil {
		t.Fatalf("%s\n%v\n%s", code, reply.Error, strings.Join(reply.Error.Traceback, "\n"))
	}
	if out.streams != "" {
		t.Errorf("%s\nprints %s", code, out.streams)
	}
	return out
}

// acceptance is what a designer can rely on: these cells run as they stand.
var acceptance = []string{
	`body := Body{Height: 168*CM, BustGirth: 92*CM, WaistGirth: 74*CM, HipGirth: 98*CM}.Estimated()
body`,
	`bustEase := Slider("bust ease", 8*CM, 0*CM, 20*CM)
capHeight := Slider("cap height", 13*CM, 8*CM, 18*CM)
draw := func() Pattern {
	bodice := DraftBodice(body, BodiceOptions{BustEase: bustEase.Value(), WaistEase: 6*CM})
	sleeve := DraftSleeve(bodice.Armhole(), SleeveOptions{CapHeight: capHeight.Value(), CapEase: 2*CM, Length: 58*CM, WristWidth: 24*CM})
	return NewPattern("block", bodice, sleeve)
}
Live(func() any { return draw() })`,
	`draw().Walk()`,
}

func TestAcceptanceCells(t *testing.T) {
	s, err := newSession(t.TempDir(), stranger)
	if err != nil {
		t.Fatal(err)
	}
	body := cell(t, s, acceptance[0])
	says(t, body.text("text/html"), "<table", "92", "±")
	says(t, body.text("text/plain"), "92", "±")

	live := cell(t, s, acceptance[1])
	says(t, live.text("text/html"), "bust ease", "8 cm", "cap height", "13 cm", `<img`, `data:image/svg+xml;base64,`)
	says(t, live.text("text/plain"), "cap height: 13 cm")
	if live.text("image/png") == "" {
		t.Error("no PNG of the pieces, for viewers that show nothing else")
	}
	for _, d := range live.shown {
		if _, ok := d.Data["image/svg+xml"]; ok {
			t.Error("image/svg+xml, which not every front end shows, is given")
		}
	}

	walk := cell(t, s, acceptance[2])
	says(t, walk.text("text/html"), "<table", "shoulder", "side seam", "underarm", "armhole", "meets")
	says(t, walk.text("text/plain"), "shoulder", "side seam", "underarm", "armhole", "meets")
}

// A control that a cell moves is what the cells below it see.
func TestAcceptanceCellsFollowTheSliders(t *testing.T) {
	s, err := newSession(t.TempDir(), stranger)
	if err != nil {
		t.Fatal(err)
	}
	for _, code := range acceptance {
		cell(t, s, code)
	}
	width := func() float64 {
		text := cell(t, s, `BicepsWidth(DraftBodice(body, BodiceOptions{BustEase: bustEase.Value(), WaistEase: 6*CM}).Armhole(), capHeight.Value(), 2*CM).CM()`).text("text/plain")
		cm, err := strconv.ParseFloat(text, 64)
		if err != nil {
			t.Fatal(err)
		}
		return cm
	}
	before := width()
	picture := cell(t, s, "draw()").text("text/html")
	cell(t, s, "capHeight.Set(11*CM)")
	if after := width(); !(after > before) {
		t.Errorf("a sleeve with a cap of 13 cm is %g cm wide, one with 11 cm %g cm, want more", before, after)
	}
	if cell(t, s, "draw()").text("text/html") == picture {
		t.Error("the picture is that of the higher cap")
	}
	says(t, cell(t, s, "draw().Walk()").text("text/plain"), "meets")
	reply := s.Execute(t.Context(), kernel.Request{Code: "capHeight.Set(30*CM)"}, &showing{})
	if reply.Error == nil || !strings.Contains(reply.Error.Value, "cap height") {
		t.Errorf("setting a slider out of its range gives %v", reply.Error)
	}
}

// A slice of structs is a table, also when its type was declared in a cell;
// fields show as the cell's own types print.
func TestSlicesOfStructsAreTables(t *testing.T) {
	s, err := newSession(t.TempDir(), stranger)
	if err != nil {
		t.Fatal(err)
	}
	cell(t, s, "type Row int\nfunc (r Row) String() string { return \"row \" + string(rune('A'+int(r))) }")
	out := cell(t, s, "type Pupil struct { Name string; Bust Length; Seat Row; note int }\n"+
		"[]Pupil{{\"Ada\", 92 * CM, 0, 1}, {\"Bo\", 101.5 * CM, 1, 2}}")
	want := "Name       Bust  Seat\nAda       92 cm  row A\nBo     101.5 cm  row B"
	got := out.text("text/plain")
	if strings.Join(strings.Fields(got), " ") != strings.Join(strings.Fields(want), " ") {
		t.Errorf("%q, want %q", got, want)
	}
	if page := out.text("text/html"); !strings.Contains(page, "<th") || !strings.Contains(page, "row B") || strings.Contains(page, "note") {
		t.Errorf("the table is %s", page)
	}
}
