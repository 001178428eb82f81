package kernel

import (
	"fmt"
	"unicode/utf8"
)

func (s *Server) isComplete(r *request) (any, error) {
	code := r.Content.String("code")
	if err := r.bad(); err != nil {
		return nil, err
	}
	var status, indent string
	if err := r.untilInterrupted(func() { status, indent = s.session.eval.IsComplete(code) }); err != nil {
		return nil, err
	}
	if status == "incomplete" {
		return map[string]any{"status": status, "indent": indent}, nil
	}
	return map[string]any{"status": status}, nil
}

// codeAndCursor reads a request about a place in code. The cursor is counted
// in Unicode code points since version 5.2 of the protocol; without one it is
// the end of the code.
func (r *request) codeAndCursor() (code string, cursor int, err error) {
	code = r.Content.String("code")
	length := utf8.RuneCountInString(code)
	cursor = r.Content.IntOr("cursor_pos", length)
	if err := r.bad(); err != nil {
		return "", 0, err
	}
	if cursor < 0 || cursor > length {
		return "", 0, fmt.Errorf("%s: cursor_pos is %d, want 0 to %d", r.Header.Type, cursor, length)
	}
	return code, cursor, nil
}

// untilInterrupted waits for f no longer than until an interrupt: code can be
// written that is looked at for ever. f may set variables that are read only
// when the error is nil.
func (r *request) untilInterrupted(f func()) error {
	done := make(chan error, 1)
	go func() {
		done <- guard(r.Header.Type, func() error { f(); return nil })
	}()
	select {
	case err := <-done:
		return err
	case <-r.ctx.Done():
		return r.ctx.Err()
	}
}

func (s *Server) complete(r *request) (any, error) {
	code, cursor, err := r.codeAndCursor()
	if err != nil {
		return nil, err
	}
	var c Completion
	if err := r.untilInterrupted(func() { c = s.session.eval.Complete(code, cursor) }); err != nil {
		return nil, err
	}
	if c.Matches == nil {
		c.Matches, c.Start, c.End = []string{}, cursor, cursor
	}
	metadata := map[string]any{}
	if len(c.Types) == len(c.Matches) {
		types := make([]map[string]any, len(c.Types))
		for i, t := range c.Types {
			types[i] = map[string]any{"text": c.Matches[i], "type": t, "start": c.Start, "end": c.End}
		}
		metadata["_jupyter_types_experimental"] = types
	}
	return map[string]any{
		"status": "ok", "matches": c.Matches, "cursor_start": c.Start, "cursor_end": c.End, "metadata": metadata,
	}, nil
}

func (s *Server) inspect(r *request) (any, error) {
	code, cursor, err := r.codeAndCursor()
	if err != nil {
		return nil, err
	}
	detail := r.Content.IntOr("detail_level", 0)
	if err := r.bad(); err != nil {
		return nil, err
	}
	var data Bundle
	var found bool
	if err := r.untilInterrupted(func() { data, found = s.session.eval.Inspect(code, cursor, detail) }); err != nil {
		return nil, err
	}
	return map[string]any{"status": "ok", "found": found, "data": orEmpty(data), "metadata": map[string]any{}}, nil
}

// maxHistory limits what one reply holds.
const maxHistory = 100_000

func (s *Server) history(r *request) (any, error) {
	access, withOutput := r.Content.String("hist_access_type"), r.Content.BoolOr("output", false)
	r.Content.BoolOr("raw", true) // cells are kept as they were written, either way
	session, start, stop := r.Content.IntOr("session", 0), r.Content.IntOr("start", 0), r.Content.IntOr("stop", 0)
	n, pattern, unique := r.Content.IntOr("n", 0), r.Content.StringOr("pattern", "*"), r.Content.BoolOr("unique", false)
	if err := r.bad(); err != nil {
		return nil, err
	}
	var found []Entry
	switch access {
	case "range":
		found = s.session.history.Range(session, start, stop)
	case "tail":
		found = s.session.history.Tail(n)
	case "search":
		found = s.session.history.Search(pattern, n, unique)
	default:
		return nil, fmt.Errorf("history_request: hist_access_type is %q, want \"range\", \"tail\" or \"search\"", access)
	}
	return map[string]any{"status": "ok", "history": historyRows(lastEntries(found, maxHistory), withOutput)}, nil
}

// historyRows writes entries as the protocol has them: [session, line, input]
// or [session, line, [input, output]].
func historyRows(entries []Entry, withOutput bool) [][3]any {
	rows := make([][3]any, len(entries))
	for i, e := range entries {
		rows[i] = [3]any{e.Session, e.Line, e.Input}
		if withOutput {
			var output any
			if e.Output != "" {
				output = e.Output
			}
			rows[i][2] = [2]any{e.Input, output}
		}
	}
	return rows
}
