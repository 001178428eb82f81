package kernel

import (
	"bytes"
	"context"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/go-zeromq/zmq4"
	"github.com/go-zeromq/zmq4/security/null"
)

// withinBounds runs an attack and fails when the kernel does not answer after
// it, or keeps goroutines or memory of it.
func withinBounds(t *testing.T, attack func(c *client)) {
	t.Helper()
	c := start(t)
	c.alive()
	goroutines, memory := runtime.NumGoroutine(), heap()
	attack(c)
	c.alive()
	end := time.Now().Add(patience)
	for runtime.NumGoroutine() > goroutines+2 {
		if time.Now().After(end) {
			t.Fatalf("%d goroutines, %d before", runtime.NumGoroutine(), goroutines)
		}
		time.Sleep(5 * time.Millisecond)
	}
	if after := heap(); after > memory+32<<20 {
		t.Errorf("%d MB in use, %d MB before", after>>20, memory>>20)
	}
}

func heap() uint64 {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}

// waitDropped waits until the kernel has dropped n things.
func (c *client) waitDropped(n int) {
	c.t.Helper()
	for end := time.Now().Add(patience); c.server.sockets.Dropped() < n; time.Sleep(time.Millisecond) {
		if time.Now().After(end) {
			c.t.Fatalf("%d messages were dropped, want %d", c.server.sockets.Dropped(), n)
		}
	}
}

func TestBadSignaturesAreDropped(t *testing.T) {
	_, good := frames("execute_request", map[string]any{"code": "fail this ran"})
	bad := []string{"", "00", strings.Repeat("0", 64), strings.Repeat("z", 64), string(good[1]) + "00", string(good[1][:62]), "\xff"}
	withinBounds(t, func(c *client) {
		for _, channel := range []string{"shell", "control", "stdin"} {
			for _, signature := range bad {
				f := slices.Clone(good)
				f[1] = []byte(signature)
				c.sendFrames(channel, f)
			}
		}
		c.waitDropped(3 * len(bad))
		if n := len(c.replies["shell"]) + len(c.replies["control"]); n > 0 {
			t.Errorf("%d replies to messages with bad signatures", n)
		}
	})
}

func TestReplaysAreDropped(t *testing.T) {
	withinBounds(t, func(c *client) {
		id, f := frames("execute_request", map[string]any{"code": "print once"})
		c.sendFrames("shell", f)
		c.reply("shell", id)
		c.sendFrames("shell", f)
		c.sendFrames("control", f)
		f = slices.Clone(f)
		f[1] = bytes.ToUpper(f[1])
		c.sendFrames("shell", f)
		c.waitDropped(3)
		if reply, _ := c.run("2"); reply.Content["execution_count"] != 3.0 { // 1 was the first check that it is alive
			t.Errorf("the next cell is %v, want 3", reply.Content["execution_count"])
		}
	})
}

// A signature is of all parts as one text. Cut elsewhere they make no message,
// and do not use up the signature of the one that was sent.
func TestPartsCutElsewhere(t *testing.T) {
	withinBounds(t, func(c *client) {
		id, f := frames("execute_request", map[string]any{"code": "print once"})
		text := bytes.Join(f[2:6], nil)
		for _, ends := range [][3]int{{0, 0, 0}, {1, 2, 3}, {len(f[2]) + 2, len(f[2]) + 4, len(text)}, {len(f[2]) - 1, len(f[2]) + 2, len(f[2]) + 4}} {
			cut := [][]byte{f[0], f[1], text[:ends[0]], text[ends[0]:ends[1]], text[ends[1]:ends[2]], text[ends[2]:]}
			c.sendFrames("shell", cut)
		}
		c.waitDropped(4)
		c.sendFrames("shell", f)
		if m := c.reply("shell", id); m.Content["status"] != "ok" {
			t.Errorf("%v", m.Content)
		}
	})
}

