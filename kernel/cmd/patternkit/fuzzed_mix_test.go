package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	random "math/rand/v2"
	"net"
	"slices"
	"strings"
	"time"
)

// fuzzedCells are cells of every kind: right, wrong, endless, greedy, asking.
var fuzzedCells = []string{
	"1 + 1", "x := 10", "x * 2", `x := "a"`, "x, y := 1, 2", "y / (x - x)", "for {\n}", "for {\n\tfmt.Println(1)\n}", `panic("on purpose")`,
	"var s []int\ns[3]", "func f(n int) int { return f(n + 1) }", "f(0)", "make([]byte, 1<<40)", `strings.Repeat("a", 1<<40)`, "time.Sleep(time.Hour)",
	"Body{Height: 168*CM, BustGirth: 92*CM, WaistGirth: 74*CM, HipGirth: 98*CM}.Estimated()",
	`ease := Slider("ease", 8*CM, 0*CM, 20*CM)` + "\nLive(func() any { return ease.Value() })",
	`size := Choice("size", "small", "large")` + "\nLive(func() any { return size.Value() })",
	`Ask("name")`, `Save("kept.txt", []byte("kept"))`, `Load("kept.txt")`, `Load("../../etc/passwd")`, `Show(1, "two", 3.0)`,
	`for i := range 20000 { fmt.Println("line", i) }`, "import \"strings\"\nstrings.Repeat(\"a\", 1000)", "import \"os\"", "map[string]int{\"a\": 1}",
	"type T struct{ A, B int }\nT{1, 2}", "T{}.C", "func (", "\x00", "größe := 3*CM\ngröße",
	"m := map[int]int{}\nfor i := range 100000 { m[i] = i }", "ch := make(chan int)\n<-ch", "defer fmt.Println(2)",
}

// content is a message that a client may send, with its fields.
func (f *fuzzer) content() (kind string, content map[string]any) {
	code := f.code()
	contents := map[string]map[string]any{
		"execute_request": {"code": code, "silent": false, "store_history": true, "user_expressions": map[string]any{"a": f.code()},
			"allow_stdin": true, "stop_on_error": random.IntN(2) == 0},
		"is_complete_request": {"code": code},
		"complete_request":    {"code": code, "cursor_pos": random.IntN(len(code) + 2)},
		"inspect_request":     {"code": code, "cursor_pos": random.IntN(len(code) + 2), "detail_level": random.IntN(2)},
		"history_request": {"hist_access_type": pick("tail", "range", "search", "none"), "output": true, "raw": true, "session": random.IntN(5) - 2,
			"start": random.IntN(9) - 4, "stop": random.IntN(9) - 4, "n": random.IntN(40), "pattern": pick("*", "[", "x*", "?", "\\"), "unique": true},
		"kernel_info_request": {}, "connect_request": {}, "interrupt_request": {},
		"comm_info_request": {"target_name": pick("", "jupyter.widget")},
		"comm_open":         {"comm_id": f.comm(), "target_name": pick("jupyter.widget", "jupyter.widget.version", "jupyter.widget.control", "none"), "data": f.widget()},
		"comm_msg":          {"comm_id": f.comm(), "data": f.widget()},
		"comm_close":        {"comm_id": f.comm(), "data": map[string]any{}},
		"debug_request":     {"seq": 1, "command": "initialize"},
		"input_reply":       {"value": code},
		"no_such_request":   {}, "no_such_message": {},
	}
	kinds := make([]string, 0, len(contents))
	for kind := range contents {
		kinds = append(kinds, kind)
	}
	if kind = pick(kinds...); random.IntN(4) == 0 {
		kind = pick("execute_request", "execute_request", "comm_msg")
	}
	return kind, contents[kind]
}

func pick[T any](from ...T) T { return from[random.IntN(len(from))] }

// code is a cell, now and then damaged or joined with another.
func (f *fuzzer) code() string {
	code := pick(fuzzedCells...)
	switch random.IntN(6) {
	case 0:
		code = string(damaged([]byte(code)))
	case 1:
		code += "\n" + pick(fuzzedCells...)
	case 2:
		code = strings.ToValidUTF8(code[:random.IntN(len(code)+1)], "")
	}
	return code
}

func (f *fuzzer) comm() string {
	f.mu.Lock()
	defer f.mu.Unlock()
	if len(f.comms) == 0 || random.IntN(4) == 0 {
		return pick("", "x", strings.Repeat("x", 2000))
	}
	return pick(f.comms...)
}

// widget is data of a message between widgets, right or wrong.
func (f *fuzzer) widget() map[string]any {
	state := map[string]any{"value": f.anything(2), "index": f.anything(2)}
	if random.IntN(2) == 0 {
		state = map[string]any{"value": 20 * random.Float64(), "index": random.IntN(3) - 1}
	}
	return map[string]any{
		"method": pick("update", "backbone", "request_state", "request_states", "custom", "echo_update"),
		"state":  state, "sync_data": state, "buffer_paths": f.anything(1), "version": "~2.1.4",
	}
}

