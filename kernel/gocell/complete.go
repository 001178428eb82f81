package gocell

import (
	"cmp"
	"go/ast"
	"go/token"
	"go/types"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"
)

// A Completion is what can stand at the cursor.
type Completion struct {
	Start, End int // what an item replaces, counted in code points
	Items      []Item
}

// An Item is one way to go on.
type Item struct {
	Text string
	Kind string // "field", "method", "func", "var", "const", "type", "package", "keyword", "import"
	Sign string // type or signature
}

// Texts lists the texts of the items.
func (c Completion) Texts() []string {
	out := make([]string, len(c.Items))
	for i, item := range c.Items {
		out[i] = item.Text
	}
	return out
}

var importPath = regexp.MustCompile("(?s)(?:^|\n)[ \t]*(?:import[ \t]+)?(?:[\\pL_.][\\pL\\d_]*[ \t]+)?([\"`])([^\"`\n]*)$")

// Complete lists what can stand at the cursor, which is counted in code points.
func (s *Session) Complete(code string, cursor int) Completion {
	s.mu.Lock()
	defer s.mu.Unlock()
	var failed error
	defer caught(&failed) // no help is better than no session
	return s.complete(code, cursor)
}

func (s *Session) complete(code string, cursor int) Completion {
	offset := byteOffset(code, cursor)
	from, to := identifierAt(code, offset)
	out := Completion{Start: utf8.RuneCountInString(code[:from]), End: cursor}
	if strings.Contains(code, "import") {
		if m := importPath.FindStringSubmatchIndex(code[:offset]); m != nil {
			out.Start = utf8.RuneCountInString(code[:m[4]])
			out.Items = s.importPaths(code[m[4]:m[5]])
			return out
		}
	}
	if silentAt(code, offset) {
		out.Start = cursor
		return out
	}
	prefix := code[from:offset]
	x := s.analyse(code, from, to, placeholder)
	if x == nil {
		out.Items = matching(prefix, s.anyName())
		return out
	}
	out.Items = matching(prefix, s.candidates(x))
	return out
}

func (s *Session) importPaths(prefix string) []Item {
	var out []Item
	for _, p := range s.library.Packages() {
		if strings.HasPrefix(p, prefix) {
			out = append(out, Item{Text: p, Kind: "import"})
		}
	}
	return out
}

// silentAt says whether the cursor is in a comment or in a string or number.
func silentAt(code string, offset int) bool {
	lexemes, problem := lex(code[:offset])
	if problem != nil {
		return true // not terminated before the cursor
	}
	if n := len(lexemes); n > 0 {
		last := lexemes[n-1]
		if last.tok == token.SEMICOLON && last.text == "\n" && n > 1 {
			last = lexemes[n-2]
		}
		switch {
		case last.end() < offset && !(last.tok == token.COMMENT && strings.HasPrefix(last.text, "//")):
			return false
		case last.tok == token.COMMENT:
			return !strings.Contains(code[last.offset:offset], "\n") || strings.HasPrefix(last.text, "/*") && last.end() > offset
		case last.tok == token.INT, last.tok == token.FLOAT, last.tok == token.IMAG:
			return true
		}
	}
	return false
}

// matching keeps the items that begin with prefix; when there is none, those
// that do apart from capitals.
func matching(prefix string, items []Item) []Item {
	keep := func(ok func(string) bool) []Item {
		var out []Item
		seen := map[string]bool{}
		for _, i := range items {
			if ok(i.Text) && !seen[i.Text] && i.Text != placeholder {
				seen[i.Text] = true
				out = append(out, i)
			}
		}
		return out
	}
	out := keep(func(t string) bool { return strings.HasPrefix(t, prefix) })
	if len(out) == 0 {
		lower := strings.ToLower(prefix)
		out = keep(func(t string) bool { return strings.HasPrefix(strings.ToLower(t), lower) })
	}
	return out
}

// candidates lists everything that fits the place of the placeholder, best first.
func (s *Session) candidates(x *analysis) []Item {
	n := len(x.path)
	if x.node == nil || n < 2 {
		return s.anyName()
	}
	info := x.checked.info
	switch p := x.path[n-2].(type) {
	case *ast.SelectorExpr:
		if p.Sel == x.node {
			return x.memberItems(p)
		}
	case *ast.CompositeLit:
		if p.Type == x.node {
			break
		}
		if fields := structFields(info.Types[p].Type, p); fields != nil {
			return append(x.items(fields), s.scopeItems(x, nil)...)
		}
	case *ast.KeyValueExpr:
		if p.Key != x.node || n < 3 {
			break
		}
		if lit, ok := x.path[n-3].(*ast.CompositeLit); ok {
			if fields := structFields(info.Types[lit].Type, lit); fields != nil {
				return x.items(fields)
			}
		}
	case *ast.BranchStmt, *ast.LabeledStmt:
		return nil
	}
	return s.scopeItems(x, x.expected())
}

// structFields lists the fields that a literal does not set yet; nil when it is
// not one of a struct.
func structFields(t types.Type, lit *ast.CompositeLit) []types.Object {
	if t == nil {
		return nil
	}
	if _, ok := deref(t).Underlying().(*types.Struct); !ok {
		return nil
	}
	set := map[string]bool{}
	for _, e := range lit.Elts {
		if kv, ok := e.(*ast.KeyValueExpr); ok {
			if id, ok := kv.Key.(*ast.Ident); ok {
				set[id.Name] = true
			}
		}
	}
	out := []types.Object{}
	fields(deref(t), func(o types.Object) {
		if !set[o.Name()] && o.Name() != "_" && (o.Exported() || o.Pkg().Path() == packageName) {
			out = append(out, o)
		}
	})
	return out
}

