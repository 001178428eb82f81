package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"slices"

	"github.com/spf13/cobra"
)

// A batch is what was asked for when a run is one of many.
type batch struct {
	jobs     int
	each     string // the table; many notebooks when empty
	again    bool
	row      int // from 1, when rowGiven
	rowGiven bool
	rowFrom  string // the environment variable that holds the row
}

func (b *batch) flags(c *cobra.Command) {
	c.Flags().IntVar(&b.jobs, "jobs", runtime.GOMAXPROCS(0), "run this many, `N`, at a time")
	c.Flags().StringVar(&b.each, "each", "", "run the notebook once for every row of `TABLE.csv`")
	c.Flags().BoolVar(&b.again, "again", false, "run rows again that have nothing new")
	c.Flags().IntVar(&b.row, "row", 0, "run only row `N` of the table, from 1")
	c.Flags().StringVar(&b.rowFrom, "row-from", "", "run only the row whose number is in the environment variable `NAME`")
}

// wanted reports whether args ask for more than one run.
func (b *batch) wanted(args []string) bool {
	return b.each != "" || len(args) > 1 || isFolder(args[0])
}

// unwanted names a flag that means nothing for the run of one notebook.
func (b *batch) unwanted(given func(flag string) bool) error {
	for _, flag := range []string{"again", "row", "row-from"} {
		if given(flag) {
			return fmt.Errorf("--%s goes with --each TABLE.csv, which is not given", flag)
		}
	}
	if given("jobs") {
		return errors.New("--jobs is for several notebooks, for a folder and for --each; this is one notebook")
	}
	return nil
}

// run plans the runs, runs them and says how each went. Everything that can
// be wrong with what was asked is found before the first run.
func (b *batch) run(ctx context.Context, job runJob, args []string, out, progress io.Writer) error {
	tasks, err := b.plan(job, args)
	if err != nil {
		return err
	}
	program, err := os.Executable()
	if err != nil {
		return fmt.Errorf("this program does not find itself, which it needs to run several notebooks: %w", err)
	}
	p := pool{program: program, jobs: b.jobs, again: b.again, progress: progress}
	return summary{p.run(ctx, tasks), b.each != ""}.report(out)
}

func (b *batch) plan(job runJob, args []string) ([]task, error) {
	if err := job.reach.check(); err != nil {
		return nil, err
	}
	for _, path := range []string{job.output, job.html} {
		if _, err := os.Stat(path); err == nil && !isFolder(path) {
			return nil, fmt.Errorf("%s is a file; where many are written, want a folder", path)
		}
	}
	switch {
	case b.jobs < 1:
		return nil, fmt.Errorf("--jobs %d: want 1 or more", b.jobs)
	case job.folder != "":
		return nil, errors.New("--save-in is for one notebook; with --each every row has a folder of its own")
	case b.each != "":
		return b.planRows(job, args)
	case b.again || b.rowGiven || b.rowFrom != "":
		return nil, errors.New("--again, --row and --row-from go with --each TABLE.csv, which is not given")
	}
	return planNotebooks(job, args)
}

// planNotebooks makes a task of each notebook that args name.
func planNotebooks(job runJob, args []string) ([]task, error) {
	set, err := parseSet(job.set)
	if err != nil {
		return nil, err
	}
	found, err := findNotebooks(args, job.output, job.html)
	if err != nil {
		return nil, err
	}
	tasks, writers := []task{}, map[string]string{}
	for _, f := range found {
		t := task{name: f.path, job: job, set: set}
		t.job.path = f.path
		t.job.output = below(job.output, f.place, ".ipynb")
		t.job.html = below(job.html, f.place, ".html")
		for _, path := range t.outputs() {
			if other, taken := writers[path]; taken {
				return nil, fmt.Errorf("%s and %s would both be written to %s; run them one after the other into folders of their own",
					other, f.path, path)
			}
			writers[path] = f.path
		}
		tasks = append(tasks, t)
	}
	return tasks, nil
}

// A found notebook has a place in the folder that it was found below.
type found struct{ path, place string }

// findNotebooks lists the notebooks that args name, each once: files, and all
// notebooks below folders. Hidden files and folders (so .ipynb_checkpoints
// too) are left out, and so are the folders written to, whose notebooks are
// results of an earlier run.
func findNotebooks(args []string, written ...string) ([]found, error) {
	var all []found
	seen := map[string]bool{}
	add := func(path, place string) {
		if path = filepath.Clean(path); !seen[path] {
			seen[path] = true
			all = append(all, found{path, place})
		}
	}
	for _, arg := range args {
		if !isFolder(arg) {
			if _, err := os.Stat(arg); err != nil {
				return nil, err
			}
			add(arg, filepath.Base(arg))
			continue
		}
		before := len(all)
		err := filepath.WalkDir(arg, func(path string, d os.DirEntry, err error) error {
			switch {
			case err != nil:
				return err
			case path == arg:
				return nil
			case d.Name()[0] == '.' || d.IsDir() && slices.ContainsFunc(written, func(w string) bool { return samePlace(path, w) }):
				if d.IsDir() {
					return filepath.SkipDir
				}
				return nil
			case d.IsDir() || filepath.Ext(path) != ".ipynb":
				return nil
			}
			place, err := filepath.Rel(arg, path)
			add(path, place)
			return err
		})
		if err != nil {
			return nil, err
		}
		if len(all) == before {
			return nil, fmt.Errorf("%s: no further notebook (*.ipynb) is below this folder", arg)
		}
	}
	return all, nil
}

// below is a place in folder with another ending, and "" without a folder.
func below(folder, place, ending string) string {
	if folder == "" {
		return ""
	}
	return filepath.Join(folder, place[:len(place)-len(filepath.Ext(place))]+ending)
}

func isFolder(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}

// samePlace reports whether two paths lead to one existing file or folder.
func samePlace(a, b string) bool {
	x, err1 := os.Stat(a)
	y, err2 := os.Stat(b)
	return err1 == nil && err2 == nil && os.SameFile(x, y)
}
