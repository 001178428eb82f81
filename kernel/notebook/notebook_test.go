package notebook

import (
	"bytes"
	"encoding/json"
	"errors"
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

var update = flag.Bool("update", false, "rewrite the files under testdata that tests compare with")

func checkGolden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s differs; run go test ./kernel/notebook -update and look at what changed. Got:\n%s", path, got)
	}
}

func readFile(t testing.TB, name string) Notebook {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	nb, err := Read(f)
	if err != nil {
		t.Fatal(err)
	}
	return nb
}

func written(t testing.TB, nb Notebook) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := nb.Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// checkSchema validates a file against the published schema of nbformat 4.5.
func checkSchema(t *testing.T, data []byte) {
	t.Helper()
	schema, err := jsonschema.NewCompiler().Compile(filepath.Join("testdata", "nbformat.v4.5.schema.json"))
	if err != nil {
		t.Fatal(err)
	}
	value, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	if err := schema.Validate(value); err != nil {
		t.Error(err)
	}
}

// debianPython runs a script with a package that Debian's Jupyter brings, and
// skips the test where it is absent.
func debianPython(t *testing.T, needs, script string, input []byte) []byte {
	t.Helper()
	if err := exec.Command("/usr/bin/python3", "-c", "import "+needs).Run(); err != nil {
		if os.Getenv("PATTERNKIT_FULL") != "" {
			t.Fatalf("PATTERNKIT_FULL is set and python3-%s is absent: %v", needs, err)
		}
		t.Skipf("python3-%s is absent; with it this is compared with Jupyter's own code", needs)
	}
	cmd := exec.Command("/usr/bin/python3", "-c", script)
	cmd.Stdin = bytes.NewReader(input)
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v\n%s", err, stderr.Bytes())
	}
	return out
}

// An old, loosely written file becomes 4.5, and stays as it is from then on.
func TestReadOldWriteNew(t *testing.T) {
	first := written(t, readFile(t, "old.ipynb"))
	checkGolden(t, "old_as_4_5.ipynb", first)
	nb, err := Read(bytes.NewReader(first))
	if err != nil {
		t.Fatal(err)
	}
	if second := written(t, nb); !bytes.Equal(first, second) {
		t.Errorf("written again it differs:\n%s", second)
	}
	if nb.Title() != "Evening class" {
		t.Errorf("the title is %q", nb.Title())
	}
}

// What this package writes is, byte for byte, what Jupyter's own code makes
// of it when it reads and writes the file.
func TestWritesAsJupyterDoes(t *testing.T) {
	ours := written(t, readFile(t, "old.ipynb"))
	theirs := writtenByJupyter(t, []string{string(ours)})[0]
	// A float is written as Python's repr has it; ours keeps its digits.
	theirs = strings.ReplaceAll(theirs, "     2.5,", "     2.50,")
	theirs = strings.ReplaceAll(theirs, "     1000.0,", "     1e3,")
	if string(ours) != theirs {
		t.Errorf("Jupyter writes\n%s\nthis package\n%s", theirs, ours)
	}
}

// writtenByJupyter has each notebook read and written by Jupyter's own code.
func writtenByJupyter(t *testing.T, notebooks []string) []string {
	t.Helper()
	input, err := json.Marshal(notebooks)
	if err != nil {
		t.Fatal(err)
	}
	output := debianPython(t, "nbformat", `
import json, sys
from nbformat.v4 import reads, writes
json.dump([writes(reads(s)) + "\n" for s in json.load(sys.stdin.buffer)], sys.stdout)`, input)
	var theirs []string
	if err := json.Unmarshal(output, &theirs); err != nil || len(theirs) != len(notebooks) {
		t.Fatalf("%d notebooks came back, want %d: %v", len(theirs), len(notebooks), err)
	}
	return theirs
}

// The notebooks by which Debian's python3-nbclient and matplotlib are tested:
// many hands, many front ends. Each is read, shown as a page, and written as
// Jupyter writes it.
func TestNotebooksOfOthers(t *testing.T) {
	const packages = "/usr/lib/python3/dist-packages"
	var files []string
	for _, pattern := range []string{"nbclient/tests/files/*.ipynb", "matplotlib/*/*/*.ipynb"} {
		found, err := filepath.Glob(filepath.Join(packages, pattern))
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, found...)
	}
	if len(files) == 0 {
		if os.Getenv("PATTERNKIT_FULL") != "" {
			t.Fatal("PATTERNKIT_FULL is set and python3-nbclient is absent")
		}
		t.Skip("python3-nbclient is absent; with it its notebooks are read")
	}
	var ours []string
	for _, file := range files {
		f, err := os.Open(file)
		if err != nil {
			t.Fatal(err)
		}
		nb, err := Read(f)
		f.Close()
		if err != nil {
			t.Errorf("%s: %v", file, err)
			continue
		}
		ours = append(ours, string(written(t, nb)))
		if err := WriteHTML(&bytes.Buffer{}, nb); err != nil {
			t.Errorf("%s: %v", file, err)
		}
	}
	for i, theirs := range writtenByJupyter(t, ours) {
		if theirs != ours[i] {
			t.Errorf("Jupyter writes\n%s\nthis package\n%s", theirs, ours[i])
		}
	}
}

func TestWrittenFileFollowsTheSchema(t *testing.T) {
	nb := readFile(t, "old.ipynb")
	for i := range nb.Cells { // unknown fields are kept, and the schema wants none
		nb.Cells[i].extra = nil
		for k := range nb.Cells[i].Outputs {
			nb.Cells[i].Outputs[k].extra = nil
		}
	}
	checkSchema(t, written(t, nb))
}

