package main

import (
	"io"
	"strings"
	"unicode"
)

// A terminal is a writer of lines that a person reads. What a notebook says
// goes there as text: a control character in it could write to the clipboard,
// or make a line look like another.
type terminal struct{ w io.Writer }

func (t terminal) Write(p []byte) (int, error) {
	if _, err := io.WriteString(t.w, plainLines(string(p))); err != nil {
		return 0, err
	}
	return len(p), nil
}

// plainLines shows control characters, but those that end lines and set
// columns, as a mark.
func plainLines(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) && r != '\n' && r != '\t' || unicode.Is(unicode.Bidi_Control, r) {
			return unicode.ReplacementChar
		}
		return r
	}, text)
}
