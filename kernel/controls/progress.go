package controls

import (
	"fmt"
	"html"
	"sync"
	"time"
)

// progressTime is the least time between two pictures of a bar.
const progressTime = 100 * time.Millisecond

// A ProgressBar shows how far long work has come.
type ProgressBar struct {
	panel *Panel
	label string
	id    string
	begun time.Time

	mu    sync.Mutex
	shown time.Time // zero before it is shown
	over  bool
}

// Progress makes a bar for long work. It is shown in the running cell at the
// first Report.
func (p *Panel) Progress(label string) *ProgressBar {
	return &ProgressBar{panel: p, label: label, id: p.front.NewID(), begun: time.Now()}
}

// Report says that done of total parts are done; a total of 0 is not known
// yet. The bar is complete at done == total, and then stays as it is. Report
// may be given to work as its callback, and be called as often as one likes
// and from several goroutines.
func (b *ProgressBar) Report(done, total int) {
	b.mu.Lock()
	defer b.mu.Unlock()
	over := total > 0 && done >= total
	if b.over || !over && !b.shown.IsZero() && time.Since(b.shown) < progressTime {
		return
	}
	update := !b.shown.IsZero()
	b.shown, b.over = time.Now(), over
	if terminal, ok := b.panel.front.(*printer); ok {
		terminal.line(b.label+": "+b.state(done, total), over)
		return
	}
	b.panel.front.Show(b.bundle(done, total), b.id, update)
}

func (b *ProgressBar) bundle(done, total int) map[string]any {
	state, bar := b.state(done, total), "<progress></progress>"
	if total > 0 {
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
