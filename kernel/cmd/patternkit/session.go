package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"

	"github.com/spf13/cobra"

	"patternkit/kernel"
	"patternkit/kernel/controls"
	"patternkit/kernel/gocell"
)

// A session is a kernel session whose evaluator is the one for Go cells, with
// controls of its own.
type session struct {
	*kernel.Session
	cells *gocell.Session
	panel *controls.Panel
}

// A reach says how far the cells of a session may go.
type reach struct {
	memory    int // MB that one cell may add to what the kernel holds
	anyFolder bool
}

// stranger is the reach of a notebook that nobody has looked at.
var stranger = reach{memory: 2048}

func (r *reach) flags(c *cobra.Command) {
	c.Flags().IntVar(&r.memory, "memory", stranger.memory, "stop a cell that fills more than this many `MB`")
	c.Flags().BoolVar(&r.anyFolder, "any-folder", false,
		"let cells save and load files outside the notebook's folder too; for notebooks of your own only")
}

// check names a reach that can't be meant.
func (r reach) check() error {
	if r.memory < 64 || r.memory > 1<<20 {
		return fmt.Errorf("--memory %d: want 64 to %d MB", r.memory, 1<<20)
	}
	return nil
}

// newSession starts a session whose cells save and load files in dir.
func newSession(dir string, far reach) (*session, error) {
	if err := far.check(); err != nil {
		return nil, err
	}
	stdout, stderr := &outlet{stream: "stdout"}, &outlet{stream: "stderr"}
	panel := controls.NewPanel()
	panel.SetFolder(dir)
	if far.anyFolder {
		panel.OpenFolders()
	}
	cells, err := gocell.New(gocell.Options{
		Stdout: stdout, Stderr: stderr, Bind: panel.Bindings(), MemoryLimit: int64(far.memory) << 20,
	})
	if err != nil {
		return nil, err
	}
	e := &evaluator{cells: cells, outlets: []*outlet{stdout, stderr}}
	s := kernel.NewSession(e)
	e.leave = s.Front().Leave
	panel.Attach(s.Front())
	// Where the system names no such folder, a runaway print is cut all the same.
	if cache, err := os.UserCacheDir(); err == nil {
		s.KeepPrints(filepath.Join(cache, "patternkit"))
	}
	return &session{Session: s, cells: cells, panel: panel}, nil
}

// An evaluator is a gocell.Session as the kernel wants it.
type evaluator struct {
	cells   *gocell.Session
	outlets []*outlet
	leave   func() bool // asks the front end to end, where it can be asked
}

func (e *evaluator) Language() kernel.Language {
	return kernel.Language{
		Name: "go", Version: strings.TrimPrefix(runtime.Version(), "go"),
		MIMEType: "text/x-go", FileExtension: ".go",
		Implementation: "patternkit", ImplementationVersion: version(),
		Banner: "Patternkit: pattern math in cells of Go. A bare number is millimetres: write 92*CM.\n" +
			"The last expression of a cell is shown; Shift-Tab on a name tells what it is.",
	}
}

func (e *evaluator) Eval(ctx context.Context, code string, count int, out kernel.Output) ([]any, error) {
	if e.leaving(code) && e.leave() {
		return nil, nil
	}
	e.printTo(out)
	values, err := e.cells.EvalCell(ctx, count, code)
	return values, cellError(err)
}

// leaving reports whether a cell is the word by which consoles are left, and
// not a name of the user's.
func (e *evaluator) leaving(code string) bool {
	word := strings.TrimSpace(code)
	if word != "exit" && word != "quit" {
		return false
	}
	_, declared := e.cells.Inspect(word, len(word), 0)
	return !declared
}

// Call lets the kernel run what calls back into cells.
func (e *evaluator) Call(ctx context.Context, out kernel.Output, f func()) error {
	e.printTo(out)
	return cellError(e.cells.Do(ctx, f))
}

func (e *evaluator) printTo(out kernel.Output) {
	for _, o := range e.outlets {
		o.set(out)
	}
}

// cellError puts an error of a cell in the kernel's terms.
func cellError(err error) error {
	var e *gocell.Error
	if !errors.As(err, &e) {
		return err
	}
	return &kernel.CellError{Name: string(e.Kind), Value: e.Message, Traceback: e.Traceback()}
}

func (e *evaluator) Complete(code string, cursor int) kernel.Completion {
	c := e.cells.Complete(code, cursor)
	out := kernel.Completion{Start: c.Start, End: c.End}
	for _, item := range c.Items {
		out.Matches = append(out.Matches, item.Text)
		out.Types = append(out.Types, item.Kind)
	}
	return out
}

func (e *evaluator) Inspect(code string, cursor, detail int) (kernel.Bundle, bool) {
	page, ok := e.cells.Inspect(code, cursor, detail)
	if !ok {
		return nil, false
	}
	return kernel.Show(page), true
}

func (e *evaluator) IsComplete(code string) (status, indent string) {
	return e.cells.IsComplete(code)
}

// An outlet is a writer whose text goes to the output of the cell that runs.
type outlet struct {
	stream string

	mu  sync.Mutex
	out kernel.Output
}

var _ io.Writer = (*outlet)(nil)

func (o *outlet) set(out kernel.Output) {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.out = out
}

func (o *outlet) Write(p []byte) (int, error) {
	o.mu.Lock()
	out := o.out
	o.mu.Unlock()
	if out != nil {
		out.Stream(o.stream, string(p))
	}
	return len(p), nil
}
