package main

import (
	"path/filepath"
	"strconv"
	"testing"
)

func TestMemoryCeiling(t *testing.T) {
	dir := t.TempDir()
	path := notebookOf(t, filepath.Join(dir, "hungry.ipynb"),
		cellOf{id: "only", source: "all := [][]byte{}\nfor {\n\tall = append(all, make([]byte, 1<<20))\n}"})
	invoke(t, dir, nil, "run", path, "--memory", "100").fails(t, "out of memory", "hungry.ipynb")
}

func TestFoldersOfCells(t *testing.T) {
	dir, elsewhere := t.TempDir(), t.TempDir()
	far := write(t, []byte("far"), elsewhere, "far.txt")
	path := notebookOf(t, filepath.Join(dir, "reads.ipynb"), cellOf{id: "only", source: "string(Load(" + strconv.Quote(far) + "))"})
	invoke(t, dir, nil, "run", path).fails(t, "load ", "under the notebook's folder")
	invoke(t, dir, nil, "run", path, "--any-folder").ok(t)
}
