package notebook

import (
	"bytes"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/renderer"
	gtext "github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"
)

// mathExtension keeps formulas between $ or $$ from being read as Markdown:
// $a_1 * b_1$ holds no emphasis. They are shown as written, since typesetting
// them would take a script.
type mathExtension struct{}

func (mathExtension) Extend(m goldmark.Markdown) {
	m.Parser().AddOptions(parser.WithInlineParsers(util.Prioritized(mathParser{}, 150)))
	m.Renderer().AddOptions(renderer.WithNodeRenderers(util.Prioritized(mathRenderer{}, 500)))
}

// A mathNode is a formula with its dollar signs.
type mathNode struct {
	ast.BaseInline
	formula []byte
}

var kindMath = ast.NewNodeKind("Math")

func (*mathNode) Kind() ast.NodeKind { return kindMath }

func (n *mathNode) Dump(source []byte, level int) {
	ast.DumpHelper(n, source, level, map[string]string{"formula": string(n.formula)}, nil)
}

type mathParser struct{}

func (mathParser) Trigger() []byte { return []byte{'$'} }

// Parse takes a formula that may run over several lines of a paragraph.
func (mathParser) Parse(_ ast.Node, block gtext.Reader, _ parser.Context) ast.Node {
	line, _ := block.PeekLine()
	fence := []byte("$")
	switch {
	case bytes.HasPrefix(line, []byte("$$")):
		fence = []byte("$$")
	case len(line) < 2 || isSpace(line[1]):
		return nil
	}
	savedLine, savedPos := block.Position()
	var formula []byte
	for ; line != nil; line, _ = block.PeekLine() {
		from := 0
		if formula == nil {
			from = len(fence)
		}
		if at := closing(line, from, fence); at >= 0 {
			formula = append(formula, line[:at+len(fence)]...)
			block.Advance(at + len(fence))
			return &mathNode{formula: formula}
		}
		formula = append(formula, line...)
		block.AdvanceLine()
	}
	block.SetPosition(savedLine, savedPos)
	return nil
}

// closing finds the fence that ends a formula. A single dollar sign next to
// white space or before a digit is money, not a formula.
func closing(line []byte, from int, fence []byte) int {
	single := len(fence) == 1
	for i := from; i < len(line); i++ {
		switch {
		case line[i] == '\\':
			i++
		case !bytes.HasPrefix(line[i:], fence):
		case !single:
			return i
		case i > from && !isSpace(line[i-1]) && !(i+1 < len(line) && line[i+1] >= '0' && line[i+1] <= '9'):
			return i
		}
	}
	return -1
}

func isSpace(c byte) bool { return c == ' ' || c == '\t' || c == '\n' || c == '\r' }

type mathRenderer struct{}

func (mathRenderer) RegisterFuncs(r renderer.NodeRendererFuncRegisterer) {
	r.Register(kindMath, func(w util.BufWriter, _ []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
		if entering {
			_, _ = w.WriteString(`<span class="math">`)
			_, _ = w.Write(util.EscapeHTML(n.(*mathNode).formula))
			_, _ = w.WriteString(`</span>`)
		}
		return ast.WalkContinue, nil
	})
}
