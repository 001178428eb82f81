package gocell

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/scanner"
	"go/token"
	"strings"
)

// A cell is one parsed piece of code. Its nodes have positions in the session's
// FileSet, whose file names and lines are those of the cell as it was written.
type cell struct {
	number int
	source string
	files  []*token.File
	heads  []int // how many bytes of each file stand before the cell's own
	file   bool  // it has a package clause

	imports []*ast.ImportSpec
	funcs   []*ast.FuncDecl
	stmts   []ast.Stmt // everything else, in order
}

func (c *cell) name() string { return cellName(c.number) }

func cellName(number int) string { return fmt.Sprintf("cell %d", number) }

// A chunk is a stretch of a cell that stands at its top level between two
// semicolons, written or implied.
type chunk struct {
	start, end int // byte offsets; comments before it belong to it
	first      int // offset of its first token
	kind       chunkKind
}

type chunkKind int

const (
	statement chunkKind = iota
	function            // func with a name, with or without receiver
	importing
	packaging // a package clause, which a cell may have but doesn't need
)

// parseCell reads a cell. The error is an *Error of kind Syntax.
func parseCell(fset *token.FileSet, number int, source string) (*cell, *Error) {
	c := &cell{number: number, source: source}
	chunks, text, problem := split(source)
	if problem != nil {
		return nil, syntaxError(c, problem.line, problem.column, problem.message)
	}
	for _, ch := range chunks {
		c.file = c.file || ch.kind == packaging
	}
	only := func(keep ...chunkKind) (string, bool) {
		return blankOthers(text, chunks, keep)
	}
	if code, any := only(function, importing); any {
		file, err := c.parse(fset, "package main;", code, "")
		if err != nil {
			return nil, err
		}
		c.imports = file.Imports
		for _, d := range file.Decls {
			if f, ok := d.(*ast.FuncDecl); ok {
				c.funcs = append(c.funcs, f)
			}
		}
	}
	if code, any := only(statement); any {
		file, err := c.parse(fset, "package main;func _(){", code, "\n}")
		if err != nil {
			return nil, err
		}
		c.stmts = file.Decls[0].(*ast.FuncDecl).Body.List
	}
	return c, nil
}

// parse parses the cell's code between a prefix and a suffix. The line
// directive makes positions those of the cell.
func (c *cell) parse(fset *token.FileSet, prefix, code, suffix string) (*ast.File, *Error) {
	head := prefix + "/*line " + c.name() + ":1:1*/"
	text := head + code + suffix
	mode := parser.ParseComments | parser.SkipObjectResolution
	file, err := parser.ParseFile(fset, "", text, mode)
	if file != nil {
		c.files = append(c.files, fset.File(file.Package))
		c.heads = append(c.heads, len(head))
	}
	if err == nil {
		return file, nil
	}
	for _, f := range c.files {
		fset.RemoveFile(f)
	}
	list, ok := err.(scanner.ErrorList)
	if !ok || len(list) == 0 {
		return nil, syntaxError(c, 1, 1, err.Error())
	}
	first := list[0]
	line, column := first.Pos.Line, first.Pos.Column
	message := first.Msg
	if last := strings.Count(c.source, "\n") + 1; line > last {
		line, column = last, len(lineOf(c.source, last))+1
		message = strings.ReplaceAll(message, "'}'", "the end of the cell")
	}
	message = suggest(syntaxWords(message), misspeltKeyword(lineOf(c.source, line)))
	return nil, syntaxError(c, line, column, message)
}

// misspeltKeyword returns the keyword that a line may be meant to begin with.
func misspeltKeyword(line string) string {
	lexemes, _ := lex(line)
	if len(lexemes) < 2 || lexemes[0].tok != token.IDENT || lexemes[1].tok.IsOperator() {
		return ""
	}
	var words []string
	for t := token.BREAK; t <= token.VAR; t++ {
		words = append(words, t.String())
	}
	return nearest(lexemes[0].text, words)
}

// text is the cell's own text between two positions.
func (c *cell) text(start, end token.Pos) string {
	for i, f := range c.files {
		if int(start) >= f.Base() && int(end) <= f.Base()+f.Size() {
			return c.source[f.Offset(start)-c.heads[i] : f.Offset(end)-c.heads[i]]
		}
	}
	return ""
}

// around is the declaration or statement at the top level of the cell in which
// a position lies, with the comments before it.
func (c *cell) around(pos token.Pos) string {
	chunks, _, _ := split(c.source)
	for i, f := range c.files {
		if int(pos) < f.Base() || int(pos) > f.Base()+f.Size() {
			continue
		}
		at := f.Offset(pos) - c.heads[i]
		for _, ch := range chunks {
			if ch.start <= at && at < ch.end {
				return strings.TrimSpace(c.source[ch.start:ch.end])
			}
		}
	}
	return ""
}

// syntaxWords says the parser's message without words about the wrapping.
func syntaxWords(message string) string {
	message = strings.ReplaceAll(message, "'EOF'", "the end of the cell")
	return strings.ReplaceAll(message, "newline", "the end of the line")
}

// A splitProblem is a bracket that has no partner, or a token that can't be read.
type splitProblem struct {
	line, column int
	message      string
	open         bool // the cell could be continued
}

// A lexeme is one token of a cell.
type lexeme struct {
	offset int
	tok    token.Token
	text   string
}

func (l lexeme) end() int { return l.offset + len(l.text) }

