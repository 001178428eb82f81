package notebook_test

import (
	"context"
	"fmt"
	"os"
	"strings"

	"patternkit/kernel"
	"patternkit/kernel/notebook"
)

// A reciter is an executor that shows each cell's own text.
type reciter struct{ count int }

func (r *reciter) Execute(_ context.Context, q kernel.Request, out kernel.Output) kernel.Reply {
	r.count++
	out.Result(r.count, kernel.Display{Data: kernel.Bundle{"text/plain": q.Code}})
	return kernel.Reply{Count: r.count}
}

const lesson = `{"nbformat": 4, "nbformat_minor": 5, "metadata": {}, "cells": [
 {"id": "a", "cell_type": "markdown", "metadata": {}, "source": "# Ease"},
 {"id": "b", "cell_type": "code", "metadata": {"tags": ["parameters"]}, "execution_count": null, "outputs": [], "source": "ease := 8*CM"}
]}`

func ExampleRun() {
	nb, err := notebook.Read(strings.NewReader(lesson))
	if err != nil {
		fmt.Println(err)
		return
	}
	ran, err := notebook.Run(context.Background(), nb, &reciter{}, notebook.RunOptions{
		Set:      map[string]string{"ease": "10*CM"},
		Progress: func(s notebook.Step) { fmt.Printf("cell %d of %d\n", s.Number, s.Total) },
	})
	fmt.Println(err)
	for _, c := range ran.Cells[1:] {
		fmt.Println(*c.Count, c.Outputs[0].Data["text/plain"])
	}
	// Output:
	// cell 1 of 2
	// cell 2 of 2
	// <nil>
	// 1 ease := 8*CM
	// 2 ease = 10*CM
}

func ExampleWriteHTML() {
	nb, err := notebook.Read(strings.NewReader(lesson))
	if err != nil {
		fmt.Println(err)
		return
	}
	var page strings.Builder
	if err := notebook.WriteHTML(&page, nb); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(nb.Title(), strings.Contains(page.String(), "<title>Ease</title>"))
	// Output: Ease true
}

func ExampleNotebook_WithParameters() {
	nb, err := notebook.Read(strings.NewReader(lesson))
	if err != nil {
		fmt.Println(err)
		return
	}
	_, err = nb.WithParameters(map[string]string{"eas": "10*CM"})
	fmt.Fprintln(os.Stdout, err)
	// Output: setting eas: the cell tagged "parameters" does not assign it, want one of ease
}
