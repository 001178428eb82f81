package kernel

import (
	"context"
	"strings"
)

// A Bundle is one value in several forms: MIME type to text, or to a JSON
// value for JSON types. Binary forms such as image/png are base64 text.
type Bundle map[string]any

// A Display is something to show in a cell's output. ID, when not empty, names
// it so that a later Display with the same ID and Update set takes its place.
type Display struct {
	Data, Metadata Bundle
	ID             string
	Update         bool
}

// An Output takes what a cell gives while it runs, in order. Its methods may
// be called from several goroutines.
type Output interface {
	// Stream takes printed text; name is "stdout" or "stderr".
	Stream(name, text string)
	Display(Display)
	// Result takes the value of the cell's last expression.
	Result(count int, d Display)
	// ClearOutput empties the output, at once or when the next output comes.
	ClearOutput(wait bool)
}

// An Evaluator evaluates cells of one language. A session calls it from one
// goroutine at a time.
type Evaluator interface {
	Language() Language
	// Eval runs a cell and returns the values of its last expression, none
	// when it has none. It returns soon after ctx is done. The error may be,
	// or wrap, a *CellError. The context given is not cancelled when Eval has
	// returned, so a function of the cell can be called back later.
	Eval(ctx context.Context, code string, count int, out Output) ([]any, error)
	// Complete and Inspect count cursor in Unicode code points of code.
	Complete(code string, cursor int) Completion
	// Inspect describes what the cursor is on; detail is 0 or 1.
	Inspect(code string, cursor, detail int) (Bundle, bool)
	// IsComplete says "complete", "incomplete", "invalid" or "unknown", and
	// for "incomplete" how to indent the next line.
	IsComplete(code string) (status, indent string)
}

// A Caller is an Evaluator that can run Go code which calls back into cells:
// a drawing that is made again when a slider moves. It returns soon after ctx
// is done, and what the callbacks print goes to out. An Evaluator that is no
// Caller has f called directly.
type Caller interface {
	Call(ctx context.Context, out Output, f func()) error
}

// A Language says what an Evaluator evaluates, as front ends want to know it.
type Language struct {
	Name           string // "go"
	Version        string // "1.26"
	MIMEType       string // "text/x-go"
	FileExtension  string // ".go", with its dot
	PygmentsLexer  string // when it differs from Name
	CodeMirrorMode string // when it differs from Name

	Implementation        string // the kernel's name
	ImplementationVersion string
	Banner                string // first lines of a console
	HelpLinks             []HelpLink
}

// A HelpLink is an entry of a front end's help menu.
type HelpLink struct {
	Text string `json:"text"`
	URL  string `json:"url"`
}

// A Completion replaces the code points from Start to End of the code by one
// of Matches. Types, when given, says of each match what it is ("function").
type Completion struct {
	Matches    []string
	Types      []string
	Start, End int
}

// plainError is the kind of an error of which no more can be said than its
// message.
const plainError = "error"

// A CellError is a failed cell: a kind ("compile error"), a message, and lines
// that say where.
type CellError struct {
	Name, Value string
	Traceback   []string
}

func (e *CellError) Error() string {
	if e.Name == "" || e.Name == plainError || strings.HasPrefix(e.Value, e.Name) {
		return e.Value
	}
	return strings.TrimSuffix(e.Name+": "+e.Value, ": ")
}

// A Request is a cell to run.
type Request struct {
	Code         string
	Silent       bool // show nothing and leave count and history alone
	StoreHistory bool
	AllowStdin   bool // the front end can be asked for input
	// CellID is the front end's name for the cell, where it gives one.
	CellID string
	// UserExpressions are evaluated after the cell, by name.
	UserExpressions map[string]string
}

// A Reply says how a cell went.
type Reply struct {
	Count           int        // execution count of the cell
	Error           *CellError // nil when it went well
	UserExpressions map[string]Expression
}

// An Expression is the outcome of one user expression: a value or an error.
type Expression struct {
	Data, Metadata Bundle
	Error          *CellError
}