func TestMalformedMessagesAreDropped(t *testing.T) {
	sign := func(parts ...string) [][]byte {
		f := [][]byte{[]byte("<IDS|MSG>"), nil}
		for _, p := range parts {
			f = append(f, []byte(p))
		}
		f[1] = []byte(signature(f[2:min(6, len(f))]))
		return f
	}
	const header = `{"msg_id":"%d","msg_type":"execute_request","version":"5.3"}`
	bad := [][][]byte{
		{[]byte("x")}, {nil, nil}, {[]byte("<IDS|MSG>")}, {[]byte("<IDS|MSG>"), []byte("x")},
		sign(), sign("{}"), sign("{}", "{}", "{}"), sign("{}", "{}", "{}", "{}"), sign("null", "{}", "{}", "{}"),
		sign("[]", "{}", "{}", "{}"), sign("", "", "", ""), sign("\xff", "{}", "{}", "{}"), sign("{", "{}", "{}", "{}"),
		sign(`{"msg_id":1,"msg_type":"execute_request"}`, "{}", "{}", "{}"),
		sign(`{"msg_id":"a","msg_type":null}`, "{}", "{}", "{}"), sign(`{"msg_id":"a","msg_type":["execute_request"]}`, "{}", "{}", "{}"),
		sign(`{"msg_id":"a","msg_type":"x","session":3}`, "{}", "{}", "{}"),
		sign(fmt.Sprintf(header, 1), "null", "{}", "{}"), sign(fmt.Sprintf(header, 2), "{}", "[]", "{}"),
		sign(fmt.Sprintf(header, 3), `{"msg_id":{}}`, "{}", "{}"), sign(fmt.Sprintf(header, 4), "{}", "7", "{}"),
		sign(fmt.Sprintf(header, 5), "{}", "{}", "{\"code\":\"\xff\"}"),
	}
	withinBounds(t, func(c *client) {
		for _, f := range bad {
			c.sendFrames("shell", f)
			c.sendFrames("control", f)
		}
		c.waitDropped(2 * len(bad))
	})
}

func TestContentThatIsNoObjectIsAnError(t *testing.T) {
	withinBounds(t, func(c *client) {
		for kind := range handlers {
			for _, content := range []any{nil, 1, "text", []any{}, true} {
				id := c.send("shell", kind, content)
				c.outputsOf(id)
				if strings.HasSuffix(kind, "_request") && kind != "shutdown_request" {
					if m := c.reply("shell", id); m.Content["status"] != "error" {
						t.Errorf("%s with content %v: %v", kind, content, m.Content)
					}
				}
			}
		}
	})
}

// fields are the fields of every message, each with a value of its type.
var fields = map[string]map[string]any{
	"execute_request": {"code": "1", "silent": false, "store_history": true, "user_expressions": map[string]any{"a": "b"},
		"allow_stdin": false, "stop_on_error": true},
	"is_complete_request": {"code": "1"},
	"complete_request":    {"code": "1", "cursor_pos": 1},
	"inspect_request":     {"code": "1", "cursor_pos": 1, "detail_level": 0},
	"history_request": {"hist_access_type": "tail", "output": false, "raw": true, "session": 0, "start": 0, "stop": 1, "n": 1,
		"pattern": "*", "unique": false},
	"comm_info_request": {"target_name": "x"},
	"comm_open":         {"comm_id": "x", "target_name": "x", "data": map[string]any{}},
	"comm_msg":          {"comm_id": "x", "data": map[string]any{}},
	"comm_close":        {"comm_id": "x"},
	"shutdown_request":  {"restart": false},
	"debug_request":     {"seq": 1, "command": "x"},
}

func TestWrongTypesInEveryField(t *testing.T) {
	wrong := []any{1.5, -1e300, "text", true, []any{}, []any{1}, map[string]any{}, map[string]any{"a": 1}}
	withinBounds(t, func(c *client) {
		n := 0
		for kind, right := range fields {
			for field, value := range right {
				for _, w := range wrong {
					if fmt.Sprintf("%T", w) == fmt.Sprintf("%T", value) && !isMapOfNumbers(field, w) {
						continue
					}
					content := map[string]any{}
					for k, v := range right {
						content[k] = v
					}
					content[field] = w
					id := c.send("shell", kind, content)
					n++
					c.outputsOf(id)
					if !strings.HasSuffix(kind, "_request") {
						continue
					}
					m := c.reply("shell", id)
					if m.Content["status"] != "error" || !strings.Contains(fmt.Sprint(m.Content["evalue"]), field) {
						t.Errorf("%s with %s %v: %v", kind, field, w, m.Content)
					}
				}
			}
		}
		if n < 150 {
			t.Errorf("only %d messages were tried", n)
		}
	})
}

// isMapOfNumbers reports whether a value has the right type outside and a
// wrong one inside.
func isMapOfNumbers(field string, w any) bool {
	m, ok := w.(map[string]any)
	return ok && len(m) > 0 && field == "user_expressions"
}

