package notebook

import (
	"go/scanner"
	"go/token"
	"html/template"
	"strings"
)

// colouredGo marks the comments, texts and keywords of a cell of Go. What the
// scanner cannot read stays unmarked; the text is the same either way.
func colouredGo(source string) template.HTML {
	fset := token.NewFileSet()
	file := fset.AddFile("cell", -1, len(source))
	var s scanner.Scanner
	failed := false
	s.Init(file, []byte(source), func(token.Position, string) { failed = true }, scanner.ScanComments)
	var b strings.Builder
	end := 0
	for {
		pos, tok, literal := s.Scan()
		if tok == token.EOF || failed {
			break
		}
		at := file.Offset(pos)
		class := tokenClass(tok)
		if class == "" || !strings.HasPrefix(source[at:], literal) {
			continue
		}
		b.WriteString(template.HTMLEscapeString(source[end:at]))
		b.WriteString(`<span class="` + class + `">` + template.HTMLEscapeString(literal) + `</span>`)
		end = at + len(literal)
	}
	if failed {
		return template.HTML(template.HTMLEscapeString(source))
	}
	b.WriteString(template.HTMLEscapeString(source[end:]))
	return template.HTML(b.String())
}

func tokenClass(tok token.Token) string {
	switch {
	case tok == token.COMMENT:
		return "comment"
	case tok == token.STRING || tok == token.CHAR:
		return "text"
	case tok.IsKeyword():
		return "keyword"
	}
	return ""
}
