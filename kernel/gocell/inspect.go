package gocell

import (
	"context"
	"fmt"
	"go/ast"
	"go/constant"
	"go/token"
	"go/types"
	"html"
	"strings"
	"time"
)

// A Page is help on one name.
type Page struct {
	Signature string // as Go writes it, with parameter names
	Doc       string // the doc comment
	Value     string // of a variable or constant
	Fields    []Field
	Defaults  string // the function that the defaults of the fields are from
	Methods   []Method
	Source    string // as a cell declares it; at detail 1 only
}

// A Field is one line of a struct's page.
type Field struct{ Name, Type, Default, Doc string }

// A Method is one method of a type's page.
type Method struct {
	Signature string
	Doc       string // at detail 1 only
}

// Inspect explains the name at the cursor, which is counted in code points. In
// an empty place between the parentheses of a call that is the function called.
// With detail 1 the page has also what a second look is for: the source of what
// a cell declares, and what each method of a type does.
func (s *Session) Inspect(code string, cursor, detail int) (Page, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	var failed error
	defer caught(&failed) // no help is better than no session
	return s.inspect(code, cursor, detail > 0)
}

func (s *Session) inspect(code string, cursor int, fully bool) (Page, bool) {
	from, to := nameAt(code, byteOffset(code, cursor))
	if from == to {
		return Page{}, false
	}
	name := code[from:to]
	var obj types.Object
	var owner string
	if x := s.analyse(code, from, to, name); x != nil && x.node != nil {
		obj, owner = x.object()
	}
	if obj == nil {
		obj = s.lookup(name)
	}
	if obj == nil {
		return Page{}, false
	}
	p := s.page(obj, owner, fully)
	if fully {
		p.Source = s.sourceOf(obj, owner)
	}
	return p, true
}

// nameAt finds the identifier at an offset, or that of the function whose
// arguments are being written there.
func nameAt(code string, offset int) (from, to int) {
	from, to = identifierAt(code, offset)
	if from != to {
		return from, to
	}
	lexemes, _ := lex(code[:offset])
	depth := 0
	for i := len(lexemes) - 1; i > 0; i-- {
		switch lexemes[i].tok {
		case token.RPAREN, token.RBRACE:
			depth++
		case token.LPAREN, token.LBRACE:
			depth--
			if depth < 0 && lexemes[i-1].tok == token.IDENT {
				return lexemes[i-1].offset, lexemes[i-1].end()
			}
		}
	}
	return offset, offset
}

// object returns what the identifier stands for, and for a field or method the
// name of the type that it was declared with.
func (x *analysis) object() (obj types.Object, owner string) {
	id := x.node.(*ast.Ident)
	info := x.checked.info
	obj = info.ObjectOf(id)
	for i := len(x.path) - 2; i >= 0; i-- {
		switch p := x.path[i].(type) {
		case *ast.SelectorExpr:
			if sel := info.Selections[p]; sel != nil && p.Sel == id {
				return sel.Obj(), typeName(sel.Recv())
			}
		case *ast.CompositeLit:
			if v, ok := obj.(*types.Var); ok && v.IsField() {
				return obj, typeName(info.Types[p].Type)
			}
		}
	}
	return obj, ""
}

func typeName(t types.Type) string {
	if t == nil {
		return ""
	}
	switch t := deref(t).(type) {
	case *types.Named:
		return t.Obj().Name()
	case *types.Alias:
		return t.Obj().Name()
	}
	return ""
}

// lookup finds a name of the session without a cell around it.
func (s *Session) lookup(name string) types.Object {
	if u := s.world.find(name); u != nil {
		part := s.world.reached(map[string]bool{name: true})
		if c, err := s.checker.check(s.world, part, nil, nil, func(*unit) bool { return true }); err == nil {
			return c.pkg.Scope().Lookup(name)
		}
	}
	if s.packages.dot == nil && s.packages.prepareDot(s.world) != nil {
		return nil
	}
	if o := s.packages.dot.Scope().Lookup(name); o != nil {
		return o
	}
	return types.Universe.Lookup(name)
}

func (s *Session) page(obj types.Object, owner string, fully bool) Page {
	p := Page{Signature: types.ObjectString(obj, shortNames), Doc: s.doc(obj, owner)}
	switch o := obj.(type) {
	case *types.PkgName:
		p.Signature = "package " + o.Imported().Name() + ` // import "` + o.Imported().Path() + `"`
		p.Doc = s.library.Doc(o.Imported().Path(), "")
	case *types.Const:
		p.Value = constantText(o)
	case *types.Var:
		if o.Pkg() != nil && o.Pkg().Path() == packageName && !o.IsField() {
			p.Value = s.valueText(o.Name())
		}
	case *types.TypeName:
		s.typePage(o, fully, &p)
	}
	return p
}

