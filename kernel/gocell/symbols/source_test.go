package symbols

import (
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"slices"
	"testing"

	"golang.org/x/tools/go/ssa"

	"patternkit/kernel/gocell/symbols/policy"
)

const usesGenerics = `package cell

import (
	"cmp"
	"iter"
	"maps"
	"slices"
	"strings"
)

func sizes(girths map[string]float64) []string {
	names := slices.Sorted(maps.Keys(girths))
	slices.SortFunc(names, func(a, b string) int { return cmp.Compare(girths[a], girths[b]) })
	next, stop := iter.Pull(strings.SplitSeq("a,b", ","))
	defer stop()
	if first, ok := next(); ok {
		names = slices.Insert(names, 0, first)
	}
	return slices.Collect(maps.Keys(maps.Clone(map[string]bool{names[0]: true})))
}
`

// The packages that are carried as source build to SSA and so does a cell that
// calls them, with no instruction left that needs a compiled generic function.
func TestSourceBuilds(t *testing.T) {
	fset := token.NewFileSet()
	im := Default().Importer(fset)
	file, err := parser.ParseFile(fset, "cell.go", usesGenerics, parser.SkipObjectResolution)
	if err != nil {
		t.Fatal(err)
	}
	info := newInfo()
	cell, err := (&types.Config{Importer: im}).Check("cell", fset, []*ast.File{file}, info)
	if err != nil {
		t.Fatal(err)
	}
	prog := ssa.NewProgram(fset, ssa.InstantiateGenerics|ssa.SanityCheckFunctions)
	built := map[*types.Package]bool{}
	for _, sp := range im.SourcePackages() {
		for _, dep := range sp.Types.Imports() {
			if slices.Contains(policy.Sources, dep.Path()) && !built[dep] {
				t.Errorf("%s stands before %s, which it imports", sp.Types.Path(), dep.Path())
			}
		}
		built[sp.Types] = true
		prog.CreatePackage(sp.Types, sp.Files, sp.Info, true)
	}
	if len(built) != len(policy.Sources) {
		t.Errorf("%d packages came from source, want %v", len(built), policy.Sources)
	}
	createCompiled(prog, cell, map[*types.Package]bool{})
	prog.CreatePackage(cell, []*ast.File{file}, info, false)
	prog.Build()

	for fn := range functions(prog) {
		if fn.Origin() != nil && len(fn.TypeArgs()) > 0 && fn.Blocks == nil {
			t.Errorf("%v has no body", fn)
		}
	}
}

// createCompiled adds the packages that p imports, directly or not.
func createCompiled(prog *ssa.Program, p *types.Package, seen map[*types.Package]bool) {
	for _, dep := range p.Imports() {
		if !seen[dep] {
			seen[dep] = true
			createCompiled(prog, dep, seen)
			if prog.ImportedPackage(dep.Path()) == nil {
				prog.CreatePackage(dep, nil, nil, true)
			}
		}
	}
}

// functions finds what the cell calls, directly or not.
func functions(prog *ssa.Program) map[*ssa.Function]bool {
	seen := map[*ssa.Function]bool{}
	var visit func(fn *ssa.Function)
	visit = func(fn *ssa.Function) {
		if fn == nil || seen[fn] {
			return
		}
		seen[fn] = true
		for _, block := range fn.Blocks {
			for _, instr := range block.Instrs {
				for _, op := range instr.Operands(nil) {
					if callee, ok := (*op).(*ssa.Function); ok {
						visit(callee)
					}
				}
			}
		}
	}
	for _, p := range prog.AllPackages() {
		if p.Pkg.Path() == "cell" {
			visit(p.Func("sizes"))
		}
	}
	return seen
}

// Every exported name of Go's own package is in the carried source with the
// same type.
func TestSourceIsComplete(t *testing.T) {
	for _, path := range policy.Sources {
		im := Default().Importer(token.NewFileSet())
		fromSource, err := im.Import(path)
		if err != nil {
			t.Fatal(err)
		}
		compiled := importCompiled(t, path)
		for _, name := range compiled.Scope().Names() {
			want := compiled.Scope().Lookup(name)
			if !want.Exported() {
				continue
			}
			got := fromSource.Scope().Lookup(name)
			if got == nil || got.Type().String() != want.Type().String() {
				t.Errorf("%s.%s: the source says %v, the compiled package %v", path, name, got, want)
			}
		}
	}
}

// importCompiled reads the export data of a package that is carried as source.
func importCompiled(t *testing.T, path string) *types.Package {
	t.Helper()
	im := Default().Importer(token.NewFileSet())
	p, err := im.decode(path)
	if err != nil {
		t.Fatal(err)
	}
	return p
}
