package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"

	"github.com/spf13/cobra"

	"patternkit/kernel/notebook"
)

const runHelp = `run executes every cell of a notebook from the top. The cells read and write files in the
notebook's own folder, or in that of --save-in. A cell that fails is named and ends the run with
status 1; what was asked for with --output and --html is written up to there.

--set gives a value to a name of the cell that is tagged "parameters"; it is Go, as in
--set bust=92*CM.

Many notebooks. With several files, or with a folder (all notebooks below it; hidden ones are left
out), notebooks run side by side, --jobs at a time, each in a process and a session of its own.
--output and --html then name folders, in which the notebooks keep their places. One that fails does
not stop the others. The cells save beside their notebook, as ever. A table at the end says how each
went, each failing cell is named, and the status is 1 when any failed.

Many bodies. --each TABLE.csv runs one notebook once for every row of a table:

    name,height,bust,waist,hip
    Ada,164 cm,88 cm,70 cm,95 cm
    Bea,1.7*M,36 1/2 in,740*MM,38 1/4 in

The heading names the parameters. The column "name", or else the first column of plain text that
is no parameter, names what is written: OUT/Ada.ipynb with --output OUT, OUT/Ada.html with --html
OUT, and what the cells save in OUT/Ada/ (that of --output where both are given), where they load
from too. If the notebook has a parameter of that name as well, it gets the text. A value is Go or
a length with its unit, nothing is guessed: 92 alone is Go, which is 92 mm. The whole table is
checked before anything runs.

A row that ran is not run again until its values, the notebook's cells or the program change;
--again runs it all the same. An interrupted run keeps the rows that are finished, and the same
command goes on with the rest.

To spread rows over machines, give each job its row: --row N, or --row-from NAME for the
environment variable in which a batch scheduler gives the job's number. Rows count from 1, the
heading not counted.`

func runCommand() *cobra.Command {
	var job runJob
	var many batch
	c := &cobra.Command{
		Use:   "run FILE.ipynb|FOLDER ...",
		Short: "Run notebooks without a front end",
		Long:  runHelp,
		Example: "  patternkit run block.ipynb -o mine.ipynb --html mine.html --set bust=100*CM\n" +
			"  patternkit run lessons/ --html pages/\n" +
			"  patternkit run block.ipynb --each class.csv -o class/ --html class/\n" +
			"  patternkit run block.ipynb --each class.csv -o class/ --row-from JOB_NUMBER",
		Args: cobra.MinimumNArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			// A batch scheduler says with SIGTERM that the time is up.
			ctx, stop := signal.NotifyContext(c.Context(), syscall.SIGTERM)
			defer stop()
			many.rowGiven = c.Flags().Changed("row")
			if many.wanted(args) {
				return many.run(ctx, job, args, c.OutOrStdout(), c.ErrOrStderr())
			}
			if err := many.unwanted(c.Flags().Changed); err != nil {
				return err
			}
			job.path = args[0]
			return job.run(ctx, c.OutOrStdout(), c.ErrOrStderr())
		},
	}
	c.Flags().StringVarP(&job.output, "output", "o", "", "write the executed notebook to `OUT`; a folder for many")
	c.Flags().StringVar(&job.html, "html", "", "write the notebook's page to `OUT`; a folder for many")
	c.Flags().StringArrayVar(&job.set, "set", nil, "`name=value` for the parameters cell, may be repeated")
	c.Flags().StringVar(&job.folder, "save-in", "", "let the cells of one notebook save files in `FOLDER`; they load files from beside it all the same")
	c.Flags().StringVar(&job.noteLoaded, "note-loaded", "", "note in `FILE` which files the cells load")
	c.Flags().MarkHidden("note-loaded") // from one process of this program to another
	job.reach.flags(c)
	many.flags(c)
	return c
}

// A runJob is one notebook to run and where its results go.
type runJob struct {
	path, output, html string
	folder             string // that cells save files in; that of the notebook when empty
	noteLoaded         string // file to note in what the cells loaded, for a row's stamp
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
	if j.folder != "" && !isFolder(j.folder) {
		return fmt.Errorf("--save-in %s: there is no such folder", j.folder)
	}
	s, err := newSession(filepath.Dir(j.path), j.reach)
	if err != nil {
		return err
	}
	s.panel.SaveIn(j.folder)
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
	if j.noteLoaded != "" {
		if err := noteInputs(j.noteLoaded, s.panel.Loaded()); err != nil {
			return err
		}
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
	verb, mode := "wrote", os.FileMode(0o644)
	if earlier, err := os.Stat(path); err == nil {
		verb, mode = "replaced", earlier.Mode().Perm() // who may read it stays
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
		err = os.Chmod(temporary.Name(), mode)
	}
	if err == nil {
		err = os.Rename(temporary.Name(), path)
	}
	if err != nil {
		return "", fmt.Errorf("%s cannot be written: %w", path, err)
	}
	return verb, nil
}