func TestReadErrorsSayWhere(t *testing.T) {
	const head = `{"nbformat": 4, "nbformat_minor": 5, "metadata": {}, "cells": [`
	code := func(outputs string) string {
		return head + `{"cell_type": "code", "id": "a", "source": "", "outputs": ` + outputs + `}]}`
	}
	tests := []struct{ name, text, want string }{
		{"empty", " \n", "the file is empty"},
		{"no JSON", "# lesson", "line 1, column 2: invalid character '#'"},
		{"cut off", head, "the text ends too early"},
		{"two values", `{"nbformat": 4, "cells": []} {}`, "text after the end"},
		{"a list", `[]`, "the file is a list, want an object"},
		{"other JSON", `{"a": 1}`, "no nbformat number"},
		{"format 3", `{"nbformat": 3, "worksheets": []}`, "it is nbformat 3, want 4; open and save it in Jupyter"},
		{"format 5", `{"nbformat": 5}`, "newer than the 4"},
		{"name twice", "{\n\"nbformat\": 4,\n\"nbformat\": 4}", `line 3, column 11: the name "nbformat" comes twice`},
		{"bad UTF-8", "{\"nbformat\": 4, \"x\": \"\xff\"}", "line 1, column 23: this is no UTF-8"},
		{"half a pair", `{"nbformat": 4, "x": "\ud83d"}`, "half of a surrogate pair"},
		{"cells", `{"nbformat": 4, "cells": {}}`, "cells is an object, want a list"},
		{"cell", head + `"x"]}`, "cell 1: it is a string, want an object"},
		{"cell type", head + `{"cell_type": "heading"}]}`, `cell 1: its cell_type is "heading", want code, markdown or raw`},
		{"source", head + `{"cell_type": "raw", "source": [1]}]}`, "cell 1: source is a list, want a string or a list of strings"},
		{"same id", head + `{"cell_type": "raw", "id": "a"}, {"cell_type": "raw", "id": "a"}]}`, `cell 2: its id "a" is also that of cell 1`},
		{"bad id", head + `{"cell_type": "raw", "id": "a b"}]}`, `cell 1: its id is "a b"`},
		{"count", head + `{"cell_type": "code", "execution_count": -1}]}`, "cell 1: execution_count is the number -1"},
		{"output type", code(`[{"output_type": "pyout"}]`), `cell 1: output 1: its output_type is "pyout"`},
		{"data", code(`[{"output_type": "display_data", "data": []}]`), "cell 1: output 1: data is a list, want an object"},
		{"traceback", code(`[{"output_type": "error", "traceback": [3]}]`), "line 1 of its traceback is the number 3"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if _, err := Read(strings.NewReader(test.text)); err == nil || !strings.Contains(err.Error(), test.want) {
				t.Errorf("got %v\nwant ... %s", err, test.want)
			}
		})
	}
	if nb, err := Read(strings.NewReader("\ufeff" + head + "]}")); err != nil || len(nb.Cells) != 0 {
		t.Errorf("a byte order mark: %v", err)
	}
}

// A later minor version is read and not written back as an older one.
func TestLaterMinorVersionStays(t *testing.T) {
	nb, err := Read(strings.NewReader(`{"nbformat": 4, "nbformat_minor": 7, "later": [1], "metadata": {}, "cells": []}`))
	if err != nil {
		t.Fatal(err)
	}
	want := "{\n \"cells\": [],\n \"later\": [\n  1\n ],\n \"metadata\": {},\n \"nbformat\": 4,\n \"nbformat_minor\": 7\n}\n"
	if got := written(t, nb); string(got) != want {
		t.Errorf("got %s", got)
	}
}

func TestWriteRefusesWhatItCannotKeep(t *testing.T) {
	for want, nb := range map[string]Notebook{
		`cell 1: its id is ""`:                   {Cells: []Cell{{Type: Code}}},
		`cell 1 (a): output 1: its type is "x"`:  {Cells: []Cell{{ID: "a", Type: Code, Outputs: []Output{{Type: "x"}}}}},
		`cell 1 (a): metadata: f: json: unsuppo`: {Cells: []Cell{{ID: "a", Type: Code, Metadata: map[string]any{"f": func() {}}}}},
	} {
		if err := nb.Write(&bytes.Buffer{}); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("got %v, want ... %s", err, want)
		}
	}
	failing := errors.New("disk full")
	if err := (Notebook{}).Write(writerFunc(func([]byte) (int, error) { return 0, failing })); !errors.Is(err, failing) {
		t.Errorf("got %v", err)
	}
}

type writerFunc func([]byte) (int, error)

func (f writerFunc) Write(b []byte) (int, error) { return f(b) }

// Whatever is read can be written, is valid JSON, and is the same when it is
// read and written again.
func FuzzRead(f *testing.F) {
	for _, name := range []string{"old.ipynb", "old_as_4_5.ipynb"} {
		data, err := os.ReadFile(filepath.Join("testdata", name))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Add([]byte(`{"nbformat": 4, "cells": [{"cell_type": "code", "source": "a\r\nb\u0085c", "outputs": [{"output_type": "stream", "text": ["x", "\\\ud83d\ude00"]}]}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		nb, err := Read(bytes.NewReader(data))
		if err != nil {
			return
		}
		first := written(t, nb)
		if !json.Valid(first) {
			t.Fatalf("invalid JSON: %q", first)
		}
		again, err := Read(bytes.NewReader(first))
		if err != nil {
			t.Fatalf("%v in %q", err, first)
		}
		if second := written(t, again); !bytes.Equal(first, second) {
			t.Errorf("%q\nbecame %q", first, second)
		}
	})
}
