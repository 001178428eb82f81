package symbols

import (
	"errors"
	"go/token"
	"go/types"
	"os"
	"os/exec"
	"reflect"
	"slices"
	"strings"
	"testing"

	"patternkit/kernel/gocell/symbols/policy"
)

// importAll imports every allowed package with one importer.
func importAll(t testing.TB) []*types.Package {
	t.Helper()
	im := Default().Importer(token.NewFileSet())
	var out []*types.Package
	for _, path := range Default().Packages() {
		p, err := im.Import(path)
		if err != nil {
			t.Fatalf("import %s: %v", path, err)
		}
		if p.Path() != path || !p.Complete() {
			t.Errorf("import %s gave %v, complete: %v", path, p, p.Complete())
		}
		out = append(out, p)
	}
	return out
}

// The tables stand for the whole policy.
func TestTablesHoldEveryOpenPackage(t *testing.T) {
	var want []string
	for _, g := range policy.Groups {
		want = append(want, g.Paths...)
	}
	slices.Sort(want)
	if got := Default().Packages(); !slices.Equal(got, want) {
		t.Errorf("packages in the tables:\n%v\nwant, as policy says (run go generate):\n%v", got, want)
	}
	for path := range Default().packages {
		p := Default().packages[path]
		for _, list := range [][]symbol{p.values, p.types} {
			if !slices.IsSortedFunc(list, func(a, b symbol) int { return strings.Compare(a.name, b.name) }) {
				t.Errorf("%s: the table is not sorted, look-ups would miss names", path)
			}
		}
	}
}

// Nothing of Go but the running test binary is needed: no GOROOT, no go command.
func TestImportsWithoutToolchain(t *testing.T) {
	const flag = "SYMBOLS_WITHOUT_TOOLCHAIN"
	if os.Getenv(flag) == "" {
		cmd := exec.Command(os.Args[0], "-test.run=^TestImportsWithoutToolchain$", "-test.v")
		cmd.Dir = t.TempDir()
		cmd.Env = []string{flag + "=1", "GOROOT=/nonexistent", "PATH=/nonexistent"}
		out, err := cmd.CombinedOutput()
		if err != nil || !strings.Contains(string(out), "read without a toolchain") {
			t.Fatalf("%v\n%s", err, out)
		}
		return
	}
	if _, err := exec.LookPath("go"); err == nil {
		t.Fatal("the go command is still on the path")
	}
	t.Logf("%d packages read without a toolchain", len(importAll(t)))
}

// Every function, variable and type that a checked cell can name has a compiled
// counterpart of the same type, or is known to be generic or denied.
func TestSymbolsMatchTheirTypes(t *testing.T) {
	table := Default()
	counted := map[string]int{}
	for _, p := range importAll(t) {
		for _, name := range p.Scope().Names() {
			obj := p.Scope().Lookup(name)
			if !obj.Exported() {
				continue
			}
			switch obj := obj.(type) {
			case *types.Func:
				if obj.Signature().TypeParams() != nil {
					counted["generic"]++
					if !table.Generic(p.Path(), name) {
						t.Errorf("%s.%s is generic and not listed as such", p.Path(), name)
					}
					continue
				}
				v, ok := table.Value(p.Path(), name)
				if !ok {
					counted["denied"]++
					_, denied := table.Denied(p.Path(), "", name)
					if !denied && !strings.Contains(obj.Type().String(), "unsafe.Pointer") {
						t.Errorf("%s.%s has no compiled function", p.Path(), name)
					}
					continue
				}
				counted["functions"]++
				if err := same(obj.Type(), v.Type()); err != nil {
					t.Errorf("%s.%s: %v", p.Path(), name, err)
				}
			case *types.Var:
				counted["variables"]++
				v, ok := table.Value(p.Path(), name)
				if !ok || v.Kind() != reflect.Pointer {
					t.Errorf("%s.%s has no pointer to its variable", p.Path(), name)
					continue
				}
				if err := same(obj.Type(), v.Type().Elem()); err != nil {
					t.Errorf("%s.%s: %v", p.Path(), name, err)
				}
			case *types.TypeName:
				r, ok := table.Type(p.Path(), name)
				if !ok {
					counted["generic"]++
					if !table.Generic(p.Path(), name) {
						t.Errorf("%s.%s has no compiled type", p.Path(), name)
					}
					continue
				}
				counted["types"]++
				if err := same(obj.Type(), r); err != nil {
					t.Errorf("%s.%s: %v", p.Path(), name, err)
				}
				if named, ok := types.Unalias(obj.Type()).(*types.Named); ok {
					checkMembers(t, named, r)
				}
			}
		}
	}
	t.Log(counted)
	for kind, least := range map[string]int{"functions": 700, "variables": 150, "types": 400, "generic": 60} {
		if counted[kind] < least {
			t.Errorf("only %d %s compared, want at least %d", counted[kind], kind, least)
		}
	}
}

