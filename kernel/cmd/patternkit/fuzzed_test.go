package main

import (
	"bufio"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"os"
	"os/exec"
	"runtime"
	"strings"
	"testing"
	"time"

	"patternkit/kernel"
	"patternkit/kernel/wire"
)

var fuzzedFor = flag.Duration("fuzzed", 0,
	"how long TestFuzzedMessages sends; 0 is a minute where PATTERNKIT_FULL is set, else three seconds")

// What a kernel may hold more after the fuzzed messages than before: cells
// leave declarations, plots and caches, but not one for each message.
const (
	spareGoroutines = 10
	spareMemory     = 96 // MB
)

// A kernel with real cells gets whatever a broken or hostile client may send,
// and is measured on the way.
func TestFuzzedMessages(t *testing.T) {
	k := startFuzzed(t)
	f := newFuzzer(t, k.connection)
	defer f.close()
	whole := *fuzzedFor
	if whole == 0 {
		whole = 3 * time.Second
		if os.Getenv("PATTERNKIT_FULL") != "" {
			whole = time.Minute
		}
	}
	for range 300 { // so that what every kernel comes to hold is there
		f.step()
	}
	f.alive()
	f.hangUp() // each connection has goroutines
	start := time.Now()
	before := k.measure(t)
	t.Logf("   start  %v", before)
	parts := max(3, whole/(5*time.Minute))
	for range parts {
		for end := time.Now().Add(whole / parts); time.Now().Before(end); {
			f.step()
		}
		f.alive()
		f.hangUp()
		t.Logf("%8s  %v  after %d messages", time.Since(start).Round(time.Second), k.measure(t), f.sent)
	}
	ok, failed := f.answers()
	t.Logf("%d cells went well, %d failed", ok, failed)
	if ok < f.sent/200 || failed < f.sent/200 {
		t.Error("hardly any message reaches a cell")
	}
	after := k.measure(t)
	if after.Goroutines > before.Goroutines+spareGoroutines || after.Heap > before.Heap+spareMemory {
		t.Errorf("the kernel keeps %v, before the messages %v", after, before)
	}
}

// A footprint is what a kernel holds.
type footprint struct {
	Goroutines int
	Heap, RSS  int // MB; RSS is 0 where the system has no /proc
}

func (f footprint) String() string {
	return fmt.Sprintf("%3d goroutines  %3d MB heap  %3d MB resident", f.Goroutines, f.Heap, f.RSS)
}

// A fuzzedKernel is a process that is a kernel and can be asked for its
// footprint.
type fuzzedKernel struct {
	connection wire.Connection
	ask        io.Writer
	told       *json.Decoder
}

const fuzzedKey = "a key for fuzzed messages"

func startFuzzed(t *testing.T) *fuzzedKernel {
	t.Helper()
	dir := t.TempDir()
	c := exec.Command(os.Args[0])
	c.Dir = dir
	c.Env = append(os.Environ(), "PATTERNKIT_FUZZED_KERNEL=1", "XDG_CACHE_HOME="+dir, "XDG_DATA_HOME="+dir)
	var log tail
	c.Stderr = &log
	ask, err := c.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	told, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		ask.Close()
		late := time.AfterFunc(patience, func() { c.Process.Kill() })
		defer late.Stop()
		if err := c.Wait(); err != nil {
			t.Errorf("the kernel ends with %v", err)
		}
		if t.Failed() {
			t.Logf("the kernel's last words:\n%s", log.String())
		}
	})
	k := &fuzzedKernel{ask: ask, told: json.NewDecoder(told)}
	if err := k.told.Decode(&k.connection); err != nil {
		t.Fatalf("the kernel does not start: %v\n%s", err, log.String())
	}
	return k
}

// measure is the smallest footprint of a few, because goroutines that end and
// memory that is freed take a moment.
func (k *fuzzedKernel) measure(t *testing.T) footprint {
	t.Helper()
	var least footprint
	for i := range 10 {
		var f footprint
		fmt.Fprintln(k.ask)
		if err := k.told.Decode(&f); err != nil {
			t.Fatalf("the kernel has ended: %v", err)
		}
		if i == 0 {
			least = f
		}
		least.Goroutines, least.Heap, least.RSS = min(least.Goroutines, f.Goroutines), min(least.Heap, f.Heap), min(least.RSS, f.RSS)
		time.Sleep(100 * time.Millisecond)
	}
	return least
}

// serveFuzzed is the main function of that process. It says where it listens,
// answers each line with its footprint, and ends with its input.
func serveFuzzed() error {
	dir, err := os.Getwd()
	if err != nil {
		return err
	}
	s, err := newSession(dir, stranger)
	if err != nil {
		return err
	}
	note := func(error) {}
	s.KeepHistory(kernel.OpenHistory(dir, note))
	server, err := kernel.NewServer(wire.Connection{
		Transport: "tcp", IP: "127.0.0.1", SignatureScheme: "hmac-sha256", Key: fuzzedKey,
	}, s.Session, kernel.ServerOptions{Log: note})
	if err != nil {
		return err
	}
	say := json.NewEncoder(os.Stdout)
	if err := say.Encode(server.Connection()); err != nil {
		return err
	}
	ctx, cancel := context.WithCancel(context.Background())
	go func() {
		defer cancel()
		for lines := bufio.NewScanner(os.Stdin); lines.Scan(); {
			say.Encode(ownFootprint())
		}
	}()
	err = server.Serve(ctx)
	if ctx.Err() != nil {
		return nil
	}
	return fmt.Errorf("the kernel ended by itself: %v", err)
}

func ownFootprint() footprint {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	f := footprint{Goroutines: runtime.NumGoroutine(), Heap: int(m.HeapAlloc >> 20)}
	status, _ := os.ReadFile("/proc/self/status")
	if _, rest, found := strings.Cut(string(status), "VmRSS:"); found {
		var kb int
		fmt.Sscan(rest, &kb)
		f.RSS = kb >> 10
	}
	return f
}

// A tail keeps the last of what is written to it.
type tail struct{ last []byte }

func (l *tail) Write(p []byte) (int, error) {
	l.last = append(l.last, p...)
	if len(l.last) > 64<<10 {
		l.last = l.last[len(l.last)-32<<10:]
	}
	return len(p), nil
}

func (l *tail) String() string { return string(l.last) }