func (x *analysis) memberItems(sel *ast.SelectorExpr) []Item {
	if id, ok := sel.X.(*ast.Ident); ok {
		if p, ok := x.checked.info.Uses[id].(*types.PkgName); ok {
			var objs []types.Object
			for _, name := range p.Imported().Scope().Names() {
				if token.IsExported(name) {
					objs = append(objs, p.Imported().Scope().Lookup(name))
				}
			}
			return x.items(objs)
		}
	}
	tv, ok := x.checked.info.Types[sel.X]
	if !ok || tv.Type == nil {
		return nil
	}
	list := members(tv.Type, x.checked.pkg)
	slices.SortStableFunc(list, func(a, b types.Object) int { return cmp.Compare(a.Name(), b.Name()) })
	return x.items(list)
}

func (x *analysis) items(objs []types.Object) []Item {
	out := make([]Item, 0, len(objs))
	for _, o := range objs {
		out = append(out, itemOf(o))
	}
	return out
}

func itemOf(o types.Object) Item {
	i := Item{Text: o.Name(), Sign: types.TypeString(o.Type(), shortNames)}
	switch o := o.(type) {
	case *types.Var:
		i.Kind = "var"
		if o.IsField() {
			i.Kind = "field"
		}
	case *types.Func:
		i.Kind = "func"
		if o.Signature().Recv() != nil {
			i.Kind = "method"
		}
	case *types.Const:
		i.Kind = "const"
	case *types.TypeName:
		i.Kind = "type"
	case *types.PkgName:
		i.Kind, i.Sign = "package", o.Imported().Path()
	case *types.Builtin:
		i.Kind, i.Sign = "func", ""
	case *types.Nil:
		i.Kind = "const"
	}
	return i
}

// shortNames qualifies a name as a cell would write it.
func shortNames(p *types.Package) string {
	for _, path := range defaultDot {
		if p.Path() == path {
			return ""
		}
	}
	if p.Path() == packageName || p.Path() == geomPath {
		return ""
	}
	return p.Name()
}

// scopeItems lists the names in scope, those of the wanted type first.
func (s *Session) scopeItems(x *analysis, want types.Type) []Item {
	var objs []types.Object
	for _, n := range slices.Backward(x.path) {
		if scope := x.checked.scopeOf(n); scope != nil {
			for _, name := range scope.Names() {
				if o := scope.Lookup(name); o.Pos() < x.node.Pos() {
					objs = append(objs, o)
				}
			}
		}
	}
	scope := x.checked.pkg.Scope()
	for _, name := range scope.Names() {
		objs = append(objs, scope.Lookup(name))
	}
	if file := x.checked.info.Scopes[x.checked.file]; file != nil {
		for _, name := range file.Names() {
			objs = append(objs, file.Lookup(name))
		}
	}
	for _, name := range types.Universe.Names() {
		objs = append(objs, types.Universe.Lookup(name))
	}
	objs = slices.DeleteFunc(objs, func(o types.Object) bool { return strings.ContainsAny(o.Name(), "· _") || o.Name() == placeholder })
	items := append(x.items(best(objs, want)), x.items(objs)...)
	return append(items, keywords()...)
}

// best lists the objects that give a value of a type.
func best(objs []types.Object, want types.Type) []types.Object {
	if want == nil || types.IsInterface(want) {
		return nil
	}
	var out []types.Object
	for _, o := range objs {
		switch o := o.(type) {
		case *types.Var, *types.Const:
			if types.Identical(o.Type(), want) {
				out = append(out, o)
			}
		case *types.Func:
			if r := o.Signature().Results(); r.Len() > 0 && types.Identical(r.At(0).Type(), want) {
				out = append(out, o)
			}
		}
	}
	return out
}

func (c *checked) scopeOf(n ast.Node) *types.Scope {
	switch f := n.(type) {
	case *ast.FuncDecl:
		n = f.Type
	case *ast.FuncLit:
		n = f.Type
	case *ast.File:
		return nil
	}
	return c.info.Scopes[n]
}

// expected is the type that the place of the cursor wants, or nil.
func (x *analysis) expected() types.Type {
	n := len(x.path)
	info := x.checked.info
	switch p := x.path[n-2].(type) {
	case *ast.KeyValueExpr:
		if id, ok := p.Key.(*ast.Ident); ok && p.Value == x.node {
			if f, ok := info.Uses[id].(*types.Var); ok {
				return f.Type()
			}
		}
	case *ast.CallExpr:
		tv, ok := info.Types[p.Fun]
		if !ok || tv.Type == nil {
			return nil
		}
		sig, ok := tv.Type.Underlying().(*types.Signature)
		if !ok {
			return nil
		}
		for i, a := range p.Args {
			if a == x.node && i < sig.Params().Len() {
				return sig.Params().At(i).Type()
			}
		}
	}
	return nil
}

// anyName lists the names of the session without regard to a cell.
func (s *Session) anyName() []Item {
	empty := &plan{cell: &cell{}}
	a := begin(s.checker, s.world, empty)
	a.whole = true
	a.narrow()
	c, err := a.settle(empty.function(nil), freshBodies)
	if err != nil {
		return keywords()
	}
	id := ast.NewIdent(placeholder)
	return s.scopeItems(&analysis{checked: c, attempt: a, node: id, path: []ast.Node{c.file, id}}, nil)
}

func keywords() []Item {
	var out []Item
	for t := token.BREAK; t <= token.VAR; t++ {
		out = append(out, Item{Text: t.String(), Kind: "keyword"})
	}
	return out
}
