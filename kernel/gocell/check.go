package gocell

import (
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
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
	helpers  map[string]*ast.FuncDecl
	sizes    types.Sizes
}

func newChecker(fset *token.FileSet, p *packages) *checker {
	return &checker{fset: fset, packages: p, helpers: helpers(fset), sizes: types.SizesFor("gc", "amd64")}
}

// A depth says of which functions the bodies are checked, too.
type depth int

const (
	signatures  depth = iota // of the cell's own statements only
	freshBodies              // of what the cell declares
	allBodies
)

// check checks a part of the world and the cell's function, which may be nil.
// It leaves out the bodies of the functions that bare says.
func (c *checker) check(w, part *world, cell *ast.FuncDecl, musts uint, bare func(*unit) bool) (*checked, error) {
	if err := c.packages.prepare(w, part); err != nil {
		return nil, err
	}
	out := &checked{file: c.assemble(part, cell, musts, bare), info: newInfo()}
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
func (c *checker) assemble(w *world, cell *ast.FuncDecl, musts uint, bare func(*unit) bool) *ast.File {
	file := &ast.File{Name: ast.NewIdent(packageName)}
	imports := &ast.GenDecl{Tok: token.IMPORT}
	add := func(spec *ast.ImportSpec) {
		imports.Specs = append(imports.Specs, spec)
		file.Imports = append(file.Imports, spec)
	}
	add(importSpec(stopPackage, stopPackage))
	add(importSpec(typePackage, typePackage))
	add(importSpec(".", dotPackage))
	file.Decls = append(file.Decls, imports, c.helpers[showFunc])
	for _, u := range w.units {
		musts |= u.musts
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
	for n := 0; n <= maxMust; n++ {
		if musts&(1<<n) != 0 {
			file.Decls = append(file.Decls, c.helpers[mustFunc+strconv.Itoa(n)])
		}
	}
	if cell != nil {
		file.Decls = append(file.Decls, cell)
	}
	return file
}

func importSpec(name, path string) *ast.ImportSpec {
	return &ast.ImportSpec{Name: ast.NewIdent(name), Path: &ast.BasicLit{Kind: token.STRING, Value: strconv.Quote(path)}}
}

// maxMust is the largest number of values before an error that can be taken.
const maxMust = 6

// helpers makes the functions that the session adds to the cells' own: show
// returns the values of a last expression, must passes on the values of a call
// unless its error stops the cell.
func helpers(fset *token.FileSet) map[string]*ast.FuncDecl {
	var b strings.Builder
	b.WriteString("package helpers\nfunc show_(v ...any) []any { return v }\nfunc must_0(err error) { if err != nil { stop_.Stop(err) } }\n")
	for n := 1; n <= maxMust; n++ {
		var params, values, results []string
		for i := range n {
			t, v := "T"+strconv.Itoa(i), "v"+strconv.Itoa(i)
			params, values, results = append(params, v+" "+t), append(values, v), append(results, t)
		}
		b.WriteString("func must_" + strconv.Itoa(n) + "[" + strings.Join(results, ", ") + " any](" +
			strings.Join(params, ", ") + ", err error) (" + strings.Join(results, ", ") + ") { if err != nil { stop_.Stop(err) }; return " +
			strings.Join(values, ", ") + " }\n")
	}
	file, err := parser.ParseFile(fset, "helpers", b.String(), parser.SkipObjectResolution)
	if err != nil {
		panic(err) // a fault of the lines above
	}
	ast.Inspect(file, func(n ast.Node) bool {
		if id, ok := n.(*ast.Ident); ok {
			id.Name = strings.Replace(id.Name, "_", "·", 1)
		}
		return true
	})
	out := map[string]*ast.FuncDecl{}
	for _, d := range file.Decls {
		f := d.(*ast.FuncDecl)
		out[f.Name.Name] = f
	}
	return out
}
