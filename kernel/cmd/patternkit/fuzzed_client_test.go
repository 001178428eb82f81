package main

import (
	"context"
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"log"
	random "math/rand/v2"
	"net"
	"sync"
	"testing"
	"time"

	"github.com/go-zeromq/zmq4"

	"patternkit/kernel/wire"
)

// A fuzzer is a client of a kernel that sends anything.
type fuzzer struct {
	t    *testing.T
	at   wire.Connection
	sent int

	sockets map[string]zmq4.Socket // by channel; made anew now and then
	idle    []net.Conn             // connections that say nothing more
	past    [][][]byte             // messages to be replayed

	stop     context.CancelFunc // of the interrupts
	stopped  chan struct{}
	mu       sync.Mutex
	replies  map[string]string // status by the id of the request, of requests of alive
	comms    []string          // ids of comms that the kernel has opened
	question string            // id of the last input request
	ok, bad  int               // cells that went well, and that failed
}

func newFuzzer(t *testing.T, at wire.Connection) *fuzzer {
	f := &fuzzer{t: t, at: at, replies: map[string]string{}, stopped: make(chan struct{})}
	f.connect()
	ctx, cancel := context.WithCancel(t.Context())
	f.stop = cancel
	go f.interrupt(ctx)
	return f
}

func (f *fuzzer) close() {
	f.stop()
	<-f.stopped
	f.disconnect()
	f.hangUp()
}

func (f *fuzzer) connect() {
	f.sockets = map[string]zmq4.Socket{}
	identity := zmq4.WithID(zmq4.SocketIdentity(rand.Text()))
	for channel, port := range map[string]int{"shell": f.at.ShellPort, "control": f.at.ControlPort, "stdin": f.at.StdinPort, "iopub": f.at.IOPubPort} {
		s := dial(f.t, channel, port, identity)
		f.sockets[channel] = s
		go f.receive(s)
	}
}

func dial(t *testing.T, channel string, port int, identity zmq4.Option) zmq4.Socket {
	t.Helper()
	quiet := zmq4.WithLogger(log.New(io.Discard, "", 0))
	make := zmq4.NewDealer
	if channel == "iopub" {
		make = zmq4.NewSub
	}
	s := make(context.Background(), identity, quiet, zmq4.WithTimeout(patience))
	if err := s.Dial(fmt.Sprintf("tcp://127.0.0.1:%d", port)); err != nil {
		t.Fatalf("the kernel takes no connection: %v", err)
	}
	if channel == "iopub" {
		if err := s.SetOption(zmq4.OptionSubscribe, ""); err != nil {
			t.Fatal(err)
		}
	}
	return s
}

func (f *fuzzer) disconnect() {
	for _, s := range f.sockets {
		s.Close()
	}
}

func (f *fuzzer) hangUp() {
	for _, c := range f.idle {
		c.Close()
	}
	f.idle = nil
}

// receive notes what the fuzzer may refer to later.
func (f *fuzzer) receive(s zmq4.Socket) {
	for {
		raw, err := s.Recv()
		if err != nil {
			return
		}
		frames := raw.Frames
		for len(frames) > 0 && string(frames[0]) != "<IDS|MSG>" {
			frames = frames[1:]
		}
		var header, parent struct {
			ID   string `json:"msg_id"`
			Type string `json:"msg_type"`
		}
		var content struct {
			CommID string `json:"comm_id"`
			Status string
		}
		if len(frames) < 6 || json.Unmarshal(frames[2], &header) != nil || json.Unmarshal(frames[3], &parent) != nil {
			f.t.Errorf("the kernel sends %q", raw.Frames)
			return
		}
		json.Unmarshal(frames[5], &content)
		f.note(header.ID, header.Type, parent.ID, content.CommID, content.Status)
	}
}

