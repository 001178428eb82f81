package kernel

import (
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"
)

// openHistory opens a history that must not complain.
func openHistory(t *testing.T, folder string) *fileHistory {
	t.Helper()
	return OpenHistory(folder, func(err error) { t.Error(err) }).(*fileHistory)
}

func inputs(entries []Entry) string {
	texts := make([]string, len(entries))
	for i, e := range entries {
		texts[i] = fmt.Sprintf("%d:%d %s", e.Session, e.Line, e.Input)
	}
	return strings.Join(texts, ", ")
}

func TestHistoryOutlastsItsSession(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "data", "[kit]")
	for _, cells := range [][]string{{"ease := 8*CM", "ease"}, {}, {"draw()", "two\nlines"}} {
		h := openHistory(t, folder)
		for i, cell := range cells {
			h.Add(i+1, cell, "value of "+cell)
		}
	}
	h := openHistory(t, folder)
	h.Add(1, "ease", "")
	for _, test := range []struct {
		name  string
		found []Entry
		want  string
	}{
		{"this session", h.Range(0, 0, 0), "3:1 ease"},
		{"the one before", h.Range(-1, 0, 0), "2:1 draw(), 2:2 two\nlines"},
		{"two before", h.Range(-2, 2, 3), "1:2 ease"},
		{"by number", h.Range(1, 1, 2), "1:1 ease := 8*CM"},
		{"before all", h.Range(-3, 0, 0), ""},
		{"of none", h.Range(9, 0, 0), ""},
		{"tail", h.Tail(2), "2:2 two\nlines, 3:1 ease"},
		{"search", h.Search("ease*", 0, false), "1:1 ease := 8*CM, 1:2 ease, 3:1 ease"},
		{"unique", h.Search("ease*", 0, true), "1:1 ease := 8*CM, 3:1 ease"},
	} {
		if got := inputs(test.found); got != test.want {
			t.Errorf("%s: %q, want %q", test.name, got, test.want)
		}
	}
	if got := h.Range(2, 1, 2)[0].Output; got != "value of draw()" {
		t.Errorf("the value is %q", got)
	}
}

func TestHistoryWithoutEntriesHasNoCurrentSession(t *testing.T) {
	folder := t.TempDir()
	openHistory(t, folder).Add(1, "earlier", "")
	h := openHistory(t, folder)
	if got := h.Range(0, 0, 0); len(got) != 0 {
		t.Errorf("this session holds %q", inputs(got))
	}
	if got := inputs(h.Range(-1, 0, 0)); got != "1:1 earlier" {
		t.Errorf("the one before holds %q", got)
	}
}

func TestHalfALineIsLeftOut(t *testing.T) {
	folder := t.TempDir()
	openHistory(t, folder).Add(1, "first", "")
	path := filepath.Join(folder, historyName)
	f, err := os.OpenFile(path, os.O_APPEND|os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	f.WriteString("{\"session\":\"x\",\"li") // as a full disk leaves it
	f.Close()
	openHistory(t, folder).Add(1, "second", "")
	if got := inputs(openHistory(t, folder).Tail(9)); got != "1:1 first, 2:1 second" {
		t.Errorf("read %q", got)
	}
}

func TestHistoryThatCannotBeWritten(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	folders := map[string]string{"a file in the way": file, "below a file": filepath.Join(file, "data")}
	if _, err := os.Stat("/dev/full"); err == nil {
		full := t.TempDir()
		if err := os.Symlink("/dev/full", filepath.Join(full, historyName)); err != nil {
			t.Fatal(err)
		}
		folders["a full disk"] = full
	}
	for name, folder := range folders {
		t.Run(name, func(t *testing.T) {
			var noted []error
			s := newFakeSession()
			h := OpenHistory(folder, func(err error) { noted = append(noted, err) })
			s.KeepHistory(h)
			for range 3 {
				if r := s.Execute(t.Context(), Request{Code: "one", StoreHistory: true}, muted{}); r.Error != nil {
					t.Error(r.Error)
				}
			}
			if got := inputs(h.Tail(9)); got != "1:1 one, 1:2 one, 1:3 one" || len(noted) != 1 {
				t.Errorf("it holds %q, noted %v", got, noted)
			}
		})
	}
}

func TestHistoryIsBounded(t *testing.T) {
	folder := t.TempDir()
	h := openHistory(t, folder)
	h.limit = 40_000
	for i := range 400 {
		h.Add(i+1, "a cell of some length", strings.Repeat("x", maxHistoryValue*(i%2)))
	}
	h.Add(401, strings.Repeat("long ", maxHistoryInput), "")
	h.Add(402, "the last", strings.Repeat("long ", maxHistoryValue))
	var size int64
	files, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		info, err := f.Info()
		if err != nil {
			t.Fatal(err)
		}
		size += info.Size()
	}
	// A file may outgrow the limit by one line.
	if most := 4*h.limit + 5*maxHistoryValue; size > most || len(files) < 2 {
		t.Errorf("%d bytes in %d files, want at most %d", size, len(files), most)
	}
	kept := openHistory(t, folder).Tail(1000)
	if last := kept[len(kept)-1]; last.Input != "the last" || last.Output != "" || len(kept) == 402 {
		t.Errorf("%d entries are kept, the last is %q", len(kept), last.Input)
	}
	if got := len(h.Tail(1000)); got != 402 {
		t.Errorf("the session itself has %d entries, want 402", got)
	}
}

