package kernel

import (
	"context"
	"fmt"
	"net"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/go-zeromq/zmq4"

	"patternkit/kernel/wire"
)

func TestKernelInfo(t *testing.T) {
	c := start(t)
	id := c.send("shell", "kernel_info_request", map[string]any{})
	m := c.reply("shell", id)
	if m.Content["status"] != "ok" || m.Content["protocol_version"] != "5.3" || m.Header["version"] != "5.3" {
		t.Errorf("kernel_info_reply is %v with header %v", m.Content, m.Header)
	}
	if got := kinds(c.outputsOf(id)); !slices.Equal(got, []string{"status", "status"}) {
		t.Errorf("outputs %v, want busy and idle", got)
	}
	if m := c.ask("control", "kernel_info_request", map[string]any{}); m.Content["status"] != "ok" {
		t.Errorf("on control: %v", m.Content)
	}
}

func TestSubscribersAreWelcomed(t *testing.T) {
	c := start(t)
	if m := next(t, c.outputs); m.kind() != "iopub_welcome" || m.Content["subscription"] != "" || len(m.Parent) != 0 {
		t.Errorf("the first output is %v", m)
	}
	late := zmq4.NewSub(context.Background())
	defer late.Close()
	if err := late.Dial(fmt.Sprintf("tcp://127.0.0.1:%d", c.server.Connection().IOPubPort)); err != nil {
		t.Fatal(err)
	}
	for _, topic := range []string{"kernel.", "nothing"} {
		if err := late.SetOption(zmq4.OptionSubscribe, topic); err != nil {
			t.Fatal(err)
		}
	}
	outputs := make(chan message, 10)
	go receive(late, outputs)
	for _, topic := range []string{"kernel.", "nothing"} {
		if m := next(t, outputs); m.kind() != "iopub_welcome" || m.Content["subscription"] != topic {
			t.Errorf("after subscribing to %q: %v", topic, m)
		}
	}
}

func TestExecuteGivesOutputsInOrder(t *testing.T) {
	c := start(t)
	reply, outputs := c.run("print one\nprint two\nwarn three\nshow four\nprint five\nclear wait\nagain six\na value")
	if reply.Content["status"] != "ok" || reply.Content["execution_count"] != 1.0 {
		t.Errorf("reply %v", reply.Content)
	}
	want := []string{"status", "execute_input", "stream", "stream", "display_data", "stream", "clear_output", "update_display_data", "execute_result", "status"}
	if got := kinds(outputs); !slices.Equal(got, want) {
		t.Fatalf("outputs\n %v, want\n %v", got, want)
	}
	if got := outputs[2].Content; got["name"] != "stdout" || got["text"] != "one\ntwo\n" {
		t.Errorf("first stream %v", got)
	}
	if got := outputs[4].Content["transient"]; !reflect.DeepEqual(got, map[string]any{"display_id": "shown"}) {
		t.Errorf("transient %v", got)
	}
	if got := outputs[8].Content["data"]; !reflect.DeepEqual(got, map[string]any{"text/plain": "a value"}) {
		t.Errorf("result %v", got)
	}
}

func TestSilentCellsShowAndCountNothing(t *testing.T) {
	c := start(t)
	id := c.send("shell", "execute_request", map[string]any{"code": "print one\n2", "silent": true})
	if m := c.reply("shell", id); m.Content["execution_count"] != 1.0 {
		t.Errorf("reply %v", m.Content)
	}
	if got := kinds(c.outputsOf(id)); !slices.Equal(got, []string{"status", "status"}) {
		t.Errorf("outputs %v, want busy and idle", got)
	}
	id = c.send("shell", "execute_request", map[string]any{"code": "2", "store_history": false})
	c.outputsOf(id)
	if reply, _ := c.run("3"); reply.Content["execution_count"] != 1.0 {
		t.Errorf("the first counted cell is %v", reply.Content["execution_count"])
	}
}

func TestErrorHasTracebackOfStrings(t *testing.T) {
	c := start(t)
	for _, code := range []string{"fail no cloth", "plainfail no cloth", "panic no cloth"} {
		reply, outputs := c.run(code)
		i := slices.Index(kinds(outputs), "error")
		if i < 0 || reply.Content["status"] != "error" {
			t.Fatalf("%s: reply %v, outputs %v", code, reply.Content, kinds(outputs))
		}
		for _, content := range []map[string]any{reply.Content, outputs[i].Content} {
			traceback, ok := content["traceback"].([]any)
			if !ok || len(traceback) == 0 || !strings.Contains(content["evalue"].(string), "no cloth") {
				t.Errorf("%s: %v", code, content)
			}
			for _, line := range traceback {
				if _, ok := line.(string); !ok {
					t.Errorf("%s: traceback line %v is no string", code, line)
				}
			}
		}
	}
}