// patience is how long a value may take to print itself for a page of help.
const patience = 200 * time.Millisecond

// valueText prints a variable; its String method may be code of a cell.
func (s *Session) valueText(name string) string {
	v, ok := s.machine.GlobalAny(name)
	if !ok {
		return ""
	}
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	text := make(chan string, 1)
	err := s.machine.Do(ctx, func() { text <- shorten(fmt.Sprint(v)) })
	if err != nil || ctx.Err() != nil { // fmt turns the stop of a String method into text
		return ""
	}
	return <-text
}

func constantText(c *types.Const) string {
	if b, ok := c.Type().Underlying().(*types.Basic); ok && b.Info()&types.IsFloat != 0 {
		f, _ := constant.Float64Val(c.Val())
		return fmt.Sprint(f)
	}
	return c.Val().String()
}

func shorten(text string) string {
	const most = 400
	if r := []rune(text); len(r) > most {
		return string(r[:most]) + "…"
	}
	return text
}

// typePage lists the fields of a struct with what they mean, and the methods of
// any type, fully with what each does.
func (s *Session) typePage(o *types.TypeName, fully bool, p *Page) {
	t := types.Unalias(o.Type())
	if o.IsAlias() {
		if n, ok := t.(*types.Named); ok {
			o = n.Obj()
		}
	}
	if st, ok := t.Underlying().(*types.Struct); ok {
		p.Signature = "type " + o.Name() + " struct"
		defaults, from := s.defaults(t)
		p.Defaults = from
		for f := range st.Fields() {
			if !f.Exported() && f.Pkg().Path() != packageName {
				continue
			}
			p.Fields = append(p.Fields, Field{
				Name: f.Name(), Type: types.TypeString(f.Type(), shortNames),
				Default: defaults[f.Name()], Doc: s.doc(f, o.Name()),
			})
		}
	}
	if _, ok := t.(*types.Named); !ok {
		return
	}
	set := types.NewMethodSet(t)
	if !types.IsInterface(t) {
		set = types.NewMethodSet(types.NewPointer(t))
	}
	for m := range set.Methods() {
		if f := m.Obj(); f.Exported() {
			sig := types.TypeString(f.Type(), shortNames)
			m := Method{Signature: f.Name() + strings.TrimPrefix(sig, "func")}
			if fully {
				m.Doc = s.doc(f, "")
			}
			p.Methods = append(p.Methods, m)
		}
	}
}

// defaults returns the fields of what a function DefaultX() T of the type's
// package gives, and that function's name.
func (s *Session) defaults(t types.Type) (map[string]string, string) {
	n, ok := t.(*types.Named)
	if !ok || n.Obj().Pkg() == nil {
		return nil, ""
	}
	pkg := n.Obj().Pkg()
	for _, name := range pkg.Scope().Names() {
		f, ok := pkg.Scope().Lookup(name).(*types.Func)
		if !ok || !strings.HasPrefix(name, "Default") {
			continue
		}
		sig := f.Signature()
		if sig.Params().Len() != 0 || sig.Results().Len() != 1 || !types.Identical(sig.Results().At(0).Type(), t) {
			continue
		}
		v, ok := s.library.Value(pkg.Path(), name)
		if !ok {
			continue
		}
		out := map[string]string{}
		d := v.Call(nil)[0]
		for i := range d.NumField() {
			if f := d.Type().Field(i); f.IsExported() {
				out[f.Name] = fmt.Sprint(d.Field(i).Interface())
			}
		}
		return out, name
	}
	return nil, ""
}

// doc returns the doc comment of an object: of a cell's from its text, of a
// compiled one from the library.
func (s *Session) doc(obj types.Object, owner string) string {
	if obj.Pkg() == nil {
		return ""
	}
	name := qualified(obj, owner)
	if obj.Pkg().Path() != packageName {
		return strings.TrimSpace(s.library.Doc(obj.Pkg().Path(), name))
	}
	u := s.unitOf(name)
	if u == nil {
		return ""
	}
	return strings.TrimSpace(comment(u.decl, obj.Name()))
}

// qualified is the name under which an object is declared and documented:
// "Options.Area" for a method or a field.
func qualified(obj types.Object, owner string) string {
	if f, ok := obj.(*types.Func); ok && f.Signature().Recv() != nil {
		owner = typeName(f.Signature().Recv().Type())
	}
	if owner == "" {
		return obj.Name()
	}
	return owner + "." + obj.Name()
}

// unitOf finds what declares a name, for a field its type.
func (s *Session) unitOf(name string) *unit {
	if u := s.world.find(name); u != nil {
		return u
	}
	owner, _, _ := strings.Cut(name, ".")
	return s.world.find(owner)
}

