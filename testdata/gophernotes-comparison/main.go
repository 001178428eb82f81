// Command gophernotescomparison starts three kernels by turns, patternkit,
// ipykernel and gophernotes, and prints what a start, a trivial cell and a
// running kernel cost in each, as one table. gophernotes is pinned to the
// version that the figures are stated for. It is a module of its own, so that
// the project does not depend on it:
//
//	cd testdata/gophernotes-comparison && go run .
//
// It needs Debian's jupyter-client and python3-ipykernel.
package main

import (
	_ "embed"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
)

//go:embed compare.py
var compare string

const python = "/usr/bin/python3"

func main() {
	starts := flag.Int("starts", 15, "how often each kernel is started")
	cells := flag.Int("cells", 100, "how many cells are run after each start")
	flag.Parse()
	if err := run(*starts, *cells); err != nil {
		fmt.Fprintln(os.Stderr, "gophernotescomparison:", err)
		os.Exit(1)
	}
}

func run(starts, cells int) error {
	folder, err := os.MkdirTemp("", "gophernotescomparison")
	if err != nil {
		return err
	}
	defer os.RemoveAll(folder)
	if err := writeKernels(folder); err != nil {
		return err
	}
	cmd := exec.Command(python, "-c", compare, strconv.Itoa(starts), strconv.Itoa(cells))
	cmd.Env = append(os.Environ(), "JUPYTER_PATH="+folder, "JUPYTER_RUNTIME_DIR="+filepath.Join(folder, "runtime"),
		"PYDEVD_DISABLE_FILE_VALIDATION=1") // ipykernel's debugger is not measured, nor its warnings wanted
	cmd.Stdout, cmd.Stderr = os.Stdout, os.Stderr
	if err := cmd.Run(); err != nil {
		return fmt.Errorf("%s: %w", python, err)
	}
	return nil
}

// writeKernels builds the kernels written in Go and writes a kernelspec of
// each of the three.
func writeKernels(folder string) error {
	ours, theirs := filepath.Join(folder, "patternkit"), filepath.Join(folder, "gophernotes")
	for _, args := range [][]string{
		{"-C", filepath.Join("..", ".."), "build", "-o", ours, "./kernel/cmd/patternkit"},
		{"build", "-o", theirs, "github.com/gopherdata/gophernotes"},
	} {
		if out, err := exec.Command("go", args...).CombinedOutput(); err != nil {
			return fmt.Errorf("go %v: %w\n%s", args, err, out)
		}
	}
	specs := map[string]map[string]any{
		"bench-patternkit": {"argv": []string{ours, "kernel", "--connection-file", "{connection_file}"}, "interrupt_mode": "message"},
		"bench-ipykernel":  {"argv": []string{python, "-m", "ipykernel_launcher", "-f", "{connection_file}"}},
		// Its interpreter reads the packages of the toolchain that it finds,
		// and panics on those of today; so it must find none.
		"bench-gophernotes": {"argv": []string{theirs, "{connection_file}"}, "env": map[string]string{"GOROOT": "/nonexistent"}},
	}
	for name, spec := range specs {
		spec["display_name"], spec["language"] = name, "any"
		data, err := json.Marshal(spec)
		if err != nil {
			return err
		}
		at := filepath.Join(folder, "kernels", name)
		if err := os.MkdirAll(at, 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(at, "kernel.json"), data, 0o644); err != nil {
			return err
		}
	}
	return nil
}