func TestErrorAbortsWaitingCells(t *testing.T) {
	c := start(t)
	first := c.send("shell", "execute_request", map[string]any{"code": "fail here"})
	second := c.send("shell", "execute_request", map[string]any{"code": "print never"})
	info := c.send("shell", "kernel_info_request", map[string]any{})
	third := c.send("shell", "execute_request", map[string]any{"code": "print never"})
	statuses := map[string]any{}
	for range 4 {
		m := next(t, c.replies["shell"])
		statuses[m.parent()] = m.Content["status"]
	}
	want := map[string]any{first: "error", second: "aborted", info: "ok", third: "aborted"}
	if !reflect.DeepEqual(statuses, want) {
		t.Errorf("statuses %v, want %v", statuses, want)
	}
	c.alive() // what is sent after the reply runs
}

func TestWithoutStopOnErrorCellsGoOn(t *testing.T) {
	c := start(t)
	c.send("shell", "execute_request", map[string]any{"code": "fail here", "stop_on_error": false})
	second := c.send("shell", "execute_request", map[string]any{"code": "print on"})
	if m := c.reply("shell", second); m.Content["status"] != "ok" {
		t.Errorf("second cell: %v", m.Content)
	}
}

func TestUserExpressions(t *testing.T) {
	c := start(t)
	m := c.ask("shell", "execute_request", map[string]any{
		"code": "1", "user_expressions": map[string]string{"good": "forty", "bad": "fail broken"},
	})
	got := m.Content["user_expressions"].(map[string]any)
	good, bad := got["good"].(map[string]any), got["bad"].(map[string]any)
	if good["status"] != "ok" || good["data"].(map[string]any)["text/plain"] != "forty" {
		t.Errorf("good: %v", good)
	}
	if bad["status"] != "error" || bad["evalue"] != "broken" {
		t.Errorf("bad: %v", bad)
	}
}

func TestFloodIsFewMessages(t *testing.T) {
	c := start(t)
	const lines = 100_000
	_, outputs := c.run(fmt.Sprintf("flood %d", lines))
	var text strings.Builder
	n := 0
	for _, m := range outputs {
		if m.kind() == "stream" {
			n++
			text.WriteString(m.Content["text"].(string))
		}
	}
	if n > 50 {
		t.Errorf("%d messages for %d lines, want at most 50", n, lines)
	}
	if got := strings.Count(text.String(), "\n"); got != lines || !strings.HasSuffix(text.String(), "line 99999\n") {
		t.Errorf("%d lines arrived, want %d", got, lines)
	}
}

func TestOutputThatCannotBeSentIsReported(t *testing.T) {
	c := start(t)
	_, outputs := c.run("nan")
	i := slices.Index(kinds(outputs), "stream")
	if i < 0 || !strings.Contains(outputs[i].Content["text"].(string), "can't be sent") {
		t.Errorf("outputs %v", outputs)
	}
	c.alive()
}

func TestControlAndHeartbeatWhileBusy(t *testing.T) {
	c := start(t)
	id := c.send("shell", "execute_request", map[string]any{"code": "sleep"})
	for m := next(t, c.outputs); m.kind() != "execute_input"; {
		m = next(t, c.outputs)
	}
	if m := c.ask("control", "kernel_info_request", map[string]any{}); m.Content["status"] != "ok" {
		t.Errorf("control while busy: %v", m.Content)
	}
	hb := zmq4.NewReq(context.Background())
	defer hb.Close()
	if err := hb.Dial(fmt.Sprintf("tcp://127.0.0.1:%d", c.server.Connection().HBPort)); err != nil {
		t.Fatal(err)
	}
	if err := hb.Send(zmq4.NewMsgString("ping")); err != nil {
		t.Fatal(err)
	}
	if m, err := hb.Recv(); err != nil || string(m.Bytes()) != "ping" {
		t.Errorf("heartbeat gives %q, %v", m.Bytes(), err)
	}
	if m := c.ask("control", "interrupt_request", map[string]any{}); m.Content["status"] != "ok" {
		t.Errorf("interrupt: %v", m.Content)
	}
	if m := c.reply("shell", id); m.Content["status"] != "error" || m.Content["ename"] != "interrupted" {
		t.Errorf("interrupted cell: %v", m.Content)
	}
	c.alive()
}