// anything is a JSON value of at most that depth.
func (f *fuzzer) anything(depth int) any {
	switch n := random.IntN(10); {
	case n == 0:
		return nil
	case n == 1:
		return pick(0, -1, 1<<40, 3)
	case n == 2:
		return pick(1.5, -1e300, 1e-300)
	case n == 3:
		return random.IntN(2) == 0
	case n < 6 || depth == 0:
		return pick("", "text", "\u0000", strings.Repeat("[", 500), f.code())
	case n < 8:
		return []any{f.anything(depth - 1), f.anything(depth - 1)}
	}
	return map[string]any{"a": f.anything(depth - 1), "method": f.anything(depth - 1)}
}

// damaged changes, cuts or doubles bytes.
func damaged(b []byte) []byte {
	b = slices.Clone(b)
	for range 1 + random.IntN(4) {
		if len(b) == 0 {
			return b
		}
		at := random.IntN(len(b))
		switch random.IntN(4) {
		case 0:
			b[at] = byte(random.IntN(256))
		case 1:
			b = b[:at]
		case 2:
			b = slices.Delete(b, at, at+1)
		default:
			b = slices.Insert(b, at, b[at:min(len(b), at+8)]...)
		}
	}
	return b
}

// step sends one thing and lets others have the processor.
func (f *fuzzer) step() {
	defer time.Sleep(time.Duration(random.IntN(6)) * time.Millisecond)
	channel := pick("shell", "shell", "shell", "control", "stdin")
	kind, content := f.content()
	switch n := random.IntN(40); {
	case n < 14:
		f.sendContent(channel, kind, marshalled(content))
	case n < 22: // wrong types and missing fields
		for field := range content {
			switch random.IntN(3) {
			case 0:
				content[field] = f.anything(3)
			case 1:
				delete(content, field)
			}
		}
		f.sendContent(channel, kind, marshalled(content))
	case n < 26: // shutting down is not for anything that is no honest request
		f.sendContent(channel, "shutdown_request", marshalled(map[string]any{"restart": pick[any](1, "yes", []any{})}))
	case n < 28:
		f.sendContent(channel, kind, marshalled(f.anything(3)))
	case n < 31: // content that is hardly JSON any more
		f.sendContent(channel, kind, damaged(marshalled(content)))
	case n < 33: // a message in which anything is damaged after it was signed
		_, m := signed(kind, "", marshalled(content))
		at := random.IntN(len(m))
		m[at] = append(damaged(m[at]), '!')
		f.send(channel, m)
	case n < 35: // frames too few, too many, in another order, rightly signed
		f.send(channel, misshapen(kind, marshalled(content)))
	case n < 37:
		if len(f.past) > 0 {
			f.send(pick("shell", "control", "stdin"), pick(f.past...))
		}
	case n == 37:
		f.answer()
	case n == 38:
		f.stranger()
	case random.IntN(8) == 0:
		f.disconnect()
		f.connect()
	}
}

func marshalled(v any) []byte {
	b, err := json.Marshal(v)
	if err != nil {
		panic(err)
	}
	return b
}

func (f *fuzzer) sendContent(channel, kind string, content []byte) {
	_, m := signed(kind, "", content)
	f.send(channel, m)
}

func misshapen(kind string, content []byte) [][]byte {
	_, m := signed(kind, "", content)
	parts := m[2:]
	switch random.IntN(4) {
	case 0:
		parts = parts[:random.IntN(len(parts))]
	case 1:
		random.Shuffle(len(parts), func(i, j int) { parts[i], parts[j] = parts[j], parts[i] })
	case 2:
		parts = append(parts, []byte("a buffer"), bytes.Repeat([]byte("b"), 10_000))
	default:
		parts[random.IntN(len(parts))] = nil
	}
	return append([][]byte{[]byte("<IDS|MSG>"), seal(parts[:min(4, len(parts))])}, parts...)
}

// answer answers the last question, rightly or not.
func (f *fuzzer) answer() {
	f.mu.Lock()
	question := f.question
	f.mu.Unlock()
	_, m := signed("input_reply", question, marshalled(map[string]any{"value": pick[any]("Nell", 7, nil)}))
	f.send("stdin", m)
}

// stranger connects and says what is no ZMTP, or nothing.
func (f *fuzzer) stranger() {
	f.sent++
	c, err := net.Dial("tcp", fmt.Sprintf("127.0.0.1:%d", pick(f.at.ShellPort, f.at.ControlPort, f.at.StdinPort, f.at.IOPubPort, f.at.HBPort)))
	if err != nil {
		f.t.Fatalf("the kernel takes no connection: %v", err)
	}
	greeting := slices.Concat([]byte("\xff\x00\x00\x00\x00\x00\x00\x00\x01\x7f\x03\x00NULL"), make([]byte, 48))
	c.Write(pick(nil, []byte("GET / HTTP/1.1\r\n\r\n"), greeting, damaged(greeting), bytes.Repeat([]byte{0xff}, 200)))
	f.idle = append(f.idle, c)
	if len(f.idle) > 20 {
		f.hangUp()
	}
}
