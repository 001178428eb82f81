package kernel

import (
	"context"
	"errors"
	"sync"
)

// A Front is how controls reach the notebook that a session runs in: the
// output of what runs now, or of what ran last, and the comms. It satisfies
// the Frontend interface of package controls, which does not import this one.
type Front struct {
	comms *commBook

	call func(ctx context.Context, out Output, f func()) error

	mu      sync.Mutex
	ctx     context.Context
	out     Output
	inCell  bool       // out is that of a cell
	shown   *shownCell // by the cell that runs, or ran last
	cell    string
	named   bool
	runs    int
	asked   []func(target string)
	closed  []func(id string)
	settled []func()
	rested  []func()
}

func newFront(call func(context.Context, Output, func()) error) *Front {
	return &Front{comms: newCommBook(), call: call, ctx: context.Background(), out: muted{}, shown: &shownCell{}}
}

// enter makes out the place where things are shown from now on, and ctx what
// stops the calls back into cells.
func (f *Front) enter(ctx context.Context, out Output) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.ctx, f.out, f.inCell = ctx, out, false
}

// enterCell is enter for a cell that begins. It returns where the cell is to
// show things.
func (f *Front) enterCell(ctx context.Context, out Output, r Request) Output {
	f.enter(ctx, out)
	f.mu.Lock()
	defer f.mu.Unlock()
	f.cell, f.named = r.CellID, r.CellID != ""
	if !f.named {
		f.cell = r.Code
	}
	f.runs++
	f.shown = &shownCell{}
	f.inCell = true
	return keptOutput{out, f.shown}
}

func (f *Front) output() Output {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.out
}

// showing is output for what the cell shows: that is kept.
func (f *Front) showing() Output {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.inCell {
		return keptOutput{f.out, f.shown}
	}
	return f.out
}

// Live reports whether a front end is there that controls can talk to.
func (f *Front) Live() bool {
	_, ok := f.output().(CommOutput)
	return ok
}

// Cell names the cell that runs, or ran last: the front end's id of it or,
// where it gives none, the cell's text; named says which. run counts the runs
// of cells.
func (f *Front) Cell() (name string, run int, named bool) {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.cell, f.runs, f.named
}

// Call runs do, which calls back into cells whose run is over. The error says
// how a callback failed, or that the user stopped it.
func (f *Front) Call(do func()) error {
	f.mu.Lock()
	ctx, out := f.ctx, f.out
	f.mu.Unlock()
	err := f.call(ctx, out, do)
	if err != nil {
		return cellError(err)
	}
	return nil
}

// Bundle returns a value in every form that it has. See Show.
func (f *Front) Bundle(v any) map[string]any { return Show(v) }

// Quick is Bundle for a drawing that moves. See ShowQuick.
func (f *Front) Quick(v any) map[string]any { return ShowQuick(v) }

// Show shows data in the running cell. With an id it can be replaced later:
// by Show with the same id and update set.
func (f *Front) Show(data map[string]any, id string, update bool) {
	f.showing().Display(Display{Data: data, ID: id, Update: update})
}

// NewID returns an id for a comm or a display.
func (f *Front) NewID() string { return newID() }

// OpenComm opens a comm to an object of the front end. receive gets the data
// of each message that comes back; calls never overlap.
func (f *Front) OpenComm(id, target string, data, metadata map[string]any, receive func(data map[string]any)) {
	out, ok := f.output().(CommOutput)
	if !ok {
		return
	}
	f.comms.add(id, comm{target: target, receive: receive})
	out.OpenComm(id, target, data, metadata)
}

// SendComm sends data on an open comm.
func (f *Front) SendComm(id string, data map[string]any) {
	if out, ok := f.output().(CommOutput); ok {
		out.SendComm(id, data)
	}
}

// CloseComm closes a comm. The front end drops its object.
func (f *Front) CloseComm(id string) {
	f.comms.remove(id)
	if out, ok := f.output().(CommOutput); ok {
		out.CloseComm(id, map[string]any{})
	}
}

// HandleTarget says what to do when the front end opens a comm to a target:
// open returns what receives its messages, or nil to refuse.
func (f *Front) HandleTarget(target string, open func(id string, data map[string]any) (receive func(data map[string]any))) {
	f.comms.mu.Lock()
	defer f.comms.mu.Unlock()
	f.comms.targets[target] = open
}

