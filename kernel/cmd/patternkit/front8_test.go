package main

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"patternkit/kernel/notebook"
)

// The block in a page with the widgets of ipywidgets 8 and the outputs of
// JupyterLab 4: run, moved by mouse and keyboard, saved and opened again.
func TestBlockInFrontEnd8(t *testing.T) {
	if _, err := os.Stat("testdata/front8/node_modules/esbuild"); err != nil {
		lacking(t, "the widgets of ipywidgets 8 are absent: npm ci in kernel/cmd/patternkit/testdata/front8 gets them")
	}
	server := startNotebook(t)
	write(t, readFile(t, "testdata", "front8", "block.ipynb"), server.dir, "block.ipynb")
	t.Logf("screenshots are in %s", server.drive(t, filepath.Join("..", "front8", "front8.mjs")))

	saved := readFile(t, server.dir, "block.ipynb")
	checkNotebook(t, saved)
	nb, err := notebook.Read(bytes.NewReader(saved))
	if err != nil {
		t.Fatal(err)
	}
	if len(nb.Cells) != 3 {
		t.Fatalf("%d cells were saved, want 3", len(nb.Cells))
	}
	drawings := 0
	for _, o := range nb.Cells[1].Outputs {
		if o.Data["text/html"] != nil && o.Data["image/png"] != nil {
			drawings++
		}
	}
	if drawings != 1 {
		t.Errorf("the saved notebook holds %d drawings under its sliders, want 1", drawings)
	}
}
