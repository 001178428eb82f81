package controls

import (
	"fmt"
	"html"
	"sync"
	"time"
)

// The least time between two pictures of a bar, and between two of the best
// result up to then, which may take a while to draw.
const (
	progressTime = 100 * time.Millisecond
	bestTime     = time.Second
)

// A ProgressBar shows how far long work has come, and the best that it has
// found.
type ProgressBar struct {
	panel *Panel
	label string
	begun time.Time

	mu          sync.Mutex
	bar, best   shownPart
	done, total int
	stopped     bool // by the end of the cell, before it was complete
	found       any  // the best
	timer       *time.Timer
}

// A shownPart is one output of a bar that is replaced now and then.
type shownPart struct {
	id    string
	last  time.Time // zero before it is shown
	waits bool      // there is something newer
}

// due reports whether a part may be shown now.
func (s *shownPart) due(every time.Duration) bool {
	return s.last.IsZero() || time.Since(s.last) >= every
}

// Progress makes a bar for long work. It is shown in the running cell at the
// first Report.
func (p *Panel) Progress(label string) *ProgressBar {
	b := &ProgressBar{
		panel: p, label: label, begun: time.Now(),
		bar: shownPart{id: p.front.NewID()}, best: shownPart{id: p.front.NewID()},
	}
	if _, terminal := p.front.(*printer); !terminal { // where cells end
		p.mu.Lock()
		defer p.mu.Unlock()
		p.bars = append(p.bars, b)
	}
	return b
}

// Report says that done of total parts are done; a total of 0 is not known
// yet. The bar is complete at done == total, and then stays as it is. Report
// may be given to work as its callback, and be called as often as one likes
// and from several goroutines.
func (b *ProgressBar) Report(done, total int) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.over() {
		return
	}
	b.done, b.total, b.stopped, b.bar.waits = done, total, false, true
	if b.over() {
		b.showAll()
	} else if b.bar.due(progressTime) {
		b.showBar()
	}
}

// Best says what the best result is up to now: anything that a cell shows. It
// is shown under the bar in the place of the one before, at most once a
// second. A terminal gets the last one only, when the bar is complete. What is
// given must not change any more. Best may be called as often as one likes and
// from several goroutines.
func (b *ProgressBar) Best(result any) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.found, b.best.waits = result, true
	if b.bar.last.IsZero() {
		b.showBar() // above the picture
	}
	switch {
	case b.over() || b.best.due(bestTime):
		b.showBest()
	case b.timer == nil && b.panel.front.Live():
		// The cell may be stopped before there is a better one.
		b.timer = time.AfterFunc(bestTime, b.flush)
	}
}

func (b *ProgressBar) over() bool { return b.total > 0 && b.done >= b.total }

// flush shows what waits.
func (b *ProgressBar) flush() {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.showAll()
}

func (b *ProgressBar) showAll() {
	if b.bar.waits {
		b.showBar()
	}
	if b.best.waits {
		b.showBest()
	}
}

// stop is flush for a cell that is over. A bar that is not complete then, as
// when the cell was interrupted, says no more how long it takes.
func (b *ProgressBar) stop() {
	b.mu.Lock()
	defer b.mu.Unlock()
	if !b.bar.last.IsZero() && !b.over() {
		b.stopped, b.bar.waits = true, true
	}
	b.showAll()
}

// flushBars shows what bars of a cell that is over have left, and forgets them.
func (p *Panel) flushBars() {
	p.mu.Lock()
	bars := p.bars
	p.bars = nil
	p.mu.Unlock()
	for _, b := range bars {
		b.stop()
	}
}

func (b *ProgressBar) showBar() {
	if terminal, ok := b.panel.front.(*printer); ok {
		b.bar.last, b.bar.waits = time.Now(), false
		terminal.line(b.label+": "+b.state(b.done, b.total), b.over())
		return
	}
	b.show(&b.bar, b.bundle(b.done, b.total))
}

func (b *ProgressBar) showBest() {
	if _, terminal := b.panel.front.(*printer); terminal && !b.over() {
		return
	}
	if b.timer != nil {
		b.timer.Stop()
		b.timer = nil
	}
	b.show(&b.best, b.panel.front.Bundle(b.found))
}

func (b *ProgressBar) show(part *shownPart, data map[string]any) {
	update := !part.last.IsZero()
	part.last, part.waits = time.Now(), false
	b.panel.front.Show(data, part.id, update)
}

func (b *ProgressBar) bundle(done, total int) map[string]any {
	state, bar := b.state(done, total), "<progress></progress>"
	switch {
	case total <= 0 && b.stopped:
		bar = ""
	case total > 0:
		bar = fmt.Sprintf(`<progress value="%d" max="%d"></progress>`, done, total)
	}
	return map[string]any{
		"text/plain": b.label + ": " + state,
		"text/html":  "<p>" + html.EscapeString(b.label) + " " + bar + " " + state + "</p>",
	}
}

// state says in words how far it is and how long it takes at this pace.
func (b *ProgressBar) state(done, total int) string {
	spent := time.Since(b.begun)
	switch {
	case total <= 0 && b.stopped:
		return fmt.Sprintf("%d done when the cell ended", done)
	case b.stopped:
		return fmt.Sprintf("%d of %d when the cell ended", done, total)
	case total <= 0:
		return fmt.Sprintf("%d done", done)
	case done >= total:
		return fmt.Sprintf("%d of %d, done in %s", done, total, roughly(spent))
	case done <= 0:
		return fmt.Sprintf("%d of %d", done, total)
	}
	left := time.Duration(float64(spent) / float64(done) * float64(total-done))
	return fmt.Sprintf("%d of %d, about %s left", done, total, roughly(left))
}

// roughly writes a time as one would say it.
func roughly(d time.Duration) string {
	switch {
	case d < 10*time.Second:
		return fmt.Sprintf("%.1f s", d.Seconds())
	case d < 2*time.Minute:
		return fmt.Sprintf("%.0f s", d.Seconds())
	}
	return fmt.Sprintf("%.0f min", d.Minutes())
}
