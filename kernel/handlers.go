package kernel

import (
	"context"
	"fmt"
	"strings"
	"time"

	"patternkit/kernel/wire"
)

// A request is a message with where its outputs go.
type request struct {
	*wire.Message
	ctx context.Context
	out *socketOutput
}

// A handler answers one type of message. It returns the content of the reply;
// nil sends none. An error becomes a reply with status "error".
type handler func(s *Server, r *request) (any, error)

// handlers are the messages that the kernel knows.
var handlers = map[string]struct {
	do handler
	// anywhere: control takes it too. What works with cells comes on shell
	// only, where one thing happens after another.
	anywhere bool
}{
	"kernel_info_request": {(*Server).kernelInfo, true},
	"connect_request":     {(*Server).connect, true},
	"execute_request":     {(*Server).execute, false},
	"is_complete_request": {(*Server).isComplete, false},
	"complete_request":    {(*Server).complete, false},
	"inspect_request":     {(*Server).inspect, false},
	"history_request":     {(*Server).history, true},
	"comm_info_request":   {(*Server).commInfo, true},
	"comm_open":           {(*Server).commOpen, false},
	"comm_msg":            {(*Server).commMessage, false},
	"comm_close":          {(*Server).commClose, false},
	"interrupt_request":   {(*Server).interrupt, true},
	"shutdown_request":    {(*Server).shutdownRequest, true},
	"debug_request":       {(*Server).debug, true},
}

// answer handles one message: busy, what it causes, the reply, idle. It
// returns where the outputs went.
func (s *Server) answer(m *wire.Message, abort bool) *socketOutput {
	r := &request{Message: m, ctx: context.Background()}
	if m.Channel == wire.Shell {
		r.ctx = s.interruptible()
		defer s.uninterruptible()
	}
	r.out = &socketOutput{sockets: s.sockets, parent: m, ctx: r.ctx}
	defer r.out.end()
	if m.Header.Type == "comm_msg" {
		r.out.early = true
		late := time.AfterFunc(lateBusy, r.out.start)
		defer late.Stop()
	} else {
		s.awaitSubscriber(m)
		r.out.start()
	}
	content, err := s.handle(r, abort)
	if err != nil {
		content = errorContent(cellError(err))
	}
	r.out.flush()
	replyType, isRequest := strings.CutSuffix(m.Header.Type, "_request")
	switch {
	case content == nil:
	case !isRequest:
		s.options.Log(err)
	default:
		if err := s.sockets.Reply(m, replyType+"_reply", content); err != nil {
			s.options.Log(err)
			s.sockets.Reply(m, replyType+"_reply", errorContent(cellError(err)))
		}
	}
	return r.out
}

// lateBusy is how long a slider's message is worked on before the front ends
// are told that the kernel is busy. A picture drawn faster goes out at once.
const lateBusy = 20 * time.Millisecond

// handle finds the handler. A panic in it is an error of that one request.
func (s *Server) handle(r *request, abort bool) (content any, err error) {
	kind := r.Header.Type
	h, known := handlers[kind]
	switch {
	case abort && kind == "execute_request":
		return map[string]any{"status": "aborted"}, nil
	case !known && strings.HasSuffix(kind, "_request"):
		return nil, fmt.Errorf("this kernel does not know %s", kind)
	case !known:
		s.options.Log(fmt.Errorf("%s: a message of type %q is not known", r.Channel, kind))
		return nil, nil
	case r.Channel == wire.Control && !h.anywhere:
		return nil, fmt.Errorf("%s came on the control channel, want shell", kind)
	case r.Content.Err() != nil:
		return nil, fmt.Errorf("%s: %w", kind, r.Content.Err())
	}
	err = guard(kind, func() (err error) {
		content, err = h.do(s, r)
		return err
	})
	return content, err
}

// bad returns the first field that had another type than it should.
func (r *request) bad() error {
	if err := r.Content.Err(); err != nil {
		return fmt.Errorf("%s: %w", r.Header.Type, err)
	}
	return nil
}

// errorContent is the content of a reply with status "error".
func errorContent(e *CellError) map[string]any {
	return map[string]any{"status": "error", "ename": e.Name, "evalue": e.Value, "traceback": lines(e.Traceback)}
}

// lines makes sure that a traceback is a list, if an empty one.
func lines(traceback []string) []string {
	if traceback == nil {
		return []string{}
	}
	return traceback
}

// awaitSubscriber gives a client that has just connected all its sockets a
// moment for the subscription to arrive: shell may be faster than iopub, and
// then the busy and idle of its first request would be lost.
func (s *Server) awaitSubscriber(m *wire.Message) {
	if m.Header.Type != "kernel_info_request" {
		return
	}
	for range 100 {
		if s.sockets.Subscribers() > 0 {
			return
		}
		time.Sleep(time.Millisecond)
	}
}
