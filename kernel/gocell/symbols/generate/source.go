package main

import (
	"bytes"
	_ "embed"
	"fmt"
	"go/ast"
	"go/format"
	"go/parser"
	"go/token"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"patternkit/kernel/gocell/symbols/policy"
)

// Replacements for declarations of Go's library that reach below what source
// can say (unsafe, the runtime's own functions): a file of the same package
// with declarations of the same names.
var (
	//go:embed replace/slices.go.txt
	replaceSlices string
	//go:embed replace/maps.go.txt
	replaceMaps string
	//go:embed replace/iter.go.txt
	replaceIter string
)

var replacements = map[string]string{"slices": replaceSlices, "maps": replaceMaps, "iter": replaceIter}

// dropped names declarations that only the replaced ones needed.
var dropped = map[string][]string{"maps": {"clone"}, "iter": {"coro", "newcoro", "coroswitch"}}

// sourceMembers copies the packages whose functions are generic, without
// comments except each file's licence, and with the replacements in place.
func sourceMembers(all []*pkg) ([]member, error) {
	var out []member
	for _, p := range all {
		if !slices.Contains(policy.Sources, p.path) {
			continue
		}
		replaced := map[string]bool{}
		for _, name := range dropped[p.path] {
			replaced[name] = true
		}
		if text := replacements[p.path]; text != "" {
			file, err := parser.ParseFile(token.NewFileSet(), p.path+".go", text, parser.SkipObjectResolution)
			if err != nil {
				return nil, fmt.Errorf("replacement for %s: %w", p.path, err)
			}
			for _, d := range file.Decls {
				replaced[declared(d)] = true
			}
			delete(replaced, "")
			out = append(out, member{p.path + "/replaced.go", []byte(text)})
		}
		files, err := p.parse()
		if err != nil {
			return nil, err
		}
		for i, file := range files {
			text, err := trimmed(p.fset, file, replaced)
			if err != nil {
				return nil, fmt.Errorf("source of %s: %w", p.path, err)
			}
			if text != nil {
				out = append(out, member{p.path + "/" + filepath.Base(p.paths[i]), text})
			}
		}
	}
	slices.SortFunc(out, func(a, b member) int { return strings.Compare(a.name, b.name) })
	return out, nil
}

// trimmed returns the file without the replaced declarations, without imports
// that nothing uses any more, and without comments; nil when nothing is left.
func trimmed(fset *token.FileSet, file *ast.File, replaced map[string]bool) ([]byte, error) {
	var kept []ast.Decl
	used := map[string]bool{}
	for _, d := range file.Decls {
		if g, ok := d.(*ast.GenDecl); ok && g.Tok == token.IMPORT || replaced[declared(d)] {
			continue
		}
		dropComments(d)
		kept = append(kept, d)
		ast.Inspect(d, func(n ast.Node) bool {
			if sel, ok := n.(*ast.SelectorExpr); ok {
				if id, ok := sel.X.(*ast.Ident); ok {
					used[id.Name] = true
				}
			}
			return true
		})
	}
	if len(kept) == 0 {
		return nil, nil
	}
	var buf bytes.Buffer
	if len(file.Comments) > 0 {
		for _, line := range file.Comments[0].List { // the licence
			fmt.Fprintln(&buf, line.Text)
		}
	}
	fmt.Fprintf(&buf, "\npackage %s\n\n", file.Name.Name)
	for _, spec := range file.Imports {
		path, err := strconv.Unquote(spec.Path.Value)
		if err != nil {
			return nil, err
		}
		if used[path[strings.LastIndexByte(path, '/')+1:]] {
			fmt.Fprintf(&buf, "import %q\n", path)
		}
	}
	for _, d := range kept {
		buf.WriteByte('\n')
		if err := format.Node(&buf, fset, d); err != nil {
			return nil, err
		}
		buf.WriteByte('\n')
	}
	return format.Source(buf.Bytes())
}

// declared names the one function or type that a declaration declares.
func declared(d ast.Decl) string {
	switch d := d.(type) {
	case *ast.FuncDecl:
		return d.Name.Name
	case *ast.GenDecl:
		if d.Tok == token.TYPE && len(d.Specs) == 1 {
			return d.Specs[0].(*ast.TypeSpec).Name.Name
		}
	}
	return ""
}

func dropComments(d ast.Decl) {
	switch d := d.(type) {
	case *ast.FuncDecl:
		d.Doc = nil
	case *ast.GenDecl:
		d.Doc = nil
		for _, spec := range d.Specs {
			if spec, ok := spec.(*ast.TypeSpec); ok {
				spec.Doc, spec.Comment = nil, nil
			}
		}
	}
}
