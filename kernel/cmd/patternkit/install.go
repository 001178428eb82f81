package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strconv"

	"github.com/spf13/cobra"
)

// specName is the folder name of the kernelspec, and what --kernel takes.
const specName = "patternkit"

// A kernelSpec is Jupyter's kernel.json.
type kernelSpec struct {
	Argv          []string          `json:"argv"`
	DisplayName   string            `json:"display_name"`
	Language      string            `json:"language"`
	InterruptMode string            `json:"interrupt_mode"`
	Env           map[string]string `json:"env,omitempty"`
	Metadata      map[string]any    `json:"metadata,omitempty"`
}

func installCommand() *cobra.Command {
	var place specPlace
	var far reach
	c := &cobra.Command{
		Use:   "install",
		Short: "Make the kernel known to Jupyter",
		Long: "install copies this program into a kernelspec folder, where Jupyter finds it.\n" +
			"--user (the default) is for you alone; --prefix DIR writes DIR/share/jupyter/kernels,\n" +
			"for example --prefix /usr/local for everybody on the machine.\n" +
			"--memory and --any-folder hold for every notebook that this kernel runs.",
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			dir, err := place.dir()
			if err != nil {
				return err
			}
			return install(c.OutOrStdout(), dir, far)
		},
	}
	far.flags(c)
	place.flags(c)
	return c
}

func uninstallCommand() *cobra.Command {
	var place specPlace
	c := &cobra.Command{
		Use:   "uninstall",
		Short: "Remove the kernel from Jupyter",
		Args:  cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			dir, err := place.dir()
			if err != nil {
				return err
			}
			return uninstall(c.OutOrStdout(), dir)
		},
	}
	place.flags(c)
	return c
}

// A specPlace says where the kernelspec lives: for the user, or under a prefix.
type specPlace struct {
	user   bool
	prefix string
}

func (p *specPlace) flags(c *cobra.Command) {
	c.Flags().BoolVar(&p.user, "user", true, "in your own Jupyter folder")
	c.Flags().StringVar(&p.prefix, "prefix", "", "under `DIR`/share/jupyter, instead of your own folder")
	c.MarkFlagsMutuallyExclusive("user", "prefix")
}

func (p *specPlace) dir() (string, error) {
	data, err := jupyterDataDir(os.Getenv, os.UserHomeDir)
	if p.prefix != "" {
		data, err = filepath.Abs(filepath.Join(p.prefix, "share", "jupyter"))
	}
	if err != nil {
		return "", fmt.Errorf("the place for the kernelspec: %w", err)
	}
	return filepath.Join(data, "kernels", specName), nil
}

// jupyterDataDir is the user's Jupyter data folder, by the rules of Jupyter's
// documentation ("Common Directories and File Locations").
func jupyterDataDir(getenv func(string) string, home func() (string, error)) (string, error) {
	if dir := getenv("JUPYTER_DATA_DIR"); dir != "" {
		return dir, nil
	}
	base, err := home()
	switch {
	case runtime.GOOS == "windows" && getenv("APPDATA") != "":
		return filepath.Join(getenv("APPDATA"), "jupyter"), nil
	case err != nil:
		return "", err
	case runtime.GOOS == "darwin":
		return filepath.Join(base, "Library", "Jupyter"), nil
	case getenv("XDG_DATA_HOME") != "":
		return filepath.Join(getenv("XDG_DATA_HOME"), "jupyter"), nil
	}
	return filepath.Join(base, ".local", "share", "jupyter"), nil
}

// install writes the kernelspec and a copy of the running program into dir.
// The copy makes `go run` good enough to install from: the Go tool throws its
// own binary away.
func install(out io.Writer, dir string, far reach) error {
	if err := far.check(); err != nil {
		return err
	}
	_, err := os.Stat(filepath.Join(dir, "kernel.json"))
	replaced := err == nil
	made := missing(dir)
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fmt.Errorf("install: %w; --prefix DIR installs somewhere you may write", err)
	}
	exe := "patternkit"
	if runtime.GOOS == "windows" {
		exe += ".exe"
	}
	if err := copySelf(filepath.Join(dir, exe)); err != nil {
		return fmt.Errorf("install: %w", err)
	}
	// Jupyter puts the kernelspec's own folder for {resource_dir}, so that a
	// prefix can be moved or mounted elsewhere.
	argv := []string{"{resource_dir}/" + exe, "kernel", "--connection-file", "{connection_file}",
		"--memory", strconv.Itoa(far.memory)}
	if far.anyFolder {
		argv = append(argv, "--any-folder")
	}
	spec, err := json.MarshalIndent(kernelSpec{
		Argv:          argv,
		DisplayName:   "Patternkit",
		Language:      "go",
		InterruptMode: "message",
	}, "", "  ")
	if err != nil {
		return err
	}
	file := filepath.Join(dir, "kernel.json")
	if err := os.WriteFile(file, append(spec, '\n'), 0o644); err != nil {
		return fmt.Errorf("install: %w", err)
	}
	if err := openToAll(made, file); err != nil {
		return fmt.Errorf("install: %w", err)
	}
	verb := "Installed"
	if replaced {
		verb = "Replaced"
	}
	fmt.Fprintf(out, "%s the kernel in %s\nIn Jupyter choose the kernel \"Patternkit\"; on a command line use --kernel=%s\n", verb, dir, specName)
	return nil
}

// missing returns dir and the folders above it that are not there.
func missing(dir string) []string {
	var out []string
	for {
		if _, err := os.Stat(dir); err == nil || dir == filepath.Dir(dir) {
			return out
		}
		out = append(out, dir)
		dir = filepath.Dir(dir)
	}
}

// openToAll lets everybody read what install made: under the umask of a
// careful administrator nobody else could start a kernel from a shared prefix.
func openToAll(folders []string, file string) error {
	err := os.Chmod(file, 0o644)
	for _, dir := range folders {
		err = errors.Join(err, os.Chmod(dir, 0o755))
	}
	return err
}

// copySelf copies the running program to path by way of a temporary file, so
// that a kernel that runs from path meanwhile keeps its own file.
func copySelf(path string) error {
	self, err := os.Executable()
	if err != nil {
		return err
	}
	from, err := os.Open(self)
	if err != nil {
		return err
	}
	defer from.Close()
	if a, err := os.Stat(path); err == nil {
		if b, err := from.Stat(); err == nil && os.SameFile(a, b) {
			return nil // installing from the installed copy
		}
	}
	to, err := os.CreateTemp(filepath.Dir(path), ".patternkit-*")
	if err != nil {
		return err
	}
	defer os.Remove(to.Name())
	_, err = io.Copy(to, from)
	if err := errors.Join(err, to.Chmod(0o755), to.Close()); err != nil {
		return err
	}
	return os.Rename(to.Name(), path)
}

// uninstall removes dir, if it holds a kernelspec of ours.
func uninstall(out io.Writer, dir string) error {
	if _, err := os.Stat(filepath.Join(dir, "kernel.json")); errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("uninstall: no kernel in %s; --prefix DIR looks elsewhere", dir)
	}
	if err := os.RemoveAll(dir); err != nil {
		return fmt.Errorf("uninstall: %w", err)
	}
	fmt.Fprintf(out, "Removed the kernel from %s\n", dir)
	return nil
}