func TestInterruptWhenIdleDoesNothing(t *testing.T) {
	c := start(t)
	for range 10 {
		c.ask("control", "interrupt_request", map[string]any{})
	}
	c.alive()
}

func TestControlRefusesCells(t *testing.T) {
	c := start(t)
	if m := c.ask("control", "execute_request", map[string]any{"code": "1"}); m.Content["status"] != "error" {
		t.Errorf("%v", m.Content)
	}
}

func TestShutdown(t *testing.T) {
	for _, channel := range []string{"shell", "control"} {
		for _, restart := range []bool{false, true} {
			c := start(t)
			id := c.send(channel, "shutdown_request", map[string]any{"restart": restart})
			if m := c.reply(channel, id); m.Content["status"] != "ok" || m.Content["restart"] != restart {
				t.Errorf("%s: %v", channel, m.Content)
			}
			if got := kinds(c.outputsOf(id)); !slices.Equal(got, []string{"status", "shutdown_reply", "status"}) {
				t.Errorf("%s: outputs %v", channel, got)
			}
			if err := <-c.ended; err != nil {
				t.Errorf("%s: %v", channel, err)
			}
			c.ended <- nil
		}
	}
}

func TestShutdownWhileBusy(t *testing.T) {
	for _, code := range []string{"sleep", "hang", "flood 0"} {
		c := start(t)
		c.send("shell", "execute_request", map[string]any{"code": code})
		for next(t, c.outputs).kind() != "execute_input" {
		}
		if m := c.ask("control", "shutdown_request", map[string]any{}); m.Content["status"] != "ok" {
			t.Errorf("%s: %v", code, m.Content)
		}
		select {
		case <-c.ended:
			c.ended <- nil
		case <-time.After(patience):
			t.Errorf("%s: still running", code)
		}
	}
}

func TestUnknownRequestsAreDeclined(t *testing.T) {
	c := start(t)
	if m := c.ask("shell", "frobnicate_request", map[string]any{}); m.Content["status"] != "error" || m.kind() != "frobnicate_reply" {
		t.Errorf("%v", m)
	}
	for _, kind := range []string{"create_subshell_request", "delete_subshell_request", "list_subshell_request"} {
		if m := c.ask("control", kind, map[string]any{}); m.Content["status"] != "error" {
			t.Errorf("%s: %v", kind, m.Content)
		}
	}
	m := c.ask("control", "debug_request", map[string]any{"type": "request", "command": "initialize", "seq": 7})
	if m.Content["success"] != false || m.Content["request_seq"] != 7.0 || m.Content["command"] != "initialize" {
		t.Errorf("debug_reply %v", m.Content)
	}
	c.send("shell", "noise", map[string]any{})
	c.alive()
}

func TestConnectReply(t *testing.T) {
	c := start(t)
	m, at := c.ask("shell", "connect_request", map[string]any{}), c.server.Connection()
	if m.Content["shell_port"] != float64(at.ShellPort) || m.Content["hb_port"] != float64(at.HBPort) || at.ShellPort == 0 {
		t.Errorf("%v, want the ports of %+v", m.Content, at)
	}
}

func TestCodePoints(t *testing.T) {
	c := start(t)
	// One emoji is one code point, two units in UTF-16 and four bytes.
	code := "🧵 prü"
	m := c.ask("shell", "complete_request", map[string]any{"code": code, "cursor_pos": 5})
	if !reflect.DeepEqual(m.Content["matches"], []any{"prüfung"}) || m.Content["cursor_start"] != 2.0 || m.Content["cursor_end"] != 5.0 {
		t.Errorf("%v", m.Content)
	}
	m = c.ask("shell", "complete_request", map[string]any{"code": code, "cursor_pos": 6})
	if m.Content["status"] != "error" || !strings.Contains(m.Content["evalue"].(string), "want 0 to 5") {
		t.Errorf("cursor after the end: %v", m.Content)
	}
}

func TestIsCompleteAndInspect(t *testing.T) {
	c := start(t)
	for code, want := range map[string]map[string]any{
		"print": {"status": "complete"}, "for {": {"status": "incomplete", "indent": "  "}, "}": {"status": "invalid"},
	} {
		if m := c.ask("shell", "is_complete_request", map[string]any{"code": code}); !reflect.DeepEqual(m.Content, want) {
			t.Errorf("%q: %v, want %v", code, m.Content, want)
		}
	}
	for code, want := range map[string]bool{"print": true, "nothing": false} {
		if m := c.ask("shell", "inspect_request", map[string]any{"code": code, "cursor_pos": 1, "detail_level": 0}); m.Content["found"] != want {
			t.Errorf("%q: %v", code, m.Content)
		}
	}
}

