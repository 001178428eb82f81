package kernel

import (
	"bufio"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
)

// jupyter returns a command that runs a Python file with Debian's Jupyter,
// for which this test binary is the kernel "fake". Without Jupyter it skips;
// with PATTERNKIT_FULL set it fails instead.
func jupyter(t *testing.T, file string) *exec.Cmd {
	t.Helper()
	python := "/usr/bin/python3"
	if out, err := exec.Command(python, "-c", "import jupyter_client, jupyter_kernel_test").CombinedOutput(); err != nil {
		if os.Getenv("PATTERNKIT_FULL") != "" {
			t.Fatalf("Jupyter is needed: %v\n%s", err, out)
		}
		t.Skip("Debian's python3-jupyter-kernel-test is not installed")
	}
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	data := t.TempDir()
	spec := filepath.Join(data, "kernels", "fake")
	if err := os.MkdirAll(spec, 0o755); err != nil {
		t.Fatal(err)
	}
	kernelJSON, err := json.Marshal(map[string]any{
		"argv": []string{self, "{connection_file}"}, "display_name": "fake", "language": "fake",
		"interrupt_mode": "message", "env": map[string]string{"PATTERNKIT_FAKE_KERNEL": "1"},
	})
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(spec, "kernel.json"), kernelJSON, 0o644); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(python, file)
	cmd.Env = append(os.Environ(), "JUPYTER_PATH="+data, "JUPYTER_RUNTIME_DIR="+t.TempDir())
	return cmd
}

func TestJupyterKernelTest(t *testing.T) {
	out, err := jupyter(t, "testdata/kernel_test.py").CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	t.Logf("%s", out)
	if !strings.HasSuffix(strings.TrimSpace(string(out)), "OK") {
		t.Error("something was skipped")
	}
}

func TestKernelEndsWithItsParent(t *testing.T) {
	parent := jupyter(t, "testdata/orphan.py")
	stdout, err := parent.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := parent.Start(); err != nil {
		t.Fatal(err)
	}
	line, err := bufio.NewReader(stdout).ReadString('\n')
	parent.Process.Kill()
	parent.Wait()
	if err != nil {
		t.Fatal(err)
	}
	pid, err := strconv.Atoi(strings.TrimSpace(line))
	if err != nil {
		t.Fatal(err)
	}
	for end := time.Now().Add(patience); runs(pid); time.Sleep(20 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatalf("the kernel (process %d) outlives its parent", pid)
		}
	}
}

// runs reports whether a process runs: one that has ended and that nobody has
// waited for does not.
func runs(pid int) bool {
	status, err := os.ReadFile("/proc/" + strconv.Itoa(pid) + "/stat")
	if os.IsNotExist(err) {
		return false
	}
	if err != nil {
		return processRuns(pid)
	}
	_, state, _ := strings.Cut(string(status), ") ")
	return !strings.HasPrefix(state, "Z")
}
