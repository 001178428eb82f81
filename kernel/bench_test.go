package kernel

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"log"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/go-zeromq/zmq4"
)

// BenchmarkExecute is a trivial cell, from the request until both the reply
// and the idle status are here.
func BenchmarkExecute(b *testing.B) {
	c := start(b)
	b.ReportAllocs()
	for b.Loop() {
		c.run("1")
	}
}

// BenchmarkMoveToPicture is a moved slider, from the message until the new
// picture of a usual size is here, and then its idle.
func BenchmarkMoveToPicture(b *testing.B) {
	session := newFakeSession()
	picture := map[string]any{"text/plain": "a picture", "text/html": `<img src="data:image/svg+xml;base64,` + strings.Repeat("QUJD", 15_000) + `">`}
	front := session.Front()
	front.OnSettled(func() { front.Show(picture, "view", true) })
	front.HandleTarget("slider", func(string, map[string]any) func(map[string]any) { return func(map[string]any) {} })
	c := startSession(b, session)
	c.outputsOf(c.send("shell", "comm_open", map[string]any{"comm_id": "s", "target_name": "slider", "data": map[string]any{}}))
	b.ReportAllocs()
	for b.Loop() {
		c.outputsOf(c.send("shell", "comm_msg", map[string]any{"comm_id": "s", "data": map[string]any{"value": 1}}))
	}
}

// BenchmarkFlood is a cell that prints 100,000 lines.
func BenchmarkFlood(b *testing.B) {
	c := start(b)
	b.ReportAllocs()
	for b.Loop() {
		c.run("flood 100000")
	}
}

// BenchmarkStart is a kernel process, from its start until it has answered
// kernel_info.
func BenchmarkStart(b *testing.B) {
	self, err := os.Executable()
	if err != nil {
		b.Fatal(err)
	}
	file := filepath.Join(b.TempDir(), "connection.json")
	b.ReportAllocs()
	for b.Loop() {
		at := loopback
		at.ShellPort, at.IOPubPort, at.StdinPort, at.ControlPort, at.HBPort = freePort(b), freePort(b), freePort(b), freePort(b), freePort(b)
		data, err := json.Marshal(at)
		if err != nil {
			b.Fatal(err)
		}
		if err := os.WriteFile(file, data, 0o600); err != nil {
			b.Fatal(err)
		}
		kernel := exec.Command(self, file)
		kernel.Env = append(os.Environ(), "PATTERNKIT_FAKE_KERNEL=1")
		if err := kernel.Start(); err != nil {
			b.Fatal(err)
		}
		askInfo(b, at.ShellPort, at.IOPubPort)
		kernel.Process.Kill()
		kernel.Wait()
	}
}

func freePort(b *testing.B) int {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		b.Fatal(err)
	}
	defer l.Close()
	return l.Addr().(*net.TCPAddr).Port
}

// askInfo connects as soon as somebody listens; it asks every millisecond.
func askInfo(b *testing.B, shellPort, iopubPort int) {
	quiet, soon := zmq4.WithLogger(log.New(io.Discard, "", 0)), zmq4.WithDialerRetry(1_000_000)
	often := zmq4.WithDialerMaxRetries(5000)
	iopub := zmq4.NewSub(context.Background(), quiet, soon, often)
	defer iopub.Close()
	shell := zmq4.NewDealer(context.Background(), quiet, soon, often)
	defer shell.Close()
	for socket, port := range map[zmq4.Socket]int{iopub: iopubPort, shell: shellPort} {
		if err := socket.Dial(fmt.Sprintf("tcp://127.0.0.1:%d", port)); err != nil {
			b.Fatal(err)
		}
	}
	if err := iopub.SetOption(zmq4.OptionSubscribe, ""); err != nil {
		b.Fatal(err)
	}
	_, f := frames("kernel_info_request", map[string]any{})
	if err := shell.Send(zmq4.NewMsgFrom(f...)); err != nil {
		b.Fatal(err)
	}
	if _, err := shell.Recv(); err != nil {
		b.Fatal(err)
	}
}
