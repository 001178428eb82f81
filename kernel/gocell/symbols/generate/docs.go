package main

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/doc"
	"go/token"
	"maps"
	"slices"
	"strings"
)

// docMembers collects the doc comments of each package: pairs of a key and a
// text, each ended by a zero byte, sorted by key. The keys are "" (the package),
// "Name", "Type.Method" and "Type.Field".
func docMembers(all []*pkg) ([]member, error) {
	var out []member
	for _, p := range all {
		texts, err := docTexts(p)
		if err != nil {
			return nil, err
		}
		var buf bytes.Buffer
		for _, key := range slices.Sorted(maps.Keys(texts)) {
			fmt.Fprintf(&buf, "%s\x00%s\x00", key, texts[key])
		}
		out = append(out, member{p.path, buf.Bytes()})
	}
	return out, nil
}

type docSet map[string]string

func (d docSet) add(key, text string) {
	if text = strings.TrimSpace(text); text != "" {
		d[key] = text
	}
}

func docTexts(p *pkg) (docSet, error) {
	files, err := p.parse()
	if err != nil {
		return nil, err
	}
	parsed, err := doc.NewFromFiles(p.fset, files, p.path) // takes the files apart
	if err != nil {
		return nil, fmt.Errorf("docs of %s: %w", p.path, err)
	}
	d := docSet{}
	d.add("", parsed.Doc)
	d.addFuncs("", parsed.Funcs)
	d.addValues(parsed.Consts)
	d.addValues(parsed.Vars)
	for _, t := range parsed.Types {
		d.add(t.Name, t.Doc)
		d.addFuncs("", t.Funcs)
		d.addFuncs(t.Name+".", t.Methods)
		d.addValues(t.Consts)
		d.addValues(t.Vars)
		for _, spec := range t.Decl.Specs {
			if spec := spec.(*ast.TypeSpec); spec.Name.Name == t.Name {
				d.addParts(t.Name, spec)
			}
		}
	}
	return d, nil
}

func (d docSet) addFuncs(prefix string, funcs []*doc.Func) {
	for _, f := range funcs {
		d.add(prefix+f.Name, f.Doc)
	}
}

// addValues adds constants or variables: the comment of each, or else that of
// the group it stands in.
func (d docSet) addValues(values []*doc.Value) {
	for _, group := range values {
		for _, spec := range group.Decl.Specs {
			spec, ok := spec.(*ast.ValueSpec)
			if !ok || group.Decl.Tok == token.IMPORT {
				continue
			}
			text := comments(spec.Doc, spec.Comment)
			if text == "" {
				text = group.Doc
			}
			for _, name := range spec.Names {
				if name.IsExported() {
					d.add(name.Name, text)
				}
			}
		}
	}
}

// addParts adds the fields of a struct type or the methods of an interface.
func (d docSet) addParts(name string, spec *ast.TypeSpec) {
	var parts *ast.FieldList
	switch t := spec.Type.(type) {
	case *ast.StructType:
		parts = t.Fields
	case *ast.InterfaceType:
		parts = t.Methods
	default:
		return
	}
	for _, part := range parts.List {
		for _, id := range part.Names {
			if id.IsExported() {
				d.add(name+"."+id.Name, comments(part.Doc, part.Comment))
			}
		}
	}
}

// comments joins the comment above a line and the one at its end.
func comments(above, beside *ast.CommentGroup) string {
	return strings.TrimSpace(above.Text() + beside.Text())
}
