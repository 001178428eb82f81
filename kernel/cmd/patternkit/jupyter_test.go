package main

import (
	"encoding/json"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// Debian's Jupyter, which is what these tests drive.
const (
	python      = "/usr/bin/python3"
	jupyterTool = "/usr/bin/jupyter"
)

// inJupyter installs the kernel under a prefix of its own and returns the
// environment in which Jupyter finds it, with folders of its own for all that
// Jupyter writes. Where a Python module is missing it skips.
func inJupyter(t testing.TB, modules ...string) []string {
	t.Helper()
	if out, err := exec.Command(python, "-c", "import "+strings.Join(modules, ", ")).CombinedOutput(); err != nil {
		lacking(t, "Jupyter is not installed (Debian's %v): %v\n%s", modules, err, out)
	}
	prefix, home := t.TempDir(), t.TempDir()
	if out, err := exec.Command(program, "install", "--prefix", prefix).CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	return []string{
		"JUPYTER_PATH=" + filepath.Join(prefix, "share", "jupyter"),
		"XDG_DATA_HOME=" + home, "JUPYTER_DATA_DIR=" + filepath.Join(home, "data"), "JUPYTER_RUNTIME_DIR=" + filepath.Join(home, "runtime"),
		"JUPYTER_CONFIG_DIR=" + filepath.Join(home, "config"), "IPYTHONDIR=" + filepath.Join(home, "ipython"),
		"PYDEVD_DISABLE_FILE_VALIDATION=1", "PYTHONWARNINGS=ignore",
	}
}

// script returns the path of a file of testdata/jupyter from any folder.
func script(t testing.TB, name string) string {
	t.Helper()
	path, err := filepath.Abs(filepath.Join("testdata", "jupyter", name))
	if err != nil {
		t.Fatal(err)
	}
	return path
}

// nbconvert executes the lesson and writes it as a page.
func TestNbconvert(t *testing.T) {
	env := inJupyter(t, "nbconvert")
	for _, name := range lessonNames(t) {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			write(t, lessonSource(t, name), dir, name)
			runIn(t, dir, env, jupyterTool, "nbconvert", "--to", "notebook", "--execute", name, "--output", "ran.ipynb").ok(t)
			ran := readFile(t, dir, "ran.ipynb")
			checkNotebook(t, ran)
			checkRanCells(t, ran)
			runIn(t, dir, env, jupyterTool, "nbconvert", "--to", "html", "ran.ipynb").ok(t)
			page := string(readFile(t, dir, "ran.html"))
			says(t, page, `<img`, "data:image/svg+xml;base64,", "<table")
		})
	}
}

// checkRanCells checks that every code cell ran in turn and none failed.
func checkRanCells(t *testing.T, content []byte) {
	t.Helper()
	var nb struct {
		Cells []struct {
			Type    string `json:"cell_type"`
			Count   *int   `json:"execution_count"`
			Outputs []struct {
				Type string `json:"output_type"`
				Name string
				Text []string
			}
		}
		Metadata struct {
			Kernelspec   struct{ Name, Language string }
			LanguageInfo struct {
				Name      string
				Extension string `json:"file_extension"`
			} `json:"language_info"`
		}
	}
	if err := json.Unmarshal(content, &nb); err != nil {
		t.Fatal(err)
	}
	count := 0
	for i, c := range nb.Cells {
		if c.Type != "code" {
			continue
		}
		count++
		if c.Count == nil || *c.Count != count {
			t.Errorf("cell %d has the execution count %v, want %d", i+1, c.Count, count)
		}
		for _, o := range c.Outputs {
			if o.Type == "error" || o.Name == "stderr" {
				t.Errorf("cell %d gives %s %s", i+1, o.Type, o.Text)
			}
		}
	}
	if l := nb.Metadata.LanguageInfo; count == 0 || l.Name != "go" || l.Extension != ".go" {
		t.Errorf("%d code cells, language %+v", count, l)
	}
}

func TestJupyterKernelTest(t *testing.T) {
	r := runIn(t, t.TempDir(), inJupyter(t, "jupyter_kernel_test"), python, script(t, "kernel_test.py")).ok(t)
	t.Log(r.stderr)
	if !strings.HasSuffix(strings.TrimSpace(r.stderr), "OK") {
		t.Error("something was skipped")
	}
}

func TestJupyterClient(t *testing.T) {
	r := runIn(t, t.TempDir(), inJupyter(t, "jupyter_client"), python, script(t, "client.py")).ok(t)
	t.Log(r.stderr + r.stdout)
	if !strings.HasSuffix(strings.TrimSpace(r.stderr), "OK") {
		t.Error("something was skipped")
	}
}

func TestJupyterConsole(t *testing.T) {
	r := runIn(t, t.TempDir(), inJupyter(t, "jupyter_console"), python, script(t, "console.py")).ok(t)
	t.Log(r.stdout)
}

// BenchmarkBesideIpykernel reports what compare.py measures: the kernel and
// ipykernel in turns, in one run. One iteration takes a minute.
func BenchmarkBesideIpykernel(b *testing.B) {
	env := inJupyter(b, "jupyter_client", "ipykernel")
	for b.Loop() {
		c := exec.Command(python, script(b, "compare.py"), "9", "200")
		c.Env, c.Dir = append(os.Environ(), env...), b.TempDir()
		out, err := c.Output()
		if err != nil {
			b.Fatalf("%v\n%s", err, out)
		}
		var figures map[string]struct{ Start, Reply, Idle, Memory, Lines, Messages float64 }
		if err := json.Unmarshal(out, &figures); err != nil || len(figures) != 2 {
			b.Fatalf("%v\n%s", err, out)
		}
		for _, name := range slices.Sorted(maps.Keys(figures)) {
			f := figures[name]
			b.Logf("%-10s  start %.0f ms   trivial cell %.2f ms to its reply, %.2f ms to idle   memory %.0f MB   100,000 lines %.0f ms in %.0f messages",
				name, f.Start, f.Reply, f.Idle, f.Memory, f.Lines, f.Messages)
			b.ReportMetric(f.Start, name+"-start-ms")
			b.ReportMetric(f.Reply, name+"-cell-ms")
			b.ReportMetric(f.Lines, name+"-lines-ms")
		}
	}
}
