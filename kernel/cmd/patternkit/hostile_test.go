package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"patternkit/kernel"
)

// A shownText collects the text of results.
type shownText struct {
	kernel.Output
	text strings.Builder
}

func (o *shownText) Stream(string, string) {}
func (o *shownText) Display(d kernel.Display) {
	text, _ := d.Data["text/plain"].(string)
	o.text.WriteString(text)
}
func (o *shownText) Result(_ int, d kernel.Display) { o.Display(d) }

// A value is shown by methods of the cell, which end no later than the cell.
func TestShowingAValueCanBeStopped(t *testing.T) {
	for _, c := range []struct {
		name, method, want string
	}{
		{"endless text", "String() string { for {} }", "interrupted"},
		{"endless page", "HTML() string { for {} }", "interrupted"},
		{"sleeping text", "String() string { time.Sleep(time.Hour); return `` }", "interrupted"},
		{"text without end", "String() string { s := `more`; for { s += s }; return s }", "out of memory"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, err := newSession(t.TempDir(), reach{memory: 64})
			if err != nil {
				t.Fatal(err)
			}
			out := &shownText{}
			declared := s.Execute(t.Context(), kernel.Request{Code: "import \"time\"\nvar _ = time.Hour\ntype T struct{}\nfunc (T) " + c.method}, out)
			if declared.Error != nil {
				t.Fatal(declared.Error)
			}
			for _, r := range []kernel.Request{{Code: "T{}", StoreHistory: true}, {Code: "1", UserExpressions: map[string]string{"x": "T{}"}}} {
				ctx, cancel := context.WithCancel(t.Context())
				stop := time.AfterFunc(100*time.Millisecond, cancel)
				if c.want != "interrupted" {
					stop.Stop()
				}
				reply := s.Execute(ctx, r, out)
				failed := reply.Error
				if r.UserExpressions != nil {
					failed = reply.UserExpressions["x"].Error
				}
				if failed == nil || !strings.Contains(failed.Error(), c.want) {
					t.Errorf("%s: error %v, want one with %q", r.Code, failed, c.want)
				}
				cancel()
			}
			if text := out.text.String(); strings.Contains(text, "PANIC") {
				t.Errorf("shown as %q", text)
			}
			if reply := s.Execute(t.Context(), kernel.Request{Code: "40+2"}, out); reply.Error != nil || !strings.HasSuffix(out.text.String(), "42") {
				t.Errorf("the next cell: %v, %q", reply.Error, out.text.String())
			}
		})
	}
}

// What a notebook says cannot steer the terminal that it is run in.
func TestNotebookSteersNoTerminal(t *testing.T) {
	var shown bytes.Buffer
	fmt.Fprintf(terminal{&shown}, "cell 1\t%s\r\n", "// \x1b]52;c;c3RlYWw=\a \u009b31m\u202e über")
	if want := "cell 1\t// \ufffd]52;c;c3RlYWw=\ufffd \ufffd31m\ufffd über\ufffd\n"; shown.String() != want {
		t.Errorf("%q, want %q", shown.String(), want)
	}
}

// A result that only its owner could read is still so when it is written anew.
func TestReplacedResultKeepsItsReaders(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("no such permissions here")
	}
	path := filepath.Join(t.TempDir(), "mine.ipynb")
	write := func(w io.Writer) error { _, err := io.WriteString(w, "new"); return err }
	for _, mode := range []os.FileMode{0o600, 0o640} {
		if err := os.WriteFile(path, []byte("old"), mode); err != nil {
			t.Fatal(err)
		}
		if err := os.Chmod(path, mode); err != nil {
			t.Fatal(err)
		}
		if verb, err := writeFile(path, write); err != nil || verb != "replaced" {
			t.Errorf("%s, %v", verb, err)
		}
		if info, err := os.Stat(path); err != nil || info.Mode().Perm() != mode {
			t.Errorf("readers %v, %v, want %v", info.Mode().Perm(), err, mode)
		}
	}
}
