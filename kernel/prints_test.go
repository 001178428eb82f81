package kernel

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A textOutput writes down what is printed, by stream.
type textOutput struct {
	muted
	text map[string]string
}

func (o *textOutput) Stream(name, text string) { o.text[name] += text }

// printing runs a cell in a session that shows few bytes and keeps some.
func printing(t *testing.T, folder, code string) (s *Session, out *textOutput) {
	t.Helper()
	s = newFakeSession()
	s.KeepPrints(folder)
	s.prints.limit, s.prints.full = 100, 1000
	out = &textOutput{text: map[string]string{}}
	if reply := s.Execute(context.Background(), Request{Code: code}, out); reply.Error != nil {
		t.Fatal(reply.Error)
	}
	return s, out
}

func keptFiles(t *testing.T, folder string) []string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(folder, "*"))
	if err != nil {
		t.Fatal(err)
	}
	return files
}

func TestFewPrintsAreNotCut(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "cache")
	_, out := printing(t, folder, "flood 10")
	if len(out.text) != 1 || strings.Count(out.text["stdout"], "\n") != 10 {
		t.Errorf("printed %q", out.text)
	}
	if _, err := os.Stat(folder); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("a folder was made for nothing: %v", err)
	}
}

func TestRunawayPrintIsCutAndKept(t *testing.T) {
	folder := t.TempDir()
	s, out := printing(t, folder, "flood 40\nwarn the end")
	if n := len(out.text["stdout"]); n != 100 {
		t.Errorf("%d bytes are shown, want 100", n)
	}
	files := keptFiles(t, folder)
	if len(files) != 1 || strings.Count(out.text["stderr"], files[0]) != 1 || strings.Contains(out.text["stderr"], "the end") {
		t.Fatalf("files %q, the notice is %q", files, out.text["stderr"])
	}
	kept, err := os.ReadFile(files[0])
	if text := string(kept); err != nil || !strings.HasPrefix(text, "line 0\nline 1\n") || !strings.HasSuffix(text, "line 39\nthe end\n") {
		t.Errorf("kept %q, %v", kept, err)
	}

	out.text = map[string]string{}
	s.Execute(context.Background(), Request{Code: "print next"}, out)
	if out.text["stdout"] != "next\n" || out.text["stderr"] != "" {
		t.Errorf("the next cell printed %q", out.text)
	}
}

func TestKeptPrintsAreBounded(t *testing.T) {
	folder := t.TempDir()
	printing(t, folder, "flood 5000")
	kept, err := os.ReadFile(keptFiles(t, folder)[0])
	if text := string(kept); err != nil || len(text) > 1100 || !strings.Contains(text, "cut here") {
		t.Errorf("%d bytes are kept, %v", len(text), err)
	}
	for range maxPrintFiles + 3 {
		printing(t, folder, "flood 40")
	}
	if n := len(keptFiles(t, folder)); n != maxPrintFiles {
		t.Errorf("%d files are kept, want %d", n, maxPrintFiles)
	}
}

func TestPrintsWithoutAPlaceAreCut(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	for folder, want := range map[string]string{"": "is not kept", filepath.Join(file, "cache"): "can't be kept"} {
		_, out := printing(t, folder, "flood 5000")
		if len(out.text["stdout"]) != 100 || strings.Count(out.text["stderr"], want) != 1 {
			t.Errorf("%q: %q", folder, out.text["stderr"])
		}
	}
}

func TestPrintsAreCutBetweenCharacters(t *testing.T) {
	_, out := printing(t, "", "print "+strings.Repeat("€", 50))
	if want := strings.Repeat("€", 33); out.text["stdout"] != want {
		t.Errorf("shown %q", out.text["stdout"])
	}
}

func TestKeepingEndsWithTheDisk(t *testing.T) {
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Skip("there is no /dev/full here: ", err)
	}
	p := newPrints()
	p.cut, p.file = true, full
	if _, notice := p.take("text"); !strings.Contains(notice, "can't be kept in /dev/full any longer") {
		t.Errorf("the notice is %q", notice)
	}
	if _, notice := p.take("text"); notice != "" {
		t.Errorf("a second notice: %q", notice)
	}
}