// lex reads all tokens, comments included. The first thing that can't be read
// comes as a problem.
func lex(source string) ([]lexeme, *splitProblem) {
	var problem *splitProblem
	file := token.NewFileSet().AddFile("", -1, len(source))
	report := func(pos token.Position, message string) {
		if problem == nil {
			open := strings.HasPrefix(message, "comment not terminated") ||
				strings.HasPrefix(message, "raw string literal not terminated")
			problem = &splitProblem{pos.Line, pos.Column, message, open}
		}
	}
	var s scanner.Scanner
	s.Init(file, []byte(source), report, scanner.ScanComments)
	var out []lexeme
	for {
		pos, tok, text := s.Scan()
		if tok == token.EOF {
			return out, problem
		}
		if text == "" {
			text = tok.String()
		}
		out = append(out, lexeme{file.Offset(pos), tok, text})
	}
}

// split cuts a cell into chunks. The text it returns has the same length as the
// source; line directives in it are blanked, since they would move positions.
func split(source string) ([]chunk, string, *splitProblem) {
	lexemes, problem := lex(source)
	if problem != nil {
		return nil, "", problem
	}
	text := []byte(source)
	var chunks []chunk
	var open []lexeme
	var tokens []lexeme // of the chunk being read
	start := 0
	finish := func(end int) {
		if len(tokens) > 0 {
			chunks = append(chunks, chunk{start, end, tokens[0].offset, classify(tokens)})
			tokens = nil
			start = end
		}
	}
	for _, l := range lexemes {
		switch l.tok {
		case token.COMMENT:
			if strings.HasPrefix(l.text, "//line ") || strings.HasPrefix(l.text, "/*line ") {
				blank(text, l.offset, min(l.end(), len(text)))
			}
			if n := len(chunks); len(tokens) == 0 && n > 0 && !strings.Contains(source[chunks[n-1].end:l.offset], "\n") {
				chunks[n-1].end = min(l.end(), len(text))
				start = chunks[n-1].end
			}
			continue
		case token.LPAREN, token.LBRACK, token.LBRACE:
			open = append(open, l)
		case token.RPAREN, token.RBRACK, token.RBRACE:
			if p := checkPair(source, open, l); p != nil {
				return nil, "", p
			}
			open = open[:len(open)-1]
		case token.SEMICOLON:
			if len(open) == 0 {
				end := l.offset
				if l.text == ";" {
					end++
				}
				finish(end)
				continue
			}
		}
		tokens = append(tokens, l)
	}
	if n := len(open); n > 0 {
		line, column := lineColumn(source, open[n-1].offset)
		return nil, "", &splitProblem{line, column, fmt.Sprintf("%s is not closed", open[n-1].text), true}
	}
	finish(len(source))
	return chunks, string(text), nil
}

func checkPair(source string, open []lexeme, closing lexeme) *splitProblem {
	line, column := lineColumn(source, closing.offset)
	if len(open) == 0 {
		return &splitProblem{line, column, fmt.Sprintf("%s closes nothing", closing.text), false}
	}
	last := open[len(open)-1]
	want := map[token.Token]string{token.LPAREN: ")", token.LBRACK: "]", token.LBRACE: "}"}[last.tok]
	if want == closing.text {
		return nil
	}
	at, _ := lineColumn(source, last.offset)
	return &splitProblem{line, column,
		fmt.Sprintf("%s found, but %s of line %d must be closed first by %s", closing.text, last.text, at, want), false}
}

// classify says what a chunk is by its first tokens.
func classify(tokens []lexeme) chunkKind {
	switch tokens[0].tok {
	case token.IMPORT:
		return importing
	case token.PACKAGE:
		return packaging
	case token.FUNC:
		if namesFunction(tokens[1:]) {
			return function
		}
	}
	return statement
}

// namesFunction tells "func f(" and "func (t T) f(" from a function literal.
func namesFunction(tokens []lexeme) bool {
	if len(tokens) == 0 {
		return false
	}
	if tokens[0].tok == token.IDENT {
		return true
	}
	depth := 0
	for i, l := range tokens {
		switch l.tok {
		case token.LPAREN:
			depth++
		case token.RPAREN:
			depth--
		}
		if depth == 0 {
			return i+2 < len(tokens) && tokens[i+1].tok == token.IDENT && tokens[i+2].tok == token.LPAREN
		}
	}
	return false
}

// blankOthers replaces all chunks but those of the kept kinds by spaces.
func blankOthers(text string, chunks []chunk, keep []chunkKind) (string, bool) {
	out := []byte(text)
	any := false
	for _, c := range chunks {
		kept := false
		for _, k := range keep {
			kept = kept || c.kind == k
		}
		if !kept {
			blank(out, c.start, c.end)
		}
		any = any || kept
	}
	return string(out), any
}

func blank(text []byte, from, to int) {
	for i := from; i < to; i++ {
		if text[i] != '\n' {
			text[i] = ' '
		}
	}
}

// lineColumn returns the line and the column in bytes, from 1, of an offset.
func lineColumn(source string, offset int) (line, column int) {
	before := source[:offset]
	return strings.Count(before, "\n") + 1, offset - strings.LastIndexByte(before, '\n')
}

// lineOf returns a line of a text, without its end.
func lineOf(source string, line int) string {
	lines := strings.Split(source, "\n")
	if line < 1 || line > len(lines) {
		return ""
	}
	return strings.TrimSuffix(lines[line-1], "\r")
}
