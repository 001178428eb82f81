package gocell

import (
	"go/ast"
	"go/token"
	"go/types"
	"slices"
	"strconv"
	"strings"
)

// packageName is the name of the session's package, as %T prints it.
const packageName = "main"

// A checked is the outcome of one type check of the session's package.
type checked struct {
	pkg  *types.Package
	info *types.Info
	file *ast.File
	errs []types.Error
}

// checker type-checks a world together with the function of a new cell.
type checker struct {
	fset     *token.FileSet
	packages *packages
	show     *ast.FuncDecl
	sizes    types.Sizes
}

func newChecker(fset *token.FileSet, p *packages) *checker {
	return &checker{fset: fset, packages: p, show: showDecl(), sizes: types.SizesFor("gc", "amd64")}
}

// A depth says of which functions the bodies are checked, too.
type depth int

const (
	signatures  depth = iota // of the cell's own statements only
	freshBodies              // of what the cell declares
	allBodies
)

// check checks a part of the world and declarations of the cell's own, such as
// the function of its statements.
// It leaves out the bodies of the functions that bare says.
func (c *checker) check(w, part *world, own []ast.Decl, musts []must, bare func(*unit) bool) (*checked, error) {
	if err := c.packages.prepare(w, part); err != nil {
		return nil, err
	}
	out := &checked{file: c.assemble(part, own, musts, bare), info: newInfo()}
	config := types.Config{
		GoVersion: "go1.26",
		Importer:  c.packages,
		Sizes:     c.sizes,
		Error: func(err error) {
			if e, ok := err.(types.Error); ok && !harmless(e) {
				out.errs = append(out.errs, e)
			}
		},
	}
	out.pkg, _ = config.Check(packageName, c.fset, []*ast.File{out.file}, out.info)
	return out, nil
}

// harmless says whether an error is one that a cell may have: a variable or an
// import that is not used.
func harmless(e types.Error) bool {
	if !e.Soft {
		return false
	}
	code, _, _ := faultOf(e)
	return code == codeUnusedVar || code == codeUnusedImport
}

func newInfo() *types.Info {
	return &types.Info{
		Types:        map[ast.Expr]types.TypeAndValue{},
		Instances:    map[*ast.Ident]types.Instance{},
		Defs:         map[*ast.Ident]types.Object{},
		Uses:         map[*ast.Ident]types.Object{},
		Implicits:    map[ast.Node]types.Object{},
		Selections:   map[*ast.SelectorExpr]*types.Selection{},
		Scopes:       map[ast.Node]*types.Scope{},
		FileVersions: map[*ast.File]string{},
	}
}

// assemble writes the session's package as one file.
func (c *checker) assemble(w *world, own []ast.Decl, musts []must, bare func(*unit) bool) *ast.File {
	file := &ast.File{Name: ast.NewIdent(packageName)}
	imports := &ast.GenDecl{Tok: token.IMPORT}
	add := func(spec *ast.ImportSpec) {
		imports.Specs = append(imports.Specs, spec)
		file.Imports = append(file.Imports, spec)
	}
	add(importSpec(stopPackage, stopPackage))
	add(importSpec(typePackage, typePackage))
	add(importSpec(".", dotPackage))
	file.Decls = append(file.Decls, imports, c.show)
	musts = slices.Clone(musts)
	for _, u := range w.units {
		musts = append(musts, u.musts...)
		if f := w.faults[u]; f != nil {
			if f.stub != nil {
				file.Decls = append(file.Decls, f.stub)
			}
			continue
		}
		switch {
		case u.kind == importUnit:
			if !strings.Contains(u.names[0], " ") { // dot imports are merged, blank ones do nothing
				add(u.node.(*ast.ImportSpec))
			}
		case u.signature != nil && bare(u):
			file.Decls = append(file.Decls, u.signature)
		default:
			file.Decls = append(file.Decls, u.decl)
		}
	}
	made := map[string]bool{} // a call may have been wrapped in two versions of the cell's function
	for _, m := range musts {
		if name := m.decl.Name.Name; !made[name] {
			made[name] = true
			file.Decls = append(file.Decls, m.decl)
		}
	}
	file.Decls = append(file.Decls, own...)
	return file
}

func importSpec(name, path string) *ast.ImportSpec {
	return &ast.ImportSpec{Name: ast.NewIdent(name), Path: &ast.BasicLit{Kind: token.STRING, Value: strconv.Quote(path)}}
}