// sourceOf is the text by which a cell declares an object, "" for what no cell
// does.
func (s *Session) sourceOf(obj types.Object, owner string) string {
	if obj.Pkg() == nil || obj.Pkg().Path() != packageName {
		return ""
	}
	u := s.unitOf(qualified(obj, owner))
	if u == nil || u.cell == nil || u.node == nil {
		return ""
	}
	return u.cell.around(u.node.Pos())
}

// comment finds the doc comment of a name below a declaration.
func comment(root ast.Node, name string) (text string) {
	if root == nil {
		return ""
	}
	found := func(ids []*ast.Ident, groups ...*ast.CommentGroup) {
		for _, id := range ids {
			for _, g := range groups {
				if id.Name == name && text == "" {
					text = g.Text()
				}
			}
		}
	}
	ast.Inspect(root, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.FuncDecl:
			found([]*ast.Ident{n.Name}, n.Doc)
		case *ast.GenDecl:
			for _, spec := range n.Specs {
				switch spec := spec.(type) {
				case *ast.TypeSpec:
					found([]*ast.Ident{spec.Name}, spec.Doc, n.Doc, spec.Comment)
				case *ast.ValueSpec:
					found(spec.Names, spec.Doc, spec.Comment, n.Doc)
				}
			}
		case *ast.Field:
			found(n.Names, n.Doc, n.Comment)
		}
		return true
	})
	return text
}

// String is the page as plain text.
func (p Page) String() string {
	var b strings.Builder
	b.WriteString(p.Signature + "\n")
	if p.Value != "" {
		b.WriteString("= " + p.Value + "\n")
	}
	if p.Doc != "" {
		b.WriteString("\n" + p.Doc + "\n")
	}
	if len(p.Fields) > 0 {
		b.WriteString("\nFields" + p.defaultsNote() + ":\n")
	}
	for _, f := range p.Fields {
		b.WriteString("  " + f.Name + " " + f.Type)
		if f.Default != "" {
			b.WriteString(" = " + f.Default)
		}
		b.WriteString("\n")
		b.WriteString(indented(f.Doc))
	}
	if len(p.Methods) > 0 {
		b.WriteString("\nMethods:\n")
	}
	for _, m := range p.Methods {
		b.WriteString("  " + m.Signature + "\n" + indented(m.Doc))
	}
	if p.Source != "" {
		b.WriteString("\nSource:\n" + p.Source + "\n")
	}
	return b.String()
}

// indented sets the lines of a text under the name that it is about.
func indented(text string) string {
	var b strings.Builder
	for _, line := range strings.Split(text, "\n") {
		if line != "" {
			b.WriteString("      " + line + "\n")
		}
	}
	return b.String()
}

func (p Page) defaultsNote() string {
	if p.Defaults == "" {
		return ""
	}
	return " (with the values that " + p.Defaults + "() gives)"
}

// HTML is the page for a browser; tables read well without colours.
func (p Page) HTML() string {
	var b strings.Builder
	esc := html.EscapeString
	b.WriteString("<p><code>" + esc(p.Signature) + "</code></p>\n")
	if p.Value != "" {
		b.WriteString("<p>= <code>" + esc(p.Value) + "</code></p>\n")
	}
	for _, paragraph := range strings.Split(p.Doc, "\n\n") {
		if paragraph != "" {
			b.WriteString("<p>" + esc(paragraph) + "</p>\n")
		}
	}
	if len(p.Fields) > 0 {
		b.WriteString("<table>\n<thead><tr><th>field</th><th>type</th>")
		if p.Defaults != "" {
			b.WriteString("<th>" + esc(p.Defaults) + "()</th>")
		}
		b.WriteString("<th>meaning</th></tr></thead>\n<tbody>\n")
		for _, f := range p.Fields {
			b.WriteString("<tr><td><code>" + esc(f.Name) + "</code></td><td>" + esc(f.Type) + "</td>")
			if p.Defaults != "" {
				b.WriteString("<td>" + esc(f.Default) + "</td>")
			}
			b.WriteString("<td>" + esc(f.Doc) + "</td></tr>\n")
		}
		b.WriteString("</tbody>\n</table>\n")
	}
	if len(p.Methods) > 0 {
		b.WriteString("<ul>\n")
		for _, m := range p.Methods {
			b.WriteString("<li><code>" + esc(m.Signature) + "</code>")
			if m.Doc != "" {
				b.WriteString(" " + esc(m.Doc))
			}
			b.WriteString("</li>\n")
		}
		b.WriteString("</ul>\n")
	}
	if p.Source != "" {
		b.WriteString("<pre><code>" + esc(p.Source) + "</code></pre>\n")
	}
	return b.String()
}
