package symbols

import (
	"archive/zip"
	"bytes"
	_ "embed"
	"io"
	"strings"
	"sync"
)

var (
	//go:embed export.zip
	exportZip []byte
	//go:embed docs.zip
	docsZip []byte
	//go:embed source.zip
	sourceZip []byte
)

// archives are the embedded files by name.
type archives struct {
	export map[string]*zip.File
	docs   map[string]func() map[string]string // read when first asked for
	source map[string][]*zip.File              // by package, in order of file names
}

func openArchives() archives {
	a := archives{
		export: map[string]*zip.File{},
		docs:   map[string]func() map[string]string{},
		source: map[string][]*zip.File{},
	}
	for _, f := range openZip(exportZip) {
		a.export[f.Name] = f
	}
	for _, f := range openZip(docsZip) {
		a.docs[f.Name] = sync.OnceValue(func() map[string]string { return readDocs(f) })
	}
	for _, f := range openZip(sourceZip) {
		path := f.Name[:strings.LastIndexByte(f.Name, '/')]
		a.source[path] = append(a.source[path], f)
	}
	return a
}

// openZip and contents panic on failure: the archives are part of the program.
func openZip(data []byte) []*zip.File {
	r, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		panic("embedded archive: " + err.Error())
	}
	return r.File
}

func contents(f *zip.File) []byte {
	r, err := f.Open()
	if err != nil {
		panic("embedded " + f.Name + ": " + err.Error())
	}
	data := make([]byte, f.UncompressedSize64)
	if _, err := io.ReadFull(r, data); err != nil {
		panic("embedded " + f.Name + ": " + err.Error())
	}
	return data
}

// readDocs reads pairs of a key and a text, each ended by a zero byte.
func readDocs(f *zip.File) map[string]string {
	fields := strings.Split(string(contents(f)), "\x00")
	docs := make(map[string]string, len(fields)/2)
	for i := 0; i+1 < len(fields); i += 2 {
		docs[fields[i]] = fields[i+1]
	}
	return docs
}

// Doc returns the doc comment of a package (name empty), of a function, type,
// variable or constant, or of a part of a type ("SleeveOptions.CapHeight",
// "Plot.Add"). It is empty when there is none.
func (t *Table) Doc(path, name string) string {
	read := t.embedded().docs[path]
	if read == nil {
		return ""
	}
	return read()[name]
}

// Source returns the files of a package that is built from source together with
// the cells, by file name, because its exported functions are generic.
func (t *Table) Source(path string) (files map[string]string, ok bool) {
	found, ok := t.embedded().source[path]
	if !ok {
		return nil, false
	}
	files = map[string]string{}
	for _, f := range found {
		files[f.Name] = string(contents(f))
	}
	return files, true
}
