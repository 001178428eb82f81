package notebook

import (
	"bytes"
	"context"
	"encoding/base64"
	"errors"
	"fmt"
	"strings"
	"testing"

	"patternkit/kernel"
)

// An echo evaluates a cell to its own text; "panic" panics.
type echo struct{}

func (echo) Language() kernel.Language { return kernel.Language{Name: "echo"} }

func (echo) Eval(_ context.Context, code string, _ int, out kernel.Output) ([]any, error) {
	switch code {
	case "panic":
		panic("scissors")
	case "fail":
		return nil, errors.New("no cloth")
	}
	out.Stream("stdout", "cutting\n")
	return []any{code}, nil
}

func (echo) Complete(string, int) kernel.Completion         { return kernel.Completion{} }
func (echo) Inspect(string, int, int) (kernel.Bundle, bool) { return nil, false }
func (echo) IsComplete(string) (status, indent string)      { return "complete", "" }

// The kernel's own session runs a notebook, and a fresh one starts at 1.
func TestRunInASession(t *testing.T) {
	got, err := Run(t.Context(), cellsOf("hem", "seam"), kernel.NewSession(echo{}), RunOptions{})
	if err != nil {
		t.Fatal(err)
	}
	for i, c := range got.Cells {
		if *c.Count != i+1 || !strings.Contains(outputsOf(c), `stdout "cutting\n"; execute_result`) {
			t.Errorf("cell %d, counted %d: %s", i, *c.Count, outputsOf(c))
		}
	}
	for source, want := range map[string]string{"panic": "scissors", "fail": "no cloth"} {
		got, err := Run(t.Context(), cellsOf("hem", source), kernel.NewSession(echo{}), RunOptions{})
		if err == nil || !strings.Contains(err.Error(), "cell 2") || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", source, err)
		}
		checkSchema(t, written(t, got))
	}
}

// bigNotebook has 100 cells of code that each show a drawing of 100 kB.
func bigNotebook() Notebook {
	drawing := `<img src="data:image/svg+xml;base64,` + base64.StdEncoding.EncodeToString(bytes.Repeat([]byte("<path/>"), 14_000)) + `" alt="piece">`
	nb := Notebook{}
	for i := range 100 {
		n := i + 1
		nb.Cells = append(nb.Cells,
			Cell{ID: fmt.Sprint("p", i), Type: Markdown, Source: "## Step\n\nMove the *bust point* to $b_1$.\n"},
			Cell{ID: fmt.Sprint("c", i), Type: Code, Source: "draw()", Count: &n, Outputs: []Output{
				{Type: DisplayData, Data: map[string]any{"text/html": drawing, "text/plain": "piece"}}}})
	}
	return nb
}

func BenchmarkReadWrite(b *testing.B) {
	data := written(b, bigNotebook())
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		nb, err := Read(bytes.NewReader(data))
		if err != nil {
			b.Fatal(err)
		}
		if err := nb.Write(&bytes.Buffer{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkWriteHTML(b *testing.B) {
	nb := bigNotebook()
	b.ReportAllocs()
	for b.Loop() {
		if err := WriteHTML(&bytes.Buffer{}, nb); err != nil {
			b.Fatal(err)
		}
	}
}