// OnCommsAsked calls do when a front end asks which comms are open; target is
// empty when it asks for every one. It may be called while something else is
// handled.
func (f *Front) OnCommsAsked(do func(target string)) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.asked = append(f.asked, do)
}

// OnClosed calls do when the front end closes a comm.
func (f *Front) OnClosed(do func(id string)) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.closed = append(f.closed, do)
}

// OnSettled calls do after each cell and after each burst of comm messages.
func (f *Front) OnSettled(do func()) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.settled = append(f.settled, do)
}

// OnRest calls do when no comm message has come for a moment.
func (f *Front) OnRest(do func()) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.rested = append(f.rested, do)
}

// Ask asks the front end for a line of text.
func (f *Front) Ask(prompt string, password bool) (string, error) {
	if out, ok := f.output().(Asker); ok {
		return out.Ask(prompt, password)
	}
	return "", errors.New("nobody can be asked here: the cell runs without a front end")
}

// settle runs what waits for a cell, or a burst of messages, to be over.
func (s *Session) settle(out Output) {
	s.front.mu.Lock()
	work := s.front.settled
	s.front.mu.Unlock()
	s.each(work, out)
}

func (s *Session) each(work []func(), out Output) {
	for _, do := range work {
		s.guarded(out, do)
	}
}

// guarded prints a panic of f.
func (s *Session) guarded(out Output, f func()) {
	err := guard("a control", func() error { f(); return nil })
	if err != nil {
		out.Stream("stderr", err.Error()+"\n")
	}
}

// call runs f, which may call back into cells.
func (s *Session) call(ctx context.Context, out Output, f func()) error {
	return guard("calling back into a cell", func() error {
		if c, ok := s.eval.(Caller); ok {
			return c.Call(ctx, limitedOutput{out, s.prints}, f)
		}
		f()
		return nil
	})
}

// Receive hands a comm message to whom it is for, and reports whether there
// is one. What it causes to be drawn is drawn by Settle.
func (s *Session) Receive(ctx context.Context, id string, data map[string]any, out Output) bool {
	receive := s.front.comms.receiver(id)
	if receive == nil {
		return false
	}
	makeHeadroom()
	s.running.Lock()
	defer s.running.Unlock()
	s.front.enter(ctx, out)
	s.guarded(out, func() { receive(data) })
	return true
}

// Settle draws again what comm messages have changed.
func (s *Session) Settle(ctx context.Context, out Output) {
	s.running.Lock()
	defer s.running.Unlock()
	s.front.enter(ctx, out)
	s.settle(out)
}

// Rest finishes what was left for when nothing moves any more.
func (s *Session) Rest(ctx context.Context, out Output) {
	s.running.Lock()
	defer s.running.Unlock()
	s.front.enter(ctx, out)
	s.front.mu.Lock()
	work := s.front.rested
	s.front.mu.Unlock()
	s.each(work, out)
}

// Opened handles a comm that the front end opens, and reports whether its
// target is known.
func (s *Session) Opened(ctx context.Context, id, target string, data map[string]any, out Output) bool {
	open := s.front.comms.target(target)
	if open == nil {
		return false
	}
	s.running.Lock()
	defer s.running.Unlock()
	s.front.enter(ctx, out)
	s.guarded(out, func() {
		if receive := open(id, data); receive != nil {
			s.front.comms.add(id, comm{target: target, receive: receive})
		}
	})
	return true
}

// Closed handles a comm that the front end closed.
func (s *Session) Closed(id string) {
	s.front.comms.remove(id)
	s.front.mu.Lock()
	closed := s.front.closed
	s.front.mu.Unlock()
	for _, do := range closed {
		do(id)
	}
}

// Comms answers a front end with the ids of the open comms and their targets;
// target "" is every one.
func (s *Session) Comms(target string) map[string]string {
	s.front.mu.Lock()
	asked := s.front.asked
	s.front.mu.Unlock()
	for _, do := range asked {
		do(target)
	}
	return s.front.comms.list(target)
}

// Front returns how controls reach the notebook of this session.
func (s *Session) Front() *Front { return s.front }