func TestHistory(t *testing.T) {
	c := start(t)
	for _, code := range []string{"one", "two", "one", "three"} {
		c.run(code)
	}
	tests := []struct {
		name    string
		request map[string]any
		want    []any
	}{
		{"tail", map[string]any{"hist_access_type": "tail", "n": 2}, []any{[]any{1.0, 3.0, "one"}, []any{1.0, 4.0, "three"}}},
		{"range", map[string]any{"hist_access_type": "range", "session": 0, "start": 2, "stop": 3}, []any{[]any{1.0, 2.0, "two"}}},
		{"range with values", map[string]any{"hist_access_type": "range", "start": 4, "output": true, "raw": false}, []any{
			[]any{1.0, 4.0, []any{"three", "three"}}}},
		{"range of none", map[string]any{"hist_access_type": "range", "session": -1, "start": 1, "stop": 9}, []any{}},
		{"search", map[string]any{"hist_access_type": "search", "pattern": "o*", "output": true}, []any{
			[]any{1.0, 1.0, []any{"one", "one"}}, []any{1.0, 3.0, []any{"one", "one"}}}},
		{"unique", map[string]any{"hist_access_type": "search", "pattern": "?n?", "unique": true}, []any{[]any{1.0, 3.0, "one"}}},
		{"last", map[string]any{"hist_access_type": "search", "pattern": "*", "n": 1, "stop": nil}, []any{[]any{1.0, 4.0, "three"}}},
		{"none", map[string]any{"hist_access_type": "search", "pattern": "zzz"}, []any{}},
	}
	for _, test := range tests {
		if m := c.ask("shell", "history_request", test.request); !reflect.DeepEqual(m.Content["history"], test.want) {
			t.Errorf("%s: %v, want %v", test.name, m.Content, test.want)
		}
	}
}

func TestAskedAndAnswered(t *testing.T) {
	c := start(t)
	id := c.send("shell", "execute_request", map[string]any{"code": "ask hem?", "allow_stdin": true})
	question := next(t, c.replies["stdin"])
	if question.kind() != "input_request" || question.Content["prompt"] != "hem?" || question.parent() != id {
		t.Fatalf("question %v", question)
	}
	c.answer(question.Header, "4 cm")
	outputs := c.outputsOf(id)
	if got := outputs[len(outputs)-2].Content["data"]; !reflect.DeepEqual(got, map[string]any{"text/plain": "4 cm"}) {
		t.Errorf("result %v", got)
	}
	id = c.send("shell", "execute_request", map[string]any{"code": "ask hem?", "allow_stdin": true})
	next(t, c.replies["stdin"])
	c.answer(map[string]any{"msg_id": "another question"}, "9 cm")
	c.answer(map[string]any{}, "5 cm") // as jupyter_client does
	outputs = c.outputsOf(id)
	if got := outputs[len(outputs)-2].Content["data"]; !reflect.DeepEqual(got, map[string]any{"text/plain": "5 cm"}) {
		t.Errorf("result %v", got)
	}
	if m := c.ask("shell", "execute_request", map[string]any{"code": "ask hem?", "allow_stdin": false}); m.Content["status"] != "error" {
		t.Errorf("without stdin: %v", m.Content)
	}
}

// answer sends a line of text as the answer to a question.
func (c *client) answer(question map[string]any, text string) {
	c.t.Helper()
	_, f := frames("input_reply", map[string]any{"value": text})
	f[3] = marshal(question)
	f[1] = []byte(signature(f[2:6]))
	c.sendFrames("stdin", f)
}

func TestCommMessagesAreCoalescedAndAllIdle(t *testing.T) {
	c := start(t)
	_, outputs := c.run("comm slider")
	if got := kinds(outputs); !slices.Equal(got, []string{"status", "execute_input", "comm_open", "status"}) {
		t.Fatalf("outputs %v", got)
	}
	m := c.ask("shell", "comm_info_request", map[string]any{"target_name": "echo"})
	if want := map[string]any{"slider": map[string]any{"target_name": "echo"}}; !reflect.DeepEqual(m.Content["comms"], want) {
		t.Errorf("comms %v, want %v", m.Content["comms"], want)
	}
	const moves = 50
	sent := map[string]bool{}
	last := ""
	for i := range moves {
		last = c.send("shell", "comm_msg", map[string]any{"comm_id": "slider", "data": map[string]any{"value": i + 1}})
		sent[last] = true
	}
	idle, drawn := 0, message{}
	for idle < moves {
		m := next(t, c.outputs)
		if sent[m.parent()] {
			switch {
			case m.Content["execution_state"] == "idle":
				idle++
			case m.kind() == "update_display_data":
				drawn = m
			}
		}
	}
	if got := drawn.Content["data"]; !reflect.DeepEqual(got, map[string]any{"text/plain": "50"}) || drawn.parent() != last {
		t.Errorf("last picture %v for %v, want 50 for %v", got, drawn.parent(), last)
	}
}

