package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"patternkit/kernel/notebook"
	"patternkit/notebooks"
	"patternkit/patternkit"
)

// demoLesson is the lesson that shows the main job.
const demoLesson = "01-first-block.ipynb"

func demoCommand() *cobra.Command {
	var dir string
	c := &cobra.Command{
		Use:   "demo",
		Short: "Draft the first lesson's block and write its page and true-scale pieces",
		Args:  cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			return demo(c.Context(), c.OutOrStdout(), dir)
		},
	}
	c.Flags().StringVar(&dir, "dir", "patternkit-demo", "write into `FOLDER`")
	return c
}

// demo runs the embedded lesson in dir, where its cells save the pieces, and
// writes the executed notebook and its page beside them.
func demo(ctx context.Context, out io.Writer, dir string) error {
	if err := makeWritable(dir); err != nil {
		return err
	}
	source, err := notebooks.Lessons.ReadFile(demoLesson)
	if err != nil {
		return err
	}
	nb, err := notebook.Read(bytes.NewReader(source))
	if err != nil {
		return fmt.Errorf("%s: %w", demoLesson, err)
	}
	s, err := newSession(dir, stranger)
	if err != nil {
		return err
	}
	before := filesIn(dir)
	fmt.Fprintf(out, "Running the lesson %q in %s\n", nb.Title(), dir)
	ran, err := notebook.Run(ctx, nb, s.Session, notebook.RunOptions{Progress: reportSteps(out)})
	if err != nil {
		return fmt.Errorf("%s: %w", demoLesson, err)
	}
	page := demoLesson[:len(demoLesson)-len(".ipynb")] + ".html"
	_, err1 := writeFile(filepath.Join(dir, demoLesson), ran.Write)
	_, err2 := writeFile(filepath.Join(dir, page), func(w io.Writer) error { return notebook.WriteHTML(w, ran) })
	if err := errors.Join(err1, err2); err != nil {
		return err
	}
	if err := reportSeams(ctx, out, s); err != nil {
		return err
	}
	reportFiles(out, dir, before)
	fmt.Fprintf(out, "\nOpen %s in a browser. To work with the lesson in Jupyter:\n"+
		"  go run ./kernel/cmd/patternkit install\n  jupyter notebook %s\n",
		filepath.Join(dir, page), filepath.Join(dir, demoLesson))
	return nil
}

// makeWritable makes the folder and tries it, so that a folder that cannot be
// written to is named before the lesson runs and not after.
func makeWritable(dir string) error {
	err := os.MkdirAll(dir, 0o755)
	if err == nil {
		var f *os.File
		if f, err = os.CreateTemp(dir, ".patternkit-*"); err == nil {
			err = errors.Join(f.Close(), os.Remove(f.Name()))
		}
	}
	if err != nil {
		return fmt.Errorf("the folder %s cannot be written to: %w; --dir FOLDER writes elsewhere", dir, err)
	}
	return nil
}

// filesIn returns the plain files of a folder by name.
func filesIn(dir string) map[string]fs.FileInfo {
	files := map[string]fs.FileInfo{}
	entries, _ := os.ReadDir(dir) // makeWritable has tried the folder
	for _, e := range entries {
		if info, err := e.Info(); err == nil && info.Mode().IsRegular() {
			files[e.Name()] = info
		}
	}
	return files
}

// reportSeams prints what the lesson's own cells have drafted: its names are
// asked for in the session that ran it.
func reportSeams(ctx context.Context, out io.Writer, s *session) error {
	walk, err := valueOf[patternkit.SeamTable](ctx, s, "draw().Walk()")
	if err != nil {
		return err
	}
	printed, err := valueOf[patternkit.Printed](ctx, s, "printed")
	if err != nil {
		return err
	}
	w := tabwriter.NewWriter(out, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(w, "\nseam\tone side cm\tother side cm\tease meant cm\tverdict\t")
	for _, r := range walk.Rows() {
		fmt.Fprintf(w, "%s\t%.2f\t%.2f\t%.2f\t%s\t\n", r.Seam, r.LengthA.CM(), r.LengthB.CM(), r.Ease.CM(), r.Verdict)
	}
	w.Flush()
	fmt.Fprintf(out, "\n%v\n", printed)
	return nil
}

// valueOf evaluates one Go expression in the session.
func valueOf[T any](ctx context.Context, s *session, code string) (T, error) {
	var none T
	values, err := s.cells.Eval(ctx, code)
	if err != nil {
		return none, fmt.Errorf("%s of %s: %w", code, demoLesson, err)
	}
	if len(values) == 1 {
		if v, ok := values[0].(T); ok {
			return v, nil
		}
	}
	return none, fmt.Errorf("%s of %s gives %v, want one %T", code, demoLesson, values, none)
}

// reportFiles says which files are new in dir and which took the place of an
// older one.
func reportFiles(out io.Writer, dir string, before map[string]fs.FileInfo) {
	after := filesIn(dir)
	fmt.Fprintln(out)
	for _, name := range slices.Sorted(maps.Keys(after)) {
		info, old := after[name], before[name]
		if old != nil && os.SameFile(old, info) && old.ModTime().Equal(info.ModTime()) {
			continue // not of this run
		}
		verb := "wrote   "
		if old != nil {
			verb = "replaced"
		}
		fmt.Fprintf(out, "%s %s (%d kB)\n", verb, filepath.Join(dir, name), (info.Size()+999)/1000)
	}
}
