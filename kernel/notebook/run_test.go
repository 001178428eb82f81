package notebook

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"patternkit/kernel"
)

// A fakeKernel does what each cell's source says, by name.
type fakeKernel struct {
	count int
	ran   []kernel.Request
	late  kernel.Output // kept by the cell "leave"
	stop  func()        // called by the cell "stop"
}

func (k *fakeKernel) Execute(ctx context.Context, r kernel.Request, out kernel.Output) kernel.Reply {
	k.count++
	k.ran = append(k.ran, r)
	reply := kernel.Reply{Count: k.count}
	picture := func(s string) kernel.Display {
		return kernel.Display{Data: kernel.Bundle{"text/plain": s}, ID: "picture"}
	}
	updated := picture("redrawn")
	updated.Update = true
	switch r.Code {
	case "print":
		out.Stream("stdout", "one\n")
		out.Stream("stdout", "")
		out.Stream("stdout", "two\n")
		out.Stream("stderr", "hm\n")
		out.Stream("stdout", "three\n")
	case "value":
		out.Result(k.count, kernel.Display{Data: kernel.Bundle{"text/plain": "8 cm", "application/json": map[string]any{"mm": 80}}})
	case "draw":
		out.Display(picture("drawn"))
		out.Display(picture("drawn twice"))
		out.Display(kernel.Display{Data: kernel.Bundle{"text/plain": "other"}})
	case "redraw":
		out.Display(updated)
	case "clear":
		out.Stream("stdout", "gone")
		out.ClearOutput(false)
		out.Stream("stdout", "kept")
	case "clear later":
		out.Display(picture("first"))
		out.ClearOutput(true)
		out.ClearOutput(true)
		out.Stream("stdout", "second")
		out.Display(updated)
	case "clear at the end":
		out.Stream("stdout", "kept")
		out.ClearOutput(true)
	case "leave":
		k.late = out
	case "late":
		k.late.Stream("stdout", "from a goroutine")
	case "function":
		out.Display(kernel.Display{Data: kernel.Bundle{"application/json": func() {}}})
	case "stop":
		k.stop()
		reply.Error = &kernel.CellError{Name: "interrupted", Value: "the cell was stopped"}
	case "fail":
		out.Stream("stdout", "before")
		reply.Error = &kernel.CellError{Name: "Error", Value: "cap too high", Traceback: []string{"line 1", "line 2"}}
	}
	return reply
}

func cellsOf(sources ...string) Notebook {
	nb := Notebook{}
	for i, s := range sources {
		nb.Cells = append(nb.Cells, Cell{ID: fmt.Sprint("c", i), Type: Code, Source: s})
	}
	return nb
}

// outputsOf writes outputs briefly: type, and what it shows.
func outputsOf(c Cell) string {
	var all []string
	for _, o := range c.Outputs {
		switch o.Type {
		case Stream:
			all = append(all, fmt.Sprintf("%s %q", o.Name, o.Text))
		case ErrorOutput:
			all = append(all, fmt.Sprintf("error %s: %s %q", o.ErrorName, o.ErrorValue, o.Traceback))
		default:
			all = append(all, fmt.Sprintf("%s %q", o.Type, o.Data["text/plain"]))
		}
	}
	return strings.Join(all, "; ")
}

func TestRunStoresOutputsAsAFrontEndDoes(t *testing.T) {
	tests := []struct {
		name    string
		sources []string
		want    []string // outputs by cell
	}{
		{"streams run on", []string{"print"}, []string{`stdout "one\ntwo\n"; stderr "hm\n"; stdout "three\n"`}},
		{"a value", []string{"value"}, []string{`execute_result "8 cm"`}},
		{"displays", []string{"draw"}, []string{`display_data "drawn"; display_data "drawn twice"; display_data "other"`}},
		{"update in another cell", []string{"draw", "redraw"}, []string{`display_data "redrawn"; display_data "redrawn"; display_data "other"`, ""}},
		{"update of nothing", []string{"redraw"}, []string{""}},
		{"clear at once", []string{"clear"}, []string{`stdout "kept"`}},
		{"clear with the next", []string{"clear later"}, []string{`stdout "second"`}},
		{"clear with a next that never comes", []string{"clear at the end"}, []string{`stdout "kept"`}},
		{"output of an earlier cell", []string{"leave", "late"}, []string{`stdout "from a goroutine"`, ""}},
		{"empty cells do not run", []string{" \n", "value"}, []string{"", `execute_result "8 cm"`}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			k := &fakeKernel{}
			got, err := Run(t.Context(), cellsOf(test.sources...), k, RunOptions{})
			if err != nil {
				t.Fatal(err)
			}
			for i, want := range test.want {
				if o := outputsOf(got.Cells[i]); o != want {
					t.Errorf("cell %d: %s\nwant %s", i, o, want)
				}
			}
			if k.late != nil {
				k.late.Stream("stdout", "after the run")
				if o := outputsOf(got.Cells[0]); strings.Contains(o, "after") {
					t.Errorf("an output after the run changed the notebook: %s", o)
				}
			}
			checkSchema(t, written(t, got))
		})
	}
}

