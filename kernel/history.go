package kernel

import (
	"slices"
	"sync"
)

// An Entry is one cell in the history. Output is the text of its value, empty
// when it had none.
type Entry struct {
	Session, Line int
	Input, Output string
}

// A History remembers the cells that were run. Entries come back oldest first.
type History interface {
	// Add appends a cell of the current session.
	Add(line int, input, output string)
	// Range returns the entries of a session with start <= Line < stop; stop 0
	// has no end. Session 0 is the current one and -1 the one before it.
	Range(session, start, stop int) []Entry
	// Tail returns the last n entries.
	Tail(n int) []Entry
	// Search returns the last n entries whose input matches a pattern of *
	// (any text) and ? (any character); n 0 is all. With unique, only the last
	// of equal inputs.
	Search(pattern string, n int, unique bool) []Entry
}

// maxHistoryHeld is how much memory the history of a running session may
// take; then the oldest entries are forgotten.
const maxHistoryHeld = 16 << 20 // bytes, as of the files

// entryOverhead is what an entry takes beside its text: itself, the room that
// a growing slice keeps, and what the allocator rounds up.
const entryOverhead = 96 // bytes

// NewMemoryHistory returns a history that ends with the process. Of very many
// entries it holds the newest 16 MB.
func NewMemoryHistory() History { return &memoryHistory{current: 1} }

type memoryHistory struct {
	current int // session
	mu      sync.Mutex
	entries []Entry
	size    int // bytes that entries take
}

func (h *memoryHistory) Add(line int, input, output string) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.hold(Entry{Session: h.current, Line: line, Input: input, Output: output})
}

// hold appends entries and forgets old ones for them.
func (h *memoryHistory) hold(entries ...Entry) {
	for _, e := range entries {
		h.entries = append(h.entries, e)
		h.size += e.size()
	}
	for ; h.size > maxHistoryHeld && len(h.entries) > 1; h.entries = h.entries[1:] {
		h.size -= h.entries[0].size()
	}
}

func (e Entry) size() int { return entryOverhead + len(e.Input) + len(e.Output) }

func (h *memoryHistory) all() []Entry {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.entries[:len(h.entries):len(h.entries)]
}

func (h *memoryHistory) Range(session, start, stop int) []Entry {
	all := h.all()
	if session <= 0 {
		session += h.current
	}
	var found []Entry
	for _, e := range all {
		if e.Session == session && e.Line >= start && (stop == 0 || e.Line < stop) {
			found = append(found, e)
		}
	}
	return found
}

func (h *memoryHistory) Tail(n int) []Entry { return lastEntries(h.all(), n) }

func (h *memoryHistory) Search(pattern string, n int, unique bool) []Entry {
	var found []Entry
	seen := map[string]bool{}
	for _, e := range slices.Backward(h.all()) {
		if !matchGlob(pattern, e.Input) || unique && seen[e.Input] {
			continue
		}
		seen[e.Input] = true
		found = append(found, e)
		if n > 0 && len(found) == n {
			break
		}
	}
	slices.Reverse(found)
	return found
}

func lastEntries(entries []Entry, n int) []Entry {
	return entries[max(0, len(entries)-max(0, n)):]
}

// matchGlob reports whether all of text matches pattern, in time proportional
// to the product of their lengths at worst.
func matchGlob(pattern, text string) bool {
	p, t := []rune(pattern), []rune(text)
	pi, ti, star, mark := 0, 0, -1, 0
	for ti < len(t) {
		switch {
		case pi < len(p) && p[pi] == '*':
			star, mark = pi, ti
			pi++
		case pi < len(p) && (p[pi] == '?' || p[pi] == t[ti]):
			pi++
			ti++
		case star >= 0:
			mark++
			pi, ti = star+1, mark
		default:
			return false
		}
	}
	for pi < len(p) && p[pi] == '*' {
		pi++
	}
	return pi == len(p)
}
