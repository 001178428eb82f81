package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"patternkit/kernel/notebook"
)

// A stamp in the folder of a row says from what the row's outputs were made.
// There is one for each row, so that jobs on several machines do not write to
// one file. Cells can't reach it: they save no hidden files.
type stamp struct {
	folder, key string
	beside      string // the notebook's folder, which cells load files from
}

func (s *stamp) path() string { return filepath.Join(s.folder, ".patternkit-row") }

// inputs is the file in which the run of a row notes what its cells loaded.
func (s *stamp) inputs() string { return filepath.Join(s.folder, ".patternkit-loaded") }

// holds reports whether outputs are there and were made from the same.
func (s *stamp) holds(outputs []string) bool {
	for _, path := range outputs {
		if _, err := os.Stat(path); err != nil {
			return false
		}
	}
	was, err := os.ReadFile(s.path())
	return err == nil && strings.TrimSpace(string(was)) == s.key && s.inputsHold()
}

// inputsHold reports whether the files that the cells loaded are as they were.
func (s *stamp) inputsHold() bool {
	var inputs map[string][]byte
	text, err := os.ReadFile(s.inputs())
	if err != nil || json.Unmarshal(text, &inputs) != nil {
		return false
	}
	for name, was := range inputs {
		path := filepath.FromSlash(name)
		if !filepath.IsAbs(path) { // as it may be with --any-folder
			path = filepath.Join(s.beside, path)
		}
		content, err := os.ReadFile(path)
		if sum := sha256.Sum256(content); (err == nil) != (was != nil) || err == nil && !bytes.Equal(sum[:], was) {
			return false
		}
	}
	return true
}

// noteInputs writes for a stamp what the cells of a run loaded.
func noteInputs(path string, loaded map[string][]byte) error {
	text, err := json.Marshal(loaded)
	if err != nil {
		panic(err) // bytes always marshal
	}
	return os.WriteFile(path, append(text, '\n'), 0o644)
}

// lift makes the folder and takes an older stamp away, for while the row runs
// its outputs are neither old nor new.
func (s *stamp) lift() error {
	if err := os.MkdirAll(s.folder, 0o755); err != nil {
		return err
	}
	for _, path := range []string{s.path(), s.inputs()} {
		if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return nil
}

func (s *stamp) write() error {
	return os.WriteFile(s.path(), []byte(s.key+"\n"), 0o644)
}

// key stands for what the outputs of a row depend on besides the files that
// its cells load: the program, the cells of the notebook (not the outputs
// stored in it) and the values.
func key(program string, nb notebook.Notebook, set map[string]string) string {
	type cell struct {
		Type, Source string
		Tags         []string
	}
	cells := []cell{}
	for _, c := range nb.Cells {
		cells = append(cells, cell{string(c.Type), c.Source, c.Tags()})
	}
	values := [][2]string{}
	for _, name := range slices.Sorted(maps.Keys(set)) {
		values = append(values, [2]string{name, set[name]})
	}
	content, err := json.Marshal([]any{program, nb.Title(), cells, values})
	if err != nil {
		panic(err) // strings always marshal
	}
	sum := sha256.Sum256(content)
	return hex.EncodeToString(sum[:])
}

// programHash tells builds of this program apart: another build may draft
// another line.
func programHash() (string, error) {
	path, err := os.Executable()
	if err != nil {
		return "", err
	}
	content, err := os.ReadFile(path)
	if err != nil {
		return "", err
	}
	sum := sha256.Sum256(content)
	return hex.EncodeToString(sum[:]), nil
}