// checkMembers compares the exported fields and methods of a named type.
func checkMembers(t *testing.T, named *types.Named, r reflect.Type) {
	t.Helper()
	if err := sameStructure(named.Underlying(), r); err != nil {
		t.Errorf("%s: %v", named, err)
	}
	if types.IsInterface(named) {
		return
	}
	pointer := reflect.PointerTo(r)
	for m := range named.Methods() {
		if !m.Exported() {
			continue
		}
		rm, ok := pointer.MethodByName(m.Name())
		if !ok {
			t.Errorf("%s has no method %s in its compiled form", named, m.Name())
			continue
		}
		in := rm.Type
		if got, want := in.NumIn()-1, m.Signature().Params().Len(); got != want {
			t.Errorf("%s.%s takes %d values when compiled, %d by its type", named, m.Name(), got, want)
			continue
		}
		for i := range in.NumIn() - 1 {
			if err := same(m.Signature().Params().At(i).Type(), in.In(i+1)); err != nil {
				t.Errorf("%s.%s: %v", named, m.Name(), err)
			}
		}
	}
}

func TestTypesReachedThroughOthers(t *testing.T) {
	for _, tc := range []struct{ path, name, want string }{
		{"runtime", "Error", "runtime.Error"},
		{"image", "Image", "image.Image"},
		{"reflect", "Type", "reflect.Type"},
		{"iter", "Seq[string]", "iter.Seq[string]"},
		{"math/rand/v2", "Rand", "rand.Rand"},
		{"time", "zone", "time.zone"},
	} {
		got, ok := Default().Type(tc.path, tc.name)
		if !ok || got.String() != tc.want {
			t.Errorf("Type(%q, %q) = %v, %v; want %s", tc.path, tc.name, got, ok, tc.want)
		}
	}
	if got, ok := Default().Type("fmt", "Printer"); ok {
		t.Errorf("Type of fmt.Printer = %v, want none", got)
	}
}

// One importer makes one type of each name, whatever package mentions it first.
func TestTypesAgreeAcrossPackages(t *testing.T) {
	im := Default().Importer(token.NewFileSet())
	get := func(path, name string) types.Object {
		t.Helper()
		p, err := im.Import(path)
		if err != nil {
			t.Fatal(err)
		}
		obj := p.Scope().Lookup(name)
		if obj == nil {
			t.Fatalf("%s has no %s", path, name)
		}
		return obj
	}
	fprintln := get("fmt", "Fprintln").(*types.Func)
	writer := fprintln.Signature().Params().At(0).Type()
	if !types.Identical(writer, get("io", "Writer").Type()) {
		t.Error("fmt.Fprintln takes another io.Writer than package io declares")
	}
	lines := get("strings", "Lines").(*types.Func).Signature().Results().At(0).Type()
	collect := get("slices", "Collect").(*types.Func)
	signature, err := types.Instantiate(nil, collect.Type(), []types.Type{types.Typ[types.String]}, true)
	if err != nil {
		t.Fatal(err)
	}
	if want := signature.(*types.Signature).Params().At(0).Type(); !types.Identical(lines, want) {
		t.Errorf("strings.Lines gives %v, slices.Collect takes %v: they differ", lines, want)
	}
	again := get("fmt", "Fprintln")
	if again != fprintln {
		t.Error("a second import made a second package")
	}
}

func TestShutPackages(t *testing.T) {
	im := Default().Importer(token.NewFileSet())
	for _, path := range []string{
		"os", "os/exec", "net", "net/http", "syscall", "unsafe", "reflect", "runtime", "runtime/debug",
		"plugin", "io/ioutil", "io/fs", "C", "log", "testing", "path/filepath", "image", "internal/abi",
		"golang.org/x/sys/unix", "gonum.org/v1/plot/vg/vgpdf", "no/such/package", "",
	} {
		if Default().Allowed(path) {
			t.Errorf("a cell may import %q", path)
		}
		p, err := im.Import(path)
		var refused *ImportError
		if !errors.As(err, &refused) || refused.Path != path || refused.Reason == "" {
			t.Errorf("import %q gave %v, %v; want an ImportError with a reason", path, p, err)
		}
	}
}

