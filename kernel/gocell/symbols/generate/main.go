// Command generate writes what the evaluator knows of the compiled packages
// that a cell may import: Go files with tables of their functions, variables
// and types, and four archives that are embedded beside them:
//
//	tables_*.go  name -> function, variable or type, for every open package
//	export.zip   the types of these packages, readable without a Go toolchain
//	docs.zip     their doc comments
//	source.zip   the source of packages whose functions are generic
//
// It imports none of the packages that it describes and not the symbols
// package itself, so it can be run again when an old table no longer compiles.
// Two runs on the same sources write the same bytes.
package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"patternkit/kernel/gocell/symbols/policy"
)

func main() {
	out := flag.String("out", ".", "folder to write the generated files into")
	skip := flag.String("skip", "", "comma-separated import paths to leave out, while they do not compile")
	flag.Parse()
	if err := run(*out, strings.Split(*skip, ",")); err != nil {
		fmt.Fprintln(os.Stderr, "generate:", err)
		os.Exit(1)
	}
}

func run(out string, skip []string) error {
	groups := openGroups(skip)
	loaded, err := load(groups)
	if err != nil {
		return err
	}
	if err := reviewReach(loaded); err != nil {
		return err
	}
	for _, g := range groups {
		if err := writeTables(out, g, loaded); err != nil {
			return err
		}
	}
	if err := writeUnlisted(out, loaded); err != nil {
		return err
	}
	archives := []struct {
		name    string
		members func([]*pkg) ([]member, error)
	}{
		{"export.zip", exportMembers},
		{"source.zip", sourceMembers},
		{"docs.zip", docMembers},
	}
	for _, a := range archives {
		members, err := a.members(loaded.all())
		if err != nil {
			return err
		}
		if err := writeZip(filepath.Join(out, a.name), members); err != nil {
			return err
		}
	}
	return nil
}

// openGroups returns the groups of the policy without the packages to skip.
func openGroups(skip []string) []policy.Group {
	var groups []policy.Group
	for _, g := range policy.Groups {
		paths := slices.DeleteFunc(slices.Clone(g.Paths), func(p string) bool { return slices.Contains(skip, p) })
		groups = append(groups, policy.Group{File: g.File, Paths: paths})
	}
	return groups
}
