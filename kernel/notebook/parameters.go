package notebook

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"maps"
	"slices"
	"strings"
)

// The tags by which notebook tools agree on parameters: the cell that sets
// the defaults, and the one that is put after it with other values.
const (
	parametersTag = "parameters"
	injectedTag   = "injected-parameters"
)

// WithParameters returns nb with a cell that sets other values, Go
// expressions such as 8*CM by name, after the cell that is tagged
// "parameters". That cell must assign each name. The cell takes the place of
// one from an earlier run; without values nb stays as it is.
func (nb Notebook) WithParameters(set map[string]string) (Notebook, error) {
	out := nb.clone()
	if len(set) == 0 {
		return out, nil
	}
	out.Cells = slices.DeleteFunc(out.Cells, func(c Cell) bool { return c.HasTag(injectedTag) })
	at := slices.IndexFunc(out.Cells, func(c Cell) bool { return c.Type == Code && c.HasTag(parametersTag) })
	names := slices.Sorted(maps.Keys(set))
	if at < 0 {
		return Notebook{}, fmt.Errorf("setting %s: the notebook has no code cell tagged %q that holds the defaults", strings.Join(names, ", "), parametersTag)
	}
	assigned, err := assignedNames(out.Cells[at].Source)
	if err != nil {
		return Notebook{}, fmt.Errorf("setting %s: the cell tagged %q is no list of Go statements: %w", strings.Join(names, ", "), parametersTag, err)
	}
	var source strings.Builder
	for _, name := range names {
		if err := checkParameter(name, set[name], assigned); err != nil {
			return Notebook{}, err
		}
		fmt.Fprintf(&source, "%s = %s\n", name, strings.TrimSpace(set[name]))
	}
	used := map[string]bool{}
	for _, c := range out.Cells {
		used[c.ID] = true
	}
	injected := Cell{
		Type:     Code,
		ID:       newID(source.String(), at+1, used),
		Source:   strings.TrimSuffix(source.String(), "\n"),
		Metadata: map[string]any{"tags": []any{injectedTag}},
	}
	out.Cells = slices.Insert(out.Cells, at+1, injected)
	return out, nil
}

// checkParameter returns an error unless name may be set to value.
func checkParameter(name, value string, assigned map[string]bool) error {
	variable, known := assigned[name]
	switch {
	case !known:
		return fmt.Errorf("setting %s: the cell tagged %q does not assign it, want one of %s",
			name, parametersTag, strings.Join(slices.Sorted(maps.Keys(assigned)), ", "))
	case !variable:
		return fmt.Errorf("setting %s: it is a constant in the cell tagged %q; declare it with := or var to set it", name, parametersTag)
	}
	if _, err := parser.ParseExpr(value); err != nil {
		return fmt.Errorf("setting %s to %q: this is not one Go expression, want one such as 8*CM or \"linen\": %w", name, value, err)
	}
	return nil
}

// assignedNames lists the names that a cell assigns at its top level, and
// whether each is a variable.
func assignedNames(source string) (map[string]bool, error) {
	const before = "package cell; func _() {\n"
	file, err := parser.ParseFile(token.NewFileSet(), "", before+source+"\n}", parser.SkipObjectResolution)
	if err != nil {
		return nil, err
	}
	names := map[string]bool{}
	for _, statement := range file.Decls[0].(*ast.FuncDecl).Body.List {
		switch s := statement.(type) {
		case *ast.AssignStmt:
			for _, left := range s.Lhs {
				if id, ok := left.(*ast.Ident); ok && id.Name != "_" {
					names[id.Name] = true
				}
			}
		case *ast.DeclStmt:
			for _, spec := range s.Decl.(*ast.GenDecl).Specs {
				if v, ok := spec.(*ast.ValueSpec); ok {
					for _, id := range v.Names {
						names[id.Name] = s.Decl.(*ast.GenDecl).Tok == token.VAR
					}
				}
			}
		}
	}
	return names, nil
}