func TestDeepAndLongContent(t *testing.T) {
	withinBounds(t, func(c *client) {
		for _, code := range []string{strings.Repeat("[", 20_000), strings.Repeat(`{"a":`, 20_000)} {
			id, f := frames("execute_request", map[string]any{})
			f[5] = []byte(`{"code":` + code)
			f[1] = []byte(signature(f[2:6]))
			c.sendFrames("shell", f)
			if m := c.reply("shell", id); m.Content["status"] != "error" {
				t.Errorf("%v", m.Content)
			}
		}
		long := strings.Repeat("a", 4<<20)
		if reply, _ := c.run(long); reply.Content["status"] != "ok" {
			t.Errorf("a cell of 4 MB: %v", reply.Content)
		}
	})
}

// A rawPeer writes what it likes on a connection that has shaken hands.
func (c *client) rawPeer(kind zmq4.SocketType, port int) net.Conn {
	c.t.Helper()
	conn, err := net.Dial("tcp", fmt.Sprintf("127.0.0.1:%d", port))
	if err != nil {
		c.t.Fatal(err)
	}
	if _, err := zmq4.Open(conn, null.Security(), kind, nil, false, nil); err != nil {
		c.t.Fatal(err)
	}
	return conn
}

func longFrame(flags byte, size uint64) []byte {
	return binary.BigEndian.AppendUint64([]byte{flags}, size)
}

func TestOversizedFramesEndTheirConnection(t *testing.T) {
	withinBounds(t, func(c *client) {
		at := c.server.Connection()
		for _, bytesSent := range [][]byte{
			longFrame(2, 1<<63), longFrame(2, 1<<62), longFrame(2, 17<<20), longFrame(3, 1<<40),
			bytes.Repeat([]byte{1, 0}, 300), longFrame(6, 1<<62), {4, 0}, {4, 1, 200}, {4, 2, 4, 'P'},
		} {
			for port, kind := range map[int]zmq4.SocketType{
				at.ShellPort: zmq4.Dealer, at.ControlPort: zmq4.Dealer, at.StdinPort: zmq4.Dealer, at.IOPubPort: zmq4.Sub, at.HBPort: zmq4.Req,
			} {
				conn := c.rawPeer(kind, port)
				conn.Write(bytesSent)
				conn.(*net.TCPConn).CloseWrite()
				conn.SetReadDeadline(time.Now().Add(patience))
				if _, err := io.Copy(io.Discard, conn); err != nil && !strings.Contains(err.Error(), "reset") {
					t.Errorf("after %v… the connection stays: %v", bytesSent[:2], err)
				}
				conn.Close()
			}
		}
	})
}

func TestBadHandshakes(t *testing.T) {
	greeting := make([]byte, 64)
	copy(greeting, "\xff\x00\x00\x00\x00\x00\x00\x00\x01\x7f\x03\x00NULL")
	ready := func(metadata string) []byte {
		body := "\x05READY" + metadata
		return append(slices.Clone(greeting), append([]byte{4, byte(len(body))}, body...)...)
	}
	withinBounds(t, func(c *client) {
		at := c.server.Connection()
		for _, hello := range [][]byte{
			[]byte("GET / HTTP/1.1\r\n\r\n" + strings.Repeat("x", 64)), bytes.Repeat([]byte{0}, 64), bytes.Repeat([]byte{0xff}, 200),
			ready(""), ready("\x0bSocket-Type\x00\x00\x00\x07UNKNOWN"), ready("\xff"), ready("\x0bSocket-Type"), ready("\x0bSocket-Type\xff\xff\xff\xff"),
			ready("\x0bSocket-Type\x00\x00\x00\x04PUSH"), greeting,
		} {
			for _, port := range []int{at.ShellPort, at.IOPubPort, at.HBPort} {
				conn, err := net.Dial("tcp", fmt.Sprintf("127.0.0.1:%d", port))
				if err != nil {
					t.Fatal(err)
				}
				conn.Write(hello)
				conn.(*net.TCPConn).CloseWrite()
				conn.SetReadDeadline(time.Now().Add(patience))
				if _, err := io.Copy(io.Discard, conn); err != nil && !strings.Contains(err.Error(), "reset") {
					t.Errorf("after %q… the connection stays: %v", hello[:8], err)
				}
				conn.Close()
			}
		}
	})
}

