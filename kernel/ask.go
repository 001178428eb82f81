package kernel

import (
	"context"
	"sync"

	"patternkit/kernel/wire"
)

// asks are the questions that wait for an answer on stdin.
type asks struct {
	mu      sync.Mutex
	waiting map[string]chan string // by the id of the question
}

func newAsks() *asks { return &asks{waiting: map[string]chan string{}} }

func (a *asks) ask(ctx context.Context, sockets *wire.Sockets, parent *wire.Message, prompt string, password bool) (string, error) {
	answer := make(chan string, 1)
	// Held over the sending, so that the answer can't come before it is
	// waited for.
	a.mu.Lock()
	id, err := sockets.Ask(parent, "input_request", map[string]any{"prompt": prompt, "password": password})
	if err == nil {
		a.waiting[id] = answer
	}
	a.mu.Unlock()
	if err != nil {
		return "", err
	}
	defer func() {
		a.mu.Lock()
		defer a.mu.Unlock()
		delete(a.waiting, id)
	}()
	select {
	case text := <-answer:
		return text, nil
	case <-ctx.Done():
		return "", ctx.Err()
	}
}

// answered takes a message of the stdin channel.
func (a *asks) answered(m *wire.Message) error {
	value := m.Content.String("value")
	if err := m.Content.Err(); err != nil {
		return err
	}
	a.mu.Lock()
	defer a.mu.Unlock()
	question := m.ParentID
	if question == "" && len(a.waiting) == 1 {
		for question = range a.waiting { // jupyter_client does not name what it answers
		}
	}
	if answer := a.waiting[question]; answer != nil {
		select {
		case answer <- value:
		default: // a second answer to one question
		}
	}
	return nil
}
