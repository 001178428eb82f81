package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"patternkit/kernel/notebook"
)

func runCommand() *cobra.Command {
	var job runJob
	c := &cobra.Command{
		Use:   "run FILE.ipynb",
		Short: "Run a notebook without a front end",
		Long: "run executes every cell of a notebook from the top. The cells read and write files in the\n" +
			"notebook's own folder. A cell that fails is named and ends the run with status 1; what was\n" +
			"asked for with --output and --html is written up to there.\n\n" +
			"--set gives a value to a name of the cell that is tagged \"parameters\"; it is Go, as in\n" +
			"--set bust=92*CM.",
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			job.path = args[0]
			return job.run(c.Context(), c.OutOrStdout(), c.ErrOrStderr())
		},
	}
	c.Flags().StringVarP(&job.output, "output", "o", "", "write the executed notebook to `OUT`")
	c.Flags().StringVar(&job.html, "html", "", "write the notebook's page to `OUT`")
	c.Flags().StringArrayVar(&job.set, "set", nil, "`name=value` for the parameters cell, may be repeated")
	job.reach.flags(c)
	return c
}

// A runJob is one notebook to run and where its results go.
type runJob struct {
	path, output, html string
	set                []string
	reach              reach
}

func (j runJob) run(ctx context.Context, out, progress io.Writer) error {
	set, err := parseSet(j.set)
	if err != nil {
		return err
	}
	nb, err := readNotebook(j.path)
	if err != nil {
		return err
	}
	// Before the run, so that a wrong name writes nothing over an older result.
	if nb, err = nb.WithParameters(set); err != nil {
		return fmt.Errorf("%s: %w", j.path, err)
	}
	s, err := newSession(filepath.Dir(j.path), j.reach)
	if err != nil {
		return err
	}
	ran, failure := notebook.Run(ctx, nb, s.Session, notebook.RunOptions{Progress: reportSteps(progress)})
	for _, w := range []struct {
		path  string
		write func(io.Writer, notebook.Notebook) error
	}{
		{j.output, func(w io.Writer, nb notebook.Notebook) error { return nb.Write(w) }},
		{j.html, notebook.WriteHTML},
	} {
		if w.path == "" {
			continue
		}
		verb, err := writeFile(w.path, func(f io.Writer) error { return w.write(f, ran) })
		if err != nil {
			return err
		}
		fmt.Fprintf(out, "%s %s\n", verb, w.path)
	}
	if failure != nil {
		return fmt.Errorf("%s: %w", j.path, failure)
	}
	fmt.Fprintf(out, "%s: every cell ran\n", j.path)
	return nil
}

// parseSet reads name=value pairs.
func parseSet(pairs []string) (map[string]string, error) {
	set := map[string]string{}
	for _, pair := range pairs {
		name, value, ok := strings.Cut(pair, "=")
		name, value = strings.TrimSpace(name), strings.TrimSpace(value)
		if !ok || name == "" || value == "" {
			return nil, fmt.Errorf("--set %q: want name=value, as in bust=92*CM", pair)
		}
		if _, twice := set[name]; twice {
			return nil, fmt.Errorf("--set gives %s twice", name)
		}
		set[name] = value
	}
	return set, nil
}

func readNotebook(path string) (notebook.Notebook, error) {
	f, err := os.Open(path)
	if err != nil {
		return notebook.Notebook{}, err
	}
	defer f.Close()
	nb, err := notebook.Read(f)
	if err != nil {
		return notebook.Notebook{}, fmt.Errorf("%s: %w", path, err)
	}
	return nb, nil
}

// reportSteps writes a line for each cell that is about to run.
func reportSteps(w io.Writer) func(notebook.Step) {
	return func(s notebook.Step) {
		first, _, _ := strings.Cut(strings.TrimSpace(s.Cell.Source), "\n")
		if r := []rune(first); len(r) > 60 {
			first = string(r[:59]) + "…"
		}
		fmt.Fprintf(w, "cell %d of %d  %s\n", s.Number, s.Total, first)
	}
}

// writeFile writes a file whole or not at all, and says whether it was
// "wrote" or "replaced".
func writeFile(path string, write func(io.Writer) error) (verb string, err error) {
	var content bytes.Buffer
	if err := write(&content); err != nil {
		return "", fmt.Errorf("%s: %w", path, err)
	}
	verb = "wrote"
	if _, err := os.Stat(path); err == nil {
		verb = "replaced"
	}
	temporary, err := os.CreateTemp(filepath.Dir(path), ".patternkit-*")
	if err != nil {
		return "", fmt.Errorf("%s cannot be written: %w", path, err)
	}
	defer os.Remove(temporary.Name())
	_, err = temporary.Write(content.Bytes())
	if closing := temporary.Close(); err == nil {
		err = closing
	}
	if err == nil {
		err = os.Chmod(temporary.Name(), 0o644)
	}
	if err == nil {
		err = os.Rename(temporary.Name(), path)
	}
	if err != nil {
		return "", fmt.Errorf("%s cannot be written: %w", path, err)
	}
	return verb, nil
}
