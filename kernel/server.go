package kernel

import (
	"context"
	"fmt"
	"sync"
	"time"

	"patternkit/kernel/wire"
)

// ServerOptions say how a server behaves. The zero value serves.
type ServerOptions struct {
	// Log is told of messages that were dropped and of faults of the kernel.
	Log func(error)
	// ParentPID is the process whose end ends the server, 0 for none. Jupyter
	// gives it in the environment; see ParentFromEnvironment.
	ParentPID int
}

// A Server answers Jupyter's requests by a session.
type Server struct {
	session *Session
	sockets *wire.Sockets
	options ServerOptions
	asks    *asks
	stop    chan struct{} // closed by shutdown
	stopped sync.Once

	shell shellQueue

	mu     sync.Mutex
	cancel context.CancelFunc // of the shell request that runs, or nil
}

// NewServer opens the sockets of a connection. Serve answers.
func NewServer(c wire.Connection, s *Session, o ServerOptions) (*Server, error) {
	if o.Log == nil {
		o.Log = func(error) {}
	}
	sockets, err := wire.Listen(c, o.Log)
	if err != nil {
		return nil, err
	}
	server := &Server{session: s, sockets: sockets, options: o, asks: newAsks(), stop: make(chan struct{})}
	server.shell.incoming = sockets.Messages(wire.Shell)
	return server, nil
}

// Connection returns the connection with the ports in use.
func (s *Server) Connection() wire.Connection { return s.sockets.Connection() }

// How long the end of a server may take: for a cell to stop, and for what was
// sent to reach its readers.
const (
	stopTime   = 500 * time.Millisecond
	lingerTime = 500 * time.Millisecond
)

// Serve answers requests until a client asks to shut down, ctx is done, or
// the parent process ends. It does not wait for a cell that can't be stopped.
func (s *Server) Serve(ctx context.Context) error {
	defer s.sockets.Close(lingerTime)
	s.sockets.Publish(nil, "status", map[string]any{"execution_state": "starting"}, nil)
	finished := make(chan struct{})
	go func() {
		defer close(finished)
		s.serveShell()
	}()
	go s.serveControl()
	go s.serveStdin()
	err := s.wait(ctx)
	s.shutdown()
	s.Interrupt()
	select {
	case <-finished:
	case <-time.After(stopTime):
	}
	return err
}

// wait returns when the server is to end.
func (s *Server) wait(ctx context.Context) error {
	var parentGone <-chan struct{}
	if s.options.ParentPID > 0 {
		parentGone = watchParent(s.options.ParentPID, s.stop)
	}
	select {
	case <-s.stop:
		return nil
	case <-parentGone:
		return fmt.Errorf("the program that started this kernel (process %d) has ended", s.options.ParentPID)
	case <-ctx.Done():
		return ctx.Err()
	}
}

func (s *Server) shutdown() { s.stopped.Do(func() { close(s.stop) }) }

// Interrupt stops the cell that runs. When none runs it does nothing.
func (s *Server) Interrupt() {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.cancel != nil {
		s.cancel()
	}
}

// interruptible returns a context for a shell request, that Interrupt
// cancels. It stays alive after the request, because functions of the cell
// may be called back later.
func (s *Server) interruptible() context.Context {
	ctx, cancel := context.WithCancel(context.Background())
	s.mu.Lock()
	defer s.mu.Unlock()
	s.cancel = cancel
	return ctx
}

func (s *Server) uninterruptible() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.cancel = nil
}

// restTime is how long no control must have moved for the kernel to finish
// what it had left for later.
const restTime = 300 * time.Millisecond

// serveShell answers requests in their order.
func (s *Server) serveShell() {
	var moved *socketOutput // of the last control's message, until its rest
	var rest <-chan time.Time
	for {
		m, abort, ended := s.shell.next(s.stop, rest)
		switch {
		case ended:
			return
		case m == nil:
			s.session.Rest(s.interruptible(), moved)
			s.uninterruptible()
			moved, rest = nil, nil
			continue
		}
		out := s.answer(m, abort)
		if m.Header.Type == "comm_msg" {
			moved = out
		}
		if moved != nil {
			rest = time.After(restTime)
		}
	}
}

// serveControl answers while a cell runs: to interrupt it, to shut down.
func (s *Server) serveControl() {
	for {
		select {
		case m := <-s.sockets.Messages(wire.Control):
			s.answer(m, false)
		case <-s.stop:
			return
		}
	}
}

func (s *Server) serveStdin() {
	for {
		select {
		case m := <-s.sockets.Messages(wire.Stdin):
			if err := s.asks.answered(m); err != nil {
				s.options.Log(fmt.Errorf("stdin: %w", err))
			}
		case <-s.stop:
			return
		}
	}
}

// A shellQueue holds the shell requests that wait. One goroutine uses it.
type shellQueue struct {
	incoming <-chan *wire.Message
	waiting  []*wire.Message
	aborted  int // how many of waiting are to be refused if they are cells
}

// next waits for a request; it is nil when rest comes first.
func (q *shellQueue) next(stop <-chan struct{}, rest <-chan time.Time) (m *wire.Message, abort, ended bool) {
	if len(q.waiting) == 0 {
		select {
		case m := <-q.incoming:
			return m, false, false
		case <-rest:
			return nil, false, false
		case <-stop:
			return nil, false, true
		}
	}
	m, q.waiting = q.waiting[0], q.waiting[1:]
	abort = q.aborted > 0
	q.aborted = max(0, q.aborted-1)
	return m, abort, false
}

// peek returns the next request if one has arrived.
func (q *shellQueue) peek() *wire.Message {
	if len(q.waiting) == 0 {
		select {
		case m := <-q.incoming:
			q.waiting = append(q.waiting, m)
		default:
			return nil
		}
	}
	return q.waiting[0]
}

// gatherTime is for requests that were sent before a failed cell is answered
// but are still on their way from the socket.
const gatherTime = 10 * time.Millisecond

// abortWaiting refuses the cells that were sent before now.
func (q *shellQueue) abortWaiting() {
	enough := time.After(gatherTime)
	for {
		select {
		case m := <-q.incoming:
			q.waiting = append(q.waiting, m)
		case <-enough:
			q.aborted = len(q.waiting)
			return
		}
	}
}
