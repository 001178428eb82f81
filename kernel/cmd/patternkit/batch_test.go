package main

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

// sumIn writes a notebook that shows a sum, and a file beside it.
func sumIn(t *testing.T, parts ...string) string {
	t.Helper()
	path := filepath.Join(parts...)
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	return notebookOf(t, path, cellOf{"sum", "40 + 2", ""})
}

// treeOf lists the files below a folder.
func treeOf(t *testing.T, dir string) []string {
	t.Helper()
	var files []string
	err := filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			path, err = filepath.Rel(dir, path)
			files = append(files, filepath.ToSlash(path))
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

func sameList(t *testing.T, got []string, want ...string) {
	t.Helper()
	slices.Sort(want)
	if slices.Sort(got); !slices.Equal(got, want) {
		t.Errorf("files %q, want %q", got, want)
	}
}

func TestRunFolder(t *testing.T) {
	dir := t.TempDir()
	for _, place := range []string{"one.ipynb", "term/two.ipynb", "term/.ipynb_checkpoints/two-checkpoint.ipynb", ".hidden/no.ipynb", ".no.ipynb"} {
		sumIn(t, dir, "class", place)
	}
	notebookOf(t, filepath.Join(dir, "class", "bad.ipynb"), cellOf{"fine", "1", ""}, cellOf{"slip", "Inches(\"wide\")", ""})
	sumIn(t, dir, "more.ipynb")
	write(t, []byte("no notebook"), dir, "class", "notes.txt")
	for range 2 { // the second time the first results lie below the folder
		r := invoke(t, dir, nil, "run", "class", "more.ipynb", "-o", "class/out", "--html", "pages", "--jobs", "3")
		r.fails(t, "1 of 4 failed:", filepath.Join("class", "bad.ipynb")+": cell 2 (id slip)", "wide", "4 of 4")
		says(t, r.stdout, "notebook ", "more.ipynb", "4 notebooks: 3 ran, 1 failed", "cell 2 (id slip)")
		sameList(t, treeOf(t, filepath.Join(dir, "class", "out")), "bad.ipynb", "more.ipynb", "one.ipynb", "term/two.ipynb")
		sameList(t, treeOf(t, filepath.Join(dir, "pages")), "bad.html", "more.html", "one.html", "term/two.html")
	}
	says(t, outputsOf(t, filepath.Join(dir, "class", "out", "term", "two.ipynb"))[0], "42")
	says(t, outputsOf(t, filepath.Join(dir, "class", "out", "bad.ipynb"))[1], `"error"`)
}

func TestRunFolderAloneWritesNothing(t *testing.T) {
	dir := t.TempDir()
	sumIn(t, dir, "one.ipynb")
	sumIn(t, dir, "two.ipynb")
	r := invoke(t, dir, nil, "run", ".", "one.ipynb").quietly(t)
	says(t, r.stdout, "2 notebooks: 2 ran")
	sameList(t, treeOf(t, dir), "one.ipynb", "two.ipynb")
}

// quietly fails the test unless the command went well and its error output
// holds nothing but progress.
func (r ran) quietly(t *testing.T) ran {
	t.Helper()
	r.ok(t)
	if strings.Contains(r.stderr, "patternkit: ") {
		t.Errorf("it went well and says\n%s", r.stderr)
	}
	return r
}

func TestRunManyRefuses(t *testing.T) {
	dir := t.TempDir()
	sumIn(t, dir, "a", "one.ipynb")
	sumIn(t, dir, "b", "one.ipynb")
	fitting(t, dir)
	write(t, []byte("name,bust\nfitting,92 cm\nBea,90 cm\n"), dir, "class.csv")
	if err := os.Mkdir(filepath.Join(dir, "empty"), 0o755); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ args, says string }{
		{"a b -o out", "both be written to " + filepath.Join("out", "one.ipynb")},
		{"empty", "empty: no further notebook"},
		{"a missing.ipynb", "missing.ipynb"},
		{"a b --html class.csv", "class.csv is a file"},
		{"a b --jobs 0", "--jobs 0: want 1 or more"},
		{"a b --memory 1", "--memory 1"},
		{"a --row 2", "--each"},
		{"a --save-in empty", "--save-in is for one notebook"},
		{"fitting.ipynb --jobs 2", "--jobs is for several"},
		{"fitting.ipynb --again", "--again goes with --each"},
		{"fitting.ipynb --row 1", "--row goes with --each"},
		{"fitting.ipynb --save-in nowhere", "--save-in nowhere: there is no such folder"},
		{"fitting.ipynb --each class.csv", "give a folder"},
		{"fitting.ipynb --each class.csv -o .", `row 1, "fitting", would be written over the notebook`},
		{"fitting.ipynb --each none.csv -o out", "none.csv"},
		{"a --each class.csv -o out", "name one file"},
		{"fitting.ipynb --each class.csv -o out --set bsut=1", "bsut"},
		{"fitting.ipynb --each class.csv -o out --set bust=1", "class.csv: line 1, column 2: bust is given by --set too"},
		{"fitting.ipynb --each class.csv -o out --row 0", "--row 0: class.csv has rows 1 to 2"},
		{"fitting.ipynb --each class.csv -o out --row 3", "--row 3: class.csv has rows 1 to 2"},
		{"fitting.ipynb --each class.csv -o out --row-from ROW_UNSET", "--row-from ROW_UNSET: this environment variable is not set"},
		{"fitting.ipynb --each class.csv -o out --row-from ROW_WORD", `"second", want the number of a row`},
		{"fitting.ipynb --each class.csv -o out --row-from ROW_NINE", "--row-from ROW_NINE, which is 9: class.csv has rows 1 to 2"},
		{"fitting.ipynb --each class.csv -o out --row 1 --row-from ROW_NINE", "give one of them"},
	} {
		t.Run(c.args, func(t *testing.T) {
			r := invoke(t, dir, []string{"ROW_WORD=second", "ROW_NINE=9"}, append([]string{"run"}, strings.Fields(c.args)...)...)
			r.fails(t, c.says)
			if _, err := os.Stat(filepath.Join(dir, "out")); err == nil || r.stdout != "" {
				t.Errorf("something ran: %s", r.stdout)
			}
		})
	}
}

