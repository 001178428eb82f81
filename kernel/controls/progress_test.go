package controls

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"
)

func TestProgress(t *testing.T) {
	p, f := newFake(true)
	bar := p.Progress("grade <all>")
	for i := range 1001 {
		bar.Report(i, 1000)
	}
	bar.Report(1000, 1000)
	if n := len(f.shown) + f.count("update"); n < 2 || n > 100 {
		t.Errorf("%d pictures of a bar that was quickly full", n)
	}
	if got := f.picture(t); !strings.HasPrefix(got, "grade <all>: 1000 of 1000, done in") {
		t.Errorf("it ends at %q", got)
	}
	for _, data := range f.updated {
		if got := data["text/html"].(string); !strings.Contains(got, `&lt;all&gt; <progress value="1000" max="1000">`) {
			t.Errorf("it ends at %q", got)
		}
	}
}

// texts returns what is shown now, in the order of first showing.
func (f *fakeFront) texts() []string {
	var found []string
	for i := range f.ids {
		if data := f.updated[fmt.Sprint("id", i+1)]; data != nil {
			found = append(found, data["text/plain"].(string))
		}
	}
	return found
}

func TestProgressShowsTheBestUpToNow(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p, f := newFake(true)
		f.runCell("search", func() {
			bar := p.Progress("lay")
			for i := range 1000 {
				bar.Best(i)
				bar.Report(i+1, 1000)
				time.Sleep(10 * time.Millisecond) // ten seconds in all
			}
		})
		if got := f.texts(); len(got) != 2 || !strings.HasPrefix(got[0], "lay: 1000 of 1000") || got[1] != "999" {
			t.Errorf("it ends at %q", got)
		}
		if n := f.count("update"); n < 60 || n > 125 {
			t.Errorf("%d pictures of bar and best in 10 s, want about 100 and 10", n)
		}
	})
}

// The best that was found when a cell is stopped is there, and what a cell
// leaves unfinished.
func TestProgressOfUnfinishedWork(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p, f := newFake(true)
		stopped := p.Progress("stopped") // its cell never settles
		stopped.Best(0)
		if got := f.texts(); len(got) != 2 || got[1] != "0" {
			t.Errorf("at once: %q", got)
		}
		for i := range 5 {
			stopped.Best(i)
			stopped.Report(i+1, 100)
		}
		time.Sleep(2 * bestTime)
		synctest.Wait()
		if got := f.texts(); !strings.HasPrefix(got[0], "stopped: 5 of 100") || got[1] != "4" {
			t.Errorf("a while after: %q", got)
		}
	})
	p, f := newFake(false)
	f.runCell("unfinished", func() {
		bar := p.Progress("unfinished")
		for i := range 5 {
			bar.Report(i+1, 100)
			bar.Best(i)
		}
	})
	if got := f.texts(); got[0] != "unfinished: 5 of 100 when the cell ended" || got[1] != "4" {
		t.Errorf("at the end of the cell: %q", got)
	}
	f.runCell("nobody knows how long", func() { p.Progress("endless").Report(7, 0) })
	if got := f.updated[fmt.Sprint("id", f.ids-1)]["text/html"]; got != "<p>endless  7 done when the cell ended</p>" {
		t.Errorf("of what never ends: %q", got)
	}
	if len(p.bars) != 0 {
		t.Error("bars of a cell that is over are kept")
	}
}

func TestProgressInATerminal(t *testing.T) {
	var out strings.Builder
	p := NewPanel()
	p.front = &printer{out: &out}
	bar := p.Progress("lay")
	for i := range 1000 {
		bar.Best(fmt.Sprint("lay ", i))
		bar.Report(i+1, 1000)
	}
	lines := strings.Split(strings.TrimSpace(out.String()), "\n")
	if len(lines) != 2 || !strings.Contains(lines[0], "1000 of 1000") || !slices.Contains(lines, "lay 999") {
		t.Errorf("printed %q, want the bar and the last picture", out.String())
	}
}