func TestDenied(t *testing.T) {
	for _, tc := range []struct {
		path, recv, name string
		denied           bool
	}{
		{"gonum.org/v1/plot", "Plot", "Save", true},
		{"gonum.org/v1/plot", "Plot", "Add", false},
		{"gonum.org/v1/gonum/optimize", "", "NewPrinter", true},
		{"gonum.org/v1/gonum/optimize", "", "Minimize", false},
		{"patternkit/kernel/controls", "", "NewPanel", true},
		{"patternkit/kernel/controls", "Panel", "SetFolder", true},
		{"patternkit/kernel/controls", "Saved", "String", false},
		{"fmt", "", "Scanln", true},
		{"fmt", "", "Sscan", false},
		{"os", "File", "Write", true},
		{"os", "", "ReadFile", true},
		{"reflect", "Value", "Call", true},
		{"runtime", "Error", "Error", false},
		{"image", "Image", "At", false},
		{"strings", "Builder", "String", false},
	} {
		reason, denied := Default().Denied(tc.path, tc.recv, tc.name)
		if denied != tc.denied || denied == (reason == "") {
			t.Errorf("Denied(%q, %q, %q) = %q, %v; want %v", tc.path, tc.recv, tc.name, reason, denied, tc.denied)
		}
	}
}

// Each denied function is absent from the tables; each denied method exists, so
// that a rename in a library does not leave a denial that denies nothing.
func TestClosedNamesExist(t *testing.T) {
	im := Default().Importer(token.NewFileSet())
	for _, key := range policy.Closed() {
		slash := strings.LastIndexByte(key, '/') + 1
		parts := strings.Split(key[slash:], ".")
		path := key[:slash] + parts[0]
		p, err := im.Import(path)
		if err != nil {
			t.Fatal(err)
		}
		obj := p.Scope().Lookup(parts[1])
		if obj == nil {
			t.Errorf("%s: there is no %s", key, parts[1])
			continue
		}
		if len(parts) == 2 {
			if _, ok := Default().Value(path, parts[1]); ok {
				t.Errorf("%s is denied and yet in the table", key)
			}
			continue
		}
		if parts[2] == "*" {
			if types.NewMethodSet(types.NewPointer(obj.Type())).Len() == 0 {
				t.Errorf("%s: the type has no methods", key)
			}
			continue
		}
		if m, _, _ := types.LookupFieldOrMethod(obj.Type(), true, p, parts[2]); m == nil {
			t.Errorf("%s: there is no such method", key)
		}
	}
}

func TestDoc(t *testing.T) {
	for _, tc := range []struct{ path, name, want string }{
		{"fmt", "", "Package fmt implements formatted I/O"},
		{"math", "Sin", "Sin returns the sine"},
		{"strings", "Builder", "A Builder is used"},
		{"strings", "Builder.WriteString", "WriteString appends"},
		{"fmt", "Stringer.String", ""},
		{"encoding/csv", "Reader.Comma", "Comma is the field delimiter"},
		{"io", "EOF", "EOF is the error returned by Read"},
		{"gonum.org/v1/plot", "Plot.Add", "Add adds a Plotters to the plot"},
		{"gonum.org/v1/plot", "Plot.Title", ""},
		{"slices", "Sort", "Sort sorts a slice"},
		{"github.com/paulmach/orb", "Ring", "Ring represents a set of ring"},
		{"os", "Open", ""},
	} {
		got := Default().Doc(tc.path, tc.name)
		if !strings.HasPrefix(got, tc.want) || tc.want == "" && got != "" {
			t.Errorf("Doc(%q, %q) = %.60q, want it to begin with %q", tc.path, tc.name, got, tc.want)
		}
	}
}

// The docs ride in every copy of the program.
func TestDocsAreSmall(t *testing.T) {
	if limit := 700 << 10; len(docsZip) > limit {
		t.Errorf("docs.zip takes %d bytes, want at most %d", len(docsZip), limit)
	}
}
