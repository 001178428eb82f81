package kernel

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"log"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/go-zeromq/zmq4"

	"patternkit/kernel/wire"
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
// kernel_info. The kernel tells its ports: a port chosen before could be taken
// by another connection meanwhile.
func BenchmarkStart(b *testing.B) {
	self, err := os.Executable()
	if err != nil {
		b.Fatal(err)
	}
	file := filepath.Join(b.TempDir(), "connection.json")
	if err := os.WriteFile(file, marshal(loopback), 0o600); err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		kernel := exec.Command(self, file)
		kernel.Env = append(os.Environ(), "PATTERNKIT_FAKE_KERNEL=1")
		stdout, err := kernel.StdoutPipe()
		if err != nil {
			b.Fatal(err)
		}
		if err := kernel.Start(); err != nil {
			b.Fatal(err)
		}
		var at wire.Connection
		if err := json.NewDecoder(stdout).Decode(&at); err != nil {
			b.Fatal(err)
		}
		askInfo(b, at)
		kernel.Process.Kill()
		kernel.Wait()
	}
}

func askInfo(b *testing.B, at wire.Connection) {
	quiet := zmq4.WithLogger(log.New(io.Discard, "", 0))
	iopub, shell := zmq4.NewSub(context.Background(), quiet), zmq4.NewDealer(context.Background(), quiet)
	defer iopub.Close()
	defer shell.Close()
	for socket, port := range map[zmq4.Socket]int{iopub: at.IOPubPort, shell: at.ShellPort} {
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
