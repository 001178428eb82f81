package kernel

import (
	"crypto/rand"
	"sync"
)

// A CommOutput is an Output with a front end behind it that controls can talk
// to. An Output without these methods shows the static picture only.
type CommOutput interface {
	Output
	OpenComm(id, target string, data, metadata map[string]any)
	SendComm(id string, data map[string]any)
	CloseComm(id string, data map[string]any)
}

// An Asker is an Output that can ask the front end for a line of text.
type Asker interface {
	Ask(prompt string, password bool) (string, error)
}

// Client names the front end whose message is answered: each page that is
// open has a name of its own.
func (o *socketOutput) Client() string { return o.parent.Header.Session }

// A comm is one conversation between an object here and one in a front end.
type comm struct {
	target  string
	receive func(data map[string]any)
}

// A commBook knows the open comms of a session and the targets that a front
// end may open.
type commBook struct {
	mu      sync.Mutex
	open    map[string]comm
	targets map[string]func(id string, data map[string]any) func(data map[string]any)
}

func newCommBook() *commBook {
	return &commBook{
		open:    map[string]comm{},
		targets: map[string]func(string, map[string]any) func(map[string]any){},
	}
}

func (b *commBook) add(id string, c comm) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.open[id] = c
}

func (b *commBook) remove(id string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	delete(b.open, id)
}

func (b *commBook) receiver(id string) func(map[string]any) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.open[id].receive
}

func (b *commBook) target(name string) func(string, map[string]any) func(map[string]any) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.targets[name]
}

// list returns the ids of the open comms with their targets; target "" is
// every one.
func (b *commBook) list(target string) map[string]string {
	b.mu.Lock()
	defer b.mu.Unlock()
	found := map[string]string{}
	for id, c := range b.open {
		if target == "" || c.target == target {
			found[id] = c.target
		}
	}
	return found
}

// newID returns an id for a comm or a display: 128 random bits.
func newID() string { return rand.Text() }