func TestHalfOpenConnectionsStopNobody(t *testing.T) {
	withinBounds(t, func(c *client) {
		at := c.server.Connection()
		var open []net.Conn
		for range 40 {
			for _, port := range []int{at.ShellPort, at.ControlPort, at.StdinPort, at.IOPubPort, at.HBPort} {
				conn, err := net.Dial("tcp", fmt.Sprintf("127.0.0.1:%d", port))
				if err != nil {
					t.Fatal(err)
				}
				open = append(open, conn)
			}
		}
		late := zmq4.NewDealer(context.Background())
		if err := late.Dial(fmt.Sprintf("tcp://127.0.0.1:%d", at.ShellPort)); err != nil {
			t.Fatal(err)
		}
		_, f := frames("kernel_info_request", map[string]any{})
		if err := late.Send(zmq4.NewMsgFrom(f...)); err != nil {
			t.Fatal(err)
		}
		if _, err := late.Recv(); err != nil {
			t.Error(err)
		}
		late.Close()
		for _, conn := range open {
			conn.Close()
		}
	})
}

func TestSubscriberThatDoesNotReadStopsNobody(t *testing.T) {
	withinBounds(t, func(c *client) {
		conn := c.rawPeer(zmq4.Sub, c.server.Connection().IOPubPort)
		defer conn.Close()
		conn.Write([]byte{0, 1, 1})
		for c.server.sockets.Subscribers() < 2 {
			time.Sleep(time.Millisecond)
		}
		if _, outputs := c.run("flood 200000"); len(outputs) < 4 {
			t.Errorf("outputs %v", kinds(outputs))
		}
	})
}

func TestRapidInterrupts(t *testing.T) {
	withinBounds(t, func(c *client) {
		const rounds, each = 20, 500
		for range rounds {
			id := c.send("shell", "execute_request", map[string]any{"code": "sleep"})
			last := ""
			for range each {
				last = c.send("control", "interrupt_request", map[string]any{})
			}
			c.reply("control", last)
			// The interrupts may all have come before the cell.
			last = c.send("control", "interrupt_request", map[string]any{})
			for done := false; !done; {
				select {
				case m := <-c.replies["shell"]:
					done = m.parent() == id
				case <-c.outputs:
				case <-time.After(50 * time.Millisecond):
					last = c.send("control", "interrupt_request", map[string]any{})
				}
			}
			// One still on its way would stop the next cell.
			c.reply("control", last)
		}
	})
}

// Code that is only looked at can take as long as code that runs.
func TestInterruptOfHelp(t *testing.T) {
	withinBounds(t, func(c *client) {
		for _, kind := range []string{"complete_request", "inspect_request", "is_complete_request"} {
			id := c.send("shell", kind, map[string]any{"code": "endless"})
			for next(t, c.outputs).parent() != id { // busy
			}
			c.ask("control", "interrupt_request", map[string]any{})
			if m := c.reply("shell", id); m.Content["ename"] != "interrupted" {
				t.Errorf("%s: %v", kind, m.Content)
			}
		}
		close(c.server.session.eval.(*fakeEvaluator).endless)
	})
}

func TestNumbersBeyondTheirRange(t *testing.T) {
	withinBounds(t, func(c *client) {
		for _, content := range []string{
			`{"code":"a","cursor_pos":9223372036854775808}`, `{"code":"a","cursor_pos":-1}`, `{"code":"a","cursor_pos":1e3}`,
			`{"code":"a","cursor_pos":2}`,
		} {
			m := c.ask("shell", "complete_request", json.RawMessage(content))
			if m.Content["status"] != "error" || !strings.Contains(m.Content["evalue"].(string), "cursor_pos") {
				t.Errorf("%s: %v", content, m.Content)
			}
		}
		for _, n := range []int{-5, 1 << 40} {
			if m := c.ask("shell", "history_request", map[string]any{"hist_access_type": "tail", "n": n}); m.Content["status"] != "ok" {
				t.Errorf("n %d: %v", n, m.Content)
			}
		}
	})
}

// FuzzContent sends signed messages of every type with any content. The
// kernel must answer an honest request after each.
func FuzzContent(f *testing.F) {
	for kind, content := range fields {
		f.Add(kind, marshal(content))
	}
	c := start(f)
	f.Fuzz(func(t *testing.T, kind string, content []byte) {
		c.t = t
		if kind == "shutdown_request" || strings.Contains(string(content), "sleep") || strings.Contains(string(content), "ask") ||
			strings.Contains(string(content), "hang") || strings.Contains(string(content), "flood") || strings.Contains(string(content), "endless") {
			t.Skip("would end or stop the kernel, as it should")
		}
		_, message := frames(kind, map[string]any{})
		message[5] = content
		message[1] = []byte(signature(message[2:6]))
		c.sendFrames("shell", message)
		id := c.send("shell", "kernel_info_request", map[string]any{})
		c.reply("shell", id)
		c.outputsOf(id)
	})
}
