package main

import (
	"bytes"
	"fmt"
	"io/fs"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"testing"
	"time"
)

// The class: JupyterHub gives each of two users a server of their own, under a
// user number of their own, with the kernel that one installation under a
// prefix offers to both. They run the first lesson at the same time.
func TestClassOnJupyterHub(t *testing.T) {
	if os.Geteuid() != 0 {
		lacking(t, "only root can start servers for other users")
	}
	if _, err := exec.LookPath("configurable-http-proxy"); err != nil {
		lacking(t, "JupyterHub's proxy is not installed (Debian's node-configurable-http-proxy): %v", err)
	}
	env := inJupyter(t, "notebook", "jupyterhub")
	prefix, homes := openFolder(t), openFolder(t)
	runIn(t, prefix, nil, program, "install", "--prefix", prefix).ok(t)
	pupils := map[string]uint32{"ada": 61001, "bea": 61002}
	for name, number := range pupils {
		home := filepath.Join(homes, name)
		if err := os.Mkdir(home, 0o700); err != nil {
			t.Fatal(err)
		}
		if err := os.Chown(home, int(number), int(number)); err != nil {
			t.Fatal(err)
		}
	}
	url := startHub(t, append(env, "CLASS_HOMES="+homes, "CLASS_JUPYTER_PATH="+filepath.Join(prefix, "share", "jupyter")))
	lesson := write(t, lessonSource(t, demoLesson), t.TempDir(), demoLesson)
	t.Log(runIn(t, homes, nil, python, filepath.Join(folderOf(t, "hub"), "pupils.py"), url, hubToken, lesson).ok(t).stdout)

	// All that was written belongs to the pupil in whose home it is.
	for name, number := range pupils {
		files := 0
		err := filepath.WalkDir(filepath.Join(homes, name), func(path string, d fs.DirEntry, err error) error {
			if err != nil {
				return err
			}
			info, err := d.Info()
			if err != nil {
				return err
			}
			files++
			if owner := info.Sys().(*syscall.Stat_t).Uid; owner != number {
				t.Errorf("%s belongs to %d, want %d", path, owner, number)
			}
			return nil
		})
		if err != nil || files < 4 {
			t.Errorf("%s has %d files: %v", name, files, err)
		}
	}
}

const hubToken = "a-token-of-the-teacher-of-the-class"

// openFolder makes a folder that every user of the machine can reach.
func openFolder(t *testing.T) string {
	t.Helper()
	dir, err := os.MkdirTemp("", "patternkit-class-")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := os.RemoveAll(dir); err != nil {
			t.Error(err)
		}
	})
	if err := os.Chmod(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	return dir
}

func folderOf(t *testing.T, name string) string {
	t.Helper()
	dir, err := filepath.Abs(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	return dir
}

// startHub starts Debian's JupyterHub and returns its address when it answers.
func startHub(t *testing.T, env []string) string {
	t.Helper()
	url := fmt.Sprintf("http://127.0.0.1:%d/", freePort(t))
	var log bytes.Buffer
	c := exec.Command(python, "-m", "jupyterhub", "--config", filepath.Join(folderOf(t, "hub"), "jupyterhub_config.py"))
	c.Dir = t.TempDir()
	// The proxy's modules are where Debian's Node looks, but no other one.
	c.Env = append(append(os.Environ(), env...), "NODE_PATH=/usr/share/nodejs", "CLASS_URL="+url, "CLASS_TOKEN="+hubToken,
		fmt.Sprintf("CLASS_HUB_PORT=%d", freePort(t)), fmt.Sprintf("CLASS_PROXY_PORT=%d", freePort(t)))
	c.Stdout, c.Stderr = &log, &log
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- c.Wait() }()
	t.Cleanup(func() {
		c.Process.Signal(syscall.SIGTERM)
		select {
		case <-ended:
		case <-time.After(20 * time.Second):
			c.Process.Kill()
			<-ended
		}
		if t.Failed() {
			t.Logf("the hub's log:\n%s", log.String())
		}
	})
	for end := time.Now().Add(60 * time.Second); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		select {
		case err := <-ended:
			ended <- err
			t.Fatalf("the hub has ended: %v\n%s", err, log.String())
		default:
		}
		if reply, err := http.Get(url + "hub/api/"); err == nil {
			reply.Body.Close()
			if reply.StatusCode == http.StatusOK {
				return url
			}
		}
	}
	t.Fatal("the hub does not start")
	return ""
}
