package gocell

import (
	"fmt"
	"go/token"
	"go/types"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"patternkit/kernel/gocell/symbols"
)

// packages resolves the imports of a session's package: those of the library,
// and three of its own that hold what cannot be written down in a cell.
type packages struct {
	library  *symbols.Table
	importer types.Importer
	stop     *types.Package
	implicit []string

	predeclared []*types.TypeName

	types *types.Package // of the check in progress; see speller
	dot   *types.Package

	dotKey string // what dot was made for
}

func newPackages(library *symbols.Table, importer types.Importer, implicit []string) *packages {
	p := &packages{library: library, importer: importer, implicit: implicit, predeclared: predeclaredTypes()}
	p.stop = newStopPackage()
	return p
}

// Import implements types.Importer.
func (p *packages) Import(path string) (*types.Package, error) {
	switch path {
	case stopPackage:
		return p.stop, nil
	case typePackage:
		return p.types, nil
	case dotPackage:
		return p.dot, nil
	}
	return p.importer.Import(path)
}

// prepare makes the packages of the session's own for a check of a part of the
// world: the type names that its variables refer to, and what is used without a
// package name.
func (p *packages) prepare(w, part *world) error {
	p.types = types.NewPackage(typePackage, typePackage)
	for _, t := range p.predeclared {
		p.types.Scope().Insert(t)
	}
	for _, u := range part.units {
		for _, leaf := range u.leaves {
			p.types.Scope().Insert(leaf)
		}
	}
	p.types.MarkComplete()
	return p.prepareDot(w)
}

// prepareDot merges the packages whose names are used without a qualifier. The
// session's own names come first, then later imports before earlier ones.
func (p *packages) prepareDot(w *world) error {
	own := w.names()
	paths := slices.Clone(p.implicit)
	for _, u := range w.units {
		if u.kind == importUnit && len(u.names) == 1 && strings.HasPrefix(u.names[0], ". ") {
			paths = append(paths, u.path)
		}
	}
	var shadow []string
	var pkgs []*types.Package
	for _, path := range slices.Backward(paths) {
		pkg, err := p.importer.Import(path)
		if err != nil {
			return err
		}
		pkgs = append(pkgs, pkg)
	}
	for name := range own {
		if token.IsExported(name) {
			shadow = append(shadow, name)
		}
	}
	slices.Sort(shadow)
	key := strings.Join(paths, " ") + "|" + strings.Join(shadow, " ")
	if key == p.dotKey && p.dot != nil {
		return nil
	}
	p.dot = types.NewPackage(dotPackage, dotPackage)
	for _, pkg := range pkgs {
		for _, name := range pkg.Scope().Names() {
			if token.IsExported(name) && !own[name] {
				p.dot.Scope().Insert(pkg.Scope().Lookup(name)) // the first one stays
			}
		}
	}
	p.dot.MarkComplete()
	p.dotKey = key
	return nil
}

// admit imports what a cell asks for and names the imports that have no name.
func (p *packages) admit(pl *plan) *Error {
	var e *Error
	for _, u := range pl.units {
		if u.kind != importUnit {
			continue
		}
		fail := func(message string) {
			if e == nil {
				e = newError(Refused)
			}
			e.add(u.cell.problem(u.node.Pos(), u.node.End(), message))
		}
		if !p.library.Allowed(u.path) {
			fail(p.refusal(u.path))
			continue
		}
		pkg, err := p.importer.Import(u.path)
		if err != nil {
			fail(err.Error())
		} else if len(u.names) == 0 {
			u.names = []string{pkg.Name()}
		}
	}
	return e
}

func (p *packages) refusal(path string) string {
	reason := p.library.Refusal(path)
	if reason == "" {
		reason = "it is not among the packages that a notebook carries"
	}
	near := ""
	if closest := nearest(path, p.library.Packages()); closest != "" {
		near = fmt.Sprintf("; did you mean %s?", strconv.Quote(closest))
	}
	return fmt.Sprintf("can't import %s: %s%s\nA cell can import %s.",
		strconv.Quote(path), reason, near, strings.Join(p.library.Packages(), ", "))
}

// geomPath is the package of the units, which patternkit's names stand for.
const geomPath = "patternkit/patternkit/geom"

// unqualified takes from a message the names of packages that a cell needs not
// write.
func (p *packages) unqualified(message string) string {
	for _, path := range append([]string{geomPath}, p.implicit...) {
		name := baseName(path) + "."
		for i := 0; ; {
			at := strings.Index(message[i:], name)
			if at < 0 {
				break
			}
			i += at
			before, _ := utf8.DecodeLastRuneInString(message[:i])
			after, _ := utf8.DecodeRuneInString(message[i+len(name):])
			if unicode.IsUpper(after) && !unicode.IsLetter(before) && before != '.' && before != '/' {
				message = message[:i] + message[i+len(name):]
			} else {
				i += len(name)
			}
		}
	}
	return message
}

// offered adds the session's own functions to what the library has compiled.
type offered struct{ *symbols.Table }

func (o offered) Value(path, name string) (reflect.Value, bool) {
	if path == stopPackage {
		f, ok := stopFunctions[name]
		return reflect.ValueOf(f), ok
	}
	return o.Table.Value(path, name)
}