func TestRunGolden(t *testing.T) {
	nb := cellsOf("print", "value", "draw", "fail")
	nb.Cells[3].Metadata = map[string]any{"tags": []any{"raises-exception"}}
	nb.Cells = slices.Insert(nb.Cells, 0, prose("# Evening class"))
	got, err := Run(t.Context(), nb, &fakeKernel{}, RunOptions{})
	if err != nil {
		t.Fatal(err)
	}
	data := written(t, got)
	checkSchema(t, data)
	checkGolden(t, "run.ipynb", data)
	again, err := Run(t.Context(), got, &fakeKernel{}, RunOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if second := written(t, again); !bytes.Equal(data, second) {
		t.Errorf("run again it differs:\n%s", second)
	}
}

func TestRunStopsAtTheFailingCell(t *testing.T) {
	nb := cellsOf("value", "fail", "value")
	old := 7
	nb.Cells[2].Count, nb.Cells[2].Outputs = &old, []Output{{Type: Stream, Name: "stdout", Text: "of an earlier run"}}
	k := &fakeKernel{}
	got, err := Run(t.Context(), nb, k, RunOptions{})
	want := `cell 2 (id c1), which begins "fail": Error: cap too high`
	if err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
	var failure *CellFailure
	var cell *kernel.CellError
	if !errors.As(err, &failure) || failure.Place != 2 || !errors.As(err, &cell) || cell.Value != "cap too high" {
		t.Errorf("the error does not come apart: %#v", err)
	}
	if len(k.ran) != 2 {
		t.Errorf("%d cells ran, want 2", len(k.ran))
	}
	if o := outputsOf(got.Cells[1]); o != `stdout "before"; error Error: cap too high ["line 1" "line 2"]` {
		t.Errorf("the failing cell shows %s", o)
	}
	if c := got.Cells[2]; c.Count != nil || len(c.Outputs) != 0 {
		t.Errorf("the cell that did not run keeps %s", outputsOf(c))
	}
	if nb.Cells[2].Count == nil || len(nb.Cells[2].Outputs) != 1 {
		t.Error("the notebook that was given has changed")
	}
	checkSchema(t, written(t, got))
}

func TestRunGoesOnAfterACellThatIsMeantToFail(t *testing.T) {
	nb := cellsOf("fail", "value")
	nb.Cells[0].Metadata = map[string]any{"tags": []any{"raises-exception"}}
	got, err := Run(t.Context(), nb, &fakeKernel{}, RunOptions{})
	if err != nil || outputsOf(got.Cells[1]) != `execute_result "8 cm"` {
		t.Errorf("%s, %v", outputsOf(got.Cells[1]), err)
	}
}

func TestRunWithParametersAndProgress(t *testing.T) {
	nb := parametersNotebook(defaults)
	var steps []string
	k := &fakeKernel{}
	got, err := Run(t.Context(), nb, k, RunOptions{
		Set:      map[string]string{"bustEase": "10*CM"},
		Progress: func(s Step) { steps = append(steps, fmt.Sprintf("%d/%d %s", s.Number, s.Total, s.Cell.ID)) },
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(k.ran) != 3 || k.ran[1].Code != "bustEase = 10*CM" || !k.ran[1].StoreHistory || k.ran[0].CellID != "defaults" {
		t.Errorf("ran %+v", k.ran)
	}
	if want := "1/3 defaults, 2/3 " + got.Cells[2].ID + ", 3/3 use"; strings.Join(steps, ", ") != want {
		t.Errorf("steps %v, want %s", steps, want)
	}
	if _, err := Run(t.Context(), nb, k, RunOptions{Set: map[string]string{"no": "1"}}); err == nil || len(k.ran) != 3 {
		t.Errorf("a wrong parameter: %v, %d cells ran", err, len(k.ran))
	}
}

func TestRunStopsWhenTold(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	k := &fakeKernel{}
	_, err := Run(ctx, cellsOf("value", "value"), k, RunOptions{Progress: func(s Step) {
		if s.Number == 1 {
			cancel()
		}
	}})
	if !errors.Is(err, context.Canceled) || !strings.Contains(err.Error(), "before cell 2") || strings.Contains(err.Error(), "context") || len(k.ran) != 1 {
		t.Errorf("%v after %d cells", err, len(k.ran))
	}
}

func TestRunStopsInsideACell(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	nb := cellsOf("stop", "value")
	nb.Cells[0].Metadata = map[string]any{"tags": []any{"raises-exception"}}
	got, err := Run(ctx, nb, &fakeKernel{stop: cancel}, RunOptions{})
	if !errors.Is(err, context.Canceled) || !strings.Contains(err.Error(), "in cell 1") || strings.Contains(err.Error(), "context") || outputsOf(got.Cells[0]) == "" {
		t.Errorf("%v, %s", err, outputsOf(got.Cells[0]))
	}
}

func TestRunRefusesWhatNoFileHolds(t *testing.T) {
	if _, err := Run(t.Context(), cellsOf("function"), &fakeKernel{}, RunOptions{}); err == nil || !strings.Contains(err.Error(), "cell 1: it shows what a notebook cannot hold: application/json") {
		t.Errorf("got %v", err)
	}
}

// A session of the kernel is an Executor.
var _ Executor = (*kernel.Session)(nil)
