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

// HTML is markup of one's own, which a front end shows as it is:
// HTML("<h3>Cut on the fold</h3>"). In a notebook that somebody else has run,
// front ends take out of it what could act, and the page that this program
// writes always does.
type HTML string

// HTML returns the markup, by which a kernel shows it.
func (h HTML) HTML() string { return string(h) }

// String returns the markup as it is written.
func (h HTML) String() string { return string(h) }

// Latex is a formula in LaTeX, with its dollar signs, which a front end sets:
// Latex(`$r = \frac{w}{2\pi}$`).
type Latex string

// Latex returns the formula, by which a kernel shows it.
func (l Latex) Latex() string { return string(l) }

// String returns the formula as it is written.
func (l Latex) String() string { return string(l) }
