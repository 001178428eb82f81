package controls

import "fmt"

// Markdown is text that a front end sets as Markdown. Written in a cell it
// keeps prose and its numbers together: see Say.
type Markdown string

// Markdown returns the text, by which a kernel shows it.
func (m Markdown) Markdown() string { return string(m) }

// String returns the text as it is written.
func (m Markdown) String() string { return string(m) }

// Say returns Markdown with values put into it, by the verbs of package fmt:
// Say("The armhole is **%v** long.", armhole.Length()).
func Say(format string, args ...any) Markdown { return Markdown(fmt.Sprintf(format, args...)) }
