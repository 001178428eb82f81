package main

import (
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"strconv"
	"strings"
)

// planRows makes a task of each row that is to run.
func (b *batch) planRows(job runJob, args []string) ([]task, error) {
	switch {
	case len(args) != 1 || isFolder(args[0]):
		return nil, errors.New("--each runs one notebook for every row: name one file")
	case job.output == "" && job.html == "":
		return nil, errors.New("--each writes one file a row: give a folder with --output or --html")
	}
	job.path = args[0]
	fixed, err := parseSet(job.set)
	if err != nil {
		return nil, err
	}
	nb, err := readNotebook(job.path)
	if err != nil {
		return nil, err
	}
	if _, err := nb.WithParameters(fixed); err != nil {
		return nil, fmt.Errorf("%s: %w", job.path, err)
	}
	rows, err := readTableFile(b.each, nb, fixed)
	if err != nil {
		return nil, err
	}
	if rows, err = b.chosen(rows); err != nil {
		return nil, err
	}
	program, err := programHash()
	if err != nil {
		return nil, err
	}
	var tasks []task
	for _, r := range rows {
		t := rowTask(job, r, fixed)
		for _, path := range t.outputs() {
			if samePlace(path, job.path) {
				return nil, fmt.Errorf("%s: row %d, %q, would be written over the notebook itself; choose another folder", b.each, r.number, r.name)
			}
		}
		t.stamp.key = key(program, nb, t.set)
		tasks = append(tasks, t)
	}
	return tasks, nil
}

// rowTask is the run of job for a row; fixed are the values of all rows.
func rowTask(job runJob, r tableRow, fixed map[string]string) task {
	t := task{name: r.name, job: job, set: maps.Clone(fixed)}
	maps.Copy(t.set, r.set)
	home := job.output
	if home == "" {
		home = job.html
	}
	t.job.folder = filepath.Join(home, r.name)
	if job.output != "" {
		t.job.output = filepath.Join(job.output, r.name+".ipynb")
	}
	if job.html != "" {
		t.job.html = filepath.Join(job.html, r.name+".html")
	}
	t.stamp = &stamp{folder: t.job.folder, beside: filepath.Dir(job.path)}
	return t
}

// chosen is the row that --row or --row-from asks for, or else all rows.
func (b *batch) chosen(rows []tableRow) ([]tableRow, error) {
	n, asked := b.row, fmt.Sprintf("--row %d", b.row)
	switch {
	case b.rowGiven && b.rowFrom != "":
		return nil, errors.New("--row and --row-from both choose a row: give one of them")
	case b.rowFrom != "":
		text, given := os.LookupEnv(b.rowFrom)
		if !given {
			return nil, fmt.Errorf("--row-from %s: this environment variable is not set", b.rowFrom)
		}
		number, err := strconv.Atoi(strings.TrimSpace(text))
		if err != nil {
			return nil, fmt.Errorf("--row-from %s: the environment variable is %q, want the number of a row, from 1", b.rowFrom, text)
		}
		n, asked = number, fmt.Sprintf("--row-from %s, which is %d", b.rowFrom, number)
	case !b.rowGiven:
		return rows, nil
	}
	if n < 1 || n > len(rows) {
		return nil, fmt.Errorf("%s: %s has rows 1 to %d, the heading not counted", asked, b.each, len(rows))
	}
	return rows[n-1 : n], nil
}
