package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"patternkit/kernel/notebook"
)

// The lesson in Debian's notebook 6 and Chromium, as a pupil uses it: every
// cell run, the sliders moved by mouse and keyboard, saved and opened again.
func TestLessonInABrowser(t *testing.T) {
	server := startNotebook(t)
	write(t, lessonSource(t, demoLesson), server.dir, demoLesson)
	shots := server.drive(t, "lesson.mjs")
	t.Logf("screenshots are in %s", shots)

	// The file that was saved holds the drawing of the last move.
	saved := readFile(t, server.dir, demoLesson)
	checkNotebook(t, saved)
	nb, err := notebook.Read(bytes.NewReader(saved))
	if err != nil {
		t.Fatal(err)
	}
	drawings := 0
	for _, c := range nb.Cells {
		if !strings.Contains(c.Source, "Live(") {
			continue
		}
		for _, o := range c.Outputs {
			if html, _ := o.Data["text/html"].(string); strings.Contains(html, "data:image/svg+xml;base64,") && o.Data["image/png"] != nil {
				drawings++
			}
		}
	}
	if drawings != 1 {
		t.Errorf("the saved notebook holds %d drawings under its sliders, want 1", drawings)
	}
	for _, name := range []string{"pieces.pdf", "pieces.svg"} {
		if len(readFile(t, server.dir, name)) == 0 {
			t.Errorf("%s is empty", name)
		}
	}
}

// BenchmarkSliderInABrowser reports how long it takes from a key press on a
// slider to the new picture in the page, beside a Python notebook with
// ipywidgets and matplotlib that draws less and drafts nothing.
func BenchmarkSliderInABrowser(b *testing.B) {
	server := startNotebook(b, "ipykernel", "ipywidgets", "matplotlib")
	for _, name := range []string{"block.ipynb", "python.ipynb"} {
		content, err := os.ReadFile(filepath.Join("testdata", "browser", name))
		if err != nil {
			b.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(server.dir, name), content, 0o644); err != nil {
			b.Fatal(err)
		}
	}
	for b.Loop() {
		b.Logf("%s", server.drive(b, "latency.mjs"))
	}
}

// A notebookServer is a running Jupyter notebook server of a test's own.
type notebookServer struct{ dir, url, token string }

// startNotebook starts Debian's notebook server with the kernel installed.
// Where something is missing that the browser tests need it skips.
func startNotebook(t testing.TB, modules ...string) notebookServer {
	t.Helper()
	for _, tool := range []string{"node", "/usr/bin/chromium"} {
		if _, err := exec.LookPath(tool); err != nil {
			lacking(t, "%s is not installed", tool)
		}
	}
	if _, err := os.Stat("testdata/browser/node_modules/playwright-core"); err != nil {
		lacking(t, "playwright-core is absent: npm ci in kernel/cmd/patternkit/testdata/browser gets it")
	}
	// The widgets of ipywidgets 6, which Debian enables by installing them.
	if _, err := os.Stat("/usr/share/jupyter/nbextensions/jupyter-js-widgets"); err != nil {
		lacking(t, "Debian's jupyter-nbextension-jupyter-js-widgets is not installed")
	}
	env := inJupyter(t, append([]string{"notebook"}, modules...)...)
	s := notebookServer{dir: t.TempDir(), token: "lesson"}
	var log bytes.Buffer
	args := []string{"notebook", "--no-browser", "--ip=127.0.0.1", fmt.Sprintf("--port=%d", freePort(t)),
		"--NotebookApp.token=" + s.token, "--notebook-dir=" + s.dir}
	if os.Geteuid() == 0 {
		args = append(args, "--allow-root")
	}
	c := exec.Command(jupyterTool, args...)
	c.Env, c.Stdout, c.Stderr = append(os.Environ(), env...), &log, &log
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- c.Wait() }()
	t.Cleanup(func() {
		c.Process.Signal(os.Interrupt)
		c.Process.Signal(os.Interrupt) // the second one means it
		select {
		case <-ended:
		case <-time.After(10 * time.Second):
			c.Process.Kill()
			<-ended
		}
		if t.Failed() {
			t.Logf("the server's log:\n%s", log.String())
		}
	})
	s.url = serverAddress(t, env, ended)
	return s
}

// freePort returns a port that is free now; the server takes the next one
// when it is not any more.
func freePort(t testing.TB) int {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	return l.Addr().(*net.TCPAddr).Port
}

// serverAddress waits for the file in which the server says where it listens.
func serverAddress(t testing.TB, env []string, ended <-chan error) string {
	t.Helper()
	var runtime string
	for _, v := range env {
		if dir, ok := strings.CutPrefix(v, "JUPYTER_RUNTIME_DIR="); ok {
			runtime = dir
		}
	}
	for end := time.Now().Add(30 * time.Second); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		select {
		case err := <-ended:
			t.Fatalf("the notebook server has ended: %v", err)
		default:
		}
		files, err := filepath.Glob(filepath.Join(runtime, "nbserver-*.json"))
		if err != nil || len(files) == 0 {
			continue
		}
		content, err := os.ReadFile(files[0])
		if err != nil {
			t.Fatal(err)
		}
		var server struct{ URL string }
		if json.Unmarshal(content, &server) == nil { // else it is being written
			return server.URL
		}
	}
	t.Fatal("the notebook server does not start")
	return ""
}

// drive runs a script of testdata/browser against the server, with a folder
// for screenshots that stays after the test. It returns that folder and what
// the script printed.
func (s notebookServer) drive(t testing.TB, script string) string {
	t.Helper()
	shots, err := os.MkdirTemp("", "patternkit-screenshots-")
	if err != nil {
		t.Fatal(err)
	}
	c := exec.Command("node", script, s.url, s.token, shots)
	c.Dir = filepath.Join("testdata", "browser")
	out, err := c.CombinedOutput()
	if err != nil {
		t.Fatalf("%s, with screenshots in %s: %v\n%s", script, shots, err, out)
	}
	return strings.TrimSpace(shots + "\n" + string(out))
}
