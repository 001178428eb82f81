package gocell

import (
	"cmp"
	"fmt"
	"go/token"
	"go/types"
	"reflect"
	"regexp"
	"runtime/debug"
	"slices"
	"strings"
	"unicode/utf8"
)

// Kind says what stopped a cell.
type Kind string

// The kinds of errors.
const (
	Syntax      Kind = "syntax error" // the cell is not Go
	Type        Kind = "type error"   // names or types don't fit
	Refused     Kind = "refused"      // Go, but not for a cell: see Refusals
	Failed      Kind = "error"        // a call returned an error that the code did not take
	Panicked    Kind = "panic"        // the code panicked
	Interrupted Kind = "interrupted"  // the context ended
	Exhausted   Kind = "limit"        // too deep a recursion, or too much memory
	Internal    Kind = "internal"     // a fault of the evaluator; the cell did not run
)

// An Error says why a cell stopped.
type Error struct {
	Kind      Kind
	Message   string     // in plain words, without a position
	Positions []Position // where, the outermost call first; for faults found before running, one for each

	notes []string
	cause error
	stack []byte
}

// A Position is a place in a cell.
type Position struct {
	Cell         int
	Line, Column int    // from 1; columns in characters
	EndColumn    int    // behind the last character that is meant, on the same line
	Source       string // the whole line
	In           string // the function, empty at the top of the cell
	Message      string // what is wrong here, when each position has its own fault
}

func newError(kind Kind) *Error { return &Error{Kind: kind} }

func (e *Error) Error() string { return e.Message }

// Unwrap returns the error that a call returned, the value of a panic if that
// is an error, or the error of the context.
func (e *Error) Unwrap() error { return e.cause }

// Traceback tells the whole story in lines: each place with the code and a
// marker under it, then the message.
func (e *Error) Traceback() []string {
	var out []string
	own := false
	for i, p := range e.Positions {
		if i > 0 && p.Message != "" {
			out = append(out, "")
		}
		out = append(out, p.lines()...)
		own = own || p.Message != ""
	}
	if !own {
		out = append(out, strings.Split(e.Message, "\n")...)
	}
	return append(out, e.notes...)
}

func (p Position) lines() []string {
	head := fmt.Sprintf("%s, line %d", cellName(p.Cell), p.Line)
	if p.In != "" {
		head += ", in " + p.In
	}
	out := []string{head + ":", "    " + p.Source, "    " + p.marker()}
	if p.Message != "" {
		out = append(out, strings.Split(p.Message, "\n")...)
	}
	return out
}

// marker underlines what is meant; tabs stay tabs so that it stands below.
func (p Position) marker() string {
	var b strings.Builder
	column := 1
	for _, r := range p.Source {
		if column >= p.Column {
			break
		}
		column++
		if r != '\t' {
			r = ' '
		}
		b.WriteRune(r)
	}
	return b.String() + strings.Repeat("^", max(1, p.EndColumn-p.Column))
}

// A problem is one fault found before a cell runs.
type problem struct {
	Position
	pos token.Pos
}

// add puts a fault into the error; the message lists all of them.
func (e *Error) add(p problem) {
	for _, q := range e.Positions {
		if q == p.Position {
			return
		}
	}
	e.Positions = append(e.Positions, p.Position)
	if len(e.Positions) == 1 {
		e.Message = p.Message
		return
	}
	var lines []string
	for _, q := range e.Positions {
		first, _, _ := strings.Cut(q.Message, "\n")
		lines = append(lines, fmt.Sprintf("line %d: %s", q.Line, first))
	}
	e.Message = strings.Join(lines, "\n")
}

// caught turns a panic of the checker or the builder into an error, so that a
// fault of theirs costs a cell and not the session.
func caught(err *error) {
	if v := recover(); v != nil {
		*err = &Error{Kind: Internal, Message: fmt.Sprintf("the evaluator failed on this cell: %v", v), stack: debug.Stack()}
	}
}

// Stack is where the evaluator failed, for a report of its fault.
func (e *Error) Stack() []byte { return e.stack }

func syntaxError(c *cell, line, column int, message string) *Error {
	source := lineOf(c.source, line)
	p := Position{Cell: c.number, Line: line, Source: source, Message: message}
	p.Column = characters(source, column)
	p.EndColumn = p.Column + 1
	return &Error{Kind: Syntax, Message: message, Positions: []Position{p}}
}

// characters turns a column in bytes into one in characters.
func characters(line string, column int) int {
	return utf8.RuneCountInString(line[:min(max(column-1, 0), len(line))]) + 1
}

// place locates a stretch of a cell.
func (c *cell) place(start, end token.Pos) Position {
	p := Position{Cell: c.number, Line: 1, Column: 1, EndColumn: 2}
	for _, f := range c.files {
		if int(start) < f.Base() || int(start) > f.Base()+f.Size() {
			continue
		}
		at := f.Position(start)
		p.Line = at.Line
		p.Source = lineOf(c.source, at.Line)
		p.Column = characters(p.Source, at.Column)
		p.EndColumn = p.Column + 1
		if end.IsValid() && int(end) <= f.Base()+f.Size() {
			if to := f.Position(end); to.Line == at.Line {
				p.EndColumn = max(p.EndColumn, characters(p.Source, to.Column))
			} else if to.Line > at.Line {
				p.EndColumn = utf8.RuneCountInString(p.Source) + 1
			}
		}
	}
	if p.Source == "" {
		p.Source = lineOf(c.source, p.Line)
	}
	return p
}

// compare orders two places of a cell, which may be in different files of it.
func (c *cell) compare(a, b token.Pos) int {
	p, q := c.place(a, token.NoPos), c.place(b, token.NoPos)
	return cmp.Or(cmp.Compare(p.Line, q.Line), cmp.Compare(p.Column, q.Column))
}

func (c *cell) problem(start, end token.Pos, message string) problem {
	p := problem{Position: c.place(start, end), pos: start}
	p.Message = message
	return p
}

// holds says whether a position is in the cell.
func (c *cell) holds(pos token.Pos) bool {
	return slices.ContainsFunc(c.files, func(f *token.File) bool {
		return int(pos) >= f.Base() && int(pos) <= f.Base()+f.Size()
	})
}

// Codes of go/types, which it keeps in unexported fields; a test holds them
// against what the checker reports.
const (
	codeUnusedImport    = 8
	codeInvalidInit     = 9
	codeDuplicate       = 10
	codeUnknownField    = 66
	codeNotInPackage    = 73
	codeUnexported      = 74
	codeUndeclared      = 75
	codeNoFieldOrMethod = 76
	codeUnusedExpr      = 100
	codeUnusedVar       = 101
)

// faultOf reads an error of the type checker.
func faultOf(err types.Error) (code int, start, end token.Pos) {
	v := reflect.ValueOf(err)
	code = int(v.FieldByName("go116code").Int())
	start = token.Pos(v.FieldByName("go116start").Int())
	end = token.Pos(v.FieldByName("go116end").Int())
	if !start.IsValid() {
		start, end = err.Pos, err.Pos
	}
	return code, start, end
}

var internalName = regexp.MustCompile(`( in (argument|call) to )?(show|must)·[·0-9]*|(stop|type|dot|cell)·[0-9]*\.?`)

// plain takes names of our own out of a message.
func plain(message string) string { return internalName.ReplaceAllString(message, "") }
