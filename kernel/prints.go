package kernel

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
)

// A cell that prints without end must fill neither the page nor the disk.
const (
	maxPrinted    = 2 << 20  // bytes of text that a cell shows
	maxPrintFile  = 64 << 20 // bytes of a file that keeps more of it
	maxPrintFiles = 8        // the newest are kept
)

// prints cuts what the cell that runs prints and keeps the whole in a file. It
// serves one cell after another.
type prints struct {
	folder string // "" keeps nothing
	limit  int    // of text shown
	full   int64  // of the file

	mu     sync.Mutex
	shown  strings.Builder // until the limit
	cut    bool
	file   *os.File // nil when nothing is kept (any more)
	length int64
}

func newPrints() *prints { return &prints{limit: maxPrinted, full: maxPrintFile} }

// enterCell starts to count anew.
func (p *prints) enterCell() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.closeLocked()
	p.shown.Reset()
	p.cut = false
}

func (p *prints) closeLocked() {
	if p.file != nil {
		p.file.Close()
		p.file = nil
	}
}

// take counts text in. It returns how much of it is to be shown, and a notice
// to show behind that.
func (p *prints) take(text string) (shown, notice string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.cut {
		return "", p.keepLocked(text)
	}
	room := p.limit - p.shown.Len()
	if len(text) <= room {
		p.shown.WriteString(text)
		return text, ""
	}
	shown, _ = splitIncomplete(text[:room])
	p.cut = true
	notice = p.openLocked(p.shown.String() + text)
	p.shown.Reset()
	return shown, fmt.Sprintf("\n… cut here: the cell has printed more than %s. %s\n", megabytes(int64(p.limit)), notice)
}

// openLocked begins the file with what was printed up to now, and says where
// it is.
func (p *prints) openLocked(text string) string {
	if p.folder == "" {
		return "The rest is not kept."
	}
	err := os.MkdirAll(p.folder, 0o700)
	if err == nil {
		p.file, err = os.CreateTemp(p.folder, "printed-*.txt")
	}
	if err != nil {
		return fmt.Sprintf("The rest can't be kept: %v.", err)
	}
	removeOldPrints(p.folder)
	p.length = 0
	name := p.file.Name()
	if failed := p.keepLocked(text); failed != "" {
		return strings.TrimSpace(failed)
	}
	return fmt.Sprintf("All of it, up to %s, is kept in %s", megabytes(p.full), name)
}

// keepLocked appends to the file. The notice says when that is over by a fault.
func (p *prints) keepLocked(text string) (notice string) {
	if p.file == nil {
		return ""
	}
	room := p.full - p.length
	whole := int64(len(text)) <= room
	if !whole {
		text, _ = splitIncomplete(text[:room])
		text += fmt.Sprintf("\n… cut here: the cell has printed more than %s.\n", megabytes(p.full))
	}
	n, err := p.file.WriteString(text)
	p.length += int64(n)
	name := p.file.Name()
	if err != nil || !whole {
		p.closeLocked()
	}
	if err != nil {
		return fmt.Sprintf("What the cell prints can't be kept in %s any longer: %v.\n", name, err)
	}
	return ""
}

// removeOldPrints leaves the newest files of a folder. One that can't be
// removed stays.
func removeOldPrints(folder string) {
	names, err := filepath.Glob(filepath.Join(folder, "printed-*.txt"))
	if err != nil {
		return
	}
	age := map[string]int64{}
	for _, name := range names {
		if info, err := os.Stat(name); err == nil {
			age[name] = info.ModTime().UnixNano()
		} else if errors.Is(err, fs.ErrNotExist) {
			age[name] = 0 // another kernel removes too
		}
	}
	slices.SortFunc(names, func(a, b string) int { return cmp.Compare(age[a], age[b]) })
	for _, name := range names[:max(0, len(names)-maxPrintFiles)] {
		os.Remove(name)
	}
}

func megabytes(n int64) string { return fmt.Sprintf("%d MB", n>>20) }

// limitedOutput is an Output whose printed text is cut.
type limitedOutput struct {
	Output
	prints *prints
}

func (o limitedOutput) Stream(name, text string) {
	shown, notice := o.prints.take(text)
	if shown != "" {
		o.Output.Stream(name, shown)
	}
	if notice != "" {
		o.Output.Stream("stderr", notice)
	}
}
