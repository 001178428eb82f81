package main

import (
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
)

func TestInstallAndUninstall(t *testing.T) {
	for _, c := range []struct {
		name string
		args func(root string) []string
		env  func(root string) []string
		data string // Jupyter's data folder under root
	}{
		{"prefix", func(root string) []string { return []string{"--prefix", root} }, func(string) []string { return nil }, "share/jupyter"},
		{"user", func(string) []string { return []string{"--user"} },
			func(root string) []string { return []string{"JUPYTER_DATA_DIR=" + filepath.Join(root, "mine")} }, "mine"},
		{"default", func(string) []string { return nil },
			func(root string) []string { return []string{"JUPYTER_DATA_DIR=" + filepath.Join(root, "mine")} }, "mine"},
	} {
		t.Run(c.name, func(t *testing.T) {
			root := t.TempDir()
			spec := filepath.Join(root, c.data, "kernels", "patternkit")
			args, env := c.args(root), c.env(root)
			r := invoke(t, root, env, append([]string{"install"}, args...)...).ok(t)
			says(t, r.stdout, "Installed the kernel in "+spec, "--kernel=patternkit")
			checkSpec(t, spec)
			r = invoke(t, root, env, append([]string{"install"}, args...)...).ok(t)
			says(t, r.stdout, "Replaced the kernel in "+spec)
			if got, want := filesOf(t, spec), []string{"kernel.json", "patternkit"}; !slices.Equal(got, want) {
				t.Errorf("files %q, want %q", got, want)
			}
			// The installed copy is the whole program: it can run a notebook,
			// install itself again and take itself away.
			installed := filepath.Join(spec, "patternkit")
			notebookOf(t, filepath.Join(root, "sum.ipynb"), cellOf{"sum", "1 + 1", ""})
			runIn(t, root, env, installed, "run", "sum.ipynb").ok(t)
			runIn(t, root, env, installed, append([]string{"install"}, args...)...).ok(t)
			r = runIn(t, root, env, installed, append([]string{"uninstall"}, args...)...).ok(t)
			says(t, r.stdout, "Removed the kernel from "+spec)
			if _, err := os.Stat(spec); !errors.Is(err, os.ErrNotExist) {
				t.Errorf("%s is still there: %v", spec, err)
			}
			invoke(t, root, env, append([]string{"uninstall"}, args...)...).fails(t, "no kernel in "+spec)
		})
	}
}

// checkSpec checks a kernelspec by Jupyter's documentation ("Making kernels
// for Jupyter", kernel specs).
func checkSpec(t *testing.T, dir string) {
	t.Helper()
	var spec struct {
		Argv          []string `json:"argv"`
		DisplayName   string   `json:"display_name"`
		Language      string   `json:"language"`
		InterruptMode string   `json:"interrupt_mode"`
	}
	if err := json.Unmarshal(readFile(t, dir, "kernel.json"), &spec); err != nil {
		t.Fatal(err)
	}
	if spec.DisplayName != "Patternkit" || spec.Language != "go" || spec.InterruptMode != "message" {
		t.Errorf("kernel.json: %+v", spec)
	}
	if !slices.Contains(spec.Argv, "{connection_file}") {
		t.Errorf("argv %q lacks {connection_file}", spec.Argv)
	}
	exe := strings.ReplaceAll(spec.Argv[0], "{resource_dir}", dir)
	info, err := os.Stat(exe)
	if err != nil {
		t.Fatal(err)
	}
	if info.Mode().Perm()&0o111 != 0o111 {
		t.Errorf("%s has mode %v: not everybody may run it", exe, info.Mode())
	}
}

// A shared prefix serves everybody, whatever the umask of who installs.
func TestInstallIsForEverybody(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("no umask here")
	}
	dir := t.TempDir()
	runIn(t, dir, nil, "sh", "-c", `umask 077 && exec "$0" install --prefix "$1"`, program, dir).ok(t)
	spec := filepath.Join(dir, "share", "jupyter", "kernels", "patternkit")
	for path, want := range map[string]os.FileMode{
		filepath.Join(dir, "share"): 0o755, spec: 0o755,
		filepath.Join(spec, "kernel.json"): 0o644, filepath.Join(spec, "patternkit"): 0o755,
	} {
		if info, err := os.Stat(path); err != nil || info.Mode().Perm() != want {
			t.Errorf("%s: %v, %v, want %v", path, info.Mode().Perm(), err, want)
		}
	}
}

func TestInstallSetsTheReachOfCells(t *testing.T) {
	dir := t.TempDir()
	invoke(t, dir, nil, "install", "--prefix", dir, "--memory", "512", "--any-folder").ok(t)
	spec := string(readFile(t, dir, "share", "jupyter", "kernels", "patternkit", "kernel.json"))
	says(t, spec, `"--memory"`, `"512"`, `"--any-folder"`)
	invoke(t, dir, nil, "install", "--prefix", dir).ok(t)
	spec = string(readFile(t, dir, "share", "jupyter", "kernels", "patternkit", "kernel.json"))
	if strings.Contains(spec, "any-folder") {
		t.Errorf("folders are open though nobody asked: %s", spec)
	}
	invoke(t, dir, nil, "install", "--prefix", dir, "--memory", "1").fails(t, "--memory 1: want 64")
}

func TestInstallRefusals(t *testing.T) {
	dir := t.TempDir()
	file := write(t, nil, dir, "file")
	invoke(t, dir, nil, "install", "--prefix", file).fails(t, "install: ", "--prefix DIR")
	invoke(t, dir, nil, "install", "--user", "--prefix", dir).fails(t, "user", "prefix")
	invoke(t, dir, nil, "uninstall", "--prefix", dir).fails(t, "uninstall: no kernel in "+dir)
}

// Where Jupyter looks for the user's kernels, by its documentation ("Common
// Directories and File Locations").
func TestJupyterDataDir(t *testing.T) {
	home := func() (string, error) { return "/home/nell", nil }
	homeless := func() (string, error) { return "", errors.New("no home") }
	type placing struct {
		name string
		env  map[string]string
		home func() (string, error)
		want string
	}
	places := []placing{
		{"named", map[string]string{"JUPYTER_DATA_DIR": "/data", "XDG_DATA_HOME": "/xdg"}, home, "/data"},
		{"named without a home", map[string]string{"JUPYTER_DATA_DIR": "/data"}, homeless, "/data"},
		{"without a home", nil, homeless, ""},
	}
	if runtime.GOOS == "linux" {
		places = append(places,
			placing{"plain", nil, home, "/home/nell/.local/share/jupyter"},
			placing{"data home", map[string]string{"XDG_DATA_HOME": "/xdg"}, home, "/xdg/jupyter"})
	}
	for _, c := range places {
		got, err := jupyterDataDir(func(k string) string { return c.env[k] }, c.home)
		if got != c.want || (err == nil) != (c.want != "") {
			t.Errorf("%s: %q, %v, want %q", c.name, got, err, c.want)
		}
	}
}

func TestHelpNamesEveryCommand(t *testing.T) {
	r := invoke(t, t.TempDir(), nil, "--help").ok(t)
	says(t, r.stdout, "demo", "run", "install", "uninstall", "kernel")
	invoke(t, t.TempDir(), nil, "sew").fails(t, `"sew"`)
	invoke(t, t.TempDir(), nil, "kernel").fails(t, "connection-file")
	invoke(t, t.TempDir(), nil, "kernel", "--connection-file", "missing.json").fails(t, "missing.json")
}
