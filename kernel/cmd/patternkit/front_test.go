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
func TestBlockInFrontEnd8(t *testing.T) { testBlockInFrontEnd(t, "front8") }

// The same with the widgets of ipywidgets 7 and the outputs of JupyterLab 3.
func TestBlockInFrontEnd7(t *testing.T) { testBlockInFrontEnd(t, "front7") }

// testBlockInFrontEnd takes the packages of a folder of testdata.
func testBlockInFrontEnd(t *testing.T, front string) {
	if _, err := os.Stat(filepath.Join("testdata", front, "node_modules", "esbuild")); err != nil {
		lacking(t, "the widgets of %s are absent: npm ci in kernel/cmd/patternkit/testdata/%s gets them", front, front)
	}
	server := startNotebook(t)
	write(t, readFile(t, "testdata", "front", "block.ipynb"), server.dir, "block.ipynb")
	t.Logf("screenshots are in %s", server.drive(t, filepath.Join("..", front, "front.mjs")))

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
