package main

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"slices"
	"strings"

	"golang.org/x/tools/go/gcexportdata"
	"golang.org/x/tools/go/packages"

	"patternkit/kernel/gocell/symbols/policy"
)

// A pkg is an open package: its compiled API and where its source is.
type pkg struct {
	path   string
	types  *types.Package
	export []byte   // its API with all that it refers to, see encode
	refers []string // packages of policy.Sources among those
	fset   *token.FileSet
	paths  []string // of its files, sorted
	std    bool
}

type packageSet map[string]*pkg

// all returns the packages in order of their paths.
func (s packageSet) all() []*pkg {
	var out []*pkg
	for _, p := range s {
		out = append(out, p)
	}
	slices.SortFunc(out, func(a, b *pkg) int { return strings.Compare(a.path, b.path) })
	return out
}

// load compiles the packages of all groups and reads their API and their source.
func load(groups []policy.Group) (packageSet, error) {
	var paths []string
	for _, g := range groups {
		paths = append(paths, g.Paths...)
	}
	fset := token.NewFileSet()
	found, err := packages.Load(&packages.Config{
		Fset: fset,
		Mode: packages.NeedName | packages.NeedFiles | packages.NeedImports | packages.NeedDeps |
			packages.NeedTypes | packages.NeedExportFile | packages.NeedModule,
	}, paths...)
	if err != nil {
		return nil, err
	}
	set := packageSet{}
	for _, f := range found {
		if len(f.Errors) > 0 {
			return nil, fmt.Errorf("%s does not compile, so it has no symbols: %v\n"+
				"mend it, or leave it out for now with -skip=%s", f.PkgPath, f.Errors[0], f.PkgPath)
		}
		p := &pkg{
			path: f.PkgPath, types: f.Types, fset: fset, std: f.Module == nil,
			paths: slices.Sorted(slices.Values(f.GoFiles)),
		}
		if err := p.encode(); err != nil {
			return nil, err
		}
		set[p.path] = p
	}
	for _, path := range paths {
		if set[path] == nil {
			return nil, fmt.Errorf("the go command does not know the package %s", path)
		}
	}
	return set, nil
}

// parse reads the source of the package, in order of file names.
func (p *pkg) parse() ([]*ast.File, error) {
	var files []*ast.File
	for _, name := range p.paths {
		file, err := parser.ParseFile(p.fset, name, nil, parser.ParseComments|parser.SkipObjectResolution)
		if err != nil {
			return nil, err
		}
		files = append(files, file)
	}
	return files, nil
}

// encode writes the export data and reads it back to see what it refers to.
// Positions are left out: they would name folders of the machine that generated.
func (p *pkg) encode() error {
	var buf bytes.Buffer
	if err := gcexportdata.Write(&buf, nil, p.types); err != nil {
		return fmt.Errorf("export data of %s: %w", p.path, err)
	}
	p.export = bytes.Clone(buf.Bytes())
	back, err := gcexportdata.Read(&buf, token.NewFileSet(), map[string]*types.Package{}, p.path)
	if err != nil {
		return fmt.Errorf("export data of %s, read back: %w", p.path, err)
	}
	for _, dep := range back.Imports() {
		if slices.Contains(policy.Sources, dep.Path()) {
			p.refers = append(p.refers, dep.Path())
		}
	}
	return nil
}