const classTable = "name,bust\nAda Quay,92 cm\nBea,36 1/2 in\nCleo,880\n"

func TestRunEach(t *testing.T) {
	dir := t.TempDir()
	fitting(t, dir)
	write(t, []byte(classTable), dir, "class.csv")
	args := []string{"run", "fitting.ipynb", "--each", "class.csv", "-o", "out", "--html", "pages"}
	r := invoke(t, dir, nil, args...).quietly(t)
	says(t, r.stdout, "3 rows: 3 ran", "Ada Quay", filepath.Join("out", "Bea.ipynb"))
	for name, girth := range map[string]string{"Ada Quay": "92 cm", "Bea": "92.71 cm", "Cleo": "88 cm"} {
		// The notebook has a parameter called name too.
		if got, want := string(readFile(t, dir, "out", name, "girth.txt")), name+" "+girth; got != want {
			t.Errorf("%s: girth.txt is %q, want %q", name, got, want)
		}
		checkNotebook(t, readFile(t, dir, "out", name+".ipynb"))
	}
	says(t, string(readFile(t, dir, "pages", "Bea.html")), "bust = 36.5*Inch", "100.71 cm")
	if _, err := os.Stat(filepath.Join(dir, "girth.txt")); err == nil {
		t.Error("a row saved beside the notebook")
	}

	counts := func(want string, more ...string) {
		t.Helper()
		says(t, invoke(t, dir, nil, append(slices.Clone(args), more...)...).quietly(t).stdout, "3 rows: "+want+"\n")
	}
	counts("3 up to date")
	counts("3 ran", "--again")
	write(t, []byte(strings.Replace(classTable, "880", "890", 1)), dir, "class.csv")
	counts("1 ran, 2 up to date")
	if err := os.Remove(filepath.Join(dir, "pages", "Bea.html")); err != nil {
		t.Fatal(err)
	}
	counts("1 ran, 2 up to date")
	counts("3 ran", "--set", "name=\"x\"", "--html", "pages2", "--each", write(t, []byte("person,bust\na,1\nb,2\nc,3\n"), dir, "other.csv"))
	// Outputs stored in the notebook are no change of it; a cell is.
	invoke(t, dir, nil, "run", "fitting.ipynb", "-o", "fitting.ipynb").ok(t)
	counts("3 up to date")
	notebook := strings.Replace(string(readFile(t, dir, "fitting.ipynb")), "bust + 8*CM", "bust + 9*CM", 1)
	write(t, []byte(notebook), dir, "fitting.ipynb")
	counts("3 ran")
}

