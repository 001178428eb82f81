package kernel

import (
	"context"
	"testing"
)

func TestPayloads(t *testing.T) {
	c := start(t)
	reply, outputs := c.run("page the long table\nprint beside it\nleave")
	payloads := reply.Content["payload"].([]any)
	if len(payloads) != 2 {
		t.Fatalf("payloads %v", payloads)
	}
	page, leave := payloads[0].(map[string]any), payloads[1].(map[string]any)
	if page["source"] != "page" || page["data"].(map[string]any)["text/plain"] != "the long table" || page["start"] != 0.0 {
		t.Errorf("the page is %v", page)
	}
	if leave["source"] != "ask_exit" || leave["keepkernel"] != false {
		t.Errorf("leaving is %v", leave)
	}
	for _, m := range outputs {
		if m.kind() == "display_data" {
			t.Errorf("the page is shown in the cell too: %v", m.Content)
		}
	}
	if reply, _ := c.run("print no page"); len(reply.Content["payload"].([]any)) != 0 {
		t.Errorf("payloads of another cell: %v", reply.Content["payload"])
	}
	if reply, _ := c.run("page a table\nfail"); len(reply.Content["payload"].([]any)) != 0 {
		t.Errorf("payloads of a failed cell: %v", reply.Content["payload"])
	}
}

// Where there is no pane, the page is shown in the cell, and nobody leaves.
func TestPageWithoutFrontEnd(t *testing.T) {
	s, out := newFakeSession(), &shownOnly{}
	if r := s.Execute(context.Background(), Request{Code: "page the table\nleave"}, out); r.Error != nil {
		t.Fatal(r.Error)
	}
	if len(out.shown) != 2 || out.shown[0].Data["text/plain"] != "the table" || out.shown[1].Data["text/plain"] != "false" {
		t.Errorf("shown %v", out.shown)
	}
}

// shownOnly is an Output that keeps what is shown.
type shownOnly struct {
	muted
	shown []Display
}

func (o *shownOnly) Display(d Display)       { o.shown = append(o.shown, d) }
func (o *shownOnly) Result(_ int, d Display) { o.shown = append(o.shown, d) }

func TestFrontClears(t *testing.T) {
	c := start(t)
	for code, wait := range map[string]bool{"empty wait": true, "empty": false} {
		_, outputs := c.run("print cutting\n" + code + "\nprint sewing")
		seen := ""
		for _, m := range outputs {
			switch m.kind() {
			case "stream":
				seen += m.Content["text"].(string)
			case "clear_output":
				if seen += "cleared\n"; m.Content["wait"] != wait {
					t.Errorf("%s: wait is %v", code, m.Content["wait"])
				}
			}
		}
		if seen != "cutting\ncleared\nsewing\n" {
			t.Errorf("%s: seen %q", code, seen)
		}
	}
}
