package gocell

import (
	"go/token"
	"slices"
	"strings"
)

// IsComplete says whether code can be run as a cell: "complete", "incomplete"
// with the indentation that its next line should have, or "invalid".
func (s *Session) IsComplete(code string) (status, indent string) {
	chunks, text, problem := split(code)
	if problem != nil {
		if !problem.open {
			return "invalid", ""
		}
		return openEnded(code)
	}
	if err := readable(chunks, text); err == nil {
		return "complete", ""
	}
	if continues(code) {
		if readable(split2(code+" x")) == nil {
			return "incomplete", ""
		}
		return openEnded(code + " x")
	}
	return "invalid", ""
}

func split2(code string) ([]chunk, string) {
	chunks, text, _ := split(code)
	return chunks, text
}

// openEnded judges code with an open bracket, comment or raw string.
func openEnded(code string) (status, indent string) {
	lexemes, problem := lex(code)
	if problem != nil {
		return "incomplete", ""
	}
	// What is missing may be an operand too: x := f(a +
	if !wellFormed(closeBrackets(code)) && !(continues(code) && wellFormed(closeBrackets(code+" x"))) {
		return "invalid", ""
	}
	return "incomplete", strings.Repeat("\t", len(openBrackets(lexemes)))
}

func wellFormed(code string) bool {
	chunks, text, problem := split(code)
	return problem == nil && readable(chunks, text) == nil
}

// readable parses chunks that are thrown away again.
func readable(chunks []chunk, text string) error {
	c := &cell{number: 1, source: text}
	fset := token.NewFileSet()
	if code, any := blankOthers(text, chunks, []chunkKind{function, importing}); any {
		if _, err := c.parse(fset, "package main;", code, ""); err != nil {
			return err
		}
	}
	if code, any := blankOthers(text, chunks, []chunkKind{statement}); any {
		if _, err := c.parse(fset, "package main;func _(){", code, "\n}"); err != nil {
			return err
		}
	}
	return nil
}

// continues says whether the last line can't be the end of a statement: Go adds
// no semicolon behind its last token.
func continues(code string) bool {
	lexemes, _ := lex(code)
	for i := len(lexemes) - 1; i >= 0; i-- {
		switch lexemes[i].tok {
		case token.COMMENT:
			continue
		case token.SEMICOLON, token.LBRACE:
			return false
		}
		return true
	}
	return false
}

// openBrackets lists the brackets that are not closed.
func openBrackets(lexemes []lexeme) []token.Token {
	var open []token.Token
	for _, l := range lexemes {
		switch l.tok {
		case token.LPAREN, token.LBRACK, token.LBRACE:
			open = append(open, l.tok)
		case token.RPAREN, token.RBRACK, token.RBRACE:
			if len(open) > 0 {
				open = open[:len(open)-1]
			}
		}
	}
	return open
}

// closeBrackets adds what is missing.
func closeBrackets(code string) string {
	lexemes, _ := lex(code)
	var b strings.Builder
	b.WriteString(code)
	for _, open := range slices.Backward(openBrackets(lexemes)) {
		b.WriteString(map[token.Token]string{token.LPAREN: ")", token.LBRACK: "]", token.LBRACE: "}"}[open])
	}
	return b.String()
}
