package main

import (
	"fmt"
	"go/ast"
	"slices"
	"strconv"
	"strings"

	"patternkit/kernel/gocell/symbols/policy"
)

// reviewed names functions of open packages that mention a package of outside
// and were read and found harmless to a stranger's notebook, with the reason.
var reviewed = map[string]string{
	"patternkit/kernel/controls.Saved.HTML":     "guesses a media type from the bytes saved",
	"patternkit/kernel/controls.printer.Ask":    "asks on a terminal only outside a notebook",
	"patternkit/kernel/controls.printer.writer": "prints only outside a notebook",
	"patternkit/kernel/controls.write":          "writes inside the os.Root that its caller opened",
}

// outside lists the first elements of the paths of packages that reach files,
// programs, sockets or the standard streams.
var outside = []string{"log", "net", "os", "plugin", "syscall"}

// reviewReach fails when a function of an open package outside Go's own library
// mentions a package that reaches outside and is neither denied nor reviewed, so
// that a new version of a library can't open a door unseen.
func reviewReach(set packageSet) error {
	var open []string
	for _, p := range set.all() {
		if p.std {
			continue
		}
		files, err := p.parse()
		if err != nil {
			return err
		}
		for _, file := range files {
			open = append(open, reaching(p.path, file)...)
		}
	}
	if len(open) == 0 {
		return nil
	}
	slices.Sort(open)
	return fmt.Errorf("these functions reach past a notebook; deny them in policy or "+
		"note in reviewed why they are harmless:\n\t%s", strings.Join(open, "\n\t"))
}

// reaching lists the functions of a file that mention a package of outside.
func reaching(path string, file *ast.File) []string {
	far := map[string]string{} // local name -> path
	for _, spec := range file.Imports {
		imported, _ := strconv.Unquote(spec.Path.Value)
		if !slices.Contains(outside, strings.Split(imported, "/")[0]) && imported != "io/ioutil" {
			continue
		}
		name := imported[strings.LastIndexByte(imported, '/')+1:]
		if spec.Name != nil {
			name = spec.Name.Name
		}
		far[name] = imported
	}
	var out []string
	for _, d := range file.Decls {
		key, recv, name := path+".", "", ""
		if f, ok := d.(*ast.FuncDecl); ok {
			recv, name = receiver(f), f.Name.Name
		}
		if recv != "" {
			key += recv + "."
		}
		key += name
		if _, denied := policy.Denied(path, recv, name); denied || reviewed[key] != "" {
			continue
		}
		ast.Inspect(d, func(n ast.Node) bool {
			sel, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			if id, ok := sel.X.(*ast.Ident); ok && far[id.Name] != "" {
				out = append(out, fmt.Sprintf("%s mentions %s.%s", key, far[id.Name], sel.Sel.Name))
			}
			return true
		})
	}
	return out
}

// receiver names the type of a method, without pointer and type parameters.
func receiver(f *ast.FuncDecl) string {
	if f.Recv == nil {
		return ""
	}
	t := f.Recv.List[0].Type
	for {
		switch x := t.(type) {
		case *ast.StarExpr:
			t = x.X
		case *ast.IndexExpr:
			t = x.X
		case *ast.Ident:
			return x.Name
		default:
			return ""
		}
	}
}