func TestRunEachGoesOnAfterAFailure(t *testing.T) {
	dir := t.TempDir()
	fitting(t, dir)
	write(t, []byte("person,bust\nAda,wide\nBea,90 cm\n"), dir, "class.csv")
	args := []string{"run", "fitting.ipynb", "--each", "class.csv", "-o", "out", "--jobs", "1"}
	for _, counts := range []string{"1 ran, 1 failed", "1 up to date, 1 failed"} {
		r := invoke(t, dir, nil, args...)
		r.fails(t, "1 of 2 failed", "Ada: cell 2 (id ", `which begins "bust = wide"`)
		says(t, r.stdout, "2 rows: "+counts)
	}
	says(t, outputsOf(t, filepath.Join(dir, "out", "Ada.ipynb"))[1], `"error"`)
	write(t, []byte("person,bust\nAda,1 m\nBea,90 cm\n"), dir, "class.csv")
	says(t, invoke(t, dir, nil, args...).quietly(t).stdout, "2 rows: 1 ran, 1 up to date")
}

func TestRunRow(t *testing.T) {
	dir := t.TempDir()
	fitting(t, dir)
	write(t, []byte(classTable), dir, "class.csv")
	args := []string{"run", "fitting.ipynb", "--each", "class.csv", "-o", "out"}
	says(t, invoke(t, dir, nil, append(args, "--row", "2")...).quietly(t).stdout, "1 row: 1 ran")
	sameList(t, treeOf(t, filepath.Join(dir, "out")), "Bea.ipynb", "Bea/.patternkit-loaded", "Bea/.patternkit-row", "Bea/girth.txt")
	says(t, invoke(t, dir, []string{"JOB_NUMBER=3"}, append(args, "--row-from", "JOB_NUMBER")...).quietly(t).stdout, "Cleo")
	says(t, invoke(t, dir, nil, args...).quietly(t).stdout, "3 rows: 1 ran, 2 up to date")
}

func TestRunSaveIn(t *testing.T) {
	dir, other := t.TempDir(), t.TempDir()
	fitting(t, dir)
	invoke(t, dir, nil, "run", "fitting.ipynb", "--save-in", other).ok(t)
	sameList(t, treeOf(t, dir), "fitting.ipynb")
	sameList(t, treeOf(t, other), "girth.txt")
}

// A row's cells read what lies beside the notebook and write into the row's
// folder.
func TestRunEachLoadsBesideTheNotebook(t *testing.T) {
	dir := t.TempDir()
	notebookOf(t, filepath.Join(dir, "labels.ipynb"), cellOf{"seat", "seat := 0", "parameters"},
		cellOf{"load", `greeting := Load("greeting.txt")`, ""},
		cellOf{"save", `Save("label.txt", append(greeting, byte('0'+seat)))`, ""},
		cellOf{"again", `string(Load("label.txt"))`, ""})
	write(t, []byte("seat "), dir, "greeting.txt")
	write(t, []byte("name,seat\nnell,1\nada,2\n"), dir, "class.csv")
	invoke(t, dir, nil, "run", "labels.ipynb", "--each", "class.csv", "-o", "out").ok(t)
	for folder, want := range map[string]string{"nell": "seat 1", "ada": "seat 2"} {
		if got := string(readFile(t, dir, "out", folder, "label.txt")); got != want {
			t.Errorf("%s: %q, want %q", folder, got, want)
		}
	}
	again := func(want string) {
		t.Helper()
		says(t, invoke(t, dir, nil, "run", "labels.ipynb", "--each", "class.csv", "-o", "out").quietly(t).stdout, "2 rows: "+want+"\n")
	}
	again("2 up to date")
	write(t, []byte("chair "), dir, "greeting.txt")
	again("2 ran")
	if got := string(readFile(t, dir, "out", "nell", "label.txt")); got != "chair 1" {
		t.Errorf("after the file changed the label is %q", got)
	}
	again("2 up to date")
}

