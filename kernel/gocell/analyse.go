package gocell

import (
	"go/ast"
	"go/token"
	"go/types"
	"strings"
	"unicode"
	"unicode/utf8"
)

// placeholder stands for the identifier that is being completed.
const placeholder = "cursor_"

// An analysis is what can be known of a cell that is being written.
type analysis struct {
	checked *checked
	attempt *attempt
	node    ast.Node   // the identifier at the cursor, or nil
	path    []ast.Node // from the outermost node to node
	cell    *cell
}

// analyse reads a cell as far as it goes, with the identifier between two byte
// offsets, from and to, replaced by name. It works on broken code too.
func (s *Session) analyse(code string, from, to int, name string) *analysis {
	text, at := repair(code, from, to, name)
	c, e := parseCell(s.fset, 0, text)
	if e != nil {
		return nil
	}
	defer func() {
		for _, f := range c.files {
			s.fset.RemoveFile(f)
		}
	}()
	pl, e := hoist(c)
	if e != nil {
		return nil
	}
	known := pl.units[:0]
	for _, u := range pl.units {
		one := &plan{units: []*unit{u}}
		if s.packages.admit(one) == nil {
			known = append(known, u)
		}
	}
	pl.units = known
	a := begin(s.checker, s.world, pl)
	a.whole = true
	a.narrow()
	if ids, _ := pl.declared(); len(ids) > 0 {
		c, err := a.settle(pl.function(pl.stmts), signatures)
		if err != nil {
			return nil
		}
		var next int
		var vars []*unit
		for _, id := range ids {
			if obj := c.info.Defs[id]; obj != nil && obj.Type() != types.Typ[types.Invalid] {
				if u, err := variable(pl.cell, id, &speller{pkg: c.pkg, next: &next, prefix: "C"}, obj.Type()); err == nil {
					vars = append(vars, u)
				}
			}
		}
		a.admit(vars)
	}
	stmts, _ := pl.lifted()
	checked, err := a.settle(pl.function(stmts), freshBodies)
	if err != nil {
		return nil
	}
	out := &analysis{checked: checked, attempt: a, cell: c}
	out.find(s.fset, text, at)
	return out
}

// find looks for the identifier at a byte offset of the text.
func (x *analysis) find(fset *token.FileSet, text string, at int) {
	line, column := lineColumn(text, at)
	for _, d := range x.checked.file.Decls {
		ast.Inspect(d, func(n ast.Node) bool {
			id, ok := n.(*ast.Ident)
			if !ok || x.node != nil || !x.cell.holds(id.Pos()) || strings.Contains(id.Name, "·") {
				return true
			}
			if p := fset.Position(id.Pos()); p.Line == line && p.Column == column {
				x.node = id
				x.path = pathIn(d, id.Pos())
			}
			return true
		})
	}
}

// repair returns code that can be parsed, with name in place of the bytes
// between from and to, and the offset of name in it. Statements that can't be
// read are blanked; of the one around the cursor as much is kept as possible.
func repair(code string, from, to int, name string) (text string, at int) {
	full := code[:from] + name + code[to:]
	if chunks, t, problem := split(full); problem == nil {
		if readable(chunks, t) == nil {
			return full, from
		}
		if text, ok := keepReadable(chunks, t, from); ok {
			return text, from
		}
	}
	// What follows the cursor is left out, and open brackets are closed.
	cut := closeBrackets(code[:from] + name)
	chunks, t, problem := split(cut)
	if problem == nil {
		if text, ok := keepReadable(chunks, t, from); ok {
			return text, from
		}
	}
	return operand(code, from, name)
}

// keepReadable blanks the chunks that can't be parsed; it fails when the one
// around the cursor is among them.
func keepReadable(chunks []chunk, text string, cursor int) (string, bool) {
	out := []byte(text)
	for _, c := range chunks {
		one := []chunk{c}
		alone := []byte(strings.Repeat(" ", len(text)))
		copy(alone[c.start:], text[c.start:c.end])
		if readable(one, string(alone)) == nil {
			continue
		}
		if c.start <= cursor && cursor < c.end {
			return "", false
		}
		blank(out, c.start, c.end)
	}
	return string(out), true
}

// operand keeps the readable lines before the cursor's and, of that line, only
// the operand that the cursor stands in: "a.b(c)." and the name.
func operand(code string, from int, name string) (string, int) {
	lineStart := strings.LastIndexByte(code[:from], '\n') + 1
	before := code[:lineStart]
	if chunks, t, problem := split(before); problem == nil {
		before, _ = keepReadable(chunks, t, -1)
	} else {
		before = strings.Map(func(r rune) rune {
			if r == '\n' {
				return r
			}
			return -1
		}, before)
	}
	line := code[lineStart:from]
	start := len(line)
	depth := 0
	for start > 0 {
		r, size := utf8.DecodeLastRuneInString(line[:start])
		switch {
		case r == ')' || r == ']':
			depth++
		case r == '(' || r == '[':
			depth--
		}
		if depth < 0 || depth == 0 && !(r == '.' || r == ')' || r == ']' || r == '(' || r == '[' || r == '_' || unicode.IsLetter(r) || unicode.IsDigit(r)) {
			break
		}
		start -= size
	}
	text := before + line[start:] + name
	return text, len(text) - len(name)
}

// identifierAt returns the byte offsets of the identifier around or before an
// offset.
func identifierAt(code string, offset int) (from, to int) {
	part := func(r rune) bool { return r == '_' || unicode.IsLetter(r) || unicode.IsDigit(r) }
	from, to = offset, offset
	for from > 0 {
		r, size := utf8.DecodeLastRuneInString(code[:from])
		if !part(r) {
			break
		}
		from -= size
	}
	for to < len(code) {
		r, size := utf8.DecodeRuneInString(code[to:])
		if !part(r) {
			break
		}
		to += size
	}
	return from, to
}

// byteOffset turns a count of code points into one of bytes.
func byteOffset(code string, points int) int {
	for i := range code {
		if points <= 0 {
			return i
		}
		points--
	}
	return len(code)
}