func TestRunningHistoryIsBounded(t *testing.T) {
	h := NewMemoryHistory()
	big := strings.Repeat("x", maxHistoryHeld/4)
	for i := range 10 {
		h.Add(i+1, fmt.Sprint("cell ", i+1), big)
	}
	if got := inputs(h.Tail(20)); got != "1:8 cell 8, 1:9 cell 9, 1:10 cell 10" {
		t.Errorf("it holds %q", got)
	}
	h.Add(11, "greater than all", big+big+big+big+big)
	if got := inputs(h.Tail(20)); got != "1:11 greater than all" {
		t.Errorf("it holds %q", got)
	}
	most := maxHistoryHeld / entryOverhead
	for i := range most + 100 {
		h.Add(i+12, "x", "")
	}
	if got := len(h.Tail(2 * most)); got > most || got < most*9/10 {
		t.Errorf("it holds %d short cells, want nearly %d", got, most)
	}
}

const fakeHistoryCells = 300

// addFakeHistory is a process that runs cells while others do.
func addFakeHistory(folder string) int {
	failed := 0
	h := OpenHistory(folder, func(err error) { fmt.Println(err); failed = 1 }).(*fileHistory)
	h.limit = 30_000 // several files are put aside meanwhile, none is removed
	for i := range fakeHistoryCells {
		h.Add(i+1, fmt.Sprintf("cell %d", i+1), "")
	}
	return failed
}

func TestProcessesShareAHistory(t *testing.T) {
	folder := t.TempDir()
	const processes = 2
	done := make(chan error, processes)
	for range processes {
		c := exec.Command(os.Args[0])
		c.Env = append(os.Environ(), "PATTERNKIT_FAKE_HISTORY="+folder)
		go func() {
			out, err := c.CombinedOutput()
			if err != nil {
				err = fmt.Errorf("%w: %s", err, out)
			}
			done <- err
		}()
	}
	for range processes {
		if err := <-done; err != nil {
			t.Error(err)
		}
	}
	h := openHistory(t, folder)
	for session := 1; session <= processes; session++ {
		var lines, want []int
		for i, e := range h.Range(session, 0, 0) {
			lines, want = append(lines, e.Line), append(want, i+1)
		}
		if len(lines) != fakeHistoryCells || !reflect.DeepEqual(lines, want) {
			t.Errorf("session %d has the lines %v", session, lines)
		}
	}
}

// Two kernels that put the file aside at once can give the later part the
// earlier name: the cells of a session still come in their order.
func TestHistoryPartsOutOfOrder(t *testing.T) {
	folder := t.TempDir()
	line := func(second, number int) string {
		l := historyLine{Session: "a", Time: time.Date(2026, 11, 25, 9, 0, second, 0, time.UTC), Line: number, Input: fmt.Sprint("cell ", number)}
		text, err := json.Marshal(l)
		if err != nil {
			t.Fatal(err)
		}
		return string(text) + "\n"
	}
	for name, content := range map[string]string{
		"history-20261125T090000.1.jsonl": line(3, 3) + line(4, 4),
		"history-20261125T090000.2.jsonl": line(1, 1) + line(2, 2),
	} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(content), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	var lines []int
	for _, e := range openHistory(t, folder).Range(1, 0, 0) {
		lines = append(lines, e.Line)
	}
	if want := []int{1, 2, 3, 4}; !reflect.DeepEqual(lines, want) {
		t.Errorf("the session has the lines %v, want %v", lines, want)
	}
}