func TestRestComesAfterTheLastMove(t *testing.T) {
	session := newFakeSession()
	front := session.Front()
	front.OnSettled(func() { front.Show(map[string]any{"text/plain": "quick"}, "view", true) })
	front.OnRest(func() { front.Show(map[string]any{"text/plain": "full"}, "view", true) })
	c := startSession(t, session)
	last := ""
	for range 3 {
		last = c.send("shell", "comm_msg", map[string]any{"comm_id": "x", "data": map[string]any{}})
	}
	for {
		m := next(t, c.outputs)
		if m.kind() != "update_display_data" {
			continue
		}
		if reflect.DeepEqual(m.Content["data"], map[string]any{"text/plain": "full"}) {
			if m.parent() != last {
				t.Errorf("the full picture belongs to %s, want the last move %s", m.parent(), last)
			}
			break
		}
	}
	c.ask("shell", "kernel_info_request", map[string]any{})
	for len(c.outputs) > 0 {
		if m := next(t, c.outputs); m.kind() != "status" {
			t.Errorf("after that comes %v", m)
		}
	}
}

func TestPicturesGoOutBeforeBusy(t *testing.T) {
	session := newFakeSession()
	front := session.Front()
	front.OnSettled(func() { front.Show(map[string]any{"text/plain": "picture"}, "view", true) })
	c := startSession(t, session)
	// A machine under load may take longer than it takes to say busy.
	for range 100 {
		got := kinds(c.outputsOf(c.send("shell", "comm_msg", map[string]any{"comm_id": "x", "data": map[string]any{}})))
		if slices.Equal(got, []string{"update_display_data", "status", "status"}) {
			return
		}
		if !slices.Equal(got, []string{"status", "update_display_data", "status"}) {
			t.Fatalf("outputs %v", got)
		}
	}
	t.Error("the picture never comes before busy")
}

func (o *socketOutput) saidBusy() bool {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.busy
}

func TestSlowPicturesComeAfterBusy(t *testing.T) {
	session := newFakeSession()
	front := session.Front()
	c := startSession(t, session)
	front.OnSettled(func() {
		for out := front.output().(*socketOutput); !out.saidBusy(); time.Sleep(time.Millisecond) {
		}
		front.Show(map[string]any{"text/plain": "picture"}, "view", true)
	})
	got := kinds(c.outputsOf(c.send("shell", "comm_msg", map[string]any{"comm_id": "x", "data": map[string]any{}})))
	if !slices.Equal(got, []string{"status", "update_display_data", "status"}) {
		t.Errorf("outputs %v", got)
	}
}

func TestCommOfUnknownTargetIsClosed(t *testing.T) {
	c := start(t)
	id := c.send("shell", "comm_open", map[string]any{"comm_id": "x", "target_name": "nobody", "data": map[string]any{}})
	if got := kinds(c.outputsOf(id)); !slices.Equal(got, []string{"status", "comm_close", "status"}) {
		t.Errorf("outputs %v", got)
	}
}

func TestServerEndsWithItsParent(t *testing.T) {
	gone := watchParent(1<<30, nil) // no such process
	select {
	case <-gone:
	case <-time.After(patience):
		t.Error("a parent that does not exist is not missed")
	}
}

func TestConnectionIsForThisMachineOnly(t *testing.T) {
	for _, ip := range []string{"0.0.0.0", "192.168.1.7", "", "localhost", "::"} {
		c := loopback
		c.IP = ip
		if _, err := wire.Listen(c, nil); err == nil || !strings.Contains(err.Error(), "want 127.0.0.1") {
			t.Errorf("ip %q: %v", ip, err)
		}
	}
	c := start(t)
	for _, port := range []int{c.server.Connection().ShellPort, c.server.Connection().IOPubPort} {
		if l, err := net.Listen("tcp", fmt.Sprintf("127.0.0.1:%d", port)); err == nil {
			l.Close()
			t.Errorf("port %d is not in use on 127.0.0.1", port)
		}
	}
}