// TestInterruptKeepsRows interrupts the command, and only it, in its second
// row, as a scheduler does.
func TestInterruptKeepsRows(t *testing.T) {
	dir := t.TempDir()
	notebookOf(t, filepath.Join(dir, "slow.ipynb"), cellOf{"turns", "turns := 1", "parameters"},
		cellOf{"begin", "Save(\"begun.txt\", nil)", ""}, cellOf{"turn", "for i := 0; i < turns || turns < 0; i++ {\n}", ""})
	write(t, []byte("name,turns\nquick,1\nendless,-1\nthird,1\n"), dir, "class.csv")
	args := []string{"run", "slow.ipynb", "--each", "class.csv", "-o", "out", "--jobs", "1"}
	c := exec.CommandContext(t.Context(), program, args...)
	c.Dir = dir
	var stdout, stderr strings.Builder
	c.Stdout, c.Stderr = &stdout, &stderr
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- c.Wait() }()
	begun := filepath.Join(dir, "out", "endless", "begun.txt")
	for _, err := os.Stat(begun); err != nil; _, err = os.Stat(begun) {
		select {
		case err := <-ended:
			t.Fatalf("it ended before the second row began: %v\n%s", err, stderr.String())
		case <-time.After(10 * time.Millisecond):
		}
	}
	if err := c.Process.Signal(os.Interrupt); err != nil {
		t.Fatal(err)
	}
	if err := <-ended; err == nil {
		t.Error("it ended well")
	}
	r := ran{stdout.String(), stderr.String(), c.ProcessState.ExitCode()}
	r.fails(t, "interrupted, with 2 of 3 left; the same command goes on with them")
	says(t, r.stdout, "3 rows: 1 ran, 1 stopped, 1 not run")

	write(t, []byte("name,turns\nquick,1\nendless,2\nthird,1\n"), dir, "class.csv")
	says(t, invoke(t, dir, nil, args...).quietly(t).stdout, "3 rows: 2 ran, 1 up to date")
}

func TestFailureOfAProcessWithoutWords(t *testing.T) {
	err := exec.Command(program, "no-such-command").Run()
	got := failureIn("cell 1 of 2  x\nfatal error: out of room\ngoroutine 1\n", "a.ipynb", err)
	says(t, got, "its process ended with exit status 1", ": fatal error: out of room")
	if got := failureIn("cell 1 of 2  patternkit: x\npatternkit: a.ipynb: cell 2\nmore\n", "a.ipynb", err); got != "cell 2\nmore" {
		t.Errorf("the message is %q", got)
	}
}

// BenchmarkRunEach runs a class of twelve through the first lesson, one after
// the other and side by side.
func BenchmarkRunEach(b *testing.B) {
	dir := b.TempDir()
	f, err := os.Create(filepath.Join(dir, "class.csv"))
	if err != nil {
		b.Fatal(err)
	}
	w := bufio.NewWriter(f)
	fmt.Fprintln(w, "name,height,bust,waist,hip")
	for i := range 12 {
		fmt.Fprintf(w, "person %d,%d cm,%d cm,%d cm,%d cm\n", i+1, 160+i, 84+2*i, 66+2*i, 92+2*i)
	}
	if err := w.Flush(); err != nil {
		b.Fatal(err)
	}
	if err := f.Close(); err != nil {
		b.Fatal(err)
	}
	lesson := filepath.Join("..", "..", "..", "notebooks", demoLesson)
	for _, jobs := range []string{"1", "2", "4"} {
		b.Run("jobs="+jobs, func(b *testing.B) {
			for b.Loop() {
				c := exec.Command(program, "run", lesson, "--each", f.Name(), "-o", filepath.Join(dir, "out"), "--again", "--jobs", jobs)
				c.Stdout, c.Stderr = io.Discard, io.Discard
				if err := c.Run(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
