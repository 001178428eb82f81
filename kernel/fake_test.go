package kernel

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"strconv"
	"strings"
	"testing"

	"patternkit/kernel/wire"
)

// A fakeEvaluator runs cells of one command a line; see commands.
type fakeEvaluator struct {
	front *Front // set after the session was made
	// endless is what code to look at holds on at until it is closed, when it
	// is the word "endless".
	endless chan struct{}
}

func (e *fakeEvaluator) look(code string) {
	if code == "endless" {
		<-e.endless
	}
}

// fakeCommands do the lines of a cell. A line that is none of them is a value.
var fakeCommands = map[string]func(e *fakeEvaluator, ctx context.Context, rest string, out Output) ([]any, error){
	"print": func(_ *fakeEvaluator, _ context.Context, rest string, out Output) ([]any, error) {
		out.Stream("stdout", rest+"\n")
		return nil, nil
	},
	"warn": func(_ *fakeEvaluator, _ context.Context, rest string, out Output) ([]any, error) {
		out.Stream("stderr", rest+"\n")
		return nil, nil
	},
	"flood": func(_ *fakeEvaluator, ctx context.Context, rest string, out Output) ([]any, error) {
		n, _ := strconv.Atoi(rest)
		for i := 0; (n == 0 || i < n) && ctx.Err() == nil; i++ {
			out.Stream("stdout", fmt.Sprintf("line %d\n", i))
		}
		return nil, ctx.Err()
	},
	"show": func(_ *fakeEvaluator, _ context.Context, rest string, out Output) ([]any, error) {
		out.Display(Display{Data: Bundle{"text/plain": rest, "text/html": "<b>" + rest + "</b>"}, ID: "shown"})
		return nil, nil
	},
	"again": func(_ *fakeEvaluator, _ context.Context, rest string, out Output) ([]any, error) {
		out.Display(Display{Data: Bundle{"text/plain": rest}, ID: "shown", Update: true})
		return nil, nil
	},
	"clear": func(_ *fakeEvaluator, _ context.Context, rest string, out Output) ([]any, error) {
		out.ClearOutput(rest == "wait")
		return nil, nil
	},
	"fail": func(_ *fakeEvaluator, _ context.Context, rest string, _ Output) ([]any, error) {
		return nil, &CellError{Name: "made up", Value: rest, Traceback: []string{"cell 1:1", rest}}
	},
	"plainfail": func(_ *fakeEvaluator, _ context.Context, rest string, _ Output) ([]any, error) {
		return nil, errors.New(rest)
	},
	"panic": func(_ *fakeEvaluator, _ context.Context, rest string, _ Output) ([]any, error) { panic(rest) },
	"nan": func(_ *fakeEvaluator, _ context.Context, _ string, out Output) ([]any, error) {
		out.Display(Display{Data: Bundle{"application/json": func() {}}})
		return nil, nil
	},
	"sleep": func(_ *fakeEvaluator, ctx context.Context, _ string, _ Output) ([]any, error) {
		<-ctx.Done()
		return nil, ctx.Err()
	},
	"hang": func(*fakeEvaluator, context.Context, string, Output) ([]any, error) { select {} },
	"ask": func(e *fakeEvaluator, _ context.Context, rest string, _ Output) ([]any, error) {
		answer, err := e.front.Ask(rest, false)
		return []any{answer}, err
	},
	"page": func(e *fakeEvaluator, _ context.Context, rest string, _ Output) ([]any, error) {
		e.front.Page(Bundle{"text/plain": rest})
		return nil, nil
	},
	"leave": func(e *fakeEvaluator, _ context.Context, _ string, _ Output) ([]any, error) {
		return []any{e.front.Leave()}, nil
	},
	"empty": func(e *fakeEvaluator, _ context.Context, rest string, _ Output) ([]any, error) {
		e.front.Clear(rest == "wait")
		return nil, nil
	},
	"comm": func(e *fakeEvaluator, _ context.Context, rest string, _ Output) ([]any, error) {
		var last any
		e.front.OpenComm(rest, "echo", map[string]any{}, nil, func(data map[string]any) { last = data["value"] })
		e.front.OnSettled(func() {
			if last != nil {
				e.front.Show(map[string]any{"text/plain": fmt.Sprint(last)}, rest, true)
				last = nil
			}
		})
		return nil, nil
	},
}

func (e *fakeEvaluator) Language() Language {
	return Language{Name: "fake", Version: "1", MIMEType: "text/x-fake", FileExtension: ".fake", Implementation: "fake", Banner: "a fake"}
}

func (e *fakeEvaluator) Eval(ctx context.Context, code string, _ int, out Output) (values []any, err error) {
	for line := range strings.Lines(code) {
		line = strings.TrimSpace(line)
		command, rest, _ := strings.Cut(line, " ")
		do := fakeCommands[command]
		switch {
		case line == "":
			values = nil
		case do == nil:
			values = []any{line}
		default:
			if values, err = do(e, ctx, rest, out); err != nil {
				return nil, err
			}
		}
	}
	return values, nil
}

func (e *fakeEvaluator) Complete(code string, cursor int) Completion {
	e.look(code)
	runes := []rune(code)
	start := cursor
	for start > 0 && runes[start-1] != ' ' {
		start--
	}
	c := Completion{Start: start, End: cursor}
	for _, name := range []string{"print", "präzise", "prüfung"} {
		if strings.HasPrefix(name, string(runes[start:cursor])) {
			c.Matches = append(c.Matches, name)
		}
	}
	return c
}

func (e *fakeEvaluator) Inspect(code string, _, _ int) (Bundle, bool) {
	e.look(code)
	if fakeCommands[code] == nil {
		return nil, false
	}
	return Bundle{"text/plain": code + " is a command"}, true
}

func (e *fakeEvaluator) IsComplete(code string) (status, indent string) {
	e.look(code)
	switch {
	case strings.HasSuffix(code, "{"):
		return "incomplete", "  "
	case strings.HasSuffix(code, "}"):
		return "invalid", ""
	}
	return "complete", ""
}

func newFakeSession() *Session {
	e := &fakeEvaluator{endless: make(chan struct{})}
	s := NewSession(e)
	e.front = s.Front()
	return s
}

// TestMain lets the test binary be a kernel itself, for tests with real
// clients: PATTERNKIT_FAKE_KERNEL=1 kernel.test CONNECTION-FILE.
func TestMain(m *testing.M) {
	if folder := os.Getenv("PATTERNKIT_FAKE_HISTORY"); folder != "" {
		os.Exit(addFakeHistory(folder))
	}
	if os.Getenv("PATTERNKIT_FAKE_KERNEL") == "" {
		os.Exit(m.Run())
	}
	if err := serveFake(os.Args[1]); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func serveFake(connectionFile string) error {
	c, err := wire.ReadConnection(connectionFile)
	if err != nil {
		return err
	}
	o := ServerOptions{Log: func(err error) { fmt.Fprintln(os.Stderr, err) }, ParentPID: ParentFromEnvironment()}
	server, err := NewServer(c, newFakeSession(), o)
	if err != nil {
		return err
	}
	if c.ShellPort == 0 { // whoever started this does not know the ports yet
		if err := json.NewEncoder(os.Stdout).Encode(server.Connection()); err != nil {
			return err
		}
	}
	return server.Serve(context.Background())
}
