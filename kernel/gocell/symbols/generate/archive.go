package main

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"io"
	"os"
)

// A member is one file of an embedded archive.
type member struct {
	name string
	data []byte
}

// writeZip writes the members in the order given, without times, so that equal
// members make equal archives.
func writeZip(file string, members []member) error {
	var buf bytes.Buffer
	z := zip.NewWriter(&buf)
	z.RegisterCompressor(zip.Deflate, func(w io.Writer) (io.WriteCloser, error) {
		return flate.NewWriter(w, flate.BestCompression)
	})
	for _, m := range members {
		w, err := z.CreateHeader(&zip.FileHeader{Name: m.name, Method: zip.Deflate})
		if err != nil {
			return err
		}
		if _, err := w.Write(m.data); err != nil {
			return err
		}
	}
	if err := z.Close(); err != nil {
		return err
	}
	return os.WriteFile(file, buf.Bytes(), 0o644)
}

// exportMembers holds the export data of each package.
func exportMembers(all []*pkg) ([]member, error) {
	var out []member
	for _, p := range all {
		out = append(out, member{p.path, p.export})
	}
	return out, nil
}
