package symbols

import (
	"go/token"
	"testing"
)

func BenchmarkImportFew(b *testing.B) {
	benchmarkImport(b, "fmt", "math", "sort", "strings")
}

func BenchmarkImportForDrafting(b *testing.B) {
	benchmarkImport(b, "patternkit/patternkit", "patternkit/kernel/controls", "fmt", "math", "sort", "strings")
}

func BenchmarkImportEverything(b *testing.B) {
	benchmarkImport(b, Default().Packages()...)
}

// benchmarkImport times a new session's imports; the archives are open already.
func benchmarkImport(b *testing.B, paths ...string) {
	b.ReportAllocs()
	for b.Loop() {
		importPaths(b, Default().Importer(token.NewFileSet()), paths)
	}
}

// BenchmarkImportAgain times the imports of a later cell of the same session.
func BenchmarkImportAgain(b *testing.B) {
	im := Default().Importer(token.NewFileSet())
	b.ReportAllocs()
	for b.Loop() {
		importPaths(b, im, []string{"patternkit/patternkit", "patternkit/kernel/controls", "fmt", "math", "sort", "strings"})
	}
}

func importPaths(b *testing.B, im *Importer, paths []string) {
	for _, path := range paths {
		if _, err := im.Import(path); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkOpenArchives(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		openArchives()
	}
}

// BenchmarkReach times the first look-up of a type that only others mention.
func BenchmarkReach(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		Default().reach()
	}
}

func BenchmarkDoc(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		a := openArchives()
		_ = a.docs["gonum.org/v1/gonum/mat"]()["Dense"]
	}
}
