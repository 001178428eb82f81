package kernel

import (
	"context"
	"errors"
	"fmt"
	"runtime/debug"
	"strings"
	"sync"
)

// A Session runs cells one after another: an evaluator, the execution count
// and the history. Make one with NewSession.
type Session struct {
	eval    Evaluator
	history History
	front   *Front
	prints  *prints

	running sync.Mutex // held while a cell, or a call back into cells, runs

	mu    sync.Mutex
	count int
}

// NewSession returns a session that has run nothing yet. Its history is kept
// in memory.
func NewSession(e Evaluator) *Session {
	s := &Session{eval: e, history: NewMemoryHistory(), prints: newPrints()}
	s.front = newFront(s.call)
	return s
}

// KeepHistory makes h the history. It comes before the first cell.
func (s *Session) KeepHistory(h History) { s.history = h }

// KeepPrints names a folder. What a cell prints is shown up to 2 MB; of one
// that prints more, the first 64 MB are kept in a file there, which a notice
// names. Of several such files the newest stay. Without a folder the rest is
// lost. It comes before the first cell.
func (s *Session) KeepPrints(folder string) { s.prints.folder = folder }

// Evaluator returns what the session evaluates with.
func (s *Session) Evaluator() Evaluator { return s.eval }

// History returns the cells that were run.
func (s *Session) History() History { return s.history }

// Count returns the execution count of the last cell that was counted.
func (s *Session) Count() int {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.count
}

// Execute runs a cell. What it prints and shows goes to out; the value of its
// last expression becomes out.Result. An error of the cell, also a panic of
// the evaluator, is in the reply and is not shown on out.
func (s *Session) Execute(ctx context.Context, r Request, out Output) Reply {
	s.running.Lock()
	defer s.running.Unlock()
	if r.Silent {
		r.StoreHistory = false
		out = muted{}
	}
	out = s.front.enterCell(ctx, out, r)
	s.prints.enterCell()
	count := s.nextCount(r)
	values, err := s.evaluate(ctx, r.Code, count, out)
	text := ""
	if err == nil {
		text, err = s.show(ctx, values, count, out)
	}
	reply := Reply{Count: count, Error: cellError(err), UserExpressions: map[string]Expression{}}
	if r.StoreHistory {
		s.history.Add(count, r.Code, text)
	}
	if !r.Silent && ctx.Err() == nil { // else what has changed waits for the next cell
		s.settle(out)
	}
	if reply.Error == nil {
		for name, code := range r.UserExpressions {
			reply.UserExpressions[name] = s.expression(ctx, code, count)
		}
	}
	return reply
}

// nextCount counts the cell in when it is to be remembered. Another cell is
// numbered as the next would be.
func (s *Session) nextCount(r Request) int {
	s.mu.Lock()
	defer s.mu.Unlock()
	if !r.StoreHistory {
		return s.count + 1
	}
	s.count++
	return s.count
}

func (s *Session) evaluate(ctx context.Context, code string, count int, out Output) (values []any, err error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	err = guard("evaluating the cell", func() (err error) {
		values, err = s.eval.Eval(ctx, code, count, limitedOutput{out, s.prints})
		return err
	})
	return values, err
}

// show shows the values of a cell and returns their text. Values are shown by
// methods that may be the cell's own: what stops a cell stops them too.
func (s *Session) show(ctx context.Context, values []any, count int, out Output) (string, error) {
	if len(values) == 0 {
		return "", nil
	}
	type shown struct {
		text string
		err  error
	}
	done := make(chan shown, 1)
	if err := s.call(ctx, out, func() {
		done <- shown{resultText(values), showResult(values, count, untilStopped{out, ctx})}
	}); err != nil {
		return "", err
	}
	got := <-done
	return got.text, got.err
}

func (s *Session) expression(ctx context.Context, code string, count int) Expression {
	values, err := s.evaluate(ctx, code, count, muted{})
	if err != nil {
		return Expression{Error: cellError(err)}
	}
	done := make(chan Bundle, 1)
	if err := s.call(ctx, muted{}, func() { done <- showValues(values) }); err != nil {
		return Expression{Error: cellError(err)}
	}
	return Expression{Data: <-done, Metadata: Bundle{}}
}

// guard turns a panic of f into an error with the place of it.
func guard(doing string, f func() error) (err error) {
	defer func() {
		if p := recover(); p != nil {
			stack := strings.Split(strings.TrimSpace(string(debug.Stack())), "\n")
			err = &CellError{Name: "panic", Value: fmt.Sprintf("%s: %v", doing, p), Traceback: stack}
		}
	}()
	return f()
}

// cellError finds the CellError in err or makes one of it.
func cellError(err error) *CellError {
	var cell *CellError
	switch {
	case err == nil:
		return nil
	case errors.As(err, &cell):
		c := *cell
		if len(c.Traceback) == 0 {
			c.Traceback = []string{c.Error()}
		}
		return &c
	case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
		return &CellError{Name: "interrupted", Value: "the cell was stopped", Traceback: []string{"interrupted: the cell was stopped"}}
	}
	return &CellError{Name: plainError, Value: err.Error(), Traceback: []string{err.Error()}}
}

// untilStopped is an Output that drops what a value gives when the cell was
// stopped while it was shown: fmt takes that for a panic of its methods.
type untilStopped struct {
	Output
	ctx context.Context
}

func (o untilStopped) Display(d Display) {
	if o.ctx.Err() == nil {
		o.Output.Display(d)
	}
}

func (o untilStopped) Result(count int, d Display) {
	if o.ctx.Err() == nil {
		o.Output.Result(count, d)
	}
}

// muted is the Output of a silent cell.
type muted struct{}

func (muted) Stream(string, string) {}
func (muted) Display(Display)       {}
func (muted) Result(int, Display)   {}
func (muted) ClearOutput(bool)      {}
