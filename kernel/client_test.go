package kernel

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
	"testing"
	"time"

	"github.com/go-zeromq/zmq4"

	"patternkit/kernel/wire"
)

// testKey signs the messages of tests.
const testKey = "a key for tests"

var loopback = wire.Connection{Transport: "tcp", IP: "127.0.0.1", SignatureScheme: "hmac-sha256", Key: testKey}

// A message is one that a test sends or receives.
type message struct {
	Header, Parent, Metadata, Content map[string]any
}

func (m message) kind() string   { return m.Header["msg_type"].(string) }
func (m message) parent() string { s, _ := m.Parent["msg_id"].(string); return s }

// A client talks to a server over the loopback interface as Jupyter does.
type client struct {
	t                     testing.TB
	server                *Server
	ended                 chan error
	shell, control, stdin zmq4.Socket
	iopub                 zmq4.Socket
	outputs               chan message
	replies               map[string]chan message // by channel name
}

// start serves a fake session and connects a client.
func start(t testing.TB) *client {
	t.Helper()
	return startSession(t, newFakeSession())
}

func startSession(t testing.TB, s *Session) *client {
	t.Helper()
	server, err := NewServer(loopback, s, ServerOptions{})
	if err != nil {
		t.Fatal(err)
	}
	c := &client{t: t, server: server, ended: make(chan error, 1)}
	ctx, cancel := context.WithCancel(context.Background())
	go func() { c.ended <- server.Serve(ctx) }()
	c.connect()
	t.Cleanup(func() {
		cancel()
		select {
		case <-c.ended:
		case <-time.After(10 * time.Second):
			t.Error("the server does not end")
		}
		c.close()
	})
	return c
}

func (c *client) connect() {
	at := c.server.Connection()
	identity := zmq4.WithID(zmq4.SocketIdentity(rand.Text()))
	quiet := zmq4.WithLogger(log.New(io.Discard, "", 0))
	ctx := context.Background()
	c.shell, c.control, c.stdin = zmq4.NewDealer(ctx, identity, quiet), zmq4.NewDealer(ctx, identity, quiet), zmq4.NewDealer(ctx, identity, quiet)
	c.iopub = zmq4.NewSub(ctx, quiet)
	for socket, port := range map[zmq4.Socket]int{c.shell: at.ShellPort, c.control: at.ControlPort, c.stdin: at.StdinPort, c.iopub: at.IOPubPort} {
		if err := socket.Dial(fmt.Sprintf("tcp://127.0.0.1:%d", port)); err != nil {
			c.t.Fatal(err)
		}
	}
	if err := c.iopub.SetOption(zmq4.OptionSubscribe, ""); err != nil {
		c.t.Fatal(err)
	}
	c.outputs, c.replies = make(chan message, 10_000), map[string]chan message{}
	go receive(c.iopub, c.outputs)
	for name, socket := range c.requesters() {
		c.replies[name] = make(chan message, 20_000)
		go receive(socket, c.replies[name])
	}
	for c.server.sockets.Subscribers() == 0 {
		time.Sleep(time.Millisecond)
	}
}

func (c *client) requesters() map[string]zmq4.Socket {
	return map[string]zmq4.Socket{"shell": c.shell, "control": c.control, "stdin": c.stdin}
}

func (c *client) close() {
	for _, s := range []zmq4.Socket{c.shell, c.control, c.stdin, c.iopub} {
		s.Close()
	}
}

// receive takes messages off a socket until it is closed. Every one must have
// a right signature and parts that are objects.
func receive(s zmq4.Socket, to chan<- message) {
	for {
		raw, err := s.Recv()
		if err != nil {
			close(to)
			return
		}
		at := 0
		for string(raw.Frames[at]) != "<IDS|MSG>" {
			at++
		}
		var m message
		for i, part := range []*map[string]any{&m.Header, &m.Parent, &m.Metadata, &m.Content} {
			if err := json.Unmarshal(raw.Frames[at+2+i], part); err != nil {
				panic(err)
			}
		}
		if string(raw.Frames[at+1]) != signature(raw.Frames[at+2:at+6]) {
			panic("a message of the kernel is signed wrongly")
		}
		to <- m
	}
}

func signature(parts [][]byte) string {
	h := hmac.New(sha256.New, []byte(testKey))
	for _, p := range parts {
		h.Write(p)
	}
	return hex.EncodeToString(h.Sum(nil))
}

// frames writes a request. content may be any value, also one that is wrong.
func frames(kind string, content any) (id string, f [][]byte) {
	id = rand.Text()
	header := map[string]any{
		"msg_id": id, "session": "test", "username": "test", "date": "2026-11-25T00:00:00Z", "msg_type": kind, "version": "5.3",
	}
	parts := [][]byte{marshal(header), []byte("{}"), []byte("{}"), marshal(content)}
	return id, append([][]byte{[]byte("<IDS|MSG>"), []byte(signature(parts))}, parts...)
}

func marshal(v any) []byte {
	data, err := json.Marshal(v)
	if err != nil {
		panic(err)
	}
	return data
}

// send sends a request and returns its id.
func (c *client) send(channel, kind string, content any) string {
	c.t.Helper()
	id, f := frames(kind, content)
	c.sendFrames(channel, f)
	return id
}

func (c *client) sendFrames(channel string, f [][]byte) {
	c.t.Helper()
	if err := c.requesters()[channel].Send(zmq4.NewMsgFrom(f...)); err != nil {
		c.t.Fatal(err)
	}
}

// patience is how long a test waits for what must come.
const patience = 20 * time.Second

func next(t testing.TB, from <-chan message) message {
	t.Helper()
	select {
	case m, ok := <-from:
		if !ok {
			t.Fatal("the socket was closed")
		}
		return m
	case <-time.After(patience):
		t.Fatal("nothing comes")
	}
	return message{}
}

// reply waits for the reply to a request.
func (c *client) reply(channel, id string) message {
	c.t.Helper()
	for {
		if m := next(c.t, c.replies[channel]); m.parent() == id {
			return m
		}
	}
}

// ask sends a request and waits for its reply.
func (c *client) ask(channel, kind string, content any) message {
	c.t.Helper()
	return c.reply(channel, c.send(channel, kind, content))
}

// outputsOf collects what a request causes, from busy to idle.
func (c *client) outputsOf(id string) []message {
	c.t.Helper()
	var all []message
	for {
		m := next(c.t, c.outputs)
		if m.parent() != id {
			continue
		}
		all = append(all, m)
		if m.Content["execution_state"] == "idle" {
			return all
		}
	}
}

// run executes a cell and returns the reply and the outputs.
func (c *client) run(code string) (message, []message) {
	c.t.Helper()
	id := c.send("shell", "execute_request", map[string]any{"code": code})
	return c.reply("shell", id), c.outputsOf(id)
}

// alive fails unless the kernel still runs cells.
func (c *client) alive() {
	c.t.Helper()
	reply, outputs := c.run("still here")
	if reply.Content["status"] != "ok" || len(outputs) != 4 {
		c.t.Fatalf("the kernel does not run cells any more: %v %v", reply, outputs)
	}
}

func kinds(messages []message) []string {
	all := make([]string, len(messages))
	for i, m := range messages {
		all[i] = m.kind()
	}
	return all
}
