package patternkit

import (
	"fmt"
	"go/token"
	"go/types"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"golang.org/x/tools/go/packages"
)

// stages orders the files of the package as a pattern comes about. A file may
// use names of its own stage and of those before, never of a later one. The
// stage of a file is that of the longest listed prefix of its name.
var stages = [][]string{
	{"units", "words", "table"},
	{"body"},
	{"draft"},
	{"edge", "dart", "pleat", "notch", "allowance", "piece"},
	{"seam", "pattern", "walk"},
	{"truing"},
	{"style"},
	{"finish"},
	{"picture", "chart", "draft_show"},
	{"armhole", "bodice", "directmeasure", "proportional", "sleeve", "block"},
	{"grade", "nest"},
	{"output"},
	{"input", "ruboff"},
	{"garment"},
	{"document"},
	{"show"},
	{"doc"},
}

func loadPackage(t *testing.T) *packages.Package {
	t.Helper()
	loaded, err := packages.Load(&packages.Config{
		Mode: packages.NeedName | packages.NeedFiles | packages.NeedCompiledGoFiles | packages.NeedSyntax |
			packages.NeedTypes | packages.NeedTypesInfo | packages.NeedImports | packages.NeedExportFile,
	}, "patternkit/patternkit")
	if err != nil || len(loaded) != 1 || len(loaded[0].Errors) > 0 {
		t.Fatalf("loading patternkit: %v, %d packages, %v", err, len(loaded), loaded[0].Errors)
	}
	return loaded[0]
}

// TestStages keeps the files in order, except that a show method may stand
// beside its type.
func TestStages(t *testing.T) {
	p := loadPackage(t)
	var wrong []string
	for id, obj := range p.TypesInfo.Uses {
		if obj.Pkg() != p.Types || obj.Parent() != p.Types.Scope() {
			continue
		}
		user, owner := fileOf(p, id.Pos()), fileOf(p, obj.Pos())
		us, okU := stageOf(user)
		os, okO := stageOf(owner)
		switch {
		case !okU:
			wrong = append(wrong, user+" has no stage")
		case !okO:
			wrong = append(wrong, owner+" has no stage")
		case us < os:
			wrong = append(wrong, fmt.Sprintf("%s uses %s of the later %s", user, obj.Name(), owner))
		}
	}
	slices.Sort(wrong)
	for _, w := range slices.Compact(wrong) {
		t.Error(w)
	}
}

func fileOf(p *packages.Package, pos token.Pos) string {
	return filepath.Base(p.Fset.Position(pos).Filename)
}

func stageOf(file string) (int, bool) {
	best, at := "", 0
	for i, s := range stages {
		for _, prefix := range s {
			if strings.HasPrefix(file, prefix) && len(prefix) > len(best) {
				best, at = prefix, i
			}
		}
	}
	return at, best != ""
}

// TestExportedNames compares the exported names with their list, so that
// growth shows when a change is read.
func TestExportedNames(t *testing.T) {
	p := loadPackage(t)
	var lines []string
	scope := p.Types.Scope()
	qualify := types.RelativeTo(p.Types)
	for _, name := range scope.Names() {
		obj := scope.Lookup(name)
		if !obj.Exported() {
			continue
		}
		lines = append(lines, exportedLine(obj, qualify))
		if tn, ok := obj.(*types.TypeName); ok && !tn.IsAlias() {
			lines = append(lines, members(tn, qualify)...)
		}
	}
	checkGolden(t, "api.txt", []byte(strings.Join(lines, "\n")+"\n"))
}

func exportedLine(obj types.Object, q types.Qualifier) string {
	tn, ok := obj.(*types.TypeName)
	if !ok {
		return types.ObjectString(obj, q)
	}
	if tn.IsAlias() {
		return "type " + tn.Name() + " = " + types.TypeString(types.Unalias(tn.Type()), q)
	}
	if _, ok := tn.Type().Underlying().(*types.Struct); ok {
		return "type " + tn.Name() + " struct"
	}
	return "type " + tn.Name() + " " + types.TypeString(tn.Type().Underlying(), q)
}

// members lists the exported fields and methods of a type.
func members(tn *types.TypeName, q types.Qualifier) []string {
	var out []string
	if s, ok := tn.Type().Underlying().(*types.Struct); ok {
		for i := range s.NumFields() {
			if f := s.Field(i); f.Exported() {
				out = append(out, fmt.Sprintf("\t%s.%s %s", tn.Name(), f.Name(), types.TypeString(f.Type(), q)))
			}
		}
	}
	methods := types.NewMethodSet(types.NewPointer(tn.Type()))
	for i := range methods.Len() {
		m := methods.At(i).Obj()
		if m.Exported() {
			signature := strings.TrimPrefix(types.TypeString(m.Type(), q), "func")
			out = append(out, fmt.Sprintf("\t%s.%s%s", tn.Name(), m.Name(), signature))
		}
	}
	return out
}
