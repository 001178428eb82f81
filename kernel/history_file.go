package kernel

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"time"
)

// The history of earlier sessions is kept in files of one JSON object a line.
// Every kernel of a user appends to the newest of them, historyName. A line is
// one write to a file opened for appending, so that kernels need no lock.
const (
	historyName = "history.jsonl"
	historyOld  = "history-*.jsonl" // with the time that it was put aside

	maxHistoryFile  = 4 << 20   // bytes; then it is put aside
	maxHistoryKept  = 16 << 20  // bytes of all files; then the oldest goes
	maxHistoryInput = 256 << 10 // bytes of a cell; a longer one is kept in memory only
	maxHistoryValue = 10 << 10  // bytes of a value; a longer one is left out
)

// A historyLine is an entry in a file. Sessions are told apart by a name that
// none shares; their numbers are in the order in which they began.
type historyLine struct {
	Session string    `json:"session"`
	Time    time.Time `json:"time"`
	Line    int       `json:"line"`
	Input   string    `json:"input"`
	Output  string    `json:"output,omitempty"`
}

// fileHistory is a history that starts with what earlier sessions left in a
// folder, and leaves its own there.
type fileHistory struct {
	memoryHistory
	folder  string
	session string
	limit   int64 // of a file
	log     func(error)
	once    sync.Once
}

// OpenHistory returns a history that is kept in a folder, which is made when
// the first cell is added. Sessions are numbered from 1 among those that are
// still kept. What several kernels add at once is kept of each; a kernel sees
// what was there when it started and its own.
//
// A folder that can't be read or written stops nothing: the history is then
// that of the session, and log is told once.
func OpenHistory(folder string, log func(error)) History {
	h := &fileHistory{folder: folder, session: newID(), limit: maxHistoryFile, log: log}
	entries, sessions, err := readHistory(folder)
	if err != nil {
		h.complain(err)
	}
	h.current = sessions + 1
	h.hold(entries...)
	return h
}

func (h *fileHistory) complain(err error) {
	h.once.Do(func() { h.log(fmt.Errorf("the history of this session is not kept whole: %w", err)) })
}

// Add appends to memory and to the file.
func (h *fileHistory) Add(line int, input, output string) {
	h.memoryHistory.Add(line, input, output)
	if len(input) > maxHistoryInput {
		return
	}
	if len(output) > maxHistoryValue {
		output = ""
	}
	l := historyLine{Session: h.session, Time: time.Now().UTC(), Line: line, Input: input, Output: output}
	if err := h.write(l); err != nil {
		h.complain(err)
	}
}

func (h *fileHistory) write(l historyLine) error {
	text, err := json.Marshal(l)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(h.folder, 0o700); err != nil {
		return err
	}
	path := filepath.Join(h.folder, historyName)
	if err := putAside(path, h.limit); err != nil {
		return err
	}
	f, err := os.OpenFile(path, os.O_RDWR|os.O_APPEND|os.O_CREATE, 0o600)
	if err != nil {
		return err
	}
	err = appendLine(f, text)
	return errors.Join(err, f.Close())
}

// appendLine adds a line in one write. Where a full disk has left half a line,
// it starts behind that.
func appendLine(f *os.File, text []byte) error {
	if end, err := f.Seek(0, io.SeekEnd); err == nil && end > 0 {
		last := []byte{'\n'}
		if _, err := f.ReadAt(last, end-1); err == nil && last[0] != '\n' {
			text = append([]byte{'\n'}, text...)
		}
	}
	_, err := f.Write(append(text, '\n'))
	return err
}

// putAside renames a file that has grown to the limit, and removes the oldest
// of those that were put aside before. Each gets a name of its own, so that
// two kernels that do this at once lose nothing.
func putAside(path string, limit int64) error {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return err
	case info.Size() < limit:
		return nil
	}
	folder := filepath.Dir(path)
	aside := fmt.Sprintf("history-%s.jsonl", time.Now().UTC().Format("20060102T150405.000000000"))
	if err := os.Rename(path, filepath.Join(folder, aside)); err != nil {
		return ignoreGone(err)
	}
	old, err := oldHistories(folder)
	if err != nil {
		return err
	}
	keep := limit * (maxHistoryKept/maxHistoryFile - 1)
	for _, path := range slices.Backward(old) {
		if info, err := os.Stat(path); err == nil {
			keep -= info.Size()
		}
		if keep < 0 {
			err = errors.Join(err, ignoreGone(os.Remove(path)))
		}
	}
	return err
}

// ignoreGone is for what another kernel has put aside or removed already.
func ignoreGone(err error) error {
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	return err
}

// oldHistories returns the files that were put aside, oldest first.
func oldHistories(folder string) ([]string, error) {
	files, err := fs.Glob(os.DirFS(folder), historyOld) // no pattern in the folder's name
	if err != nil {
		return nil, err
	}
	slices.Sort(files)
	for i, name := range files {
		files[i] = filepath.Join(folder, name)
	}
	return files, nil
}

// readHistory reads the files of a folder. Entries come in the order of their
// sessions. Lines that are none are left out: a disk was full.
func readHistory(folder string) (entries []Entry, sessions int, err error) {
	files, err := oldHistories(folder)
	if err != nil {
		return nil, 0, err
	}
	var lines []historyLine
	for _, path := range append(files, filepath.Join(folder, historyName)) {
		content, readErr := readPlain(path)
		err = errors.Join(err, ignoreGone(readErr))
		for line := range bytes.Lines(content) {
			var l historyLine
			if json.Unmarshal(line, &l) == nil && l.Session != "" {
				lines = append(lines, l)
			}
		}
	}
	entries, sessions = numberSessions(lines)
	return entries, sessions, err
}

// numberSessions turns lines into entries, session by session. The order of
// the lines themselves says little: two kernels that put the file aside at
// once may name the later part with the earlier time.
func numberSessions(lines []historyLine) (entries []Entry, sessions int) {
	slices.SortStableFunc(lines, func(a, b historyLine) int { return a.Time.Compare(b.Time) })
	numbers := map[string]int{}
	for _, l := range lines {
		if numbers[l.Session] == 0 {
			numbers[l.Session] = len(numbers) + 1
		}
		entries = append(entries, Entry{Session: numbers[l.Session], Line: l.Line, Input: l.Input, Output: l.Output})
	}
	slices.SortStableFunc(entries, func(a, b Entry) int {
		return cmp.Or(a.Session-b.Session, a.Line-b.Line)
	})
	return entries, len(numbers)
}

// readPlain reads a file, and nothing of what is no plain file: a device may
// have no end.
func readPlain(path string) ([]byte, error) {
	info, err := os.Stat(path)
	if err != nil || !info.Mode().IsRegular() {
		return nil, err
	}
	return os.ReadFile(path)
}