func (f *fuzzer) note(id, kind, parent, comm, status string) {
	f.mu.Lock()
	defer f.mu.Unlock()
	switch kind {
	case "input_request":
		f.question = id
	case "comm_open":
		f.comms = append(f.comms, comm)
		f.comms = f.comms[max(0, len(f.comms)-50):]
	case "execute_reply", "kernel_info_reply":
		if kind == "execute_reply" && status == "ok" {
			f.ok++
		} else if status == "error" {
			f.bad++
		}
		if _, wanted := f.replies[parent]; wanted {
			f.replies[parent] = status
		}
	}
}

// answers counts the cells that went well and those that failed.
func (f *fuzzer) answers() (ok, failed int) {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.ok, f.bad
}

// interrupt interrupts at random on a connection of its own, so that no cell
// runs for long.
func (f *fuzzer) interrupt(ctx context.Context) {
	defer close(f.stopped)
	s := dial(f.t, "control", f.at.ControlPort, zmq4.WithID(zmq4.SocketIdentity(rand.Text())))
	defer s.Close()
	go f.receive(s)
	for {
		select {
		case <-ctx.Done():
			return
		case <-time.After(time.Duration(random.IntN(300)) * time.Millisecond):
		}
		_, m := signed("interrupt_request", "", []byte("{}"))
		if s.Send(zmq4.NewMsgFrom(m...)) != nil {
			return // the kernel has ended, as the next message will find
		}
	}
}

// signed writes a request with content of any bytes.
func signed(kind, parent string, content []byte) (id string, frames [][]byte) {
	id = rand.Text()
	header, err := json.Marshal(map[string]any{
		"msg_id": id, "session": "fuzzed", "username": "nell", "date": "2026-11-25T00:00:00Z", "msg_type": kind, "version": "5.3",
	})
	if err != nil {
		panic(err)
	}
	above := []byte("{}")
	if parent != "" {
		above, _ = json.Marshal(map[string]any{"msg_id": parent})
	}
	parts := [][]byte{header, above, []byte("{}"), content}
	return id, append([][]byte{[]byte("<IDS|MSG>"), seal(parts)}, parts...)
}

func seal(parts [][]byte) []byte {
	h := hmac.New(sha256.New, []byte(fuzzedKey))
	for _, p := range parts {
		h.Write(p)
	}
	return []byte(hex.EncodeToString(h.Sum(nil)))
}

func (f *fuzzer) send(channel string, frames [][]byte) {
	f.t.Helper()
	f.sent++
	if err := f.sockets[channel].Send(zmq4.NewMsgFrom(frames...)); err != nil {
		f.disconnect()
		f.connect()
	}
	f.past = append(f.past, frames)
	f.past = f.past[max(0, len(f.past)-50):]
}

// patience is how long a kernel may take to answer.
const patience = time.Minute

// alive fails unless the kernel still answers on control and runs cells.
func (f *fuzzer) alive() {
	f.t.Helper()
	f.await("control", "kernel_info_request", "{}")
	f.await("shell", "execute_request", `{"code":"1 + 1"}`)
}

// await sends a request until it is answered with status ok: an interrupt may
// hit it, or it may wait behind a cell that failed.
func (f *fuzzer) await(channel, kind, content string) {
	f.t.Helper()
	for end := time.Now().Add(patience); time.Now().Before(end); {
		id, m := signed(kind, "", []byte(content))
		f.setReply(id, "")
		if err := f.sockets[channel].Send(zmq4.NewMsgFrom(m...)); err != nil {
			f.disconnect()
			f.connect()
			continue
		}
		for f.replyTo(id) == "" && time.Now().Before(end) {
			time.Sleep(2 * time.Millisecond)
		}
		if f.replyTo(id) == "ok" {
			return
		}
	}
	f.t.Fatalf("after %d messages the kernel does not answer %s", f.sent, kind)
}

func (f *fuzzer) setReply(id, status string) {
	f.mu.Lock()
	defer f.mu.Unlock()
	clear(f.replies)
	f.replies[id] = status
}

func (f *fuzzer) replyTo(id string) string {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.replies[id]
}
