package notebook

import (
	"context"
	"fmt"
	"strings"

	"patternkit/kernel"
)

// raisesTag marks a cell that is meant to fail: the run goes on after it.
const raisesTag = "raises-exception"

// An Executor runs cells one after another; a *kernel.Session is one.
type Executor interface {
	Execute(context.Context, kernel.Request, kernel.Output) kernel.Reply
}

// RunOptions say how to run a notebook. The zero value runs it as it is.
type RunOptions struct {
	Set      map[string]string // values for WithParameters
	Progress func(Step)        // called before each code cell; may be nil
}

// A Step is a code cell about to run: the Number-th of Total, from 1.
type Step struct {
	Number, Total int
	Cell          Cell
}

// A CellFailure is the error of a cell that stopped a run.
type CellFailure struct {
	Place int // of the cell in the notebook, from 1
	Cell  Cell
	Err   *kernel.CellError
}

// Error names the cell by place, id and first line, and says what failed.
func (e *CellFailure) Error() string {
	return fmt.Sprintf("cell %d (id %s), which begins %q: %s", e.Place, e.Cell.ID, beginning(e.Cell.Source), e.Err.Error())
}

func (e *CellFailure) Unwrap() error { return e.Err }

// beginning is the first line of a cell, cut to a length that a message bears.
func beginning(source string) string {
	line := []rune(firstLine(source))
	if len(line) > 60 {
		return string(line[:59]) + "…"
	}
	return string(line)
}

// Run runs the code cells of nb from the top and returns it with their outputs
// and counts as a front end would have stored them; those of earlier runs are
// dropped. It stops at the first cell that fails, with a *CellFailure, unless
// the cell is tagged raises-exception, and when ctx is done. The notebook that
// comes with an error holds the outputs up to there.
func Run(ctx context.Context, nb Notebook, x Executor, o RunOptions) (Notebook, error) {
	nb, err := nb.WithParameters(o.Set)
	if err != nil {
		return nb, err
	}
	total := 0
	for i, c := range nb.Cells {
		nb.Cells[i].Count, nb.Cells[i].Outputs = nil, nil
		if runs(c) {
			total++
		}
	}
	r := newRecorder(len(nb.Cells))
	defer r.close()
	number := 0
	for i, c := range nb.Cells {
		if !runs(c) {
			continue
		}
		if err := ctx.Err(); err != nil {
			return r.into(nb), &stopped{"before", i + 1, c.ID, err}
		}
		number++
		if o.Progress != nil {
			o.Progress(Step{Number: number, Total: total, Cell: c})
		}
		reply := x.Execute(ctx, kernel.Request{Code: c.Source, StoreHistory: true, CellID: c.ID}, r.cell(i))
		nb.Cells[i].Count = &reply.Count
		if err := r.failed(i, reply.Error); err != nil {
			return r.into(nb), err
		}
		if reply.Error != nil && ctx.Err() != nil {
			return r.into(nb), &stopped{"in", i + 1, c.ID, ctx.Err()}
		}
		if reply.Error != nil && !c.HasTag(raisesTag) {
			return r.into(nb), &CellFailure{Place: i + 1, Cell: c, Err: reply.Error}
		}
	}
	return r.into(nb), nil
}

// runs reports whether a cell is one that a front end would run.
func runs(c Cell) bool { return c.Type == Code && strings.TrimSpace(c.Source) != "" }

// stopped says where a run was interrupted.
type stopped struct {
	where string // "in" or "before"
	cell  int
	id    string
	cause error
}

func (s *stopped) Error() string {
	return fmt.Sprintf("stopped %s cell %d (id %s)", s.where, s.cell, s.id)
}
func (s *stopped) Unwrap() error { return s.cause }
