package kernel

import (
	"context"
	"errors"
	"strings"
	"sync"
	"time"
	"unicode/utf8"

	"patternkit/kernel/wire"
)

// Printed text is collected for a moment and sent in few messages: a hundred
// thousand lines must not be a hundred thousand messages.
const (
	streamTime = 50 * time.Millisecond
	streamSize = 512 << 10
)

// A socketOutput sends the outputs that one request causes to the front ends.
// It keeps working after its request was answered, for what a cell left
// running.
type socketOutput struct {
	sockets *wire.Sockets
	parent  *wire.Message
	ctx     context.Context // done when the request is interrupted
	asks    *asks           // nil when the client takes no questions
	// early lets pictures that are drawn again go out ahead of busy: browsers
	// then get picture and idle in one go. Everything else comes after busy.
	early bool

	mu sync.Mutex
	// payloads of the reply; nil when no reply will hold them.
	payloads []any
	busy     bool
	idle     bool
	name     string // of the collected text
	text     strings.Builder
	timer    *time.Timer
}

func (o *socketOutput) Stream(name, text string) {
	if text == "" {
		return
	}
	if o.collect(name, text) {
		// Not under the lock: this waits for slow front ends.
		o.sockets.WaitRoom()
		o.flush()
	}
}

// collect adds text to what is to be sent and reports whether that is much.
func (o *socketOutput) collect(name, text string) bool {
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.name != name {
		o.flushLocked(true)
		o.name = name
	}
	o.text.WriteString(text)
	if o.timer == nil {
		o.timer = time.AfterFunc(streamTime, o.flush)
	}
	return o.text.Len() >= streamSize
}

// flush sends the collected text. Bytes of a character that is not complete
// wait for the rest of it.
func (o *socketOutput) flush() {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.flushLocked(false)
}

func (o *socketOutput) flushLocked(all bool) {
	if o.timer != nil {
		o.timer.Stop()
		o.timer = nil
	}
	text, rest := o.text.String(), ""
	if !all {
		text, rest = splitIncomplete(text)
	}
	o.text.Reset()
	o.text.WriteString(rest)
	if text != "" {
		o.publishLocked("stream", map[string]any{"name": o.name, "text": strings.ToValidUTF8(text, "\uFFFD")})
	}
}

// splitIncomplete parts text before a last character whose end is missing.
func splitIncomplete(text string) (whole, rest string) {
	for n := 1; n < utf8.UTFMax && n <= len(text); n++ {
		if c := text[len(text)-n]; utf8.RuneStart(c) {
			if c >= utf8.RuneSelf && !utf8.FullRuneInString(text[len(text)-n:]) {
				return text[:len(text)-n], text[len(text)-n:]
			}
			break
		}
	}
	return text, ""
}

func (o *socketOutput) Display(d Display) {
	content := map[string]any{"data": orEmpty(d.Data), "metadata": orEmpty(d.Metadata), "transient": transient(d)}
	o.mu.Lock()
	defer o.mu.Unlock()
	kind := "display_data"
	if d.Update {
		kind = "update_display_data"
		if o.early && o.text.Len() == 0 {
			o.send(kind, content)
			return
		}
	}
	o.flushLocked(true)
	o.publishLocked(kind, content)
}

func (o *socketOutput) Result(count int, d Display) {
	o.after("execute_result", map[string]any{
		"execution_count": count, "data": orEmpty(d.Data), "metadata": orEmpty(d.Metadata), "transient": transient(d),
	})
}

func (o *socketOutput) ClearOutput(wait bool) {
	o.after("clear_output", map[string]any{"wait": wait})
}

func transient(d Display) map[string]any {
	if d.ID == "" {
		return map[string]any{}
	}
	return map[string]any{"display_id": d.ID}
}

func orEmpty(b Bundle) Bundle {
	if b == nil {
		return Bundle{}
	}
	return b
}

func (o *socketOutput) OpenComm(id, target string, data, metadata map[string]any) {
	o.flush()
	o.mu.Lock()
	defer o.mu.Unlock()
	o.begin()
	content := map[string]any{"comm_id": id, "target_name": target, "data": data}
	if err := o.sockets.Publish(o.parent, "comm_open", content, metadata); err != nil {
		o.complain(err)
	}
}

func (o *socketOutput) SendComm(id string, data map[string]any) {
	o.after("comm_msg", map[string]any{"comm_id": id, "data": data})
}

func (o *socketOutput) CloseComm(id string, data map[string]any) {
	o.after("comm_close", map[string]any{"comm_id": id, "data": data})
}

func (o *socketOutput) Ask(prompt string, password bool) (string, error) {
	if o.asks == nil {
		return "", errors.New("the front end takes no questions while this cell runs")
	}
	o.flush()
	return o.asks.ask(o.ctx, o.sockets, o.parent, prompt, password)
}

// after publishes a message behind the text that was printed before.
func (o *socketOutput) after(kind string, content map[string]any) {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.flushLocked(true)
	o.publishLocked(kind, content)
}

func (o *socketOutput) publishLocked(kind string, content map[string]any) {
	o.begin()
	o.send(kind, content)
}

func (o *socketOutput) send(kind string, content map[string]any) {
	if err := o.sockets.Publish(o.parent, kind, content, nil); err != nil {
		o.complain(err)
	}
}

// complain shows that an output could not be written: JSON knows no NaN.
func (o *socketOutput) complain(err error) {
	o.begin()
	o.sockets.Publish(o.parent, "stream", map[string]any{"name": "stderr", "text": "an output can't be sent: " + err.Error() + "\n"}, nil)
}

// begin tells the front ends once that the kernel works on the request.
func (o *socketOutput) begin() {
	if !o.busy {
		o.busy = true
		o.status("busy")
	}
}

// start is begin for a caller without the lock.
func (o *socketOutput) start() {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.begin()
}

// end sends what is collected and tells the front ends that the request is
// done.
func (o *socketOutput) end() {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.flushLocked(true)
	if !o.idle {
		o.begin()
		o.idle = true
		o.status("idle")
	}
}

func (o *socketOutput) status(state string) {
	o.send("status", map[string]any{"execution_state": state})
}
