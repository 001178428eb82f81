package controls

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"strconv"
	"strings"
	"sync"
)

// A printer is the Frontend of a plain Go program: what is shown is printed,
// and nothing moves.
type printer struct {
	mu  sync.Mutex
	out io.Writer // nil for the process's own
	in  *bufio.Reader
	ids int
}

func (*printer) Live() bool                { return false }
func (*printer) Cell() (string, int, bool) { return "", 0, true }
func (*printer) Bundle(v any) map[string]any {
	return map[string]any{"text/plain": fmt.Sprint(v)}
}

func (p *printer) Quick(v any) map[string]any { return p.Bundle(v) }

// Show prints the text. What is shown again is printed again; a bar of
// progress comes through line instead.
func (p *printer) Show(data map[string]any, _ string, _ bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	fmt.Fprintln(p.writer(), data["text/plain"])
}

// line writes over the line that was written before, until the last.
func (p *printer) line(text string, last bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	fmt.Fprintf(p.writer(), "\r%-60s", text)
	if last {
		fmt.Fprintln(p.writer())
	}
}

func (p *printer) writer() io.Writer {
	if p.out == nil {
		return os.Stdout
	}
	return p.out
}

// Page prints too: a plain program has one place only.
func (p *printer) Page(data map[string]any) { p.Show(data, "", false) }

// Clear does nothing: what is printed stays.
func (*printer) Clear(bool) {}

func (*printer) Client() string { return "" }

func (*printer) Keep(string) (func(map[string]any), func() bool) {
	return func(map[string]any) {}, func() bool { return false }
}

func (p *printer) Call(f func()) error { f(); return nil }

func (p *printer) NewID() string {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.ids++
	return strconv.Itoa(p.ids)
}

func (*printer) OpenComm(string, string, map[string]any, map[string]any, func(map[string]any)) {}
func (*printer) SendComm(string, map[string]any)                                               {}
func (*printer) CloseComm(string)                                                              {}
func (*printer) HandleTarget(string, func(string, map[string]any) func(map[string]any))        {}
func (*printer) OnCommsAsked(func(string))                                                     {}
func (*printer) OnClosed(func(string))                                                         {}
func (*printer) OnSettled(func())                                                              {}
func (*printer) OnRest(func())                                                                 {}

// Ask asks on the terminal.
func (p *printer) Ask(prompt string, _ bool) (string, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.in == nil {
		p.in = bufio.NewReader(os.Stdin)
	}
	fmt.Fprint(p.writer(), prompt+" ")
	line, err := p.in.ReadString('\n')
	return strings.TrimRight(line, "\r\n"), err
}
